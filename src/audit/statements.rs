//! What a plan states about itself: its format, and the hash of the scenario in it.

use super::{Found, Subject};
use crate::plan::types::{FORMAT, Plan};
use crate::scenario;

/// Checks format and hash.
pub(super) fn check(plan: &Plan, found: &mut Found) {
    if plan.format != FORMAT {
        let what = format!("the plan's format is `{}`, not `{FORMAT}`", plan.format);
        found.add("A090", Subject::Plan, None, 0, what);
    }
    if plan.scenario_sha256 != scenario::sha256(&plan.scenario) {
        let what = "the scenario in the plan is not the one that its hash was made of".to_string();
        found.add("A091", Subject::Plan, None, 0, what);
    }
}
