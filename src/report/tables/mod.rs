//! Tables for spreadsheets and other programs: plain data first ([`gather()`]), then CSV by RFC 4180 or one XLSX workbook.

mod csv;
mod gather;
mod season;
mod xlsx;

pub use csv::csv;
pub use gather::gather;
pub use xlsx::{LONGEST, TableError, titled, xlsx};

use crate::calendar::Day;
use crate::units::Fixed;

/// One cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// Words.
    Text(String),
    /// A whole number of `10^-places`.
    Number {
        /// How many.
        value: i128,
        /// Decimal places.
        places: u32,
    },
    /// A day.
    Day(Day),
}

impl Cell {
    /// Words.
    pub fn text(text: impl Into<String>) -> Cell {
        Cell::Text(text.into())
    }

    /// Words, or nothing.
    pub fn maybe(text: Option<&String>) -> Cell {
        text.map_or(Cell::Empty, |text| Cell::Text(text.clone()))
    }

    /// A whole number.
    pub fn whole(value: impl Into<i128>) -> Cell {
        let value = value.into();
        Cell::Number { value, places: 0 }
    }

    /// A decimal.
    pub fn fixed<const P: u32>(value: Fixed<P>) -> Cell {
        let (value, places) = (value.0.into(), P);
        Cell::Number { value, places }
    }

    /// A day, or nothing.
    pub fn day(day: Option<Day>) -> Cell {
        day.map_or(Cell::Empty, Cell::Day)
    }
}

/// One table: its file of CSV, or its sheet of a workbook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// Short, of small letters.
    pub name: &'static str,
    /// Names of the columns, units in them.
    pub columns: Vec<&'static str>,
    /// As many cells each as there are columns.
    pub rows: Vec<Vec<Cell>>,
}

impl Sheet {
    /// A table without rows.
    pub fn new(name: &'static str, columns: &[&'static str]) -> Sheet {
        Sheet {
            name,
            columns: columns.to_vec(),
            rows: Vec::new(),
        }
    }

    /// Without the columns of those names.
    pub fn without(mut self, columns: &[&str]) -> Sheet {
        let stays: Vec<bool> = self
            .columns
            .iter()
            .map(|name| !columns.contains(name))
            .collect();
        let mut at = stays.iter();
        self.columns.retain(|_| at.next() == Some(&true));
        for row in &mut self.rows {
            let mut at = stays.iter();
            row.retain(|_| at.next() == Some(&true));
        }
        self
    }
}

/// A decimal as it is written: no exponent, no thousands, no empty places.
fn decimal(value: i128, places: u32) -> String {
    let sign = if value < 0 { "-" } else { "" };
    let one = 10u128.pow(places.min(30));
    let (whole, part) = (value.unsigned_abs() / one, value.unsigned_abs() % one);
    if part == 0 {
        return format!("{sign}{whole}");
    }
    let part = format!("{part:0width$}", width = places as usize);
    format!("{sign}{whole}.{}", part.trim_end_matches('0'))
}
