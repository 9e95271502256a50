//! Whatever is altered in a plan, the audit names it by its code; an untouched plan has no breach; and
//! no alteration of its JSON makes the audit panic.

#[path = "tampering/carried.rs"]
mod carried;
#[path = "tampering/hired.rs"]
mod hired;
mod small;
#[path = "tampering/whole.rs"]
mod whole;

use carried::CARRIED;
use hired::HIRED;
use proptest::prelude::*;
use serde_json::{Value, json};
use small::{codes, count, day, plan, stocked};
use sowrota::audit::codes::CODES;
use sowrota::audit::{audit, plan_by_hand};
use sowrota::plan::types::{Bought, BoughtWhat, Delivery, Plan, Run, Shortfall, Washing};
use sowrota::units::{Age, Fixed, Money};
use std::collections::BTreeSet;
use whole::WHOLE;

type Tampering = (&'static str, &'static str, fn(&mut Plan));

fn delivery<'a>(plan: &'a mut Plan, field: &str, part: u32) -> &'a mut Delivery {
    plan.deliveries
        .iter_mut()
        .find(|one| one.field == field && one.part == part)
        .unwrap()
}

/// Early of 13 April: R004; late of that day: R003; from the soaked batch: R002; standing: R001.
fn run<'a>(plan: &'a mut Plan, id: &str) -> &'a mut Run {
    plan.runs.iter_mut().find(|run| run.id == id).unwrap()
}

/// A delivery later than it can be planted still has its age stated.
fn replant(delivery: &mut Delivery, text: &str, hundredths: i64) {
    (delivery.day, delivery.age) = (day(text), Age { 0: hundredths });
}

