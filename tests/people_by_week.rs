//! Promise: people hired by the week are counted where they are stated, the hours of a week are kept to the minute, and no tray stands
//! in a closed bed.

mod small;

use small::{codes, count, day, plan};
use sowrota::calendar::{Day, DayRange};
use sowrota::plan::types::{PeopleWeek, Plan};
use sowrota::scenario::{self, Casual, CrewSpan};
use sowrota::units::{Fixed, Money};

/// The plan by hand, where five people can be hired for the line team: four regular people, a shift of an hour from Monday to Saturday.
/// On Tuesday, 13 April, it needs 79.5 min beyond its shifts, bought as 80 min for 16 crowns.
fn offered() -> Plan {
    let mut plan = plan();
    plan.scenario.crews[0].casual = Some(Casual {
        before: 0,
        most: 5,
        price_per_day: Money::whole(50),
        hire: Money::whole(20),
        release: Money::whole(7),
    });
    plan
}

/// Scenario and plan belong together again.
fn sealed(mut plan: Plan) -> Plan {
    plan.scenario_sha256 = scenario::sha256(&plan.scenario);
    plan
}

fn week_of<'a>(plan: &'a mut Plan, monday: &str) -> &'a mut PeopleWeek {
    let name = day(monday).iso_week();
    let mut weeks = plan.people.iter_mut();
    weeks
        .find(|one| one.crew == "line_team" && one.week == name)
        .unwrap()
}

/// So many hired in a week with so many working days.
fn hire(plan: &mut Plan, monday: &str, people: i64, working: i64) {
    let week = week_of(plan, monday);
    week.casual = people;
    week.shift_minutes += people * working * 60;
}

/// States the cost of people and of changes, and adds it to the total.
fn priced(plan: &mut Plan, casuals: i64, changes: i64) {
    plan.cost.casuals = Money::whole(casuals);
    plan.cost.changes = Money::whole(changes);
    plan.cost.total.0 += (casuals + changes) * Money::ONE;
}

/// The overtime of 13 April becomes this.
fn overtime(plan: &mut Plan, minutes: i64, crowns: i64) {
    let before = plan
        .bought
        .iter()
        .position(|one| one.minutes == 80)
        .unwrap();
    week_of(plan, "2027-04-12").bought_minutes = minutes;
    let saved = Money::whole(16 - crowns).0;
    plan.cost.overtime.0 -= saved;
    plan.cost.total.0 -= saved;
    if minutes == 0 {
        plan.bought.remove(before);
    } else {
        plan.bought[before].minutes = minutes;
        plan.bought[before].cost = Money::whole(crowns);
    }
}

#[test]
fn people_hired_work_the_shifts_of_their_week() {
    assert_eq!(codes(&sealed(offered())), Vec::<&str>::new());
    // One of them saves an hour of overtime of the day, and costs six days.
    let mut one = offered();
    hire(&mut one, "2027-04-12", 1, 6);
    overtime(&mut one, 20, 4);
    priced(&mut one, 300, 20 + 7);
    let one = sealed(one);
    assert_eq!(count(&one).breaches, []);
    assert_eq!(count(&one).cost, one.cost);
    // Two of them save it all.
    let mut two = offered();
    hire(&mut two, "2027-04-12", 2, 6);
    overtime(&mut two, 0, 0);
    priced(&mut two, 600, 2 * (20 + 7));
    assert_eq!(count(&sealed(two)).breaches, []);
}

#[test]
fn people_hired_may_be_asked_for_overtime() {
    // With a quarter of an hour of overtime each, four regular people have 60 min, and one more of them has another 15.
    let mut plan = offered();
    plan.scenario.crews[0].overtime_hours = Fixed(25);
    assert!(codes(&plan).contains(&"A070"));
    hire(&mut plan, "2027-04-12", 1, 6);
    overtime(&mut plan, 20, 4);
    priced(&mut plan, 300, 27);
    assert_eq!(count(&sealed(plan.clone())).breaches, []);
    // 19.5 min among five people: 3.9 min each, so that 0.07 h = 4.2 min are enough and 0.06 h = 3.6 min are not.
    plan.scenario.crews[0].overtime_hours = Fixed(7);
    assert_eq!(count(&sealed(plan.clone())).breaches, []);
    plan.scenario.crews[0].overtime_hours = Fixed(6);
    assert!(codes(&plan).contains(&"A070"));
}

#[test]
fn hiring_begins_with_the_first_week_and_nothing_is_due_after_the_last() {
    let price = |hired: &[(&str, i64, i64)], casuals, changes| {
        let mut plan = offered();
        for (monday, people, working) in hired {
            hire(&mut plan, monday, *people, *working);
        }
        priced(&mut plan, casuals, changes);
        let audit = count(&sealed(plan));
        let cost = audit.breaches.iter().filter(|one| one.code > "A112");
        assert_eq!(cost.count(), 0, "{:?}", audit.breaches);
    };
    // The horizon begins on a Thursday: three working days.
    price(&[("2027-03-29", 2, 3)], 2 * 150, 2 * (20 + 7));
    // It ends on a Sunday.
    price(&[("2027-05-10", 2, 6)], 2 * 300, 2 * 20);
    // Up by three, down by one, up by two.
    price(
        &[
            ("2027-03-29", 3, 3),
            ("2027-04-05", 2, 6),
            ("2027-04-19", 2, 6),
        ],
        3 * 150 + 4 * 300,
        3 * 20 + 7 + 2 * 7 + 2 * 20 + 2 * 7,
    );
}

