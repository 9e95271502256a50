//! The jobs of one day with their quantities, not yet by the clock.

mod line;
mod soaking;

use super::quantities::load_kg;
use super::{Job, Party, Totals, Work};
use crate::calendar::Day;
use crate::plan::tasks::{Task, TaskGraph, Verb};
use crate::plan::view::{PartView, RunView};
use crate::quantities::{Stacked, person_time};
use crate::scenario::{Bed, PieceTask, TeamTask};
use crate::units::{Fixed, Span, div_up};
use std::collections::BTreeMap;

/// Whose time a job takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Need {
    /// Nobody's.
    Nothing,
    /// So many people of a crew at once, for so many milliseconds.
    Team { crew: String, people: i64, ms: i64 },
    /// Person-milliseconds of a crew.
    Piece { crew: String, ms: i64 },
}

/// Where on a line a job stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnLine {
    pub line: String,
    /// Milliseconds that the line is taken.
    pub ms: i64,
    /// Stacks that are begun from here on to the end of the run.
    pub fills: Vec<Fill>,
}

/// A stack that is begun on a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fill {
    /// Germination place.
    pub place: String,
    /// Which stack of the day it is there, from 1.
    pub nth: i64,
    /// Milliseconds from the beginning of the job.
    pub after_ms: i64,
}

/// A job and what the clock must know about it.
#[derive(Clone, Debug)]
pub struct Todo {
    pub job: Job,
    pub need: Need,
    pub on_line: Option<OnLine>,
    /// Germination place that is opened.
    pub opens: Option<String>,
}

impl Todo {
    /// Stacks, the last one perhaps not full.
    pub fn stacks(&self) -> i64 {
        self.job.stacked.map_or(0, |stacked| stacked.stacks())
    }
}

/// Every job of `day`, in the order of the sheet.
pub fn collect(graph: &TaskGraph<'_>, day: Day) -> Vec<Todo> {
    let maker = Maker { graph, day };
    let mut todos: Vec<Todo> = maker.by_part();
    todos.extend(maker.lines());
    todos.extend(maker.care());
    todos.extend(maker.washing());
    todos.extend(maker.soaking());
    todos.sort_by_key(|todo| section(todo.job.work));
    todos
}

/// The four jobs of a line stay together, run after run; all other work is sorted by what it is.
fn section(work: Work) -> Work {
    match work {
        Work::SetUp | Work::Trial | Work::Sow => Work::SetUp,
        other => other,
    }
}

/// Sums over the jobs of a day.
pub fn totals(todos: &[Todo]) -> Totals {
    let mut totals = Totals::default();
    for job in todos.iter().map(|todo| &todo.job) {
        match job.work {
            Work::Sow => totals.sown += job.trays,
            Work::Trial => totals.trial += job.trays,
            Work::Unstack => totals.opened += job.trays,
            Work::Wash => totals.washed += job.trays,
            Work::Load => {
                totals.loaded += job.trays;
                totals.area_ha.0 += job.party.as_ref().map_or(0, |party| party.area_ha.0);
            }
            Work::Soak => totals.soaked_dry_kg.0 += job.seed.map_or(0, |seed| seed.dry.0),
            _ => {}
        }
    }
    totals
}

fn job(work: Work, trays: i64) -> Job {
    Job {
        work,
        tasks: Vec::new(),
        runs: Vec::new(),
        kind: None,
        trays,
        trial_trays: 0,
        laid_out_today: false,
        load_kg: None,
        stacked: None,
        stacks_first: None,
        seed: None,
        water_l: None,
        from_place: None,
        to_place: None,
        party: None,
        sowing: None,
        person_minutes: 0,
        spells: Vec::new(),
    }
}

fn piece(task: Option<&PieceTask>, ms: impl FnOnce(&PieceTask) -> i64) -> Need {
    task.map_or(Need::Nothing, |task| Need::Piece {
        crew: task.crew.clone(),
        ms: ms(task),
    })
}

fn team(task: Option<&TeamTask>, ms: i64) -> Need {
    task.map_or(Need::Nothing, |task| Need::Team {
        crew: task.crew.clone(),
        people: task.team,
        ms,
    })
}

fn todo(mut job: Job, need: Need) -> Todo {
    job.person_minutes = match &need {
        Need::Nothing => 0,
        Need::Team { people, ms, .. } => Span(people.saturating_mul(*ms)).minutes_up(),
        Need::Piece { ms, .. } => Span(*ms).minutes_up(),
    };
    Todo {
        job,
        need,
        on_line: None,
        opens: None,
    }
}