const TAMPERINGS: &[Tampering] = &[
    ("A001", "a stack of height 0", |plan| {
        plan.scenario.germination[0].height = 0
    }),
    ("A001", "numbers beyond all sense", |plan| {
        plan.scenario.trays.stock = i64::MAX
    }),
    ("A001", "work for a crew that is not there", |plan| {
        plan.scenario.work.sow.as_mut().unwrap().crew = "nobody".into();
    }),
    ("A002", "an unknown kind", |plan| {
        run(plan, "R003").kind = "latte".into()
    }),
    ("A002", "an unknown line", |plan| {
        run(plan, "R003").line = Some("c".into())
    }),
    ("A002", "an unknown run", |plan| {
        delivery(plan, "F2", 1).run = "R009".into()
    }),
    ("A002", "an unknown field", |plan| {
        delivery(plan, "F2", 1).field = "F9".into()
    }),
    ("A002", "an unknown bed", |plan| {
        delivery(plan, "F2", 1).harden_bed = Some("garden".into())
    }),
    ("A003", "a run listed twice", |plan| {
        plan.runs.push(plan.runs[1].clone())
    }),
    ("A004", "a run cut in two", |plan| {
        let mut second = run(plan, "R004").clone();
        second.id = "R005".into();
        second.place_in_day = 3;
        plan.runs.push(second);
        delivery(plan, "F1", 2).run = "R005".into();
    }),
    ("A005", "fewer trays than none", |plan| {
        delivery(plan, "F2", 1).trays = -90
    }),
    ("A005", "a day that no plan means", |plan| {
        let one = delivery(plan, "F2", 1);
        one.day = one.day.plus(i32::MAX);
    }),
    ("A006", "more trays in the run than delivered", |plan| {
        run(plan, "R004").trays = 220
    }),
    ("A007", "no trial trays", |plan| {
        run(plan, "R004").trial_trays = 0
    }),
    ("A008", "a stack too few", |plan| {
        run(plan, "R004").stacks[0].stacks = 14
    }),
    ("A008", "trays missing in the stacks", |plan| {
        run(plan, "R004").stacks[0].trays = 210
    }),
    (
        "A008",
        "stacks opened on another day than its trays",
        |plan| {
            run(plan, "R004").stacks[0].open = day("2027-04-17");
        },
    ),
    ("A008", "stacks in a place that has none of it", |plan| {
        run(plan, "R004").stacks[0].germination = "barn".into();
    }),
    ("A009", "a grower gets another kind", |plan| {
        delivery(plan, "F2", 1).run = "R004".into()
    }),
    ("A010", "a part that was not ordered", |plan| {
        delivery(plan, "F1", 2).part = 3
    }),
    ("A011", "a part delivered twice", |plan| {
        let mut again = delivery(plan, "F1", 1).clone();
        again.trays = 5;
        plan.deliveries.push(again);
    }),
    ("A012", "too many trays", |plan| {
        delivery(plan, "F1", 1).trays = 106
    }),
    ("A013", "too few trays, and none listed as short", |plan| {
        delivery(plan, "F1", 1).trays = 100
    }),
    ("A013", "a delivery left out", |plan| {
        plan.deliveries.retain(|one| one.field != "F4")
    }),
    ("A013", "a shortage that is none", |plan| {
        let reason = "no reason".to_string();
        plan.shortfalls.push(Shortfall {
            decide_by: None,
            field: "F4".into(),
            part: 1,
            trays: 3,
            reason,
            help: None,
        });
    }),
    ("A014", "standing trays put into another bed", |plan| {
        delivery(plan, "F3", 1).harden_bed = Some("tunnel".into());
    }),
    ("A014", "trays that nobody has sown", |plan| {
        delivery(plan, "F4", 1).run = "R001".into()
    }),
    ("A020", "sown on a Sunday", |plan| {
        run(plan, "R003").sow = day("2027-04-11")
    }),
    ("A021", "sown before the first day", |plan| {
        run(plan, "R002").sow = day("2027-03-31")
    }),
    ("A022", "no soaking", |plan| run(plan, "R003").soak = None),
    ("A023", "soaked on a Sunday", |plan| {
        // From Sunday 11 April three days reach Wednesday 14.
        run(plan, "R003").soak = Some(day("2027-04-11"));
    }),
    ("A024", "soaked before the first day, in no batch", |plan| {
        run(plan, "R002").soak = Some(day("2027-03-29"));
    }),
    ("A025", "drained a day late", |plan| {
        run(plan, "R003").drain = Some(day("2027-04-13"))
    }),
    ("A026", "sown before the seed has sprouted", |plan| {
        run(plan, "R004").soak = Some(day("2027-04-08"));
        run(plan, "R004").drain = Some(day("2027-04-13"));
    }),
    ("A027", "sprouted seed kept too long", |plan| {
        run(plan, "R004").soak = Some(day("2027-04-05"));
        run(plan, "R004").drain = Some(day("2027-04-10"));
    }),
    ("A028", "soaked sooner than needed", |plan| {
        // From Thursday 8 April, due on Sunday 11, drained on Monday 12: legal, but Friday 9 will do.
        run(plan, "R003").soak = Some(day("2027-04-08"));
    }),
    ("A030", "opened a day before it is ready", |plan| {
        delivery(plan, "F2", 1).open = day("2027-04-14");
        run(plan, "R003").stacks[0].open = day("2027-04-14");
    }),
    ("A031", "opened on a Sunday", |plan| {
        delivery(plan, "F4", 1).open = day("2027-04-11")
    }),
    ("A032", "opened two days late", |plan| {
        delivery(plan, "F2", 1).open = day("2027-04-17")
    }),
    ("A033", "opened a day late without need", |plan| {
        delivery(plan, "F2", 1).open = day("2027-04-16");
    }),
    ("A034", "no temperature known", |plan| {
        use sowrota::scenario::Temperature::Outdoors;
        plan.scenario.beds[1].temperature = Outdoors {
            night_plus_c: Fixed(100),
            day_plus_c: Fixed(100),
        };
    }),
    ("A035", "greening a day short", |plan| {
        delivery(plan, "F1", 1).harden = day("2027-04-19")
    }),
    ("A036", "covers changed on a Sunday", |plan| {
        delivery(plan, "F2", 1).harden = day("2027-04-18")
    }),
    ("A037", "covers changed two days late", |plan| {
        delivery(plan, "F1", 1).harden = day("2027-04-22");
    }),
    ("A038", "covers changed a day late without need", |plan| {
        delivery(plan, "F1", 1).harden = day("2027-04-21");
    }),
    ("A039", "greening where it cannot be", |plan| {
        delivery(plan, "F2", 1).green_bed = Some("yard".into())
    }),
    ("A040", "a needless move", |plan| {
        delivery(plan, "F1", 2).harden_bed = Some("yard".into())
    }),
    ("A041", "a missing move", |plan| {
        delivery(plan, "F2", 1).harden_bed = Some("house".into())
    }),
    ("A045", "planted before the window", |plan| {
        replant(delivery(plan, "F1", 1), "2027-04-30", 1_700)
    }),
    ("A046", "planted on a closed day of the field", |plan| {
        replant(delivery(plan, "F2", 1), "2027-04-28", 340);
    }),
    ("A047", "planted on a holiday", |plan| {
        replant(delivery(plan, "F1", 1), "2027-05-01", 1_800)
    }),
    ("A048", "planted after the last day", |plan| {
        replant(delivery(plan, "F1", 2), "2027-05-17", 3_400);
    }),
    ("A049", "planted while greening", |plan| {
        replant(delivery(plan, "F3", 1), "2027-04-05", 600)
    }),
    ("A050", "planted too young", |plan| {
        replant(delivery(plan, "F4", 1), "2027-04-20", 1_700)
    }),
    ("A051", "planted too old", |plan| {
        replant(delivery(plan, "F1", 1), "2027-05-08", 2_500)
    }),
    ("A052", "an age of its own", |plan| {
        delivery(plan, "F2", 1).age = Age { 0: 321 }
    }),
    ("A053", "a pin not kept", |plan| {
        plan.scenario.pins[0].sow = Some(day("2027-04-05"))
    }),
    ("A060", "more than the line can do", |plan| {
        plan.scenario.lines[0].hours_per_day = Fixed(140)
    }),
    ("A061", "two runs in the same place", |plan| {
        run(plan, "R004").place_in_day = 1
    }),
    ("A062", "the dearer order", |plan| {
        run(plan, "R004").place_in_day = 1;
        run(plan, "R003").place_in_day = 2;
    }),
    ("A063", "more stacks than places", |plan| {
        plan.scenario.germination[0].stack_places = 21
    }),
    ("A064", "more trays than floor", |plan| {
        let one = delivery(plan, "F1", 2);
        (one.green_bed, one.harden_bed) = (Some("house".into()), Some("yard".into()));
    }),
    ("A065", "trays that nobody owns", |plan| {
        plan.scenario.trays.stock = 449
    }),
    ("A066", "more washed than dirty", |plan| {
        plan.washing[1].trays = 4
    }),
    ("A067", "washed faster than the washer", |plan| {
        plan.washing[9].trays = 101
    }),
    ("A068", "washed on a Sunday", |plan| {
        plan.washing[4].day = day("2027-04-18")
    }),
    ("A069", "no washing listed as washing", |plan| {
        plan.washing.push(Washing {
            day: day("2027-05-12"),
            trays: 0,
        });
    }),
    ("A070", "more overtime than there is", |plan| {
        plan.scenario.crews[0].overtime_hours = Fixed(25);
    }),
    ("A071", "a Sunday with nobody to call", |plan| {
        plan.scenario.crews[1].rest_day_people = 0
    }),
    ("A072", "overtime left out", |plan| {
        plan.bought.retain(|one| one.what == BoughtWhat::RestDay)
    }),
    ("A073", "overtime understated", |plan| {
        plan.bought
            .iter_mut()
            .find(|one| one.minutes == 80)
            .unwrap()
            .minutes = 79;
    }),
    ("A073", "overtime too cheap", |plan| {
        plan.bought
            .iter_mut()
            .find(|one| one.minutes == 80)
            .unwrap()
            .cost = Money::whole(15);
    }),
    ("A073", "overtime that nobody needs", |plan| {
        let (day, crew) = (day("2027-04-14"), "line_team".to_string());
        let (what, cost) = (BoughtWhat::Overtime, Money::whole(12));
        plan.bought.push(Bought {
            day,
            crew,
            what,
            minutes: 60,
            cost,
        });
    }),
    ("A074", "a week with less work", |plan| {
        plan.people[2].needed_minutes -= 1
    }),
    ("A074", "a week left out", |plan| {
        plan.people.retain(|one| one.needed_minutes != 320);
    }),
    ("A075", "more hectares than the machine plants", |plan| {
        replant(delivery(plan, "F1", 2), "2027-05-03", 2_000);
    }),
    ("A076", "more seed than soaks", |plan| {
        plan.scenario.opening.soaked[0].kg_dry = Fixed(7_739)
    }),
    ("A080", "cost of age", |plan| {
        plan.cost.age = Money::whole(3)
    }),
    ("A081", "cost of the preferred day", |plan| {
        plan.cost.off_preferred = Money::ZERO
    }),
    ("A082", "cost of set-ups", |plan| {
        plan.cost.set_ups = Money::whole(10)
    }),
    ("A083", "cost of overtime", |plan| {
        plan.cost.overtime = Money::whole(17)
    }),
    ("A084", "cost of days off", |plan| {
        plan.cost.rest_days = Money::ZERO
    }),
    ("A085", "total", |plan| {
        plan.cost.total = Money { 0: 51_464 }
    }),
    ("A086", "trays short", |plan| plan.cost.trays_short = 1),
    ("A087", "price of trays short", |plan| {
        plan.cost.short_per_tray = Money::whole(1)
    }),
    ("A088", "a bound above the cost", |plan| {
        plan.bound = Some(Money { 0: 51_466 })
    }),
    ("A090", "another format", |plan| {
        plan.format = "sowrota-plan/9".into()
    }),
    ("A091", "another scenario under the old hash", |plan| {
        plan.scenario.name.push('s')
    }),
];

