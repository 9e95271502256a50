//! Reading the table made by hand: rows, and every problem with its row and column.

use crate::calendar::Day;
use crate::problems::{Place, Problem, Problems, Severity};
use crate::scenario::{HandOver, Scenario};
use std::collections::BTreeMap;

/// Columns that must be there.
const NEEDED: [&str; 5] = ["field", "part", "sow", "plant", "trays"];
/// Columns that may be left out, or left empty in a row.
const OPTIONAL: [&str; 7] = [
    "line",
    "germination",
    "green_bed",
    "harden_bed",
    "leaves",
    "green_rows",
    "harden_rows",
];
/// Most trays of a row.
const MOST_TRAYS: i64 = 1_000_000;
/// Rows of a bed are counted no further.
const MOST_ROWS: i64 = 10_000;

/// One row: a part of a field with its two days.
pub(super) struct Row {
    pub(super) field: String,
    pub(super) part: u32,
    pub(super) sow: Day,
    pub(super) plant: Day,
    pub(super) trays: i64,
    pub(super) line: Option<String>,
    pub(super) germination: Option<String>,
    pub(super) green_bed: Option<String>,
    pub(super) harden_bed: Option<String>,
    pub(super) leaves: Option<Day>,
    pub(super) green_rows: Vec<u32>,
    pub(super) harden_rows: Vec<u32>,
}

/// The rows of the table.
///
/// # Errors
/// All problems of the table; notes on what was accepted are dropped when there is no error.
pub(super) fn rows(scenario: &Scenario, bytes: &[u8], file: &str) -> Result<Vec<Row>, Problems> {
    let mut reader = Reader {
        scenario,
        file,
        problems: Problems::default(),
    };
    let rows = reader.read(bytes);
    if reader.problems.any_error() {
        Err(reader.problems)
    } else {
        Ok(rows)
    }
}

struct Reader<'a> {
    scenario: &'a Scenario,
    file: &'a str,
    problems: Problems,
}

