//! CSV tables: rows as objects whose cells are texts with their line.
//!
//! Accepted and noted: a byte-order mark; `;` as separator, and with it the decimal comma.

use super::codes;
use super::gather::{At, Gather, nearest};
use super::keys::{Need, Table, What};
use super::tree::{Node, Spot, Value};
use crate::problems::Severity;
use std::collections::BTreeSet;

/// A table that could be read.
pub struct Rows {
    /// Number of the file.
    pub source: usize,
    /// One object for each row.
    pub rows: Vec<Node>,
    /// Columns that the first line has.
    pub columns: BTreeSet<String>,
    /// Columns that a misspelt name in the first line seems to mean.
    pub meant: BTreeSet<&'static str>,
}

/// The text of a file: byte-order mark noted and dropped, bytes that are not UTF-8 a problem.
pub fn text(gather: &mut Gather, name: &str, bytes: &[u8]) -> Option<(usize, String)> {
    let (marked, bytes) = match bytes.strip_prefix(b"\xef\xbb\xbf") {
        Some(rest) => (true, rest),
        None => (false, bytes),
    };
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(error) => {
            let valid = error.valid_up_to();
            let sound = String::from_utf8_lossy(&bytes[..valid]).into_owned();
            let source = gather.open(name, sound);
            let byte = bytes.get(valid).copied().unwrap_or(0);
            let place = valid + if marked { 3 } else { 0 };
            let at = At {
                source,
                spot: Some(Spot::Byte(valid)),
            };
            let message = format!("byte 0x{byte:02X} at place {place} is not UTF-8");
            gather
                .error(codes::NOT_UTF8, at, None, message)
                .expected("a text file in UTF-8")
                .help("save the file again as UTF-8");
            return None;
        }
    };
    let source = gather.open(name, text.clone());
    if marked {
        let at = At { source, spot: None };
        let message = "begins with a byte-order mark, which is dropped";
        gather.add(Severity::Note, codes::BYTE_ORDER_MARK, at, None, message);
    }
    Some((source, text))
}

/// The rows of a table. `None` when it cannot be read as one; the problems are gathered.
pub fn rows(gather: &mut Gather, name: &str, bytes: &[u8], table: &'static Table) -> Option<Rows> {
    let (source, text) = text(gather, name, bytes)?;
    let names: Vec<&'static str> = table.keys.iter().map(|key| key.name).collect();
    let whole = At { source, spot: None };
    let first = text
        .lines()
        .find(|line| !line.trim().is_empty())
        .unwrap_or("");
    if text.trim().is_empty() {
        gather
            .error(codes::TABLE_EMPTY, whole, None, "the table is empty")
            .expected(format!(
                "a first line with columns, such as {}",
                names.join(",")
            ));
        return None;
    }
    let separator = separator(gather, source, first)?;
    let records = records(gather, source, &text, separator)?;
    let (header, body) = records.split_first()?;
    let (columns, meant) = header_columns(gather, source, header, table, &names);
    if body.is_empty() {
        gather
            .error(
                codes::TABLE_EMPTY,
                whole,
                None,
                "the table has a first line and no rows",
            )
            .expected(format!("one row for each {}", table.one));
        return None;
    }
    let mut decimals = Decimals::default();
    let mut rows = Vec::new();
    for (line, cells) in body {
        let at = At {
            source,
            spot: Some(Spot::Line(*line)),
        };
        if cells.len() != columns.len() {
            wrong_length(gather, at, cells, columns.len(), separator);
            continue;
        }
        let mut pairs = Vec::new();
        for (column, cell) in columns.iter().zip(cells) {
            let Some(key) = column.as_deref().and_then(|name| table.get(name)) else {
                continue;
            };
            let cell = cell.trim();
            if cell.is_empty() {
                continue;
            }
            let number = matches!(key.what, What::Integer(..) | What::Decimal { .. });
            let cell = if number && separator == b';' {
                decimals.point(cell)
            } else {
                cell.to_owned()
            };
            let spot = Spot::Line(*line);
            pairs.push((
                key.name.to_owned(),
                spot,
                Node {
                    spot,
                    value: Value::Cell(cell),
                },
            ));
        }
        rows.push(Node {
            spot: Spot::Line(*line),
            value: Value::Object(pairs),
        });
    }
    if separator == b';' {
        let message = match decimals {
            Decimals { comma: true, .. } => "separated by `;`, with decimal commas: read so",
            _ => "separated by `;`: read so",
        };
        gather.add(Severity::Note, codes::SEMICOLON, whole, None, message);
    }
    if decimals.comma && decimals.point {
        gather
            .error(
                codes::MIXED_SEPARATORS,
                whole,
                None,
                "numbers with a decimal comma and numbers with a decimal point",
            )
            .expected("one of the two in the whole table");
    }
    Some(Rows {
        source,
        rows,
        columns: columns.into_iter().flatten().collect(),
        meant,
    })
}

/// Which decimal signs were seen in a table with `;`.
#[derive(Default)]
struct Decimals {
    comma: bool,
    point: bool,
}

impl Decimals {
    /// The cell with a decimal point. A cell with both signs is left as it is, and so refused later.
    fn point(&mut self, cell: &str) -> String {
        let (comma, point) = (cell.contains(','), cell.contains('.'));
        self.comma |= comma;
        self.point |= point && !comma;
        if comma && !point {
            cell.replace(',', ".")
        } else {
            cell.to_owned()
        }
    }
}