#[test]
fn the_hours_of_a_week_leave_so_much_to_be_bought() {
    let with = |hundredths: i64| {
        let mut plan = plan();
        plan.scenario.crews[0].week_hours_most = Some(Fixed(hundredths));
        count(&sealed(plan)).breaches
    };
    // Four people × 6.34 h − 24 h of shifts leave 81 whole minutes, 6.33 h leave 79, and 80 are bought.
    assert_eq!(with(634), []);
    let found = with(633);
    assert_eq!(
        (found.len(), found[0].code, found[0].amount),
        (1, "A115", 1)
    );
    assert_eq!(
        found[0].what,
        "people: `line_team` needs 80 min beyond its shifts in 2027-W15, the hours of a week leave 79 min"
    );
    // Shifts that go beyond by themselves are no breach; what is bought besides is.
    assert_eq!(with(100)[0].amount, 80);
}

#[test]
fn a_week_has_hours_of_those_who_are_there_and_hired() {
    let with = |hundredths: i64| {
        let mut plan = offered();
        hire(&mut plan, "2027-04-12", 1, 6);
        overtime(&mut plan, 20, 4);
        priced(&mut plan, 300, 27);
        plan.scenario.crews[0].week_hours_most = Some(Fixed(hundredths));
        codes(&sealed(plan))
    };
    // Five people × 6.07 h − 30 h leave 21 min, 6.06 h leave 18.
    assert_eq!(with(607), Vec::<&str>::new());
    assert_eq!(with(606), ["A115"]);
    // The most people on a working day count: from Wednesday on there are six, and 6 × 5.67 h − (2 × 4 + 4 × 6) h leave 121 min.
    let with = |hundredths: i64| {
        let mut plan = plan();
        let (first, last) = (day("2027-04-14"), day("2027-04-18"));
        plan.scenario.crews[0].spans = vec![CrewSpan {
            days: DayRange { first, last },
            people: Some(6),
            shift_start_minute: None,
            shift_hours: None,
        }];
        let week = week_of(&mut plan, "2027-04-12");
        (week.people, week.shift_minutes) = (6, (2 * 4 + 4 * 6) * 60);
        plan.scenario.crews[0].week_hours_most = Some(Fixed(hundredths));
        codes(&sealed(plan))
    };
    assert_eq!(with(567), Vec::<&str>::new());
    // 6 × 5.55 h − 32 h leave 78 min.
    assert_eq!(with(555), ["A115"]);
}

/// First and last day on which trays stand in a bed.
fn stay(plan: &Plan, bed: &str) -> (Day, Day) {
    let mut days = Vec::new();
    for one in &plan.deliveries {
        let stays = [
            (&one.green_bed, one.open, one.harden),
            (&one.harden_bed, one.harden, one.leaves()),
        ];
        for (stood, from, until) in stays {
            if stood.as_deref() == Some(bed) {
                days.extend([from, until.plus(-1)]);
            }
        }
    }
    let first = days.iter().min().unwrap().max(&plan.scenario.horizon.first);
    (*first, *days.iter().max().unwrap())
}

#[test]
fn no_tray_stands_in_a_closed_bed() {
    let closed = |bed: usize, first: Day, last: Day, turn_round: i32| {
        let mut plan = plan();
        plan.scenario.beds[bed].closed = vec![DayRange { first, last }];
        plan.scenario.beds[bed].turn_round_days = turn_round;
        count(&sealed(plan)).breaches
    };
    let untouched = plan();
    let beds = untouched.scenario.beds.iter().enumerate();
    for (at, bed) in beds.filter(|(_, bed)| bed.id != "house") {
        let (first, last) = stay(&untouched, &bed.id);
        let (before, after) = (first.plus(-1), last.plus(1));
        assert_eq!(closed(at, before, before, 0), [], "{}", bed.id);
        assert_eq!(closed(at, after, after.plus(9), 0), [], "{}", bed.id);
        for (from, until, on) in [(first.plus(-4), first, first), (last, last.plus(4), last)] {
            let found = closed(at, from, until, 0);
            assert_eq!((found.len(), found[0].code), (1, "A116"), "{found:?}");
            assert_eq!(found[0].day, Some(on));
            let words = format!(
                "floor: bed `{}` holds {} trays on {on}, on which it is closed",
                bed.id, found[0].amount
            );
            assert_eq!(found[0].what, words);
        }
        // Clearing is work in the bed: it is over before the bed closes.
        let found = closed(at, after, after, 1);
        let on_day: Vec<_> = found.iter().filter(|one| one.day == Some(after)).collect();
        assert_eq!((on_day.len(), on_day[0].code), (1, "A077"), "{found:?}");
        assert!(on_day[0].what.ends_with("is being cleared; it is closed"));
        assert!(on_day[0].amount > 0);
    }
}

#[test]
fn a_plan_by_hand_hires_nobody_and_is_told_what_it_lacks() {
    let mut scenario = small::scenario();
    scenario.crews[0].casual = Some(Casual {
        most: 5,
        ..Casual::default()
    });
    scenario.crews[0].overtime_hours = Fixed(25);
    let made =
        sowrota::audit::plan_by_hand(&scenario, small::TABLE.as_bytes(), "by_hand.csv").unwrap();
    assert!(made.people.iter().all(|week| week.casual == 0));
    assert_eq!((made.cost.casuals, made.cost.changes), Default::default());
    let found = count(&made).breaches;
    assert_eq!((found.len(), found[0].code), (1, "A070"), "{found:?}");
    // 79.5 min are needed and 60 can be had.
    assert_eq!(found[0].amount, 19_500 * 60);
}
