//! Labels of the five hand-overs, cut along the lines.

use super::blank;
use super::numbers::in_rows;
use crate::report::day::words::{kg, kg_weighed};
use crate::report::sheets::gather::{Label, Point, Sheets};
use crate::report::sheets::words::{Words, say};
use maud::{Markup, html};

/// A block of labels for each point that has some.
pub fn labels(w: &Words, sheets: &Sheets) -> Markup {
    html! {
        @for point in Point::ALL {
            @let here: Vec<&Label> = sheets.labels.iter().filter(|label| label.point == point).collect();
            @if !here.is_empty() {
                section class="sheet labels" {
                    h2 { (w.get(&format!("label.{}", point.as_str()))) " · " (w.long_day(sheets.day.day)) " · " (say!(w, "head.plan", plan = sheets.day.revision)) }
                    div.grid { @for label in here { (one(w, sheets, label)) } }
                }
            }
        }
    }
}

fn one(w: &Words, sheets: &Sheets, label: &Label) -> Markup {
    let place = label
        .place
        .as_ref()
        .map(|place| in_rows(w, place, &label.rows));
    let count = match (label.seed, label.point) {
        (Some(seed), Point::Hopper) => say!(
            w,
            "label.hopper_seed",
            wet = kg(seed.wet),
            trays = w.trays(label.trays)
        ),
        (Some(seed), _) => say!(
            w,
            "seed.dry_wet",
            dry = kg_weighed(seed.dry),
            wet = kg_weighed(seed.wet)
        ),
        (None, _) => w.trays(label.trays),
    };
    html! {
        div.label {
            div.point { (w.get(&format!("label.{}", label.point.as_str()))) " · " (w.day(sheets.day.day)) }
            div.big { (label.kind) }
            div { (match &label.treatment { Some(agent) => say!(w, "card.treated", agent = agent), None => w.get("card.untreated") }) }
            div.first { (label.run) " · " (count) @if let Some((n, of)) = label.nth { " · " (say!(w, "label.nth", n = n, of = of)) } }
            @if let Some((field, grower)) = &label.party { div.first { (say!(w, "field.of", field = field, grower = grower)) } }
            @if label.spare { div.first { (w.get("map.spare")) } }
            @if let Some(place) = place { div { (place) } }
            div.write { (w.get("card.lot")) " " (blank("short")) " " (w.get("column.count")) " " (blank("short")) " " (w.get("column.initials")) " " (blank("init")) }
        }
    }
}
