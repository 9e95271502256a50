//! A table as CSV by RFC 4180: CRLF ends a line, quotes where they are needed, UTF-8 (RFC 7111).
//!
//! Cells of words that a spreadsheet would take for a formula have an apostrophe before them ([`crate::report::safe::marked`]).

use super::{Cell, Sheet, decimal};
use crate::report::safe::{clean, marked};

/// The whole file.
///
/// # Errors
/// Never for a table whose rows are as long as its head; the writer's own words else.
pub fn csv(sheet: &Sheet) -> Result<Vec<u8>, String> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let failed = |error: csv::Error| error.to_string();
    writer.write_record(&sheet.columns).map_err(failed)?;
    for row in &sheet.rows {
        writer.write_record(row.iter().map(cell)).map_err(failed)?;
    }
    writer.into_inner().map_err(|error| error.to_string())
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => marked(&clean(text)),
        Cell::Number { value, places } => decimal(*value, *places),
        Cell::Day(day) => day.to_string(),
    }
}