/// With the plan of the nursery that has stores, vehicles and further limits.
const STOCKED: &[Tampering] = &[
    ("A001", "a curve that falls", |plan| {
        plan.scenario.growers[0].returns.reverse()
    }),
    ("A001", "a block that is not there", |plan| {
        plan.scenario.fields[2].block = Some("high".into())
    }),
    ("A001", "soil from a store that is not there", |plan| {
        plan.scenario.kinds[0].cover_soil = Some("peat".into())
    }),
    ("A001", "bags of nothing", |plan| {
        plan.scenario.kinds[0].bag_kg = Some(Fixed::ZERO)
    }),
    ("A042", "a field that is not ready", |plan| {
        plan.scenario.fields[3].ready = false
    }),
    ("A043", "planted before the water is there", |plan| {
        replant(delivery(plan, "F2", 1), "2027-04-26", 300);
    }),
    ("A043", "planted long after the water", |plan| {
        replant(delivery(plan, "F2", 1), "2027-04-29", 360);
    }),
    ("A044", "planted soon after the harvest", |plan| {
        replant(delivery(plan, "F1", 1), "2027-05-02", 1_900);
    }),
    ("A044", "planted long after the harvest", |plan| {
        replant(delivery(plan, "F1", 2), "2027-05-05", 2_200);
    }),
    ("A054", "a day younger, in leaves", |plan| {
        replant(delivery(plan, "F4", 1), "2027-04-22", 1_900);
    }),
    ("A055", "a day older, in leaves", |plan| {
        replant(delivery(plan, "F4", 1), "2027-04-24", 2_100);
    }),
    ("A075", "no time to move the machine", |plan| {
        replant(delivery(plan, "F1", 2), "2027-05-03", 2_000);
    }),
    ("A077", "floor taken before it is cleared", |plan| {
        plan.scenario.beds[0].turn_round_days = 7
    }),
    ("A078", "soaked before the seed came", |plan| {
        let run = run(plan, "R004");
        (run.soak, run.drain) = (Some(day("2027-04-06")), Some(day("2027-04-12")));
    }),
    ("A079", "sown before the soil came", |plan| {
        run(plan, "R004").sow = day("2027-04-12")
    }),
    ("A092", "opened too early for the water", |plan| {
        delivery(plan, "F2", 1).open = day("2027-04-13");
    }),
    ("A093", "soaked in bags too large for the tank", |plan| {
        plan.scenario.kinds[1].bag_kg = Some(Fixed::whole(12))
    }),
    ("A094", "two parts on one day", |plan| {
        replant(delivery(plan, "F1", 2), "2027-05-03", 2_000);
    }),
];

