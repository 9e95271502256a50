//! Each person from the first duty to the last: skills, days away, rows, weeks, rest, and their sums.

use super::{post, subject};
use crate::audit::{Found, Subject};
use crate::calendar::{Day, IsoWeek, Weekday};
use crate::plan::roster::{PersonDuty, PersonTotals, Roster};
use crate::scenario::{Person, Scenario};
use std::collections::{BTreeMap, BTreeSet};

/// Checks every person of the staff.
pub(super) fn check(
    scenario: &Scenario,
    roster: &Roster,
    duties: &[&PersonDuty],
    found: &mut Found,
) {
    for person in &scenario.staff {
        let mut own: Vec<&PersonDuty> = duties
            .iter()
            .copied()
            .filter(|duty| duty.person == person.id)
            .collect();
        own.sort_by_key(|duty| (duty.day, duty.start_minute));
        one_a_day(&own, found);
        for duty in &own {
            fit_for(person, duty, found);
        }
        let days: BTreeSet<Day> = own.iter().map(|duty| duty.day).collect();
        in_a_row(scenario, person, &days, found);
        weeks(scenario, person, &days, found);
        if person.fixed_days_off {
            fixed(scenario, person, &days, found);
        }
        rest(scenario, &own, found);
    }
    sums(scenario, roster, duties, found);
}

fn about(person: &Person) -> Subject {
    Subject::Person {
        id: person.id.clone(),
    }
}

fn one_a_day(own: &[&PersonDuty], found: &mut Found) {
    for pair in own.windows(2) {
        if pair[0].day == pair[1].day {
            let what = format!("`{}` has two duties on {}", pair[0].person, pair[0].day);
            found.add("N003", subject(pair[0]), Some(pair[0].day), 1, what);
        }
    }
}

fn fit_for(person: &Person, duty: &PersonDuty, found: &mut Found) {
    let can = match &duty.crew {
        Some(crew) => person.crews.contains(crew),
        None => person.watches,
    };
    if !can {
        let what = format!(
            "`{}` is on duty for {} on {}, which they cannot do",
            person.id,
            post(duty.crew.as_deref()),
            duty.day
        );
        found.add("N004", about(person), Some(duty.day), 1, what);
    }
    if let Some(away) = person
        .away
        .iter()
        .find(|span| span.first <= duty.day && duty.day <= span.last)
    {
        let what = format!(
            "`{}` is on duty on {} and away on {away}",
            person.id, duty.day
        );
        found.add("N005", about(person), Some(duty.day), 1, what);
    }
}

fn in_a_row(scenario: &Scenario, person: &Person, days: &BTreeSet<Day>, found: &mut Found) {
    let most = scenario.duty.days_in_a_row_most;
    for first in days {
        if days.contains(&first.plus(-1)) {
            continue;
        }
        let mut last = *first;
        while days.contains(&last.plus(1)) {
            last = last.plus(1);
        }
        let row = i64::from(last.since(*first)) + 1;
        if row > most {
            let what = format!(
                "`{}` is on duty on {row} days in a row, {first} to {last}; {most} are allowed",
                person.id
            );
            found.add("N006", about(person), Some(last), (row - most).into(), what);
        }
    }
}

fn weeks(scenario: &Scenario, person: &Person, days: &BTreeSet<Day>, found: &mut Found) {
    let mut by_week: BTreeMap<IsoWeek, BTreeSet<usize>> = BTreeMap::new();
    for day in days {
        let of_week = by_week.entry(day.iso_week()).or_default();
        of_week.insert(day.weekday() as usize);
    }
    let most = person
        .days_a_week_most
        .unwrap_or(scenario.duty.days_a_week_most);
    for (week, worked) in by_week {
        let count = worked.len() as i64;
        if count > most {
            let what = format!(
                "`{}` is on duty on {count} days of {week}; {most} are allowed",
                person.id
            );
            found.add(
                "N007",
                about(person),
                week.monday(),
                (count - most).into(),
                what,
            );
        }
        // Of fixed days off it is the week in general that has them together.
        let together = scenario.duty.free_days_together;
        let longest = longest_free(&worked, false);
        if !person.fixed_days_off && longest < together {
            let what = format!(
                "`{}` has {longest} free days next to each other in {week}; {together} are wanted",
                person.id
            );
            found.add(
                "N008",
                about(person),
                week.monday(),
                (together - longest).into(),
                what,
            );
        }
    }
}

