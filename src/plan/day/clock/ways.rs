//! Ways to lay out a day, and the order in which jobs choose their people.

use super::roster::{Pieces, Roster};
use super::{Clock, field_of};
use crate::plan::day::Work;
use crate::plan::day::jobs::{Need, Todo};
use crate::units::{Span, div_up};
use std::collections::{BTreeMap, BTreeSet};

/// When the line takes its team.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// After loading, opening and laying out have taken their people.
    AfterOpening,
    /// Before all other work, from this time on.
    From(i64),
}

/// When the beds are watered, vented and looked at.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum CareTime {
    /// From the morning on, before or beside other work.
    Early,
    /// After the work that others wait for.
    Late,
}

/// Which load goes first.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Loads {
    /// As on the sheet.
    AsWritten,
    /// That with the longest way and work after it.
    LongestFirst,
}

/// Which part is planted next.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Planting {
    /// The one that can begin first.
    FirstToBegin,
    /// One of the machine that has most left to do.
    MostLeft,
}

/// Who stands beside a machine, where the person time of a part is no whole number of people for the time of its machine.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// The fewer first or all first, whichever begins sooner; of two that begin together the fewer first.
    FewerFirst,
    /// The same, but of two that begin together all first.
    AllFirst,
    /// The fewer to the end: the machine waits for them.
    Fewer,
    /// As it ends soonest.
    SoonestDone,
}

/// How a day is laid out.
#[derive(Clone, Copy)]
pub struct Way {
    pub care: CareTime,
    pub line: Line,
    pub pieces: Pieces,
    pub loads: Loads,
    pub planting: Planting,
    pub beside: Beside,
    /// Stacks that are opened before loading begins.
    pub stacks_first: i64,
}

/// How much of a job is given its time.
#[derive(Clone, Copy)]
pub enum Share {
    All,
    /// So many person-milliseconds.
    First(i64),
    /// All but so many.
    Rest(i64),
}

/// At most so many numbers of stacks are tried before loading.
const TRIES: i64 = 64;

/// Steps in which the line is tried later: the sheet is read to five minutes.
const STEP: i64 = 5 * Span::MINUTE;

