//! Promise: the list of what to buy says, from the plan alone, how much of what is missing on which day, and by when to order it; its sums are
//! those of the day sheets.

#[path = "common/demos.rs"]
mod demos;
#[path = "common/small_plan.rs"]
mod small_plan;

use small_plan::day;
use sowrota::audit::{Subject, audit};
use sowrota::calendar::Day;
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::plan::day::{Work, day_plan};
use sowrota::plan::file::save;
use sowrota::plan::tasks::TaskGraph;
use sowrota::plan::types::Shortfall;
use sowrota::report;
use sowrota::scenario::{
    AgentStore, Scenario, SeedStore, SetUpPair, Soaked, SoilDelivery, SoilStore, Treatment,
};
use sowrota::solve::{self, Budget, Start, Unwatched};
use sowrota::stores::{Item, KeptFor, Needs, What, needs};
use sowrota::units::Fixed;
use std::collections::BTreeMap;
use std::process::Command;

/// The small plan with seed in bags, treated, on soil that comes too late; of the other kind nothing is in store.
fn stocked() -> Plan {
    let mut plan = small_plan::plan();
    let early = &mut plan.scenario.kinds[0];
    early.bag_kg = Some(Fixed::whole(20));
    early.bed_soil = Some("loam".into());
    early.cover_soil = Some("loam".into());
    early.treatment = Some(Treatment {
        agent: "dip".into(),
        ml_per_kg: Fixed::whole(5),
    });
    plan.scenario.seed_stores = vec![SeedStore {
        kind: "early".into(),
        kg_dry: Fixed::whole(80),
        lead_days: 10,
        sample_kg: Fixed(500),
        reserve_share: Fixed(50_000),
        deliveries: vec![],
    }];
    plan.scenario.soil_stores = vec![SoilStore {
        id: "loam".into(),
        name: "Loam mix".into(),
        litres: Fixed::whole(1_000),
        lead_days: 20,
        lot_litres: Some(Fixed::whole(500)),
        deliveries: vec![SoilDelivery {
            day: day("04-20"),
            litres: Fixed::whole(2_000),
        }],
    }];
    plan.scenario.agents = vec![AgentStore {
        id: "dip".into(),
        name: "Seed dip".into(),
        ml: Fixed::whole(100),
        lead_days: 7,
        lot_ml: Some(Fixed::whole(250)),
        deliveries: vec![],
    }];
    plan
}

fn item<'n>(needs: &'n Needs, name: &str) -> &'n Item {
    let mut items = needs.items.iter();
    items.find(|item| item.name == name).unwrap()
}

/// Set aside, used, to buy and left, as numbers.
fn sums(item: &Item) -> [String; 4] {
    let buy = item.orders.iter().map(|order| order.amount.parts).sum();
    let mut bought = item.left;
    bought.parts = buy;
    [item.set_aside, item.used, bought, item.left].map(|amount| amount.to_string())
}

/// Order by, needed on, for the plan, besides, lots.
fn ordered(item: &Item) -> Vec<(Day, Day, String, String, Option<i64>)> {
    let orders = item.orders.iter().map(|order| {
        let (plan, besides) = (order.for_plan.to_string(), order.for_besides.to_string());
        (order.by, order.needed, plan, besides, order.lots)
    });
    orders.collect()
}

