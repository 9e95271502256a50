//! People hired by the ISO week beside a crew's regular staff: as many as the plan states, what they cost, and the hours of a week.

use super::book::Book;
use super::people::{people, shift_of_one};
use super::whole::{MINUTE, hours_ms};
use super::{Found, Subject};
use crate::calendar::{Day, IsoWeek};
use crate::plan::types::Bought;
use crate::scenario::{Casual, Crew, Scenario};
use std::collections::BTreeMap;

/// More than this are not counted: products stay far inside 128 bits.
const MOST_COUNTED: i64 = 1_000_000;

/// People hired, by crew and week. Only crews that can hire have any.
pub(super) struct Hired(BTreeMap<(String, IsoWeek), i64>);

impl Hired {
    /// Nobody, as in plans by hand.
    pub(super) fn nobody() -> Hired {
        Hired(BTreeMap::new())
    }

    /// As the plan states them; fewer than none count as none.
    pub(super) fn stated(book: &Book) -> Hired {
        let mut hired = BTreeMap::new();
        for week in &book.plan.people {
            if book
                .crew(&week.crew)
                .is_some_and(|crew| crew.casual.is_some())
            {
                let people = week.casual.clamp(0, MOST_COUNTED);
                hired.insert((week.crew.clone(), week.week), people);
            }
        }
        Hired(hired)
    }

    /// People hired by a crew in a week.
    pub(super) fn of(&self, crew: &Crew, week: IsoWeek) -> i64 {
        let key = (crew.id.clone(), week);
        self.0.get(&key).copied().unwrap_or(0)
    }

    /// People hired by a crew in the week of a day.
    pub(super) fn on(&self, crew: &Crew, day: Day) -> i64 {
        self.of(crew, day.iso_week())
    }
}

/// A crew's week, cut at the horizon.
struct Week {
    name: IsoWeek,
    /// Its working days.
    working: Vec<Day>,
}

/// The weeks of the horizon, in order.
fn weeks(scenario: &Scenario, crew: &Crew) -> Vec<Week> {
    let calendar = scenario.calendars.get(crew.calendar);
    let mut weeks: BTreeMap<IsoWeek, Vec<Day>> = BTreeMap::new();
    for day in scenario.horizon.iter() {
        let working = weeks.entry(day.iso_week()).or_default();
        if calendar.works(day) {
            working.push(day);
        }
    }
    let named = weeks.into_iter();
    named
        .map(|(name, working)| Week { name, working })
        .collect()
}

/// Price of all people hired, and of all changes of their number, thousandths.
pub(super) fn prices(scenario: &Scenario, hired: &Hired) -> (i128, i128) {
    let (mut people, mut changes) = (0, 0);
    for crew in &scenario.crews {
        let Some(casual) = crew.casual else { continue };
        let mut before = i128::from(casual.before);
        for week in weeks(scenario, crew) {
            let now = i128::from(hired.of(crew, week.name));
            people += i128::from(casual.price_per_day.0) * now * week.working.len() as i128;
            changes += change(&casual, now - before);
            before = now;
        }
    }
    (people, changes)
}

fn change(casual: &Casual, more: i128) -> i128 {
    let price = if more > 0 {
        casual.hire
    } else {
        casual.release
    };
    more.abs() * i128::from(price.0)
}

/// Minutes that may be bought of a crew in a week; none without a limit.
fn may_be_bought(crew: &Crew, week: &Week, hired: i64) -> Option<i128> {
    let a_person = hours_ms(crew.week_hours_most?);
    let hired = i128::from(hired);
    let regular = week
        .working
        .iter()
        .map(|day| i128::from(people(crew, *day)));
    let present = week.working.iter().map(|day| {
        let there = i128::from(people(crew, *day)) + hired;
        there * shift_of_one(crew, *day)
    });
    let whole = (regular.max().unwrap_or(0) + hired) * a_person;
    Some((whole - present.sum::<i128>()).max(0) / MINUTE)
}

/// Checks the numbers of people hired, and what is bought against the hours of each week.
pub(super) fn check(book: &Book, hired: &Hired, bought: &[Bought], found: &mut Found) {
    check_numbers(book, found);
    for crew in &book.scenario.crews {
        for week in weeks(book.scenario, crew) {
            let casual = hired.of(crew, week.name);
            let Some(most) = may_be_bought(crew, &week, casual) else {
                continue;
            };
            let of_week = bought
                .iter()
                .filter(|one| one.crew == crew.id && one.day.iso_week() == week.name);
            let minutes: i128 = of_week.map(|one| i128::from(one.minutes)).sum();
            if minutes > most {
                let what = format!(
                    "people: `{}` needs {minutes} min beyond its shifts in {}, the hours of a week leave {most} min",
                    crew.id, week.name
                );
                found.add("A115", subject(&crew.id), None, minutes - most, what);
            }
        }
    }
}

fn check_numbers(book: &Book, found: &mut Found) {
    for week in &book.plan.people {
        let Some(crew) = book.crew(&week.crew) else {
            // Such a week is named where weeks are compared.
            continue;
        };
        let said = format!("people: `{}` in {}", week.crew, week.week);
        let casual = week.casual;
        match crew.casual {
            None if casual != 0 => {
                let what = format!("{said} is stated with {casual} hired, and nobody can be");
                found.add("A114", subject(&crew.id), None, casual.into(), what);
            }
            Some(offer) if !(0..=offer.most).contains(&casual) => {
                let most = offer.most;
                let what = format!("{said} is stated with {casual} hired, 0 to {most} can be");
                let off = i128::from(casual) - i128::from(if casual < 0 { 0 } else { most });
                found.add("A113", subject(&crew.id), None, off, what);
            }
            _ => {}
        }
    }
}

fn subject(crew: &str) -> Subject {
    Subject::Crew {
        id: crew.to_string(),
    }
}
