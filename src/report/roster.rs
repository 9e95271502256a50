//! A roster for the wall: weeks by people, sums by person, what nobody fills, and the audit's word.

mod person;
mod week;

pub use person::text as person_text;

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, count, duration, people, short_day, wrap};
use crate::audit::{Breach, duties};
use crate::calendar::IsoWeek;
use crate::plan::Plan;
use crate::plan::roster::{Missing, Roster, Unfilled};
use crate::scenario::{Duty, Scenario};
use std::collections::BTreeMap;

/// So many of a list are told unless all are asked for.
const SHOWN: usize = 12;

/// A roster, the plan that it is for, and what the second count says of it.
#[derive(Clone, Copy)]
#[allow(missing_docs)]
pub struct Told<'a> {
    pub plan: &'a Plan,
    pub roster: &'a Roster,
    pub breaches: &'a [Breach],
}

impl<'a> Told<'a> {
    fn scenario(&self) -> &'a Scenario {
        &self.plan.scenario
    }
}

/// The whole roster, or the one week; with `all`, every place that nobody fills.
pub fn text(told: Told<'_>, only: Option<IsoWeek>, all: bool) -> String {
    let scenario = told.scenario();
    let mut out = wrap(
        "",
        "  ",
        &format!(
            "Roster of {}, {} to {}, for revision {} of the plan",
            scenario.name, scenario.horizon.first, scenario.horizon.last, told.roster.plan_revision
        ),
    );
    out.push_str(&wrap("", "  ", &limits(scenario)));
    out.push('\n');
    out.push_str(&week::legend(told));
    for week in weeks(told) {
        if only.is_none_or(|only| only == week) {
            out.push('\n');
            out.push_str(&week::block(told, week));
        }
    }
    out.push('\n');
    out.push_str(&totals(told));
    out.push('\n');
    out.push_str(&unfilled(told, only, all));
    out.push('\n');
    out.push_str(&word(told));
    out
}

/// The weeks with a duty, hired people or an unfilled place.
fn weeks(told: Told<'_>) -> Vec<IsoWeek> {
    let roster = told.roster;
    let duties = roster.duties.iter().map(|one| one.day);
    let hired = roster.hired.iter().map(|one| one.day);
    let unfilled = roster.unfilled.iter().map(|one| one.day);
    let days = duties.chain(hired).chain(unfilled);
    let mut weeks: Vec<IsoWeek> = days.map(|day| day.iso_week()).collect();
    weeks.sort_unstable();
    weeks.dedup();
    weeks
}

/// The limits that it keeps to.
fn limits(scenario: &Scenario) -> String {
    let duty: &Duty = &scenario.duty;
    let days = |number: i64| count(number, "day", "days");
    let rest = duration(duty.rest_hours_least.0 * 3 / 5);
    let together = match duty.free_days_together {
        0 | 1 => String::new(),
        more => format!(", {more} free days of a week together"),
    };
    format!(
        "{}; most in a row {}, most in a week {}, least rest {rest}{together} (as the scenario says; local rules and \
         contracts govern)",
        people(scenario.staff.len() as i64),
        days(duty.days_in_a_row_most),
        days(duty.days_a_week_most),
    )
}

/// What a person is called; the id where the scenario has none of it.
fn name<'a>(scenario: &'a Scenario, id: &'a str) -> &'a str {
    scenario.person(id).map_or(id, |person| &person.name)
}

/// What a crew, or the watch, is called.
fn post<'a>(scenario: &'a Scenario, crew: Option<&'a str>) -> &'a str {
    let Some(id) = crew else {
        return "night watch";
    };
    let mut crews = scenario.crews.iter();
    crews.find(|one| one.id == id).map_or(id, |one| &one.name)
}

