//! What is carried over to a first day is counted as docs/COUNTING.md says: every figure here is worked out by hand, in the comments.

mod small;

use small::carried::{plan, scenario};
use small::{count, day};
use sowrota::audit::{Ledger, plan_by_hand};
use sowrota::nursery::Nursery;
use sowrota::plan::types::Plan;
use sowrota::solve::{self, Budget, Start, Unwatched};
use sowrota::units::{Age, Fixed, Money};

fn planned() -> Plan {
    let nursery = Nursery::new(&scenario());
    let budget = Budget {
        moves: 2_000,
        relaxations: 1,
        seed: 1,
    };
    solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan
}

#[test]
fn both_plans_break_nothing() {
    for plan in [plan(), planned()] {
        let found = count(&plan);
        assert_eq!(found.breaches, []);
        assert_eq!(found.cost, plan.cost);
    }
}

#[test]
fn a_batch_keeps_its_days_its_count_and_what_it_is_ahead() {
    for plan in [plan(), planned()] {
        let mut deliveries = plan.deliveries.iter();
        let one = deliveries.find(|one| one.field == "F3").unwrap();
        // Opened on Wednesday 31 March, a day after sowing, where three days in the stack would give Friday 2 April.
        assert_eq!(
            (one.open, one.harden),
            (day("2027-03-31"), day("2027-03-31"))
        );
        assert_eq!((one.trays, one.sown), (58, Some(60)));
        // Sown on 30 March and half a day ahead: 0.5 and the days to planting.
        let days = i64::from(one.day.since(day("2027-03-30")));
        assert_eq!(one.age, Age { 0: days * 100 + 50 });
    }
}

#[test]
fn an_opened_stack_gives_its_lids_back_before_the_first_day() {
    // 30 dirty, 50 away, 60 sown; four stacks with a lid and a base each, if they are closed until 2 April.
    let only = "field,part,sow,plant,trays\nF3,1,2027-03-30,2027-04-19,58\n";
    for (opened, used) in [(Some("2027-03-31"), 140), (None, 148)] {
        let mut scenario = scenario();
        scenario.opening.sown[0].opened = opened.map(day);
        scenario.opening.sown[0].hardened = None;
        let plan = plan_by_hand(&scenario, only.as_bytes(), "only.csv").unwrap();
        let found = count(&plan);
        assert_eq!(found.breaches, []);
        let mut all = found.fullest.iter();
        let trays = all.find(|one| one.ledger == Ledger::TraysInUse).unwrap();
        assert_eq!((trays.day, trays.used), (day("2027-04-01"), used));
    }
}

#[test]
fn a_part_that_was_served_is_no_part_any_more() {
    for plan in [plan(), planned()] {
        let second = |field: &str, part| field == "F2" && part == 2;
        assert!(
            !plan
                .deliveries
                .iter()
                .any(|one| second(&one.field, one.part))
        );
        assert!(
            !plan
                .shortfalls
                .iter()
                .any(|one| second(&one.field, one.part))
        );
    }
}

#[test]
fn a_part_with_other_trays_has_its_share_of_the_area() {
    // F4: 0.2 ha × 200 = 40 trays are ordered, 36 still to leave: 2 000 × 36 ÷ 40 = 1 800 m².
    let scenario = scenario();
    let known = &scenario.opening.parts;
    let field = &scenario.fields[3];
    assert_eq!(sowrota::scenario::trays::m2_of_part(field, known, 1), 1_800);
    let all = sowrota::scenario::trays::of_field_known(field, known);
    assert_eq!((all.total, all.trays, all.m2), (40, vec![36], vec![1_800]));
    for plan in [plan(), planned()] {
        let mut deliveries = plan.deliveries.iter();
        assert_eq!(deliveries.find(|one| one.field == "F4").unwrap().trays, 36);
    }
}

#[test]
fn days_told_have_their_price_and_stand_in_the_plan() {
    let plan = plan();
    // F1's first part and F4 as told; F1's second on 4 May, planned for 5 May: 5.5; F2 on 27 April, promised for 25 April: 30. F2's second
    // part was served on whatever day.
    assert_eq!(plan.cost.moved, Money { 0: 35_500 });
    let promised: Vec<_> = plan
        .deliveries
        .iter()
        .map(|one| (&one.field[..], one.part, one.promised))
        .collect();
    let expected = [
        ("F3", 1, None),
        ("F4", 1, None),
        ("F2", 1, Some(day("2027-04-25"))),
        ("F1", 1, Some(day("2027-05-03"))),
        ("F1", 2, None),
    ];
    assert_eq!(promised, expected);
}

