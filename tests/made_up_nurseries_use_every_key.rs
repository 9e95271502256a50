//! The made-up nurseries that plans are tried and counted on use every key about orders, hand-over and further limits, each often enough, and
//! stay whole with them.

mod common;

use common::generate::MOST_COMBINATIONS;
use common::orders::{ordered_trays, part_trays};
use common::{hand_over, used, whole};
use sowrota::scenario::{HandOver, Scenario};

/// Those of `brute_force.rs`.
fn tiny() -> Vec<Scenario> {
    (1_000..1_080).map(whole::tiny).collect()
}

/// Those of `every_plan_holds.rs`.
fn medium() -> Vec<Scenario> {
    (5_000..5_400).map(whole::medium).collect()
}

#[test]
fn every_key_is_used_often() {
    for (size, scenarios, least) in [("tiny", tiny(), 5), ("medium", medium(), 40)] {
        let counts = used::count(scenarios.iter());
        let rare: Vec<_> = counts.iter().filter(|(_, count)| **count < least).collect();
        assert!(
            rare.is_empty(),
            "of {} {size} ones: {rare:?}",
            scenarios.len()
        );
    }
}

/// A key that every nursery used would never be tried without.
#[test]
fn no_key_is_used_always() {
    for scenarios in [tiny(), medium()] {
        let counts = used::count(scenarios.iter());
        let always: Vec<_> = counts
            .iter()
            .filter(|(_, count)| **count == scenarios.len())
            .collect();
        assert!(always.is_empty(), "{always:?}");
    }
}

#[test]
fn tiny_ones_stay_small_enough_to_try_every_plan() {
    for (at, scenario) in tiny().iter().enumerate() {
        let all = hand_over::combinations(scenario);
        assert!(all <= MOST_COMBINATIONS, "seed {}: {all}", 1_000 + at);
    }
}

#[test]
fn names_and_orders_stay_whole() {
    for scenario in tiny().iter().chain(&medium()) {
        let fields = &scenario.fields;
        assert!(fields.is_sorted_by(|a, b| a.id < b.id));
        assert!(scenario.not_firm.is_empty());
        for field in fields {
            let group = |id: &String| scenario.travel_groups.iter().any(|one| one.id == *id);
            assert!(field.travel_group.as_ref().is_none_or(group));
            assert!(field.edge_days == 0 || field.stage == HandOver::Seedlings);
            assert!((1..=field.parts).all(|part| part_trays(field, part) > 0));
            assert_eq!(
                ordered_trays(field),
                sowrota::scenario::trays::of_field(field).total
            );
            let plain = field.collected && field.lifted && field.grower == "spare";
            assert!(!field.spare || plain);
        }
        let opening = &scenario.opening;
        let sown: i64 = opening.sown.iter().map(|sown| sown.trays).sum();
        let out: i64 = opening.trays_out.iter().map(|out| out.trays).sum();
        assert!(sown + out + opening.dirty_trays <= scenario.trays.stock);
        for line in &scenario.lines {
            assert!(
                line.spans
                    .iter()
                    .all(|span| span.days.first <= span.days.last)
            );
        }
    }
}

#[test]
fn what_is_written_loads_again_unchanged() {
    for scenario in tiny().iter().chain(&medium()) {
        let text = serde_json::to_string(scenario).unwrap();
        assert_eq!(&serde_json::from_str::<Scenario>(&text).unwrap(), scenario);
    }
}