/// Most free days next to each other in a week; `around`: the week begins anew after Sunday.
fn longest_free(worked: &BTreeSet<usize>, around: bool) -> i64 {
    if worked.is_empty() {
        return 7;
    }
    let (mut longest, mut now) = (0, 0);
    // Two weeks after each other show what lies around Sunday.
    for day in 0..if around { 14 } else { 7 } {
        now = if worked.contains(&(day % 7)) {
            0
        } else {
            now + 1
        };
        longest = longest.max(now);
    }
    longest
}

fn fixed(scenario: &Scenario, person: &Person, days: &BTreeSet<Day>, found: &mut Found) {
    let worked: BTreeSet<usize> = days.iter().map(|day| day.weekday() as usize).collect();
    let most = person
        .days_a_week_most
        .unwrap_or(scenario.duty.days_a_week_most);
    let together = scenario.duty.free_days_together;
    let (count, longest) = (worked.len() as i64, longest_free(&worked, true));
    if count > most || longest < together {
        let names = worked.iter().map(|day| Weekday::ALL[*day].to_string());
        let what = format!(
            "`{}` has fixed days off and is on duty on {}; {most} days of the week are allowed, with {together} free ones \
             next to each other",
            person.id,
            names.collect::<Vec<_>>().join(", ")
        );
        let amount = (count - most).max(together - longest).max(0);
        found.add("N010", about(person), None, amount.into(), what);
    }
}

fn rest(scenario: &Scenario, own: &[&PersonDuty], found: &mut Found) {
    // Hundredths of an hour are 36 s: counted in tenths of a minute, ten to the minute and six to the hundredth.
    let least = i128::from(scenario.duty.rest_hours_least.0) * 6 / 10;
    for pair in own.windows(2) {
        let days = i128::from(pair[1].day.since(pair[0].day));
        if days == 0 {
            continue;
        }
        let begins = days * 1_440 + i128::from(pair[1].start_minute);
        let free = begins - i128::from(pair[0].end_minute);
        if free < least {
            let what = format!(
                "`{}` rests {free} min between the duties of {} and {}; {least} min are the least",
                pair[0].person, pair[0].day, pair[1].day
            );
            found.add(
                "N009",
                subject(pair[1]),
                Some(pair[1].day),
                least - free,
                what,
            );
        }
    }
}

/// The sums of each person, and that everybody is listed once.
fn sums(scenario: &Scenario, roster: &Roster, duties: &[&PersonDuty], found: &mut Found) {
    let mut counted: BTreeMap<&str, PersonTotals> = BTreeMap::new();
    for person in &scenario.staff {
        let mut own: Vec<&&PersonDuty> = duties
            .iter()
            .filter(|duty| duty.person == person.id)
            .collect();
        own.sort_by_key(|duty| (duty.day, duty.start_minute));
        let weekend = |duty: &&&&PersonDuty| {
            matches!(duty.day.weekday(), Weekday::Saturday | Weekday::Sunday)
        };
        let total = PersonTotals {
            person: person.id.clone(),
            days: own.len() as i64,
            weekend_days: own.iter().filter(weekend).count() as i64,
            late: own.iter().filter(|duty| duty.late).count() as i64,
            nights: own.iter().filter(|duty| duty.crew.is_none()).count() as i64,
            changes: own
                .windows(2)
                .filter(|pair| pair[0].crew != pair[1].crew)
                .count() as i64,
        };
        counted.insert(&person.id, total);
    }
    for stated in &roster.people {
        match counted.remove(stated.person.as_str()) {
            Some(total) if total == *stated => {}
            Some(total) => {
                let what = format!(
                    "the sums of `{}` are {}; stated are {}",
                    stated.person,
                    say(&total),
                    say(stated)
                );
                let id = stated.person.clone();
                found.add("N016", Subject::Person { id }, None, 0, what);
            }
            None => {
                let what = format!(
                    "sums are stated of `{}`, twice or without such a person",
                    stated.person
                );
                let id = stated.person.clone();
                found.add("N016", Subject::Person { id }, None, 0, what);
            }
        }
    }
    for (person, _) in counted {
        let id = person.to_owned();
        let what = format!("the sums of `{id}` are missing");
        found.add("N016", Subject::Person { id }, None, 0, what);
    }
}

fn say(total: &PersonTotals) -> String {
    format!(
        "{} days, {} at weekends, {} late, {} nights, {} changes",
        total.days, total.weekend_days, total.late, total.nights, total.changes
    )
}
