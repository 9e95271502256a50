//! The roster as data: who of the staff has which duty on which day of a plan, and what nobody fills.
//!
//! A roster holds no time or date of its making. It names the plan that it was made for by its revision and the hash of its
//! scenario; whoever reads it has the plan beside it.

use super::file::PlanFileError;
use crate::calendar::Day;
use crate::files;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// The mark that opens every roster file.
pub const FORMAT: &str = "sowrota-roster/1";

/// Named people on the shifts and night watches of one plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Roster {
    /// Always [`FORMAT`].
    pub format: String,
    /// Revision of the plan that it was made for.
    pub plan_revision: u32,
    /// SHA-256 of the completed scenario of that plan.
    pub scenario_sha256: String,
    /// Duties by day, crews in the scenario's order and the watch last, people in the scenario's order.
    pub duties: Vec<PersonDuty>,
    /// Places of the shifts that people hired by the week take, who have no names here.
    pub hired: Vec<HiredPlaces>,
    /// What nobody fills.
    pub unfilled: Vec<Unfilled>,
    /// Sums by person, in the scenario's order; people without a duty too.
    pub people: Vec<PersonTotals>,
}

/// One person on one day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PersonDuty {
    /// Day on which it begins.
    pub day: Day,
    /// With which crew; none: the night watch.
    pub crew: Option<String>,
    /// Who.
    pub person: String,
    /// Beginning, minutes after midnight.
    pub start_minute: i64,
    /// End, minutes after that midnight: more than 1,440 on the day after.
    pub end_minute: i64,
    /// Stays after the shift, for overtime that the plan buys.
    pub stays: bool,
    /// Counts as a late shift.
    pub late: bool,
}

/// Places of one shift that hired people take.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HiredPlaces {
    /// Day.
    pub day: Day,
    /// Crew.
    pub crew: String,
    /// How many.
    pub people: i64,
    /// So many of them stay for overtime.
    pub stay: i64,
}

/// What is missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Missing {
    /// People on a shift or watch.
    Person,
    /// Somebody with the licence on a shift that soaks treated seed.
    Licence,
}

/// Places of a shift or watch that nobody fills.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unfilled {
    /// Day.
    pub day: Day,
    /// Crew; none: the night watch.
    pub crew: Option<String>,
    /// What is missing.
    pub missing: Missing,
    /// How many; 1 for a licence.
    pub places: i64,
    /// They would have stayed for overtime.
    pub stays: bool,
    /// Why, in words.
    pub reason: String,
    /// What would help, in words.
    pub help: Option<String>,
}

/// What one person has in all.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PersonTotals {
    /// Who.
    pub person: String,
    /// Days of duty, watches too.
    pub days: i64,
    /// Of these, Saturdays and Sundays.
    pub weekend_days: i64,
    /// Late shifts: ending late, staying for overtime, or watching.
    pub late: i64,
    /// Of these, night watches.
    pub nights: i64,
    /// Duties with another crew than the duty before.
    pub changes: i64,
}

/// The roster in `path`.
///
/// # Errors
/// [`RosterFileError`]: no such file, not JSON, or not a roster of this version.
pub fn load(path: &Path) -> Result<Roster, RosterFileError> {
    let bytes = files::read(path).map_err(PlanFileError::File)?;
    let path = path.to_path_buf();
    let roster: Roster =
        serde_json::from_slice(&bytes).map_err(|fault| RosterFileError::Shape {
            path: path.clone(),
            fault,
        })?;
    if roster.format != FORMAT {
        let found = roster.format;
        return Err(RosterFileError::Version { path, found });
    }
    Ok(roster)
}

/// Writes `roster` to `path` as JSON that people can read, the whole file or nothing.
///
/// # Errors
/// [`RosterFileError`] when the file cannot be written.
pub fn save(roster: &Roster, path: &Path) -> Result<(), RosterFileError> {
    let text = serde_json::to_string_pretty(roster).map_err(|fault| RosterFileError::Shape {
        path: path.to_path_buf(),
        fault,
    })?;
    files::write(path, (text + "\n").as_bytes()).map_err(PlanFileError::File)?;
    Ok(())
}

/// A roster could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum RosterFileError {
    /// The file itself.
    #[error(transparent)]
    File(#[from] PlanFileError),
    /// Not JSON, or not the shape of a roster.
    #[error("`{}` cannot be read as a roster: {fault}", path.display())]
    Shape {
        /// The file.
        path: PathBuf,
        /// What and where, by the parser.
        fault: serde_json::Error,
    },
    /// Another format.
    #[error("`{}` has format `{found}`; a roster has `{FORMAT}`", path.display())]
    Version {
        /// The file.
        path: PathBuf,
        /// Its format.
        found: String,
    },
}
