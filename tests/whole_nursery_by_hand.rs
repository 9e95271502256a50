//! Losses, seed and sprouted trays handed over, waiting at the field's edge, rows, throw-out, agents, spans of days, travel
//! groups and sharing, each counted by hand from docs/COUNTING.md: under, exactly at and over the limit.

mod small;

use small::whole::{TABLE, plan, scenario};
use small::{count, day};
use sowrota::audit::{Audit, Ledger, audit, plan_by_hand};
use sowrota::plan::types::{Delivery, Plan};
use sowrota::scenario::{Scenario, Sharing, Temperature};
use sowrota::units::{Age, Fixed, Money};

fn money(thousandths: i64) -> Money {
    Money { 0: thousandths }
}

/// The plan counted on the nursery with one thing altered: codes, days and amounts of what it breaks.
fn breaches(alter: impl FnOnce(&mut Scenario)) -> Vec<(&'static str, String, i64)> {
    let mut scenario = scenario();
    alter(&mut scenario);
    let found = audit(&plan(), &scenario).breaches;
    let day = |day: Option<sowrota::calendar::Day>| {
        day.map_or(String::new(), |day| day.to_string()[5..].to_string())
    };
    found
        .iter()
        .map(|one| (one.code, day(one.day), one.amount))
        .collect()
}

fn table(scenario: &Scenario, rows: &str) -> Plan {
    plan_by_hand(scenario, rows.as_bytes(), "whole.csv").unwrap()
}

fn fullest(audit: &Audit, ledger: Ledger, id: &str) -> (String, i64, i64) {
    let of = |one: &&sowrota::audit::Fullest| one.ledger == ledger && one.id == id;
    let one = audit.fullest.iter().find(of).unwrap();
    (one.day.to_string()[5..].to_string(), one.used, one.there)
}

fn delivery<'a>(plan: &'a Plan, field: &str) -> &'a Delivery {
    plan.deliveries
        .iter()
        .find(|one| one.field == field)
        .unwrap()
}

fn one(code: &'static str, day: &str, amount: i64) -> Vec<(&'static str, String, i64)> {
    vec![(code, day.to_string(), amount)]
}

#[test]
fn what_is_just_enough_is_enough() {
    assert_eq!(count(&plan()).breaches, []);
}

#[test]
fn more_are_sown_than_leave() {
    let plan = plan();
    // 0.99 × 0.98 × 0.97 = 0.941094 of an early tray is kept. Of 60 that stand 56.5, so 56; for 40, 42.5, so 43; for 105, 111.6, so 112.
    let early: Vec<_> = plan
        .deliveries
        .iter()
        .filter(|one| one.sown.is_some())
        .map(|one| (one.field.as_str(), one.trays, one.sown()))
        .collect();
    let expected = [
        ("F3", 56, 60),
        ("F4", 40, 43),
        ("F1", 105, 112),
        ("F1", 105, 112),
    ];
    assert_eq!(early, expected);
    // Stacks of 15: 43 and 3 trial trays are 4; 224 and 3 are 16.
    assert_eq!((plan.runs[1].trays, plan.runs[1].stacks[0].stacks), (43, 4));
    let late = &plan.runs[3];
    assert_eq!((late.trays, late.stacks[0].stacks), (224, 16));
    // Of sprouted trays the bed loses none: 0.99 × 0.98 = 0.9702, for 30 30.9.
    let mut other = scenario();
    other.fields[5].kind = "early".into();
    let rows = "field,part,sow,plant,trays\nF6,1,2027-04-13,2027-04-16,30\n";
    let sprouted = table(&other, rows);
    assert_eq!(delivery(&sprouted, "F6").sown, Some(31));
    assert!(!small::codes(&sprouted).contains(&"A098"));
}

