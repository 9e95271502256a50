//! Reads a calendar byte by byte against RFC 5545 (sections 3.1, 3.3.4, 3.3.5, 3.3.11, 3.4, 3.6, 3.6.1, 3.8.2.2) and RFC 5546 (3.2.1), written
//! for the tests alone: it shares nothing with the writer.
#![allow(dead_code)]

use std::collections::BTreeSet;

/// An event as it was read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Read {
    pub uid: String,
    pub start: String,
    pub end: Option<String>,
    pub all_day: bool,
    pub summary: String,
    pub description: String,
    pub status: String,
    pub sequence: u32,
    /// `X-` properties by name.
    pub own: Vec<(String, String)>,
}

impl Read {
    /// A number in a property of the program's own; 0 when it has none.
    pub fn number(&self, name: &str) -> i64 {
        let mut own = self.own.iter();
        let found = own.find(|(own, _)| own == &format!("X-SOWROTA-{name}"));
        found.map_or(0, |(_, value)| value.parse().unwrap())
    }
}

/// The events of a file.
///
/// # Errors
/// The first fault, with its line.
pub fn check(bytes: &[u8]) -> Result<Vec<Read>, String> {
    let lines = unfolded(bytes)?;
    let mut events: Vec<Read> = Vec::new();
    let mut open: Vec<String> = Vec::new();
    let mut heads: Vec<String> = Vec::new();
    let mut inside: Vec<(String, String, String)> = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let (name, parameters, value) =
            property(line).map_err(|why| format!("line {at}: {why}"))?;
        match name.as_str() {
            "BEGIN" => {
                if open.is_empty() && at > 0 {
                    return Err(format!("line {at}: a second object begins"));
                }
                open.push(value);
                inside.clear();
            }
            "END" => {
                if open.pop().as_ref() != Some(&value) {
                    return Err(format!("line {at}: `{value}` ends and had not begun"));
                }
                if value == "VEVENT" {
                    events.push(
                        event(&inside).map_err(|why| format!("event before line {at}: {why}"))?,
                    );
                }
            }
            _ => match open.last().map(String::as_str) {
                Some("VCALENDAR") => heads.push(format!("{name}:{value}")),
                Some("VEVENT") => inside.push((name, parameters, value)),
                _ => return Err(format!("line {at}: `{name}` stands outside")),
            },
        }
    }
    if !open.is_empty() || lines.first().map(String::as_str) != Some("BEGIN:VCALENDAR") {
        return Err("not one whole VCALENDAR".into());
    }
    for head in ["VERSION:", "PRODID:"] {
        if heads.iter().filter(|line| line.starts_with(head)).count() != 1 {
            return Err(format!("`{head}` does not stand once"));
        }
    }
    let uids: BTreeSet<&str> = events.iter().map(|event| event.uid.as_str()).collect();
    if uids.len() != events.len() {
        return Err("two events share a UID".into());
    }
    let published = heads.iter().any(|line| line == "METHOD:PUBLISH");
    let organizers = lines
        .iter()
        .filter(|line| line.starts_with("ORGANIZER"))
        .count();
    if published && organizers != events.len() {
        return Err("a published event has no ORGANIZER".into());
    }
    Ok(events)
}

/// Content lines without folds: each ended by CRLF, at most 75 octets, no character cut, no control character.
fn unfolded(bytes: &[u8]) -> Result<Vec<String>, String> {
    let Some(body) = bytes.strip_suffix(b"\r\n") else {
        return Err("the last line has no CRLF".into());
    };
    let mut lines: Vec<String> = Vec::new();
    for (at, line) in body.split(|byte| *byte == b'\n').enumerate() {
        let last = at == body.iter().filter(|byte| **byte == b'\n').count();
        let line = match (line.strip_suffix(b"\r"), last) {
            (Some(line), false) => line,
            (None, true) => line,
            _ => return Err(format!("line {at}: not ended by CRLF")),
        };
        if line.len() > 75 {
            return Err(format!("line {at}: {} octets", line.len()));
        }
        let text =
            std::str::from_utf8(line).map_err(|_| format!("line {at}: a character is cut"))?;
        if text.chars().any(|sign| sign.is_control() && sign != '\t') {
            return Err(format!("line {at}: a control character"));
        }
        match (text.strip_prefix([' ', '\t']), lines.last_mut()) {
            (Some(rest), Some(before)) => before.push_str(rest),
            (Some(_), None) => return Err("the first line is a continuation".into()),
            (None, _) => lines.push(text.to_string()),
        }
    }
    Ok(lines)
}