impl Reader<'_> {
    fn add(
        &mut self,
        code: &'static str,
        at: (Option<usize>, Option<&str>),
        message: String,
        help: [Option<String>; 2],
    ) {
        let [expected, help] = help;
        let place = Place {
            file: self.file.to_string(),
            line: at.0,
            column: None,
            field: at.1.map(str::to_string),
        };
        let severity = Severity::Error;
        self.problems.push(Problem {
            severity,
            code,
            place,
            message,
            expected,
            help,
        });
    }

    fn read(&mut self, bytes: &[u8]) -> Vec<Row> {
        let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
        let Ok(text) = std::str::from_utf8(bytes) else {
            let before = bytes
                .iter()
                .take(std::str::from_utf8(bytes).map_or_else(|e| e.valid_up_to(), |_| 0));
            let line = 1 + before.filter(|byte| **byte == b'\n').count();
            let help = [
                Some("text in UTF-8".into()),
                Some("save the table as UTF-8".into()),
            ];
            self.add(
                "H001",
                (Some(line), None),
                "the text is not UTF-8".into(),
                help,
            );
            return Vec::new();
        };
        let head = text
            .lines()
            .find(|line| !line.trim().is_empty())
            .unwrap_or("");
        let separator = if head.contains(';') { b';' } else { b',' };
        let mut csv = csv::ReaderBuilder::new()
            .delimiter(separator)
            .trim(csv::Trim::All)
            .flexible(true)
            .from_reader(text.as_bytes());
        let headers = csv.headers().cloned().unwrap_or_default();
        let head_is_empty = headers.iter().all(str::is_empty);
        if head_is_empty {
            let help = [
                Some(format!("a first row with {}", NEEDED.join(", "))),
                None,
            ];
            self.add("H002", (None, None), "the table is empty".into(), help);
            return Vec::new();
        }
        let Some(columns) = self.columns(&headers) else {
            return Vec::new();
        };
        let mut rows = Vec::new();
        let mut first: BTreeMap<(String, u32), usize> = BTreeMap::new();
        for record in csv.records() {
            let record = match record {
                Ok(record) => record,
                Err(error) => {
                    let line = error.position().map(|at| at.line() as usize);
                    self.add(
                        "H003",
                        (line, None),
                        "the row cannot be read".into(),
                        [None, None],
                    );
                    continue;
                }
            };
            let line = record.position().map_or(0, |at| at.line() as usize);
            if record.iter().all(str::is_empty) {
                continue;
            }
            if record.len() != headers.len() {
                let message = format!(
                    "the row has {} cells, the head {}",
                    record.len(),
                    headers.len()
                );
                let help = Some("separate all cells by the same sign as in the first row".into());
                self.add("H003", (Some(line), None), message, [None, help]);
                continue;
            }
            let Some(row) = self.row(&record, &columns, line) else {
                continue;
            };
            match first.get(&(row.field.clone(), row.part)) {
                Some(before) => {
                    let message = format!(
                        "field `{}`, part {} stands in line {before} already",
                        row.field, row.part
                    );
                    let help = Some("keep one row for each part".into());
                    self.add("H004", (Some(line), Some("field")), message, [None, help]);
                }
                None => {
                    first.insert((row.field.clone(), row.part), line);
                    rows.push(row);
                }
            }
        }
        if rows.is_empty() && !self.problems.any_error() {
            let help = [Some("a row for each part that is grown".into()), None];
            self.add(
                "H002",
                (None, None),
                "the table has a head and no rows".into(),
                help,
            );
        }
        rows
    }

    /// Places of the known columns; none when one that is needed is missing.
    fn columns(&mut self, headers: &csv::StringRecord) -> Option<BTreeMap<&'static str, usize>> {
        let known = || NEEDED.into_iter().chain(OPTIONAL);
        let mut columns = BTreeMap::new();
        for (place, name) in headers.iter().enumerate() {
            match known().find(|known| *known == name) {
                None => {
                    let help = nearest(name, known());
                    let message = format!("there is no column `{name}`");
                    let expected = Some(known().collect::<Vec<_>>().join(", "));
                    self.add("H005", (Some(1), Some(name)), message, [expected, help]);
                }
                Some(known) => {
                    if columns.insert(known, place).is_some() {
                        let message = format!("column `{name}` is there twice");
                        self.add("H006", (Some(1), Some(name)), message, [None, None]);
                    }
                }
            }
        }
        let missing: Vec<&str> = NEEDED
            .into_iter()
            .filter(|name| !columns.contains_key(name))
            .collect();
        for name in &missing {
            let expected = Some(NEEDED.join(", "));
            self.add(
                "H007",
                (Some(1), Some(name)),
                format!("column `{name}` is missing"),
                [expected, None],
            );
        }
        missing.is_empty().then_some(columns)
    }

    /// One row; none when a cell is wrong. All cells are looked at.
    fn row(
        &mut self,
        record: &csv::StringRecord,
        columns: &BTreeMap<&'static str, usize>,
        line: usize,
    ) -> Option<Row> {
        let cell = |name: &str| {
            columns
                .get(name)
                .and_then(|place| record.get(*place))
                .unwrap_or("")
        };
        let scenario = self.scenario;
        let fields = scenario.fields.iter().map(|field| field.id.as_str());
        let field = self.name(line, "field", cell("field"), fields);
        let mut known = scenario.fields.iter();
        let known = known.find(|known| Some(&known.id) == field.as_ref());
        let stage = known.map(|field| field.stage).unwrap_or_default();
        self.needless(line, stage, cell);
        let part = self.number(line, "part", cell("part"), 1, 10_000);
        // Seed is not sown: the day is that of handing over.
        let sow = match (stage, cell("sow")) {
            (HandOver::SoakedSeed, "") => self.day(line, "plant", cell("plant")),
            (_, text) => self.day(line, "sow", text),
        };
        let plant = self.day(line, "plant", cell("plant"));
        let trays = self.number(line, "trays", cell("trays"), 1, MOST_TRAYS);
        let lines = scenario.lines.iter().map(|line| line.id.as_str());
        let on_line = self.maybe(line, "line", cell("line"), lines);
        let places = scenario.germination.iter().map(|place| place.id.as_str());
        let germination = self.maybe(line, "germination", cell("germination"), places);
        let beds = || scenario.beds.iter().map(|bed| bed.id.as_str());
        let green_bed = self.maybe(line, "green_bed", cell("green_bed"), beds());
        let harden_bed = self.maybe(line, "harden_bed", cell("harden_bed"), beds());
        let leaves = match cell("leaves") {
            "" => Some(None),
            text => self.day(line, "leaves", text).map(Some),
        };
        let green_rows = self.bed_rows(line, "green_rows", cell("green_rows"));
        let harden_rows = self.bed_rows(line, "harden_rows", cell("harden_rows"));
        let (field, part) = (field?, part? as u32);
        let parts = scenario
            .fields
            .iter()
            .find(|known| known.id == field)
            .map_or(0, |field| field.parts);
        if part > parts {
            let message = format!("field `{field}` has no part {part}");
            let expected = if parts == 1 {
                "1".to_string()
            } else {
                format!("1 to {parts}")
            };
            self.add(
                "H008",
                (Some(line), Some("part")),
                message,
                [Some(expected), None],
            );
            return None;
        }
        Some(Row {
            field,
            part,
            sow: sow?,
            plant: plant?,
            trays: trays?,
            line: on_line?,
            germination: germination?,
            green_bed: green_bed?,
            harden_bed: harden_bed?,
            leaves: leaves?,
            green_rows: green_rows?,
            harden_rows: harden_rows?,
        })
    }

    /// Cells for places that what is handed over never comes to.
    fn needless<'c>(&mut self, line: usize, stage: HandOver, cell: impl Fn(&str) -> &'c str) {
        // Line, germination; beds and what belongs to them.
        let (columns, what) = match stage {
            HandOver::Seedlings => return,
            HandOver::Sprouted => (&OPTIONAL[2..], "trays that are handed over sprouted"),
            HandOver::SoakedSeed => (&OPTIONAL[..], "seed that is handed over"),
        };
        for column in columns {
            let text = cell(column);
            if !text.is_empty() {
                let message = format!("`{text}` for {what}");
                let help = Some("leave the cell empty".to_string());
                let expected = Some("an empty cell".to_string());
                self.add(
                    "H012",
                    (Some(line), Some(column)),
                    message,
                    [expected, help],
                );
            }
        }
    }

    /// Rows of a bed: numbers and spans of numbers, like `3 4 5` or `3-5`.
    fn bed_rows(&mut self, line: usize, column: &str, text: &str) -> Option<Vec<u32>> {
        let mut rows = Vec::new();
        for piece in text.split_whitespace() {
            let (first, last) = piece.split_once('-').unwrap_or((piece, piece));
            let first = self.number(line, column, first, 1, MOST_ROWS)?;
            let last = self.number(line, column, last, first, MOST_ROWS)?;
            rows.extend((first..=last).map(|row| row as u32));
        }
        Some(rows)
    }

    fn name<'n>(
        &mut self,
        line: usize,
        column: &str,
        text: &str,
        known: impl Iterator<Item = &'n str> + Clone,
    ) -> Option<String> {
        if known.clone().any(|known| known == text) {
            return Some(text.to_string());
        }
        let message = match text {
            "" => "the cell is empty".to_string(),
            _ => format!("the scenario has no `{text}`"),
        };
        let help = nearest(text, known);
        self.add("H009", (Some(line), Some(column)), message, [None, help]);
        None
    }

    fn maybe<'n>(
        &mut self,
        line: usize,
        column: &str,
        text: &str,
        known: impl Iterator<Item = &'n str> + Clone,
    ) -> Option<Option<String>> {
        if text.is_empty() {
            return Some(None);
        }
        self.name(line, column, text, known).map(Some)
    }

    fn day(&mut self, line: usize, column: &str, text: &str) -> Option<Day> {
        match Day::parse(text) {
            Ok(day) => Some(day),
            Err(why) => {
                let expected = Some("a day like 2027-05-08".to_string());
                self.add(
                    "H010",
                    (Some(line), Some(column)),
                    format!("`{text}` is no day: {why}"),
                    [expected, None],
                );
                None
            }
        }
    }

    fn number(
        &mut self,
        line: usize,
        column: &str,
        text: &str,
        least: i64,
        most: i64,
    ) -> Option<i64> {
        let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        let number = if digits {
            text.parse::<i64>().ok()
        } else {
            None
        };
        let number = number.filter(|number| (least..=most).contains(number));
        if number.is_none() {
            let expected = Some(format!("a whole number from {least} to {most}"));
            self.add(
                "H011",
                (Some(line), Some(column)),
                format!("`{text}` does not fit here"),
                [expected, None],
            );
        }
        number
    }
}

/// "did you mean", when a known name is near.
fn nearest<'n>(text: &str, known: impl Iterator<Item = &'n str>) -> Option<String> {
    let mut near: Vec<(usize, &str)> = known
        .map(|name| {
            (
                strsim::osa_distance(&text.to_lowercase(), &name.to_lowercase()),
                name,
            )
        })
        .filter(|(distance, name)| *distance <= 1 + name.chars().count() / 4)
        .collect();
    near.sort();
    near.first()
        .map(|(_, name)| format!("did you mean `{name}`?"))
}
