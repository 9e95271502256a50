//! Room to move: earliest and latest day of each task, the critical path, and what clashes.

use super::{DAY, Task, TaskGraph, Why};
use crate::calendar::Day;
use crate::plan::network::{Node, PositiveCycle, Starts};
use std::fmt;

/// Tasks whose lags cannot all be kept, wherever they are put.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct Clash {
    /// Tasks around the cycle, by id; `first day` is the first day of the horizon.
    pub tasks: Vec<String>,
    /// By how many minutes the cycle is too long.
    pub minutes: i64,
}

impl fmt::Display for Clash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let days = crate::units::div_up(self.minutes, DAY);
        write!(
            f,
            "these lags cannot all be kept, by {days} day{}: ",
            if days == 1 { "" } else { "s" }
        )?;
        for task in &self.tasks {
            write!(f, "`{task}` → ")?;
        }
        write!(f, "`{}`", self.tasks.first().map_or("", String::as_str))
    }
}

/// Earliest and latest day of every task when windows, seed and lags count, and people, floor and trays do not.
#[derive(Clone, Debug)]
pub struct Room {
    earliest: Vec<Option<Day>>,
    latest: Vec<Option<Day>>,
    /// Why the last field cannot be planted sooner: task, its earliest day and what holds it, in order.
    pub critical_path: Vec<Step>,
}

/// One step of the critical path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Index of the task.
    pub task: usize,
    /// Its earliest day.
    pub day: Day,
    /// What holds it there.
    pub why: Why,
}

impl Room {
    /// The first working day on which the task could be done.
    pub fn earliest(&self, task: usize) -> Option<Day> {
        self.earliest.get(task).copied().flatten()
    }

    /// The last working day on which it could be done; none when nothing bounds it.
    pub fn latest(&self, task: usize) -> Option<Day> {
        self.latest.get(task).copied().flatten()
    }

    /// The critical path in words, one line a step.
    pub fn critical_path_in_words(&self, graph: &TaskGraph<'_>) -> Vec<String> {
        let words = |step: &Step| {
            let task: &Task = &graph.tasks[step.task];
            format!(
                "`{}` not before {} ({})",
                task.id,
                step.day.spoken(),
                step.why
            )
        };
        self.critical_path.iter().map(words).collect()
    }
}

impl TaskGraph<'_> {
    /// Earliest and latest day of every task, and the critical path to the field that can be planted last.
    ///
    /// # Errors
    /// [`Clash`] when the lags cannot all be kept, however the tasks are moved.
    pub fn room(&self) -> Result<Room, Clash> {
        let (network, origin, nodes) = self.network();
        let starts = network
            .earliest(origin)
            .map_err(|cycle| self.clash(cycle))?;
        let ends = network
            .latest(origin, 0)
            .map_err(|cycle| self.clash(cycle))?;
        let mut earliest = Vec::with_capacity(nodes.len());
        let mut latest = Vec::with_capacity(nodes.len());
        for (at, node) in nodes.iter().enumerate() {
            earliest.push(self.snapped(at, starts.of(*node), 1));
            latest.push(self.snapped(at, ends.of(*node), -1));
        }
        let last = (0..nodes.len())
            .filter(|at| self.tasks[*at].in_window && !self.loaded_for_today(*at))
            .max_by_key(|at| (starts.of(nodes[*at]), std::cmp::Reverse(*at)));
        let chain = last.map(|at| network.binding_chain(&starts, origin, nodes[at]));
        let critical_path = chain.map(|chain| {
            let id = |node: &Node| *network.id(*node);
            self.steps(&starts, &chain, &chain.iter().map(id).collect::<Vec<_>>())
        });
        Ok(Room {
            earliest,
            latest,
            critical_path: critical_path.unwrap_or_default(),
        })
    }

    /// The nearest day on which the task can be done, forwards or backwards from a minute.
    fn snapped(&self, task: usize, minute: Option<i64>, step: i32) -> Option<Day> {
        let day = self.day_at(minute?);
        if self.tasks[task].past {
            return Some(day);
        }
        (0..=366)
            .map(|days| day.plus(step * days))
            .find(|day| self.staffed(task, *day))
    }

    fn steps(&self, starts: &Starts, chain: &[Node], ids: &[Option<usize>]) -> Vec<Step> {
        let mut steps = Vec::new();
        for at in 1..chain.len() {
            let (Some(task), Some(start)) = (ids[at], starts.of(chain[at])) else {
                continue;
            };
            let before = starts.of(chain[at - 1]).unwrap_or(0);
            let held = self.lags.iter().find(|lag| {
                let forwards = lag.to == task && lag.from == ids[at - 1];
                let backwards = lag.from == Some(task) && Some(lag.to) == ids[at - 1];
                (forwards && lag.least == Some(start - before))
                    || (backwards && lag.greatest == Some(before - start))
            });
            let why = held.map_or(Why::Horizon, |lag| lag.why);
            steps.push(Step {
                task,
                day: self.day_at(start),
                why,
            });
        }
        steps
    }

    fn clash(&self, cycle: PositiveCycle<Option<usize>>) -> Clash {
        let name = |task: &Option<usize>| match task {
            Some(task) => self.tasks[*task].id.clone(),
            None => "first day".to_string(),
        };
        Clash {
            tasks: cycle.tasks.iter().map(name).collect(),
            minutes: cycle.sum,
        }
    }
}
