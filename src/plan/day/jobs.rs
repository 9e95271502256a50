//! The jobs of one day with their quantities, not yet by the clock.

mod care;
mod leaving;
mod line;
mod opening;
mod soaking;

use super::{Job, Totals, Work};
use crate::calendar::Day;
use crate::plan::tasks::{Task, TaskGraph, Verb};
use crate::plan::view::{PartView, RunView};
use crate::scenario::{HandOver, PieceTask, TeamTask};
use crate::units::{Span, div_up};

/// Whose time a job takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Need {
    /// Nobody's.
    Nothing,
    /// So many people of a crew at once, for so many milliseconds.
    Team { crew: String, people: i64, ms: i64 },
    /// Person-milliseconds of a crew.
    Piece { crew: String, ms: i64 },
    /// Time of a planting machine, and of the crew that goes with it.
    Machine(Machine),
}

/// One part of a field planted with a machine, in one go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Machine {
    pub crew: String,
    /// Short name of the machine.
    pub id: String,
    /// Milliseconds that the machine takes, its move included.
    pub ms: i64,
    /// Those of them that it moves, before any tray is wanted.
    pub move_ms: i64,
    /// Person-milliseconds.
    pub work_ms: i64,
    /// Half the round trip that brings the trays; none when nothing is known of the way.
    pub way_ms: Option<i64>,
    /// Its trays stood at the edge of the field before today.
    pub is_there: bool,
}

impl Need {
    /// Short name of the crew whose time it takes.
    pub fn crew(&self) -> Option<&String> {
        match self {
            Need::Nothing => None,
            Need::Team { crew, .. } | Need::Piece { crew, .. } => Some(crew),
            Need::Machine(machine) => Some(&machine.crew),
        }
    }

    /// Person-milliseconds.
    pub fn person_ms(&self) -> i64 {
        match self {
            Need::Nothing => 0,
            Need::Team { people, ms, .. } => people.saturating_mul(*ms),
            Need::Piece { ms, .. } => *ms,
            Need::Machine(machine) => machine.work_ms,
        }
    }
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
    /// True of trays that leave on the day on which their stack is opened.
    pub fn is_sprouted(&self) -> bool {
        let party = self.job.party.as_ref();
        party.is_some_and(|party| party.stage == HandOver::Sprouted)
    }

    /// Stacks, the last one perhaps not full.
    pub fn stacks(&self) -> i64 {
        self.job.stacked.map_or(0, |stacked| stacked.stacks())
    }
}

/// Every job of `day`, in the order of the sheet.
pub fn collect(graph: &TaskGraph<'_>, day: Day) -> Vec<Todo> {
    let maker = Maker { graph, day };
    let mut todos: Vec<Todo> = maker.leaving();
    todos.extend(maker.opening());
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
            Work::HandOver if job.seed.is_none() => totals.handed_over += job.trays,
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
        leave_today: 0,
        allowance: 0,
        spare: false,
        rows: Vec::new(),
        laid_out_today: false,
        load_kg: None,
        stacked: None,
        stacks_first: None,
        stacked_late: false,
        who_could_stack: None,
        seed: None,
        seed_left: None,
        bags: None,
        dose: None,
        washer_minutes: None,
        machine_minutes: None,
        move_minutes: 0,
        trays_come: None,
        due: None,
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
    job.person_minutes = Span(need.person_ms()).minutes_up();
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

    fn washing(&self) -> Vec<Todo> {
        let wash = self.graph.view.plan.scenario.work.wash.as_ref();
        let rate = self.graph.view.plan.scenario.trays.wash_trays_per_h;
        let todos = self.tasks(Verb::Wash).map(|task| {
            let need = piece(wash, |wash| {
                let unit = i128::from(Span::minutes(wash.person_minutes).0);
                let ms = -(-(unit * i128::from(task.trays))).div_euclid(100);
                i64::try_from(ms).unwrap_or(i64::MAX / 4)
            });
            todo(
                Job {
                    tasks: vec![task.id.clone()],
                    washer_minutes: (wash.is_none() && rate > 0)
                        .then(|| div_up(task.trays * 60, rate)),
                    ..job(Work::Wash, task.trays)
                },
                need,
            )
        });
        todos.collect()
    }
}
