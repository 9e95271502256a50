//! Promise: the demo nurseries read without problems, their plans are sound by the independent count, and those that can be
//! met are met; the over-full one says what is short and why, and ends with code 3.

use sowrota::audit::audit;
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::solve::{self, Budget, Start, Unwatched};
use std::path::Path;

fn plan(name: &str) -> Plan {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("scenarios")
        .join(name);
    let checked = sowrota::scenario::read(&folder).unwrap();
    assert!(
        checked.problems.0.is_empty(),
        "{name}: {:#?}",
        checked.problems
    );
    let scenario = checked.scenario.unwrap();
    let nursery = Nursery::new(&scenario);
    let budget = Budget {
        moves: 30_000,
        relaxations: 0,
        seed: 1,
    };
    let outcome = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched);
    let found = audit(&outcome.plan, &scenario);
    assert!(found.breaches.is_empty(), "{name}: {:#?}", found.breaches);
    assert_eq!(found.cost, outcome.plan.cost, "{name}");
    assert!(
        outcome.plan.cost.with_shortage() < outcome.list_cost,
        "{name}"
    );
    outcome.plan
}

#[test]
fn the_village_and_the_two_seasons_are_met_in_full() {
    for name in ["village", "two-season"] {
        assert_eq!(plan(name).shortfalls, [], "{name}");
    }
}

/// The early season's trays come back and are washed before the late one is sown: more are sown than there are.
#[test]
fn trays_of_the_early_season_are_sown_again_in_the_late_one() {
    let plan = plan("two-season");
    let sown: i64 = plan
        .runs
        .iter()
        .map(|run| run.trays + run.trial_trays)
        .sum();
    let washed: i64 = plan.washing.iter().map(|washing| washing.trays).sum();
    let stock = plan.scenario.trays.stock;
    assert!(
        sown > stock && sown <= stock + washed,
        "{sown} sown, {stock} owned, {washed} washed"
    );
}

#[test]
fn the_overfull_one_says_what_is_short_and_why() {
    let plan = plan("overfull");
    let reason = |field: &str| {
        let short = plan.shortfalls.iter().find(|short| short.field == field);
        short.map(|short| short.reason.clone()).unwrap_or_default()
    };
    assert!(
        reason("Q06").starts_with("it never fits, whatever else is planned"),
        "{}",
        reason("Q06")
    );
    assert!(reason("Q07").contains("not ready"), "{}", reason("Q07"));
}
