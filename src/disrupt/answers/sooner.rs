//! Who can plant sooner when trays are ahead: what gets too old or nearly so, and the first day on which each of its fields can take it.

use super::waits::days_of_right_age;
use super::ways::{PlantingDay, decided_by, grower, planting_days_of, whatever_it_takes};
use crate::calendar::Day;
use crate::disrupt::Present;
use crate::disrupt::replan::decisions;
use crate::nursery::{Nursery, planting_days};
use crate::plan::Plan;
use crate::scenario::{HandOver, Scenario};
use crate::solve::state::{Ground, State};
use serde::Serialize;

/// A part that goes so many days before its last right day, or fewer, counts as nearly too old.
const NEAR: i32 = 1;

/// Most other fields named that could take trays.
const MOST_TAKERS: usize = 3;

/// A part that is ahead and gets too old, or nearly so, on its day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Sooner {
    /// Whose; empty for the spare.
    pub grower: String,
    /// Field.
    pub field: String,
    /// Part.
    pub part: u32,
    /// Trays.
    pub trays: i64,
    /// The day that was decided.
    pub decided: Day,
    /// The last day on which they are of the right age; none: they are too old already.
    pub right_until: Option<Day>,
    /// First day on which window, water, age and calendars let the field be planted; none: there is none.
    pub first: Option<Day>,
    /// First of those days that also goes beside the rest of the mended plan: beds, people, machines, vehicles.
    pub first_beside: Option<Day>,
    /// What is in the way on `first`, when that is another day.
    pub in_the_way: Vec<String>,
    /// The day that the mended plan gives; none: no day.
    pub mended: Option<Day>,
    /// Other fields of the kind that nothing stands for yet and that can be planted while these are of the right age, each with its first
    /// such day.
    pub takers: Vec<(String, Day)>,
}

/// Those that are ahead, the most urgent first.
pub(super) fn sooner(undisturbed: &Present, present: &Present, mended: &Plan) -> Vec<Sooner> {
    let scenario = &present.scenario;
    let nursery = Nursery::new(&whatever_it_takes(scenario));
    let ground = Ground::new(&nursery);
    let after = decided_by(present, mended);
    let mut state = State::of(&ground, &decisions(&nursery, &after));
    let mut all: Vec<Sooner> = Vec::new();
    for one in &present.decided {
        let (id, part) = (&one.delivery.field, one.delivery.part);
        let ahead = |present: &Present| {
            let mut sown = present.scenario.opening.sown.iter();
            sown.find(|sown| sown.field == *id && sown.part == part)
                .map(|sown| sown.ahead)
        };
        if ahead(present) <= ahead(undisturbed) {
            continue;
        }
        let Some(lot) = nursery.lot_of(id, part) else {
            continue;
        };
        let kind = &scenario.kinds[nursery.lot(lot).kind];
        let right = days_of_right_age(scenario, kind, one.sow, &one.delivery).unwrap_or_default();
        let until = right.last().copied();
        if until.is_some_and(|until| one.delivery.day.plus(NEAR) < until) {
            continue;
        }
        let days = planting_days_of(&mut state, lot);
        let first = days.first();
        let beside = days.iter().find(|day| day.fits).map(|day| day.day);
        let (grower, spare) = grower(scenario, id);
        let elsewhere = |first: &&PlantingDay| Some(first.day) != beside;
        all.push(Sooner {
            grower: if spare { String::new() } else { grower },
            field: id.clone(),
            part,
            trays: one.delivery.trays,
            decided: one.delivery.day,
            right_until: until,
            first: first.map(|day| day.day),
            first_beside: beside,
            in_the_way: first
                .filter(elsewhere)
                .map_or(Vec::new(), |day| day.in_the_way.clone()),
            mended: after.decided_of(id, part).map(|one| one.delivery.day),
            takers: takers(scenario, id, &kind.id, &right),
        });
    }
    all.sort_by(|one, other| {
        (one.right_until, &one.field, one.part).cmp(&(other.right_until, &other.field, other.part))
    });
    all
}

/// Other fields of the kind for which nothing stands, with the first of those days on which they can be planted.
fn takers(scenario: &Scenario, id: &str, kind: &str, right: &[Day]) -> Vec<(String, Day)> {
    let stands = |field: &str| {
        let mut sown = scenario.opening.sown.iter();
        sown.any(|sown| sown.field == field)
    };
    let fields = scenario.fields.iter().filter(|field| {
        let takes = field.kind == kind && field.stage == HandOver::Seedlings && !field.spare;
        takes && field.id != *id && !stands(&field.id)
    });
    let mut all: Vec<(Day, String)> = fields
        .filter_map(|field| {
            let open = planting_days(scenario, field);
            let day = right.iter().find(|day| open.contains(day))?;
            Some((*day, field.id.clone()))
        })
        .collect();
    all.sort();
    all.truncate(MOST_TAKERS);
    all.into_iter().map(|(day, field)| (field, day)).collect()
}
