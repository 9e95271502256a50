//! What a way to grow a lot costs by itself: rates by tray, exact, and whole lots, rounded once.

use super::Route;
use crate::calendar::Day;
use crate::scenario::{Field, HandOver, Kind, Scenario};
use crate::units::{Age, Money, fit};

/// What a tray costs for being off the target age, in thousandths ÷ 10 000: exact. What is handed over before it is a seedling has no
/// target.
pub(super) fn age_rate(kind: &Kind, stage: HandOver, age: Age) -> i128 {
    if stage != HandOver::Seedlings {
        return 0;
    }
    let off = age.0 - kind.age.target.0;
    let price = if off < 0 {
        kind.cost_younger
    } else {
        kind.cost_older
    };
    // Hundredths of a unit × price of 100 trays and unit.
    i128::from(off.abs()) * i128::from(price.0)
}

/// What a tray costs for days off the preferred one, in thousandths ÷ 10 000: exact.
pub(super) fn preferred_rate(scenario: &Scenario, field: &Field, plant: Day) -> i128 {
    let off = field
        .preferred
        .map_or(0, |preferred| plant.since(preferred).abs());
    // Days × price of 100 trays and day.
    i128::from(off) * i128::from(scenario.prices.off_preferred.0) * 100
}

/// What a tray costs for waiting at the field's edge, in thousandths ÷ 10 000: exact.
pub(super) fn edge_rate(scenario: &Scenario, leave: Day, plant: Day) -> i128 {
    i128::from(plant.since(leave)) * i128::from(scenario.prices.edge_wait.0) * 100
}

/// What a tray costs for being moved from bed to bed, in thousandths ÷ 10 000: exact.
pub(super) fn move_rate(scenario: &Scenario, route: Route) -> i128 {
    if route.moves() {
        i128::from(scenario.prices.bed_move.0) * 100
    } else {
        0
    }
}

/// What a part costs for being planted on another day than was told or planned for it.
pub(super) fn told_price(scenario: &Scenario, field: &Field, part: u32, plant: Day) -> Money {
    let mut told = scenario.told.iter();
    match told.find(|told| told.field == field.id && told.part == part) {
        Some(told) if told.day != plant && told.promised => scenario.prices.promise_moved,
        Some(told) if told.day != plant => scenario.prices.plan_moved,
        _ => Money::ZERO,
    }
}

/// The cost of `trays` at such a rate, to the nearest thousandth; at most a quarter of what 64 bits hold.
pub(super) fn cost_of(rate: i128, trays: i64) -> Money {
    let near = (2 * rate * i128::from(trays) + 10_000).div_euclid(20_000);
    Money {
        0: fit(near).min(i64::MAX / 4),
    }
}
