//! A plan's tasks keep their lags, and what breaks one is named by its tasks.

#[path = "common/small_plan.rs"]
mod small_plan;

use small_plan::{day, plan};
use sowrota::calendar::DayRange;
use sowrota::plan::tasks::{TaskGraph, Verb};
use sowrota::scenario::Pin;

#[test]
fn the_planned_days_keep_every_lag() {
    let plan = plan();
    let graph = TaskGraph::new(&plan).unwrap();
    assert_eq!(graph.check(), []);
    let room = graph.room().unwrap();
    for (at, task) in graph.tasks.iter().enumerate() {
        let (earliest, latest) = (room.earliest(at).unwrap(), room.latest(at));
        assert!(earliest <= task.day, "{} not before {earliest}", task.id);
        assert!(
            latest.is_none_or(|latest| task.day <= latest),
            "{} not after {latest:?}",
            task.id
        );
    }
    // Each kind of task is there, and each id once.
    let mut ids: Vec<&str> = graph.tasks.iter().map(|task| task.id.as_str()).collect();
    assert_eq!(ids.len(), 2 * 9 + 4 * 5 + 5);
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), 2 * 9 + 4 * 5 + 5);
    for id in [
        "R001/unstack",
        "R001/brook.2/plant",
        "R002/set-up",
        "wash/2027-05-11",
    ] {
        assert!(graph.task(id).is_some(), "{id}");
    }
}

#[test]
fn room_to_move_follows_seed_age_and_window() {
    let plan = plan();
    let graph = TaskGraph::new(&plan).unwrap();
    let room = graph.room().unwrap();
    let of = |id: &str| {
        let at = graph.tasks.iter().position(|task| task.id == id).unwrap();
        (room.earliest(at).unwrap(), room.latest(at))
    };
    // Brook closes on 8 May, Hill opens on 5 May; both come from R001 at 18 to 24 days.
    assert_eq!(of("R001/brook.1/plant"), (day("05-03"), Some(day("05-08"))));
    // Latest: 8 May less 18 days is 20 April. Earliest: seed soaked on the first day, 8 days, 1 day
    // to sprout: 14 April; but Hill's window opens on 5 May, and 24 days before is 11 April.
    assert_eq!(of("R001/sow"), (day("04-14"), Some(day("04-20"))));
    // Eight days before the drain, which has one day to spare, and seed keeps two days.
    assert_eq!(of("R001/soak"), (day("04-05"), Some(day("04-10"))));
    assert_eq!(of("R001/brook.1/collect").1, None);
}

#[test]
fn the_critical_path_is_told_in_words() {
    let plan = plan();
    let graph = TaskGraph::new(&plan).unwrap();
    let room = graph.room().unwrap();
    insta::assert_snapshot!(room.critical_path_in_words(&graph).join("\n"));
    // With all windows open from the first day the seed alone decides.
    let mut early = plan.clone();
    for field in &mut early.scenario.fields {
        field.window[0].first = day("04-05");
    }
    let held_by_seed = TaskGraph::new(&early).unwrap();
    let room_of_seed = held_by_seed.room().unwrap();
    insta::assert_snapshot!(
        room_of_seed
            .critical_path_in_words(&held_by_seed)
            .join("\n")
    );
    insta::assert_snapshot!(sowrota::report::room::text(&graph, &room, day("04-19")));
}

