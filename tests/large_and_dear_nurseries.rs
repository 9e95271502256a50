//! Promise: whatever the reader accepts, however large, dear, slow or long, is planned, counted again and printed without a
//! failure, and both counts agree.

use serde_json::{Value, json};
use sowrota::audit::audit;
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::plan::day::day_plan;
use sowrota::plan::tasks::TaskGraph;
use sowrota::scenario::{self, Scenario};
use sowrota::solve::{self, Budget, Start, Unwatched};
use std::collections::BTreeSet;

const SMALLEST: &str = include_str!("smallest/nursery.json");

/// The smallest nursery with some of its keys put otherwise, as the reader completes it.
fn nursery(change: impl Fn(&mut Value)) -> Scenario {
    let mut file: Value = serde_json::from_str(SMALLEST).unwrap();
    change(&mut file);
    let bytes = serde_json::to_vec(&file).unwrap();
    let checked = scenario::read_bytes("nursery.json", &bytes, &|name| {
        Err(format!("no table `{name}` here"))
    });
    let problems = checked.problems;
    assert!(!problems.any_error(), "{problems:?}");
    checked.scenario.unwrap()
}

/// Plans, holds the plan to the second count, and makes the first day, all days of work and their room to move.
fn planned(scenario: &Scenario) -> Plan {
    let budget = Budget {
        moves: 400,
        relaxations: 1,
        seed: 1,
    };
    let nursery = Nursery::new(scenario);
    let plan = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan;
    let audit = audit(&plan, scenario);
    assert!(audit.breaches.is_empty(), "{:#?}", audit.breaches);
    assert_eq!(audit.cost, plan.cost);
    let graph = TaskGraph::new(&plan).unwrap();
    let days: BTreeSet<_> = graph.tasks.iter().map(|task| task.day).collect();
    for day in days.into_iter().chain([scenario.horizon.first]) {
        assert_eq!(day_plan(&graph, day).day, day);
    }
    graph.room().unwrap();
    plan
}

fn all_short(plan: &Plan) -> bool {
    plan.deliveries.is_empty() && plan.shortfalls.len() == plan.scenario.fields.len()
}

#[test]
fn a_line_that_does_not_run() {
    for line in [
        json!({ "id": "line", "hours_per_day": 0 }),
        json!({ "id": "line", "set_trays_per_h": 0 }),
        json!({ "id": "line", "share_run": 0 }),
        json!({ "id": "line", "set_trays_per_h": 0.1, "share_run": 0.000001, "trial_trays": 1_000 }),
    ] {
        let scenario = nursery(|file| {
            file["lines"] = json!([line]);
            file["work"] = json!({
                "sow": { "crew": "all", "team": 1_000 },
                "set_up": { "crew": "all", "team": 1_000 }
            });
        });
        assert!(all_short(&planned(&scenario)));
    }
}

#[test]
fn eight_hundred_days() {
    let scenario = nursery(|file| file["horizon"] = json!("2027-01-01/2029-03-10"));
    assert_eq!(scenario.horizon.days(), 800);
    assert!(planned(&scenario).shortfalls.is_empty());
}

#[test]
fn the_first_and_the_last_days_of_the_calendar() {
    for (horizon, early, late) in [
        (
            "1990-01-01/1990-06-30",
            "1990-01-01/1990-03-01",
            "1990-02-20/1990-03-10",
        ),
        (
            "2200-06-01/2200-12-31",
            "2200-12-01/2200-12-31",
            "2200-12-28/2200-12-31",
        ),
    ] {
        let scenario = nursery(|file| {
            file["horizon"] = json!(horizon);
            file["fields"][0]["window"] = json!(early);
            file["fields"][1]["window"] = json!(late);
        });
        assert!(planned(&scenario).shortfalls.is_empty(), "{horizon}");
    }
}

