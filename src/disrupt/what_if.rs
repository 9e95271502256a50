//! What an event does to a plan: left as it is, mended, and made anew, side by side.

use super::difference::{Difference, between};
use super::present::{Decided, Present};
use super::replan::in_their_rows;
use super::replan::{How, Replanned, decisions, replan};
use super::spare::{Spare, spare};
use crate::audit::{self, Breach, Subject};
use crate::calendar::Day;
use crate::nursery::{LotId, Nursery};
use crate::plan::{EndedBy, Plan};
use crate::scenario::Scenario;
use crate::solve::shortfall::amount;
use crate::solve::state::{Ground, State};
use crate::solve::{self, Budget, Start, Watch, assemble};
use crate::units::Money;
use serde::Serialize;
use std::collections::BTreeMap;

/// What comes of an event.
#[derive(Clone, Debug)]
pub struct WhatIf {
    /// The rest of the plan, had nothing happened.
    pub before: Plan,
    /// When nothing is changed.
    pub unchanged: Unchanged,
    /// With the least upheaval.
    pub repaired: Replanned,
    /// What that changes.
    pub difference: Difference,
    /// Spare trays that stand.
    pub spare: Vec<Spare>,
    /// Made anew, whatever was told; none when it was not asked for.
    pub anew: Option<(Plan, Difference)>,
}

/// The plan left as it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unchanged {
    /// Parts that cannot go as decided, by day and field.
    pub broken: Vec<BrokenPart>,
    /// Trays of them by what is wrong.
    pub trays: Vec<(Wrong, i64)>,
    /// What the rest overfills.
    pub over: Vec<Over>,
    /// Trays that are wanted and that nobody had decided to grow; those left short before are not among them.
    pub undecided: i64,
}

/// A part that cannot go as decided.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BrokenPart {
    /// Field.
    pub field: String,
    /// Part.
    pub part: u32,
    /// Trays.
    pub trays: i64,
    /// The day it had.
    pub day: Day,
    /// What is wrong.
    pub wrong: Wrong,
    /// In words.
    pub why: String,
}

/// What is wrong with a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Wrong {
    /// Its mats are too old on the day.
    TooOld,
    /// They are too young, or not hard enough.
    TooYoung,
    /// The field cannot be planted on the day.
    NoDay,
    /// Seed, line, stack or covers are not there on their days.
    NotReady,
}

/// A limit that is not kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Over {
    /// Which, in words.
    pub what: String,
    /// The first day.
    pub day: Day,
    /// By how much on it, with its unit.
    pub by: String,
}

/// Sets what was left to do on a day beside what becomes of it in `present`, which events have changed. The second budget is for a plan
/// made anew.
pub fn what_if(
    undisturbed: &Present,
    present: &Present,
    how: How,
    budgets: (&Budget, Option<&Budget>),
    watch: &mut dyn Watch,
) -> WhatIf {
    let before = as_decided(undisturbed);
    let unchanged = unchanged(present);
    let repaired = replan(present, how, budgets.0, watch);
    let difference = between(&before, &repaired.plan, present.day);
    let anew = budgets.1.map(|budget| {
        let mut scenario = present.scenario.clone();
        scenario.prices.plan_moved = Money::ZERO;
        scenario.prices.promise_moved = Money::ZERO;
        let nursery = Nursery::new(&scenario);
        let plan = solve::plan(&nursery, &Start::default(), budget, watch).plan;
        let difference = between(&before, &plan, present.day);
        (plan, difference)
    });
    WhatIf {
        before,
        unchanged,
        spare: spare(present),
        repaired,
        difference,
        anew,
    }
}

/// The rest of a plan as it was decided, whatever it breaks.
pub fn as_decided(present: &Present) -> Plan {
    let nursery = Nursery::new(&present.scenario);
    let choice = decisions(&nursery, present);
    let ground = Ground::new(&nursery);
    in_their_rows(
        present,
        assemble::assemble(&mut State::of(&ground, &choice), None, EndedBy::Kept),
    )
}