impl Clock<'_> {
    /// Ways to lay out the day, the tidiest first; where machines plant, also with loads and parts in another order.
    pub(super) fn ways(&self, rosters: &[Roster]) -> impl Iterator<Item = Way> {
        let mut orders = Vec::new();
        if self.todos.iter().any(|todo| todo.job.work == Work::Plant) {
            let parts = [Planting::FirstToBegin, Planting::MostLeft];
            let own_time = [Beside::FewerFirst, Beside::AllFirst];
            let longer = [Beside::SoonestDone, Beside::Fewer];
            for beside in [own_time, longer] {
                for loads in [Loads::AsWritten, Loads::LongestFirst] {
                    let both = parts
                        .into_iter()
                        .flat_map(|part| beside.map(|who| (part, who)));
                    orders.extend(both.map(|(planting, beside)| (loads, planting, beside)));
                }
            }
        }
        let written: Vec<Way> = self.ways_as_written(rosters).collect();
        let tidiest: Vec<Way> = written.iter().take(4).copied().collect();
        let others = orders
            .into_iter()
            .flat_map(move |(loads, planting, beside)| {
                let tidiest = tidiest.clone().into_iter();
                tidiest.map(move |way| Way {
                    loads,
                    planting,
                    beside,
                    ..way
                })
            });
        let first: Vec<Way> = written.iter().take(4).copied().collect();
        first
            .into_iter()
            .chain(others)
            .chain(written.into_iter().skip(4))
    }

    fn ways_as_written(&self, rosters: &[Roster]) -> impl Iterator<Item = Way> {
        let wanted: i64 = self.places.wanted().iter().map(|(_, stacks)| *stacks).sum();
        let step = div_up(wanted, TRIES).max(1);
        let tries = if wanted > 0 { div_up(wanted, step) } else { 0 };
        let times = [CareTime::Early, CareTime::Late];
        let both = [Pieces::InOneGo, Pieces::AsFree];
        let opened = (0..=tries).flat_map(move |nth| {
            both.into_iter().flat_map(move |pieces| {
                times.map(|care| Way {
                    care,
                    line: Line::AfterOpening,
                    pieces,
                    loads: Loads::AsWritten,
                    planting: Planting::FirstToBegin,
                    beside: Beside::FewerFirst,
                    stacks_first: (nth * step).min(wanted),
                })
            })
        });
        let starts = self.shared(rosters).flat_map(move |from| {
            both.into_iter().flat_map(move |pieces| {
                [0, wanted].map(|stacks_first| Way {
                    care: CareTime::Late,
                    line: Line::From(from),
                    pieces,
                    loads: Loads::AsWritten,
                    planting: Planting::FirstToBegin,
                    beside: Beside::FewerFirst,
                    stacks_first,
                })
            })
        });
        opened.chain(starts)
    }

    /// Times at which a line may take its team first, if its crew opens stacks or loads too.
    fn shared(&self, rosters: &[Roster]) -> impl Iterator<Item = i64> {
        let crews = |of: fn(&Todo) -> bool| -> BTreeSet<usize> {
            let todos = self.todos.iter().filter(|todo| of(todo));
            todos.filter_map(|todo| self.crew(todo)).collect()
        };
        let line = crews(|todo| todo.on_line.is_some());
        let before =
            crews(|todo| matches!(todo.job.work, Work::Load | Work::Unstack | Work::Green));
        let shared: Vec<&Roster> = line
            .intersection(&before)
            .map(|crew| &rosters[*crew])
            .collect();
        let from = shared.iter().map(|roster| roster.start).min().unwrap_or(0);
        let until = shared
            .iter()
            .map(|roster| roster.last_end)
            .max()
            .unwrap_or(0);
        (0..=(until - from) / STEP)
            .map(move |nth| from + nth * STEP)
            .filter(move |from| *from < until)
    }

    /// Milliseconds of way and machine that follow a load.
    fn after_loading(&self, at: usize) -> i64 {
        let load = &self.todos[at];
        if load.job.work != Work::Load {
            return 0;
        }
        let plants = self
            .todos
            .iter()
            .filter(|todo| todo.job.runs == load.job.runs && field_of(todo) == field_of(load));
        let long = plants.filter_map(|todo| match &todo.need {
            Need::Machine(machine) => Some(machine.way_ms.unwrap_or(0) + machine.ms),
            _ => None,
        });
        long.max().unwrap_or(0)
    }

    /// Jobs in the order in which they choose their people.
    pub(super) fn turn(&self, way: Way) -> Vec<(usize, Share)> {
        let planted: BTreeSet<&String> = self
            .todos
            .iter()
            .filter(|todo| todo.job.work == Work::Plant)
            .filter_map(|todo| todo.job.party.as_ref().map(|party| &party.field))
            .collect();
        // Among loads those go first for which our own planters wait.
        let place = |todo: &Todo| match todo.job.work {
            Work::SetUp | Work::Trial | Work::Sow if way.line != Line::AfterOpening => 0,
            Work::Care if way.care == CareTime::Early && !todo.job.laid_out_today => 1,
            // What leaves from the stack waits for its opening.
            Work::Load if todo.is_sprouted() => 6,
            Work::Load => {
                let waits = todo.job.party.as_ref().map(|party| &party.field);
                if waits.is_some_and(|field| planted.contains(field)) {
                    3
                } else {
                    4
                }
            }
            Work::Unstack => 5,
            Work::Green => 7,
            Work::SetUp | Work::Trial | Work::Sow => 8,
            Work::Stack => 9,
            Work::Plant => 10,
            other => 11 + other as usize,
        };
        let mut first = BTreeMap::new();
        let mut left = way.stacks_first;
        for (at, stacks) in self.places.wanted() {
            let now = stacks.min(left);
            left -= now;
            if let (1.., Need::Piece { ms, .. }) = (now, &self.todos[at].need) {
                first.insert(at, div_up(ms * now, stacks));
            }
        }
        let mut turn: Vec<(usize, usize, Share)> = first
            .iter()
            .map(|(at, ms)| (2, *at, Share::First(*ms)))
            .collect();
        turn.extend(self.todos.iter().enumerate().map(|(at, todo)| {
            let share = first.get(&at).map_or(Share::All, |ms| Share::Rest(*ms));
            (place(todo), at, share)
        }));
        let long = |at: usize| match way.loads {
            Loads::LongestFirst => -self.after_loading(at),
            Loads::AsWritten => 0,
        };
        turn.sort_by_key(|(place, at, _)| (*place, long(*at), *at));
        turn.into_iter().map(|(_, at, share)| (at, share)).collect()
    }
}
