//! The wash sheet: what comes back, what is washed, what must be clean for tomorrow.

use super::cautions::Cautions;
use super::job::job_lines;
use super::{lines, sheet, tick};
use crate::plan::day::{Job, Work};
use crate::report::sheets::gather::Sheets;
use crate::report::sheets::words::{Words, say};
use maud::{Markup, html};

/// The sheet; nothing when no tray comes back or is washed.
pub fn wash(w: &Words, sheets: &Sheets) -> Option<Markup> {
    let of = [Work::TraysBack, Work::Collect, Work::Wash];
    let jobs: Vec<&Job> = sheets.jobs(&of).collect();
    if jobs.is_empty() {
        return None;
    }
    let body = html! {
        table.jobs {
            thead { tr { th {} th { (w.get("column.what")) } th { (w.get("column.count")) } th { (w.get("column.broken")) } th { (w.get("column.done_at")) } th { (w.get("column.initials")) } } }
            tbody {
                @for job in &jobs { tr { td.tick { (tick()) } td.what { (lines(&job_lines(w, job))) } td.fill {} td.fill {} td.fill {} td.fill {} } }
                tr { td.tick { (tick()) } td.what { div.first { (w.get("wash.dirty")) } } td.fill {} td.fill {} td.fill {} td.fill {} }
            }
        }
        @if sheets.day.tomorrow.clean_trays > 0 { p.loud { (say!(w, "tomorrow.trays", n = sheets.day.tomorrow.clean_trays)) } }
        p { (w.get("wash.steps")) }
        p { (w.get("log.also")) " " code { "dirty trays=____" } " · " code { "trays_lost trays=____" } }
        (Cautions::WASH.draw(w))
    };
    Some(sheet(w, &sheets.day, &w.get("sheet.wash"), "list", &body))
}
