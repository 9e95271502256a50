//! A small invented nursery with a plan made by hand that breaks nothing; its numbers are worked
//! out in the comments of `plans_by_hand.rs`.
#![allow(dead_code)]

pub mod carried;
pub mod stocked;
pub mod whole;

use sowrota::audit::{Audit, audit, plan_by_hand};
use sowrota::calendar::Day;
use sowrota::plan::types::Plan;
use sowrota::scenario::Scenario;

pub const TABLE: &str = include_str!("by_hand.csv");

pub fn scenario() -> Scenario {
    let text = include_str!("nursery.json");
    let no_tables = |_: &str| Err("no tables here".to_string());
    let checked = sowrota::scenario::read_bytes("nursery.json", text.as_bytes(), &no_tables);
    assert!(!checked.problems.any_error(), "{:#?}", checked.problems);
    checked.scenario.unwrap()
}

pub fn plan() -> Plan {
    plan_by_hand(&scenario(), TABLE.as_bytes(), "by_hand.csv").unwrap()
}

/// The audit of a plan on its own scenario.
pub fn count(plan: &Plan) -> Audit {
    audit(plan, &plan.scenario)
}

/// The codes that the audit of `plan` names, each once, in order.
pub fn codes(plan: &Plan) -> Vec<&'static str> {
    let mut codes: Vec<_> = count(plan)
        .breaches
        .iter()
        .map(|breach| breach.code)
        .collect();
    codes.sort_unstable();
    codes.dedup();
    codes
}

pub fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}
