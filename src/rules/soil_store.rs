//! No more soil is put into trays than is in store by then.

use super::{Posting, Resource, Rule, RuleMeta, Supply, Unit, What};
use crate::nursery::{Nursery, RunSource};

/// Volume of a hundredth of a millimetre of soil in one tray, µL: 0.58 × 0.28 m.
const MICROLITRES: i64 = 1_624;

/// What it holds: by each day, bed soil and cover soil sown so far ≤ in store on the first morning + what has come, in µL.
///
/// Why: sieved, limed and dried soil is made weeks ahead. Source of the inner size of a tray: growers' and extension texts, 58 × 28 cm.
pub(super) struct SoilStore;

static META: RuleMeta = RuleMeta {
    name: "soil store",
    promise: "no more soil is put into trays than is in store by then",
};

impl Rule for SoilStore {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let stores = nursery.scenario.soil_stores.iter();
        stores
            .map(|store| {
                let came = store.deliveries.iter();
                let came = came.map(|delivery| (delivery.day, delivery.litres.0));
                Resource {
                    rule: 0,
                    label: format!("soil `{}` in store", store.id),
                    unit: Unit::Microlitres,
                    // Hundredths of a litre to microlitres.
                    supply: Supply::store(nursery, store.litres.0, came, 10_000),
                    // Four litres a tray, missing on all days that follow.
                    per_tray: 40_000_000,
                }
            })
            .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let (run, trays) = match what {
            What::Option(option) => (nursery.run(option.run), nursery.lot(option.lot).trays),
            What::Run(id) => (
                nursery.run(id),
                nursery.trial_trays(id) + nursery.thrown_at_most(id),
            ),
            _ => return,
        };
        let RunSource::Line { .. } = run.source else {
            return;
        };
        let scenario = &nursery.scenario;
        let kind = &scenario.kinds[run.kind];
        let end = nursery.day(nursery.days);
        for (mix, depth) in [
            (&kind.bed_soil, kind.bed_soil_mm),
            (&kind.cover_soil, kind.cover_soil_mm),
        ] {
            let store = scenario
                .soil_stores
                .iter()
                .position(|store| Some(&store.id) == mix.as_ref());
            if let Some(store) = store {
                let amount = trays * depth.0 * MICROLITRES;
                out.extend(Posting::hold(nursery, at + store, run.sow, end, amount));
            }
        }
    }
}
