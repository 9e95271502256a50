//! Where trays wait that are planted later than was planned, and until when they may.

use super::ways::grower;
use crate::calendar::Day;
use crate::disrupt::Present;
use crate::disrupt::difference::{Changed, Difference};
use crate::nursery::{Route, planting_days, timeline_of};
use crate::plan::view::{PartView, PlanView, RunView};
use crate::plan::{Delivery, Plan};
use crate::scenario::{Kind, Scenario};
use serde::Serialize;

/// Trays that wait.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Waiting {
    /// Whose; empty for the spare.
    pub grower: String,
    /// Field.
    pub field: String,
    /// Part.
    pub part: u32,
    /// Trays.
    pub trays: i64,
    /// Bed in which they stand on the last morning before they leave, by its local name.
    pub bed: String,
    /// Its rows, where it has rows.
    pub rows: Vec<u32>,
    /// The day that they had.
    pub from: Day,
    /// The day they get; none: no day is found for them.
    pub to: Option<Day>,
    /// The last day on which they are of the right age there; none: they are not on any day to come.
    pub right_until: Option<Day>,
    /// The last of those days on which their field can be planted.
    pub plant_until: Option<Day>,
}

/// All that waits, by the day it had.
pub(super) fn waiting(
    present: &Present,
    difference: &Difference,
    before: &Plan,
    now: &Plan,
) -> Vec<Waiting> {
    let scenario = &present.scenario;
    let (Ok(then), Ok(is)) = (PlanView::new(before), PlanView::new(now)) else {
        return Vec::new();
    };
    let mut all: Vec<Waiting> = Vec::new();
    for change in &difference.changes {
        let (from, to) = match change.what {
            Changed::Moved { from, to } if to > from => (from, Some(to)),
            Changed::Dropped { from } => (from, None),
            _ => continue,
        };
        let view = if to.is_some() { &is } else { &then };
        let found = view.runs.iter().find_map(|run| {
            let mut parts = run.parts.iter();
            let is_it = |part: &&PartView<'_>| {
                (&part.delivery.field, part.delivery.part) == (&change.field, change.part)
            };
            Some((run, parts.find(is_it)?))
        });
        // What is not sown yet waits nowhere.
        let Some((run, part)) = found.filter(|(run, _)| run.run.sow < from) else {
            continue;
        };
        let stands = run.run.line.is_none();
        let Some((bed, rows)) = part.bed_in_the_morning(part.delivery.leaves()) else {
            continue;
        };
        if to.is_none() && !stands {
            continue;
        }
        let right = right_days(scenario, run, part.delivery);
        let field = scenario.fields.iter().find(|one| one.id == change.field);
        let open = field.map_or(Vec::new(), |field| planting_days(scenario, field));
        let (grower, spare) = grower(scenario, &change.field);
        all.push(Waiting {
            grower: if spare { String::new() } else { grower },
            field: change.field.clone(),
            part: change.part,
            trays: part.delivery.trays,
            bed: bed.name.clone(),
            rows: rows.to_vec(),
            from,
            to,
            right_until: right.last().copied(),
            plant_until: right.into_iter().rfind(|day| open.contains(day)),
        });
    }
    all.sort_by(|one, other| {
        (one.from, &one.field, one.part).cmp(&(other.from, &other.field, other.part))
    });
    all
}

/// The days to come on which trays of a delivery are of the right age in their beds.
fn right_days(scenario: &Scenario, run: &RunView<'_>, one: &Delivery) -> Vec<Day> {
    days_of_right_age(scenario, run.kind, run.run.sow, one).unwrap_or_default()
}

/// The days to come on which trays of a delivery, sown on `sow`, are of the right age in their beds.
pub(super) fn days_of_right_age(
    scenario: &Scenario,
    kind: &Kind,
    sow: Day,
    one: &Delivery,
) -> Option<Vec<Day>> {
    let mut places = scenario.germination.iter();
    let place = places.position(|place| Some(&place.id) == one.germination.as_ref())?;
    let bed = |id: &Option<String>| {
        let mut beds = scenario.beds.iter();
        id.as_ref()
            .and_then(|id| beds.position(|bed| bed.id == *id))
    };
    let route = Route::through(place, bed(&one.green_bed)?, bed(&one.harden_bed)?);
    let mut sown = scenario.opening.sown.iter();
    let batch = sown.find(|sown| sown.field == one.field && sown.part == one.part);
    let timeline = timeline_of(scenario, kind, (sow, batch), route).ok()?;
    let right = |day: &Day| {
        *day >= timeline.harden && timeline.right_age(scenario, kind, *day, *day).is_ok()
    };
    Some(scenario.horizon.iter().filter(right).collect())
}