#[test]
fn people_hired_before_are_released_at_their_price() {
    // Nobody is hired in a plan by hand: three go at 10 each, though two can be hired at most.
    let plan = plan();
    assert_eq!(plan.cost.changes, Money::whole(30));
    // The line team's overtime of 80 min is cheaper than anybody kept at 50 a day.
    let planned = planned();
    assert!(planned.people.iter().all(|week| week.casual == 0));
    assert_eq!(planned.cost.changes, Money::whole(30));
}

#[test]
fn one_who_is_there_is_kept_where_hiring_costs() {
    let mut scenario = scenario();
    let casual = scenario.crews[0].casual.as_mut().unwrap();
    (casual.price_per_day, casual.before) = (Fixed(0), 1);
    let nursery = Nursery::new(&scenario);
    let budget = Budget {
        moves: 500,
        relaxations: 1,
        seed: 1,
    };
    let plan = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan;
    assert_eq!(count(&plan).breaches, []);
    // A day of theirs costs nothing, letting them go 10.
    let mut weeks = plan.people.iter().filter(|week| week.crew == "line_team");
    assert!(weeks.all(|week| week.casual >= 1));
}

#[test]
fn what_stands_keeps_the_name_on_its_stacks_and_new_runs_count_on() {
    let names = |scenario: &sowrota::scenario::Scenario| -> Vec<String> {
        let nursery = Nursery::new(scenario);
        let budget = Budget {
            moves: 500,
            relaxations: 0,
            seed: 1,
        };
        let plan = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan;
        assert_eq!(count(&plan).breaches, []);
        let mut names: Vec<_> = plan.runs.iter().map(|run| run.id.clone()).collect();
        assert_eq!(
            names[0],
            plan.deliveries
                .iter()
                .find(|one| one.field == "F3")
                .unwrap()
                .run
        );
        names.truncate(3);
        names
    };
    let mut scenario = scenario();
    assert_eq!(names(&scenario), ["R017", "R018", "R019"]);
    scenario.opening.sown[0].run = Some("late barn".into());
    assert_eq!(names(&scenario), ["late barn", "R001", "R002"]);
    scenario.opening.sown[0].run = None;
    assert_eq!(names(&scenario), ["R001", "R002", "R003"]);
    // F4 stands too, from the same run: two batches, one run and one name on the stacks.
    scenario.opening.sown[0].run = Some("R017".into());
    let mut second = scenario.opening.sown[0].clone();
    (second.field, second.trays, second.leaving) = ("F4".into(), 40, Some(36));
    scenario.pins.clear();
    scenario.fields[3].window = scenario.fields[2].window.clone();
    scenario.opening.sown.push(second);
    assert_eq!(names(&scenario), ["R017", "R018", "R019"]);
}

/// On 30 March the house could not have held both in rows of their own; from the first day on it does.
#[test]
fn rows_count_from_the_first_day_on() {
    let mut scenario = scenario();
    scenario.pins.clear();
    // Four rows of 50. F3's 60 trays green in two of them until 31 March.
    scenario.beds[0].row_trays = Some(50);
    let first = &mut scenario.opening.sown[0];
    (first.sown, first.opened) = (day("2027-03-28"), Some(day("2027-03-29")));
    // F4's 160 trays, of which 36 will do, take all four from 30 March on.
    let mut second = first.clone();
    (second.field, second.trays, second.leaving) = ("F4".into(), 160, Some(36));
    (second.opened, second.hardened) = (Some(day("2027-03-30")), None);
    scenario.fields[3].window = scenario.fields[2].window.clone();
    scenario.opening.sown.push(second);
    let nursery = Nursery::new(&scenario);
    let budget = Budget {
        moves: 500,
        relaxations: 0,
        seed: 1,
    };
    let plan = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan;
    assert_eq!(count(&plan).breaches, []);
    let rows = |field: &str| {
        let mut deliveries = plan.deliveries.iter();
        let one = deliveries.find(|one| one.field == field).unwrap();
        one.green_rows.clone()
    };
    assert_eq!((rows("F3"), rows("F4")), (vec![], vec![1, 2, 3, 4]));
}