#[test]
fn a_lag_that_is_broken_is_named_by_its_tasks() {
    let broken = |change: &dyn Fn(&mut sowrota::plan::Plan)| -> Vec<String> {
        let mut plan = plan();
        change(&mut plan);
        TaskGraph::new(&plan)
            .unwrap()
            .check()
            .into_iter()
            .map(|breach| breach.text)
            .collect()
    };
    assert_eq!(
        broken(&|plan| plan.runs[0].stacks[0].open = day("04-21")),
        [
            "`R001/unstack` is planned on 21 Apr; with `R001/sow` on 16 Apr its latest day is 20 Apr (stack ready and waiting)",
            "`R001/brook.1/green` is planned on 19 Apr; with `R001/unstack` on 21 Apr its earliest day is 21 Apr (same day)",
            "`R001/brook.2/green` is planned on 19 Apr; with `R001/unstack` on 21 Apr its earliest day is 21 Apr (same day)",
            "`R001/hill.1/green` is planned on 19 Apr; with `R001/unstack` on 21 Apr its earliest day is 21 Apr (same day)",
            "`wash/2027-04-20` is planned on 20 Apr; with `R001/unstack` on 21 Apr its earliest day is 21 Apr (trays come back)",
        ]
    );
    assert_eq!(
        broken(&|plan| {
            plan.runs[0].soak = Some(day("04-07"));
        }),
        [
            "`R001/drain` is planned on 14 Apr; with `R001/soak` on 7 Apr its earliest day is 15 Apr (soaking)"
        ]
    );
    assert_eq!(
        broken(&|plan| plan.deliveries[3].day = day("05-12")),
        [
            "`R001/hill.1/plant` is planned on 12 May; with `R001/sow` on 16 Apr its latest day is 10 May (age of the seedlings)",
            "`R001/hill.1/plant` is planned on 12 May; latest day is 9 May (window of the field)",
            "`wash/2027-05-12` is planned on 12 May; with `R001/hill.1/plant` on 12 May its earliest day is 17 May (trays come back)",
            "`R001/hill.1/plant` is planned on 12 May, outside the field's window or on one of its closed days",
        ]
    );
    assert_eq!(
        broken(&|plan| plan.scenario.pins.push(Pin {
            field: "lane".into(),
            part: 1,
            sow: Some(day("04-20")),
            plant: None
        })),
        ["`R002/sow` is planned on 19 Apr; earliest day is 20 Apr (pinned)"]
    );
    let sunday = broken(&|plan| plan.deliveries[3].day = day("05-09"));
    assert!(sunday.contains(
        &"`R001/hill.1/load` is planned on Sunday 9 May, a day without that work".to_string()
    ));
}

#[test]
fn lags_that_cannot_all_be_kept_are_named_with_their_sum() {
    let mut plan = plan();
    // One run cannot serve a field that closes on 4 May and one that opens on 11 May: 18 to 24 days.
    plan.scenario.fields[0].window = vec![DayRange {
        first: day("05-03"),
        last: day("05-04"),
    }];
    plan.scenario.fields[1].window = vec![DayRange {
        first: day("05-11"),
        last: day("05-20"),
    }];
    let graph = TaskGraph::new(&plan).unwrap();
    let clash = graph.room().unwrap_err();
    assert_eq!(clash.minutes, 1_440);
    assert_eq!(
        clash.to_string(),
        "these lags cannot all be kept, by 1 day: `first day` → `R001/hill.1/plant` → `R001/sow` → \
         `R001/brook.1/plant` → `first day`"
    );
}

#[test]
fn what_lies_before_the_first_day_stands_where_it_was() {
    let mut plan = plan();
    // The year is taken up on 20 April: R001 is out of its stack, R002 was sown yesterday.
    plan.scenario.horizon.first = day("04-20");
    for run in &mut plan.runs {
        (run.line, run.soak, run.drain, run.place_in_day) = (None, None, None, 0);
    }
    let graph = TaskGraph::new(&plan).unwrap();
    assert_eq!(graph.check(), []);
    let room = graph.room().unwrap();
    let at = graph
        .tasks
        .iter()
        .position(|task| task.id == "R002/sow")
        .unwrap();
    assert!(graph.tasks[at].past);
    assert_eq!(
        (room.earliest(at), room.latest(at)),
        (Some(day("04-19")), Some(day("04-19")))
    );
    assert!(graph.tasks.iter().all(|task| task.verb != Verb::Soak));
    let open = graph
        .tasks
        .iter()
        .position(|task| task.id == "R002/unstack")
        .unwrap();
    assert_eq!(
        (room.earliest(open), room.latest(open)),
        (Some(day("04-22")), Some(day("04-23")))
    );
}

#[test]
fn a_plan_that_names_what_is_not_there_is_refused() {
    let refused = |change: &dyn Fn(&mut sowrota::plan::Plan)| {
        let mut plan = plan();
        change(&mut plan);
        TaskGraph::new(&plan).unwrap_err().to_string()
    };
    assert_eq!(
        refused(&|plan| plan.runs[0].kind = "earli".into()),
        "run `R001` names kind `earli`, which the scenario in the plan does not have"
    );
    assert_eq!(
        refused(&|plan| plan.deliveries[0].run = "R009".into()),
        "delivery `brook.1` names run `R009`, which the scenario in the plan does not have"
    );
    assert_eq!(
        refused(&|plan| plan.runs[1].id = "R001".into()),
        "run `R001` stands twice in the plan"
    );
    assert_eq!(
        refused(&|plan| plan.scenario.germination[0].height = 0),
        "height of germination place `warm` is 0; it must lie between 1 and 100000000"
    );
    assert_eq!(
        refused(&|plan| plan.deliveries[0].trays = i64::MAX),
        "a number of trays or stacks of run `R001` is 9223372036854775807; it must lie between 0 and 100000000"
    );
}