#[test]
fn what_is_lost_is_dirty_when_the_others_have_left() {
    let washing = plan().washing;
    let washing: Vec<_> = washing
        .iter()
        .map(|one| (one.day.to_string()[5..].to_string(), one.trays))
        .collect();
    let expected = [
        ("04-01", 30),
        ("04-06", 3),
        ("04-10", 50),
        ("04-15", 3),
        ("04-16", 3),
        ("04-20", 33), // F3, left on the 19th: 60 − 56; F6, handed over on the 15th: 30 − ceil(0.6)
        ("04-24", 57), // F3: 56 − ceil(1.12); F4, left on the 23rd: 43 − 40
        ("04-28", 39), // F4: 40 − ceil(0.8)
        ("05-03", 88), // F2, planted on the 27th, back on Sunday: 90 − ceil(1.8)
        ("05-04", 7),  // F1, first part: 112 − 105
        ("05-05", 7),
        ("05-08", 100), // F1: 105 − ceil(2.1) = 102
        ("05-10", 100),
        ("05-11", 4),
    ];
    let expected = expected.map(|(day, trays)| (day.to_string(), trays));
    assert_eq!(washing, expected);
    // First morning 552 clean; 2 April + 8; 3 April − 46 − 8; 6 April + 8; 7 April + 3; 11 April + 50: 567. The 30 that were washed on
    // 1 April lie until the 21st. 13 April: − 350 − 25 × 2: 167, so 533 of 700 are not clean.
    assert_eq!(
        fullest(&count(&plan()), Ledger::TraysInUse, "trays"),
        ("04-13".into(), 533, 700)
    );
    assert_eq!(breaches(|s| s.trays.stock = 533), []);
    let two = [("A065", "04-13", 1), ("A065", "04-14", 1)];
    let two = two.map(|(code, day, amount)| (code, day.to_string(), amount));
    assert_eq!(breaches(|s| s.trays.stock = 532), two);
    // Without the span of long drying 30 more are clean.
    let bare = |s: &mut Scenario| s.trays.dry_spans.clear();
    let fewer = |s: &mut Scenario| (bare(s), s.trays.stock = 503).1;
    assert_eq!(breaches(fewer), []);
}

#[test]
fn seed_is_handed_over_from_a_run_of_its_own() {
    let plan = plan();
    let run = &plan.runs[4];
    // 5 days of soaking and 1 of sprouting before 20 April: from the 14th, drained on the 19th.
    assert_eq!((run.line.as_ref(), run.sow), (None, day("2027-04-20")));
    assert_eq!(
        (run.soak, run.drain),
        (Some(day("2027-04-14")), Some(day("2027-04-19")))
    );
    assert_eq!((run.trays, run.trial_trays, run.stacks.len()), (50, 0, 0));
    // 20 April need be no day of the line, only of planting.
    let no_line = |s: &mut Scenario| s.calendars.line.closed.push(span("04-20", "04-20"));
    // The line's four people have no shift then, as the plan says they have.
    assert_eq!(breaches(no_line), one("A074", "", 240));
    let no_planting = |s: &mut Scenario| s.calendars.planting.closed.push(span("04-20", "04-20"));
    assert_eq!(breaches(no_planting), one("A047", "04-20", 0));
}

fn span(first: &str, last: &str) -> sowrota::calendar::DayRange {
    let day = |text: &str| day(&format!("2027-{text}"));
    sowrota::calendar::DayRange {
        first: day(first),
        last: day(last),
    }
}

