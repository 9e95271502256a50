//! A plan as calendars (RFC 5545) for the season, a crew or a grower, to be read by telephones and other calendars.
//!
//! [`gather()`] makes plain events from a plan, [`files()`] sorts them into files and adds what an earlier plan had and this one has not, and
//! [`write()`] gives the bytes of a file. What makes a file the same each time:
//!
//! * `UID`: work, season with the year in which it ends, field and part; for the work of a whole run the first of its parts by name. Never the
//!   date, so that a moved event moves in the calendar. Behind `@` a mark of the nursery's name.
//! * `SEQUENCE`: the number of the plan.
//! * `DTSTAMP`: the first day of the plan, midnight UTC, and as many seconds later as the plan's number says: no clock is read.
//! * Work with a time by the clock has floating times, to five minutes as on the day sheet; all else is all-day.
//! * What is told and stands is `CONFIRMED`, a day not yet told `TENTATIVE`.
//!
//! Daily work that belongs to no field (washing, watering, changes of water) stands on the day sheets only: nothing but its date would name it.

mod gather;
mod sort;
mod write;

pub use gather::{gather, grower_events};
pub use sort::{By, files};
pub use write::{escaped, folded, write};

use crate::calendar::Day;
use crate::plan::Plan;

/// Whether an event stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// It stands.
    Confirmed,
    /// Planned and not told yet.
    Tentative,
    /// An earlier plan had it, this one has not.
    Cancelled,
}

/// One event, as plain data.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// The same for the same work in every plan.
    pub uid: String,
    /// Id of the season.
    pub season: Option<String>,
    /// Id of the crew whose work it is.
    pub crew: Option<String>,
    /// The grower whose field it is about; none for the work of a run.
    pub grower: Option<String>,
    /// The day.
    pub day: Day,
    /// The day on which its trays leave, of what follows from that: once they have left, a later plan knows of it no more, and it stands.
    pub after: Option<Day>,
    /// From and to, minutes after midnight; none: all day.
    pub time: Option<(i64, i64)>,
    /// In few words.
    pub summary: String,
    /// Line by line.
    pub details: Vec<String>,
    /// By local name.
    pub place: Option<String>,
    /// Whether it stands.
    pub status: Status,
    /// Number of the plan that says so.
    pub sequence: u32,
    /// Trays handled.
    pub trays: i64,
    /// Person-minutes, rounded up.
    pub person_minutes: i64,
    /// Dry seed, g.
    pub seed_g: i64,
}

/// One file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CalendarFile {
    /// Its name, without a folder.
    pub name: String,
    /// Id of the season or crew, or the grower; none: of what belongs to none.
    pub owner: Option<String>,
    /// What a calendar calls it.
    pub title: String,
    /// Whose plan it is.
    pub nursery: String,
    /// [`stamp`] of the plan.
    pub stamp: (Day, u32),
    /// By day, time and identity.
    pub events: Vec<Event>,
}

impl CalendarFile {
    /// Events that an earlier plan had and this one has not.
    pub fn cancelled(&self) -> usize {
        let gone = self.events.iter();
        gone.filter(|event| event.status == Status::Cancelled)
            .count()
    }
}

/// The time that stands for the making of a plan: its first day, and seconds after midnight by its number.
pub fn stamp(plan: &Plan) -> (Day, u32) {
    (plan.scenario.horizon.first, plan.revision.min(86_399))
}
