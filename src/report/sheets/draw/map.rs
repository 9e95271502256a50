//! The map of stacks and beds, as someone sees it who faces the door: a box for each lot of trays.

use super::cautions::Cautions;
use super::numbers::rows;
use super::{part, sheet};
use crate::calendar::Day;
use crate::report::sheets::gather::{BedPlace, Sheets, StackPlace, Standing};
use crate::report::sheets::words::{Words, say};
use maud::{Markup, html};
use std::collections::BTreeSet;

/// The map of the day.
pub fn map(w: &Words, sheets: &Sheets) -> Markup {
    let day = sheets.day.day;
    let body = html! {
        p { (w.get("map.how")) }
        @for place in &sheets.map.stacks { (stacks(w, place, day)) }
        @for bed in &sheets.map.beds { (bed_place(w, bed, day)) }
        (Cautions::STACKS.draw(w))
    };
    sheet(w, &sheets.day, &w.get("sheet.map"), "map", &body)
}

fn stacks(w: &Words, place: &StackPlace, day: Day) -> Markup {
    let there: i64 = place.stacks.iter().map(|stack| stack.stacks).sum();
    let title = say!(
        w,
        "map.germination",
        place = place.place,
        stacks = w.count("stacks", there),
        room = place.room,
        height = place.height
    );
    let body = html! {
        div.door { (w.get("map.door")) }
        div.boxes {
            @for stack in &place.stacks {
                @let (opens, comes) = (stack.open == day, stack.sown == day);
                div.box.today[opens] {
                    div.first { (stack.run) " · " (w.count("stacks", stack.stacks)) }
                    div { (stack.kind) }
                    div { (w.trays(stack.trays)) ", " (if comes { w.get("map.sown_today") } else { say!(w, "map.sown", day = w.day(stack.sown)) }) }
                    div.when { (if opens { w.get("map.open_today") } else { say!(w, "map.open", day = w.day(stack.open)) }) }
                }
            }
        }
    };
    part(&title, &body)
}

fn bed_place(w: &Words, bed: &BedPlace, day: Day) -> Markup {
    let trays: i64 = bed.standing.iter().map(|one| one.trays).sum();
    let title = match bed.rows {
        Some(rows) => say!(
            w,
            "map.bed_rows",
            bed = bed.bed,
            trays = w.trays(trays),
            rows = rows
        ),
        None => say!(w, "map.bed", bed = bed.bed, trays = w.trays(trays)),
    };
    let body = html! {
        div.door { (w.get("map.door")) }
        div.boxes {
            @for (free, one) in in_order(bed) {
                @if !free.is_empty() { div.box.free { div.first { (say!(w, "map.free", rows = rows(w, &free))) } } }
                @if let Some(one) = one { (standing(w, one, day)) }
            }
        }
    };
    part(&title, &body)
}

/// What stands in a bed by its first row, each with the free rows before it; at the end the free rows after all.
fn in_order(bed: &BedPlace) -> Vec<(Vec<u32>, Option<&Standing>)> {
    let taken: BTreeSet<u32> = bed
        .standing
        .iter()
        .flat_map(|one| one.rows.iter().copied())
        .collect();
    // Where no rows are named nobody knows which are free.
    let all = if taken.is_empty() {
        0
    } else {
        bed.rows.unwrap_or(0)
    };
    let mut free = (1..=all).filter(|row| !taken.contains(row)).peekable();
    let mut found = Vec::new();
    for one in &bed.standing {
        let first = one.rows.iter().min().copied().unwrap_or(0);
        let before = std::iter::from_fn(|| free.next_if(|row| *row < first));
        found.push((before.collect(), Some(one)));
    }
    found.push((free.collect(), None));
    found
}

fn standing(w: &Words, one: &Standing, day: Day) -> Markup {
    let leaves = one.leaves == day;
    let when = match (&one.moves_to, leaves) {
        (Some(bed), true) => say!(w, "map.moves_today", bed = bed),
        (Some(bed), false) => say!(w, "map.moves", bed = bed, day = w.day(one.leaves)),
        (None, true) => w.get("map.leaves_today"),
        (None, false) => say!(w, "map.leaves", day = w.day(one.leaves)),
    };
    html! {
        div.box.today[leaves] {
            @if !one.rows.is_empty() { div.first { (rows(w, &one.rows)) } }
            div.first { (one.run) " · " (w.trays(one.trays)) }
            div { (one.kind) }
            @if one.spare { div.first { (w.get("map.spare")) } } @else { div { (one.fields.join(", ")) } }
            @if one.came == day { div { (w.get("map.comes_today")) } }
            div.when { (when) }
        }
    }
}
