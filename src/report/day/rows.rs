//! Rows of the sheet by the clock: one a job; loads of one grower from one bed stand together, by field.

use super::DONE;
use super::words::{self, from_to, ha, job_text, kilograms, loads};
use crate::plan::day::{Job, Party, Spell, Work};
use crate::report::text::trays;
use crate::units::Fixed;

/// Times, people, words and blank.
pub type Row = [String; 4];

/// Minutes by which a job may end after the shift before it is called overtime: half of what the sheet is read to.
const READ_TO: i64 = 2;

/// The rows of `jobs`, in their order; work that ends after `shift_end`, in minutes after midnight, says so.
pub fn rows(jobs: &[Job], shift_end: Option<i64>) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut waits_are_said = false;
    for group in jobs.chunk_by(together) {
        let mut spells: Vec<Spell> = Vec::new();
        for spell in group.iter().flat_map(|job| &job.spells) {
            match spells.last_mut() {
                Some(last) if goes_on(last, spell) => last.until_minute = spell.until_minute,
                _ => spells.push(*spell),
            }
        }
        let times: Vec<String> = spells
            .iter()
            .map(|s| from_to(s.from_minute, s.until_minute))
            .collect();
        let people: Vec<String> = spells.iter().map(|s| s.people.to_string()).collect();
        let late = |end: i64| spells.iter().any(|s| s.until_minute > end + READ_TO);
        let mut text = match group {
            [job] => job_text(job),
            _ => loads(group),
        };
        if shift_end.is_some_and(late) {
            text.push_str("\nOVERTIME");
        }
        if let Some(late) = group.iter().find(|job| job.stacked_late && !waits_are_said) {
            waits_are_said = true;
            let nothing = String::new;
            rows.push([nothing(), nothing(), words::nobody_stacks(late), nothing()]);
        }
        let blank = if group.len() == 1 { DONE } else { "" };
        rows.push([times.join("\n"), people.join("\n"), text, blank.to_string()]);
        if group.len() > 1 {
            rows.extend(group.chunk_by(same_field).map(field_row));
        }
    }
    rows
}

fn goes_on(last: &Spell, next: &Spell) -> bool {
    last.people == next.people && last.until_minute == next.from_minute
}

/// Loads that differ in their field only.
fn together(one: &Job, other: &Job) -> bool {
    let load = |job: &Job| job.work == Work::Load;
    let to = |job: &Job| {
        job.party.as_ref().map(|party| Party {
            field: String::new(),
            area_ha: Fixed(0),
            told: true,
            ..party.clone()
        })
    };
    load(one)
        && load(other)
        && (&one.kind, &one.runs, &one.from_place) == (&other.kind, &other.runs, &other.from_place)
        && to(one) == to(other)
}

fn same_field(one: &Job, other: &Job) -> bool {
    field(one) == field(other)
}

/// Name of the field, without its part.
fn field(job: &Job) -> &str {
    let name = job.party.as_ref().map_or("", |party| &party.field);
    match name.rsplit_once(" part ") {
        Some((field, part)) if part.parse::<u32>().is_ok() => field,
        _ => name,
    }
}

/// "QU1: 222 + 223 trays", area and weight, or with its part when that is all that is loaded.
fn field_row(jobs: &[Job]) -> Row {
    let name = match jobs {
        [job] => job.party.as_ref().map_or("", |party| &party.field),
        _ => jobs.first().map_or("", field),
    };
    let parties = jobs.iter().filter_map(|job| job.party.as_ref());
    let area = Fixed(parties.map(|party| party.area_ha.0).sum());
    let counts: Vec<String> = jobs.iter().map(|job| job.trays.to_string()).collect();
    let count = match jobs {
        [job] => trays(job.trays),
        _ => format!("{} trays", counts.join(" + ")),
    };
    let weights: Vec<i64> = jobs.iter().filter_map(|job| job.load_kg).collect();
    let weight = match weights.iter().sum() {
        0 => String::new(),
        kg => format!(", {}", kilograms(kg)),
    };
    let rows: Vec<u32> = jobs.iter().flat_map(|job| job.rows.clone()).collect();
    let rows = match words::rows(&rows) {
        rows if rows.is_empty() => rows,
        rows => format!("\n{rows}"),
    };
    let mut text = format!("{name}: {count}{rows}\n{} ha{weight}", ha(area));
    if let Some(left) = words::left_over(jobs.iter().map(|job| job.allowance).sum()) {
        text.push_str(&format!("\n{left}"));
    }
    [String::new(), String::new(), text, DONE.to_string()]
}
