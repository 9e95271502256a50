//! Ties the plan's runs and deliveries to the scenario: the list that the count walks through.
//!
//! Whatever names something unknown, or has numbers that cannot be, is a breach here and left out of the walk.

use super::whole::up;
use super::{Found, Subject, usable};
use crate::calendar::Day;
use crate::plan::types::{Delivery, Plan, Run};
use crate::scenario::{Bed, Crew, Field, Germination, Kind, Line, Planter, Scenario};
use std::collections::BTreeMap;

/// The plan, read beside its scenario.
pub(super) struct Book<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) plan: &'a Plan,
    /// Runs that can be walked, in the order of the plan.
    pub(super) runs: Vec<RunSeen<'a>>,
    /// Deliveries that can be walked, in the order of the plan.
    pub(super) parts: Vec<PartSeen<'a>>,
}

/// A run with its kind and line found.
pub(super) struct RunSeen<'a> {
    pub(super) run: &'a Run,
    pub(super) kind: &'a Kind,
    /// None for trays sown before the first day.
    pub(super) line: Option<&'a Line>,
    /// Places of its deliveries in [`Book::parts`].
    pub(super) parts: Vec<usize>,
}

/// A delivery with its run, field and places found.
pub(super) struct PartSeen<'a> {
    pub(super) delivery: &'a Delivery,
    /// Place in [`Book::runs`].
    pub(super) run: usize,
    pub(super) kind: &'a Kind,
    pub(super) field: &'a Field,
    pub(super) germination: &'a Germination,
    pub(super) green: &'a Bed,
    pub(super) harden: &'a Bed,
    pub(super) trays: i128,
    pub(super) sow: Day,
    /// Sown before the first day.
    pub(super) opening: bool,
}

/// Stacks of one run in one place.
pub(super) struct StackSeen<'a> {
    pub(super) germination: &'a Germination,
    /// Sown trays in them, trial trays included.
    pub(super) trays: i128,
    /// Of these, trial trays.
    pub(super) trial: i128,
    pub(super) stacks: i128,
    /// The last day on which one of its parts is opened.
    pub(super) open: Day,
}

impl<'a> Book<'a> {
    /// Reads the plan; names what cannot be walked.
    pub(super) fn open(plan: &'a Plan, scenario: &'a Scenario, found: &mut Found) -> Book<'a> {
        let mut book = Book {
            scenario,
            plan,
            runs: Vec::new(),
            parts: Vec::new(),
        };
        let mut by_id: BTreeMap<&str, Option<usize>> = BTreeMap::new();
        for run in &plan.runs {
            if by_id.contains_key(run.id.as_str()) {
                let what = format!(
                    "run `{}` is in the plan twice; the first one is counted",
                    run.id
                );
                found.add("A003", of_run(run), None, 0, what);
                continue;
            }
            let seen = see_run(scenario, run, found);
            by_id.insert(&run.id, seen.is_some().then_some(book.runs.len()));
            book.runs.extend(seen);
        }
        for delivery in &plan.deliveries {
            let Some(run) = by_id.get(delivery.run.as_str()) else {
                let what = format!(
                    "{} comes from run `{}`, which the plan does not have",
                    say_part(delivery),
                    delivery.run
                );
                found.add("A002", of_part(delivery), Some(delivery.day), 0, what);
                continue;
            };
            let names_known = see_names(scenario, delivery, found);
            let (Some(run), Some((field, germination, green, harden))) = (*run, names_known) else {
                continue;
            };
            let (kind, sow) = (book.runs[run].kind, book.runs[run].run.sow);
            let opening = book.runs[run].line.is_none();
            let trays = delivery.trays.into();
            book.runs[run].parts.push(book.parts.len());
            book.parts.push(PartSeen {
                delivery,
                run,
                kind,
                field,
                germination,
                green,
                harden,
                trays,
                sow,
                opening,
            });
        }
        book
    }

    /// The stacks of a run by place, in the scenario's order of places.
    pub(super) fn stacks(&self, run: &RunSeen<'a>) -> Vec<StackSeen<'a>> {
        let mut trial: i128 = run.line.map_or(0, |line| line.trial_trays.into());
        let mut all = Vec::new();
        for germination in &self.scenario.germination {
            let here = run.parts.iter().map(|part| &self.parts[*part]);
            let here: Vec<_> = here
                .filter(|part| part.germination.id == germination.id)
                .collect();
            let Some(open) = here.iter().map(|part| part.delivery.open).max() else {
                continue;
            };
            if all
                .iter()
                .any(|stack: &StackSeen| stack.germination.id == germination.id)
            {
                continue;
            }
            let parts: i128 = here.iter().map(|part| part.trays).sum();
            let height = germination.height.into();
            // Trays sown before the first day stand in stacks of their own, entry by entry.
            let stacks = match run.line {
                Some(_) => up(parts + trial, height),
                None => here.iter().map(|part| up(part.trays, height)).sum(),
            };
            all.push(StackSeen {
                germination,
                trays: parts + trial,
                trial,
                stacks,
                open,
            });
            trial = 0;
        }
        all
    }

    /// Trays of a run for fields, and its trial trays.
    pub(super) fn sown(&self, run: &RunSeen) -> (i128, i128) {
        let trays = run.parts.iter().map(|part| self.parts[*part].trays).sum();
        (trays, run.line.map_or(0, |line| line.trial_trays.into()))
    }

    /// The crew of that id.
    pub(super) fn crew(&self, id: &str) -> Option<&'a Crew> {
        self.scenario.crews.iter().find(|crew| crew.id == id)
    }

    /// The field's planting machine.
    pub(super) fn planter(&self, field: &Field) -> Option<&'a Planter> {
        let id = field.planter.as_ref()?;
        self.scenario
            .planters
            .iter()
            .find(|planter| planter.id == *id)
    }
}

