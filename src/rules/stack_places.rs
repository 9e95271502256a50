//! A germination place holds no more stacks than it has places.

use super::{Posting, Resource, Rule, RuleMeta, Unit, What, on_days};
use crate::nursery::Nursery;

/// What it holds: on each day, whole stacks from sowing to opening ≤ places. A stack holds one run.
///
/// Why: floor and reach of the place. Source: a stack of one run, closed by a lid: common practice, no source.
pub(super) struct StackPlaces;

static META: RuleMeta = RuleMeta {
    name: "stack places",
    promise: "a germination place holds no more stacks than it has places",
};

impl Rule for StackPlaces {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let places = nursery.scenario.germination.iter();
        places
            .map(|place| Resource {
                rule: 0,
                label: format!("stack places of `{}`", place.id),
                unit: Unit::Stacks,
                supply: on_days(nursery, |_| place.stack_places),
                per_tray: 1,
            })
            .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let What::Stack(id, place) = what else { return };
        let run = nursery.run(id);
        if let Some(open) = run.opens[place] {
            out.extend(Posting::hold(nursery, at + place, run.sow, open, 1));
        }
    }
}
