//! Germination places through the day: a stack that is begun stands where one was free in the morning,
//! or where one was opened before.

use super::Times;
use crate::calendar::Day;
use crate::plan::day::Work;
use crate::plan::day::jobs::{Need, Todo};
use crate::plan::tasks::TaskGraph;
use crate::units::div_up;
use std::collections::BTreeMap;

/// Earlier than any time of the day.
const BEFORE: i64 = i64::MIN / 2;

/// Later than any time of the day.
const NEVER: i64 = i64::MAX / 2;

/// Free places by germination place on the morning of `day`: those without a stack, also without one that is
/// opened on that day.
pub fn free_in_the_morning(graph: &TaskGraph<'_>, day: Day) -> BTreeMap<String, i64> {
    let places = &graph.view.plan.scenario.germination;
    let mut free: BTreeMap<String, i64> = places
        .iter()
        .map(|place| (place.id.clone(), place.stack_places))
        .collect();
    for run in graph.view.runs.iter().filter(|run| run.run.sow < day) {
        for stack in run.stacks.iter().filter(|stack| day <= stack.stacks.open) {
            if let Some(free) = free.get_mut(&stack.place.id) {
                *free -= stack.stacks.stacks;
            }
        }
    }
    free
}

/// When which stack is opened, and how many places were free before.
pub struct Places<'a> {
    pub todos: &'a [Todo],
    pub free: BTreeMap<String, i64>,
}

impl Places<'_> {
    /// Stacks that are opened today where the line needs more places than are free, job by job.
    pub fn wanted(&self) -> Vec<(usize, i64)> {
        let fills = self.todos.iter().filter_map(|todo| todo.on_line.as_ref());
        let fills: Vec<_> = fills.flat_map(|on| &on.fills).collect();
        let short = |place: &String| {
            let free = self.free.get(place).copied().unwrap_or(0);
            fills
                .iter()
                .any(|fill| fill.place == *place && fill.nth > free)
        };
        let opening = self.todos.iter().enumerate();
        opening
            .filter(|(_, todo)| todo.opens.as_ref().is_some_and(short))
            .map(|(at, todo)| (at, todo.stacks()))
            .collect()
    }

    /// When the places are free, ascending, after those of the morning.
    fn opened(&self, place: &str, times: &Times) -> Vec<i64> {
        let mut opened = Vec::new();
        for (at, todo) in self.todos.iter().enumerate() {
            if todo.opens.as_deref() != Some(place) {
                continue;
            }
            let stacks = todo.stacks();
            let ms = match todo.need {
                Need::Piece { ms, .. } => ms,
                _ => 0,
            };
            opened.extend((1..=stacks).map(|nth| done_at(times, at, div_up(ms * nth, stacks))));
        }
        opened.sort_unstable();
        opened
    }

    /// The first time at which job `at` of a line may begin, if it then goes on without a stop to the end of its
    /// run, so that no stack is begun before it has a place.
    pub fn not_before(&self, at: usize, times: &Times) -> i64 {
        let Some(on) = &self.todos[at].on_line else {
            return BEFORE;
        };
        let mut opened: BTreeMap<&str, Vec<i64>> = BTreeMap::new();
        let bounds = on.fills.iter().map(|fill| {
            let beyond = fill.nth - self.free.get(&fill.place).copied().unwrap_or(0);
            if beyond <= 0 {
                return BEFORE;
            }
            let opened = opened
                .entry(&fill.place)
                .or_insert_with(|| self.opened(&fill.place, times));
            let at = usize::try_from(beyond - 1).unwrap_or(usize::MAX);
            // For stacks beyond all places, which no sound plan has, the last to be opened is waited for.
            let time = opened.get(at).or(opened.last());
            time.map_or(BEFORE, |time| time - fill.after_ms)
        });
        bounds.max().unwrap_or(BEFORE)
    }

    /// True when every stack that is begun has a place at that time.
    pub fn hold(&self, times: &Times) -> bool {
        let sown = |at: &usize| matches!(self.todos[*at].job.work, Work::Trial | Work::Sow);
        (0..self.todos.len()).filter(sown).all(|at| {
            let begun = times.taken[at].first();
            begun.is_none_or(|taken| taken.from >= self.not_before(at, times))
        })
    }
}

/// When so many person-milliseconds of a job are done.
fn done_at(times: &Times, at: usize, work: i64) -> i64 {
    let spells = &times.taken[at];
    let done = |time: i64| -> i64 {
        let of = spells
            .iter()
            .map(|s| s.people * (time.min(s.until) - s.from).max(0));
        of.sum()
    };
    if work <= 0 {
        return BEFORE;
    }
    let from = spells.iter().map(|spell| spell.from).min().unwrap_or(0);
    let until = spells.iter().map(|spell| spell.until).max().unwrap_or(0);
    if done(until) < work {
        return NEVER;
    }
    let (mut before, mut after) = (from, until);
    while before < after {
        let middle = before + (after - before) / 2;
        if done(middle) < work {
            before = middle + 1;
        } else {
            after = middle;
        }
    }
    after
}
