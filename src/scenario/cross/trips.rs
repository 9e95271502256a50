//! Travel groups and the vehicles that drive them; agents for treating seed.

use super::no_capacity;
use super::stores::deliveries;
use crate::problems::Severity::{Error, Warning};
use crate::scenario::codes;
use crate::scenario::gather::{Gather, nearest};
use crate::scenario::spare::is_firm;
use crate::scenario::types::{Field, Scenario};

/// Groups that some field is in, and trips that fit into a day.
pub fn groups(gather: &mut Gather, scenario: &Scenario) {
    let mut used = false;
    for (index, group) in scenario.travel_groups.iter().enumerate() {
        let in_it = |field: &Field| field.travel_group.as_ref() == Some(&group.id);
        if !scenario.fields.iter().any(in_it) {
            let message = format!("no field is in the travel group `{}`", group.id);
            gather
                .flag(
                    Warning,
                    codes::WITHOUT_EFFECT,
                    &[&format!("travel_groups[{index}].id"), "fields"],
                    message,
                )
                .help("write it as `travel_group` of its fields, or take it out");
            continue;
        }
        used |= scenario
            .fields
            .iter()
            .any(|field| is_firm(field) && in_it(field));
        trip(gather, scenario, index);
    }
    if !used {
        return;
    }
    for (index, vehicle) in scenario.vehicles.iter().enumerate() {
        if vehicle.hours_per_day.0 == 0 {
            let path = format!("vehicles[{index}].hours_per_day");
            let message = format!(
                "the vehicle `{}` makes no trip for a travel group: `hours_per_day` is 0",
                vehicle.id
            );
            no_capacity(gather, &path, message);
        }
    }
}

/// One round trip against the longest day of a vehicle.
fn trip(gather: &mut Gather, scenario: &Scenario, index: usize) {
    let group = &scenario.travel_groups[index];
    // Hundredths of an hour and of a minute.
    let hours = scenario
        .vehicles
        .iter()
        .map(|vehicle| vehicle.hours_per_day);
    let Some(longest) = hours.max().filter(|hours| hours.0 > 0) else {
        return;
    };
    if group.round_trip_minutes.0 <= longest.0 * 60 {
        return;
    }
    let path = format!("travel_groups[{index}].round_trip_minutes");
    let message = format!(
        "a round trip of {} min to `{}`, and no vehicle is on the road longer than {longest} h a day",
        group.round_trip_minutes, group.id
    );
    gather
        .flag(Warning, codes::TRIP, &[&path, "vehicles"], message)
        .help("no vehicle brings trays there: correct the minutes, or the `hours_per_day` of a vehicle");
}

/// Agents that kinds name, and stores that some kind draws on.
pub fn agents(gather: &mut Gather, scenario: &Scenario) {
    let ids = || scenario.agents.iter().map(|agent| agent.id.as_str());
    for (index, kind) in scenario.kinds.iter().enumerate() {
        let Some(treatment) = &kind.treatment else {
            continue;
        };
        let agent = treatment.agent.as_str();
        if scenario.agents.is_empty() || ids().any(|id| id == agent) {
            continue;
        }
        let path = format!("kinds[{index}].treatment.agent");
        let paths = [path.as_str(), "agents"];
        match nearest(agent, ids()) {
            Some(near) => {
                let message = format!("there is no agent `{agent}`");
                gather
                    .flag(Error, codes::UNKNOWN_ID, &paths, message)
                    .help(format!("write `{near}`"));
                gather.mark_bad(&path);
            }
            None => {
                let message = format!(
                    "the agent `{agent}` is not in `agents`: what is used of it is not counted"
                );
                gather
                    .flag(Warning, codes::WITHOUT_EFFECT, &paths, message)
                    .help("add what is in store of it, if it can run out");
            }
        }
    }
    for (index, agent) in scenario.agents.iter().enumerate() {
        let path = format!("agents[{index}]");
        let days = agent.deliveries.iter().map(|delivery| delivery.day);
        deliveries(gather, scenario, &path, days);
        let mut treatments = scenario
            .kinds
            .iter()
            .filter_map(|kind| kind.treatment.as_ref());
        if !treatments.any(|treatment| treatment.agent == agent.id) {
            let message = format!("no kind is treated with `{}`", agent.id);
            gather
                .flag(
                    Warning,
                    codes::WITHOUT_EFFECT,
                    &[&format!("{path}.id"), "kinds"],
                    message,
                )
                .help("write it as `agent` in the `treatment` of its kinds, or take it out");
        }
    }
}
