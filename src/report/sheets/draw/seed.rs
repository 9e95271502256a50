//! The seed sheet: soak, drain, change water, hand over, and what is brought out for tomorrow.

use super::cautions::Cautions;
use super::day::seed_lines;
use super::job::job_lines;
use super::{blank, lines, part, sheet, tick};
use crate::plan::day::{Job, Work};
use crate::report::sheets::gather::Sheets;
use crate::report::sheets::words::{Words, say};
use maud::{Markup, html};

const SEED: [Work; 3] = [Work::Soak, Work::Drain, Work::ChangeWater];

/// Jobs with seed of the day.
pub fn jobs(sheets: &Sheets) -> Vec<&Job> {
    let given = |job: &&Job| job.work == Work::HandOver && job.seed.is_some();
    sheets
        .day
        .jobs()
        .filter(|job| SEED.contains(&job.work) || given(job))
        .collect()
}

/// The sheet; nothing when no seed is handled today or tomorrow.
pub fn seed(w: &Words, sheets: &Sheets) -> Option<Markup> {
    let jobs = jobs(sheets);
    let out = seed_lines(w, &sheets.day.tomorrow);
    if jobs.is_empty() && out.is_empty() {
        return None;
    }
    let body = html! {
        @if !jobs.is_empty() {
            table.jobs {
                thead { tr { th {} th { (w.get("column.what")) } th { (w.get("card.lot")) } th { (w.get("column.kg")) } th { "°C" } th { (w.get("column.done_at")) } th { (w.get("column.two_initials")) } } }
                tbody {
                    @for job in &jobs {
                        tr { td.tick { (tick()) } td.what { (lines(&job_lines(w, job))) } td.fill {} td.fill {} td.fill {} td.fill {} td.fill {} }
                    }
                }
            }
        }
        @if !out.is_empty() {
            (part(&say!(w, "day.tomorrow", day = w.day(sheets.day.tomorrow.day)), &html! {
                ul.ticks { @for line in &out { li { (tick()) " " (line) } } }
                p { (w.get("seed.two_read")) " " (blank("init")) " " (blank("init")) }
            }))
        }
        (Cautions::SEED.draw(w))
    };
    Some(sheet(w, &sheets.day, &w.get("sheet.seed"), "list", &body))
}
