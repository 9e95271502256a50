//! Days, spans of days, ISO weeks and working days by kind of work.
//!
//! The one file that knows `chrono`; it never reads a clock.

use chrono::{Datelike, NaiveDate};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::collections::BTreeSet;
use std::fmt;

/// A calendar day, counted in days from 1970-01-01; years 1990 to 2200.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(i32);

/// Why a text is not a day or a span of days.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DayError {
    /// Not four digits, two digits, two digits with `-` between.
    #[error("not written as year-month-day with ten characters, like 2027-05-08")]
    Shape,
    /// The month or the day of the month does not exist.
    #[error("there is no such day in the calendar")]
    Missing,
    /// A year before 1990 or after 2200.
    #[error("years run from 1990 to 2200")]
    Year,
    /// A span whose last day comes before its first.
    #[error("the span ends before it begins")]
    Backwards,
}

impl Day {
    const EPOCH_CE: i32 = 719_163;

    /// The day that `text` names: exactly `dddd-dd-dd`.
    ///
    /// # Errors
    /// [`DayError`] when loosely written, missing from the calendar or outside 1990–2200.
    pub fn parse(text: &str) -> Result<Day, DayError> {
        let bytes = text.as_bytes();
        let shaped = bytes.len() == 10
            && bytes.iter().enumerate().all(|(at, byte)| match at {
                4 | 7 => *byte == b'-',
                _ => byte.is_ascii_digit(),
            });
        if !shaped {
            return Err(DayError::Shape);
        }
        let number = |from: usize, to: usize| {
            bytes[from..to]
                .iter()
                .fold(0u32, |sum, byte| sum * 10 + u32::from(byte - b'0'))
        };
        Day::from_ymd(number(0, 4) as i32, number(5, 7), number(8, 10))
    }

    /// The day of a year, month (1–12) and day of the month.
    ///
    /// # Errors
    /// [`DayError::Missing`] or [`DayError::Year`].
    pub fn from_ymd(year: i32, month: u32, day: u32) -> Result<Day, DayError> {
        let date = NaiveDate::from_ymd_opt(year, month, day).ok_or(DayError::Missing)?;
        if !(1990..=2200).contains(&year) {
            return Err(DayError::Year);
        }
        Ok(Day(date.num_days_from_ce() - Self::EPOCH_CE))
    }

    /// Days from 1970-01-01.
    pub const fn number(self) -> i32 {
        self.0
    }

    /// The day `days` later (earlier when negative). Meant for spans of a plan, which stay far inside the range of `i32`.
    pub const fn plus(self, days: i32) -> Day {
        Day(self.0.saturating_add(days))
    }

    /// Days from `earlier` to this day; negative when this day comes first.
    pub const fn since(self, earlier: Day) -> i32 {
        self.0 - earlier.0
    }

    /// The day of the week.
    pub const fn weekday(self) -> Weekday {
        // 1970-01-01 was a Thursday.
        Weekday::ALL[(self.0 + 3).rem_euclid(7) as usize]
    }

    /// The ISO 8601 week that the day lies in.
    pub fn iso_week(self) -> IsoWeek {
        let week = self.date().iso_week();
        IsoWeek {
            year: week.year(),
            week: week.week(),
        }
    }

    /// Year, month and day of the month.
    pub fn ymd(self) -> (i32, u32, u32) {
        let date = self.date();
        (date.year(), date.month(), date.day())
    }

    /// "8 May": how people say it. The year is left to the heading.
    pub fn spoken(self) -> String {
        const MONTHS: [&str; 12] = [
            "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
        ];
        let (_, month, day) = self.ymd();
        format!("{day} {}", MONTHS[month as usize - 1])
    }

    fn date(self) -> NaiveDate {
        NaiveDate::from_num_days_from_ce_opt(self.0.saturating_add(Self::EPOCH_CE))
            .unwrap_or(NaiveDate::MAX)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.ymd();
        write!(f, "{year:04}-{month:02}-{day:02}")
    }
}

impl fmt::Debug for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl Serialize for Day {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
        let text = String::deserialize(input)?;
        Day::parse(&text).map_err(serde::de::Error::custom)
    }
}

/// A week of ISO 8601: its year is not always the calendar's.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct IsoWeek {
    /// The week's own year.
    pub year: i32,
    /// 1 to 53.
    pub week: u32,
}

impl IsoWeek {
    /// The week that `text` names, exactly `dddd-Wdd`; `None` when loosely written or not in the calendar.
    ///
    /// A year has a week 53 when it begins on a Thursday, or is a leap year that begins on a Wednesday.
    pub fn parse(text: &str) -> Option<IsoWeek> {
        let (year, week) = text.split_once("-W")?;
        let digits = |part: &str, count: usize| {
            (part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit())).then_some(())
        };
        digits(year, 4)?;
        digits(week, 2)?;
        let week = IsoWeek {
            year: year.parse().ok()?,
            week: week.parse().ok()?,
        };
        week.monday().map(|_| week)
    }

    /// The week's first day; `None` when the year has no such week, or the day lies outside 1990–2200.
    pub fn monday(self) -> Option<Day> {
        let date = NaiveDate::from_isoywd_opt(self.year, self.week, chrono::Weekday::Mon)?;
        Day::from_ymd(date.year(), date.month(), date.day()).ok()
    }
}

