//! The night watch: every place with trays in it, round after round.

use super::cautions::Cautions;
use super::{blank, sheet, tick};
use crate::report::day::words::whole;
use crate::report::sheets::gather::{Map, Sheets};
use crate::report::sheets::words::{Words, say};
use maud::{Markup, html};

/// Hours of the rounds.
const ROUNDS: [i64; 6] = [20, 22, 0, 2, 4, 6];

/// The sheet; nothing when no tray stands overnight.
pub fn night(w: &Words, sheets: &Sheets) -> Option<Markup> {
    let night = sheets.day.night.as_ref()?;
    let body = html! {
        @if let Some(low) = night.low_c {
            @let key = if night.cold { "night.cold" } else { "night.low" };
            p.loud { (say!(w, key, low = whole(low))) }
        }
        p { (w.get("night.alarm")) }
        table.weigh {
            thead { tr { th { (w.get("night.place")) } @for hour in ROUNDS { th { (format!("{hour:02}:00")) } } } }
            tbody {
                @for place in &night.places {
                    tr {
                        td.what { div.first { (place) } div { (in_place(&sheets.map, place, sheets.day.day).join("; ")) } }
                        @for _ in ROUNDS { td.fill { "°C" } }
                    }
                }
                tr { td.what { (w.get("column.initials")) } @for _ in ROUNDS { td.fill {} } }
            }
        }
        ul.ticks {
            li { (tick()) " " (w.get("night.check_close")) }
            li { (tick()) " " (w.get("night.check_heat")) }
            li { (tick()) " " (w.get("night.check_alarm")) }
        }
        p { (w.get("night.call")) " " (blank("long")) }
        p { (w.get("night.otherwise")) " " (blank("line")) }
        (Cautions::NIGHT.draw(w))
    };
    Some(sheet(w, &sheets.day, &w.get("sheet.night"), "list", &body))
}

/// Kinds that stand there tonight, each once.
fn in_place(map: &Map, place: &str, day: crate::calendar::Day) -> Vec<String> {
    let stacks = map.stacks.iter().filter(|one| one.place == place);
    let stacks = stacks
        .flat_map(|one| &one.stacks)
        .filter(|stack| stack.open > day);
    let beds = map.beds.iter().filter(|one| one.bed == place);
    let beds = beds
        .flat_map(|one| &one.standing)
        .filter(|one| one.leaves > day);
    let kinds = stacks
        .map(|stack| &stack.kind)
        .chain(beds.map(|one| &one.kind));
    let kinds: std::collections::BTreeSet<&String> = kinds.collect();
    kinds.into_iter().cloned().collect()
}