struct Maker<'a> {
    graph: &'a TaskGraph<'a>,
    day: Day,
}

impl<'a> Maker<'a> {
    fn tasks(&self, verb: Verb) -> impl Iterator<Item = &'a Task> {
        self.graph
            .on(self.day)
            .map(|(_, task)| task)
            .filter(move |task| task.verb == verb)
    }

    fn run(&self, task: &Task) -> Option<&'a RunView<'a>> {
        self.graph.view.runs.get(task.at_run?)
    }

    fn part(&self, task: &Task) -> Option<(&'a RunView<'a>, &'a PartView<'a>)> {
        let run = self.run(task)?;
        Some((run, run.parts.get(task.at_part?)?))
    }

    fn party(&self, run: &RunView<'_>, part: &PartView<'_>) -> Party {
        Party {
            field: part.name(),
            grower: part.field.grower.clone(),
            area_ha: Fixed(part.area_m2),
            age_days: part.delivery.day.since(run.run.sow),
            told: part.delivery.promised == Some(part.delivery.day),
        }
    }

    /// Loading, planting, opening, laying out, hardening and collecting.
    fn by_part(&self) -> Vec<Todo> {
        let work = &self.graph.view.plan.scenario.work;
        let mut todos = Vec::new();
        for task in self.tasks(Verb::Load) {
            let Some((run, part)) = self.part(task) else {
                continue;
            };
            let base = Job {
                tasks: vec![task.id.clone()],
                runs: vec![run.run.id.clone()],
                kind: Some(run.kind.name.clone()),
                load_kg: Some(load_kg(task.trays)),
                from_place: Some(part.harden_bed.name.clone()),
                party: Some(self.party(run, part)),
                ..job(Work::Load, task.trays)
            };
            let bed = Some(part.harden_bed);
            let ms =
                |piece: &PieceTask| person_time(piece, task.trays, run.kind, bed, part.area_m2).0;
            todos.push(todo(base.clone(), piece(work.load.as_ref(), ms)));
            let ours = part
                .planter
                .is_some_and(|p| p.whose == crate::scenario::Whose::Nursery);
            // `R017/F03.1/load` and its planting share all but the verb.
            let stem = task
                .id
                .strip_suffix(Verb::Load.as_str())
                .unwrap_or(&task.id);
            let planting = format!("{stem}{}", Verb::Plant);
            if let (true, Some(planter)) = (ours, part.planter) {
                let plant = Job {
                    work: Work::Plant,
                    load_kg: None,
                    tasks: vec![planting],
                    from_place: None,
                    to_place: Some(planter.name.clone()),
                    ..base
                };
                todos.push(todo(plant, piece(work.plant.as_ref(), ms)));
            }
        }
        for task in self.tasks(Verb::Unstack) {
            todos.extend(self.opening(task));
        }
        todos.extend(self.laying_out(Verb::Green, Work::Green, work.green.as_ref()));
        todos.extend(self.laying_out(Verb::Harden, Work::Harden, work.harden.as_ref()));
        for task in self.tasks(Verb::Collect) {
            let Some((run, part)) = self.part(task) else {
                continue;
            };
            let lost = div_up(
                task.trays * self.graph.view.plan.scenario.trays.loss.0,
                1_000_000,
            );
            let collect = Job {
                tasks: vec![task.id.clone()],
                runs: vec![run.run.id.clone()],
                party: Some(self.party(run, part)),
                ..job(Work::Collect, task.trays - lost)
            };
            let bed = Some(part.harden_bed);
            let ms =
                |piece: &PieceTask| person_time(piece, task.trays, run.kind, bed, part.area_m2).0;
            todos.push(todo(collect, piece(work.collect.as_ref(), ms)));
        }
        todos
    }

    fn opening(&self, task: &Task) -> Option<Todo> {
        let run = self.run(task)?;
        let stack = run.stacks.get(task.at_stack?)?;
        let work = self.graph.view.plan.scenario.work.unstack.as_ref();
        let here = run
            .parts
            .iter()
            .filter(|part| part.place.id == stack.place.id);
        let need = piece(work, |piece| {
            here.map(|part| {
                person_time(
                    piece,
                    part.delivery.trays,
                    run.kind,
                    Some(part.green_bed),
                    part.area_m2,
                )
                .0
            })
            .sum()
        });
        let open = Job {
            tasks: vec![task.id.clone()],
            runs: vec![run.run.id.clone()],
            kind: Some(run.kind.name.clone()),
            trial_trays: if task.at_stack == Some(0) {
                run.run.trial_trays
            } else {
                0
            },
            stacked: Some(Stacked::of(task.trays, stack.place.height)),
            from_place: Some(stack.place.name.clone()),
            ..job(Work::Unstack, task.trays)
        };
        Some(Todo {
            opens: Some(stack.place.id.clone()),
            ..todo(open, need)
        })
    }

    /// Parts of a run that go into the same bed on the same day are one job.
    fn laying_out(&self, verb: Verb, work: Work, by: Option<&PieceTask>) -> Vec<Todo> {
        let mut todos: Vec<Todo> = Vec::new();
        let mut at: BTreeMap<(&str, &str, &str), usize> = BTreeMap::new();
        for task in self.tasks(verb) {
            let Some((run, part)) = self.part(task) else {
                continue;
            };
            let (from, to) = match verb {
                Verb::Green => (&part.place.name, part.green_bed),
                _ => (&part.green_bed.name, part.harden_bed),
            };
            let ms = by.map_or(0, |by| {
                person_time(by, task.trays, run.kind, Some(to), part.area_m2).0
            });
            let key = (run.run.id.as_str(), from.as_str(), to.id.as_str());
            if let Some(at) = at.get(&key) {
                let found = &mut todos[*at];
                found.job.tasks.push(task.id.clone());
                found.job.trays += task.trays;
                if let Need::Piece { ms: sum, .. } = &mut found.need {
                    *sum += ms;
                    found.job.person_minutes = Span(*sum).minutes_up();
                }
                continue;
            }
            at.insert(key, todos.len());
            let lay = Job {
                tasks: vec![task.id.clone()],
                runs: vec![run.run.id.clone()],
                kind: Some(run.kind.name.clone()),
                from_place: Some(from.clone()),
                to_place: Some(to.name.clone()),
                ..job(work, task.trays)
            };
            todos.push(todo(lay, piece(by, |_| ms)));
        }
        todos
    }

    /// Water, vent and look at every bed with trays in it, rest days too: first what stands there in the
    /// morning, then what is laid out today. Trays that move today are cared for before they do.
    fn care(&self) -> Vec<Todo> {
        let care = self.graph.view.plan.scenario.work.care.as_ref();
        let mut todos = Vec::new();
        for bed in &self.graph.view.plan.scenario.beds {
            for new in [false, true] {
                let (mut trays, mut ms) = (0, 0);
                let mut runs: Vec<String> = Vec::new();
                for (run, part, counted) in self.in_bed(&bed.id, new) {
                    let d = part.delivery;
                    trays += d.trays;
                    ms += care.map_or(0, |care| {
                        person_time(care, d.trays, run.kind, Some(counted), part.area_m2).0
                    });
                    if runs.last() != Some(&run.run.id) {
                        runs.push(run.run.id.clone());
                    }
                }
                if trays > 0 {
                    let job = Job {
                        runs,
                        to_place: Some(bed.name.clone()),
                        laid_out_today: new,
                        ..job(Work::Care, trays)
                    };
                    todos.push(todo(job, piece(care, |_| ms)));
                }
            }
        }
        todos
    }

    /// Parts that are cared for in a bed: those laid out today or those that stood there before, each with
    /// the bed by which its floor is counted.
    fn in_bed(&self, bed: &str, new: bool) -> Vec<(&'a RunView<'a>, &'a PartView<'a>, &'a Bed)> {
        let day = self.day;
        let runs = self.graph.view.runs.iter();
        let parts = runs.flat_map(|run| run.parts.iter().map(move |part| (run, part)));
        let mut found = Vec::new();
        for (run, part) in parts {
            let d = part.delivery;
            if day < d.open || d.day <= day || (d.open == day) != new {
                continue;
            }
            let counted = if day < d.harden {
                part.green_bed
            } else {
                part.harden_bed
            };
            let moves_today = day == d.harden && d.open < day;
            let stands = if moves_today { part.green_bed } else { counted };
            if stands.id == bed {
                found.push((run, part, counted));
            }
        }
        found
    }

    fn washing(&self) -> Vec<Todo> {
        let wash = self.graph.view.plan.scenario.work.wash.as_ref();
        let todos = self.tasks(Verb::Wash).map(|task| {
            let need = piece(wash, |wash| {
                let unit = i128::from(Span::minutes(wash.person_minutes).0);
                let ms = -(-(unit * i128::from(task.trays))).div_euclid(100);
                i64::try_from(ms).unwrap_or(i64::MAX / 4)
            });
            todo(
                Job {
                    tasks: vec![task.id.clone()],
                    ..job(Work::Wash, task.trays)
                },
                need,
            )
        });
        todos.collect()
    }
}
