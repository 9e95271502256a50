//! Rows for the books, from logs alone: nothing planned stands here as done. Each row has a number that follows from its own words and its day, so
//! that no row added later changes it.

use super::event::{self, Event};
use super::log::{LogError, Row, elsewhere, rows};
use super::record::{self, Record};
use crate::calendar::Day;
use crate::units::{Fixed, Hours};
use std::collections::{BTreeMap, BTreeSet};

/// What a row says.
#[derive(Clone, Debug, PartialEq)]
pub enum Said {
    /// An order changed, trays washed or lost.
    Event(Event),
    /// A row for the books.
    Record(Record),
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// `2027-05-13/delivered/V02/1`: the same whatever else is in the log.
    pub number: String,
    /// Its day, which is closed.
    pub date: Day,
    /// What it says.
    pub said: Said,
}

/// What came and went of one thing, in small parts of its unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Balance {
    /// `trays with growers`, `trays owned`, `seed`, `hours`.
    pub what: &'static str,
    /// Field, kind or person; empty for all.
    pub of: String,
    /// Unit, and decimal places of the numbers.
    pub unit: (&'static str, u32),
    /// Came.
    pub came: i64,
    /// Went.
    pub went: i64,
}

/// All that is known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Books {
    /// By day and number.
    pub entries: Vec<Entry>,
    /// By what and of what.
    pub balances: Vec<Balance>,
    /// Days that are not closed, with the rows that were left out.
    pub open: Vec<(Day, usize)>,
}

/// The books of some logs, each with its name.
///
/// # Errors
/// The logs that cannot be used, with what is wrong in them.
pub fn books(logs: &[(String, Vec<u8>)]) -> Result<Books, Vec<(String, LogError)>> {
    let mut faults = Vec::new();
    let mut books = Books::default();
    let mut seen: BTreeMap<String, (usize, u64)> = BTreeMap::new();
    let mut open: BTreeMap<Day, usize> = BTreeMap::new();
    for (at, (name, bytes)) in logs.iter().enumerate() {
        let (rows, mut bad) = match rows(bytes) {
            Ok(found) => found,
            Err(error) => {
                faults.push((name.clone(), error));
                continue;
            }
        };
        let closed: BTreeSet<Day> = rows
            .iter()
            .filter(|row| row.text == "close")
            .map(|row| row.date)
            .collect();
        for row in rows.iter().filter(|row| row.text != "close") {
            let Row {
                row: number,
                date,
                text,
            } = row;
            let said = match said(text, *date) {
                Ok(Some(said)) => said,
                Ok(None) => continue,
                Err(why) => {
                    bad.push((*number, why));
                    continue;
                }
            };
            let key = format!("{date}/{}", key(&said));
            if let Some((log, before)) = seen.insert(key.clone(), (at, *number)) {
                let of = if log == at {
                    String::new()
                } else {
                    format!(" of `{}`", logs[log].0)
                };
                let how = match said {
                    Said::Record(_) => "write one row with the sum, or tell them apart by `note=`",
                    Said::Event(_) => "write one row with the sum",
                };
                bad.push((
                    *number,
                    format!("the same is said in row {before}{of}; {how}"),
                ));
            }
            if closed.contains(date) {
                books.entries.push(Entry {
                    number: key,
                    date: *date,
                    said,
                });
            } else {
                *open.entry(*date).or_default() += 1;
            }
        }
        if !bad.is_empty() {
            bad.sort();
            faults.push((name.clone(), LogError::Rows(bad)));
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    books
        .entries
        .sort_by(|one, other| (one.date, &one.number).cmp(&(other.date, &other.number)));
    books.balances = balances(&books.entries);
    books.open = open.into_iter().collect();
    Ok(books)
}

/// What a row says for the books; none: nothing that belongs there.
fn said(text: &str, date: Day) -> Result<Option<Said>, String> {
    let plain = |error: event::EventError| match error {
        event::EventError::Shape { why, .. } => why,
        error => error.to_string(),
    };
    if record::is_record(text) {
        return record::parse(text)
            .map(|record| Some(Said::Record(record)))
            .map_err(plain);
    }
    let event = event::parse(text).map_err(plain)?;
    if let Some(why) = elsewhere(&event, date).or_else(|| event::flaw(&event)) {
        return Err(why);
    }
    let of_books = matches!(
        event,
        Event::Order { .. }
            | Event::Cancel { .. }
            | Event::Firm { .. }
            | Event::Give { .. }
            | Event::Washed { .. }
            | Event::TraysLost { .. }
            | Event::TraysBought { .. }
            | Event::Take { .. }
    );
    Ok(of_books.then_some(Said::Event(event)))
}

/// What tells a row from every other of its day, by its own words.
fn key(said: &Said) -> String {
    match said {
        Said::Record(record) => record.key(),
        Said::Event(event) => event::say(event).replace(' ', "/"),
    }
}

fn balances(entries: &[Entry]) -> Vec<Balance> {
    type Key = (&'static str, String);
    let mut sums: BTreeMap<Key, Balance> = BTreeMap::new();
    let mut add = |what: &'static str, of: &str, unit, came: i64, went: i64| {
        let new = || Balance {
            what,
            of: of.to_string(),
            unit,
            came: 0,
            went: 0,
        };
        let sum = sums.entry((what, of.to_string())).or_insert_with(new);
        sum.came = sum.came.saturating_add(came);
        sum.went = sum.went.saturating_add(went);
    };
    let (trays, kg, hours) = (("trays", 0), ("kg", 3), ("h", 2));
    for entry in entries {
        match &entry.said {
            Said::Record(Record::Delivered {
                field,
                trays: count,
                lifted: false,
                ..
            }) => {
                add("trays with growers", field, trays, *count, 0);
            }
            Said::Record(Record::TraysBack {
                field,
                trays: count,
                ..
            }) => {
                add("trays with growers", field, trays, 0, *count);
            }
            Said::Event(Event::TraysBought { trays: count, .. }) => {
                add("trays owned", "", trays, *count, 0)
            }
            Said::Event(Event::TraysLost { trays: count }) => {
                add("trays owned", "", trays, 0, *count)
            }
            Said::Record(Record::SeedIn {
                kind,
                kg: Fixed(grams),
                ..
            }) => add("seed", kind, kg, *grams, 0),
            Said::Record(Record::SeedOut {
                kind,
                kg: Fixed(grams),
                ..
            }) => add("seed", kind, kg, 0, *grams),
            Said::Record(Record::Hours {
                person,
                hours: time,
                ..
            }) => {
                let time: Hours = *time;
                add("hours", person, hours, time.0, 0);
            }
            _ => {}
        }
    }
    sums.into_values().collect()
}
