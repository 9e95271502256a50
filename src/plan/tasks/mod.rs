//! The task graph of a plan: from soaking to washing, with least and greatest lags.
//!
//! Times are minutes from the first day of the horizon, always the beginning of a day: growth
//! elapses by whole days (see `docs/COUNTING.md`), and [`super::day`] gives each day its clock.
//! Work of one day hangs together by lags of nought both ways (set up, trial, sow and stack; open
//! and lay out; load and plant, unless trays may wait at the field's edge).
//!
//! Lags that depend on the weather (stack, age) are those of the planned sow day. The room to move
//! that follows counts windows, seed and lags, **not** people, floor or trays: it is room if these allow.
//!
//! What lies before the first day is done and stands where it was.

mod build;
mod growth;
mod room;

pub use room::{Clash, Room};

use super::network::{Network, Node};
use super::types::Plan;
use super::view::{PlanError, PlanView};
use crate::calendar::Day;
use crate::scenario::CalendarName;
use crate::units::{Fixed, Hectares};
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt;

/// Minutes of a day.
pub const DAY: i64 = 1_440;

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verb {
    /// Seed into the tank.
    Soak,
    /// Seed out of the tank.
    Drain,
    /// Seed ready for the line.
    Sprout,
    /// The line made ready for a kind.
    SetUp,
    /// Trays sown to weigh the seed.
    Trial,
    /// Trays sown for fields.
    Sow,
    /// Sown trays stacked.
    Stack,
    /// First look at the sprouts.
    Look,
    /// Stacks opened.
    Unstack,
    /// Trays laid out under the first cover.
    Green,
    /// Covers changed, trays moved to the second bed.
    Harden,
    /// Trays loaded and sent.
    Load,
    /// Seed or trays given to who fetches them; the pooled spare given up.
    HandOver,
    /// Field planted.
    Plant,
    /// Empty trays fetched.
    Collect,
    /// Empty trays washed.
    Wash,
}

impl Verb {
    /// As in a task's id.
    pub const fn as_str(self) -> &'static str {
        match self {
            Verb::Soak => "soak",
            Verb::Drain => "drain",
            Verb::Sprout => "sprout",
            Verb::SetUp => "set-up",
            Verb::Trial => "trial",
            Verb::Sow => "sow",
            Verb::Stack => "stack",
            Verb::Look => "look",
            Verb::Unstack => "unstack",
            Verb::Green => "green",
            Verb::Harden => "harden",
            Verb::Load => "load",
            Verb::HandOver => "hand-over",
            Verb::Plant => "plant",
            Verb::Collect => "collect",
            Verb::Wash => "wash",
        }
    }

    /// The calendar that it needs; sprouting and looking happen on any day.
    pub const fn calendar(self) -> Option<CalendarName> {
        match self {
            Verb::SetUp | Verb::Trial | Verb::Sow | Verb::Stack => Some(CalendarName::Line),
            Verb::Load | Verb::HandOver | Verb::Plant => Some(CalendarName::Planting),
            Verb::Sprout | Verb::Look => None,
            _ => Some(CalendarName::Beds),
        }
    }
}

impl fmt::Display for Verb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// One piece of work of the plan, on its planned day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Task {
    /// `R017/unstack`, `R017/F03.1/plant`, `wash/2027-05-20`. A run with stacks in several places
    /// names the place too: `R017/G2/unstack`.
    pub id: String,
    /// What.
    pub verb: Verb,
    /// Run.
    pub run: Option<String>,
    /// Field.
    pub field: Option<String>,
    /// Part of the field.
    pub part: Option<u32>,
    /// Line, germination place or bed, by short name.
    pub place: Option<String>,
    /// Planned day.
    pub day: Day,
    /// Done before the first day of the horizon.
    pub past: bool,
    /// Trays handled: those sown up to the bed, those that leave from loading on; for soaking, draining and sprouting
    /// those that the seed is for, trial trays and trays thrown out included.
    pub trays: i64,
    /// Stacks handled.
    pub stacks: i64,
    /// Dry seed, kg.
    pub seed_dry_kg: Fixed<3>,
    /// Area of the part, ha.
    pub area_ha: Hectares,
    /// It stands in the window of its field: what is planted, or handed over for good.
    #[serde(skip)]
    pub(crate) in_window: bool,
    /// Index of the run in the plan.
    #[serde(skip)]
    pub(crate) at_run: Option<usize>,
    /// Index of the part in the run.
    #[serde(skip)]
    pub(crate) at_part: Option<usize>,
    /// Index of the stacks in the run.
    #[serde(skip)]
    pub(crate) at_stack: Option<usize>,
}