#[test]
fn a_case_by_hand() {
    let needs = needs(&stocked()).unwrap();
    // 620 trays of 180 g are 111.6 kg: six bags of 20. With 0.5 kg and 5 % of 120 kg 126.5 are taken on 6 April, 46.5 more than are there: three bags,
    // ordered ten days before, over the end of March.
    let seed = item(&needs, "Early White");
    assert_eq!(sums(seed), ["120", "111.6", "60", "13.5"]);
    let row = |by, on, plan: &str, besides: &str, lots| {
        vec![(
            day(by),
            day(on),
            plan.to_string(),
            besides.to_string(),
            lots,
        )]
    };
    assert_eq!(ordered(seed), row("03-27", "04-06", "40", "6.5", Some(3)));
    let kept: Vec<_> = seed
        .kept
        .iter()
        .map(|one| (one.kept_for, one.amount.to_string(), one.day))
        .collect();
    assert_eq!(
        kept,
        [
            (KeptFor::Sample, "0.5".to_string(), day("04-06")),
            (KeptFor::Reserve, "6".to_string(), day("04-06"))
        ]
    );
    let dry = seed.runs_dry.as_ref().unwrap();
    assert_eq!(
        (dry.from, dry.missing.to_string()),
        (day("04-06"), "40".into())
    );
    // 326 trays of 150 g, of which there is no store: all of it, on the day it soaks.
    let late = item(&needs, "Late Amber");
    assert_eq!(
        (late.has_store, sums(late)),
        (false, ["48.9", "48.9", "48.9", "0"].map(String::from))
    );
    assert_eq!(ordered(late), row("04-08", "04-08", "48.9", "0", None));
    // 620 mats of 0.58 m × 0.28 m: 20 mm are 2,013.76 L, 7 mm 704.816 L. 1,000 L are there on 16 April, and 2,000 come after it: four lots of 500.
    let loam = item(&needs, "Loam mix");
    assert_eq!(sums(loam), ["2718.576", "2718.576", "2000", "2281.424"]);
    assert_eq!(
        ordered(loam),
        row("03-27", "04-16", "1718.576", "0", Some(4))
    );
    // The other kind names no mix: 326 mats.
    assert_eq!(sums(item(&needs, "bed soil"))[0], "1058.848");
    assert_eq!(sums(item(&needs, "cover soil"))[0], "370.5968");
    // 5 mL for each of 120 kg: 600, of which 100 are there; two bottles of 250.
    let dip = item(&needs, "Seed dip");
    assert_eq!(sums(dip), ["600", "600", "500", "0"]);
    assert_eq!(ordered(dip), row("03-30", "04-06", "500", "0", Some(2)));
    let tests = needs.germination_tests.iter();
    let tests: Vec<_> = tests
        .map(|test| (test.begin, test.read, test.first_soaking))
        .collect();
    assert_eq!(
        tests,
        [
            (day("03-16"), day("03-30"), day("04-06")),
            (day("03-18"), day("04-01"), day("04-08"))
        ]
    );
}

/// Thrown out at most against really, what stays in the hopper, and a batch that soaks already.
#[test]
fn set_aside_is_what_may_be_taken_and_used_what_is() {
    let mut plan = stocked();
    let pair = |from: &str, to: &str, throw_out_trays| SetUpPair {
        from: from.into(),
        to: to.into(),
        minutes: Fixed::whole(20),
        never: false,
        throw_out_trays,
    };
    plan.scenario.lines[0].set_up_pairs = vec![pair("early", "late", 10), pair("late", "early", 4)];
    plan.scenario.lines[0].hopper_g_dry = Fixed::whole(2_000);
    plan.runs[1].thrown_trays = 3;
    let found = needs(&plan).unwrap();
    // 326 trays and 10, or really 3, of 150 g, and 2 kg.
    assert_eq!(sums(item(&found, "Late Amber"))[..2], ["52.4", "51.35"]);
    // The same of 3.248 L.
    assert_eq!(
        sums(item(&found, "bed soil"))[..2],
        ["1091.328", "1068.592"]
    );
    // 620 trays and 4, or really none, of 180 g, and 2 kg: 114.32 kg in whole bags, or 113.6.
    assert_eq!(sums(item(&found, "Early White"))[..2], ["120", "113.6"]);
    // The first run draws on a batch that soaks since before the first day: its seed and dip come out of no store, its soil does.
    plan.scenario.opening.soaked = vec![Soaked {
        kind: "early".into(),
        kg_dry: Fixed::whole(115),
        soaked: day("04-03"),
    }];
    plan.runs[0].soak = Some(day("04-03"));
    let found = needs(&plan).unwrap();
    let seed = item(&found, "Early White");
    assert_eq!(
        (sums(seed), seed.kept.len()),
        (["0", "0", "0", "80"].map(String::from), 0)
    );
    assert_eq!(sums(item(&found, "Seed dip"))[0], "0");
    // 624 trays at most of 4.3848 L in all.
    assert_eq!(sums(item(&found, "Loam mix"))[0], "2736.1152");
    let tests: Vec<&str> = found
        .germination_tests
        .iter()
        .map(|test| test.kind.as_str())
        .collect();
    assert_eq!(tests, ["late"]);
}

