//! Room on vehicles: trays that leave on a day, or the share of the fleet's day that they take where round trips differ.

use super::book::{Book, PartSeen};
use super::whole::{Daily, fit, up};
use super::{Found, Ledger, Subject};
use crate::scenario::{Scenario, Vehicle};
use crate::units::Fixed;

/// The fleet's day, in millionths.
const DAY: i128 = 1_000_000;

/// Trays that a vehicle carries at once.
fn carried(scenario: &Scenario, vehicle: &Vehicle) -> i128 {
    // Tenths of kg a trip ÷ hundredths of kg a tray; what weighs nothing takes only its place.
    let by_weight = match scenario.trays.loaded_kg.0 {
        0 => vehicle.trays_per_trip,
        tray => vehicle.kg_per_trip.0 * 10 / tray,
    };
    vehicle.trays_per_trip.min(by_weight).into()
}

/// Trays that all vehicles together bring to fields in a day, by their trips a day.
fn brought_in_a_day(scenario: &Scenario) -> i128 {
    let vehicles = scenario.vehicles.iter();
    let each =
        vehicles.map(|vehicle| i128::from(vehicle.trips_per_day) * carried(scenario, vehicle));
    each.sum()
}

/// The same for fields of a round trip of so many hundredths of a minute: as many trips as fit into each vehicle's hours.
fn brought_by(scenario: &Scenario, round_trip: i64) -> i128 {
    let vehicles = scenario.vehicles.iter();
    let each = vehicles.map(|vehicle| {
        // Hundredths of an hour × 60 are hundredths of a minute.
        let trips = i128::from(vehicle.hours_per_day.0) * 60 / i128::from(round_trip.max(1));
        trips * carried(scenario, vehicle)
    });
    each.sum()
}

/// Share of the fleet's day that a delivery takes, in millionths, rounded up; twice the day when no vehicle gets there.
fn share(scenario: &Scenario, part: &PartSeen) -> i128 {
    let mut groups = scenario.travel_groups.iter();
    let group = groups.find(|group| part.field.travel_group.as_ref() == Some(&group.id));
    let brought = match group {
        Some(group) => brought_by(scenario, group.round_trip_minutes.0),
        None => brought_in_a_day(scenario),
    };
    if brought == 0 {
        return 2 * DAY;
    }
    up(part.trays * DAY, brought)
}

/// Checks what leaves each day against the vehicles; a nursery without vehicles is not limited by them.
pub(super) fn check(book: &Book, found: &mut Found) {
    let scenario = book.scenario;
    if scenario.vehicles.is_empty() {
        return;
    }
    let mut fields = scenario.fields.iter();
    let by_share = fields.any(|field| field.travel_group.is_some());
    let mut sent = Daily::new(scenario.horizon);
    let mut taken = sent.clone();
    let parts = book.parts.iter().filter(|part| part.has_trays());
    for part in parts.filter(|part| !part.field.collected) {
        sent.add(part.leaves, part.trays);
        taken.add(part.leaves, share(scenario, part));
    }
    let (used, there, ledger) = if by_share {
        (&taken, DAY, Ledger::FleetDay)
    } else {
        (&sent, brought_in_a_day(scenario), Ledger::Vehicles)
    };
    for (day, amount) in used.days().filter(|(_, amount)| *amount > there) {
        // A day without planting is named once, with its part.
        if !scenario.calendars.planting.works(day) {
            continue;
        }
        let trays = sent.on(day);
        let what = if by_share {
            // Millionths are ten-thousandths of a percent.
            let percent = Fixed::<4>(fit(amount));
            format!(
                "vehicles: {trays} trays leave on {day}, which takes {percent} % of the fleet's day"
            )
        } else {
            format!("vehicles: {trays} trays leave on {day}, all vehicles bring {there}")
        };
        found.add("A094", Subject::Vehicles, Some(day), amount - there, what);
    }
    let days = used.days().map(|(day, amount)| (day, amount, there));
    found.fullest(ledger, "vehicles", days);
}
