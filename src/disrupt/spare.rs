//! Spare trays that stand, and until when they can still be planted: what a field that lacks some can be given.

use super::Present;
use crate::calendar::Day;
use crate::nursery::{Route, timeline_of};
use crate::scenario::{Scenario, Sown};
use serde::Serialize;

/// Spare trays of one batch.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Spare {
    /// The spare that they stand for, as `give` names it.
    pub field: String,
    /// Part of it.
    pub part: u32,
    /// Run.
    pub run: Option<String>,
    /// Kind.
    pub kind: String,
    /// Trays that can leave.
    pub trays: i64,
    /// First and last day on which they are of the right age, from the present on; none when they never are.
    pub days: Option<(Day, Day)>,
}

/// All spare trays that stand, by kind, then last day.
pub fn spare(present: &Present) -> Vec<Spare> {
    let scenario = &present.scenario;
    let batches = scenario.opening.sown.iter();
    let mut all: Vec<Spare> = batches
        .filter_map(|sown| of_batch(scenario, sown))
        .collect();
    all.sort_by(|one, other| {
        (&one.kind, one.days.map(|days| days.1), &one.field).cmp(&(
            &other.kind,
            other.days.map(|days| days.1),
            &other.field,
        ))
    });
    all
}

fn of_batch(scenario: &Scenario, sown: &Sown) -> Option<Spare> {
    let mut fields = scenario.fields.iter();
    let field = fields.find(|field| field.id == sown.field && field.spare)?;
    let kind = scenario.kinds.iter().find(|kind| kind.id == field.kind)?;
    let mut places = scenario.germination.iter();
    let place = places.position(|place| place.id == sown.germination)?;
    let bed = |id: &str| scenario.beds.iter().position(|bed| bed.id == id);
    let route = Route::through(place, bed(&sown.green_bed)?, bed(&sown.harden_bed)?);
    let timeline = timeline_of(scenario, kind, (sown.sown, Some(sown)), route).ok();
    let right = |day: &Day| {
        timeline.as_ref().is_some_and(|timeline| {
            *day >= timeline.harden
                && scenario.calendars.planting.works(*day)
                && timeline.right_age(scenario, kind, *day, *day).is_ok()
        })
    };
    let days: Vec<Day> = scenario.horizon.iter().filter(right).collect();
    Some(Spare {
        field: sown.field.clone(),
        part: sown.part,
        run: sown.run.clone(),
        kind: kind.id.clone(),
        trays: sown.leaving.unwrap_or(sown.trays),
        days: days.first().copied().zip(days.last().copied()),
    })
}
