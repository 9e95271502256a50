//! Further types of the completed scenario: the people by name, and what limits their duties.

use super::types::Scenario;
use crate::calendar::{Day, DayRange};
use crate::units::{Celsius, Hours};
use serde::{Deserialize, Serialize};

/// Most people on the staff: a roster is looked at by people.
pub const MOST_STAFF: usize = 200;

/// One person of the staff.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// Short name, unique.
    pub id: String,
    /// What people call them.
    pub name: String,
    /// Crews whose work they can do; none for people who only watch.
    pub crews: Vec<String>,
    /// Days on which they are away, both ends included.
    pub away: Vec<DayRange>,
    /// Most days of duty in an ISO week; none: as for all.
    #[serde(default)]
    pub days_a_week_most: Option<i64>,
    /// Holds the licence for handling what seed is treated with.
    pub licensed: bool,
    /// May be asked for night watches.
    pub watches: bool,
    /// Free on the same days of every week.
    pub fixed_days_off: bool,
}

impl Person {
    /// True on days on which they are away.
    pub fn is_away(&self, day: Day) -> bool {
        self.away.iter().any(|span| span.contains(day))
    }

    /// True when they can do the work of that crew.
    pub fn can_do(&self, crew: &str) -> bool {
        self.crews.iter().any(|own| own == crew)
    }
}

/// What limits the duties of a person. No law is built in: local rules and contracts govern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Duty {
    /// Most days of duty one after another.
    pub days_in_a_row_most: i64,
    /// Least hours from the end of a duty to the beginning of the next.
    pub rest_hours_least: Hours,
    /// Most days of duty in an ISO week.
    pub days_a_week_most: i64,
    /// So many free days lie next to each other in every ISO week.
    pub free_days_together: i64,
    /// A duty that ends then or later is a late one, minutes after midnight.
    pub late_from_minute: i64,
    /// Watches at night; none: nobody watches.
    #[serde(default)]
    pub night_watch: Option<NightWatch>,
}

impl Default for Duty {
    /// Those of the table of keys.
    fn default() -> Duty {
        Duty {
            days_in_a_row_most: 6,
            rest_hours_least: Hours::whole(11),
            days_a_week_most: 6,
            free_days_together: 1,
            late_from_minute: 18 * 60,
            night_watch: None,
        }
    }
}

impl Duty {
    /// True of the limits that are taken when nothing is written.
    pub fn is_usual(&self) -> bool {
        *self == Duty::default()
    }
}

/// Watches at night.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NightWatch {
    /// People on a watch.
    pub people: i64,
    /// Beginning, minutes after midnight.
    pub start_minute: i64,
    /// Length.
    pub hours: Hours,
    /// On nights on which stacks stand.
    pub stacks: bool,
    /// On nights before a day whose lowest is below it, °C, while trays stand in beds; none: not for the cold.
    #[serde(default)]
    pub below_c: Option<Celsius>,
}

impl Scenario {
    /// The person of that short name.
    pub fn person(&self, id: &str) -> Option<&Person> {
        self.staff.iter().find(|person| person.id == id)
    }
}