#[test]
fn seed_agents_and_tank() {
    let found = count(&plan());
    // R004: 224 trays, 3 trial trays and 2 thrown out are 229 × 180 g and 400 g in the hopper, 41.62 kg: 9 bags of 5 kg on 7 April.
    assert_eq!(
        fullest(&found, Ledger::SeedStore, "early"),
        ("04-07".into(), 450_000, 450_000)
    );
    let less = |s: &mut Scenario| s.seed_stores[0].kg_dry = Fixed(44_999);
    // R005, 50 × 180 g in 2 bags, draws the 10 kg that come on 14 April.
    assert_eq!(breaches(less), one("A078", "04-07", 1));
    let less = |s: &mut Scenario| s.seed_stores[0].deliveries[0].kg_dry = Fixed(9_999);
    assert_eq!(breaches(less), one("A078", "04-14", 1));
    // 45 kg × 2.4 mL, and 10 kg × 2.4 mL on 14 April.
    assert_eq!(
        fullest(&found, Ledger::AgentStore, "brine"),
        ("04-07".into(), 10_800_000, 10_800_000)
    );
    assert_eq!(
        breaches(|s| s.agents[0].ml = Fixed(107)),
        one("A107", "04-07", 1)
    );
    let less = |s: &mut Scenario| s.agents[0].deliveries[0].ml = Fixed(23);
    assert_eq!(breaches(less), one("A107", "04-14", 1));
    // R003: 123 × 120 g and 400 g, 15.16 kg, soak from 9 to 12 April beside 45 kg.
    assert_eq!(
        fullest(&found, Ledger::Tank, "tank"),
        ("04-09".into(), 601_600, 601_600)
    );
    // Without anything left in the hopper R003 takes 14.76 kg, R004 still 9 bags.
    let alter = |s: &mut Scenario| {
        s.lines[0].hopper_g_dry = Fixed(0);
        s.tank.as_mut().unwrap().kg_dry = Fixed(59_760);
    };
    assert_eq!(breaches(alter), []);
    // The batch gives what is sown, trial trays included, what may be thrown out before it, and what stays in the hopper: 48 × 180 g + 400 g.
    let less = |s: &mut Scenario| s.opening.soaked[0].kg_dry = Fixed(9_039);
    assert_eq!(breaches(less), one("A076", "03-28", 1));
}

#[test]
fn trays_thrown_out_take_time_and_water_of_the_line() {
    let plan = plan();
    let thrown: Vec<_> = plan.runs.iter().map(|run| run.thrown_trays).collect();
    assert_eq!(thrown, [0, 0, 0, 2, 0]);
    // 123 and 227 trays of 11.25 s, set-ups of 20 and 10 min, 2 × 11.25 s: 96 min, the 1.6 h of that day.
    let found = count(&plan);
    assert_eq!(
        fullest(&found, Ledger::LineHours, "a"),
        ("04-13".into(), 5_760_000, 5_760_000)
    );
    let less = |s: &mut Scenario| s.lines[0].spans[0].hours_per_day = Fixed(159);
    assert_eq!(breaches(less), one("A060", "04-13", 36_000));
    // Line: 123 and 229 trays × 1.2 L; beds: 60 and 43 × 0.5 L.
    assert_eq!(
        fullest(&found, Ledger::Water, "water"),
        ("04-13".into(), 47_390, 47_390)
    );
    let less = |s: &mut Scenario| s.water.as_mut().unwrap().litres_per_day = Fixed(47_389);
    assert_eq!(breaches(less), one("A092", "04-13", 10));
}

#[test]
fn people_of_a_span_and_care_more_often() {
    let bought: Vec<_> = plan()
        .bought
        .iter()
        .map(|one| {
            (
                one.day.to_string()[5..].to_string(),
                one.minutes,
                one.cost.0,
            )
        })
        .collect();
    // 13 April: sowing 4 × 65.625 min, set-up 2 × 30.375, stacking 344 trays 34.4: 357.65 min against 5 × 60 of that week's span.
    // Sundays: care of 60, 103, 60 + 43 + 90 × 1.5 + 224, 90 × 1.5 + 224, 224 trays at 6 min a hundred.
    let expected = [
        ("04-04", 4, 1_000),
        ("04-11", 7, 1_750),
        ("04-13", 58, 11_600),
        ("04-18", 28, 7_000),
        ("04-25", 22, 5_500),
        ("05-02", 14, 3_500),
    ];
    assert_eq!(
        bought,
        expected.map(|(day, minutes, cost)| (day.to_string(), minutes, cost))
    );
    // The number of people of a week is that of one of its days; 7 people are on none of them.
    let people = |people: i64| {
        let mut plan = plan();
        let of_week = |one: &&mut sowrota::plan::types::PeopleWeek| {
            one.crew == "line_team" && one.week.to_string() == "2027-W15"
        };
        plan.people.iter_mut().find(of_week).unwrap().people = people;
        small::codes(&plan)
    };
    assert_eq!(people(4), [] as [&str; 0]);
    assert_eq!(people(5), [] as [&str; 0]);
    assert_eq!(people(6), ["A074"]);
}