fn all_tamperings() -> impl Iterator<Item = (Plan, &'static Tampering)> {
    let plans = [
        (plan(), TAMPERINGS),
        (plan(), HIRED),
        (stocked::plan(), STOCKED),
        (small::whole::plan(), WHOLE),
        (small::carried::plan(), CARRIED),
    ];
    plans
        .into_iter()
        .flat_map(|(plan, all)| all.iter().map(move |one| (plan.clone(), one)))
}

#[test]
fn an_untouched_plan_has_no_breach() {
    assert_eq!(count(&plan()).breaches, []);
    assert_eq!(count(&stocked::plan()).breaches, []);
    assert_eq!(count(&small::whole::plan()).breaches, []);
    assert_eq!(count(&small::carried::plan()).breaches, []);
}

#[test]
fn every_tampering_is_named() {
    for (mut plan, (code, name, tamper)) in all_tamperings() {
        tamper(&mut plan);
        let found = codes(&plan);
        assert!(found.contains(code), "{code} {name}: found {found:?}");
    }
}

#[test]
fn every_code_has_its_tampering() {
    let tried: BTreeSet<_> = all_tamperings().map(|(_, (code, _, _))| *code).collect();
    let known: BTreeSet<_> = CODES.iter().map(|(code, _)| *code).collect();
    assert_eq!(tried, known);
}

