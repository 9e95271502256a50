//! What a plan states about itself: its format, and the hash of the scenario in it.

use super::{Found, Subject};
use crate::plan::types::{FORMAT, Plan};
use crate::scenario::Scenario;
use sha2::{Digest, Sha256};

/// SHA-256 of the completed scenario's JSON (compact, keys in the order of the types), as 64 hexadecimal digits.
pub fn scenario_sha256(scenario: &Scenario) -> String {
    // Only maps with keys that are no text fail to become JSON; a scenario has none.
    let json = serde_json::to_vec(scenario).unwrap_or_default();
    Sha256::digest(&json)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Checks format and hash.
pub(super) fn check(plan: &Plan, found: &mut Found) {
    if plan.format != FORMAT {
        let what = format!("the plan's format is `{}`, not `{FORMAT}`", plan.format);
        found.add("A090", Subject::Plan, None, 0, what);
    }
    if plan.scenario_sha256 != scenario_sha256(&plan.scenario) {
        let what = "the scenario in the plan is not the one that its hash was made of".to_string();
        found.add("A091", Subject::Plan, None, 0, what);
    }
}
