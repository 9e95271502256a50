//! Every lot as a row over days. A row differs from stage to stage by its outline, not by colour alone; all rows of a block
//! share one path for each stage, so that a lot costs no more than its button and its name.

use super::chart::axis;
use super::data::{Data, Lot};
use crate::calendar::{Day, DayRange};
use crate::report::text::{number, short_day};
use maud::{Markup, html};
use std::fmt::Write;

/// Rows of one block: a page of paper holds them.
const ROWS: usize = 30;
/// Units of a day and of a row inside the picture.
const DAY: i32 = 10;
const ROW: usize = 20;

/// Stages with their class, top and height in a row, in the order in which they are drawn.
const STAGES: [(&str, &str, usize, usize); 6] = [
    ("soak", "soak and sprout", 13, 4),
    ("stack", "stack", 2, 16),
    ("green", "under cover", 6, 12),
    ("harden", "hardening", 11, 7),
    ("wait", "waiting at the field", 9, 2),
    ("plant", "planting day", 0, 20),
];

/// Each season with its rows.
pub(super) fn seasons(data: &Data) -> Markup {
    let mut seasons: Vec<(usize, &[Lot])> = Vec::new();
    let mut at = 0;
    for lots in data.lots.chunk_by(|one, other| one.season == other.season) {
        seasons.push((at, lots));
        at += lots.len();
    }
    html! {
        @for (from, lots) in seasons {
            @if let Some(name) = data.seasons.get(lots[0].season).filter(|name| !name.is_empty()) {
                h3 { (name) }
            }
            @for (at, block) in lots.chunks(ROWS).enumerate() {
                (rows(data, block, from + at * ROWS, span(lots)))
            }
        }
    }
}

/// Days from the first soaking to the end of the last window or planting.
fn span(lots: &[Lot]) -> DayRange {
    let begins = lots.iter().map(|lot| lot.soak.unwrap_or(lot.sow));
    let ends = lots.iter().map(|lot| lot.day);
    let windows = lots.iter().flat_map(|lot| &lot.window);
    let first = begins.chain(windows.clone().map(|span| span.first)).min();
    let last = ends.chain(windows.map(|span| span.last)).max();
    let first = first.unwrap_or(lots[0].sow);
    DayRange {
        first,
        last: last.unwrap_or(first).max(first),
    }
}

fn rows(data: &Data, lots: &[Lot], from: usize, span: DayRange) -> Markup {
    let (days, height) = (span.days() as i32, lots.len() * ROW);
    let (first, last) = (short_day(span.first), short_day(span.last));
    let says = format!("{} lots as rows over days, {first} to {last}", lots.len());
    let paths = STAGES.map(|stage| (stage.0, stage_path(lots, span.first, stage)));
    html! {
        div.block style=(format!("--days:{days};--rows:{}", lots.len())) {
            div.names {
                @for (at, lot) in lots.iter().enumerate() {
                    button.lot type="button" data-lot=(from + at) {
                        b { (lot.name) } " " (lot.grower) ", " (number(lot.trays))
                    }
                }
            }
            div.strip {
                (axis(span.first, days, 1))
                svg.rows viewBox=(format!("0 0 {} {height}", days * DAY)) preserveAspectRatio="none" role="img"
                    aria-label=(says) data-from=(from) data-count=(lots.len()) {
                    path.window d=(windows(lots, span.first)) {}
                    path.weeks d=(weeks(span, height)) {}
                    @for (class, d) in &paths {
                        @if !d.is_empty() { path class=(class) d=(d) {} }
                    }
                    @if span.contains(data.today) {
                        path.today d=(format!("M{} 0v{height}", data.today.since(span.first) * DAY)) {}
                    }
                }
            }
        }
    }
}

/// What the outlines mean.
pub(super) fn legend() -> Markup {
    html! {
        ul.legend {
            @for (class, name, top, high) in STAGES {
                li {
                    svg viewBox="0 0 40 20" width="40" height="20" aria-hidden="true" {
                        @let width = if class == "plant" { 6 } else { 36 };
                        path class=(class) d=(shape(class, 2, top, width, high)) {}
                    }
                    " " (name)
                }
            }
            li {
                svg viewBox="0 0 40 20" width="40" height="20" aria-hidden="true" { path.window d="M2 0h36v20h-36z" {} }
                " days on which it may be planted"
            }
        }
    }
}

/// The outline of one stage: full, two rails, or a rail.
fn shape(class: &str, x: i32, top: usize, width: i32, high: usize) -> String {
    match class {
        // Rails: the cover is off.
        "harden" => format!(
            "M{x} {top}h{width}v2h-{width}zM{x} {}h{width}v2h-{width}z",
            top + high - 2
        ),
        _ => format!("M{x} {top}h{width}v{high}h-{width}z"),
    }
}

fn stage_path(
    lots: &[Lot],
    first: Day,
    (class, _, top, high): (&str, &str, usize, usize),
) -> String {
    let mut d = String::new();
    for (at, lot) in lots.iter().enumerate() {
        let Some((from, until)) = days_of(lot, class) else {
            continue;
        };
        let (x, width) = (
            from.since(first).max(0) * DAY,
            until.since(from.max(first)) * DAY,
        );
        if width > 0 {
            d.push_str(&shape(class, x, at * ROW + top, width, high));
        }
    }
    d
}

/// Days of a stage, the last one excluded.
fn days_of(lot: &Lot, class: &str) -> Option<(Day, Day)> {
    let in_beds = lot.open.filter(|_| lot.harden.is_some());
    match class {
        "soak" => Some((lot.soak?, lot.sow)),
        "stack" => Some((lot.sow, lot.open?)),
        "green" => Some((in_beds?, lot.harden?)),
        "harden" => Some((lot.harden?, lot.leaves)),
        "wait" => (lot.leaves < lot.day).then_some((lot.leaves, lot.day)),
        _ => Some((lot.day, lot.day.plus(1))),
    }
}

fn windows(lots: &[Lot], first: Day) -> String {
    let mut d = String::new();
    for (at, lot) in lots.iter().enumerate() {
        for span in &lot.window {
            let (x, width) = (span.first.since(first) * DAY, span.days() as i32 * DAY);
            // Writing to a string never fails.
            let _ = write!(d, "M{x} {}h{width}v20h-{width}z", at * ROW);
        }
    }
    d
}

/// A line at each Monday.
fn weeks(span: DayRange, height: usize) -> String {
    let mut d = String::new();
    for day in span
        .iter()
        .filter(|day| day.iso_week().monday() == Some(*day))
    {
        let _ = write!(d, "M{} 0v{height}", day.since(span.first) * DAY);
    }
    d
}
