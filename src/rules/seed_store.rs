//! No more seed is put to soak than is in store by then.

use super::{Posting, Resource, Rule, RuleMeta, Supply, Unit, What};
use crate::calendar::Day;
use crate::nursery::{Nursery, RunId, work};

/// What it holds: by each day, dry seed put to soak so far ≤ in store on the first morning + what has come, in tenths of a gram.
/// A run takes whole bags of its kind.
///
/// Why: seed is bought months ahead. Source: seed in whole bags: common practice, no source.
pub(super) struct SeedStore;

static META: RuleMeta = RuleMeta {
    name: "seed store",
    promise: "no more seed is put to soak than is in store by then",
};

impl Rule for SeedStore {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let stores = nursery.scenario.seed_stores.iter();
        stores
            .map(|store| {
                let came = store.deliveries.iter();
                let came = came.map(|delivery| (delivery.day, delivery.kg_dry.0));
                Resource {
                    rule: 0,
                    label: format!("seed of `{}` in store", store.kind),
                    unit: Unit::SeedTenths,
                    // Grams to tenths.
                    supply: Supply::store(nursery, store.kg_dry.0, came, 10),
                    // A tray's seed is missing on all days that follow.
                    per_tray: 20_000,
                }
            })
            .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let What::Bag(id) = what else { return };
        let (Some((soak, _)), kind) = (soaking(nursery, id), nursery.run(id).kind) else {
            return;
        };
        let scenario = &nursery.scenario;
        let of_kind = |store: &crate::scenario::SeedStore| store.kind == scenario.kinds[kind].id;
        if let Some(store) = scenario.seed_stores.iter().position(of_kind) {
            let end = nursery.day(nursery.days);
            let bag = work::bag(scenario, kind);
            out.extend(Posting::hold(nursery, at + store, soak, end, bag));
        }
    }
}

/// Soak and drain day of a run whose seed is put to soak within the horizon.
pub(super) fn soaking(nursery: &Nursery, run: RunId) -> Option<(Day, Day)> {
    let seed = nursery.run(run).seed()?;
    seed.batch.is_none().then_some((seed.soak, seed.drain))
}
