//! A bed holds no more trays than its floor takes.

use super::{Posting, Resource, Rule, RuleMeta, Unit, What, on_days};
use crate::calendar::Day;
use crate::nursery::Nursery;

/// What it holds: on each day, trays in the bed, and floor still being cleared after others, ≤ floor(area × trays a square metre). Where
/// the bed has rows each part takes whole rows, so that nothing that leaves later stands between a tray and the open end.
///
/// Why: trays lie side by side, never on one another. Source of trays a square metre: agronomy of beds 1.5 m wide with ditches of
/// 0.3 m and trays of 0.30 × 0.60 m, five across: 4.63 (derived).
pub(super) struct BedFloor;

static META: RuleMeta = RuleMeta {
    name: "bed floor",
    promise: "a bed holds no more trays than its floor takes",
};

impl Rule for BedFloor {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let beds = nursery.scenario.beds.iter();
        beds.map(|bed| Resource {
            rule: 0,
            label: format!("floor of bed `{}`", bed.id),
            unit: Unit::Trays,
            supply: on_days(nursery, |day| bed.trays_on(day)),
            // A tray lies for about ten days: each day alone weighs a tenth.
            per_tray: 10,
        })
        .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let What::Option(option) = what else { return };
        let trays = nursery.lot(option.lot).trays;
        let (Some(green), Some(harden)) = (option.route.green_bed, option.route.harden_bed) else {
            return;
        };
        let mut stand = |bed: usize, from: Day, left: Day| {
            let floor = &nursery.scenario.beds[bed];
            let cleared = left.plus(floor.turn_round_days);
            let places = floor.places_for(trays);
            out.extend(Posting::hold(nursery, at + bed, from, cleared, places));
        };
        if green == harden {
            stand(green, option.open, option.leave);
        } else {
            stand(green, option.open, option.harden);
            stand(harden, option.harden, option.leave);
        }
    }
}