fn separator(gather: &mut Gather, source: usize, first: &str) -> Option<u8> {
    let at = At {
        source,
        spot: Some(Spot::Line(1)),
    };
    match (first.contains(','), first.contains(';')) {
        (true, true) => {
            gather
                .error(
                    codes::MIXED_SEPARATORS,
                    at,
                    None,
                    "the first line has both `,` and `;`",
                )
                .expected("one separator in the whole table: `,` or `;`");
            None
        }
        (_, true) => Some(b';'),
        (false, false) if first.contains('\t') => {
            gather
                .error(
                    codes::MIXED_SEPARATORS,
                    at,
                    None,
                    "the columns are separated by tabs",
                )
                .expected("one separator in the whole table: `,` or `;`");
            None
        }
        _ => Some(b','),
    }
}

type Record = (usize, Vec<String>);

/// Counts lines on the way through a text; the reader's own count stops before blank lines.
struct Lines<'a> {
    text: &'a [u8],
    byte: usize,
    line: usize,
}

impl Lines<'_> {
    /// Line of the first sign at or after `byte` that ends no line. Bytes are asked for in order.
    fn at(&mut self, byte: usize) -> usize {
        while let Some(sign) = self.text.get(self.byte) {
            let ends = match sign {
                b'\n' => true,
                b'\r' => self.text.get(self.byte + 1) != Some(&b'\n'),
                _ if self.byte >= byte => break,
                _ => false,
            };
            // The first half of a line's end is passed over too.
            self.line += usize::from(ends);
            self.byte += 1;
        }
        self.line
    }
}

fn records(gather: &mut Gather, source: usize, text: &str, separator: u8) -> Option<Vec<Record>> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text.as_bytes());
    let mut records = Vec::new();
    let mut lines = Lines {
        text: text.as_bytes(),
        byte: 0,
        line: 1,
    };
    for record in reader.records() {
        // The text is UTF-8 and rows may differ in length: nothing is left that the reader refuses.
        let Ok(record) = record else { continue };
        let begins = record
            .position()
            .map_or(0, |position| position.byte() as usize);
        let line = lines.at(begins);
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        if record.iter().any(|cell| cell.contains(['\n', '\r'])) {
            let at = At {
                source,
                spot: Some(Spot::Line(line)),
            };
            gather
                .error(
                    codes::OPEN_QUOTE,
                    at,
                    None,
                    "a cell runs over several lines",
                )
                .help("is a `\"` opened here and never closed?");
            return None;
        }
        records.push((line, record.iter().map(str::to_owned).collect()));
    }
    Some(records)
}

/// The columns by place, none where the name is unknown or a repetition; and those that an unknown
/// name seems to mean.
fn header_columns(
    gather: &mut Gather,
    source: usize,
    (line, header): &Record,
    table: &'static Table,
    names: &[&'static str],
) -> (Vec<Option<String>>, BTreeSet<&'static str>) {
    let at = At {
        source,
        spot: Some(Spot::Line(*line)),
    };
    let mut seen = BTreeSet::new();
    let mut meant = BTreeSet::new();
    let mut columns = Vec::new();
    for cell in header {
        let name = cell.trim();
        if table.get(name).is_none() {
            let problem = gather.error(
                codes::UNKNOWN_COLUMN,
                at,
                Some(name),
                format!("unknown column `{name}`"),
            );
            match nearest(name, names.iter().copied()) {
                Some(near) => {
                    problem.help(format!("write `{near}`"));
                    meant.insert(near);
                }
                None => {
                    problem.expected(format!("columns among {}", names.join(", ")));
                }
            }
            columns.push(None);
        } else if !seen.insert(name.to_owned()) {
            gather.error(
                codes::DOUBLE_COLUMN,
                at,
                Some(name),
                format!("the column `{name}` stands twice"),
            );
            columns.push(None);
        } else {
            columns.push(Some(name.to_owned()));
        }
    }
    for key in table.keys {
        let needed = matches!(key.need, Need::Required);
        if needed && !seen.contains(key.name) && !meant.contains(key.name) {
            gather
                .error(
                    codes::MISSING_COLUMN,
                    at,
                    Some(key.name),
                    format!("the column `{}` is missing", key.name),
                )
                .expected(format!("{}: {}", key.meaning, key.what.words(key.unit)));
        }
    }
    (columns, meant)
}

/// In a row with one cell too many: the number that a decimal comma seems to have split.
fn split_number(cells: &[String], columns: usize) -> Option<String> {
    let digits = |cell: &str| !cell.is_empty() && cell.bytes().all(|sign| sign.is_ascii_digit());
    let pair = cells
        .windows(2)
        .find(|pair| digits(&pair[0]) && digits(&pair[1]))?;
    (cells.len() == columns + 1).then(|| format!("{}.{}", pair[0], pair[1]))
}

fn wrong_length(gather: &mut Gather, at: At, cells: &[String], columns: usize, separator: u8) {
    let other = if separator == b',' { ';' } else { ',' };
    let others: usize = cells.iter().map(|cell| cell.matches(other).count()).sum();
    if cells.len() < columns && others + 1 >= columns && columns > 1 {
        let message = format!(
            "this row is separated by `{other}`, the first line by `{}`",
            separator as char
        );
        gather
            .error(codes::MIXED_SEPARATORS, at, None, message)
            .expected("one separator in the whole table");
        return;
    }
    if let Some(number) = split_number(cells, columns) {
        gather
            .error(
                codes::ROW_LENGTH,
                at,
                None,
                format!("{} cells in this row", cells.len()),
            )
            .expected(format!("{columns}, as many as the first line has columns"))
            .help(format!(
                "is `{}` a decimal comma? write a point: {number}",
                number.replace('.', ",")
            ));
        return;
    }
    let cell_word = if cells.len() == 1 { "cell" } else { "cells" };
    gather
        .error(
            codes::ROW_LENGTH,
            at,
            None,
            format!("{} {cell_word} in this row", cells.len()),
        )
        .expected(format!("{columns}, as many as the first line has columns"))
        .help("put a text with commas in quotes; leave cells without a value empty");
}