#[test]
fn trays_wait_at_the_edge() {
    let plan = plan();
    // 2 days at 30 °C, 4 at 25, 7 at 20 and one at the edge at 10: 0.6 + 1.0 + 1.4 + 0.1 leaves.
    assert_eq!(delivery(&plan, "F2").age, Age { 0: 310 });
    let warmer = |s: &mut Scenario| s.edge = Temperature::Own(Fixed::whole(20));
    // Stated 3.1, it is 3.2; what it costs differs then, too: 0.1 leaves × 3 × 90 ÷ 100 more.
    let expected = [
        ("A052", "04-27", -10),
        ("A080", "", -270),
        ("A085", "", -270),
    ];
    let expected = expected.map(|(code, day, amount)| (code, day.to_string(), amount));
    assert_eq!(breaches(warmer), expected);
    assert_eq!(
        breaches(|s| s.fields[1].edge_days = 0),
        one("A101", "04-26", 1)
    );
    assert_eq!(breaches(|s| s.fields[1].edge_days = 2), []);
}

#[test]
fn rows_are_whole_and_hold_one_part_each() {
    // The yard: 100 × 5.5 are 11 rows of 50. F3 60 trays in 2 rows, F4 43 in 1, F2 90 in 2, F1 112 in 3: from 20 to 22 April F4, F2 and F1
    // together 6 rows.
    assert_eq!(
        fullest(&count(&plan()), Ledger::BedFloor, "yard"),
        ("04-20".into(), 300, 550)
    );
    let area = |hundredths| {
        move |s: &mut Scenario| {
            s.beds[1].area_m2 = Fixed(hundredths);
        }
    };
    // 8 rows are 400 trays, 72.73 m² and more; with 72.72 m² 7 rows are left, and F2 stands in the eighth.
    assert_eq!(breaches(area(7_273)), []);
    let less = breaches(area(7_272));
    assert_eq!(less, one("A105", "04-19", 0));
    // With five rows the floor is short as well.
    let codes: Vec<_> = breaches(area(5_000)).iter().map(|one| one.0).collect();
    assert!(
        codes.contains(&"A064") && codes.contains(&"A105"),
        "{codes:?}"
    );

    let rows = |from: &str, to: &str| {
        let found = count(&table(&scenario(), &TABLE.replace(from, to)));
        let said: Vec<_> = found.breaches.iter().map(|one| one.what.clone()).collect();
        said
    };
    // A plan by hand may leave them out.
    assert_eq!(rows(",7 8", ","), [] as [&str; 0]);
    // F2 is gone when F1 would be hemmed in: row 4 of F1, from 20 April to 3 May.
    assert_eq!(
        rows(",7 8", ",4 8"),
        [
            "rows: in row 4 of bed `yard` field `F1`, part 1 stands from 2027-04-20 until 2027-05-03, between field `F2`, \
             part 1, which leaves on 2027-04-26, and the open end"
        ]
    );
    // F3 leaves row 1 on 19 April, the day F2 comes: one after the other, unless the floor must be cleared.
    assert_eq!(rows(",7 8", ",1 8"), [] as [&str; 0]);
    let cleared = breaches_of_turn_round();
    assert_eq!(
        cleared,
        [
            "rows: row 1 of bed `yard` is being cleared until 2027-04-20 after field `F3`, part 1, field `F2`, part 1 takes \
             it on 2027-04-19"
        ]
    );
}

