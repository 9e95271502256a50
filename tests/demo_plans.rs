//! Promise: the demo nurseries read without problems, their plans are sound by the independent count, and those that can be
//! met are met; the over-full one says what is short and why, and ends with code 3.

use sowrota::audit::audit;
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::scenario::HandOver;
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
    // As many changes as `plan` tries, without the relaxation.
    let budget = Budget {
        relaxations: 0,
        ..Budget::for_lots(nursery.lots.len())
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
fn the_village_is_met_in_full() {
    assert_eq!(plan("village").shortfalls, []);
}

/// Whatever the growers of the cooperative asked for in whichever form leaves in that form.
#[test]
fn the_cooperative_is_met_in_full() {
    let plan = plan("cooperative");
    assert_eq!(plan.shortfalls, []);
    let scenario = &plan.scenario;
    let stage = |field: &str| {
        let mut fields = scenario.fields.iter();
        fields.find(|one| one.id == field).unwrap().stage
    };
    let of = |wanted: HandOver| {
        let deliveries = plan.deliveries.iter();
        deliveries
            .filter(|one| stage(&one.field) == wanted)
            .collect::<Vec<_>>()
    };
    let (seed, sprouted) = (of(HandOver::SoakedSeed), of(HandOver::Sprouted));
    assert_eq!((seed.len(), sprouted.len()), (2, 3));
    assert!(seed.iter().all(|one| one.germination.is_none()));
    assert!(
        sprouted
            .iter()
            .all(|one| one.green_bed.is_none() && one.sown() > one.trays)
    );
    // Nothing for enquiries and what was withdrawn.
    assert_eq!(scenario.not_firm.len(), 3);
    // Houses in rows, the glutinous kind last on its day, the own seed in runs worth the while.
    let seedlings = of(HandOver::Seedlings);
    assert!(seedlings.iter().all(|one| !one.green_rows.is_empty()));
    for run in plan.runs.iter().filter(|run| run.kind == "pellun") {
        let same_day = plan.runs.iter().filter(|one| one.sow == run.sow);
        assert!(same_day.map(|one| one.place_in_day).max() <= Some(run.place_in_day));
    }
    let own = plan.runs.iter().filter(|run| run.kind == "dervisk-own");
    assert!(own.clone().count() > 0 && own.map(|run| run.trays).min() >= Some(150));
}

/// The early season's trays come back and are washed before the late one is sown: more are sown than there are.
#[test]
fn trays_of_the_early_season_are_sown_again_in_the_late_one() {
    let plan = plan("two-season");
    assert_eq!(plan.shortfalls, []);
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
    // Seed does not last for all: of the fields that it could have gone to, the one ordered last goes without.
    let ordered = |field: &str| {
        let mut fields = plan.scenario.fields.iter();
        fields.find(|one| one.id == field).unwrap().ordered
    };
    let served = plan.deliveries.iter().map(|one| ordered(&one.field)).max();
    assert!(
        reason("Q10").contains("seed of `ulvet`"),
        "{}",
        reason("Q10")
    );
    assert!(ordered("Q10") > served.flatten(), "{served:?}");
    assert!(plan.cost.shortage.is_some_and(|money| money.0 > 0));
}
