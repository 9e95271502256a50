//! Finding what a run and a delivery name: kind, line, field and places, and whether the places fit what is handed over.

use super::super::{Found, usable};
use super::{RunSeen, Sort, of_part, of_run, say_part};
use crate::calendar::Day;
use crate::plan::types::{Delivery, Run};
use crate::scenario::{Bed, Field, Germination, HandOver, Scenario};

/// Days that a plan can mean; keeps sums of days far inside `i32`.
fn possible(day: Day) -> bool {
    (0..150_000).contains(&day.number())
}

/// Kind and line of a run.
pub(super) fn see_run<'a>(
    scenario: &'a Scenario,
    run: &'a Run,
    found: &mut Found,
) -> Option<RunSeen<'a>> {
    let days = [Some(run.sow), run.soak, run.drain];
    if !days.into_iter().flatten().all(possible) {
        let what = format!("run `{}` has a day that cannot be", run.id);
        found.add("A005", of_run(run), None, 0, what);
        return None;
    }
    let kind = scenario.kinds.iter().find(|kind| kind.id == run.kind);
    if kind.is_none() {
        let what = format!(
            "run `{}` sows kind `{}`, which the scenario does not have",
            run.id, run.kind
        );
        found.add("A002", of_run(run), Some(run.sow), 0, what);
    }
    let line = match &run.line {
        None => None,
        Some(id) => {
            let line = scenario.lines.iter().find(|line| line.id == *id);
            if line.is_none() {
                let what = format!(
                    "run `{}` uses line `{id}`, which the scenario does not have",
                    run.id
                );
                found.add("A002", of_run(run), Some(run.sow), 0, what);
                return None;
            }
            line
        }
    };
    let soaked = run.soak.is_some() || run.drain.is_some();
    kind.map(|kind| RunSeen {
        run,
        kind,
        sort: match (line, soaked) {
            (Some(_), _) => Sort::Sown,
            (None, true) => Sort::Seed,
            (None, false) => Sort::Standing,
        },
        line,
        parts: Vec::new(),
    })
}

/// What a delivery names, found.
pub(super) struct Names<'a> {
    pub(super) field: &'a Field,
    pub(super) germination: Option<&'a Germination>,
    pub(super) beds: Option<(&'a Bed, &'a Bed)>,
}

/// Names of a delivery; none when it cannot be walked. Places that it should not name are a breach and left out.
pub(super) fn see_names<'a>(
    scenario: &'a Scenario,
    delivery: &Delivery,
    found: &mut Found,
) -> Option<Names<'a>> {
    let sound = check_numbers(delivery, found);
    let field = scenario
        .fields
        .iter()
        .find(|field| field.id == delivery.field);
    check_known(scenario, delivery, field.is_none(), found);
    let (field, true) = (field?, sound) else {
        return None;
    };
    let in_stack = field.stage != HandOver::SoakedSeed;
    let in_beds = field.stage == HandOver::Seedlings;
    for (name, wanted, named) in [
        ("germination place", in_stack, &delivery.germination),
        ("bed to green in", in_beds, &delivery.green_bed),
        ("bed to harden in", in_beds, &delivery.harden_bed),
    ] {
        let what = match (wanted, named) {
            (true, None) => format!("{} names no {name}", say_part(delivery)),
            (false, Some(id)) => format!(
                "{} names `{id}` as {name}, but is handed over before",
                say_part(delivery)
            ),
            _ => continue,
        };
        found.add("A095", of_part(delivery), Some(delivery.day), 0, what);
    }
    let bed = |id: &Option<String>| {
        let id = id.as_ref()?;
        scenario.beds.iter().find(|bed| bed.id == *id)
    };
    let place = || {
        let id = delivery.germination.as_ref()?;
        scenario.germination.iter().find(|place| place.id == *id)
    };
    Some(Names {
        field,
        germination: if in_stack { Some(place()?) } else { None },
        beds: if in_beds {
            Some((bed(&delivery.green_bed)?, bed(&delivery.harden_bed)?))
        } else {
            None
        },
    })
}

fn check_numbers(delivery: &Delivery, found: &mut Found) -> bool {
    let days = [
        delivery.open,
        delivery.harden,
        delivery.day,
        delivery.leaves(),
    ];
    let counts = [delivery.trays, delivery.sown()];
    let countable = |trays: i64| (1..=usable::MOST_TRAYS).contains(&trays);
    if counts.into_iter().all(countable) && days.into_iter().all(possible) {
        return true;
    }
    let what = format!(
        "{} has {} trays, {} of them sown, on {}",
        say_part(delivery),
        delivery.trays,
        delivery.sown(),
        delivery.day
    );
    let (day, amount) = (Some(delivery.day), delivery.trays.into());
    found.add("A005", of_part(delivery), day, amount, what);
    false
}

/// Every name must lead somewhere; one that is there twice is said once.
fn check_known(scenario: &Scenario, delivery: &Delivery, no_field: bool, found: &mut Found) {
    let place = |id: &str| scenario.germination.iter().any(|place| place.id == id);
    let bed = |id: &str| scenario.beds.iter().any(|bed| bed.id == id);
    let mut missing = Vec::new();
    if no_field {
        missing.push(format!("field `{}`", delivery.field));
    }
    let germination = delivery.germination.iter().filter(|id| !place(id));
    missing.extend(germination.map(|id| format!("germination place `{id}`")));
    let beds = [&delivery.green_bed, &delivery.harden_bed];
    for id in beds.into_iter().flatten().filter(|id| !bed(id)) {
        let said = format!("bed `{id}`");
        if !missing.contains(&said) {
            missing.push(said);
        }
    }
    for said in missing {
        let what = format!(
            "{} names {said}, which the scenario does not have",
            say_part(delivery)
        );
        found.add("A002", of_part(delivery), Some(delivery.day), 0, what);
    }
}
