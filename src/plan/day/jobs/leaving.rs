//! Jobs of what leaves the nursery and comes back: loading, handing over, planting, fetching empty trays.

use super::{Machine, Maker, Need, Todo, job, piece, todo};
use crate::plan::day::quantities::{load_kg, machine_ms, seed_left, seed_of_grams};
use crate::plan::day::{Due, Job, Party, SeedLeft, Work};
use crate::plan::tasks::{Task, Verb};
use crate::plan::view::{PartView, RunView};
use crate::quantities::person_time;
use crate::scenario::{PieceTask, Whose};
use crate::units::{Fixed, Span, div_near};
use std::collections::BTreeSet;

impl Maker<'_> {
    /// Loading, handing over, planting and collecting.
    pub(super) fn leaving(&self) -> Vec<Todo> {
        let mut todos: Vec<Todo> = self
            .tasks(Verb::Load)
            .filter_map(|task| self.load(task))
            .collect();
        // Loads of one round trip stand together.
        let group = |todo: &Todo| todo.job.party.as_ref()?.travel_group.clone();
        todos.sort_by_key(group);
        todos.extend(
            self.tasks(Verb::HandOver)
                .filter_map(|task| self.hand_over(task)),
        );
        todos.extend(self.tasks(Verb::Plant).filter_map(|task| self.plant(task)));
        todos.extend(
            self.tasks(Verb::Collect)
                .filter_map(|task| self.collect(task)),
        );
        todos.extend(self.trays_back());
        todos
    }

    fn party(&self, run: &RunView<'_>, part: &PartView<'_>) -> Party {
        let (d, field) = (part.delivery, part.field);
        Party {
            field: part.name(),
            grower: field.grower.clone(),
            area_ha: Fixed(part.area_m2),
            age_days: self.day.since(run.run.sow),
            told: d.promised == Some(d.day),
            stage: field.stage,
            collected: field.collected,
            lifted: field.lifted,
            waits_until: (d.leaves() < d.day).then_some(d.day),
            travel_group: self.travel_group(part),
        }
    }

    /// The round trip of a part, on a day on which trays go on several.
    fn travel_group(&self, part: &PartView<'_>) -> Option<String> {
        let scenario = &self.graph.view.plan.scenario;
        if !part.is_loaded() {
            return None;
        }
        let today: BTreeSet<Option<&str>> = self
            .tasks(Verb::Load)
            .filter_map(|task| Some(self.part(task)?.1.travel_group(scenario)))
            .collect();
        let own = part.travel_group(scenario)?;
        (today.len() > 1).then(|| own.to_string())
    }

    /// What all jobs of what leaves have in common.
    fn leaving_job(&self, task: &Task, work: Work) -> Option<(Job, &RunView<'_>, &PartView<'_>)> {
        let (run, part) = self.part(task)?;
        let bed = part.bed(true);
        let place = bed.map(|(bed, _)| &bed.name);
        let job = Job {
            tasks: vec![task.id.clone()],
            runs: vec![run.run.id.clone()],
            kind: Some(run.kind.name.clone()),
            from_place: place.or(part.place.map(|place| &place.name)).cloned(),
            rows: bed.map_or_else(Vec::new, |(_, rows)| rows.to_vec()),
            party: Some(self.party(run, part)),
            spare: part.field.spare,
            ..job(work, task.trays)
        };
        Some((job, run, part))
    }

    fn load(&self, task: &Task) -> Option<Todo> {
        let scenario = &self.graph.view.plan.scenario;
        let (base, run, part) = self.leaving_job(task, Work::Load)?;
        let weight = load_kg(task.trays, scenario.trays.loaded_kg);
        let load = Job {
            load_kg: (!part.is_sprouted()).then_some(weight),
            allowance: part.lost(),
            ..base
        };
        let ms = time(task.trays, run, part);
        Some(todo(load, piece(scenario.work.load.as_ref(), ms)))
    }

    /// Seed, trays that the grower fetches, and the spare on its last day: nobody's time is counted for it.
    fn hand_over(&self, task: &Task) -> Option<Todo> {
        let scenario = &self.graph.view.plan.scenario;
        let spare = self.part(task)?.1.field.spare;
        let work = if spare { Work::Spare } else { Work::HandOver };
        let (base, run, part) = self.leaving_job(task, work)?;
        let weight = load_kg(task.trays, scenario.trays.loaded_kg);
        let seedlings = !spare && !part.is_seed() && !part.is_sprouted();
        let given = Job {
            load_kg: seedlings.then_some(weight),
            allowance: if spare || part.is_seed() {
                0
            } else {
                part.lost()
            },
            seed_left: self.left_of_handed_over(task, run, part),
            seed: part
                .is_seed()
                .then(|| seed_of_grams(run.kind, task.seed_dry_kg.0)),
            ..base
        };
        Some(todo(given, Need::Nothing))
    }

    /// What whole bags leave over of the seed of a run, told with the last of it.
    fn left_of_handed_over(
        &self,
        task: &Task,
        run: &RunView<'_>,
        part: &PartView<'_>,
    ) -> Option<SeedLeft> {
        let of_run = |other: &&Task| other.at_run == task.at_run;
        let last = self.tasks(Verb::HandOver).filter(of_run).last()?;
        if !part.is_seed() || last.id != task.id {
            return None;
        }
        let soaked = run.soaked_kg(&self.graph.view.plan.scenario);
        let given = run.parts.iter().map(|part| part.delivery.trays);
        let given = div_near(given.sum::<i64>() * run.kind.seed_g_dry_per_tray.0, TENTHS);
        seed_left(run.kind, soaked.0 - given)
    }

    /// Planting with a machine of ours.
    fn plant(&self, task: &Task) -> Option<Todo> {
        let scenario = &self.graph.view.plan.scenario;
        let (base, run, part) = self.leaving_job(task, Work::Plant)?;
        let planter = part
            .planter
            .filter(|planter| planter.whose == Whose::Nursery)?;
        let plant = Job {
            from_place: None,
            rows: Vec::new(),
            to_place: Some(planter.name.clone()),
            move_minutes: Span::minutes(planter.move_minutes).minutes_up(),
            machine_minutes: Some(Span(machine_ms(planter, part.area_m2)).minutes_up()),
            ..base
        };
        let need = scenario.work.plant.as_ref().map_or(Need::Nothing, |work| {
            Need::Machine(Machine {
                crew: work.crew.clone(),
                id: planter.id.clone(),
                ms: machine_ms(planter, part.area_m2),
                move_ms: Span::minutes(planter.move_minutes).0,
                work_ms: time(task.trays, run, part)(work),
                way_ms: if part.is_loaded() {
                    part.way_minutes(scenario)
                        .map(|minutes| Span::minutes(minutes).0 / 2)
                } else {
                    None
                },
                is_there: part.delivery.leaves() < self.day,
            })
        });
        Some(todo(plant, need))
    }

    /// Empty trays fetched: all that come back, or as far as they should be.
    fn collect(&self, task: &Task) -> Option<Todo> {
        let scenario = &self.graph.view.plan.scenario;
        let (run, part) = self.part(task)?;
        let back = part.back(scenario);
        let by_and_by = part.comes_back_by_and_by(scenario);
        let here = back
            .iter()
            .filter(|(day, _)| !by_and_by || *day == self.day);
        let collect = Job {
            tasks: vec![task.id.clone()],
            runs: vec![run.run.id.clone()],
            party: Some(self.party(run, part)),
            due: by_and_by.then(|| self.due(&back)),
            ..job(Work::Collect, here.map(|(_, trays)| trays).sum())
        };
        let ms = time(task.trays, run, part);
        Some(todo(collect, piece(scenario.work.collect.as_ref(), ms)))
    }

    fn due(&self, back: &[(crate::calendar::Day, i64)]) -> Due {
        let by_now = back.iter().filter(|(day, _)| *day <= self.day);
        Due {
            by_now: by_now.map(|(_, trays)| trays).sum(),
            in_all: back.iter().map(|(_, trays)| trays).sum(),
        }
    }

    /// Trays that come back by and by, on the days of the grower's curve on which none are fetched.
    fn trays_back(&self) -> Vec<Todo> {
        let scenario = &self.graph.view.plan.scenario;
        let fetched: BTreeSet<_> = self
            .tasks(Verb::Collect)
            .map(|task| (task.at_run, task.at_part))
            .collect();
        let mut todos = Vec::new();
        for (at_run, run) in self.graph.view.runs.iter().enumerate() {
            for (at_part, part) in run.parts.iter().enumerate() {
                let is_fetched = fetched.contains(&(Some(at_run), Some(at_part)));
                if is_fetched || !part.comes_back_by_and_by(scenario) {
                    continue;
                }
                let back = part.back(scenario);
                let today = back.iter().filter(|(day, _)| *day == self.day);
                let trays: i64 = today.map(|(_, trays)| trays).sum();
                if trays > 0 {
                    let comes = Job {
                        runs: vec![run.run.id.clone()],
                        party: Some(self.party(run, part)),
                        due: Some(self.due(&back)),
                        ..job(Work::TraysBack, trays)
                    };
                    todos.push(todo(comes, super::Need::Nothing));
                }
            }
        }
        todos
    }
}

/// Tenths of a gram in a gram.
const TENTHS: i64 = 10;

/// Person time of a piece of work by the trays that leave.
fn time<'a>(
    trays: i64,
    run: &'a RunView<'_>,
    part: &'a PartView<'_>,
) -> impl FnOnce(&PieceTask) -> i64 + 'a {
    move |piece| person_time(piece, trays, run.kind, part.harden_bed, part.area_m2).0
}
