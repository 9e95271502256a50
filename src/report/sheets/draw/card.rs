//! The line card of a run: kind and treatment in the largest letters, then what is set, weighed and written.

use super::cautions::Cautions;
use super::job::seed_left;
use super::{blank, part, sheet, tick};
use crate::report::day::words::{clock, kg, whole};
use crate::report::sheets::gather::{Card, Sheets};
use crate::report::sheets::words::{Words, say};
use crate::units::div_near;
use maud::{Markup, html};

/// One card a page.
pub fn cards(w: &Words, sheets: &Sheets) -> Markup {
    html! { @for card in &sheets.cards { (sheet(w, &sheets.day, &w.get("sheet.line"), "card", &card_body(w, card))) } }
}

fn card_body(w: &Words, card: &Card) -> Markup {
    let treatment = match &card.treatment {
        Some(agent) => say!(w, "card.treated", agent = agent),
        None => w.get("card.untreated"),
    };
    let (g, soil) = (card.grams, card.soil);
    let litres = div_near(card.water_ml_per_minute, 1_000);
    let in_ten = div_near(card.water_ml_per_minute, 100);
    html! {
        div.huge { (card.kind) }
        div.large { (treatment) }
        div.large { (say!(w, "card.run", run = card.run, n = card.order, of = card.of, line = card.line))
            @if let Some(minute) = card.from_minute { ", " (say!(w, "card.from", time = clock(minute))) } }
        p.around {
            (match &card.before { Some(kind) => say!(w, "card.before", kind = kind), None => w.get("card.first") }) " — "
            (match &card.after { Some(kind) => say!(w, "card.after", kind = kind), None if card.last_of_day => w.get("card.last_of_day"), None => w.get("card.last") })
        }
        div.stop { (say!(w, "card.stop_at", trays = w.trays(card.trays))) }
        p { (say!(w, "card.counter", n = card.counter(), trial = card.trial_trays, thrown = card.thrown_trays)) }
        table.settings { tbody {
            tr { th { (w.get("card.seed")) } td.big { (say!(w, "card.grams", g = g.target, low = g.low, high = g.high)) } td { (say!(w, "card.dry", g = g.dry)) } }
            tr { th { (w.get("card.bed")) } td.big { (whole(soil.bed_mm)) " mm" } td { (say!(w, "card.in_all", l = soil.bed_l)) } }
            tr { th { (w.get("card.cover")) } td.big { (w.get("card.cover_how")) } td { (say!(w, "card.cover_soil", mm = whole(soil.cover_mm), l = soil.cover_l)) } }
            tr { th { (w.get("card.water")) } td.big { (litres) " L/min" } td { (say!(w, "card.ten_minutes", l = in_ten, rate = card.set_per_h)) } }
            tr { th { (w.get("card.hopper")) } td.big { (say!(w, "card.hopper_wet", wet = kg(card.seed.wet))) }
                td { (say!(w, "card.hopper_dry", dry = kg(card.seed.dry))) } }
            tr { th { (w.get("card.stacks")) } td colspan="2" { @for place in &card.places { div { (say!(w, "sow.to", stacks = w.count("stacks", place.stacks), place = place.place)) } } } }
            tr { th { (w.get("card.lot")) } td colspan="2" { (blank("long")) " " (w.get("seed.two_read")) " " (blank("init")) " " (blank("init")) } }
        } }
        p.loud { (w.get("card.stop_if")) }
        (part(&w.get("card.weigh"), &weigh(w, card)))
        (part(&w.get("card.end"), &html! {
            ul.ticks {
                @if card.hopper_left_g > 0 { li { (tick()) " " (say!(w, "sow.stays", g = card.hopper_left_g)) } }
                @if let Some(left) = &card.seed_left { li { (tick()) " " (seed_left(w, left)) } }
                li { (tick()) " " (w.get("card.left_over")) " " (blank("short")) " kg " (blank("init")) }
                li { (tick()) " " (w.get("card.last_tray")) " " (blank("time")) " " (w.get("card.counted")) " " (blank("short")) " " (blank("init")) }
            }
        }))
        (Cautions::LINE.draw(w))
    }
}

/// Where five trays are weighed, with room for refills and changes of rate.
fn weigh(w: &Words, card: &Card) -> Markup {
    html! {
        p { (w.get("card.weigh_when")) }
        table.weigh {
            thead { tr { th { (w.get("column.at_tray")) } th { (w.get("column.mean")) } th { (w.get("column.bed_mm")) } th { (w.get("column.done_at")) } th { (w.get("column.initials")) } } }
            tbody {
                @for at in &card.weigh_at { tr { td { @if *at == 0 { (w.get("card.start")) } @else { (at) } } td.fill {} td.fill {} td.fill {} td.fill {} } }
                @for _ in 0..2 { tr { td { (w.get("card.refill")) } td.fill {} td.fill {} td.fill {} td.fill {} } }
            }
        }
    }
}
