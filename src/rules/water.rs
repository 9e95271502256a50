//! The line and the beds use no more water than there is in a day.

use super::{Posting, Resource, Rule, RuleMeta, Taking, Unit, What, on_days};
use crate::nursery::Nursery;
use crate::quantities::care_times;

/// What it holds: on each day, water on the trays sown + water on the trays in beds ≤ litres a day, in hundredths of a litre.
///
/// Why: a well or a tank gives so much. Source of a litre a tray and day in beds: from memory.
pub(super) struct Water;

static META: RuleMeta = RuleMeta {
    name: "water",
    promise: "the line and the beds use no more water than there is in a day",
};

impl Rule for Water {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let water = nursery.scenario.water.iter();
        water
            .map(|water| Resource {
                rule: 0,
                label: "water".into(),
                unit: Unit::LitreHundredths,
                supply: on_days(nursery, |_| water.litres_per_day.0),
                per_tray: 1_000,
            })
            .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let Some(water) = nursery.scenario.water else {
            return;
        };
        let on_line =
            |kind: usize, trays: i64| trays * nursery.scenario.kinds[kind].water_l_per_tray.0;
        match what {
            What::Option(option) => {
                let (lot, run) = (nursery.lot(option.lot), nursery.run(option.run));
                if run.line().is_some() {
                    let amount = on_line(run.kind, lot.trays);
                    out.extend(Posting::on(nursery, at, run.sow, Taking::Take, amount));
                }
                let once = lot.trays * water.care_l_per_tray.0;
                let care = care_times(once, &nursery.scenario.kinds[run.kind]);
                out.extend(Posting::hold(nursery, at, option.open, option.leave, care));
            }
            What::Run(id) => {
                let run = nursery.run(id);
                let besides = nursery.trial_trays(id) + nursery.thrown_at_most(id);
                let amount = on_line(run.kind, besides);
                out.extend(Posting::on(nursery, at, run.sow, Taking::Take, amount));
            }
            _ => {}
        }
    }
}
