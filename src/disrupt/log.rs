//! The log: what was otherwise than on the sheet, day by day. A table with the columns `date` and `event`; the event `close` says that all
//! else of the day was as on the sheet. A day that is not closed is not known, and never counts as done.
//! Rows for the books ([`super::record`]) stand among them and change no plan.

use super::event::{self, Event, EventError, parse, say};
use super::record;
use crate::calendar::Day;
use crate::plan::Plan;
use std::collections::BTreeMap;

/// What a log says up to a morning.
#[derive(Clone, Debug, PartialEq)]
pub struct Logged {
    /// Events in the order of the log.
    pub events: Vec<Event>,
    /// Rows of days before the plan's first, which are in the plan already.
    pub passed: usize,
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
    let (rows, mut bad) = rows(bytes)?;
    let mut closed: BTreeMap<Day, u64> = BTreeMap::new();
    let mut seen: BTreeMap<String, u64> = BTreeMap::new();
    let mut events = Vec::new();
    let first = plan.scenario.horizon.first;
    let mut passed = 0;
    for Row { row, date, text } in rows {
        // What was before the plan is in it already.
        if date < first {
            passed += usize::from(text != "close");
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
        if text == "close" {
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
        if record::is_record(&text) {
            match record::parse(&text) {
                Ok(record) => {
                    let unknown = record.names().filter(|(what, name)| !has(plan, what, name));
                    if let Some((what, name)) = unknown {
                        bad.push((row, format!("there is no {what} `{name}`")));
                    }
                    let key = format!("{date} {}", record.key());
                    if let Some(before) = seen.insert(key, row) {
                        bad.push((row, format!("the same is said in row {before}")));
                    }
                }
                Err(EventError::Shape { why, .. }) => bad.push((row, why)),
                Err(error) => bad.push((row, error.to_string())),
            }
            continue;
        }
        match parse(&text) {
            Ok(event) => {
                if let Some(why) = elsewhere(&event, date).or_else(|| event::flaw(&event)) {
                    bad.push((row, why));
                }
                let key = about(&event).unwrap_or_else(|| format!("{date} {}", say(&event)));
                if let Some(before) = seen.insert(key, row) {
                    bad.push((row, format!("the same is said in row {before}")));
                }
                events.push(event);
            }
            Err(EventError::Shape { why, .. }) => bad.push((row, why)),
            Err(error) => bad.push((row, error.to_string())),
        }
    }
    bad.sort();
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
    Ok(Logged { events, passed })
}

/// True when the plan has a field, kind or person of that name; without a staff nobody is unknown.
fn has(plan: &Plan, what: &str, name: &str) -> bool {
    let s = &plan.scenario;
    match what {
        // What was delivered and withdrawn since is in the plan no more.
        "field" => {
            let fields = s.fields.iter().chain(&s.not_firm).map(|field| &field.id);
            let mut all = fields.chain(plan.deliveries.iter().map(|one| &one.field));
            all.any(|id| id == name)
        }
        "kind" => s.kinds.iter().any(|kind| kind.id == name),
        _ => s.staff.is_empty() || s.person(name).is_some(),
    }
}

/// One row of a log whose day can be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Its number, the head being row 1.
    pub row: u64,
    /// Its day.
    pub date: Day,
    /// `close`, an event or a row for the books, as written.
    pub text: String,
}

/// The rows of a log and those that cannot be read, whatever they say.
///
/// # Errors
/// [`LogError::Rows`] for a table with other columns.
#[allow(clippy::type_complexity)]
pub fn rows(bytes: &[u8]) -> Result<(Vec<Row>, Vec<(u64, String)>), LogError> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(bytes);
    let (mut rows, mut bad) = (Vec::new(), Vec::new());
    let head: Vec<String> = match reader.headers() {
        Ok(head) => head.iter().map(str::to_string).collect(),
        Err(error) => return Err(LogError::Rows(vec![(1, error.to_string())])),
    };
    if head != ["date", "event"] {
        let why = format!("the columns are `{}`, not `date,event`", head.join(","));
        return Err(LogError::Rows(vec![(1, why)]));
    }
    for (at, record) in reader.records().enumerate() {
        let row = at as u64 + 2;
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                bad.push((row, error.to_string()));
                continue;
            }
        };
        match Day::parse(&record[0]) {
            Ok(date) => rows.push(Row {
                row,
                date,
                text: record[1].to_string(),
            }),
            Err(error) => bad.push((row, error.to_string())),
        }
    }
    Ok((rows, bad))
}

/// A day in an event that is not the row's.
pub(super) fn elsewhere(event: &Event, date: Day) -> Option<String> {
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
