//! Tables as one XLSX workbook: words are typed as words, so that none becomes a formula; days and numbers are days and numbers.

use super::{Cell, Sheet};
use crate::calendar::Day;
use crate::report::safe::clean;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};

/// Most characters of a cell, as the format counts them (UTF-16). *Source*: ECMA-376 readers; longer ones are cut, with `…`.
pub const LONGEST: usize = 32_767;

/// A workbook could not be made.
#[derive(Debug, thiserror::Error)]
#[error("the workbook cannot be made: {0}")]
pub struct TableError(String);

impl From<XlsxError> for TableError {
    fn from(error: XlsxError) -> TableError {
        TableError(error.to_string())
    }
}

/// The workbook of a plan, with that as its title; see [`titled`].
///
/// # Errors
/// [`TableError`] for more rows than a sheet holds.
pub fn xlsx(sheets: &[Sheet], made: (Day, u32)) -> Result<Vec<u8>, TableError> {
    titled("sowrota plan", sheets, made)
}

/// The whole file; programs show `title` as its title. `made` stands as the time of its making, days and seconds after midnight, so that no
/// clock is read.
///
/// # Errors
/// [`TableError`] for more rows than a sheet holds.
pub fn titled(title: &str, sheets: &[Sheet], made: (Day, u32)) -> Result<Vec<u8>, TableError> {
    let mut book = Workbook::new();
    let (minutes, seconds) = (made.1 / 60, made.1 % 60);
    let (hour, minute) = (minutes / 60, minutes % 60);
    let time = date(made.0)?.and_hms(
        u16::try_from(hour).unwrap_or(0),
        u8::try_from(minute).unwrap_or(0),
        f64::from(seconds),
    )?;
    let properties = DocProperties::new()
        .set_title(title)
        .set_creation_datetime(&time);
    book.set_properties(&properties);
    let head = Format::new().set_bold();
    let days = Format::new().set_num_format("yyyy-mm-dd");
    for sheet in sheets {
        let page = book.add_worksheet();
        page.set_name(sheet.name)?;
        fill(page, sheet, &head, &days)?;
    }
    Ok(book.save_to_buffer()?)
}

fn fill(
    page: &mut Worksheet,
    sheet: &Sheet,
    head: &Format,
    days: &Format,
) -> Result<(), TableError> {
    for (at, column) in (0u16..).zip(&sheet.columns) {
        page.write_string_with_format(0, at, *column, head)?;
        page.set_column_width(at, column.chars().count().clamp(10, 30) as f64 + 2.0)?;
    }
    page.set_freeze_panes(1, 0)?;
    for (row, cells) in (1u32..).zip(&sheet.rows) {
        for (at, cell) in (0u16..).zip(cells) {
            match cell {
                Cell::Empty => {}
                Cell::Text(text) => {
                    page.write_string(row, at, short(clean(text)))?;
                }
                Cell::Number { value, places } => {
                    let ones = 10f64.powi(i32::try_from(*places).unwrap_or(0));
                    page.write_number(row, at, *value as f64 / ones)?;
                }
                Cell::Day(day) => {
                    page.write_datetime_with_format(row, at, &date(*day)?, days)?;
                }
            }
        }
    }
    Ok(())
}

/// At most as long as a cell may be.
fn short(text: String) -> String {
    if text.encode_utf16().count() <= LONGEST {
        return text;
    }
    let mut room = LONGEST - 1;
    let kept: String = text
        .chars()
        .take_while(|sign| {
            let fits = room >= sign.len_utf16();
            room = room.saturating_sub(sign.len_utf16());
            fits
        })
        .collect();
    kept + "…"
}

fn date(day: Day) -> Result<ExcelDateTime, TableError> {
    let (year, month, day) = day.ymd();
    let small = |number: u32| u8::try_from(number).unwrap_or(0);
    Ok(ExcelDateTime::from_ymd(
        u16::try_from(year).unwrap_or(0),
        small(month),
        small(day),
    )?)
}