/// The highest prices that the reader takes.
fn dear(file: &mut Value) {
    file["prices"] =
        json!({ "set_up": 1_000_000, "off_preferred": 10_000, "short_per_tray": 1_000_000 });
    for kind in file["kinds"].as_array_mut().unwrap() {
        kind["cost_younger"] = json!(10_000);
        kind["cost_older"] = json!(10_000);
    }
    file["crews"][0]["overtime_hours"] = json!(14);
    file["crews"][0]["overtime_price_per_h"] = json!(100_000);
    for field in file["fields"].as_array_mut().unwrap() {
        field["preferred"] = field["window"].as_str().unwrap()[..10].into();
    }
}

#[test]
fn the_highest_prices() {
    assert!(planned(&nursery(dear)).shortfalls.is_empty());
}

#[test]
fn a_hundred_million_trays_at_the_highest_prices() {
    let scenario = nursery(|file| {
        let field = |at: usize| {
            json!({ "id": format!("f{at}"), "area_ha": 1_000, "kind": "early", "mats_per_ha": 1_250,
                "reserve": 1, "window": "2027-05-10/2027-05-16" })
        };
        file["fields"] = (0..40).map(field).collect();
        dear(file);
        file["lines"][0]["set_trays_per_h"] = json!(5_000);
        file["crews"][0]["people"] = json!(10_000);
        let piece = |per: &str| json!({ "crew": "all", "person_minutes": 100_000, "per": per });
        file["work"] = json!({
            "sow": { "crew": "all", "team": 1_000 }, "soak": piece("kg"), "stack": piece("100_trays"),
            "green": piece("m2"), "wash": piece("100_trays"), "care": piece("100_trays")
        });
    });
    let plan = planned(&scenario);
    assert!(all_short(&plan));
    assert_eq!(plan.cost.trays_short, 100_000_000);
}

#[test]
fn millions_of_trays_that_can_be_grown() {
    let scenario = nursery(|file| {
        file["lines"] = (0..40)
            .map(|at| json!({ "id": format!("l{at}"), "set_trays_per_h": 5_000, "hours_per_day": 24 }))
            .collect();
        file["fields"][0]["area_ha"] = json!(10_000);
        file["fields"][0]["parts"] = json!(50);
        file["fields"][0]["preferred"] = json!("2027-05-16");
        file["trays"]["stock"] = json!(100_000_000);
        file["germination"][0]["stack_places"] = json!(1_000_000);
        file["beds"][0]["area_m2"] = json!(1_000_000);
        file["prices"] = json!({ "off_preferred": 10_000, "short_per_tray": 1_000_000 });
        for kind in file["kinds"].as_array_mut().unwrap() {
            kind["cost_younger"] = json!(10_000);
        }
        file["work"] = json!({});
    });
    let plan = planned(&scenario);
    let grown: i64 = plan.deliveries.iter().map(|delivery| delivery.trays).sum();
    assert!(grown > 1_000_000, "{grown}");
}

#[test]
fn a_price_of_a_tray_short_that_falls_between_whole_thousandths() {
    // The dearest tray costs a little more than a whole number, and parts have so few trays that the cost of a part, rounded,
    // does not show it: 30.001 × 6 days ÷ 100 trays is 1.80006 a tray, so ten times that is 18.0006, and the price 19.
    let scenario = nursery(|file| {
        for kind in file["kinds"].as_array_mut().unwrap() {
            kind["age"] = json!({ "clock": "days", "youngest": 16, "target": 22, "oldest": 22 });
            kind["cost_younger"] = json!(30.001);
            kind["cost_older"] = json!(0);
        }
        for field in file["fields"].as_array_mut().unwrap() {
            field["area_ha"] = json!(0.02);
            field["mats_per_ha"] = json!(200);
            field["reserve"] = json!(0);
        }
        file["prices"] = json!({ "set_up": 0 });
    });
    let plan = planned(&scenario);
    assert_eq!(plan.cost.short_per_tray.to_string(), "19");
}