#[test]
fn what_trays_not_grown_would_take_is_said() {
    let mut plan = stocked();
    plan.shortfalls = vec![Shortfall {
        field: "hill".into(),
        part: 1,
        trays: 100,
        reason: "no seed".into(),
        help: None,
        decide_by: None,
    }];
    let found = needs(&plan).unwrap();
    // 18 kg, of which 13.5 are left.
    let short = item(&found, "Early White").not_grown.as_ref().unwrap();
    assert_eq!(
        (
            short.trays,
            short.amount.to_string(),
            short.missing.to_string()
        ),
        (100, "18".into(), "4.5".into())
    );
    // 438.48 L of what is left, and 90 mL.
    let short = item(&found, "Loam mix").not_grown.as_ref().unwrap();
    assert_eq!(
        (short.amount.to_string(), short.missing.parts),
        ("438.48".into(), 0)
    );
    let short = item(&found, "Seed dip").not_grown.as_ref().unwrap();
    assert_eq!(short.missing.to_string(), "90");
    assert_eq!(item(&found, "Late Amber").not_grown, None);
    let text = report::buy::text(&plan, &found);
    insta::assert_snapshot!(text);
}

fn planned(scenario: &Scenario) -> Plan {
    let budget = Budget {
        moves: 200,
        relaxations: 0,
        seed: 1,
    };
    let nursery = Nursery::new(scenario);
    solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan
}

type ByDay<T> = BTreeMap<(String, Day), T>;

