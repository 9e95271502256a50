//! Jobs of a sowing line: set-up, trial, sowing and stacking.

use super::{Maker, OnLine, Todo, job, piece, team, todo};
use crate::plan::day::quantities::{seed, soil, wet_grams};
use crate::plan::day::{Job, Sowing, Work};
use crate::plan::tasks::Verb;
use crate::plan::view::RunView;
use crate::quantities::{Stacked, person_time, tray_ms};
use crate::scenario::Line;
use crate::units::Span;

impl Maker<'_> {
    /// Set-up, trial, sowing and stacking, in the order of the runs on each line.
    pub(super) fn lines(&self) -> Vec<Todo> {
        let mut todos = Vec::new();
        for line in &self.graph.view.plan.scenario.lines {
            let mut runs: Vec<&RunView<'_>> = self.graph.view.runs.iter().collect();
            runs.retain(|run| {
                run.run.sow == self.day && run.line.is_some_and(|own| own.id == line.id)
            });
            runs.sort_by_key(|run| run.run.place_in_day);
            let mut before: Option<&str> = None;
            for (at, run) in runs.iter().enumerate() {
                let set_up = set_up_ms(line, before, &run.kind.id);
                todos.extend(self.on_line(line, run, set_up, (at + 1, runs.len())));
                before = Some(&run.kind.id);
            }
        }
        todos
    }

    fn on_line(
        &self,
        line: &Line,
        run: &RunView<'_>,
        set_up_ms: i64,
        (order, of): (usize, usize),
    ) -> Vec<Todo> {
        let work = &self.graph.view.plan.scenario.work;
        let (r, kind) = (run.run, run.kind);
        let all = r.trays + r.trial_trays;
        let each = tray_ms(line, &run.kind.id);
        let base = |work: Work, verb: Verb, trays: i64| Job {
            tasks: vec![format!("{}/{verb}", r.id)],
            runs: vec![r.id.clone()],
            kind: Some(kind.name.clone()),
            to_place: Some(line.name.clone()),
            ..job(work, trays)
        };
        let places: Vec<String> = run
            .stacks
            .iter()
            .map(|stack| stack.place.id.clone())
            .collect();
        let on_line = |todo: Todo, ms: i64| Todo {
            on_line: Some(OnLine {
                line: line.id.clone(),
                ms,
                places: places.clone(),
            }),
            ..todo
        };
        let sowing = Sowing {
            order,
            of,
            line_minutes: Span(set_up_ms + all * each).minutes_up(),
            trial_trays: r.trial_trays,
            seed: seed(kind, all),
            grams: wet_grams(kind),
            soil: soil(kind, all),
        };
        let sow = Job {
            sowing: Some(sowing),
            ..base(Work::Sow, Verb::Sow, r.trays)
        };
        let (trial_ms, sow_ms) = (r.trial_trays * each, r.trays * each);
        let set_up = base(Work::SetUp, Verb::SetUp, 0);
        let mut todos = vec![on_line(
            todo(set_up, team(work.set_up.as_ref(), set_up_ms)),
            set_up_ms,
        )];
        if r.trial_trays > 0 {
            let trial = base(Work::Trial, Verb::Trial, r.trial_trays);
            todos.push(on_line(
                todo(trial, team(work.sow.as_ref(), trial_ms)),
                trial_ms,
            ));
        }
        todos.push(on_line(todo(sow, team(work.sow.as_ref(), sow_ms)), sow_ms));
        for (at, stack) in run.stacks.iter().enumerate() {
            let here = run
                .parts
                .iter()
                .filter(|part| part.place.id == stack.place.id);
            let need = piece(work.stack.as_ref(), |piece| {
                here.map(|part| {
                    person_time(
                        piece,
                        part.delivery.trays,
                        kind,
                        Some(part.green_bed),
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

fn set_up_ms(line: &Line, before: Option<&str>, kind: &str) -> i64 {
    let minutes = match before {
        None => line.first_set_up_minutes,
        Some(before) => line
            .set_up_pairs
            .iter()
            .find(|pair| pair.from == before && pair.to == kind)
            .map_or(line.set_up_minutes, |pair| pair.minutes),
    };
    Span::minutes(minutes).0
}
