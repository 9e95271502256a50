//! Places: stacks in germination places, trays on the floor of beds, day by day.

use super::book::{Book, PartSeen, RunSeen, of_run};
use super::whole::{Daily, up};
use super::{Found, Ledger, Subject};
use crate::calendar::Day;
use crate::scenario::{Bed, Germination, Scenario};

/// Whole trays that the floor of a bed takes; in whole rows, where there are rows.
pub(super) fn floor(bed: &Bed) -> i128 {
    // Hundredths of m² × hundredths of trays a m².
    let trays = i128::from(bed.area_m2.0) * i128::from(bed.trays_per_m2.0) / 10_000;
    bed.row_trays
        .map_or(trays, |row| trays / i128::from(row) * i128::from(row))
}

/// Rows that `trays` of one part take; none in a bed without rows.
pub(super) fn rows_for(bed: &Bed, trays: i128) -> Option<i128> {
    Some(up(trays, bed.row_trays?.into()))
}

/// Trays whose floor `trays` of one part take: whole rows, where there are rows.
pub(super) fn floor_for(bed: &Bed, trays: i128) -> i128 {
    match (bed.row_trays, rows_for(bed, trays)) {
        (Some(row), Some(rows)) => rows * i128::from(row),
        _ => trays,
    }
}

/// Stacks that stand in a place, each day.
pub(super) fn stacks_in(book: &Book, place: &Germination) -> Daily {
    let mut standing = Daily::new(book.scenario.horizon);
    for run in &book.runs {
        for stack in book
            .stacks(run)
            .iter()
            .filter(|stack| stack.germination.id == place.id)
        {
            standing.add_span(run.run.sow, stack.open, stack.stacks);
        }
    }
    standing
}

/// Where trays stand after the stack, from which day on and until which, not included: one bed, or two.
pub(super) fn stays<'a>(
    (green, harden): (&'a Bed, &'a Bed),
    [open, cover, leaves]: [Day; 3],
) -> Vec<(&'a Bed, Day, Day)> {
    if green.id == harden.id {
        return vec![(green, open, leaves)];
    }
    vec![(green, open, cover), (harden, cover, leaves)]
}

/// The stays of a delivery; none of what leaves before it comes into a bed.
pub(super) fn stays_of<'a>(part: &PartSeen<'a>) -> Vec<(&'a Bed, Day, Day)> {
    let days = [part.delivery.open, part.delivery.harden, part.leaves];
    part.beds.map_or(Vec::new(), |beds| stays(beds, days))
}

/// Trays that stand in a bed, each day, in whole rows where there are rows; and trays that have left it, whose floor is still being cleared.
fn trays_in(book: &Book, bed: &Bed) -> (Daily, Daily) {
    let mut standing = Daily::new(book.scenario.horizon);
    let mut clearing = standing.clone();
    for part in &book.parts {
        for (stood, from, until) in stays_of(part) {
            if stood.id == bed.id {
                let trays = floor_for(bed, part.sown);
                standing.add_span(from, until, trays);
                clearing.add_span(until, until.plus(bed.turn_round_days), trays);
            }
        }
    }
    (standing, clearing)
}

