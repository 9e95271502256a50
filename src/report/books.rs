//! The books as tables: orders and changes, signed deliveries, trays, hours, seed, and what is left of each.

use super::tables::{Cell, Sheet};
use crate::disrupt::books::{Books, Entry, Said};
use crate::disrupt::event::Event;
use crate::disrupt::record::Record;

/// The tables, in the order of the files.
pub fn sheets(books: &Books) -> Vec<Sheet> {
    let mut orders = Sheet::new(
        "orders",
        &[
            "number", "date", "change", "field", "part", "to_field", "trays",
        ],
    );
    let mut deliveries = Sheet::new(
        "deliveries",
        &[
            "number",
            "date",
            "field",
            "part",
            "trays",
            "kg",
            "signed",
            "mats_only",
            "note",
        ],
    );
    let mut trays = Sheet::new(
        "trays",
        &["number", "date", "what", "field", "trays", "note"],
    );
    let mut hours = Sheet::new(
        "hours",
        &["number", "date", "person", "task", "hours", "note"],
    );
    let mut seed = Sheet::new(
        "seed",
        &["number", "date", "what", "kind", "for", "kg", "note"],
    );
    for entry in &books.entries {
        let row = |cells: Vec<Cell>| [head(entry), cells].concat();
        match &entry.said {
            Said::Event(Event::Washed { trays: count, .. }) => {
                trays.rows.push(row(vec![
                    Cell::text("washed"),
                    Cell::Empty,
                    Cell::whole(*count),
                    Cell::Empty,
                ]));
            }
            Said::Event(Event::TraysLost { trays: count }) => {
                trays.rows.push(row(vec![
                    Cell::text("lost"),
                    Cell::Empty,
                    Cell::whole(*count),
                    Cell::Empty,
                ]));
            }
            Said::Event(Event::TraysBought { trays: count, .. }) => {
                trays.rows.push(row(vec![
                    Cell::text("bought"),
                    Cell::Empty,
                    Cell::whole(*count),
                    Cell::Empty,
                ]));
            }
            Said::Event(event) => orders.rows.push(row(order(event))),
            Said::Record(Record::Delivered {
                field,
                part,
                trays,
                kg,
                signed,
                lifted,
                note,
            }) => {
                deliveries.rows.push(row(vec![
                    Cell::text(field),
                    Cell::whole(*part),
                    Cell::whole(*trays),
                    kg.map_or(Cell::Empty, Cell::fixed),
                    Cell::text(signed),
                    Cell::text(if *lifted { "yes" } else { "no" }),
                    Cell::maybe(note.as_ref()),
                ]));
            }
            Said::Record(Record::TraysBack {
                field,
                trays: count,
                note,
            }) => trays.rows.push(row(vec![
                Cell::text("back"),
                Cell::text(field),
                Cell::whole(*count),
                Cell::maybe(note.as_ref()),
            ])),
            Said::Record(Record::Hours {
                person,
                task,
                hours: time,
                note,
            }) => hours.rows.push(row(vec![
                Cell::text(person),
                Cell::text(task),
                Cell::fixed(*time),
                Cell::maybe(note.as_ref()),
            ])),
            Said::Record(Record::SeedIn { kind, kg, note }) => seed.rows.push(row(vec![
                Cell::text("in"),
                Cell::text(kind),
                Cell::Empty,
                Cell::fixed(*kg),
                Cell::maybe(note.as_ref()),
            ])),
            Said::Record(Record::SeedOut {
                kind,
                kg,
                what_for,
                note,
            }) => seed.rows.push(row(vec![
                Cell::text("out"),
                Cell::text(kind),
                Cell::text(what_for),
                Cell::fixed(*kg),
                Cell::maybe(note.as_ref()),
            ])),
        }
    }
    vec![orders, deliveries, trays, hours, seed, balance(books)]
}

fn head(entry: &Entry) -> Vec<Cell> {
    vec![Cell::text(&entry.number), Cell::Day(entry.date)]
}

fn order(event: &Event) -> Vec<Cell> {
    let (what, field, part, to, trays) = match event {
        Event::Order { field, trays } => ("order", field, None, None, Some(*trays)),
        Event::Firm { field } => ("firm", field, None, None, None),
        Event::Give {
            from,
            part,
            to,
            trays,
        } => ("give", from, Some(*part), Some(to), *trays),
        Event::Cancel { field } => ("cancel", field, None, None, None),
        Event::Take { field, .. } => ("take", field, None, None, None),
        _ => return vec![Cell::Empty; 5],
    };
    vec![
        Cell::text(what),
        Cell::text(field),
        part.map_or(Cell::Empty, Cell::whole),
        Cell::maybe(to),
        trays.map_or(Cell::Empty, Cell::whole),
    ]
}

fn balance(books: &Books) -> Sheet {
    let mut sheet = Sheet::new("balance", &["what", "of", "unit", "came", "went", "left"]);
    for one in &books.balances {
        let places = one.unit.1;
        let number = |value: i64| Cell::Number {
            value: value.into(),
            places,
        };
        sheet.rows.push(vec![
            Cell::text(one.what),
            Cell::text(&one.of),
            Cell::text(one.unit.0),
            number(one.came),
            number(one.went),
            number(one.came.saturating_sub(one.went)),
        ]);
    }
    sheet
}
