//! What is otherwise in one plan than in another, for those who have to be told.

use crate::calendar::Day;
use crate::plan::{Delivery, Plan, Run};
use crate::scenario::Scenario;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// What is otherwise for one part of a field.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    /// Whose field; empty for the spare.
    pub grower: String,
    /// Field.
    pub field: String,
    /// Part.
    pub part: u32,
    /// Whether the field has several parts.
    pub in_parts: bool,
    /// Trays that leave now; those of the earlier plan when none do any more.
    pub trays: i64,
    /// What happens.
    pub what: Changed,
    /// Promised for this day.
    pub promised: Option<Day>,
    /// Call before this day: the first on which the plans differ for the part.
    pub call_by: Day,
}

/// What happens to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case", tag = "change")]
pub enum Changed {
    /// It is not grown any more.
    Dropped {
        /// The day it had.
        from: Day,
    },
    /// It was not planned and is now.
    Added {
        /// The day it gets.
        to: Day,
    },
    /// Planted, or handed over, on another day.
    Moved {
        /// The day it had.
        from: Day,
        /// The day it gets.
        to: Day,
    },
    /// Another number of trays on the same day.
    Trays {
        /// On this day.
        on: Day,
        /// Trays that it had.
        from: i64,
        /// Trays that it gets.
        to: i64,
    },
}

/// What is otherwise on one day inside the nursery.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DayChange {
    /// The day.
    pub day: Day,
    /// `soak`, `sow`, `open`, `leave`.
    pub work: &'static str,
    /// Kind.
    pub kind: String,
    /// Trays before, and now.
    pub from: i64,
    /// Now.
    pub to: i64,
}

/// All that is otherwise.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Difference {
    /// By the day to call by, then grower and field.
    pub changes: Vec<Change>,
    /// By day.
    pub days: Vec<DayChange>,
    /// The first day on which anything is otherwise; none when nothing is.
    pub first: Option<Day>,
}

impl Difference {
    /// Parts whose planting day moved that had been promised, and those that had been planned only.
    pub fn moved(&self) -> (usize, usize) {
        let moved = self.changes.iter();
        let moved: Vec<&Change> = moved
            .filter(|change| matches!(change.what, Changed::Moved { .. }))
            .collect();
        let promised = moved.iter().filter(|change| change.promised.is_some());
        let promised = promised.count();
        (promised, moved.len() - promised)
    }
}

/// Compares the plans of one nursery from `from` on; what leaves before it is left out.
pub fn between(old: &Plan, new: &Plan, from: Day) -> Difference {
    let then: BTreeMap<(&str, u32), &Delivery> = by_part(old, from);
    let now = by_part(new, from);
    let keys: BTreeSet<(&str, u32)> = then.keys().chain(now.keys()).copied().collect();
    let mut changes: Vec<Change> = keys
        .into_iter()
        .filter_map(|key| change(old, new, key, (then.get(&key), now.get(&key)), from))
        .collect();
    changes.sort_by(|one, other| {
        (one.call_by, &one.grower, &one.field, one.part).cmp(&(
            other.call_by,
            &other.grower,
            &other.field,
            other.part,
        ))
    });
    let days = days(old, new, from);
    let first = days.iter().map(|change| change.day).min();
    let told = changes.iter().map(|change| change.call_by).min();
    Difference {
        first: first.into_iter().chain(told).min(),
        changes,
        days,
    }
}

fn by_part(plan: &Plan, from: Day) -> BTreeMap<(&str, u32), &Delivery> {
    let coming = plan.deliveries.iter().filter(|one| one.leaves() >= from);
    coming
        .map(|one| ((one.field.as_str(), one.part), one))
        .collect()
}

fn change(
    old: &Plan,
    new: &Plan,
    (field, part): (&str, u32),
    (then, now): (Option<&&Delivery>, Option<&&Delivery>),
    from: Day,
) -> Option<Change> {
    let what = match (then, now) {
        (Some(then), None) => Changed::Dropped { from: then.day },
        (None, Some(now)) => Changed::Added { to: now.day },
        (Some(then), Some(now)) if then.day != now.day => Changed::Moved {
            from: then.day,
            to: now.day,
        },
        (Some(then), Some(now)) if then.trays != now.trays => Changed::Trays {
            on: now.day,
            from: then.trays,
            to: now.trays,
        },
        _ => return None,
    };
    let leaves = then.into_iter().chain(now).map(|one| one.leaves()).min()?;
    let of = |scenario: &Scenario| -> Option<(String, bool, bool)> {
        let fields = scenario.fields.iter().chain(&scenario.not_firm);
        let field = fields.into_iter().find(|one| one.id == field)?;
        Some((field.grower.clone(), field.spare, field.parts > 1))
    };
    let (grower, spare, in_parts) = of(&new.scenario).or_else(|| of(&old.scenario))?;
    let told = |plan: &Plan| {
        let mut told = plan.scenario.told.iter();
        let told = told.find(|told| told.promised && told.field == field && told.part == part);
        told.map(|told| told.day)
    };
    Some(Change {
        grower: if spare { String::new() } else { grower },
        field: field.to_string(),
        part,
        in_parts: in_parts || part > 1,
        trays: now.or(then)?.trays,
        what,
        promised: told(old).or_else(|| told(new)),
        call_by: leaves.max(from),
    })
}

/// Trays by day, work and kind, where they differ.
fn days(old: &Plan, new: &Plan, from: Day) -> Vec<DayChange> {
    let mut all: BTreeMap<(Day, usize, String), (i64, i64)> = BTreeMap::new();
    for (plan, is_new) in [(old, false), (new, true)] {
        let runs: BTreeMap<&str, &Run> =
            plan.runs.iter().map(|run| (run.id.as_str(), run)).collect();
        for one in &plan.deliveries {
            let Some(run) = runs.get(one.run.as_str()) else {
                continue;
            };
            let sown = run.line.as_ref().map(|_| run.sow);
            let open = one.germination.as_ref().map(|_| one.open);
            let works = [run.soak, sown, open, Some(one.leaves())];
            for (work, day) in works.into_iter().enumerate() {
                let Some(day) = day.filter(|day| *day >= from) else {
                    continue;
                };
                let entry = all.entry((day, work, run.kind.clone())).or_default();
                let trays = if work == 3 { one.trays } else { one.sown() };
                if is_new {
                    entry.1 += trays;
                } else {
                    entry.0 += trays;
                }
            }
        }
    }
    const WORKS: [&str; 4] = ["soak", "sow", "open", "leave"];
    all.into_iter()
        .filter(|(_, (then, now))| then != now)
        .map(|((day, work, kind), (then, now))| DayChange {
            day,
            work: WORKS[work],
            kind,
            from: then,
            to: now,
        })
        .collect()
}
