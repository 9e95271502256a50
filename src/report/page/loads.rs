//! Loads against limits and what is left in store, in words and as series for the charts.

use super::data::{Full, Series};
use crate::audit::Ledger;
use crate::audit::daily::{Counted, Load, LoadDay};
use crate::calendar::Day;
use crate::plan::Plan;
use crate::plan::view::PlanError;
use crate::report::text::{duration, number, short_day};
use crate::stores::needs;
use crate::units::{div_near, fit};

/// From so many percent on it is full: nothing that people handle would still fit. *Source*: common practice, no source.
const FULL: i64 = 95;
/// Things said of what gets full.
const SAID: usize = 5;

/// True of ledgers of stores, which count what is drawn up to a day.
fn is_store(ledger: Ledger) -> bool {
    matches!(
        ledger,
        Ledger::SeedStore | Ledger::SoilStore | Ledger::AgentStore | Ledger::SoakedSeed
    )
}

/// So much on a ledger, as people say it.
fn amount(ledger: Ledger, value: i64) -> String {
    let whole = |parts: i64| number(div_near(value, parts));
    match ledger {
        Ledger::LineHours | Ledger::CrewHours | Ledger::PlantingMachine => {
            duration(div_near(value, 60_000))
        }
        Ledger::StackPlaces => format!("{} stacks", number(value)),
        Ledger::BedFloor | Ledger::TraysInUse | Ledger::Vehicles => {
            format!("{} trays", number(value))
        }
        Ledger::SoakedSeed | Ledger::SeedStore | Ledger::Tank => format!("{} kg", whole(10_000)),
        Ledger::SoilStore => format!("{} L", whole(1_000_000)),
        Ledger::Water => format!("{} L", whole(100)),
        Ledger::FleetDay => format!("{} %", whole(10_000)),
        Ledger::AgentStore => format!("{} mL", whole(100_000)),
    }
}

/// Local name of the thing, and what is counted of it.
fn title(plan: &Plan, load: &Load) -> (String, &'static str) {
    let s = &plan.scenario;
    let named = |mut all: Vec<(&String, &String)>| -> String {
        let found = all.drain(..).find(|(id, _)| **id == load.id);
        found.map_or(load.id.clone(), |(_, name)| name.clone())
    };
    match load.ledger {
        Ledger::LineHours => (
            named(s.lines.iter().map(|one| (&one.id, &one.name)).collect()),
            "hours of the line",
        ),
        Ledger::StackPlaces => (
            named(
                s.germination
                    .iter()
                    .map(|one| (&one.id, &one.name))
                    .collect(),
            ),
            "stacks",
        ),
        Ledger::BedFloor => (
            named(s.beds.iter().map(|one| (&one.id, &one.name)).collect()),
            "trays on the floor",
        ),
        Ledger::CrewHours => (
            named(s.crews.iter().map(|one| (&one.id, &one.name)).collect()),
            "hours of work",
        ),
        Ledger::PlantingMachine => (
            named(s.planters.iter().map(|one| (&one.id, &one.name)).collect()),
            "hours of planting",
        ),
        Ledger::SoakedSeed | Ledger::SeedStore => (
            named(s.kinds.iter().map(|one| (&one.id, &one.name)).collect()),
            "seed",
        ),
        Ledger::SoilStore => (
            named(
                s.soil_stores
                    .iter()
                    .map(|one| (&one.id, &one.name))
                    .collect(),
            ),
            "soil",
        ),
        Ledger::AgentStore => (
            named(s.agents.iter().map(|one| (&one.id, &one.name)).collect()),
            "agent",
        ),
        Ledger::TraysInUse => ("Trays".into(), "not clean and at hand"),
        Ledger::Water => ("Water".into(), "litres a day"),
        Ledger::Tank => ("Soaking tank".into(), "seed in it"),
        Ledger::Vehicles | Ledger::FleetDay => ("Vehicles".into(), "trays that leave"),
    }
}

/// What gets full from `today` on: the first span of days of each thing, the earliest first. When nothing does, what comes nearest.
pub(super) fn full(plan: &Plan, loads: &[Load], today: Day) -> Vec<Full> {
    let mut all: Vec<Full> = Vec::new();
    let mut nearest: Option<(i64, Full)> = None;
    for load in loads {
        let coming = load.days.iter().filter(|on| on.day >= today);
        let coming: Vec<LoadDay> = coming.copied().collect();
        let is_full = |on: &LoadDay| on.used > 0 && on.percent() >= FULL;
        let Some(at) = coming.iter().position(is_full) else {
            let fullest = coming.iter().filter(|on| on.used > 0);
            let fullest = fullest.max_by_key(|on| (on.percent(), std::cmp::Reverse(on.day)));
            let better = |percent: i64| nearest.as_ref().is_none_or(|(most, _)| percent > *most);
            if let Some(on) = fullest.filter(|on| better(on.percent()) && !is_store(load.ledger)) {
                let (name, what) = title(plan, load);
                let words = format!(
                    "Nothing gets full. Nearest to it is {name} ({what}): {} of {} on {}",
                    amount(load.ledger, on.used),
                    amount(load.ledger, on.there),
                    short_day(on.day)
                );
                nearest = Some((on.percent(), Full { day: on.day, words }));
            }
            continue;
        };
        let span: Vec<&LoadDay> = coming[at..].iter().take_while(|on| is_full(on)).collect();
        if let (Some(first), Some(last)) = (span.first(), span.last()) {
            let top = span.iter().max_by_key(|on| on.percent()).unwrap_or(first);
            let words = in_words(plan, load, (first, last, top));
            all.push(Full {
                day: first.day,
                words,
            });
        }
    }
    all.sort_by_key(|full| full.day);
    all.truncate(SAID);
    if all.is_empty() {
        all.extend(nearest.map(|(_, full)| full));
    }
    all
}

