//! What the plan asks for each day and night, against who is there and what is listed as missing.

use super::{post, subject};
use crate::audit::book::{Book, Sort};
use crate::audit::hired::Hired;
use crate::audit::people::{Needed, bought, people, shift_of_one};
use crate::audit::trays::planned_washing;
use crate::audit::whole::{MINUTE, fit, hours_ms, up};
use crate::audit::{Found, Subject};
use crate::calendar::Day;
use crate::plan::roster::{Missing, PersonDuty, Roster};
use crate::plan::types::{Bought, BoughtWhat};
use crate::scenario::{Crew, NightWatch};
use std::collections::BTreeMap;

/// Which places: day, crew (none: the night watch), whether they stay for overtime.
type Place<'a> = (Day, Option<&'a str>, bool);

/// Like places of one day.
struct Asked {
    start: i128,
    end: i128,
    places: i128,
    late: bool,
}

/// All that a plan asks for.
#[derive(Default)]
struct Wanted<'a> {
    places: BTreeMap<Place<'a>, Asked>,
    /// People hired on a shift, and how many of them stay.
    hired: BTreeMap<(Day, &'a str), (i128, i128)>,
}

/// Checks places, marks of late shifts, licences and hired people.
pub(super) fn check(book: &Book, roster: &Roster, duties: &[&PersonDuty], found: &mut Found) {
    let wanted = wanted(book);
    let mut there: BTreeMap<Place, i128> = BTreeMap::new();
    for duty in duties {
        let place = (duty.day, duty.crew.as_deref(), duty.stays);
        let Some(asked) = wanted.places.get(&place) else {
            let what = format!(
                "`{}` is on duty for {} on {}{}, for which the plan has no place",
                duty.person,
                post(duty.crew.as_deref()),
                duty.day,
                if duty.stays {
                    " and stays for overtime"
                } else {
                    ""
                }
            );
            found.add("N011", subject(duty), Some(duty.day), 1, what);
            continue;
        };
        *there.entry(place).or_default() += 1;
        let hours = (i128::from(duty.start_minute), i128::from(duty.end_minute));
        if hours != (asked.start, asked.end) {
            let what = format!(
                "`{}` is on duty on {} from minute {} to {}, and the plan asks from {} to {}",
                duty.person, duty.day, hours.0, hours.1, asked.start, asked.end
            );
            found.add("N011", subject(duty), Some(duty.day), 1, what);
        }
        if duty.late != asked.late {
            let (is, said) = if asked.late {
                ("a late shift", "not marked as one")
            } else {
                ("no late shift", "marked as one")
            };
            let what = format!(
                "the duty of `{}` on {} is {is} and {said}",
                duty.person, duty.day
            );
            found.add("N013", subject(duty), Some(duty.day), 1, what);
        }
    }
    filled_or_listed(&wanted, &there, roster, found);
    licences(book, roster, duties, found);
    hired(&wanted, roster, found);
}

fn filled_or_listed(
    wanted: &Wanted,
    there: &BTreeMap<Place, i128>,
    roster: &Roster,
    found: &mut Found,
) {
    let mut listed: BTreeMap<Place, i128> = BTreeMap::new();
    let of_people = roster.unfilled.iter();
    for one in of_people.filter(|one| one.missing == Missing::Person) {
        *listed
            .entry((one.day, one.crew.as_deref(), one.stays))
            .or_default() += i128::from(one.places);
    }
    let mut all: Vec<Place> = wanted.places.keys().copied().collect();
    all.extend(listed.keys().copied());
    all.sort_unstable();
    all.dedup();
    for place in all {
        let places = wanted.places.get(&place).map_or(0, |asked| asked.places);
        let have = there.get(&place).copied().unwrap_or(0);
        let said = listed.get(&place).copied().unwrap_or(0);
        if have + said != places {
            let (day, crew, stays) = place;
            let what = format!(
                "{}{} on {day} has {places} places: {have} are filled and {said} listed as unfilled",
                post(crew),
                if stays { ", staying for overtime," } else { "" },
            );
            let about = crew.map_or(Subject::Plan, |id| Subject::Crew { id: id.to_owned() });
            found.add("N012", about, Some(day), (have + said - places).abs(), what);
        }
    }
}

