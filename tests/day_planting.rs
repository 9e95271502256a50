//! Promise: planting stands on the sheet as it can be done: each part in one go, with its machine's own time, after the way of its
//! trays; overtime that is allowed is offered before anything is said not to fit.

#[path = "common/small_plan.rs"]
mod small_plan;

use small_plan::{day, plan};
use sowrota::plan::Plan;
use sowrota::plan::day::{DayPlan, Job, Misfit, TraysCome, Work, day_plan};
use sowrota::plan::tasks::{TaskGraph, Why};
use sowrota::report;
use sowrota::scenario::TravelGroup;
use sowrota::units::Fixed;

fn sheet(plan: &Plan, on: &str) -> DayPlan {
    day_plan(&TaskGraph::new(plan).unwrap(), day(on))
}

fn words(sheet: &DayPlan) -> String {
    let text = report::day::text(sheet);
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn jobs(sheet: &DayPlan, work: Work) -> Vec<&Job> {
    sheet.jobs().filter(|job| job.work == work).collect()
}

fn ends(job: &Job) -> (i64, i64) {
    let until = job.spells.last().unwrap().until_minute;
    (job.spells[0].from_minute, until)
}

/// Brook's second hectare and Lane's 1.445 ha on 6 May with one machine of 3 ha in 10 hours, which takes 20 minutes to move. The
/// crew takes half the time that it would take by hand, and no overtime is bought.
fn with_moves() -> Plan {
    let mut plan = plan();
    plan.bought.clear();
    plan.scenario.planters[0].move_minutes = Fixed(2_000);
    plan.scenario.work.plant.as_mut().unwrap().person_minutes = Fixed(30_000);
    plan
}

#[test]
fn each_part_has_the_time_of_its_machine_in_one_go_and_its_people() {
    let of_day = sheet(&with_moves(), "05-06");
    assert_eq!(of_day.misfits, []);
    let mut planted = jobs(&of_day, Work::Plant);
    planted.sort_by_key(|job| ends(job));
    // 1 ha ÷ 3 ha × 600 min and 20; 1.445 ha ÷ 3 ha × 600 min and 20.
    let minutes: Vec<_> = planted.iter().map(|job| job.machine_minutes).collect();
    assert_eq!(minutes, [Some(220), Some(309)]);
    for job in &planted {
        let (from, until) = ends(job);
        assert!(
            (until - from - job.machine_minutes.unwrap()).abs() <= 1,
            "{job:?}"
        );
        let gaps = job.spells.windows(2);
        assert!(
            gaps.into_iter()
                .all(|two| two[0].until_minute == two[1].from_minute)
        );
        let people = job.spells.iter();
        let given: i64 = people
            .map(|s| s.people * (s.until_minute - s.from_minute))
            .sum();
        assert!((given - job.person_minutes).abs() <= 3, "{job:?}");
    }
    assert!(
        ends(planted[0]).1 <= ends(planted[1]).0,
        "one machine: {planted:?}"
    );
    assert!(words(&of_day).contains("1 ha with our six-row machine: 3 h 40 min, with its move"));
}

#[test]
fn trays_are_on_their_way_for_half_the_round_trip() {
    let mut plan = with_moves();
    let unknown = sheet(&plan, "05-06");
    for job in jobs(&unknown, Work::Plant) {
        assert_eq!(job.trays_come, Some(TraysCome::Unknown));
    }
    assert!(words(&unknown).contains("begins when the trays are there"));
    plan.scenario.travel_groups.push(TravelGroup {
        id: "hill".into(),
        name: "Over the hill".into(),
        round_trip_minutes: Fixed(6_000),
    });
    for field in &mut plan.scenario.fields {
        field.travel_group = Some("hill".into());
    }
    let known = sheet(&plan, "05-06");
    for job in jobs(&known, Work::Plant) {
        let field = |job: &Job| job.party.as_ref().unwrap().field.clone();
        let loads = jobs(&known, Work::Load);
        let load = loads.iter().find(|load| field(load) == field(job)).unwrap();
        let there = ends(load).1 + 30;
        let Some(TraysCome::About(told)) = job.trays_come else {
            panic!("{job:?}");
        };
        assert!((told - there).abs() <= 1, "{job:?}");
        // The machine may move meanwhile.
        assert!(ends(job).0 >= there - 20 - 1, "{job:?}");
    }
    assert!(words(&known).contains("trays there about "));
}

#[test]
fn overtime_is_offered_where_only_the_order_of_the_clock_is_short() {
    let mut plan = with_moves();
    let offered = sheet(&plan, "05-06");
    let crew = offered
        .crews
        .iter()
        .find(|crew| crew.crew == "field")
        .unwrap();
    assert!(crew.bought_minutes == 0 && crew.offered_minutes > 0);
    let end = crew.jobs.iter().map(|job| ends(job).1).max().unwrap();
    assert!(
        crew.until_minute < end && end <= crew.until_minute + 120,
        "{end}"
    );
    let said = words(&offered);
    assert!(said.contains("OVERTIME: DECIDE THIS MORNING"), "{said}");
    assert!(
        said.contains("Field crew until 16:") && said.contains(", overtime 1 h "),
        "{said}"
    );
    assert!(said.contains("for PLANT lane, Cosima."), "{said}");
    assert!(!said.contains("DOES NOT FIT"), "{said}");
    // An hour is not enough: the hours are there, and the field is named, not the run.
    plan.scenario.crews[2].overtime_hours = Fixed(100);
    let short = sheet(&plan, "05-06");
    let found = |misfit: &Misfit| {
        matches!(
            misfit,
            Misfit::Time {
                hours_suffice: true,
                ..
            }
        )
    };
    assert!(
        short.misfits.len() == 1 && found(&short.misfits[0]),
        "{:?}",
        short.misfits
    );
    let said = words(&short);
    assert!(
        said.contains("with our six-row: ") && said.contains("The hours of Field crew suffice, the order of the clock does not. Whoever stays is done by 16:"),
        "{said}"
    );
    // Nor is overtime allowed beyond the hours of the week: six days of eight hours.
    plan.scenario.crews[2].overtime_hours = Fixed(200);
    plan.scenario.crews[2].week_hours_most = Some(Fixed(4_800));
    assert_eq!(sheet(&plan, "05-06").misfits.len(), 1);
    plan.scenario.crews[2].week_hours_most = Some(Fixed(5_000));
    assert_eq!(sheet(&plan, "05-06").misfits, []);
}

#[test]
fn trays_that_are_planted_on_the_day_on_which_they_leave_wait_at_no_edge() {
    let mut plan = plan();
    // A Saturday: on Monday trays loaded today would have waited two days.
    plan.scenario.fields[0].edge_days = 1;
    plan.scenario.fields[0].window[0].last = day("05-12");
    plan.deliveries[0].day = day("05-08");
    let edge = |plan: &Plan| {
        let waits = sheet(plan, "05-08").cannot_wait.into_iter();
        waits.filter(|line| line.why == Why::Edge).count()
    };
    assert_eq!(edge(&plan), 0);
    plan.deliveries[0].leaves = Some(day("05-07"));
    assert_eq!(edge(&plan), 1);
}

#[test]
fn rain_decides_only_about_trays_that_are_planted_today() {
    let mut plan = plan();
    let planted = sheet(&plan, "05-06").before_loading.unwrap();
    assert_eq!(planted.trays, 220 + 318);
    // Lane's trays go to the edge of the field the day before.
    plan.scenario.fields[2].edge_days = 1;
    plan.deliveries[2].leaves = Some(day("05-05"));
    plan.deliveries[0].day = day("05-07");
    let sent = sheet(&plan, "05-05");
    assert_eq!(sent.before_loading.as_ref().unwrap().trays, 0);
    assert!(!words(&sent).contains("Rain, or a high of 15 °C"));
    assert_eq!(
        sheet(&plan, "05-06").before_loading.unwrap().trays,
        220 + 318
    );
}
