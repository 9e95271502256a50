//! Levelling: the same nursery planned at several prices on a change of the number of people hired, so that what even weeks cost can be seen.

use super::polish::Choice;
use super::state::{Ground, State};
use super::watch::{Budget, Watch};
use super::{Outcome, Start, assemble, plan};
use crate::nursery::Nursery;
use crate::plan::{EndedBy, Plan};
use crate::scenario::Scenario;
use crate::units::{Fixed, Money, div_near, fit};

/// A plan at one price on changes.
#[derive(Clone, Debug)]
pub struct Level {
    /// What the scenario's prices of hiring and releasing were multiplied by.
    pub times: Fixed<2>,
    /// The plan, with the scenario that holds the multiplied prices.
    pub plan: Plan,
}

/// Plans once for each multiple of the prices `hire` and `release` of all crews, in the order given; none gives none.
///
/// Each price then goes on from the best that any of them found, and in the end the cheapest of all is kept at each: as the multiple
/// rises, what is paid beside the changes, trays short at their price with it, never falls, and what the changes cost at the scenario's own
/// prices never grows, but for the rounding of a multiplied price to the thousandth. (The least of fixed straight lines in the multiple is
/// concave in it.) Stopped by `watch`, it gives the levels that it has come to; at least one.
pub fn levels(
    scenario: &Scenario,
    times: &[Fixed<2>],
    budget: &Budget,
    watch: &mut dyn Watch,
) -> Vec<Level> {
    let mut found: Vec<(Nursery, Outcome)> = Vec::with_capacity(times.len());
    for times in times {
        if watch.stop() && !found.is_empty() {
            break;
        }
        let nursery = Nursery::new(&at_price(scenario, *times));
        // Afresh each time: a start from the last price would keep the search near it.
        let outcome = plan(&nursery, &Start::default(), budget, watch);
        found.push((nursery, outcome));
    }
    let mut choices: Vec<Choice> = found
        .iter()
        .map(|(_, outcome)| outcome.choice.clone())
        .collect();
    // Each price goes on from the best that any of them found.
    for (nursery, _) in &found {
        if watch.stop() {
            break;
        }
        let start = Start {
            previous: Some(best_of(&Ground::new(nursery), &choices).clone()),
            ..Start::default()
        };
        let again = Budget {
            relaxations: 0,
            ..*budget
        };
        choices.push(plan(nursery, &start, &again, watch).choice);
    }
    let levels = found.iter().zip(times).map(|((nursery, outcome), times)| {
        let ground = Ground::new(nursery);
        let mut best = State::of(&ground, best_of(&ground, &choices));
        let bound = outcome.plan.bound;
        let ended_by = match bound {
            Some(bound) if best.objective() <= bound.0 => EndedBy::Bound,
            _ => outcome.plan.ended_by,
        };
        Level {
            times: *times,
            plan: assemble::assemble(&mut best, bound, ended_by),
        }
    });
    levels.collect()
}

/// The decisions that cost least here, of the first such; there is at least one, and each breaks nothing.
fn best_of<'c>(ground: &Ground<'_>, choices: &'c [Choice]) -> &'c Choice {
    let mut best = (i64::MAX, &choices[0]);
    for choice in choices {
        let cost = State::of(ground, choice).objective();
        if cost < best.0 {
            best = (cost, choice);
        }
    }
    best.1
}

/// The scenario with other prices on changes.
fn at_price(scenario: &Scenario, times: Fixed<2>) -> Scenario {
    let mut scenario = scenario.clone();
    for casual in scenario
        .crews
        .iter_mut()
        .filter_map(|crew| crew.casual.as_mut())
    {
        for price in [&mut casual.hire, &mut casual.release] {
            *price = multiplied(*price, times);
        }
    }
    scenario
}

/// To the nearest thousandth, halves up.
fn multiplied(price: Money, times: Fixed<2>) -> Money {
    let hundredths = i128::from(price.0) * i128::from(times.0);
    Fixed(div_near(fit(hundredths), 100))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_price_is_multiplied_to_the_nearest_thousandth() {
        assert_eq!(multiplied(Fixed(60_000), Fixed(300)), Fixed(180_000));
        assert_eq!(multiplied(Fixed(60_000), Fixed(0)), Fixed(0));
        assert_eq!(multiplied(Fixed(333), Fixed(50)), Fixed(167));
    }
}
