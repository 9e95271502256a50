//! What stands on the sheets of one day, as plain data: gathered from the plan before anything is drawn.

mod card;
mod labels;
mod loading;
mod log;
mod map;

pub use crate::report::names::without_names;
pub use card::Card;
pub use labels::{Label, Point};
pub use loading::{Empties, Stop, Trip};
pub use log::{BLANK, LogLine};
pub use map::{BedPlace, Map, Stack, StackPlace, Standing};

use crate::calendar::Day;
use crate::plan::day::{DayPlan, Job, Work, day_plan};
use crate::plan::tasks::TaskGraph;

/// Everything that is printed for one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheets {
    /// The day by the clock.
    pub day: DayPlan,
    /// What may be written in the log of this day, with blanks.
    pub log: Vec<LogLine>,
    /// One a run on a line, in their order.
    pub cards: Vec<Card>,
    /// What stands where.
    pub map: Map,
    /// Trips of the vehicles.
    pub trips: Vec<Trip>,
    /// Labels of the five hand-overs.
    pub labels: Vec<Label>,
}

impl Sheets {
    /// Jobs of some sorts of work, in the order of the day.
    pub fn jobs<'a>(&'a self, of: &'a [Work]) -> impl Iterator<Item = &'a Job> {
        self.day.jobs().filter(|job| of.contains(&job.work))
    }
}

/// Gathers the sheets of `day`.
///
/// # Arguments
/// * `graph`: the task graph of the plan; of [`without_names`] of it where growers are not to be named.
/// * `day`: any day of the plan.
pub fn sheets(graph: &TaskGraph<'_>, day: Day) -> Sheets {
    let plan = day_plan(graph, day);
    let cards = card::cards(graph, &plan);
    let trips = loading::trips(graph, &plan);
    Sheets {
        log: log::lines(graph, day),
        labels: labels::labels(graph, &plan, &cards, &trips),
        map: map::map(graph, day),
        day: plan,
        cards,
        trips,
    }
}
