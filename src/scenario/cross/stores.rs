//! Return curves, stores and their deliveries, the soaking tank, water and vehicles.

use super::no_capacity;
use crate::calendar::Day;
use crate::problems::Severity::{Error, Warning};
use crate::scenario::gather::{Gather, nearest};
use crate::scenario::types::Scenario;
use crate::scenario::{codes, trays};
use std::collections::BTreeSet;

/// Growers: curves that rise, and names that stand in some field.
pub fn growers(gather: &mut Gather, scenario: &Scenario) {
    let any_member = scenario.growers.iter().any(|grower| grower.member);
    for (index, grower) in scenario.growers.iter().enumerate() {
        let path = format!("growers[{index}]");
        for (at, pair) in grower.returns.windows(2).enumerate() {
            let (before, after) = (pair[0], pair[1]);
            if before.days < after.days && before.share < after.share {
                continue;
            }
            let message = format!(
                "{} of the trays by {} days, then {} by {}",
                before.share, before.days, after.share, after.days
            );
            let points = [at + 1, at].map(|at| format!("{path}.returns[{at}]"));
            gather
                .flag(
                    Error,
                    codes::CURVE,
                    &points.each_ref().map(String::as_str),
                    message,
                )
                .expected("more days and a larger share at each point");
        }
        // In a list with members, an entry without more says that this one is none.
        let said =
            any_member || !grower.returns.is_empty() || gather.written(&format!("{path}.member"));
        if !said {
            let message = format!("nothing is said of the grower `{}`", grower.id);
            gather
                .flag(Warning, codes::WITHOUT_EFFECT, &[&path], message)
                .help("write `returns`, `member` or both, or take the entry out");
        }
        let names = || scenario.fields.iter().map(|field| field.grower.as_str());
        if names().any(|name| name == grower.id) {
            continue;
        }
        let message = format!("no field names the grower `{}`", grower.id);
        let paths = [&format!("{path}.id"), "fields"];
        let problem = gather.flag(Warning, codes::UNUSED_GROWER, &paths, message);
        match nearest(&grower.id, names()) {
            Some(near) => problem.help(format!("is `{near}` meant?")),
            None => problem.expected("a name that stands as `grower` of a field"),
        };
    }
}

/// Stores of seed, and bags against the soaking tank.
pub fn seed(gather: &mut Gather, scenario: &Scenario) {
    let mut seen = BTreeSet::new();
    for (index, store) in scenario.seed_stores.iter().enumerate() {
        let path = format!("seed_stores[{index}]");
        if !seen.insert(&store.kind) {
            let message = format!("there are two stores of seed of the kind `{}`", store.kind);
            let paths = [&format!("{path}.kind"), "kinds"];
            gather
                .flag(Error, codes::STORE_DOUBLE, &paths, message)
                .expected("one store for each kind");
        }
        let days = store.deliveries.iter().map(|delivery| delivery.day);
        deliveries(gather, scenario, &path, days);
    }
    let Some(tank) = scenario.tank else { return };
    for (index, kind) in scenario.kinds.iter().enumerate() {
        if let Some(bag) = kind.bag_kg.filter(|bag| *bag > tank.kg_dry) {
            let message = format!(
                "a bag of {bag} kg does not fit in a tank for {} kg",
                tank.kg_dry
            );
            let paths = [&format!("kinds[{index}].bag_kg"), "tank.kg_dry"];
            gather
                .flag(Error, codes::BAG, &paths, message)
                .expected("bags no heavier than what the tank takes")
                .help("leave `bag_kg` out if bags are opened and weighed");
        }
    }
}

/// Stores of soil.
pub fn soil(gather: &mut Gather, scenario: &Scenario) {
    for (index, store) in scenario.soil_stores.iter().enumerate() {
        let path = format!("soil_stores[{index}]");
        let days = store.deliveries.iter().map(|delivery| delivery.day);
        deliveries(gather, scenario, &path, days);
    }
}

/// Deliveries inside the horizon.
pub(super) fn deliveries(
    gather: &mut Gather,
    scenario: &Scenario,
    path: &str,
    days: impl Iterator<Item = Day>,
) {
    let horizon = scenario.horizon;
    for (at, day) in days.enumerate() {
        if horizon.contains(day) {
            continue;
        }
        let help = if day < horizon.first {
            "what came before the first day belongs to what is in store"
        } else {
            "it comes too late for what is planned here"
        };
        let path = format!("{path}.deliveries[{at}].day");
        let message = format!("a delivery on {day} lies outside the horizon {horizon}");
        gather
            .flag(
                Warning,
                codes::DELIVERY_OUTSIDE,
                &[&path, "horizon"],
                message,
            )
            .help(help);
    }
}

/// Water for a day.
pub fn water(gather: &mut Gather, scenario: &Scenario) {
    if scenario
        .water
        .is_some_and(|water| water.litres_per_day.0 == 0)
    {
        let message = "there is no water: `litres_per_day` is 0".to_owned();
        no_capacity(gather, "water.litres_per_day", message);
    }
}

/// Vehicles that carry something.
pub fn vehicles(gather: &mut Gather, scenario: &Scenario) {
    let loaded_kg = scenario.trays.loaded_kg;
    for (index, vehicle) in scenario.vehicles.iter().enumerate() {
        let path = |key: &str| format!("vehicles[{index}].{key}");
        let nothing =
            |key: &str| format!("the vehicle `{}` carries nothing: `{key}` is 0", vehicle.id);
        for (key, value) in [
            ("trips_per_day", vehicle.trips_per_day),
            ("trays_per_trip", vehicle.trays_per_trip),
        ] {
            if value == 0 {
                no_capacity(gather, &path(key), nothing(key));
            }
        }
        if vehicle.trays_per_trip > 0 && trays::of_trip(vehicle, loaded_kg) == 0 {
            let message = format!(
                "the vehicle `{}` carries nothing: a loaded tray is {loaded_kg} kg, its load {} kg",
                vehicle.id, vehicle.kg_per_trip
            );
            if !gather.is_bad("trays.loaded_kg") {
                no_capacity(gather, &path("kg_per_trip"), message);
            }
        }
    }
}
