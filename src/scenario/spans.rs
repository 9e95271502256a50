//! Further types of the completed scenario: what holds on some days only, and what holds on a given day.

use super::types::{Crew, Germination, Line, Temperature, Trays};
use crate::calendar::{Day, DayRange};
use crate::units::{Celsius, Hours, Money};
use serde::{Deserialize, Serialize};

/// Days on which a crew has other people or another shift.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrewSpan {
    /// First and last day, both included.
    pub days: DayRange,
    /// People on a working day; none: as usual.
    pub people: Option<i64>,
    /// Start of the shift, minutes after midnight; none: as usual.
    pub shift_start_minute: Option<i64>,
    /// Hours of the shift; none: as usual.
    pub shift_hours: Option<Hours>,
}

/// People hired by the ISO week, who work all working days of the crew in it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Casual {
    /// Most at once.
    pub most: i64,
    /// Money for a person and working day.
    pub price_per_day: Money,
    /// Money for each person more than in the week before.
    pub hire: Money,
    /// Money for each person fewer than in the week before.
    pub release: Money,
    /// People hired already in the week before the first day.
    #[serde(default)]
    pub before: i64,
}

/// Days on which a line has other hours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineSpan {
    /// First and last day, both included.
    pub days: DayRange,
    /// Hours a day that the line may be worked.
    pub hours_per_day: Hours,
}

/// Days of washing after which trays rest for another number of days.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrySpan {
    /// First and last day of washing, both included.
    pub days: DayRange,
    /// Washed trays can be sown this many days later.
    pub dry_days: i32,
}

/// Days on which a germination place is held at another warmth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WarmthSpan {
    /// First and last day, both included.
    pub days: DayRange,
    /// Warmth, mean of day and night, °C.
    pub own_c: Celsius,
}

impl Germination {
    /// Warmth on that day.
    pub fn warmth_on(&self, day: Day) -> Temperature {
        let span = self.spans.iter().find(|span| span.days.contains(day));
        span.map_or(self.temperature, |span| Temperature::Own(span.own_c))
    }
}

impl Crew {
    fn span(&self, day: Day) -> Option<&CrewSpan> {
        self.spans.iter().find(|span| span.days.contains(day))
    }

    /// People on that day, if it is a working day.
    pub fn people_on(&self, day: Day) -> i64 {
        self.span(day)
            .and_then(|span| span.people)
            .unwrap_or(self.people)
    }

    /// Hours of that day's shift.
    pub fn shift_hours_on(&self, day: Day) -> Hours {
        self.span(day)
            .and_then(|span| span.shift_hours)
            .unwrap_or(self.shift_hours)
    }

    /// Start of that day's shift, minutes after midnight.
    pub fn shift_start_on(&self, day: Day) -> i64 {
        self.span(day)
            .and_then(|span| span.shift_start_minute)
            .unwrap_or(self.shift_start_minute)
    }
}

impl Line {
    /// Hours that the line may be worked on that day, if it is a working day.
    pub fn hours_on(&self, day: Day) -> Hours {
        let span = self.spans.iter().find(|span| span.days.contains(day));
        span.map_or(self.hours_per_day, |span| span.hours_per_day)
    }
}

impl Trays {
    /// Days from washing on that day to use, as written: 0 counts as 1 in the books, since sowing comes first.
    pub fn dry_days_on(&self, day: Day) -> i32 {
        let span = self.dry_spans.iter().find(|span| span.days.contains(day));
        span.map_or(self.dry_days, |span| span.dry_days)
    }
}
