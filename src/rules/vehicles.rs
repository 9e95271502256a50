//! Vehicles carry no more trays in a day than their trips allow.

use super::{Posting, Resource, Rule, RuleMeta, Taking, Unit, What, on_days};
use crate::nursery::Nursery;
use crate::scenario::{Field, Scenario, Vehicle, trays};
use crate::units::{Span, div_up};

/// What it holds: on each day, trays delivered by us ≤ sum over vehicles of trips × trays a trip, by places and by weight; where
/// fields belong to travel groups, shares of the fleet's day ≤ 1, since round trips differ.
///
/// Why: racks and axles. Source of the weight of a loaded tray, 7.5 kg: a farm's page on tray weights, undated (weak).
pub(super) struct Vehicles;

static META: RuleMeta = RuleMeta {
    name: "vehicles",
    promise: "vehicles carry no more trays in a day than their trips allow",
};

impl Rule for Vehicles {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let scenario = &nursery.scenario;
        if scenario.vehicles.is_empty() {
            return Vec::new();
        }
        let loaded = scenario.trays.loaded_kg;
        let vehicles = scenario.vehicles.iter();
        let a_day: i64 = vehicles
            .map(|vehicle| vehicle.trips_per_day * trays::of_trip(vehicle, loaded))
            .sum();
        let (unit, there, per_tray) = if by_groups(scenario) {
            (Unit::FleetMillionths, FLEET, FLEET / a_day.max(1))
        } else {
            (Unit::Trays, a_day, 1)
        };
        let calendar = &scenario.calendars.planting;
        vec![Resource {
            rule: 0,
            label: "vehicles".into(),
            unit,
            supply: on_days(nursery, |day| if calendar.works(day) { there } else { 0 }),
            per_tray: per_tray.max(1),
        }]
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let What::Option(option) = what else { return };
        let lot = nursery.lot(option.lot);
        // Seed that is handed over goes in a bag.
        if option.route.germination.is_none() {
            return;
        }
        if !nursery.scenario.vehicles.is_empty() && !nursery.scenario.fields[lot.field].collected {
            let field = &nursery.scenario.fields[lot.field];
            let amount = if by_groups(&nursery.scenario) {
                share_of_fleet(&nursery.scenario, field, lot.leaving)
            } else {
                lot.leaving
            };
            out.extend(Posting::on(nursery, at, option.leave, Taking::Take, amount));
        }
    }
}

/// A day of all vehicles together.
const FLEET: i64 = 1_000_000;

/// True when round trips take different times.
fn by_groups(scenario: &Scenario) -> bool {
    scenario
        .fields
        .iter()
        .any(|field| field.travel_group.is_some())
}

/// What bringing `trays` to a field takes of the fleet's day, rounded up; twice the day where no vehicle could bring one.
fn share_of_fleet(scenario: &Scenario, field: &Field, trays: i64) -> i64 {
    let loaded = scenario.trays.loaded_kg;
    let group = field
        .travel_group
        .as_ref()
        .and_then(|id| scenario.travel_groups.iter().find(|group| group.id == *id));
    let trips = |vehicle: &Vehicle| match group {
        Some(group) => {
            let there_and_back = Span::minutes(group.round_trip_minutes).0.max(1);
            Span::hours(vehicle.hours_per_day).0 / there_and_back
        }
        None => vehicle.trips_per_day,
    };
    let a_day: i64 = scenario
        .vehicles
        .iter()
        .map(|vehicle| trips(vehicle) * trays::of_trip(vehicle, loaded))
        .sum();
    if a_day > 0 {
        div_up(trays * FLEET, a_day)
    } else {
        2 * FLEET
    }
}
