//! No more of an agent is put on seed than is in store by then.

use super::seed_store::soaking;
use super::{Posting, Resource, Rule, RuleMeta, Supply, Unit, What};
use crate::nursery::{Nursery, work};
use crate::scenario::Kind;

/// What it holds: by each day, agent used on the seed put to soak so far ≤ in store on the first morning + what has come.
///
/// Why: an agent is ordered ahead and kept locked up. How much goes on the seed is the label's word. Source: common practice, no source.
pub(super) struct AgentStore;

static META: RuleMeta = RuleMeta {
    name: "agent store",
    promise: "no more of an agent is put on seed than is in store by then",
};

/// Parts of a millilitre that are counted: tenths of a gram of seed × tenths of a millilitre a kilogram.
const PARTS: i64 = 100_000;

impl Rule for AgentStore {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let scenario = &nursery.scenario;
        let stores = scenario.agents.iter();
        stores
            .map(|store| {
                let came = store.deliveries.iter();
                let came = came.map(|delivery| (delivery.day, delivery.ml.0));
                let of_tray = |kind: &Kind| per_bag(kind, &store.id, kind.seed_g_dry_per_tray.0);
                let a_tray = scenario.kinds.iter().filter_map(of_tray).max();
                Resource {
                    rule: 0,
                    label: format!("agent `{}` in store", store.id),
                    unit: Unit::AgentParts,
                    supply: Supply::store(nursery, store.ml.0, came, PARTS),
                    // What a tray's seed takes is missing on all days that follow.
                    per_tray: a_tray.unwrap_or(1).max(1).saturating_mul(10),
                }
            })
            .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let What::Bag(id) = what else { return };
        let (Some((soak, _)), scenario) = (soaking(nursery, id), &nursery.scenario) else {
            return;
        };
        let kind = nursery.run(id).kind;
        let bag = work::bag(scenario, kind);
        let end = nursery.day(nursery.days);
        for (store, agent) in scenario.agents.iter().enumerate() {
            if let Some(amount) = per_bag(&scenario.kinds[kind], &agent.id, bag) {
                out.extend(Posting::hold(nursery, at + store, soak, end, amount));
            }
        }
    }
}

/// Parts of the agent that so many tenths of a gram of the kind's seed take.
fn per_bag(kind: &Kind, agent: &str, seed: i64) -> Option<i64> {
    let treatment = kind.treatment.as_ref()?;
    (treatment.agent == agent).then(|| seed * treatment.ml_per_kg.0)
}
