//! What is there anew each day: hours of planting machines and water; vehicles have a file of their own.

use super::book::Book;
use super::whole::{Daily, fit, hours_ms, minutes_ms, say_hours, say_over, up};
use super::{Found, Ledger, Subject, line, people, vehicles};
use crate::calendar::Day;
use crate::scenario::{HandOver, Planter, Scenario, Whose};
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

/// How long the first trays of a day are on their way at most after the machine has set out, ms.
fn way_ms(scenario: &Scenario, planter: &Planter) -> i128 {
    let fields = scenario.fields.iter().filter(|field| {
        field.planter.as_ref() == Some(&planter.id)
            && field.stage == HandOver::Seedlings
            && !field.collected
    });
    let longest = fields
        .filter_map(|field| {
            let mut groups = scenario.travel_groups.iter();
            groups.find(|group| field.travel_group.as_ref() == Some(&group.id))
        })
        .map(|group| minutes_ms(group.round_trip_minutes).div_euclid(2))
        .max();
    (longest.unwrap_or(0) - minutes_ms(planter.move_minutes)).max(0)
}

/// Hours of a machine on a day of planting, ms: its own, and of one of the nursery's no more than its crew can be there.
fn machine_ms(scenario: &Scenario, planter: &Planter, day: Day) -> i128 {
    let own = hours_ms(planter.hours_per_day);
    let Some(work) = (scenario.work.plant.as_ref()).filter(|_| planter.whose == Whose::Nursery)
    else {
        return own;
    };
    let Some(crew) = scenario.crews.iter().find(|crew| crew.id == work.crew) else {
        return own;
    };
    let shift = people::shift_of_one(crew, day);
    let present = if scenario.calendars.get(crew.calendar).works(day) {
        shift + hours_ms(crew.overtime_hours)
    } else if crew.rest_day_people > 0 {
        shift
    } else {
        0
    };
    own.min((present - way_ms(scenario, planter)).max(0))
}

fn check_planters(book: &Book, found: &mut Found) {
    for planter in &book.scenario.planters {
        let there = |day| machine_ms(book.scenario, planter, day);
        let mut worked = Daily::new(book.scenario.horizon);
        let mut moved = worked.clone();
        for part in book.parts.iter().filter(|part| part.in_beds()) {
            if part.field.planter.as_ref() == Some(&planter.id) {
                let (day, move_ms) = (part.delivery.day, minutes_ms(planter.move_minutes));
                worked.add(day, planting_ms(planter, part.area_m2) + move_ms);
                moved.add(day, move_ms);
            }
        }
        for (day, used) in worked.days().filter(|(day, used)| *used > there(*day)) {
            // A day without planting is named once, with its part.
            if !book.scenario.calendars.planting.works(day) {
                continue;
            }
            let there = there(day);
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
        let days = worked.days().map(|(day, used)| (day, used, there(day)));
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
