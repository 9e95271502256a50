//! Tables as published descriptions have them: what the program writes, and a workbook of another maker through the reader that judges ours.

use calamine::{Data, Reader, Xlsx};
use sowrota::report::tables::{Cell, Sheet, csv, xlsx};
use std::io::Cursor;

fn file(name: &str) -> Vec<u8> {
    std::fs::read(super::folder().join("data/files").join(name)).unwrap()
}

// Source: Shafranovich, RFC 4180, 2005, section 2; RFC 7111, 2014 (UTF-8). Cells with comma, quote, lines, outer spaces and non-ASCII; file and cells written by Python's csv. On
// purpose a line's end inside a cell is one sign here, not two.
#[test]
fn csv_is_written_as_described() {
    let cells: Vec<Vec<String>> = serde_json::from_slice(&file("quoting.expected.json")).unwrap();
    let mut sheet = Sheet::new("quoting", &["lot", "note", "day", "area_m2"]);
    assert_eq!(sheet.columns, cells[0]);
    sheet.rows = cells[1..]
        .iter()
        .map(|row| {
            let mut row: Vec<Cell> = row.iter().map(Cell::text).collect();
            if row[3] == Cell::text("-1.25") {
                // A number, not words that begin like a formula.
                row[3] = Cell::Number {
                    value: -1_250,
                    places: 3,
                };
            }
            row
        })
        .collect();
    let wanted = String::from_utf8(file("quoting.csv")).unwrap();
    assert_eq!(wanted.len(), 202);
    let ours = String::from_utf8(csv(&sheet).unwrap()).unwrap();
    assert_eq!(ours, wanted.replace("two\r\nlines", "two\nlines"));
}

// Source: ECMA-376, serial days (1900 counts as a leap year); workbook made with Python's openpyxl 3.1.5. 2028-02-29 is 46812, 2026-12-31 is 46387.
#[test]
fn days_of_a_workbook_are_serial_days() {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(file("dates.xlsx"))).unwrap();
    let range = book.worksheet_range("plan").unwrap();
    let mut sheet = Sheet::new("plan", &["day"]);
    for (row, day, serial) in [(1, "2028-02-29", 46_812.0), (2, "2026-12-31", 46_387.0)] {
        let Some(Data::DateTime(found)) = range.get_value((row, 0)) else {
            panic!("{:?}", range.get_value((row, 0)))
        };
        assert_eq!(found.as_f64(), serial);
        sheet.rows.push(vec![Cell::Day(super::day(day))]);
    }
    let ours = xlsx(&[sheet], (super::day("2026-01-01"), 0)).unwrap();
    let mut ours: Xlsx<_> = Xlsx::new(Cursor::new(ours)).unwrap();
    let ours = ours.worksheet_range("plan").unwrap();
    assert_eq!(ours.get_value((1, 0)), range.get_value((1, 0)));
    assert_eq!(ours.get_value((2, 0)), range.get_value((2, 0)));
}
