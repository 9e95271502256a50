//! Ties the plan's runs and deliveries to the scenario: the list that the count walks through.
//!
//! Whatever names something unknown, or has numbers that cannot be, is a breach here and left out of the walk.

mod names;

use super::orders::area_m2;
use super::whole::up;
use super::{Found, Subject};
use crate::calendar::Day;
use crate::plan::types::{Delivery, Plan, Run};
use crate::scenario::{
    Bed, Crew, Field, Germination, HandOver, Kind, Line, Planter, Scenario, Sown,
};
use names::{see_names, see_run};
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

/// What a run is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    /// Sown on a line.
    Sown,
    /// Sown before the first day: no line, no soaking.
    Standing,
    /// Seed that is soaked and handed over: no line, no trays.
    Seed,
}

/// A run with its kind and line found.
pub(super) struct RunSeen<'a> {
    pub(super) run: &'a Run,
    pub(super) kind: &'a Kind,
    pub(super) sort: Sort,
    /// None for trays sown before the first day, and for seed that is handed over.
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
    /// None for seed that is handed over.
    pub(super) germination: Option<&'a Germination>,
    /// The bed under the first cover and the bed until planting; none for what leaves before.
    pub(super) beds: Option<(&'a Bed, &'a Bed)>,
    /// Trays that leave, or that the seed is meant for.
    pub(super) trays: i128,
    /// Trays sown for it, those that are lost among them.
    pub(super) sown: i128,
    pub(super) sow: Day,
    /// Day on which it leaves the nursery.
    pub(super) leaves: Day,
    /// Sown before the first day.
    pub(super) opening: bool,
    /// Square metres of field.
    pub(super) area_m2: i128,
}

impl PartSeen<'_> {
    /// The batch of the opening that it comes from: the one for its part.
    pub(super) fn batch<'s>(&self, scenario: &'s Scenario) -> Option<&'s Sown> {
        let one = self.delivery;
        let mut sown = scenario.opening.sown.iter();
        let batch = sown.find(|sown| sown.field == one.field && sown.part == one.part);
        batch.filter(|_| self.opening)
    }

    /// Trays of ours, not seed alone.
    pub(super) fn has_trays(&self) -> bool {
        self.field.stage != HandOver::SoakedSeed
    }

    /// Seedlings that are grown in beds.
    pub(super) fn in_beds(&self) -> bool {
        self.beds.is_some()
    }
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
            let (Some(run), Some(names)) = (*run, names_known) else {
                continue;
            };
            let seen = &book.runs[run];
            let seed = names.field.stage == HandOver::SoakedSeed;
            if seed != (seen.sort == Sort::Seed) {
                let what = if seed {
                    format!(
                        "{} is handed over as seed, but run `{}` sows trays",
                        say_part(delivery),
                        delivery.run
                    )
                } else {
                    format!(
                        "{} takes trays, but run `{}` is seed alone",
                        say_part(delivery),
                        delivery.run
                    )
                };
                found.add("A096", of_part(delivery), Some(delivery.day), 0, what);
                continue;
            }
            let part = PartSeen {
                delivery,
                run,
                kind: seen.kind,
                field: names.field,
                germination: names.germination,
                beds: names.beds,
                trays: delivery.trays.into(),
                sown: delivery.sown().into(),
                sow: seen.run.sow,
                leaves: delivery.leaves(),
                opening: seen.sort == Sort::Standing,
                area_m2: area_m2(&scenario.opening.parts, names.field, delivery.part),
            };
            book.runs[run].parts.push(book.parts.len());
            book.parts.push(part);
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
                .filter(|part| {
                    part.germination
                        .is_some_and(|place| place.id == germination.id)
                })
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
            let parts: i128 = here.iter().map(|part| part.sown).sum();
            let height = germination.height.into();
            // Trays sown before the first day stand in stacks of their own, run by run, or entry by entry without a label.
            let stacks = match run.line {
                Some(_) => up(parts + trial, height),
                None => self.stacks_standing(&here, height),
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

    fn stacks_standing(&self, parts: &[&PartSeen], height: i128) -> i128 {
        let mut stacks = 0;
        let mut labelled: BTreeMap<(&str, Option<Day>), i128> = BTreeMap::new();
        for part in parts {
            let batch = part.batch(self.scenario);
            match batch.and_then(|batch| Some((batch.run.as_deref()?, batch.opened))) {
                Some(together) => *labelled.entry(together).or_default() += part.sown,
                None => stacks += up(part.sown, height),
            }
        }
        let labelled = labelled.into_values();
        stacks + labelled.map(|trays| up(trays, height)).sum::<i128>()
    }

    /// Trays of a run for fields, as they are sown, and its trial trays.
    pub(super) fn sown(&self, run: &RunSeen) -> (i128, i128) {
        let trays = run.parts.iter().map(|part| self.parts[*part].sown).sum();
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
