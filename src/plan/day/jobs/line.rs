//! Jobs of a sowing line: set-up, trial, sowing and stacking.

use super::{Fill, Maker, OnLine, Todo, job, piece, team, todo};
use crate::plan::day::clock::free_in_the_morning;
use crate::plan::day::quantities::{seed_left, seed_of_grams, soil, wet_grams};
use crate::plan::day::{Job, Sowing, SownPlace, Work};
use crate::plan::tasks::Verb;
use crate::plan::view::RunView;
use crate::quantities::{Stacked, person_time, tray_ms};
use crate::scenario::{Kind, Line};
use crate::units::{Span, div_near};
use std::collections::BTreeMap;

impl Maker<'_> {
    /// Set-up, trial, sowing and stacking, in the order of the runs on each line.
    pub(super) fn lines(&self) -> Vec<Todo> {
        let mut todos = Vec::new();
        let mut stood = Stood {
            free: free_in_the_morning(self.graph, self.day),
            begun: BTreeMap::new(),
        };
        for line in &self.graph.view.plan.scenario.lines {
            let mut runs: Vec<&RunView<'_>> = self.graph.view.runs.iter().collect();
            runs.retain(|run| {
                run.run.sow == self.day && run.line.is_some_and(|own| own.id == line.id)
            });
            runs.sort_by_key(|run| run.run.place_in_day);
            let mut before: Option<&Kind> = None;
            for (at, run) in runs.iter().enumerate() {
                let order = Order {
                    at: at + 1,
                    of: runs.len(),
                    before,
                };
                todos.extend(self.on_line(line, run, order, &mut stood));
                before = Some(run.kind);
            }
        }
        todos
    }

    fn on_line(
        &self,
        line: &Line,
        run: &RunView<'_>,
        order: Order<'_>,
        stood: &mut Stood,
    ) -> Vec<Todo> {
        let work = &self.graph.view.plan.scenario.work;
        let (r, kind) = (run.run, run.kind);
        let all = run.over_the_line();
        let each = tray_ms(line, &run.kind.id);
        // What is thrown out belongs to the set-up.
        let set_up_ms = set_up_ms(line, order.before, kind) + r.thrown_trays * each;
        let base = |work: Work, verb: Verb, trays: i64| Job {
            tasks: vec![format!("{}/{verb}", r.id)],
            runs: vec![r.id.clone()],
            kind: Some(kind.name.clone()),
            to_place: Some(line.name.clone()),
            ..job(work, trays)
        };
        let (trial_ms, sow_ms) = (r.trial_trays * each, r.trays * each);
        let fills = stood.fills(run, each);
        // Those that are begun so many milliseconds after the first tray, or later.
        let on_line = |todo: Todo, ms: i64, begin: i64| {
            let later = fills.iter().filter(|fill| fill.after_ms >= begin.max(0));
            let fills = later.map(|fill| Fill {
                after_ms: fill.after_ms - begin,
                ..fill.clone()
            });
            Todo {
                on_line: Some(OnLine {
                    line: line.id.clone(),
                    ms,
                    fills: fills.collect(),
                }),
                ..todo
            }
        };
        let sowing = Sowing {
            order: order.at,
            of: order.of,
            line_minutes: Span(set_up_ms + (r.trial_trays + r.trays) * each).minutes_up(),
            trial_trays: r.trial_trays,
            thrown_trays: r.thrown_trays,
            after: order.before.map(|before| before.name.clone()),
            last_of_day: kind.last_of_day,
            hopper_left_g: div_near(line.hopper_g_dry.0, 10),
            places: stood.take(run),
            seed: seed_of_grams(kind, run.hopper_kg().0),
            grams: wet_grams(kind),
            soil: soil(kind, all),
        };
        let scenario = &self.graph.view.plan.scenario;
        let soaked = r.soak.map(|_| run.soaked_kg(scenario));
        let sow = Job {
            sowing: Some(sowing),
            seed_left: soaked.and_then(|soaked| seed_left(kind, soaked.0 - run.hopper_kg().0)),
            ..base(Work::Sow, Verb::Sow, r.trays)
        };
        let set_up = base(Work::SetUp, Verb::SetUp, r.thrown_trays);
        let mut todos = vec![on_line(
            todo(set_up, team(work.set_up.as_ref(), set_up_ms)),
            set_up_ms,
            -set_up_ms,
        )];
        if r.trial_trays > 0 {
            let trial = base(Work::Trial, Verb::Trial, r.trial_trays);
            todos.push(on_line(
                todo(trial, team(work.sow.as_ref(), trial_ms)),
                trial_ms,
                0,
            ));
        }
        todos.push(on_line(
            todo(sow, team(work.sow.as_ref(), sow_ms)),
            sow_ms,
            trial_ms,
        ));
        for (at, stack) in run.stacks.iter().enumerate() {
            let here = run
                .parts
                .iter()
                .filter(|part| part.place.is_some_and(|place| place.id == stack.place.id));
            let need = piece(work.stack.as_ref(), |piece| {
                here.map(|part| {
                    person_time(
                        piece,
                        part.delivery.sown(),
                        kind,
                        part.green_bed,
                        part.area_m2,
                    )
                    .0
                })
                .sum()
            });
            let task = self
                .tasks(Verb::Stack)
                .find(|task| task.run.as_ref() == Some(&r.id) && task.at_stack == Some(at));
            let stack = Job {
                tasks: task.map(|task| task.id.clone()).into_iter().collect(),
                stacked: Some(Stacked::of(stack.stacks.trays, stack.place.height)),
                from_place: Some(line.name.clone()),
                to_place: Some(stack.place.name.clone()),
                ..base(Work::Stack, Verb::Stack, stack.stacks.trays)
            };
            todos.push(todo(stack, need));
        }
        todos
    }
}