/// Name, parameters and value; a quoted parameter may hold `:` and `;`.
fn property(line: &str) -> Result<(String, String, String), String> {
    let mut quoted = false;
    let mut colon = None;
    for (at, sign) in line.char_indices() {
        match sign {
            '"' => quoted = !quoted,
            ':' if !quoted => {
                colon = Some(at);
                break;
            }
            _ => {}
        }
    }
    let colon = colon.ok_or_else(|| format!("`{line}` has no value"))?;
    let (head, value) = (&line[..colon], &line[colon + 1..]);
    let (name, parameters) = head.split_once(';').unwrap_or((head, ""));
    if name.is_empty()
        || !name
            .bytes()
            .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
    {
        return Err(format!("`{name}` is no name"));
    }
    Ok((
        name.to_ascii_uppercase(),
        parameters.to_string(),
        value.to_string(),
    ))
}

fn event(properties: &[(String, String, String)]) -> Result<Read, String> {
    let all = |name: &str| -> Vec<&(String, String, String)> {
        properties
            .iter()
            .filter(|(known, _, _)| known == name)
            .collect()
    };
    for once in ["UID", "DTSTAMP", "DTSTART"] {
        if all(once).len() != 1 {
            return Err(format!("{once} stands {} times", all(once).len()));
        }
    }
    for most in [
        "DTEND",
        "SUMMARY",
        "DESCRIPTION",
        "LOCATION",
        "SEQUENCE",
        "STATUS",
        "TRANSP",
        "ORGANIZER",
    ] {
        if all(most).len() > 1 {
            return Err(format!("{most} stands more than once"));
        }
    }
    let text = |name: &str| -> Result<String, String> {
        all(name)
            .first()
            .map_or(Ok(String::new()), |(_, _, value)| unescaped(value))
    };
    let stamp = &all("DTSTAMP")[0].2;
    if !stamp.strip_suffix('Z').is_some_and(is_time) {
        return Err(format!("DTSTAMP `{stamp}` is no time in UTC"));
    }
    let (_, parameters, start) = all("DTSTART")[0].clone();
    let all_day = parameters.split(';').any(|one| one == "VALUE=DATE");
    let of_kind = |value: &str| {
        if all_day {
            is_date(value)
        } else {
            is_time(value)
        }
    };
    if !of_kind(&start) {
        return Err(format!("DTSTART `{start}` is not of its kind"));
    }
    let end = all("DTEND")
        .first()
        .map(|(_, parameters, value)| (parameters.clone(), value.clone()));
    if let Some((end_parameters, end)) = &end
        && (end_parameters != &parameters || !of_kind(end) || *end <= start)
    {
        return Err(format!("DTEND `{end}` is not after DTSTART `{start}`"));
    }
    let status = text("STATUS")?;
    if !["", "TENTATIVE", "CONFIRMED", "CANCELLED"].contains(&status.as_str()) {
        return Err(format!("STATUS `{status}`"));
    }
    let sequence = match all("SEQUENCE").first() {
        None => 0,
        Some((_, _, value)) => value.parse().map_err(|_| format!("SEQUENCE `{value}`"))?,
    };
    let own = properties
        .iter()
        .filter(|(name, _, _)| name.starts_with("X-"));
    Ok(Read {
        uid: text("UID")?,
        start,
        end: end.map(|(_, end)| end),
        all_day,
        summary: text("SUMMARY")?,
        description: text("DESCRIPTION")?,
        status,
        sequence,
        own: own
            .map(|(name, _, value)| (name.clone(), value.clone()))
            .collect(),
    })
}

fn is_date(value: &str) -> bool {
    value.len() == 8
        && value.bytes().all(|byte| byte.is_ascii_digit())
        && sowrota::calendar::Day::parse(&format!(
            "{}-{}-{}",
            &value[..4],
            &value[4..6],
            &value[6..]
        ))
        .is_ok()
}

fn is_time(value: &str) -> bool {
    let Some((date, time)) = value.split_once('T') else {
        return false;
    };
    let part = |from: usize| {
        time.get(from..from + 2)
            .and_then(|two| two.parse::<u32>().ok())
    };
    is_date(date)
        && time.len() == 6
        && part(0).is_some_and(|hour| hour < 24)
        && part(2).is_some_and(|minute| minute < 60)
        && part(4).is_some_and(|second| second < 60)
}

/// TEXT as it was before it was escaped.
fn unescaped(value: &str) -> Result<String, String> {
    let mut out = String::new();
    let mut signs = value.chars();
    while let Some(sign) = signs.next() {
        match sign {
            '\\' => match signs.next() {
                Some('n' | 'N') => out.push('\n'),
                Some(sign @ ('\\' | ';' | ',')) => out.push(sign),
                other => return Err(format!("`\\{other:?}` in text")),
            },
            ';' | ',' => return Err(format!("a bare `{sign}` in text")),
            sign => out.push(sign),
        }
    }
    Ok(out)
}