/// Days on which treated seed goes to soak.
fn licences(book: &Book, roster: &Roster, duties: &[&PersonDuty], found: &mut Found) {
    let Some(soak) = &book.scenario.work.soak else {
        return;
    };
    let mut missing: BTreeMap<(Day, &str), i128> = BTreeMap::new();
    let listed = roster.unfilled.iter();
    for one in listed.filter(|one| one.missing == Missing::Licence) {
        let crew = one.crew.as_deref().unwrap_or_default();
        *missing.entry((one.day, crew)).or_default() += i128::from(one.places);
    }
    let mut wanted: BTreeMap<(Day, &str), bool> = BTreeMap::new();
    for run in &book.runs {
        let soaked = run.run.soak.filter(|_| run.kind.treatment.is_some());
        let day = soaked.filter(|day| book.scenario.horizon.contains(*day));
        if let Some(day) = day {
            let holds = duties.iter().any(|duty| {
                let mut staff = book.scenario.staff.iter();
                duty.day == day
                    && duty.crew.as_deref() == Some(&soak.crew)
                    && staff.any(|one| one.id == duty.person && one.licensed)
            });
            wanted.insert((day, &soak.crew), holds);
        }
    }
    let mut all: Vec<(Day, &str)> = wanted.keys().chain(missing.keys()).copied().collect();
    all.sort_unstable();
    all.dedup();
    for (day, crew) in all {
        let lacking = wanted.get(&(day, crew)).is_some_and(|holds| !holds);
        let listed = missing.get(&(day, crew)).copied().unwrap_or(0);
        if i128::from(lacking) != listed {
            let said = if lacking {
                "treated seed is put to soak, nobody with the licence is there, and it is not listed as missing"
            } else {
                "a licence is listed as missing that is there or not needed"
            };
            let about = Subject::Crew {
                id: crew.to_owned(),
            };
            let what = format!("{} on {day}: {said}", post(Some(crew)));
            found.add("N014", about, Some(day), 1, what);
        }
    }
}

fn hired(wanted: &Wanted, roster: &Roster, found: &mut Found) {
    let mut stated: BTreeMap<(Day, &str), (i128, i128)> = BTreeMap::new();
    for one in &roster.hired {
        let sum = stated.entry((one.day, &one.crew)).or_default();
        sum.0 += i128::from(one.people);
        sum.1 += i128::from(one.stay);
    }
    let mut all: Vec<(Day, &str)> = wanted.hired.keys().chain(stated.keys()).copied().collect();
    all.sort_unstable();
    all.dedup();
    for key in all {
        let counted = wanted.hired.get(&key).copied().unwrap_or_default();
        let said = stated.get(&key).copied().unwrap_or_default();
        if counted != said {
            let (day, crew) = key;
            let what = format!(
                "{} on {day} has {} hired people of whom {} stay; stated are {} and {}",
                post(Some(crew)),
                counted.0,
                counted.1,
                said.0,
                said.1
            );
            let about = Subject::Crew {
                id: crew.to_owned(),
            };
            let amount = (counted.0 - said.0).abs() + (counted.1 - said.1).abs();
            found.add("N015", about, Some(day), amount, what);
        }
    }
}

/// Minutes of a length in milliseconds, rounded up.
fn minutes(ms: i128) -> i128 {
    up(ms, MINUTE)
}