/// Stacks of the day in their places, run after run.
struct Stood {
    /// Places free in the morning.
    free: BTreeMap<String, i64>,
    /// Stacks of the runs before.
    begun: BTreeMap<String, i64>,
}

impl Stood {
    /// The stacks of a run, each with the milliseconds from the first tray on the line to its own first.
    fn fills(&self, run: &RunView<'_>, tray_ms: i64) -> Vec<Fill> {
        let (mut fills, mut before) = (Vec::new(), 0);
        for stack in &run.stacks {
            let begun = self.begun.get(&stack.place.id).copied().unwrap_or(0);
            fills.extend((0..stack.stacks.stacks).map(|nth| Fill {
                place: stack.place.id.clone(),
                nth: begun + nth + 1,
                after_ms: (before + nth * stack.place.height) * tray_ms,
            }));
            before += stack.stacks.trays;
        }
        fills
    }

    /// Where the stacks of a run go; they count as begun from then on.
    fn take(&mut self, run: &RunView<'_>) -> Vec<SownPlace> {
        let stacks = run.stacks.iter().map(|stack| {
            let id = &stack.place.id;
            let begun = self.begun.entry(id.clone()).or_insert(0);
            let free = self.free.get(id).copied().unwrap_or(0) - *begun;
            *begun += stack.stacks.stacks;
            SownPlace {
                place: stack.place.name.clone(),
                stacks: stack.stacks.stacks,
                free: free.clamp(0, stack.stacks.stacks),
            }
        });
        stacks.collect()
    }
}

/// A run in the order of its line and day.
#[derive(Clone, Copy)]
struct Order<'a> {
    /// From 1.
    at: usize,
    of: usize,
    before: Option<&'a Kind>,
}

fn set_up_ms(line: &Line, before: Option<&Kind>, kind: &Kind) -> i64 {
    let minutes = match before {
        None => line.first_set_up_minutes,
        Some(before) => line
            .set_up_pairs
            .iter()
            .find(|pair| pair.from == before.id && pair.to == kind.id)
            .map_or(line.set_up_minutes, |pair| pair.minutes),
    };
    Span::minutes(minutes).0
}