fn breaches_of_turn_round() -> Vec<String> {
    let mut scenario = scenario();
    scenario.beds[1].turn_round_days = 1;
    let plan = table(&scenario, &TABLE.replace(",7 8", ",1 8"));
    let found = count(&plan);
    found.breaches.into_iter().map(|one| one.what).collect()
}

#[test]
fn round_trips_share_the_fleets_day() {
    // To the near F1 three trips of 170 min fit into 8.5 h, 3 × 35 trays: 105 are the whole day, as on the other way.
    let found = count(&plan());
    assert_eq!(
        fullest(&found, Ledger::FleetDay, "vehicles"),
        ("05-03".into(), 1_000_000, 1_000_000)
    );
    // 170.01 min: two trips, so that 105 trays are a day and a half.
    let longer = |s: &mut Scenario| s.travel_groups[0].round_trip_minutes = Fixed(17_001);
    let both = [("A094", "05-03", 500_000), ("A094", "05-04", 500_000)];
    let both = both.map(|(code, day, amount)| (code, day.to_string(), amount));
    assert_eq!(breaches(longer), both);
    // Too far for any trip: twice the day. The machine, which moves for 200 min and fills its crew's day, waits 55.5 min of 255.5 for the trays.
    let far = |s: &mut Scenario| s.travel_groups[0].round_trip_minutes = Fixed::whole(511);
    let amounts: Vec<_> = breaches(far).iter().map(|one| (one.0, one.2)).collect();
    let (machine, vehicles) = (("A075", 3_330_000), ("A094", 1_000_000));
    assert_eq!(amounts, [machine, machine, vehicles, vehicles]);
    // F2 is loaded on the day that it leaves, 26 April: 90 of 105 trays are 857 143 millionths. Two trips bring 70.
    let fewer = |s: &mut Scenario| s.vehicles[0].trips_per_day = 2;
    assert_eq!(breaches(fewer), one("A094", "04-26", 285_715));
    // No field in a group: trays against trays.
    let alone = |s: &mut Scenario| {
        s.fields[0].travel_group = None;
        s.vehicles[0].trips_per_day = 2;
    };
    let amounts: Vec<_> = breaches(alone).iter().map(|one| one.2).collect();
    assert_eq!(amounts, [20, 35, 35]);
}

#[test]
fn cost_of_waiting_moves_and_splits() {
    let cost = plan().cost;
    // F2: 0.1 leaves × 90 ÷ 100 × 3; the second part of F1: 1 day × 105 ÷ 100 × 3. By trays that leave.
    assert_eq!(cost.age, money(270 + 3_150));
    assert_eq!(cost.off_preferred, money(525));
    // F2 one day: 4 × 90 ÷ 100.
    assert_eq!(cost.edge, money(3_600));
    // From the house to the yard: 60, 43, 90 and 112 trays as they were sown, × 2 ÷ 100.
    assert_eq!(cost.moves, money(6_100));
    assert_eq!(cost.splits, money(0));
    // Three set-ups: the seed that is handed over needs none.
    assert_eq!(cost.set_ups, money(15_000));
    assert_eq!(cost.total, money(58_995));
    // One part of F1 a day later: another run, and its set-up.
    let mut scenario = scenario();
    scenario.kinds[0].limits.clear();
    let late = TABLE.replace("F1,2,2027-04-13", "F1,2,2027-04-14");
    let split = table(&scenario, &late).cost;
    assert_eq!((split.splits, split.set_ups), (money(7_000), money(20_000)));
}