/// Two seasons, one kind in bags, one treated, a hopper that keeps some: what the sheets of all days say is what the list says.
#[test]
fn the_sheets_of_all_days_add_up_to_the_list() {
    let mut scenario = demos::scenario("two-season");
    scenario.kinds[0].bag_kg = Some(Fixed::whole(20));
    scenario.kinds[1].treatment = Some(Treatment {
        agent: "dip".into(),
        ml_per_kg: Fixed::whole(5),
    });
    scenario.lines[0].hopper_g_dry = Fixed::whole(1_500);
    scenario.seed_stores = scenario
        .kinds
        .iter()
        .map(|kind| SeedStore {
            kind: kind.id.clone(),
            kg_dry: Fixed::whole(100_000),
            lead_days: 30,
            sample_kg: Fixed(1_000),
            reserve_share: Fixed(20_000),
            deliveries: vec![],
        })
        .collect();
    let plan = planned(&scenario);
    let found = needs(&plan).unwrap();
    let graph = TaskGraph::new(&plan).unwrap();
    let (mut soaked, mut dipped): (ByDay<i64>, ByDay<i64>) = Default::default();
    let mut on_line: BTreeMap<String, (i64, i64, i64)> = BTreeMap::new();
    for day in scenario.horizon.iter() {
        let sheet = day_plan(&graph, day);
        for job in sheet.jobs() {
            let kind = job.kind.clone().unwrap_or_default();
            if job.work == Work::Soak {
                let seed = job.seed.unwrap();
                *soaked.entry((kind.clone(), day)).or_default() += seed.dry.0;
                if let Some(dose) = &job.dose {
                    *dipped.entry((dose.agent.clone(), day)).or_default() += dose.ml;
                }
            }
            if let Some(sowing) = &job.sowing {
                let of_run = (sowing.seed.dry.0, sowing.soil.bed_l, sowing.soil.cover_l);
                on_line.insert(job.runs[0].clone(), of_run);
            }
        }
    }
    assert!(
        on_line.len() > 20 && dipped.len() > 3,
        "{} {}",
        on_line.len(),
        dipped.len()
    );
    let (mut seed, mut dip): (ByDay<i128>, ByDay<i128>) = Default::default();
    let mut runs: BTreeMap<String, [i128; 3]> = BTreeMap::new();
    for item in &found.items {
        for one in &item.uses {
            let run = runs.entry(one.run.clone()).or_default();
            match &item.what {
                What::Seed { .. } => {
                    *seed.entry((item.name.clone(), one.day)).or_default() += one.set_aside.parts;
                    run[0] += one.used.parts / 10;
                }
                What::Agent { .. } => {
                    *dip.entry((item.name.clone(), one.day)).or_default() += one.set_aside.parts;
                }
                What::BedSoil => run[1] += one.used.near().parts / 1_000_000,
                What::CoverSoil => run[2] += one.used.near().parts / 1_000_000,
                What::Soil { .. } => unreachable!(),
            }
        }
    }
    // To the gram, to the millilitre, and run by run to the litre.
    let grams: ByDay<i64> = seed
        .into_iter()
        .map(|(on, parts)| (on, (parts / 10) as i64))
        .collect();
    assert_eq!(grams, soaked);
    let millilitres = |parts: i128| ((2 * parts + 100_000) / 200_000) as i64;
    let dip: ByDay<i64> = dip
        .into_iter()
        .map(|(on, parts)| (on, millilitres(parts)))
        .collect();
    assert_eq!(dip, dipped);
    let runs: BTreeMap<String, (i64, i64, i64)> = runs
        .into_iter()
        .map(|(run, [seed, bed, cover])| (run, (seed as i64, bed as i64, cover as i64)))
        .collect();
    assert_eq!(runs, on_line);
    // With stores that last, only samples and reserves are kept, by season, and nothing is ordered of seed.
    let kinds = found
        .items
        .iter()
        .filter(|item| matches!(item.what, What::Seed { .. }));
    let mut seasons = Vec::new();
    for item in kinds {
        assert!(item.orders.is_empty() && item.runs_dry.is_none());
        let kept: i128 = item.kept.iter().map(|kept| kept.amount.parts).sum();
        assert_eq!(
            item.left.parts,
            item.in_store.parts - item.set_aside.parts - kept
        );
        let samples = item
            .kept
            .iter()
            .filter(|kept| kept.kept_for == KeptFor::Sample);
        seasons.extend(samples.map(|kept| kept.season.clone().unwrap()));
    }
    seasons.sort();
    seasons.dedup();
    assert_eq!(seasons, ["Early crop 2027", "Late crop 2027"]);
}

