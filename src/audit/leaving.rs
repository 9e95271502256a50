//! Checks of the day on which trays leave the nursery and the day on which they are planted: calendars, the field's edge, and what the field allows.

use super::Found;
use super::book::{PartSeen, of_part, say_part};
use crate::calendar::Day;
use crate::scenario::{Block, Field, Scenario};

/// Checks leaving and planting of one part.
pub(super) fn check(scenario: &Scenario, part: &PartSeen, found: &mut Found) {
    check_planting(scenario, part, found);
    check_field(scenario, part, found);
    if part.in_beds() && part.leaves != part.delivery.day {
        check_edge(scenario, part, found);
    }
}

/// Trays that leave on another day than they are planted.
fn check_edge(scenario: &Scenario, part: &PartSeen, found: &mut Found) {
    let (day, leaves, said) = (part.delivery.day, part.leaves, say_part(part.delivery));
    let mut bad = |code, amount: i32, what| {
        let subject = of_part(part.delivery);
        found.add(code, subject, Some(leaves), amount.into(), what);
    };
    if !scenario.horizon.contains(leaves) {
        let what = format!("{said} leaves on {leaves}, outside {}", scenario.horizon);
        bad("A099", 0, what);
    } else if !scenario.calendars.planting.works(leaves) {
        let what = format!(
            "{said} leaves on {} {leaves}, no day of planting",
            leaves.weekday()
        );
        bad("A099", 0, what);
    }
    let harden = part.delivery.harden;
    if leaves < harden {
        let what = format!("{said} leaves on {leaves}, before hardening begins on {harden}");
        bad("A100", harden.since(leaves), what);
    }
    if leaves > day {
        let what = format!("{said} leaves on {leaves}, after it is planted on {day}");
        return bad("A100", leaves.since(day), what);
    }
    let (waits, most) = (day.since(leaves), part.field.edge_days);
    if waits > most {
        let what = format!(
            "{said} leaves on {leaves} and waits {waits} days at the field's edge, {most} are allowed"
        );
        bad("A101", waits - most, what);
    }
}

fn check_planting(scenario: &Scenario, part: &PartSeen, found: &mut Found) {
    let (day, said, field) = (part.delivery.day, say_part(part.delivery), part.field);
    let mut bad = |code, what| found.add(code, of_part(part.delivery), Some(day), 0, what);
    if !scenario.horizon.contains(day) {
        bad(
            "A048",
            format!("{said} is planted on {day}, outside {}", scenario.horizon),
        );
    } else if !scenario.calendars.planting.works(day) {
        bad(
            "A047",
            format!(
                "{said} is planted on {} {day}, no day of planting",
                day.weekday()
            ),
        );
    }
    if !in_window(field, day) {
        let windows: Vec<String> = field.window.iter().map(ToString::to_string).collect();
        bad(
            "A045",
            format!(
                "{said} is planted on {day}, outside its window {}",
                windows.join(", ")
            ),
        );
    }
    if field.closed.iter().any(|closed| closed.contains(day)) {
        bad(
            "A046",
            format!("{said} is planted on {day}, on which the field is closed"),
        );
    }
    if part.in_beds() && day < part.delivery.harden {
        let what = format!(
            "{said} is planted on {day}, before hardening begins on {}",
            part.delivery.harden
        );
        bad("A049", what);
    }
}

/// True when the day lies in the field's window, or the field has none.
fn in_window(field: &Field, day: Day) -> bool {
    field.window.is_empty() || field.window.iter().any(|window| window.contains(day))
}

/// The field's block with the first and the last planting day that its water leaves; none without a block.
fn block_days<'a>(scenario: &'a Scenario, field: &Field) -> Option<(&'a Block, Day, Day)> {
    let id = field.block.as_ref()?;
    let block = scenario.blocks.iter().find(|block| block.id == *id)?;
    let first = block.water.plus(block.first_days);
    Some((block, first, block.water.plus(block.last_days)))
}

/// The day of the harvest before, and the first and the last planting day that follow from it; none where no crop is named.
fn harvest_days(field: &Field) -> Option<(Day, Day, Option<Day>)> {
    let harvest = field.harvest_before?;
    let last = field.harvest_last_days.map(|days| harvest.plus(days));
    Some((harvest, harvest.plus(field.harvest_first_days), last))
}

/// True when the field can be planted on that day: it is ready and open, and window, block and harvest before allow the day.
pub(super) fn field_takes(scenario: &Scenario, field: &Field, day: Day) -> bool {
    let water = block_days(scenario, field);
    let harvest = harvest_days(field);
    field.ready
        && in_window(field, day)
        && !field.closed.iter().any(|closed| closed.contains(day))
        && water.is_none_or(|(_, first, last)| first <= day && day <= last)
        && harvest
            .is_none_or(|(_, first, last)| first <= day && last.is_none_or(|last| day <= last))
}

/// Is the field ready; and do the water of its block and the crop before it allow the day?
fn check_field(scenario: &Scenario, part: &PartSeen, found: &mut Found) {
    let (day, said, field) = (part.delivery.day, say_part(part.delivery), part.field);
    let mut bad = |code, amount: i32, what| {
        found.add(code, of_part(part.delivery), Some(day), amount.into(), what);
    };
    if !field.ready {
        let what = format!("{said} is planted on {day}, but the field is not ready");
        bad("A042", 0, what);
    }
    if let Some((block, first, last)) = block_days(scenario, field)
        && !(first <= day && day <= last)
    {
        let what = format!(
            "{said} is planted on {day}; water comes to block `{}` on {}, so it may be from {first} to {last}",
            block.id, block.water
        );
        let off = if day < first {
            first.since(day)
        } else {
            day.since(last)
        };
        bad("A043", off, what);
    }
    let Some((harvest, first, last)) = harvest_days(field) else {
        return;
    };
    if day < first {
        let what = format!(
            "{said} is planted on {day}; the crop before is off on {harvest}, so it may be from {first} on"
        );
        bad("A044", first.since(day), what);
    }
    if let Some(last) = last.filter(|last| day > *last) {
        let what = format!(
            "{said} is planted on {day}; the crop before is off on {harvest}, so it may be until {last}"
        );
        bad("A044", day.since(last), what);
    }
}
