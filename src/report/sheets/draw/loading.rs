//! Loading lists: one a trip, last stop first, kilograms against the limit, empties to bring back.

use super::cautions::Cautions;
use super::job::{about_kg, left_over, on_the_way};
use super::numbers::in_rows;
use super::{blank, part, sheet, tick};
use crate::report::sheets::gather::{Sheets, Trip};
use crate::report::sheets::words::{Words, say};
use crate::scenario::HandOver;
use maud::{Markup, html};

/// One list a page.
pub fn loading(w: &Words, sheets: &Sheets) -> Markup {
    let of = sheets.trips.len();
    html! {
        @for (at, trip) in sheets.trips.iter().enumerate() {
            (sheet(w, &sheets.day, &w.get("sheet.loading"), "list", &body(w, trip, at + 1, of)))
        }
    }
}

fn body(w: &Words, trip: &Trip, n: usize, of: usize) -> Markup {
    let group = trip.group.clone().unwrap_or_else(|| w.get("trip.no_group"));
    let stops = trip.stops.len();
    let unweighed = trip.stops.iter().any(|stop| stop.kg.is_none());
    html! {
        div.huge { (match &trip.vehicle { Some(vehicle) => vehicle.clone(), None => w.get("trip.no_vehicle") }) }
        div.large { (say!(w, "trip.head", n = n, of = of, group = group)) @if trip.vehicle.is_some() { ", " (say!(w, "trip.nth", n = trip.nth)) } }
        @if trip.no_trip_left { p.loud { (w.get("trip.none_left")) } }
        @if stops > 0 {
            div.stop { (w.trays(trip.trays())) ", " (about_kg(w, trip.kg())) }
            p {
                @if let (Some(kg), Some(trays)) = (trip.most_kg, trip.most_trays) { (say!(w, "trip.limit", kg = kg, trays = trays)) " " }
                @else { (w.get("trip.limit_unknown")) " " (blank("short")) " kg " }
                @if unweighed { (w.get("trip.not_weighed")) }
            }
            @if stops > 1 { p.loud { (w.get("trip.order")) } }
            table.jobs {
                thead { tr { th {} th { (w.get("column.stop")) } th { (w.get("column.what")) } th { (w.get("column.loaded")) } th { (w.get("column.initials")) } th { (w.get("column.unloaded")) } th { (w.get("column.received")) } } }
                tbody {
                    @for (at, stop) in trip.stops.iter().enumerate().rev() {
                        @let job = &stop.job;
                        tr {
                            td.tick { (tick()) }
                            td.big { (at + 1) }
                            td.what {
                                @if let Some(party) = &job.party { div.first { (say!(w, "field.of", field = party.field, grower = party.grower)) } }
                                div.first { (job.kind.as_deref().unwrap_or("")) ", " (w.trays(stop.trays)) @if let Some(kg) = stop.kg { ", " (about_kg(w, kg)) } }
                                @if stop.trays < job.trays { div { (say!(w, "trip.part_of", n = job.trays)) } }
                                div { (say!(w, "job.run_at", runs = job.runs.join(", "), place = in_rows(w, job.from_place.as_deref().unwrap_or(""), &job.rows))) }
                                @if let Some(party) = &job.party {
                                    @for line in on_the_way(w, party) { div { (line) } }
                                    @if party.stage == HandOver::Sprouted { div { (w.get("job.sprouted")) } }
                                }
                                @if let Some(line) = left_over(w, job.allowance) { div { (line) } }
                                div { (w.get("card.lot")) " " (blank("long")) }
                            }
                            td.fill {} td.fill {} td.fill {} td.fill {}
                        }
                    }
                }
            }
        }
        @if !trip.empties.is_empty() {
            (part(&w.get("trip.empties"), &html! {
                ul.ticks {
                    @for one in &trip.empties {
                        li { (tick()) " " (say!(w, "field.of", field = one.field, grower = one.grower)) ": "
                            (if one.trays > 0 { w.trays(one.trays) } else { w.get("job.empties") })
                            @if let Some(due) = one.by_tonight { ", " (say!(w, "trip.due", n = due)) }
                            " — " (w.get("trip.brought")) " " (blank("short")) }
                    }
                }
            }))
        }
        p { (w.get("trip.driver")) " " (blank("long")) " " (w.get("trip.left_at")) " " (blank("time")) " " (w.get("trip.back_at")) " " (blank("time")) }
        (Cautions::LOADING.draw(w))
    }
}