impl fmt::Display for IsoWeek {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-W{:02}", self.year, self.week)
    }
}

impl Serialize for IsoWeek {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for IsoWeek {
    fn deserialize<D: Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
        let text = String::deserialize(input)?;
        IsoWeek::parse(&text)
            .ok_or_else(|| serde::de::Error::custom("not a week of the calendar like 2027-W05"))
    }
}

/// The days of the week, Monday first as in ISO 8601.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
#[allow(missing_docs)]
pub enum Weekday {
    Monday,
    Tuesday,
    Wednesday,
    Thursday,
    Friday,
    Saturday,
    Sunday,
}

impl Weekday {
    /// Monday to Sunday.
    pub const ALL: [Weekday; 7] = [
        Weekday::Monday,
        Weekday::Tuesday,
        Weekday::Wednesday,
        Weekday::Thursday,
        Weekday::Friday,
        Weekday::Saturday,
        Weekday::Sunday,
    ];
}

impl fmt::Display for Weekday {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self, f)
    }
}

/// A span of days with **both ends included**, written `2027-05-08/2027-05-11`; one day alone may be written as that day.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DayRange {
    /// First day.
    pub first: Day,
    /// Last day, included.
    pub last: Day,
}

impl DayRange {
    /// The span that `text` names.
    ///
    /// # Errors
    /// [`DayError`] for a bad day or a span that ends before it begins.
    pub fn parse(text: &str) -> Result<DayRange, DayError> {
        let (first, last) = text.split_once('/').unwrap_or((text, text));
        let (first, last) = (Day::parse(first)?, Day::parse(last)?);
        if last < first {
            return Err(DayError::Backwards);
        }
        Ok(DayRange { first, last })
    }

    /// True when `day` lies in the span.
    pub fn contains(&self, day: Day) -> bool {
        self.first <= day && day <= self.last
    }

    /// How many days: at least one.
    pub const fn days(&self) -> usize {
        (self.last.0 - self.first.0 + 1) as usize
    }

    /// Each day, first to last.
    pub fn iter(self) -> impl Iterator<Item = Day> {
        (self.first.0..=self.last.0).map(Day)
    }
}

impl fmt::Display for DayRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.first == self.last {
            write!(f, "{}", self.first)
        } else {
            write!(f, "{}/{}", self.first, self.last)
        }
    }
}

impl fmt::Debug for DayRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl Serialize for DayRange {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for DayRange {
    fn deserialize<D: Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
        let text = String::deserialize(input)?;
        DayRange::parse(&text).map_err(serde::de::Error::custom)
    }
}

/// On which days one kind of work is staffed: all but the rest days and the closed days; an open day overrides both.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WorkCalendar {
    /// Days of the week without this work.
    pub rest_days: BTreeSet<Weekday>,
    /// Holidays and other closed spans.
    pub closed: Vec<DayRange>,
    /// Spans worked in spite of the above.
    pub open: Vec<DayRange>,
}

impl WorkCalendar {
    /// True when the work is staffed on `day`.
    pub fn works(&self, day: Day) -> bool {
        let within = |spans: &[DayRange]| spans.iter().any(|span| span.contains(day));
        within(&self.open) || !(self.rest_days.contains(&day.weekday()) || within(&self.closed))
    }

    /// The first staffed day at or after `ready` and at most `wait` days late.
    pub fn first_from(&self, ready: Day, wait: i32) -> Option<Day> {
        (0..=wait)
            .map(|late| ready.plus(late))
            .find(|day| self.works(*day))
    }

    /// The last staffed day at or before `due` and at most `ahead` days early.
    pub fn last_until(&self, due: Day, ahead: i32) -> Option<Day> {
        (0..=ahead)
            .map(|early| due.plus(-early))
            .find(|day| self.works(*day))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loosely_written_days_are_refused() {
        for text in [
            "26-04-20",
            "2026 - 04 - 20",
            "+2026-04-20",
            "2026-4-20",
            "2026-04-20 ",
            "",
        ] {
            assert_eq!(Day::parse(text), Err(DayError::Shape), "{text}");
        }
        assert_eq!(Day::parse("2026-02-29"), Err(DayError::Missing));
        assert_eq!(Day::parse("1989-12-31"), Err(DayError::Year));
        assert_eq!(
            DayRange::parse("2027-05-08/2027-05-07"),
            Err(DayError::Backwards)
        );
    }

    #[test]
    fn an_open_day_overrides_rest_and_closure() {
        let day = |text: &str| Day::parse(text).unwrap();
        let mut work = WorkCalendar {
            rest_days: [Weekday::Sunday].into(),
            closed: vec![DayRange::parse("2027-05-03/2027-05-04").unwrap()],
            open: vec![],
        };
        assert_eq!(day("2027-05-02").weekday(), Weekday::Sunday);
        assert_eq!(work.first_from(day("2027-05-02"), 2), None);
        assert_eq!(
            work.first_from(day("2027-05-02"), 3),
            Some(day("2027-05-05"))
        );
        work.open.push(DayRange::parse("2027-05-04").unwrap());
        assert_eq!(
            work.first_from(day("2027-05-02"), 2),
            Some(day("2027-05-04"))
        );
        assert_eq!(
            work.last_until(day("2027-05-03"), 2),
            Some(day("2027-05-01"))
        );
    }
}
