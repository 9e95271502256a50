//! The log of trials: a table that only grows, one row a tray, so that the next season starts near.

use super::{Pair, What};
use crate::calendar::Day;
use crate::scenario::exact::exact;
use crate::units::Fixed;

/// Its columns.
pub const COLUMNS: [&str; 8] = [
    "date", "line", "kind", "rate", "what", "setting", "reading", "note",
];
/// The note of a row that takes an earlier one back.
pub const UNDONE: &str = "undone";

/// What a trial is of: trays of one count are fitted together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About {
    /// Name of the line, as [`clean`] leaves it.
    pub line: String,
    /// Name of the kind, as [`clean`] leaves it.
    pub kind: String,
    /// Rate the line is set to, trays/h; none: not said.
    pub rate: Option<Fixed<1>>,
    /// Which part of the line.
    pub what: What,
}

/// One row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Day of the trial.
    pub date: Day,
    /// What it is of.
    pub about: About,
    /// The tray.
    pub pair: Pair,
    /// Whatever is to be remembered.
    pub note: String,
}

/// Rows that cannot be, with their numbers from 1, the head being row 1.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", .0.iter().map(|(row, why)| format!("row {row}: {why}")).collect::<Vec<_>>().join("\n"))]
pub struct LogError(pub Vec<(u64, String)>);

/// `text` without signs that steer a terminal, a line or the direction of writing: a space stands for each. Plain text stays as it is.
pub fn plain(text: &str) -> String {
    let steers = |sign: char| {
        sign.is_control()
            || matches!(sign, '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
    };
    let text: String = text
        .chars()
        .map(|sign| if steers(sign) { ' ' } else { sign })
        .collect();
    text.trim().to_string()
}

/// [`plain`] text that a spreadsheet does not reckon with either: a `'` goes before what would begin a formula. Clean text stays as it is.
pub fn clean(text: &str) -> String {
    let text = plain(text);
    if text.starts_with(['=', '+', '-', '@']) {
        format!("'{text}")
    } else {
        text
    }
}

/// All rows of a log that were not taken back, in its order.
///
/// # Errors
/// [`LogError`]: the head or rows that cannot be read.
pub fn read(bytes: &[u8]) -> Result<Vec<Row>, LogError> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(bytes);
    let head: Vec<String> = match reader.headers() {
        Ok(head) => head.iter().map(clean).collect(),
        Err(error) => return Err(LogError(vec![(1, error.to_string())])),
    };
    if head != COLUMNS {
        let why = format!(
            "the columns are `{}`, not `{}`",
            head.join(","),
            COLUMNS.join(",")
        );
        return Err(LogError(vec![(1, why)]));
    }
    let (mut rows, mut bad) = (Vec::<Row>::new(), Vec::new());
    for (at, record) in reader.records().enumerate() {
        let row = record.map_err(|error| error.to_string());
        match row.and_then(|record| row_of(&record)) {
            Ok(row) if row.note == UNDONE => {
                let same = |one: &Row| {
                    one.date == row.date && one.about == row.about && one.pair == row.pair
                };
                match rows.iter().rposition(same) {
                    Some(at) => drop(rows.remove(at)),
                    None => bad.push((
                        at as u64 + 2,
                        "takes back a tray that is not there".to_string(),
                    )),
                }
            }
            Ok(row) => rows.push(row),
            Err(why) => bad.push((at as u64 + 2, why)),
        }
    }
    if bad.is_empty() {
        Ok(rows)
    } else {
        Err(LogError(bad))
    }
}

fn row_of(record: &csv::StringRecord) -> Result<Row, String> {
    let cell = |at: usize| record.get(at).unwrap_or("");
    let number = |at: usize, places: u32| match exact(cell(at), places) {
        Ok(value @ 0..) => Ok(value),
        _ => Err(format!("`{}` is no {}", clean(cell(at)), COLUMNS[at])),
    };
    let what = What::named(cell(4))
        .ok_or_else(|| format!("`{}` is none of bed, water, seed, cover", clean(cell(4))))?;
    let rate = if cell(3).is_empty() {
        None
    } else {
        Some(Fixed(number(3, 1)?))
    };
    Ok(Row {
        date: Day::parse(cell(0))
            .map_err(|error| format!("`{}` is no day: {error}", clean(cell(0))))?,
        about: About {
            line: clean(cell(1)),
            kind: clean(cell(2)),
            rate,
            what,
        },
        pair: Pair {
            setting: Fixed(number(5, 2)?),
            reading: Fixed(number(6, 2)?),
        },
        note: clean(cell(7)),
    })
}

/// The log with one more row; a log that is not there yet is empty.
///
/// # Errors
/// [`LogError`] when the log cannot be read: nothing is put after rows that nobody can read.
pub fn with_row(bytes: &[u8], row: &Row) -> Result<Vec<u8>, LogError> {
    let failed = |error: csv::Error| LogError(vec![(1, error.to_string())]);
    let mut whole = bytes.to_vec();
    let mut writer = csv::Writer::from_writer(Vec::new());
    if bytes.is_empty() {
        writer.write_record(COLUMNS).map_err(failed)?;
    } else {
        read(bytes)?;
        if !whole.ends_with(b"\n") {
            whole.push(b'\n');
        }
    }
    let cells = [
        row.date.to_string(),
        clean(&row.about.line),
        clean(&row.about.kind),
        row.about
            .rate
            .map_or(String::new(), |rate| rate.to_string()),
        row.about.what.word().to_string(),
        row.pair.setting.to_string(),
        row.pair.reading.to_string(),
        clean(&row.note),
    ];
    writer.write_record(&cells).map_err(failed)?;
    let added = writer
        .into_inner()
        .map_err(|error| LogError(vec![(1, error.to_string())]))?;
    whole.extend(added);
    Ok(whole)
}

/// Trays of the day, of the same line, kind, rate and part.
pub fn of_day(rows: &[Row], about: &About, day: Day) -> Vec<Pair> {
    let same = |row: &&Row| row.about == *about && row.date == day;
    rows.iter().filter(same).map(|row| row.pair).collect()
}

/// Trays of an earlier trial.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// Last day they were weighed on.
    pub date: Day,
    /// Rate of the line then.
    pub rate: Option<Fixed<1>>,
    /// The trays.
    pub pairs: Vec<Pair>,
}

/// The trays of the last year weighed before `day` (all when none) of the same line, kind and part; at the same rate if there are any.
pub fn earlier(rows: &[Row], about: &About, day: Option<Day>) -> Option<Earlier> {
    let mine = |row: &&Row| {
        let same = (&row.about.line, &row.about.kind, row.about.what)
            == (&about.line, &about.kind, about.what);
        same && day.is_none_or(|day| row.date < day)
    };
    let mine: Vec<&Row> = rows.iter().filter(mine).collect();
    let at_rate = mine.iter().any(|row| row.about.rate == about.rate);
    let newest = mine
        .iter()
        .filter(|row| !at_rate || row.about.rate == about.rate)
        .max_by_key(|row| row.date)?;
    let of_season = mine.iter().filter(|row| {
        row.about.rate == newest.about.rate && row.date.ymd().0 == newest.date.ymd().0
    });
    Some(Earlier {
        date: newest.date,
        rate: newest.about.rate,
        pairs: of_season.map(|row| row.pair).collect(),
    })
}
