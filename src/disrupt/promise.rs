//! Promises: which planting days of a plan growers have been told.

use crate::calendar::Day;
use crate::plan::Plan;
use crate::scenario::{self, Told};

/// Which days are told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Which {
    /// Of parts that leave up to this day; none: all.
    pub until: Option<Day>,
    /// Of these fields; none: all.
    pub fields: Vec<String>,
}

/// Notes in the plan that the days of `which` were told, and gives the parts whose promise is new or another than before. The plan's
/// revision counts on when there are any.
pub fn promise(plan: &mut Plan, which: &Which) -> Vec<(String, u32, Day)> {
    let mut new = Vec::new();
    for one in &mut plan.deliveries {
        let asked = which.until.is_none_or(|until| one.leaves() <= until)
            && (which.fields.is_empty() || which.fields.contains(&one.field));
        let mut fields = plan.scenario.fields.iter();
        let spare = fields.any(|field| field.id == one.field && field.spare);
        if !asked || spare || one.promised == Some(one.day) {
            continue;
        }
        one.promised = Some(one.day);
        new.push((one.field.clone(), one.part, one.day));
    }
    if new.is_empty() {
        return new;
    }
    let mut moved = 0;
    for (field, part, day) in &new {
        let told = &mut plan.scenario.told;
        let before = told
            .iter()
            .position(|told| told.field == *field && told.part == *part);
        if let Some(before) = before
            .map(|at| told.remove(at))
            .filter(|told| told.day != *day)
        {
            // What was moved has been agreed on: it costs nothing any more.
            let prices = &plan.scenario.prices;
            moved += if before.promised {
                prices.promise_moved.0
            } else {
                prices.plan_moved.0
            };
        }
        plan.scenario.told.push(Told {
            field: field.clone(),
            part: *part,
            day: *day,
            promised: true,
        });
    }
    plan.scenario
        .told
        .sort_by(|one, other| (&one.field, one.part).cmp(&(&other.field, other.part)));
    plan.cost.moved.0 -= moved;
    plan.cost.total.0 -= moved;
    plan.scenario_sha256 = scenario::sha256(&plan.scenario);
    plan.revision = plan.revision.saturating_add(1);
    new
}
