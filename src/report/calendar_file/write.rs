//! The bytes of a calendar by RFC 5545: lines ended by CRLF and folded at 75 octets, text escaped, ends after the end.

use super::{CalendarFile, Event, Status};
use crate::calendar::Day;
use crate::report::safe::{clean, mark_of};

/// Octets of a line without its end. *Source*: RFC 5545, section 3.1.
const OCTETS: usize = 75;

/// Minutes of a day.
const DAY: i64 = 1_440;

/// The whole file.
pub fn write(file: &CalendarFile) -> Vec<u8> {
    let mut out = String::new();
    let mut line = |text: String| out.push_str(&folded(&text));
    line("BEGIN:VCALENDAR".into());
    line("VERSION:2.0".into());
    line("PRODID:-//sowrota//nursery plan//EN".into());
    line("CALSCALE:GREGORIAN".into());
    line("METHOD:PUBLISH".into());
    line(format!("X-WR-CALNAME:{}", escaped(&file.title)));
    let organizer = organizer(&file.nursery);
    let stamp = utc(file.stamp);
    for event in &file.events {
        for text in lines(event, &stamp, &organizer) {
            line(text);
        }
    }
    line("END:VCALENDAR".into());
    out.into_bytes()
}

fn lines(event: &Event, stamp: &str, organizer: &str) -> Vec<String> {
    let mut lines = vec![
        "BEGIN:VEVENT".to_string(),
        format!("UID:{}", escaped(&event.uid)),
        format!("DTSTAMP:{stamp}"),
        organizer.to_string(),
        format!("SEQUENCE:{}", event.sequence),
    ];
    match event.time {
        None => {
            lines.push(format!("DTSTART;VALUE=DATE:{}", date(event.day)));
            // The end is not included: the day after.
            lines.push(format!("DTEND;VALUE=DATE:{}", date(event.day.plus(1))));
        }
        Some((from, until)) => {
            lines.push(format!("DTSTART:{}", floating(event.day, from)));
            if until > from {
                lines.push(format!("DTEND:{}", floating(event.day, until)));
            }
        }
    }
    lines.push(format!("SUMMARY:{}", escaped(&event.summary)));
    if !event.details.is_empty() {
        lines.push(format!(
            "DESCRIPTION:{}",
            escaped(&event.details.join("\n"))
        ));
    }
    if let Some(place) = &event.place {
        lines.push(format!("LOCATION:{}", escaped(place)));
    }
    lines.push(format!("STATUS:{}", status(event.status)));
    // Work by the hour keeps its people busy; a day on which something falls does not fill it.
    let shown = if event.time.is_some() {
        "OPAQUE"
    } else {
        "TRANSPARENT"
    };
    lines.push(format!("TRANSP:{shown}"));
    for (name, amount) in [
        ("TRAYS", event.trays),
        ("PERSON-MINUTES", event.person_minutes),
        ("SEED-GRAMS", event.seed_g),
    ] {
        if amount > 0 {
            lines.push(format!("X-SOWROTA-{name}:{amount}"));
        }
    }
    lines.push("END:VEVENT".into());
    lines
}

fn status(status: Status) -> &'static str {
    match status {
        Status::Confirmed => "CONFIRMED",
        Status::Tentative => "TENTATIVE",
        Status::Cancelled => "CANCELLED",
    }
}

/// Who publishes: RFC 5546, section 3.2.1 asks for one. The address lies in the domain that never exists (RFC 2606), since a plan knows none.
fn organizer(nursery: &str) -> String {
    let name: String = clean(nursery)
        .chars()
        .map(|sign| match sign {
            '"' => '\'',
            '\n' => ' ',
            sign => sign,
        })
        .collect();
    let address = mark_of(nursery, 12);
    format!("ORGANIZER;CN=\"{name}\":mailto:plan@{address}.invalid")
}

/// Text as a value: backslash, semicolon and comma after a backslash, a new line as `\n`; control characters are gone.
pub fn escaped(text: &str) -> String {
    let mut out = String::new();
    for sign in clean(text).chars() {
        match sign {
            '\\' | ';' | ',' => out.extend(['\\', sign]),
            '\n' => out.push_str("\\n"),
            sign => out.push(sign),
        }
    }
    out
}

/// One content line with its end; what is longer than 75 octets goes on in the next line after a space, no character cut.
pub fn folded(text: &str) -> String {
    let mut out = String::new();
    let mut used = 0;
    for sign in text.chars() {
        if used + sign.len_utf8() > OCTETS {
            out.push_str("\r\n ");
            used = 1;
        }
        out.push(sign);
        used += sign.len_utf8();
    }
    out.push_str("\r\n");
    out
}

/// `20270508`.
fn date(day: Day) -> String {
    let (year, month, day) = day.ymd();
    format!("{year:04}{month:02}{day:02}")
}

/// `20270508T073000`, so many minutes after the midnight before `day`: the same on every clock.
fn floating(day: Day, minute: i64) -> String {
    let days = i32::try_from(minute.div_euclid(DAY)).unwrap_or(0);
    let minute = minute.rem_euclid(DAY);
    format!(
        "{}T{:02}{:02}00",
        date(day.plus(days)),
        minute / 60,
        minute % 60
    )
}

/// `20270508T000001Z`.
fn utc((day, seconds): (Day, u32)) -> String {
    let (minutes, seconds) = (seconds / 60, seconds % 60);
    format!(
        "{}T{:02}{:02}{seconds:02}Z",
        date(day),
        minutes / 60,
        minutes % 60
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lengths by hand from RFC 5545, section 3.1: the space that begins a line counts.
    #[test]
    fn lines_are_folded_at_75_octets_between_characters() {
        let of = |text: &str| -> Vec<usize> {
            let folded = folded(&format!("SUMMARY:{text}"));
            folded.trim_end().split("\r\n").map(str::len).collect()
        };
        assert_eq!(of(&"x".repeat(67)), [75]);
        assert_eq!(of(&"x".repeat(68)), [75, 2]);
        assert_eq!(of(&"苗".repeat(30)), [74, 25]);
    }

    #[test]
    fn text_is_escaped() {
        assert_eq!(escaped("a,b;c\\d\r\ne\u{7}"), "a\\,b\\;c\\\\d\\ne\u{fffd}");
    }

    #[test]
    fn work_over_midnight_ends_on_the_next_day() {
        let day = Day::parse("2027-12-31").unwrap();
        assert_eq!(floating(day, 1_470), "20280101T003000");
        assert_eq!(utc((day, 3_661)), "20271231T010101Z");
    }
}
