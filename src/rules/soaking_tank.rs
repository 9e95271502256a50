//! No more seed soaks at once than the tank takes.

use super::seed_store::soaking;
use super::{Posting, Resource, Rule, RuleMeta, Unit, What, on_days};
use crate::nursery::{Nursery, work};

/// What it holds: on each day, dry seed of the runs between soaking and draining ≤ what the tank takes, in tenths of a gram.
///
/// Why: seed needs about four litres of water a kilogram. Source: cooperative leaflet on soaking, undated.
pub(super) struct SoakingTank;

static META: RuleMeta = RuleMeta {
    name: "soaking tank",
    promise: "no more seed soaks at once than the tank takes",
};

impl Rule for SoakingTank {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let tank = nursery.scenario.tank.iter();
        tank.map(|tank| Resource {
            rule: 0,
            label: "soaking tank".into(),
            unit: Unit::SeedTenths,
            supply: on_days(nursery, |_| tank.kg_dry.0 * 10),
            // A tray's seed soaks for about a week.
            per_tray: 8_000,
        })
        .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let What::Bag(id) = what else { return };
        if nursery.scenario.tank.is_none() {
            return;
        }
        if let Some((soak, drain)) = soaking(nursery, id) {
            let bag = work::bag(&nursery.scenario, nursery.run(id).kind);
            out.extend(Posting::hold(nursery, at, soak, drain, bag));
        }
    }
}