fn wanted<'a>(book: &Book<'a>) -> Wanted<'a> {
    let scenario = book.scenario;
    let mut needed = Needed::count(book);
    for (day, trays) in planned_washing(book).days() {
        needed.wash(scenario, day, trays);
    }
    let by_week = Hired::stated(book);
    let all_bought = bought(scenario, &needed, &by_week);
    let mut wanted = Wanted::default();
    let late_from = i128::from(scenario.duty.late_from_minute);
    for day in scenario.horizon.iter() {
        for crew in &scenario.crews {
            let start = i128::from(start_of(crew, day));
            let shift = minutes(shift_of_one(crew, day));
            let paid = paid(&all_bought, crew, day);
            let mut put = |stays: bool, length: i128, places: i128| {
                let end = start + length;
                let late = stays || end >= late_from;
                let asked = Asked {
                    start,
                    end,
                    places,
                    late,
                };
                if places > 0 {
                    wanted.places.insert((day, Some(&crew.id), stays), asked);
                }
            };
            if !scenario.calendars.get(crew.calendar).works(day) {
                let shift = shift.max(1);
                let most = i128::from(crew.rest_day_people);
                let places = up(paid(BoughtWhat::RestDay), shift).min(most);
                if places > 0 {
                    put(
                        false,
                        up(paid(BoughtWhat::RestDay), places).min(shift),
                        places,
                    );
                }
            } else if needed.on(crew, day) > 0 {
                let regular = i128::from(people(crew, day));
                let casual = i128::from(by_week.on(crew, day));
                let extra = paid(BoughtWhat::Overtime);
                let longest = (hours_ms(crew.overtime_hours) / MINUTE).max(1);
                let stay = up(extra, longest).min(regular + casual);
                let longer = if stay > 0 { up(extra, stay) } else { 0 };
                let ours = stay.min(regular);
                put(true, shift + longer, ours);
                put(false, shift, regular - ours);
                if casual > 0 {
                    wanted.hired.insert((day, &crew.id), (casual, stay - ours));
                }
            }
        }
        if let Some(watch) = &scenario.duty.night_watch
            && watch.people > 0
            && watched(book, watch, day)
        {
            let start = i128::from(watch.start_minute);
            let asked = Asked {
                start,
                end: start + minutes(hours_ms(watch.hours)),
                places: i128::from(watch.people),
                late: true,
            };
            wanted.places.insert((day, None, false), asked);
        }
    }
    wanted
}

/// Minutes bought of a crew on a day.
fn paid(all: &[Bought], crew: &Crew, day: Day) -> impl Fn(BoughtWhat) -> i128 {
    let of = |what| {
        let of_day = all.iter();
        of_day
            .filter(|one| one.crew == crew.id && one.day == day && one.what == what)
            .map(|one| i128::from(one.minutes))
            .sum()
    };
    let (overtime, rest): (i128, i128) = (of(BoughtWhat::Overtime), of(BoughtWhat::RestDay));
    move |what| match what {
        BoughtWhat::Overtime => overtime,
        BoughtWhat::RestDay => rest,
    }
}

fn start_of(crew: &Crew, day: Day) -> i64 {
    let span = crew.spans.iter().find(|span| span.days.contains(day));
    let other = span.and_then(|span| span.shift_start_minute);
    fit(other.unwrap_or(crew.shift_start_minute).into())
}

/// Whether somebody watches in the night after a day: over stacks, or over trays in beds before a cold day.
fn watched(book: &Book, watch: &NightWatch, day: Day) -> bool {
    let over_stacks = || {
        book.runs.iter().any(|run| {
            let mut stacks = run.run.stacks.iter();
            run.sort != Sort::Seed && run.run.sow <= day && stacks.any(|one| one.open > day)
        })
    };
    let over_beds = || {
        let mut parts = book.parts.iter();
        parts.any(|part| part.in_beds() && part.delivery.open <= day && part.leaves > day)
    };
    let next_low = || {
        let next = day.plus(1);
        let mut rows = book.scenario.weather.iter();
        rows.find(|row| row.date == next).map(|row| row.min_c)
    };
    let cold = || {
        watch
            .below_c
            .is_some_and(|below| next_low().is_some_and(|low| low < below))
    };
    (watch.stacks && over_stacks()) || (cold() && over_beds())
}
