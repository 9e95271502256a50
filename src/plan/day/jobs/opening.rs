//! Jobs between the stack and the bed: opening, laying out, hardening.

use super::{Maker, Need, Todo, job, piece, todo};
use crate::plan::day::{Job, Work};
use crate::plan::tasks::{Task, Verb};
use crate::quantities::{Stacked, person_time};
use crate::scenario::PieceTask;
use crate::units::Span;
use std::collections::BTreeMap;

impl Maker<'_> {
    /// Opening of stacks, laying out, and the change to hardening.
    pub(super) fn opening(&self) -> Vec<Todo> {
        let work = &self.graph.view.plan.scenario.work;
        let opened = self.tasks(Verb::Unstack).filter_map(|task| self.open(task));
        let mut todos: Vec<Todo> = opened.collect();
        todos.extend(self.laying_out(Verb::Green, Work::Green, work.green.as_ref()));
        todos.extend(self.laying_out(Verb::Harden, Work::Harden, work.harden.as_ref()));
        todos
    }

    fn open(&self, task: &Task) -> Option<Todo> {
        let run = self.run(task)?;
        let stack = run.stacks.get(task.at_stack?)?;
        let work = self.graph.view.plan.scenario.work.unstack.as_ref();
        let here = run.parts.iter();
        let here = here.filter(|part| part.place.is_some_and(|place| place.id == stack.place.id));
        let need = piece(work, |piece| {
            let each = here.clone().map(|part| {
                let trays = part.delivery.sown();
                person_time(piece, trays, run.kind, part.green_bed, part.area_m2).0
            });
            each.sum()
        });
        let leave = here.filter(|part| part.is_sprouted());
        let lost = leave.clone().map(|part| part.lost()).sum();
        let open = Job {
            tasks: vec![task.id.clone()],
            runs: vec![run.run.id.clone()],
            kind: Some(run.kind.name.clone()),
            trial_trays: if task.at_stack == Some(0) {
                run.run.trial_trays
            } else {
                0
            },
            leave_today: leave.map(|part| part.delivery.trays).sum(),
            allowance: lost,
            stacked: Some(Stacked::of(task.trays, stack.place.height)),
            from_place: Some(stack.place.name.clone()),
            ..job(Work::Unstack, task.trays)
        };
        Some(Todo {
            opens: Some(stack.place.id.clone()),
            ..todo(open, need)
        })
    }

    /// Parts of a run that go into the same bed on the same day are one job; the spare is one of its own.
    fn laying_out(&self, verb: Verb, work: Work, by: Option<&PieceTask>) -> Vec<Todo> {
        let mut todos: Vec<Todo> = Vec::new();
        let mut at: BTreeMap<(&str, Option<&str>, &str, bool), usize> = BTreeMap::new();
        for task in self.tasks(verb) {
            let Some((run, part)) = self.part(task) else {
                continue;
            };
            let Some((to, rows)) = part.bed(verb == Verb::Harden) else {
                continue;
            };
            let from = match verb {
                Verb::Green => part.place.map(|place| place.name.as_str()),
                _ => part.green_bed.map(|bed| bed.name.as_str()),
            };
            let ms = by.map_or(0, |by| {
                person_time(by, task.trays, run.kind, Some(to), part.area_m2).0
            });
            let key = (run.run.id.as_str(), from, to.id.as_str(), part.field.spare);
            if let Some(at) = at.get(&key) {
                let found = &mut todos[*at];
                found.job.tasks.push(task.id.clone());
                found.job.trays += task.trays;
                found.job.rows.extend(rows);
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
                from_place: from.map(str::to_string),
                to_place: Some(to.name.clone()),
                rows: rows.to_vec(),
                spare: part.field.spare,
                ..job(work, task.trays)
            };
            todos.push(todo(lay, piece(by, |_| ms)));
        }
        todos
    }
}
