//! What trays short weigh, by the rule of sharing; and until when a part that is short can still be grown.

use super::orders::{Short, ordered};
use super::warmth::Warmth;
use super::whole::near;
use super::{Found, Subject, ways};
use crate::calendar::Day;
use crate::plan::types::Plan;
use crate::scenario::{Field, Scenario, Sharing};
use std::collections::{BTreeMap, BTreeSet};

/// Weight of a tray of the spare, in hundredths.
const SPARE: i128 = 50;
/// Weight of a tray that no rule favours.
const PLAIN: i128 = 100;

/// The weight of each tray of a field, in hundredths; not for the rule that weighs tray after tray of a grower.
fn weight(scenario: &Scenario, days: &[Option<Day>], field: &Field) -> i128 {
    match scenario.sharing {
        _ if field.spare => SPARE,
        Sharing::FewestTrays | Sharing::InProportion => PLAIN,
        Sharing::OrderDate => {
            let place = days.iter().position(|day| *day == field.ordered);
            match (place, days.len()) {
                (Some(place), count) if count > 1 => {
                    2 * PLAIN - PLAIN * place as i128 / (count as i128 - 1)
                }
                _ => PLAIN,
            }
        }
        Sharing::MembersFirst => {
            let mut growers = scenario.growers.iter();
            match growers.find(|grower| grower.id == field.grower) {
                Some(grower) if grower.member => 2 * PLAIN,
                _ => PLAIN,
            }
        }
    }
}

/// Order days of all fields but the spare, each once, the earliest first; fields without a day come last, as one day.
fn order_days(scenario: &Scenario) -> Vec<Option<Day>> {
    let fields = scenario.fields.iter().filter(|field| !field.spare);
    let days: BTreeSet<(bool, Option<Day>)> = fields
        .map(|field| (field.ordered.is_none(), field.ordered))
        .collect();
    days.into_iter().map(|(_, day)| day).collect()
}

/// What `short` of `all` trays of one grower weigh together in hundredths: the k-th weighs 100 + 10 × floor(10 × (k − 1) ÷ all).
fn in_proportion(short: i128, all: i128) -> i128 {
    if all < 1 {
        return short * PLAIN;
    }
    let mut sum = 0;
    // Those with floor(10 × (k − 1) ÷ all) of at least `tenth` weigh 10 more for each tenth.
    for tenth in 1..=9 {
        // The least k − 1 with 10 × (k − 1) ≥ tenth × all.
        let before = -(-tenth * all).div_euclid(10);
        sum += 10 * (short - before).max(0);
    }
    sum + PLAIN * short
}

/// All trays short together, weighed, in hundredths of a tray.
fn weighed(scenario: &Scenario, short: &[Short]) -> i128 {
    let days = order_days(scenario);
    if scenario.sharing != Sharing::InProportion {
        let each = short.iter();
        return each
            .map(|one| one.trays * weight(scenario, &days, one.field))
            .sum();
    }
    let mut growers: BTreeMap<&str, (i128, i128)> = BTreeMap::new();
    for (field, _, trays) in ordered(scenario) {
        if !field.spare {
            growers.entry(&field.grower).or_default().1 += trays;
        }
    }
    let mut spare = 0;
    for one in short {
        if one.field.spare {
            spare += one.trays * SPARE;
        } else {
            growers.entry(&one.field.grower).or_default().0 += one.trays;
        }
    }
    let growers = growers.values();
    spare
        + growers
            .map(|(short, all)| in_proportion(*short, *all))
            .sum::<i128>()
}

/// Price of all trays short as they are shared, thousandths, when one costs `per_tray`.
pub(super) fn price(scenario: &Scenario, short: &[Short], per_tray: i128) -> i128 {
    near(weighed(scenario, short) * per_tray, 100)
}

/// The days that the plan states for deciding on what is short, against those counted. What states none is not judged.
pub(super) fn check(plan: &Plan, scenario: &Scenario, short: &[Short], found: &mut Found) {
    let stated = plan.shortfalls.iter();
    let stated: Vec<_> = stated
        .filter_map(|one| Some((one, one.decide_by?)))
        .collect();
    if stated.is_empty() {
        return;
    }
    let warmth = Warmth::of(scenario);
    for (one, day) in stated {
        let mut known = short.iter();
        let known = known.find(|short| short.field.id == one.field && short.part == one.part);
        // What is not short at all is named with the orders.
        let Some(known) = known else { continue };
        let right = ways::decide_by(scenario, &warmth, known.field, known.part);
        if right == Some(day) {
            continue;
        }
        let said = format!("field `{}`, part {}", one.field, one.part);
        let what = match right {
            Some(right) => format!("{said} can be decided until {right}, not until {day}"),
            None => format!("{said} can be decided until {day}, it is said, but no day would do"),
        };
        let subject = Subject::Part {
            field: one.field.clone(),
            part: one.part,
        };
        let off = right.map_or(0, |right| day.number() - right.number());
        found.add("A112", subject, Some(day), off.into(), what);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_more_of_a_grower_is_short_the_more_a_tray_weighs() {
        // Of 20 trays: two weigh 100, two 110, and so on; the last two 190.
        assert_eq!(in_proportion(0, 20), 0);
        assert_eq!(in_proportion(2, 20), 200);
        assert_eq!(in_proportion(3, 20), 310);
        assert_eq!(in_proportion(5, 20), 540);
        assert_eq!(in_proportion(20, 20), 2 * (10 * 100 + 450));
        for all in 1..=33 {
            for short in 0..=all {
                let one_by_one: i128 = (1..=short).map(|k| 100 + 10 * (10 * (k - 1) / all)).sum();
                assert_eq!(in_proportion(short, all), one_by_one, "{short} of {all}");
            }
        }
    }
}