/// Why two tasks must keep a distance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Why {
    Horizon,
    Done,
    Pinned,
    Soaking,
    Sprouting,
    SeedKeeps,
    SameDay,
    FirstLook,
    StackReady,
    Greening,
    AfterHardening,
    Edge,
    Age,
    Window,
    TraysReturn,
    TraysAtHome,
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Why::Horizon => "within the days planned",
            Why::Done => "done before the plan begins",
            Why::Pinned => "pinned",
            Why::Soaking => "soaking",
            Why::Sprouting => "sprouting",
            Why::SeedKeeps => "sprouted seed keeps",
            Why::SameDay => "same day",
            Why::FirstLook => "first look at the stack",
            Why::StackReady => "stack ready and waiting",
            Why::Greening => "greening",
            Why::AfterHardening => "after hardening began",
            Why::Edge => "waiting at the edge of the field",
            Why::Age => "age of the seedlings",
            Why::Window => "window of the field",
            Why::TraysReturn => "trays come back",
            Why::TraysAtHome => "trays at home",
        })
    }
}

/// A least lag, a greatest lag or both between two tasks; none stands for the first day of the horizon.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lag {
    /// Index of the task before.
    pub from: Option<usize>,
    /// Index of the task after.
    pub to: usize,
    /// Least, in minutes.
    pub least: Option<i64>,
    /// Greatest, in minutes.
    pub greatest: Option<i64>,
    /// Why.
    pub why: Why,
}

/// A planned day that breaks a lag or falls on a day without that work.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Breach {
    /// The tasks it is about.
    pub tasks: Vec<String>,
    /// In words.
    pub text: String,
}

/// All tasks of a plan and the lags between them.
#[derive(Clone, Debug)]
pub struct TaskGraph<'a> {
    /// The plan, looked up.
    pub view: PlanView<'a>,
    /// Tasks by run, then washing by day.
    pub tasks: Vec<Task>,
    /// Lags in the order of the tasks.
    pub lags: Vec<Lag>,
}