#[test]
fn trays_short_weigh_as_they_are_shared() {
    // The spare of 10 is in no table: 10 × 25 × 0.5.
    let cost = plan().cost;
    assert_eq!(
        (cost.trays_short, cost.shortage),
        (10, Some(money(125_000)))
    );
    let shortage = |sharing: Sharing, alter: fn(&mut Scenario), drop: &[&str]| {
        let mut scenario = scenario();
        scenario.sharing = sharing;
        alter(&mut scenario);
        let rows = TABLE
            .lines()
            .filter(|row| !drop.iter().any(|gone| row.starts_with(gone)));
        let plan = table(&scenario, &rows.collect::<Vec<_>>().join("\n"));
        plan.cost.shortage.unwrap().0 - 125_000
    };
    let both = ["F1,2", "F2"];
    // Second part of F1, 105 trays, and F2, 90.
    assert_eq!(
        shortage(Sharing::FewestTrays, |_| (), &both),
        25_000 * (105 + 90)
    );
    // Two order days and fields without one: F1 weighs 200, F2 150, the others 100. F5 is 50 trays' worth of seed.
    let all = ["F1,2", "F2", "F5"];
    assert_eq!(
        shortage(Sharing::OrderDate, |_| (), &all),
        25_000 * 105 * 2 + 25_000 * 90 * 3 / 2 + 25_000 * 50
    );
    // One day for all: 100.
    let same = |s: &mut Scenario| s.fields.iter_mut().for_each(|field| field.ordered = None);
    assert_eq!(
        shortage(Sharing::OrderDate, same, &both),
        25_000 * (105 + 90)
    );
    // Ode, who has F1 and F4, is a member; Sil is not named.
    let member = |s: &mut Scenario| {
        s.growers = vec![sowrota::scenario::Grower {
            id: "Ode".into(),
            member: true,
            returns: vec![],
        }];
    };
    assert_eq!(
        shortage(Sharing::MembersFirst, member, &both),
        25_000 * (105 * 2 + 90)
    );
    // Ode has 210 + 40 = 250 trays: of 105 short 25 weigh 100, 110, 120 and 130, 5 weigh 140. Sil has 90 + 56 + 50 + 30 = 226: of 90
    // short 23 weigh 100 (10 × 22 ÷ 226 is below 1), 23 110, 22 120 (from 46 to 67), 22 130 (from 68 on).
    let ode = 25 * (100 + 110 + 120 + 130) + 5 * 140;
    let sil = 23 * 100 + 23 * 110 + 22 * 120 + 22 * 130;
    assert_eq!(
        shortage(Sharing::InProportion, |_| (), &both),
        250 * (ode + sil)
    );
}

#[test]
fn the_last_day_to_decide() {
    let scenario = scenario();
    let decide = |rows: &str, field: &str| {
        let plan = table(&scenario, rows);
        let short = plan.shortfalls.iter().find(|short| short.field == field);
        short.unwrap().decide_by
    };
    // The spare, by 5 May: 2 days at 30 °C, 3 at 25 and 6 at 20 are 2.55 leaves, so sown on 24 April and soaked on the 20th.
    assert_eq!(
        decide(TABLE, "spare-late-2027-W18"),
        Some(day("2027-04-20"))
    );
    let without = |gone: &str| -> String {
        let rows = TABLE.lines().filter(|row| !row.starts_with(gone));
        rows.collect::<Vec<_>>().join("\n")
    };
    // F3 stands already: its window ends on 22 April, at 23 days.
    assert_eq!(decide(&without("F3"), "F3"), Some(day("2027-04-22")));
    // F5: seed until the last day, 16 May, a Sunday, on which planting works: soaked on Monday the 10th, drained on Saturday.
    assert_eq!(decide(&without("F5"), "F5"), Some(day("2027-05-10")));
    // F6: opened on Saturday 15 May at the latest, sown on the 13th and soaked on Saturday the 8th: due on Tuesday, sprouted on Wednesday,
    // and held a day; from Monday the 10th on it would be too late. Sunday the 9th is not staffed.
    assert_eq!(decide(&without("F6"), "F6"), Some(day("2027-05-08")));
    // F4 is pinned to 3 April: its batch soaks since 28 March, before the first day, so that it can be decided until it is sown.
    assert_eq!(decide(&without("F4"), "F4"), Some(day("2027-04-03")));
}