/// Checks stacks as stated, stack places and bed floor.
pub(super) fn check(book: &Book, found: &mut Found) {
    for run in &book.runs {
        check_stacks(book.scenario, book, run, found);
    }
    for place in &book.scenario.germination {
        let (standing, there) = (stacks_in(book, place), place.stack_places.into());
        for (day, stacks) in standing.days().filter(|(_, stacks)| *stacks > there) {
            let what = format!(
                "places: `{}` holds {stacks} stacks on {day}, {there} fit",
                place.id
            );
            let subject = Subject::Germination {
                id: place.id.clone(),
            };
            found.add("A063", subject, Some(day), stacks - there, what);
        }
        let days = standing.days().map(|(day, stacks)| (day, stacks, there));
        found.fullest(Ledger::StackPlaces, &place.id, days);
    }
    for bed in &book.scenario.beds {
        let ((standing, clearing), all) = (trays_in(book, bed), floor(bed));
        let closed = |day: Day| bed.closed.iter().any(|span| span.contains(day));
        let there = |day: Day| if closed(day) { 0 } else { all };
        let rows = if bed.row_trays.is_some() {
            ", in whole rows"
        } else {
            ""
        };
        for (day, trays) in standing.days() {
            let over = trays - there(day);
            if over <= 0 {
                continue;
            }
            let holds = format!("floor: bed `{}` holds {trays} trays on {day}", bed.id);
            let (code, what) = if closed(day) {
                ("A116", format!("{holds}, on which it is closed"))
            } else {
                ("A064", format!("{holds}, {all} fit{rows}"))
            };
            let subject = Subject::Bed { id: bed.id.clone() };
            found.add(code, subject, Some(day), over, what);
        }
        for (day, left) in clearing.days() {
            // What the standing trays alone lack is named above.
            let free = (there(day) - standing.on(day)).max(0);
            if left > free {
                let fit = if closed(day) {
                    "it is closed".to_string()
                } else {
                    format!("{all} fit{rows}")
                };
                let what = format!(
                    "floor: bed `{}` holds {} trays on {day}, and the floor of {left} more is being cleared; {fit}",
                    bed.id,
                    standing.on(day)
                );
                let subject = Subject::Bed { id: bed.id.clone() };
                found.add("A077", subject, Some(day), left - free, what);
            }
        }
        let taken = standing
            .days()
            .map(|(day, trays)| (day, trays + clearing.on(day)));
        let days = taken.map(|(day, trays)| (day, trays, there(day)));
        found.fullest(Ledger::BedFloor, &bed.id, days);
    }
}

/// The stacks that the run states against those that its deliveries and trial trays need.
fn check_stacks(scenario: &Scenario, book: &Book, run: &RunSeen, found: &mut Found) {
    let mut bad = |amount: i128, what: String| {
        found.add("A008", of_run(run.run), Some(run.run.sow), amount, what);
    };
    let (id, needed) = (&run.run.id, book.stacks(run));
    for stated in &run.run.stacks {
        let place = &stated.germination;
        if !scenario.germination.iter().any(|known| known.id == *place) {
            bad(
                0,
                format!("run `{id}` has stacks in `{place}`, which the scenario does not have"),
            );
        } else if !needed.iter().any(|stack| stack.germination.id == *place) {
            bad(
                0,
                format!("run `{id}` has stacks in `{place}`, but no delivery comes from there"),
            );
        }
    }
    for stack in needed {
        let place = &stack.germination.id;
        let mut listed = run
            .run
            .stacks
            .iter()
            .filter(|stated| stated.germination == *place);
        let (Some(stated), None) = (listed.next(), listed.next()) else {
            bad(
                0,
                format!("run `{id}` lists its stacks in `{place}` not once"),
            );
            continue;
        };
        if i128::from(stated.trays) != stack.trays || i128::from(stated.stacks) != stack.stacks {
            let what = format!(
                "run `{id}` states {} trays in {} stacks in `{place}`; it is {} trays in {} stacks of {}",
                stated.trays, stated.stacks, stack.trays, stack.stacks, stack.germination.height
            );
            bad(i128::from(stated.stacks) - stack.stacks, what);
        }
        let parts = run.parts.iter().map(|part| &book.parts[*part]);
        let mut here =
            parts.filter(|part| part.germination.is_some_and(|other| other.id == *place));
        if let Some(part) = here.find(|part| part.delivery.open != stated.open) {
            let what = format!(
                "run `{id}` opens its stacks in `{place}` on {}, trays for field `{}` leave them on {}",
                stated.open, part.field.id, part.delivery.open
            );
            bad(0, what);
        }
    }
}
