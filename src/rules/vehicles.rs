//! Vehicles carry no more trays in a day than their trips allow.

use super::{Posting, Resource, Rule, RuleMeta, Taking, Unit, What, on_days};
use crate::nursery::Nursery;
use crate::scenario::trays;

/// What it holds: on each day, trays delivered by us ≤ sum over vehicles of trips × trays a trip, by places and by weight.
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
        let calendar = &scenario.calendars.planting;
        vec![Resource {
            rule: 0,
            label: "vehicles".into(),
            unit: Unit::Trays,
            supply: on_days(nursery, |day| if calendar.works(day) { a_day } else { 0 }),
            per_tray: 1,
        }]
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let What::Option(option) = what else { return };
        let lot = nursery.lot(option.lot);
        if !nursery.scenario.vehicles.is_empty() && !nursery.scenario.fields[lot.field].collected {
            out.extend(Posting::on(
                nursery,
                at,
                option.plant,
                Taking::Take,
                lot.trays,
            ));
        }
    }
}
