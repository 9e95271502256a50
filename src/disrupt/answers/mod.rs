//! What else an answer says, by what happened: who has trays that are short, what a day off leaves for the days beside it, who can plant
//! sooner, where trays wait. Each reads the changed scenario and the plans; none changes them.

pub mod asked;
pub mod sooner;
pub mod thin;
pub mod tonight;
pub mod waits;
pub mod ways;

use super::Present;
use super::days_off::{DaysOff, days_off};
use super::event::Event;
use super::trays_away::{Empties, empties};
use super::what_if::WhatIf;
use asked::Asked;
use serde::Serialize;
use sooner::Sooner;
use thin::Thin;
use tonight::Tonight;
use waits::Waiting;

/// What is said beside the plans.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Answers {
    /// The tray stock, when an event is about it.
    pub trays: Option<Empties>,
    /// Days off.
    pub days_off: Vec<DaysOff>,
    /// What is ahead and gets too old, or nearly so.
    pub sooner: Vec<Sooner>,
    /// Runs that came up thin.
    pub thin: Vec<Thin>,
    /// Orders asked for.
    pub asked: Vec<Asked>,
    /// Frost and cuts of power.
    pub tonight: Vec<Tonight>,
    /// Trays that wait.
    pub waiting: Vec<Waiting>,
}

/// What is to be said of `events`, which made `present` out of `undisturbed`.
pub fn answers(
    undisturbed: &Present,
    present: &Present,
    events: &[Event],
    found: &WhatIf,
) -> Answers {
    let mended = &found.repaired.plan;
    let of_trays = |event: &Event| {
        matches!(
            event,
            Event::TraysLost { .. }
                | Event::TraysLate { .. }
                | Event::TraysBought { .. }
                | Event::Dirty { .. }
                | Event::Washed { .. }
        )
    };
    let ahead = |event: &Event| matches!(event, Event::Ahead { .. });
    let off = events.iter().filter_map(|event| match event {
        Event::DaysOff { days } => Some(*days),
        _ => None,
    });
    let thin = events.iter().filter_map(|event| match event {
        Event::Stand { run, .. } => thin::thin(undisturbed, present, run, mended),
        _ => None,
    });
    let asked = events.iter().filter_map(|event| match event {
        Event::Take { field, .. } => asked::asked(present, field, mended),
        _ => None,
    });
    let (usual, changed) = (&undisturbed.scenario, &present.scenario);
    let tonight = events
        .iter()
        .filter_map(|event| tonight::tonight(usual, changed, event, &found.before));
    Answers {
        tonight: tonight.collect(),
        thin: thin.collect(),
        asked: asked.collect(),
        trays: events.iter().any(of_trays).then(|| empties(present)),
        days_off: off
            .map(|days| days_off(days, &found.before, mended))
            .collect(),
        sooner: if events.iter().any(ahead) {
            sooner::sooner(undisturbed, present, mended)
        } else {
            Vec::new()
        },
        waiting: waits::waiting(present, &found.difference, &found.before, mended),
    }
}
