//! Seed that already soaks on the first day is drawn no further than it goes.

use super::{Posting, Resource, Rule, RuleMeta, Supply, Taking, Unit, What};
use crate::nursery::{Nursery, work};

/// What it holds: dry seed of all runs that draw on a batch soaked before the horizon ≤ its weight, in tenths of a gram.
///
/// Why: once soaking starts, kind and kilograms are fixed. Source: common practice, no source.
pub(super) struct SoakedSeed;

static META: RuleMeta = RuleMeta {
    name: "soaked seed",
    promise: "seed that already soaks on the first day is drawn no further than it goes",
};

impl Rule for SoakedSeed {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let soaked = &nursery.scenario.opening.soaked;
        let batches = soaked.iter();
        batches
            .map(|batch| Resource {
                rule: 0,
                label: format!("seed of `{}` soaked on {}", batch.kind, batch.soaked),
                unit: Unit::SeedTenths,
                // Grams to tenths. Two entries of one kind and day are one batch; runs draw on the first.
                supply: Supply::Once(
                    soaked
                        .iter()
                        .filter(|one| (&one.kind, one.soaked) == (&batch.kind, batch.soaked))
                        .map(|one| one.kg_dry.0 * 10)
                        .sum(),
                ),
                per_tray: nursery
                    .scenario
                    .kinds
                    .iter()
                    .find(|kind| kind.id == batch.kind)
                    .map_or(1, |kind| kind.seed_g_dry_per_tray.0.max(1)),
            })
            .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let (run, amount) = match what {
            What::Option(option) => {
                let (lot, run) = (nursery.lot(option.lot), option.run);
                let kind = nursery.run(run).kind;
                (run, work::dry_seed(&nursery.scenario, kind, lot.trays))
            }
            What::Run(run) => (run, nursery.seed_of_run(run, 0)),
            _ => return,
        };
        if let Some(batch) = nursery.run(run).seed().and_then(|seed| seed.batch) {
            out.push(Posting {
                resource: at + batch,
                taking: Taking::Take(0),
                amount,
            });
        }
    }
}