/// What the decisions as they are would break.
pub fn unchanged(present: &Present) -> Unchanged {
    let nursery = Nursery::new(&present.scenario);
    let choice = decisions(&nursery, present);
    let ground = Ground::new(&nursery);
    let mut state = State::of(&ground, &choice);
    let over = state.overfull().into_iter().map(|(resource, day, by)| {
        let resource = &ground.books.resources[resource];
        Over {
            what: resource.label.clone(),
            day: nursery.day(day),
            by: amount(resource.unit, by),
        }
    });
    let over: Vec<Over> = over.collect();
    let of_lot = |one: &Decided| nursery.lot_of(&one.delivery.field, one.delivery.part);
    let lost: Vec<&Decided> = present
        .decided
        .iter()
        .filter(|one| of_lot(one).is_some_and(|lot| choice[lot.0].is_none()))
        .collect();
    let breaches = breaches(&present.scenario, &lost);
    let mut broken: Vec<BrokenPart> = lost
        .iter()
        .map(|one| {
            let (wrong, why) = reason(one, &breaches);
            BrokenPart {
                field: one.delivery.field.clone(),
                part: one.delivery.part,
                trays: one.delivery.trays,
                day: one.delivery.day,
                wrong,
                why,
            }
        })
        .collect();
    broken.sort_by(|one, other| {
        (one.day, &one.field, one.part).cmp(&(other.day, &other.field, other.part))
    });
    let mut trays: BTreeMap<Wrong, i64> = BTreeMap::new();
    for part in &broken {
        *trays.entry(part.wrong).or_default() += part.trays;
    }
    let undecided = (0..nursery.lots.len()).map(LotId).filter(|lot| {
        let (field, part) = nursery.part_of(*lot);
        present.decided_of(field, part).is_none() && !present.was_short(field, part)
    });
    Unchanged {
        undecided: undecided.map(|lot| nursery.lot(lot).leaving).sum(),
        broken,
        trays: trays.into_iter().collect(),
        over,
    }
}

/// What the count finds wrong with those parts alone, when they go as they were decided.
fn breaches(scenario: &Scenario, lost: &[&Decided]) -> Vec<Breach> {
    let mut table =
        String::from("field,part,sow,plant,trays,line,germination,green_bed,harden_bed,leaves\n");
    for one in lost {
        let delivery = &one.delivery;
        let text = |id: &Option<String>| id.clone().unwrap_or_default();
        let leaves = delivery.leaves.map(|day| day.to_string());
        table.push_str(&format!(
            "{},{},{},{},{},{},{},{},{},{}\n",
            delivery.field,
            delivery.part,
            one.sow,
            delivery.day,
            delivery.trays,
            text(&one.line),
            text(&delivery.germination),
            text(&delivery.green_bed),
            text(&delivery.harden_bed),
            leaves.unwrap_or_default(),
        ));
    }
    match audit::plan_by_hand(scenario, table.as_bytes(), "decisions") {
        Ok(plan) => audit::audit(&plan, scenario).breaches,
        // What was decided is not even a plan: then that is said of each part.
        Err(_) => Vec::new(),
    }
}

/// What is wrong with a part, by the first breach that tells.
fn reason(one: &Decided, breaches: &[Breach]) -> (Wrong, String) {
    let (field, part) = (&one.delivery.field, one.delivery.part);
    let of_part = breaches.iter().filter(|breach| {
        matches!(&breach.subject, Subject::Part { field: f, part: p } if f == field && *p == part)
    });
    let ranked = of_part.filter_map(|breach| Some((wrong(breach.code)?, breach)));
    if let Some((wrong, breach)) = ranked.min_by_key(|(wrong, _)| rank(*wrong)) {
        return (wrong, breach.what.clone());
    }
    let of_run = breaches.iter().find(|breach| {
        matches!(breach.subject, Subject::Run { .. })
            && matches!(
                breach.code,
                "A020" | "A021" | "A023" | "A024" | "A026" | "A027"
            )
            && breach.day.is_some_and(|day| day <= one.sow)
    });
    match of_run {
        Some(breach) => (Wrong::NotReady, breach.what.clone()),
        None => (
            Wrong::NotReady,
            format!("field `{field}`, part {part} cannot go the way it was decided"),
        ),
    }
}

fn wrong(code: &str) -> Option<Wrong> {
    match code {
        "A051" | "A055" => Some(Wrong::TooOld),
        "A049" | "A050" | "A054" => Some(Wrong::TooYoung),
        "A042" | "A043" | "A044" | "A045" | "A046" | "A047" | "A048" | "A099" => Some(Wrong::NoDay),
        "A030" | "A031" | "A032" | "A033" | "A034" | "A035" | "A036" | "A037" | "A038" | "A053" => {
            Some(Wrong::NotReady)
        }
        _ => None,
    }
}

/// A closed day says more than an age that follows from it.
fn rank(wrong: Wrong) -> u8 {
    match wrong {
        Wrong::NoDay => 0,
        Wrong::TooOld => 1,
        Wrong::TooYoung => 2,
        Wrong::NotReady => 3,
    }
}