#[test]
fn tampering_with_one_statement_is_named_alone() {
    // What is only stated is not counted with: nothing else is thrown off.
    let alone = "A006 A007 A052 A066 A073 A080 A081 A082 A083 A084 A085 A086 A087 A088 A090 A091 \
                 A103 A108 A109 A110 A111 A112 A114 A117 A118 A140 A142";
    for (mut plan, (code, name, tamper)) in all_tamperings() {
        if alone.contains(code) {
            tamper(&mut plan);
            assert_eq!(codes(&plan), [*code], "{name}");
        }
    }
}

#[test]
fn a_breach_tells_day_place_and_numbers() {
    let mut plan = plan();
    plan.scenario.germination[0].stack_places = 21;
    let found = count(&plan);
    let breach = found
        .breaches
        .iter()
        .find(|breach| breach.code == "A063")
        .unwrap();
    assert_eq!(
        breach.what,
        "places: `shed` holds 22 stacks on 2027-04-13, 21 fit"
    );
    assert_eq!((breach.day, breach.amount), (Some(day("2027-04-13")), 1));
    // 13 and 14 April; on 15 April the late ones are open.
    assert_eq!(
        found
            .breaches
            .iter()
            .filter(|breach| breach.code == "A063")
            .count(),
        2
    );
}

#[test]
fn limits_hold_exactly_at_the_limit() {
    let mut plan = plan();
    let scenario = &mut plan.scenario;
    scenario.germination[0].stack_places = 22;
    scenario.trays.stock = 450;
    scenario.opening.soaked[0].kg_dry = Fixed(7_740);
    scenario.planters[0].ha_per_day = Fixed(5_000);
    // 87.375 min are 1.45625 h.
    scenario.lines[0].hours_per_day = Fixed(146);
    // 79.5 min of overtime, 4 people × 0.34 h = 81.6 min.
    scenario.crews[0].overtime_hours = Fixed(34);
    assert_eq!(codes(&plan), ["A091"]);
}