fn in_words(
    plan: &Plan,
    load: &Load,
    (first, last, top): (&LoadDay, &LoadDay, &LoadDay),
) -> String {
    let (name, what) = title(plan, load);
    let days = match first.day == last.day {
        true => format!("on {}", short_day(first.day)),
        false => format!("from {} to {}", short_day(first.day), short_day(last.day)),
    };
    let (used, there) = (
        amount(load.ledger, top.used),
        amount(load.ledger, top.there),
    );
    let over = top.used > top.there;
    match load.ledger {
        Ledger::CrewHours if over => {
            format!("{name} works longer than its shift {days}: {used} of work, {there} of shift")
        }
        Ledger::CrewHours => format!("{name} has no time to spare {days}: {used} of {there}"),
        _ if is_store(load.ledger) => {
            let from = short_day(first.day);
            format!("{name}: the {what} in store is used up from {from} on: {used} of {there}")
        }
        Ledger::TraysInUse => {
            format!("Hardly a clean tray is left {days}: {used} of {there} are out")
        }
        _ if over => format!("{name} is fuller than it can be {days}: {used}, {there} are there"),
        _ => format!("{name} is full {days}: {used} of {there}"),
    }
}

/// A chart of every ledger but stores.
pub(super) fn against_limits(plan: &Plan, counted: &Counted) -> Vec<Series> {
    let loads = counted.loads.iter().zip(&counted.audit.fullest);
    loads
        .filter(|(load, _)| !is_store(load.ledger))
        .filter_map(|(load, fullest)| {
            let days = filled(plan, load);
            let (name, what) = title(plan, load);
            let top = days.iter().map(|on| on.used.max(on.there)).max()?;
            let over = match fullest.used > fullest.there {
                true => ", over it",
                false => "",
            };
            Some(Series {
                title: format!("{name}: {what}"),
                first: days.first()?.day,
                step: 1,
                used: days.iter().map(|on| on.used.max(0)).collect(),
                there: days.iter().map(|on| on.there.max(0)).collect(),
                top: amount(load.ledger, top),
                says: format!(
                    "Fullest on {}: {} of {}{over}",
                    short_day(fullest.day),
                    amount(load.ledger, fullest.used),
                    amount(load.ledger, fullest.there)
                ),
                points_to: Some(fullest.day),
            })
        })
        .collect()
}

/// What is left of each store, and the clean trays.
pub(super) fn stocks(plan: &Plan, loads: &[Load]) -> Vec<Series> {
    let wanted = |load: &&Load| {
        load.ledger == Ledger::TraysInUse
            || (is_store(load.ledger) && load.ledger != Ledger::SoakedSeed)
    };
    loads
        .iter()
        .filter(wanted)
        .filter_map(|load| {
            let days = filled(plan, load);
            let left = |on: &LoadDay| on.there - on.used;
            let least = days.iter().min_by_key(|on| (left(on), on.day))?;
            let (name, what) = title(plan, load);
            let what = match load.ledger {
                Ledger::TraysInUse => "clean and at hand",
                _ => what,
            };
            let says = match left(least) {
                short if short < 0 => format!(
                    "Missing from {} on: {}",
                    short_day(days.iter().find(|on| left(on) < 0)?.day),
                    amount(load.ledger, -short)
                ),
                least_left => format!(
                    "Least on {}: {}",
                    short_day(least.day),
                    amount(load.ledger, least_left)
                ),
            };
            Some(Series {
                title: format!("{name}: {what}"),
                first: days.first()?.day,
                step: 1,
                used: days.iter().map(|on| left(on).max(0)).collect(),
                there: Vec::new(),
                top: amount(load.ledger, days.iter().map(left).max()?),
                says,
                points_to: Some(least.day),
            })
        })
        .collect()
}

/// Every day of the horizon: a day that the ledger leaves out has nothing on it, or of a store what the day before had.
fn filled(plan: &Plan, load: &Load) -> Vec<LoadDay> {
    let mut seen = load.days.iter().peekable();
    let mut before: Option<LoadDay> = None;
    let days = plan.scenario.horizon.iter().map(|day| {
        while let Some(on) = seen.next_if(|on| on.day <= day) {
            before = Some(*on);
        }
        match before {
            Some(on) if on.day == day || is_store(load.ledger) => LoadDay { day, ..on },
            Some(on) => LoadDay {
                day,
                used: 0,
                there: on.there,
            },
            None => LoadDay {
                day,
                used: 0,
                there: load.days.first().map_or(0, |on| on.there),
            },
        }
    });
    days.collect()
}

/// What is to be ordered, by the latest day.
pub(super) fn orders(plan: &Plan) -> Result<Vec<(Day, String)>, PlanError> {
    let mut all = Vec::new();
    for item in needs(plan)?.items {
        for order in &item.orders {
            let (parts, one) = (order.amount.parts, item.unit.parts());
            let whole = number(fit((parts + one - 1).div_euclid(one)));
            let sign = item.unit.sign();
            let words = format!(
                "{}: {whole} {sign}, first needed on {}",
                item.name,
                short_day(order.needed)
            );
            all.push((order.by, words));
        }
    }
    all.sort();
    Ok(all)
}