/// The over-full nursery planned as if seed were no limit: the list names the day on which the audit finds the store overdrawn, and buys what is
/// missing in bags and no bag more. Planned within its stores it lacks nothing.
#[test]
fn a_store_that_runs_dry_is_named_with_its_day() {
    let with_stores = demos::scenario("overfull");
    let mut without = with_stores.clone();
    without.seed_stores.clear();
    let mut plan = planned(&without);
    plan.scenario.seed_stores = with_stores.seed_stores.clone();
    for store in &mut plan.scenario.seed_stores {
        store.lead_days = 21;
    }
    let found = needs(&plan).unwrap();
    let overdrawn: Vec<_> = audit(&plan, &plan.scenario)
        .breaches
        .into_iter()
        .filter(|breach| breach.code == "A078")
        .collect();
    assert!(!overdrawn.is_empty());
    for item in found.items.iter().filter(|item| item.unit.sign() == "kg") {
        let What::Seed { kind } = &item.what else {
            unreachable!()
        };
        let subject = Subject::SeedStore { kind: kind.clone() };
        let days: Vec<_> = overdrawn
            .iter()
            .filter(|breach| breach.subject == subject)
            .collect();
        let first = days.iter().filter_map(|breach| breach.day).min();
        assert_eq!(item.runs_dry.as_ref().map(|dry| dry.from), first, "{kind}");
        let Some(dry) = &item.runs_dry else {
            assert!(item.orders.is_empty());
            continue;
        };
        let most = days.iter().map(|breach| breach.amount).max().unwrap();
        assert_eq!(dry.missing.up().parts / 10, i128::from(most));
        assert_eq!(
            (item.orders[0].needed, item.orders[0].by),
            (dry.from, dry.from.plus(-21))
        );
        let bought: i128 = item.orders.iter().map(|order| order.amount.parts).sum();
        let bag = item.lot.unwrap().parts;
        assert!(bought >= dry.missing.parts && bought - bag < dry.missing.parts);
        let text = report::buy::text(&plan, &found);
        assert!(
            text.contains(&format!("runs dry on {}", dry.from)),
            "{text}"
        );
    }
    let within = needs(&planned(&with_stores)).unwrap();
    assert!(
        within
            .items
            .iter()
            .all(|item| item.orders.is_empty() && item.runs_dry.is_none())
    );
    assert!(within.items.iter().any(|item| item.not_grown.is_some()));
}

/// Exit code, standard output and errors of the program.
fn sowrota(arguments: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sowrota"));
    let ended = command.args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        ended.status.code().unwrap(),
        text(ended.stdout),
        text(ended.stderr),
    )
}

#[test]
fn the_command_prints_the_list_and_its_json() {
    let folder = tempfile::tempdir().unwrap();
    save(&stocked(), &folder.path().join("plan.json")).unwrap();
    let path = folder.path().to_str().unwrap();
    let (code, out, errors) = sowrota(&["buy", path]);
    assert_eq!((code, errors.as_str()), (0, ""));
    insta::assert_snapshot!("list", out);
    let (code, out, errors) = sowrota(&["buy", path, "--json"]);
    assert_eq!((code, errors.as_str()), (0, ""));
    let page: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(page["format"], "sowrota-buy/1");
    let seed = &page["items"][0];
    assert_eq!(
        seed["what"],
        serde_json::json!({ "of": "seed", "kind": "early" })
    );
    assert_eq!(
        seed["orders"],
        serde_json::json!([{
            "by": "2027-03-27", "needed": "2027-04-06", "for_plan": 40, "for_besides": 6.5, "lots": 3, "amount": 60
        }])
    );
    assert_eq!(seed["uses"][0]["used"], 111.6);
    assert_eq!(page["germination_tests"][1]["begin"], "2027-03-18");
    let (code, _, errors) = sowrota(&["buy", &format!("{path}/nowhere")]);
    assert_eq!((code, errors.is_empty()), (1, false));
    let mut broken = stocked();
    broken.runs[0].kind = "nobody".into();
    save(&broken, &folder.path().join("plan.json")).unwrap();
    let (code, out, errors) = sowrota(&["buy", path]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(errors.contains("`nobody`"), "{errors}");
}

#[test]
fn no_line_is_wider_than_the_page() {
    let mut plan = stocked();
    plan.scenario.name =
        "A nursery with a name that goes on for longer than any page is wide, and on".into();
    plan.scenario.kinds[0].name =
        "A kind with a name that does not fit into any column, however wide the page".into();
    plan.scenario.soil_stores[0].name = "苗箱の土".repeat(12);
    plan.scenario.soil_stores[0].litres = Fixed::whole(99_999_999);
    for found in [needs(&plan).unwrap()] {
        for line in report::buy::text(&plan, &found).lines() {
            assert!(unicode_width::UnicodeWidthStr::width(line) <= 80, "{line}");
        }
    }
}
