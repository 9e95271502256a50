//! The duties of one person, day by day.

use super::{Told, post};
use crate::calendar::{IsoWeek, Weekday};
use crate::plan::roster::PersonDuty;
use crate::report::text::{clock, count, short_day, wrap};
use crate::scenario::Person;

/// What the person is asked for, in all weeks or in one.
pub fn text(told: Told<'_>, person: &Person, only: Option<IsoWeek>) -> String {
    let scenario = told.scenario();
    let mut known: Vec<String> = person
        .crews
        .iter()
        .map(|crew| post(scenario, Some(crew)).to_owned())
        .collect();
    for (has, words) in [
        (person.licensed, "licence for treated seed"),
        (person.watches, "night watches"),
        (person.fixed_days_off, "fixed days off"),
    ] {
        if has {
            known.push(words.to_owned());
        }
    }
    let mut out = wrap("", "  ", &format!("{}: {}", person.name, known.join(", ")));
    if !person.away.is_empty() {
        let away = person.away.iter().map(ToString::to_string);
        out.push_str(&wrap("away ", "  ", &away.collect::<Vec<_>>().join(", ")));
    }
    let own = told.roster.duties.iter();
    let own = own.filter(|duty| duty.person == person.id);
    let mut week = None;
    for duty in own.filter(|one| only.is_none_or(|only| one.day.iso_week() == only)) {
        let of_duty = duty.day.iso_week();
        if week != Some(of_duty) {
            out.push_str(&format!("\nWeek {of_duty}\n"));
            week = Some(of_duty);
        }
        out.push_str(&line(told, duty));
    }
    if week.is_none() {
        out.push_str("\nno duties\n");
    }
    let mut totals = told.roster.people.iter();
    if let Some(total) = totals.find(|total| total.person == person.id) {
        let said = format!(
            "{}, {} at weekends; {}, {}",
            count(total.days, "day", "days"),
            total.weekend_days,
            count(total.late, "late shift", "late shifts"),
            count(total.nights, "of them a night", "of them nights")
        );
        out.push('\n');
        out.push_str(&wrap("In all: ", "  ", &said));
    }
    out
}

fn line(told: Told<'_>, duty: &PersonDuty) -> String {
    let weekday = duty.day.weekday();
    let end = if duty.end_minute > 1_440 {
        let days = match duty.end_minute / 1_440 {
            1 => "next day".to_owned(),
            more => format!("{more} days on"),
        };
        format!("{} {days}", clock(duty.end_minute % 1_440))
    } else {
        clock(duty.end_minute)
    };
    let weekend = matches!(weekday, Weekday::Saturday | Weekday::Sunday);
    let marks: Vec<&str> = [
        (weekend, "weekend"),
        (duty.stays, "stays for overtime"),
        (duty.late && !duty.stays, "late"),
    ]
    .iter()
    .filter_map(|(is, words)| is.then_some(*words))
    .collect();
    let marks = match marks.is_empty() {
        true => String::new(),
        false => format!(" ({})", marks.join(", ")),
    };
    let crew = post(told.scenario(), duty.crew.as_deref());
    wrap(
        "  ",
        "    ",
        &format!(
            "{}, {} to {end}: {crew}{marks}",
            short_day(duty.day),
            clock(duty.start_minute)
        ),
    )
}
