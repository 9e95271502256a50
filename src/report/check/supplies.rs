//! What `check` says of blocks, growers, stores and vehicles.

use super::super::text::count;
use super::warmth;
use crate::scenario::{Scenario, Sharing, trays};
use crate::units::Fixed;

/// Blocks, growers, stores, tank, water, vehicles, their trips and the edge of fields, one line each.
pub(super) fn rows(scenario: &Scenario) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    for block in &scenario.blocks {
        let (first, last) = (block.first_days, block.last_days);
        let days = format!(
            "planted {} to {}",
            block.water.plus(first),
            block.water.plus(last)
        );
        let text = format!("{}: water on {}, {days}", block.id, block.water);
        rows.push(("Block", text));
    }
    let members = scenario.growers.iter().filter(|grower| grower.member);
    let members = count(members.count(), "member", "members");
    match scenario.sharing {
        Sharing::FewestTrays => {}
        Sharing::OrderDate => rows.push(("If short", "who ordered first is served first".into())),
        Sharing::MembersFirst => {
            rows.push(("If short", format!("members are served first; {members}")));
        }
        Sharing::InProportion => {
            let how = "every grower gives up about the same share";
            rows.push(("If short", how.into()));
        }
    }
    for grower in &scenario.growers {
        if let Some(last) = grower.returns.last() {
            let days = count(last.days as usize, "day", "days");
            let text = format!("{}: {} of the trays by {days}", grower.id, last.share);
            rows.push(("Returns", text));
        }
    }
    for store in &scenario.seed_stores {
        let more: i64 = store.deliveries.iter().map(|one| one.kg_dry.0).sum();
        let more = Fixed::<3>(more);
        let text = format!(
            "{}: {} kg dry in store, {more} kg to come",
            store.kind, store.kg_dry
        );
        rows.push(("Seed", text));
    }
    for store in &scenario.soil_stores {
        let more: i64 = store.deliveries.iter().map(|one| one.litres.0).sum();
        let more = Fixed::<2>(more);
        let text = format!(
            "{}: {} L in store, {more} L to come",
            store.name, store.litres
        );
        rows.push(("Soil", text));
    }
    if let Some(tank) = scenario.tank {
        rows.push(("Tank", format!("{} kg of dry seed at once", tank.kg_dry)));
    }
    if let Some(water) = scenario.water {
        rows.push(("Water", format!("{} L a day", water.litres_per_day)));
    }
    for agent in &scenario.agents {
        let more: i64 = agent.deliveries.iter().map(|one| one.ml.0).sum();
        let text = format!(
            "{}: {} mL in store, {more} mL to come",
            agent.name, agent.ml
        );
        rows.push(("Agent", text));
    }
    for vehicle in &scenario.vehicles {
        let trips = count(vehicle.trips_per_day as usize, "trip", "trips");
        let trays = trays::of_trip(vehicle, scenario.trays.loaded_kg);
        let text = format!("{}: {trips} a day of {trays} trays", vehicle.name);
        rows.push(("Vehicle", text));
    }
    for group in &scenario.travel_groups {
        let minutes = group.round_trip_minutes;
        rows.push((
            "Trip",
            format!("{}: {minutes} min there and back", group.name),
        ));
    }
    if scenario.fields.iter().any(|field| field.edge_days > 0) {
        let text = format!("of fields, where trays wait: {}", warmth(scenario.edge));
        rows.push(("Edge", text));
    }
    rows
}
