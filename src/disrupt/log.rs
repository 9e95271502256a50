//! The log: what was otherwise than on the sheet, day by day. A table with the columns `date` and `event`; the event `close` says that all
//! else of the day was as on the sheet. A day that is not closed is not known, and never counts as done.

use super::event::{Event, EventError, parse};
use crate::calendar::Day;
use crate::plan::Plan;
use std::collections::BTreeMap;

/// What a log says up to a morning.
#[derive(Clone, Debug, PartialEq)]
pub struct Logged {
    /// Events in the order of the log.
    pub events: Vec<Event>,
}

/// What is wrong with a log.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LogError {
    /// Rows that cannot be, with their numbers from 1, the head being row 1.
    #[error("{}", .0.iter().map(|(row, why)| format!("row {row}: {why}")).collect::<Vec<_>>().join("\n"))]
    Rows(Vec<(u64, String)>),
    /// Days before the morning that are not closed.
    #[error("{} not closed: {}", if .0.len() == 1 { "a day is" } else { "days are" }, .0.iter().map(Day::to_string).collect::<Vec<_>>().join(", "))]
    Open(Vec<Day>),
}

/// Reads a log up to the morning of `day`; rows from that day on are left out.
///
/// # Errors
/// [`LogError`]: rows that are no events or contradict one another, or days of the plan before `day` that are not closed.
pub fn read(bytes: &[u8], plan: &Plan, day: Day) -> Result<Logged, LogError> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(bytes);
    let mut bad: Vec<(u64, String)> = Vec::new();
    let head: Vec<String> = match reader.headers() {
        Ok(head) => head.iter().map(str::to_string).collect(),
        Err(error) => return Err(LogError::Rows(vec![(1, error.to_string())])),
    };
    if head != ["date", "event"] {
        let why = format!("the columns are `{}`, not `date,event`", head.join(","));
        return Err(LogError::Rows(vec![(1, why)]));
    }
    let mut closed: BTreeMap<Day, u64> = BTreeMap::new();
    let mut seen: BTreeMap<String, u64> = BTreeMap::new();
    let mut events = Vec::new();
    let first = plan.scenario.horizon.first;
    for (at, record) in reader.records().enumerate() {
        let row = at as u64 + 2;
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                bad.push((row, error.to_string()));
                continue;
            }
        };
        let date = match Day::parse(&record[0]) {
            Ok(date) => date,
            Err(error) => {
                bad.push((row, error.to_string()));
                continue;
            }
        };
        // What was before the plan is in it already.
        if date < first {
            continue;
        }
        if date > plan.scenario.horizon.last {
            bad.push((
                row,
                format!("{date} is not a day of the plan, {}", plan.scenario.horizon),
            ));
            continue;
        }
        if date >= day {
            continue;
        }
        if &record[1] == "close" {
            if let Some(before) = closed.insert(date, row) {
                bad.push((row, format!("{date} is closed in row {before} already")));
            }
            continue;
        }
        if let Some(before) = closed.get(&date) {
            bad.push((
                row,
                format!("{date} was closed in row {before}; write it before that row"),
            ));
            continue;
        }
        match parse(&record[1]) {
            Ok(event) => {
                if let Some(why) = elsewhere(&event, date) {
                    bad.push((row, why));
                }
                let key = about(&event);
                if let Some(before) = key.and_then(|key| seen.insert(key, row)) {
                    bad.push((row, format!("the same is said in row {before}")));
                }
                events.push(event);
            }
            Err(EventError::Shape { why, .. }) => bad.push((row, why)),
            Err(error) => bad.push((row, error.to_string())),
        }
    }
    if !bad.is_empty() {
        return Err(LogError::Rows(bad));
    }
    let days = day.since(first).max(0);
    let open: Vec<Day> = (0..days)
        .map(|ahead| first.plus(ahead))
        .filter(|day| !closed.contains_key(day))
        .collect();
    if !open.is_empty() {
        return Err(LogError::Open(open));
    }
    Ok(Logged { events })
}

/// A day in an event that is not the row's.
fn elsewhere(event: &Event, date: Day) -> Option<String> {
    let on = match event {
        Event::Opened { on: Some(on), .. } | Event::Left { on, .. } | Event::Washed { on, .. } => {
            on
        }
        _ => return None,
    };
    (*on != date).then(|| format!("it happened on {on}, and the row is of {date}"))
}

/// What may be said once only.
fn about(event: &Event) -> Option<String> {
    match event {
        Event::NotSown { run } => Some(format!("sow {run}")),
        Event::Opened { run, on: Some(_) } => Some(format!("open {run}")),
        Event::Left { field, part, .. } => Some(format!("leave {field} {part}")),
        Event::Washed { on, .. } => Some(format!("wash {on}")),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_rows_are_named() {
        let open = LogError::Open(vec![Day::parse("2027-05-01").unwrap()]);
        assert_eq!(open.to_string(), "a day is not closed: 2027-05-01");
        let rows = LogError::Rows(vec![(3, "no date".into()), (5, "twice".into())]);
        assert_eq!(rows.to_string(), "row 3: no date\nrow 5: twice");
    }
}
