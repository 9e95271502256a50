//! The price of a tray that is not grown, when the scenario leaves it out: ten times the dearest
//! tray over all legal options, found by trying every legal way of every part.

use super::orders::ordered;
use super::warmth::Warmth;
use super::ways;
use super::whole::up;
use crate::scenario::Scenario;

/// Price of a tray short, thousandths: the scenario's own, or ten times the dearest tray (age, preferred day, waiting and
/// move) rounded up to whole money, at least 1 more than the set-up price.
///
/// The cost of one tray of an option is taken exactly, as a fraction, and only the price is rounded. An
/// option that a pin rules out is not legal.
pub(super) fn per_tray(scenario: &Scenario, warmth: &Warmth) -> i128 {
    if let Some(price) = scenario.prices.short_per_tray {
        return price.0.into();
    }
    let mut dearest = 0;
    for kind in &scenario.kinds {
        let parts = ordered(scenario).into_iter();
        let of_kind = parts.filter(|(field, _, _)| field.kind == kind.id);
        let parts: Vec<_> = of_kind.map(|(field, part, _)| (field, part)).collect();
        ways::each(scenario, warmth, kind, &parts, &mut |way| {
            dearest = dearest.max(way.tray_cost);
        });
    }
    // `dearest` is in thousandths ÷ 10 000 a tray; whole money is 1 000 thousandths.
    let price = up(dearest * 10, 10_000 * 1_000) * 1_000;
    price.max(i128::from(scenario.prices.set_up.0) + 1_000)
}