#[test]
fn the_price_of_a_tray_short_has_waiting_and_moves_in_it() {
    let mut scenario = scenario();
    scenario.prices.short_per_tray = None;
    scenario.prices.set_up = Money::ZERO;
    scenario.prices.bed_move = Money::whole(200);
    scenario.prices.edge_wait = Money::whole(400);
    // F1 is dearest on 10 May at 24 days, having waited 3 days, from the house: 4 × 3 + 7 × 0.5 + 3 × 400 + 200, a hundredth of it 14.155;
    // ten times, rounded up.
    let plan = table(&scenario, TABLE);
    assert_eq!(plan.cost.short_per_tray, Money::whole(142));
    // Nothing waits longer than the field allows; then F2 is dearer: one leaf older than the target, 4.0, on its last day, 5 May, but it moves
    // all the same. 1 × 3 + 400 + 200 against 4 × 3 + 3.5 + 200.
    scenario.fields[0].edge_days = 0;
    let plan = table(&scenario, TABLE);
    assert_eq!(plan.cost.short_per_tray, Money::whole(61));
    scenario.fields[1].edge_days = 0;
    let plan = table(&scenario, TABLE);
    assert_eq!(plan.cost.short_per_tray, Money::whole(22));
}

#[test]
fn a_table_names_only_where_it_stands() {
    let scenario = scenario();
    let said = |rows: &str| {
        let rows = format!("{}\n{rows}\n", TABLE.lines().next().unwrap());
        let problems = plan_by_hand(&scenario, rows.as_bytes(), "t.csv");
        let problems = problems.err().map(|problems| problems.0);
        let all = problems.unwrap_or_default();
        all.iter().map(ToString::to_string).collect::<String>()
    };
    assert_eq!(said("F5,1,2027-04-20,2027-04-20,50,,,,"), "");
    assert_eq!(said("F6,1,2027-04-13,2027-04-15,30,a,,,"), "");
    let line = said("F5,1,,2027-04-20,50,a,,,");
    assert!(
        line.contains("error[H012] t.csv:2 line: `a` for seed that is handed over"),
        "{line}"
    );
    let rows = said("F6,1,2027-04-13,2027-04-15,30,a,,1,");
    assert!(
        rows.contains("error[H012] t.csv:2 harden_rows: `1` for trays"),
        "{rows}"
    );
    let leaves = said("F2,1,2027-04-13,2027-04-27,90,a,26 April,,");
    assert!(leaves.contains("error[H010] t.csv:2 leaves:"), "{leaves}");
    let rows = said("F2,1,2027-04-13,2027-04-27,90,a,,5-3,");
    assert!(
        rows.contains("error[H011] t.csv:2 harden_rows: `3` does not fit"),
        "{rows}"
    );
    // Trays need a day of sowing.
    assert!(said("F6,1,,2027-04-15,30,a,,,").contains("error[H010] t.csv:2 sow:"));
}

#[test]
fn sprouted_trays_may_stand_already() {
    // 30 trays sown on 31 March, opened on 2 April, of which none is lost; the same field takes them on that day.
    let mut scenario = scenario();
    let mut standing = scenario.opening.sown[0].clone();
    standing.field = "F6".into();
    standing.sown = day("2027-03-31");
    standing.trays = 30;
    // What leaves before it comes into a bed is asked for none.
    standing.green_bed = String::new();
    standing.harden_bed = String::new();
    scenario.opening.sown.push(standing);
    let rows = TABLE.replace(
        "F6,1,2027-04-13,2027-04-15,30,a",
        "F6,1,2027-03-31,2027-04-02,30,",
    );
    let plan = table(&scenario, &rows);
    assert_eq!(count(&plan).breaches, []);
    let sprouted = delivery(&plan, "F6");
    assert_eq!(
        (sprouted.green_bed.as_ref(), sprouted.day),
        (None, sprouted.open)
    );
    let standing = plan
        .runs
        .iter()
        .filter(|run| run.line.is_none() && run.soak.is_none());
    assert_eq!(standing.count(), 2);
}