fn totals(told: Told<'_>) -> String {
    let right = |title| Column::new(title, Align::Right, Fit::Keep);
    let mut table = Table::new(vec![
        Column::new("person", Align::Left, Fit::Cut),
        right("days"),
        right("weekend days"),
        right("late shifts"),
        right("nights"),
        right("changes"),
    ]);
    for total in &told.roster.people {
        let number = |number: i64| match number {
            0 => "-".to_owned(),
            number => number.to_string(),
        };
        table.row([
            name(told.scenario(), &total.person).to_owned(),
            number(total.days),
            number(total.weekend_days),
            number(total.late),
            number(total.nights),
            number(total.changes),
        ]);
    }
    format!(
        "By person (nights are among the late shifts; changes: another crew than before)\n{}",
        table.render(WIDTH)
    )
}

fn unfilled(told: Told<'_>, only: Option<IsoWeek>, all: bool) -> String {
    let of_week = told.roster.unfilled.iter();
    let missing: Vec<&Unfilled> = of_week
        .filter(|one| only.is_none_or(|only| one.day.iso_week() == only))
        .collect();
    let within = if only.is_some() { " in this week" } else { "" };
    if missing.is_empty() {
        return format!("Every place is filled{within}.\n");
    }
    let places = missing.iter().filter(|one| one.missing == Missing::Person);
    let places: i64 = places.map(|one| one.places).sum();
    let licences = missing.iter().filter(|one| one.missing == Missing::Licence);
    let licences = licences.count();
    let mut parts = Vec::new();
    if places > 0 {
        parts.push(count(places, "place unfilled", "places unfilled"));
    }
    if licences > 0 {
        parts.push(count(licences, "licence missing", "licences missing"));
    }
    let mut out = format!("Not filled{within}: {}\n", parts.join(", "));
    // Days of the same crew with the same reason are told together.
    let mut alike: BTreeMap<(usize, &str), Vec<&Unfilled>> = BTreeMap::new();
    let first = |one: &Unfilled| {
        missing.iter().position(|other| {
            (&other.crew, other.missing, other.stays, &other.reason)
                == (&one.crew, one.missing, one.stays, &one.reason)
        })
    };
    for one in &missing {
        let key = (first(one).unwrap_or(0), one.reason.as_str());
        alike.entry(key).or_default().push(one);
    }
    let shown = if all { usize::MAX } else { SHOWN };
    for group in alike.values().take(shown) {
        out.push_str(&one_reason(told, group));
    }
    if alike.len() > shown {
        let more = count(alike.len() - shown, "more reason", "more reasons");
        out.push_str(&format!("  … {more}: --all tells every one\n"));
    }
    out
}

fn one_reason(told: Told<'_>, group: &[&Unfilled]) -> String {
    let Some(one) = group.first() else {
        return String::new();
    };
    let days = group.iter().map(|one| {
        let places = match one.places {
            1 => String::new(),
            more => format!(" ({more})"),
        };
        format!("{}{places}", short_day(one.day))
    });
    let what = match one.missing {
        Missing::Licence => "nobody with the licence",
        Missing::Person if one.stays => "place to stay for overtime",
        Missing::Person => "place",
    };
    let crew = post(told.scenario(), one.crew.as_deref());
    let mut out = wrap(
        "  - ",
        "    ",
        &format!("{crew}, {what}: {}", days.collect::<Vec<_>>().join(", ")),
    );
    out.push_str(&wrap("    why: ", "      ", &one.reason));
    if let Some(help) = &one.help {
        out.push_str(&wrap("    help: ", "      ", help));
    }
    out
}

fn word(told: Told<'_>) -> String {
    if told.breaches.is_empty() {
        return wrap(
            "",
            "  ",
            "Counted again by the audit: no limit is broken, and every place is filled or listed.",
        );
    }
    let mut out = format!(
        "Counted again by the audit, it breaks rules in {}:\n",
        count(told.breaches.len(), "place", "places")
    );
    for breach in told.breaches {
        let title = match duties::title(breach.code) {
            "" => crate::audit::codes::title(breach.code),
            title => title,
        };
        let said = format!("{title} [{}]: {}", breach.code, breach.what);
        out.push_str(&wrap("  - ", "    ", &said));
    }
    out
}