/// "field `F01`, part 2", for sentences.
pub(super) fn say_part(delivery: &Delivery) -> String {
    format!("field `{}`, part {}", delivery.field, delivery.part)
}

/// The part as a subject.
pub(super) fn of_part(delivery: &Delivery) -> Subject {
    Subject::Part {
        field: delivery.field.clone(),
        part: delivery.part,
    }
}

/// The run as a subject.
pub(super) fn of_run(run: &Run) -> Subject {
    Subject::Run { id: run.id.clone() }
}

/// Days that a plan can mean; keeps sums of days far inside `i32`.
fn possible(day: Day) -> bool {
    (0..150_000).contains(&day.number())
}

fn see_run<'a>(scenario: &'a Scenario, run: &'a Run, found: &mut Found) -> Option<RunSeen<'a>> {
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
    kind.map(|kind| RunSeen {
        run,
        kind,
        line,
        parts: Vec::new(),
    })
}

type Names<'a> = (&'a Field, &'a Germination, &'a Bed, &'a Bed);

fn see_names<'a>(
    scenario: &'a Scenario,
    delivery: &Delivery,
    found: &mut Found,
) -> Option<Names<'a>> {
    let mut sound = true;
    let days = [delivery.open, delivery.harden, delivery.day];
    if delivery.trays < 1 || delivery.trays > usable::MOST_TRAYS || !days.into_iter().all(possible)
    {
        let what = format!(
            "{} has {} trays on {}",
            say_part(delivery),
            delivery.trays,
            delivery.day
        );
        found.add(
            "A005",
            of_part(delivery),
            Some(delivery.day),
            delivery.trays.into(),
            what,
        );
        sound = false;
    }
    let field = scenario
        .fields
        .iter()
        .find(|field| field.id == delivery.field);
    let place = scenario
        .germination
        .iter()
        .find(|place| Some(&place.id) == delivery.germination.as_ref());
    let bed = |id: &str| scenario.beds.iter().find(|bed| bed.id == id);
    let said = |id: &Option<String>| id.clone().unwrap_or_default();
    let (in_place, in_green, in_harden) = (
        said(&delivery.germination),
        said(&delivery.green_bed),
        said(&delivery.harden_bed),
    );
    let (green, harden) = (bed(&in_green), bed(&in_harden));
    let mut missing = Vec::new();
    for (what, id, unknown) in [
        ("field", &delivery.field, field.is_none()),
        ("germination place", &in_place, place.is_none()),
        ("bed", &in_green, green.is_none()),
        ("bed", &in_harden, harden.is_none()),
    ] {
        let said = format!("{what} `{id}`");
        if unknown && !missing.contains(&said) {
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
    if !sound {
        return None;
    }
    Some((field?, place?, green?, harden?))
}
