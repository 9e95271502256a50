//! What is there anew each day: hours of planting machines and water; vehicles have a file of their own.

use super::book::Book;
use super::whole::{Daily, fit, hours_ms, minutes_ms, say_hours, say_over, up};
use super::{Found, Ledger, Subject, line, vehicles};
use crate::scenario::Planter;
use crate::units::Litres;

/// Checks planting machines, vehicles and water.
pub(super) fn check(book: &Book, found: &mut Found) {
    check_planters(book, found);
    vehicles::check(book, found);
    check_water(book, found);
}

/// Time of a machine for one part of a field, its move not counted, ms, rounded down.
fn planting_ms(planter: &Planter, area_m2: i128) -> i128 {
    let day = hours_ms(planter.hours_per_day);
    let per_day = i128::from(planter.ha_per_day.0);
    if area_m2 > 0 && (per_day == 0 || day == 0) {
        // A machine that plants nothing in its day is past its end with the first square metre.
        return day + 1;
    }
    area_m2 * day / per_day.max(1)
}

fn check_planters(book: &Book, found: &mut Found) {
    for planter in &book.scenario.planters {
        let there = hours_ms(planter.hours_per_day);
        let mut worked = Daily::new(book.scenario.horizon);
        let mut moved = worked.clone();
        for part in book.parts.iter().filter(|part| part.in_beds()) {
            if part.field.planter.as_ref() == Some(&planter.id) {
                let (day, move_ms) = (part.delivery.day, minutes_ms(planter.move_minutes));
                worked.add(day, planting_ms(planter, part.area_m2) + move_ms);
                moved.add(day, move_ms);
            }
        }
        for (day, used) in worked.days().filter(|(_, used)| *used > there) {
            // A day without planting is named once, with its part.
            if !book.scenario.calendars.planting.works(day) {
                continue;
            }
            let what = format!(
                "planting: `{}` needs {} on {day}, {} of it for moves; {} fit{}",
                planter.id,
                say_hours(used),
                say_hours(moved.on(day)),
                say_hours(there),
                say_over(used, there)
            );
            let subject = Subject::Planter {
                id: planter.id.clone(),
            };
            found.add("A075", subject, Some(day), used - there, what);
        }
        let days = worked.days().map(|(day, used)| (day, used, there));
        found.fullest(Ledger::PlantingMachine, &planter.id, days);
    }
}

fn check_water(book: &Book, found: &mut Found) {
    let Some(water) = &book.scenario.water else {
        return;
    };
    // All in hundredths of a litre.
    let (there, care) = (
        i128::from(water.litres_per_day.0),
        i128::from(water.care_l_per_tray.0),
    );
    let mut on_line = Daily::new(book.scenario.horizon);
    for run in book.runs.iter().filter(|run| run.line.is_some()) {
        let trays = line::trays_at_most(book, run);
        let litres = trays * i128::from(run.kind.water_l_per_tray.0);
        on_line.add(run.run.sow, litres);
    }
    let mut used = on_line.clone();
    for part in book.parts.iter().filter(|part| part.in_beds()) {
        // Hundredths of a litre × hundredths of the usual care, rounded up by part.
        let litres = up(part.sown * care * i128::from(part.kind.care_times.0), 100);
        used.add_span(part.delivery.open, part.leaves, litres);
    }
    let litres = |hundredths: i128| Litres { 0: fit(hundredths) };
    for (day, all) in used.days().filter(|(_, all)| *all > there) {
        let what = format!(
            "water: {} L are needed on {day}, {} L of it on the line; there are {} L",
            litres(all),
            litres(on_line.on(day)),
            litres(there)
        );
        found.add("A092", Subject::Water, Some(day), (all - there) * 10, what);
    }
    let days = used.days().map(|(day, all)| (day, all, there));
    found.fullest(Ledger::Water, "water", days);
}