impl<'a> TaskGraph<'a> {
    /// The task graph of `plan`.
    ///
    /// # Errors
    /// [`PlanError`] when the plan names what its scenario does not have.
    pub fn new(plan: &'a Plan) -> Result<TaskGraph<'a>, PlanError> {
        let view = PlanView::new(plan)?;
        let (tasks, lags) = build::build(&view);
        Ok(TaskGraph { view, tasks, lags })
    }

    /// First day of the horizon: minute 0.
    pub fn first_day(&self) -> Day {
        self.view.plan.scenario.horizon.first
    }

    /// The task of that id.
    pub fn task(&self, id: &str) -> Option<&Task> {
        self.tasks.iter().find(|task| task.id == id)
    }

    /// Tasks planned on `day`, in the order of the graph.
    pub fn on(&self, day: Day) -> impl Iterator<Item = (usize, &Task)> {
        self.tasks
            .iter()
            .enumerate()
            .filter(move |(_, task)| task.day == day)
    }

    /// Minutes from the first day to the planned day of a task; 0 for the first day itself.
    fn planned(&self, task: Option<usize>) -> i64 {
        task.map_or(0, |task| {
            i64::from(self.tasks[task].day.since(self.first_day())) * DAY
        })
    }

    fn day_at(&self, minute: i64) -> Day {
        let days = minute.div_euclid(DAY).clamp(-1_000_000, 1_000_000);
        self.first_day().plus(days as i32)
    }

    /// The lags as a network whose ids are the indices of the tasks, none for the first day.
    fn network(&self) -> (Network<Option<usize>>, Node, Vec<Node>) {
        let mut network = Network::new();
        let origin = network.add(None);
        let nodes: Vec<Node> = (0..self.tasks.len())
            .map(|task| network.add(Some(task)))
            .collect();
        for lag in &self.lags {
            let from = lag.from.map_or(origin, |from| nodes[from]);
            if let Some(least) = lag.least {
                network.at_least(from, nodes[lag.to], least);
            }
            if let Some(greatest) = lag.greatest {
                network.at_most(from, nodes[lag.to], greatest);
            }
        }
        (network, origin, nodes)
    }

    /// Checks the planned days against the lags and the calendars.
    ///
    /// # Returns
    /// Every breach, by task names, in the order of the graph; empty for a plan that holds.
    pub fn check(&self) -> Vec<Breach> {
        let mut breaches: Vec<Breach> = self
            .lags
            .iter()
            .filter_map(|lag| self.breach_of(lag))
            .collect();
        let calendars = &self.view.plan.scenario.calendars;
        for task in self.tasks.iter().filter(|task| !task.past) {
            let Some(name) = task.verb.calendar() else {
                continue;
            };
            if calendars.get(name).works(task.day) {
                continue;
            }
            let text = format!(
                "`{}` is planned on {} {}, a day without that work",
                task.id,
                task.day.weekday(),
                task.day.spoken()
            );
            breaches.push(Breach {
                tasks: vec![task.id.clone()],
                text,
            });
        }
        for (at, task) in self.tasks.iter().enumerate() {
            let ends = task.in_window && !self.loaded_for_today(at);
            if ends && !task.past && !self.field_open(at, task.day) {
                let text = format!(
                    "`{}` is planned on {}, outside the field's window or on one of its closed days",
                    task.id,
                    task.day.spoken()
                );
                breaches.push(Breach {
                    tasks: vec![task.id.clone()],
                    text,
                });
            }
        }
        breaches
    }

    fn breach_of(&self, lag: &Lag) -> Option<Breach> {
        let apart = self.planned(Some(lag.to)) - self.planned(lag.from);
        let (limit, word) = match (lag.least, lag.greatest) {
            (Some(least), _) if apart < least => (least, "earliest"),
            (_, Some(greatest)) if apart > greatest => (greatest, "latest"),
            _ => return None,
        };
        let task = &self.tasks[lag.to];
        let bound = self.day_at(self.planned(lag.from) + limit).spoken();
        let text = match lag.from {
            None => format!(
                "`{}` is planned on {}; {word} day is {bound} ({})",
                task.id,
                task.day.spoken(),
                lag.why
            ),
            Some(from) => format!(
                "`{}` is planned on {}; with `{}` on {} its {word} day is {bound} ({})",
                task.id,
                task.day.spoken(),
                self.tasks[from].id,
                self.tasks[from].day.spoken(),
                lag.why
            ),
        };
        let before = lag.from.map(|from| self.tasks[from].id.clone());
        Some(Breach {
            tasks: before.into_iter().chain([task.id.clone()]).collect(),
            text,
        })
    }

    /// True of loading that is followed by planting on the same day: of the two the planting is named.
    fn loaded_for_today(&self, task: usize) -> bool {
        let (task, next) = (&self.tasks[task], self.tasks.get(task + 1));
        let same = |next: &Task| (next.at_run, next.at_part) == (task.at_run, task.at_part);
        task.verb != Verb::Plant && next.is_some_and(|next| next.verb == Verb::Plant && same(next))
    }

    /// True when the field of a task may be planted, or be given what is handed over, on `day`.
    fn field_open(&self, task: usize, day: Day) -> bool {
        let task = &self.tasks[task];
        let (Some(run), Some(part)) = (task.at_run, task.at_part) else {
            return true;
        };
        self.view.runs[run].parts[part].may_end_on(&self.view.plan.scenario, day)
    }

    /// True when a task could be done on `day` as far as calendars, window and closed days go.
    fn staffed(&self, task: usize, day: Day) -> bool {
        let verb = self.tasks[task].verb;
        let works = verb
            .calendar()
            .is_none_or(|name| self.view.plan.scenario.calendars.get(name).works(day));
        works && (!self.tasks[task].in_window || self.field_open(task, day))
    }

    /// Tasks that cannot be put off to their next working day while the tasks before them stay where
    /// they are: index and the lag that forbids it, the tightest if there are several.
    pub fn last_days(&self, day: Day) -> BTreeMap<usize, Lag> {
        let mut last: BTreeMap<usize, (Day, Lag)> = BTreeMap::new();
        for lag in &self.lags {
            let task = &self.tasks[lag.to];
            let (Some(greatest), false) = (lag.greatest, task.past || task.day != day) else {
                continue;
            };
            if matches!(lag.why, Why::SameDay | Why::Sprouting | Why::Pinned) {
                continue;
            }
            let limit = self.day_at(self.planned(lag.from) + greatest);
            let next = (1..=366)
                .map(|later| day.plus(later))
                .find(|day| self.staffed(lag.to, *day));
            if next.is_none_or(|next| next > limit) {
                let kept = last.entry(lag.to).or_insert((limit, *lag));
                if limit < kept.0 {
                    *kept = (limit, *lag);
                }
            }
        }
        last.into_iter()
            .map(|(task, (_, lag))| (task, lag))
            .collect()
    }
}
