//! Bounds of what is in store, of what carries, and of the field's edge.

use super::{Gate, MOST, MOST_COUNTED, MOST_TRAYS};
use crate::scenario::Scenario;

impl Gate {
    pub(super) fn stores(&mut self, scenario: &Scenario) {
        for store in &scenario.seed_stores {
            let what = format!("seed store of `{}`, kg_dry in g", store.kind);
            let deliveries = store.deliveries.iter().map(|delivery| delivery.kg_dry);
            for seed in deliveries.chain([store.kg_dry]) {
                self.within(&what, seed.0, 0, MOST);
            }
        }
        for store in &scenario.soil_stores {
            let what = format!("soil store `{}`, litres in hundredths", store.id);
            let deliveries = store.deliveries.iter().map(|delivery| delivery.litres);
            for litres in deliveries.chain([store.litres]) {
                self.within(&what, litres.0, 0, MOST);
            }
        }
        for store in &scenario.agents {
            let what = format!("agent `{}`, ml", store.id);
            let deliveries = store.deliveries.iter().map(|delivery| delivery.ml);
            for ml in deliveries.chain([store.ml]) {
                self.within(&what, ml.0, 0, MOST);
            }
        }
        if let Some(water) = &scenario.water {
            let (most, care) = (water.litres_per_day.0, water.care_l_per_tray.0);
            self.within("water.litres_per_day in hundredths", most, 0, MOST);
            self.within("water.care_l_per_tray in hundredths", care, 0, MOST_TRAYS);
        }
        if let Some(tank) = &scenario.tank {
            self.within("tank.kg_dry in g", tank.kg_dry.0, 0, MOST);
        }
    }

    pub(super) fn vehicles(&mut self, scenario: &Scenario) {
        let loaded = scenario.trays.loaded_kg.0;
        self.within("trays.loaded_kg in hundredths", loaded, 0, MOST);
        for vehicle in &scenario.vehicles {
            let at = |key: &str| format!("vehicle `{}`, {key}", vehicle.id);
            self.within(&at("trips_per_day"), vehicle.trips_per_day, 0, MOST_COUNTED);
            self.within(&at("trays_per_trip"), vehicle.trays_per_trip, 0, MOST_TRAYS);
            self.within(&at("kg_per_trip in tenths"), vehicle.kg_per_trip.0, 0, MOST);
            let hours = vehicle.hours_per_day.0;
            self.within(&at("hours_per_day in hundredths"), hours, 0, 2_400);
        }
        for group in &scenario.travel_groups {
            let what = format!("travel group `{}`, round trip in hundredths", group.id);
            self.within(&what, group.round_trip_minutes.0, 1, MOST);
        }
    }

    /// Warmth where trays wait to be planted.
    pub(super) fn edge(&mut self, scenario: &Scenario) {
        self.warmth("edge", &scenario.edge);
    }
}