#[test]
fn another_scenario_can_be_counted_on() {
    let plan = plan();
    let mut other = plan.scenario.clone();
    assert_eq!(audit(&plan, &other).breaches, []);
    other.germination[0].stack_places = 5;
    let found = audit(&plan, &other);
    assert!(!found.breaches.is_empty());
    assert!(
        found.breaches.iter().all(|breach| breach.code == "A063"),
        "{:?}",
        found.breaches
    );
}

/// Places of all values in a tree of JSON.
fn places(value: &Value, at: String, all: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            map.iter()
                .for_each(|(key, value)| places(value, format!("{at}/{key}"), all));
        }
        Value::Array(list) => {
            list.iter()
                .enumerate()
                .for_each(|(n, value)| places(value, format!("{at}/{n}"), all));
        }
        _ => {}
    }
    all.push(at);
}

/// A value of the same sort, but odd.
fn odd(old: &Value, choice: usize) -> Value {
    let texts = [
        "",
        "F1",
        "R001",
        "early",
        "yard",
        "1990-01-01",
        "2200-12-31",
        "2027-04-18",
        "days",
        "outdoors",
        "leaves",
        "thermal",
        "single_sine",
        "2027-05-02/2200-01-01",
        "loam",
        "Sil",
        "sprouted",
        "soaked_seed",
        "in_proportion",
        "by_hand",
    ];
    let numbers = [
        json!(0),
        json!(-1),
        json!(1),
        json!(7),
        json!(1e9),
        json!(9e12),
        json!(-9e12),
        json!(0.5),
        json!(i64::MAX),
        json!(i64::MIN),
        json!(i32::MAX),
        json!(i32::MIN),
        json!(u32::MAX),
    ];
    match old {
        Value::Number(_) => numbers[choice % numbers.len()].clone(),
        Value::String(_) => json!(texts[choice % texts.len()]),
        Value::Null => [json!(1), json!("2027-04-18"), json!("ours")][choice % 3].clone(),
        Value::Array(list) => match choice % 3 {
            0 => json!([]),
            1 => list.iter().chain(list).cloned().collect(),
            _ => list.iter().rev().cloned().collect(),
        },
        Value::Bool(yes) => json!(!yes),
        Value::Object(_) => Value::Null,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3_000, failure_persistence: None, ..Default::default() })]

    #[test]
    fn no_alteration_makes_the_audit_panic(
        which in 0usize..5,
        changes in prop::collection::vec((any::<usize>(), any::<usize>()), 1..5),
    ) {
        let untouched = untouched(which);
        let mut json = serde_json::to_value(untouched).unwrap();
        for (place, choice) in changes {
            let mut all = Vec::new();
            places(&json, String::new(), &mut all);
            let at = &all[place % all.len()];
            let old = json.pointer(at).unwrap().clone();
            *json.pointer_mut(at).unwrap() = odd(&old, choice);
            if serde_json::from_value::<Plan>(json.clone()).is_err() {
                *json.pointer_mut(at).unwrap() = old;
            }
        }
        let altered: Plan = serde_json::from_value(json).unwrap();
        let found = audit(&altered, &altered.scenario);
        audit(&altered, &untouched.scenario);
        // The same odd scenario with a table made by hand: a plan or problems.
        for table in [small::TABLE, small::whole::TABLE] {
            let by_hand = plan_by_hand(&altered.scenario, table.as_bytes(), "by_hand.csv");
            if let Ok(plan) = by_hand {
                audit(&plan, &altered.scenario);
            }
        }
        // A scenario under the hash of another one never goes unnoticed.
        if altered.scenario != untouched.scenario {
            let named = |code| found.breaches.iter().any(|breach| breach.code == code);
            prop_assert!(named("A001") || named("A091"));
        }
    }
}

fn untouched(which: usize) -> &'static Plan {
    static PLANS: std::sync::OnceLock<[Plan; 5]> = std::sync::OnceLock::new();
    &PLANS.get_or_init(|| {
        [
            plan(),
            stocked::plan(),
            small::whole::plan(),
            hired::plan(),
            small::carried::plan(),
        ]
    })[which]
}
