//! The sheet of a day: what it says, that it adds up to the plan, and that nobody is asked for twice.

#[path = "common/small_plan.rs"]
mod small_plan;

use small_plan::{day, plan};
use sowrota::calendar::Day;
use sowrota::plan::Plan;
use sowrota::plan::day::{DayPlan, Misfit, Spell, Work, day_plan};
use sowrota::plan::tasks::TaskGraph;
use sowrota::report;
use unicode_width::UnicodeWidthStr;

fn all_days(plan: &Plan) -> Vec<DayPlan> {
    let graph = TaskGraph::new(plan).unwrap();
    plan.scenario
        .horizon
        .iter()
        .map(|day| day_plan(&graph, day))
        .collect()
}

/// The sheet with every line break and indent as one space.
fn in_one_line(sheet: &DayPlan) -> String {
    report::day::text(sheet)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

fn one_day(plan: &Plan, on: Day) -> DayPlan {
    day_plan(&TaskGraph::new(plan).unwrap(), on)
}

#[test]
fn a_day_of_opening_and_sowing() {
    insta::assert_snapshot!(report::day::text(&one_day(&plan(), day("04-19"))));
}

#[test]
fn a_day_of_loading_and_planting() {
    insta::assert_snapshot!(report::day::text(&one_day(&plan(), day("05-06"))));
}

#[test]
fn a_sunday() {
    insta::assert_snapshot!(report::day::text(&one_day(&plan(), day("05-02"))));
}

#[test]
fn a_day_of_soaking_and_draining() {
    let plan = plan();
    insta::assert_snapshot!(report::day::text(&one_day(&plan, day("04-14"))));
    let text = report::day::text(&one_day(&plan, day("04-11")));
    assert!(
        text.contains("CHANGE WATER Early White, 112 kg dry"),
        "{text}"
    );
}

#[test]
fn the_sheets_of_all_days_add_up_to_the_plan() {
    let plan = plan();
    let days = all_days(&plan);
    let sum = |of: &dyn Fn(&DayPlan) -> i64| days.iter().map(of).sum::<i64>();
    let trays = |work: Work| {
        let jobs = days
            .iter()
            .flat_map(DayPlan::jobs)
            .filter(|job| job.work == work);
        jobs.map(|job| job.trays).sum::<i64>()
    };
    let (sown, trial) = (plan.runs.iter().map(|run| run.trays).sum::<i64>(), 16);
    assert_eq!(
        (sum(&|day| day.totals.sown), sum(&|day| day.totals.trial)),
        (sown, trial)
    );
    assert_eq!(
        (trays(Work::Stack), trays(Work::Unstack)),
        (sown + trial, sown + trial)
    );
    assert_eq!((trays(Work::Green), trays(Work::Harden)), (sown, sown));
    let delivered: i64 = plan.deliveries.iter().map(|delivery| delivery.trays).sum();
    assert_eq!(
        (trays(Work::Load), sum(&|day| day.totals.loaded)),
        (delivered, delivered)
    );
    assert_eq!(sum(&|day| day.totals.area_ha.0), 42_250);
    // Two in a hundred do not come back, rounded up by delivery.
    assert_eq!(trays(Work::Collect), 215 + 215 + 311 + 168);
    assert_eq!(
        trays(Work::Wash),
        plan.washing
            .iter()
            .map(|washing| washing.trays)
            .sum::<i64>()
    );
    // 620 trays of 180 g and 326 of 150 g.
    assert_eq!(sum(&|day| day.totals.soaked_dry_kg.0), 111_600 + 48_900);
    // Care: every tray on every day from opening to the day before it leaves.
    let cared = plan
        .deliveries
        .iter()
        .map(|d| d.trays * i64::from(d.day.since(d.open)));
    assert_eq!(trays(Work::Care), cared.sum::<i64>());
    assert_eq!(days.iter().flat_map(|day| &day.misfits).count(), 0);
    assert_eq!(days.iter().flat_map(|day| &day.breaches).count(), 0);
}

#[test]
fn stacks_litres_and_grams_as_handled() {
    let sheet = one_day(&plan(), day("04-16"));
    let sow = sheet.jobs().find(|job| job.work == Work::Sow).unwrap();
    let run = sow.sowing.as_ref().unwrap();
    // 620 trays × 0.58 m × 0.28 m × 20 mm = 2,013.76 L; 7 mm: 704.8 L; 1.2 L each: 744 L.
    assert_eq!(
        (run.soil.bed_l, run.soil.cover_l, run.soil.water_l),
        (2_014, 705, 744)
    );
    // 180 g × 1.25 = 225 g, and 5 % either way.
    assert_eq!(
        (run.grams.target, run.grams.low, run.grams.high),
        (225, 214, 236)
    );
    assert_eq!(
        (run.seed.dry.to_string(), run.seed.wet.to_string()),
        ("111.6".into(), "139.5".into())
    );
    // 30 minutes of set-up and 620 trays of 11.25 s.
    assert_eq!(run.line_minutes, 147);
    let stack = sheet
        .jobs()
        .find(|job| job.work == Work::Stack)
        .unwrap()
        .stacked
        .unwrap();
    assert_eq!((stack.full, stack.height, stack.rest), (41, 15, 5));
}

/// Everyone's time on one day: never more people than there are, never outside the shift and what is bought.
fn assert_people_hold(sheet: &DayPlan) {
    for crew in &sheet.crews {
        let spells: Vec<Spell> = crew
            .jobs
            .iter()
            .flat_map(|job| job.spells.clone())
            .collect();
        for spell in &spells {
            assert!(spell.from_minute <= spell.until_minute);
            assert!(
                spell.from_minute >= crew.from_minute,
                "{} {}",
                sheet.day,
                crew.crew
            );
            assert!(
                spell.until_minute <= crew.latest_minute,
                "{} {}",
                sheet.day,
                crew.crew
            );
            let at = spell.from_minute;
            let busy = spells
                .iter()
                .filter(|s| s.from_minute <= at && at < s.until_minute);
            let busy: i64 = busy.map(|spell| spell.people).sum();
            assert!(
                busy <= crew.people,
                "{} {}: {busy} busy",
                sheet.day,
                crew.crew
            );
        }
        let paid_from = if crew.day_off {
            crew.from_minute
        } else {
            crew.until_minute
        };
        let beyond = |s: &Spell| s.people * (s.until_minute - s.from_minute.max(paid_from)).max(0);
        let beyond: i64 = spells.iter().map(beyond).sum();
        // Minutes are rounded for each spell; three people, one minute.
        assert!(
            beyond <= crew.bought_minutes + crew.offered_minutes + 3,
            "{} {}: {beyond}",
            sheet.day,
            crew.crew
        );
        for job in &crew.jobs {
            let given: i64 = job
                .spells
                .iter()
                .map(|s| s.people * (s.until_minute - s.from_minute))
                .sum();
            let missing: i64 = sheet
                .misfits
                .iter()
                .map(|misfit| match misfit {
                    Misfit::Time {
                        work,
                        runs,
                        person_minutes,
                        ..
                    } if (*work, runs) == (job.work, &job.runs) => *person_minutes,
                    Misfit::Team { work, runs, .. } if (*work, runs) == (job.work, &job.runs) => {
                        job.person_minutes
                    }
                    _ => 0,
                })
                .sum();
            let slip = 1 + job.spells.iter().map(|spell| spell.people).sum::<i64>();
            assert!(
                (given + missing - job.person_minutes).abs() <= slip,
                "{} {:?}",
                sheet.day,
                job
            );
        }
    }
}

#[test]
fn nobody_is_in_two_places_or_outside_the_shift() {
    for sheet in all_days(&plan()) {
        assert_people_hold(&sheet);
    }
    // Also when little fits: fewer people, shorter shifts, more work.
    for (people, hours, factor) in [
        (6, 300, 1),
        (7, 100, 1),
        (6, 800, 9),
        (9, 250, 3),
        (3, 800, 1),
    ] {
        let mut plan = plan();
        for crew in &mut plan.scenario.crews {
            crew.people = people;
            crew.shift_hours.0 = hours;
        }
        let care = plan.scenario.work.care.as_mut().unwrap();
        care.person_minutes.0 *= factor;
        let unstack = plan.scenario.work.unstack.as_mut().unwrap();
        unstack.person_minutes.0 *= factor;
        for sheet in all_days(&plan) {
            assert_people_hold(&sheet);
        }
    }
}

fn first(sheet: &DayPlan, work: Work) -> Spell {
    sheet.jobs().find(|job| job.work == work).unwrap().spells[0]
}

#[test]
fn stacks_are_opened_before_sowing_and_loads_leave_early() {
    let sheet = one_day(&plan(), day("04-19"));
    let (open, set_up) = (first(&sheet, Work::Unstack), first(&sheet, Work::SetUp));
    assert!(open.until_minute <= set_up.from_minute);
    assert!(set_up.until_minute <= first(&sheet, Work::Sow).from_minute);
    let stack = first(&sheet, Work::Stack);
    assert!(stack.until_minute >= first(&sheet, Work::Sow).until_minute);
    let sheet = one_day(&plan(), day("05-06"));
    assert_eq!(first(&sheet, Work::Load).from_minute, 420);
}

/// 19 April with so many hundredths of a person-minute of opening per hundred trays, and so many places.
fn opening_and_sowing(unstack: i64, places: i64) -> DayPlan {
    let mut plan = plan();
    plan.scenario.crews[0].shift_hours.0 = 400;
    let work = plan.scenario.work.unstack.as_mut().unwrap();
    work.person_minutes.0 = unstack;
    plan.scenario.germination[0].stack_places = places;
    one_day(&plan, day("04-19"))
}

#[test]
fn the_line_begins_before_all_is_open_only_when_the_day_does_not_fit_otherwise() {
    // 459 person-minutes of opening: an hour for eight people, and four hours are enough for all.
    let sheet = opening_and_sowing(7_500, 60);
    assert!(first(&sheet, Work::Unstack).until_minute <= first(&sheet, Work::SetUp).from_minute);
    assert_eq!(sheet.misfits, []);
    // 1,163 person-minutes: the line takes its six first and the other two open beside it. 18 places are free for its
    // 22 stacks, and the first four of 42 are open long before the nineteenth is begun.
    let sheet = opening_and_sowing(19_000, 60);
    assert_eq!(sheet.misfits, []);
    assert_eq!(first(&sheet, Work::SetUp).from_minute, 420);
    assert_eq!(first(&sheet, Work::Unstack).from_minute, 420);
    let sow = sheet.jobs().find(|job| job.work == Work::Sow).unwrap();
    let place = &sow.sowing.as_ref().unwrap().places[0];
    assert_eq!((place.stacks, place.free), (22, 18));
    // With 64 places none has to be opened for the line.
    let sheet = opening_and_sowing(19_000, 64);
    let sow = sheet.jobs().find(|job| job.work == Work::Sow).unwrap();
    let place = &sow.sowing.as_ref().unwrap().places[0];
    assert_eq!((sheet.misfits.len(), place.stacks, place.free), (0, 22, 22));
}

#[test]
fn a_line_with_a_crew_of_its_own_begins_as_soon_as_its_stacks_will_find_places() {
    let with_places = |places: i64| {
        let mut plan = plan();
        let work = &mut plan.scenario.work;
        for piece in [&mut work.unstack, &mut work.green] {
            piece.as_mut().unwrap().crew = "beds".into();
        }
        work.unstack.as_mut().unwrap().person_minutes.0 = 20_000;
        plan.scenario.crews[1].shift_hours.0 = 1_500;
        plan.scenario.germination[0].stack_places = places;
        one_day(&plan, day("04-19"))
    };
    // All 22 stacks of today have free places: the line need not wait.
    let sheet = with_places(64);
    let start = sheet.crews[0].from_minute;
    assert_eq!(
        (first(&sheet, Work::SetUp).from_minute, sheet.misfits.len()),
        (start, 0)
    );
    // None is free: the last of 22 waits for the twenty-second of 42, and not for all; and the line does not stop.
    let sheet = with_places(42);
    let open = first(&sheet, Work::Unstack);
    let trial = first(&sheet, Work::Trial);
    assert_eq!(sheet.misfits, []);
    assert!(open.from_minute < trial.from_minute, "{open:?} {trial:?}");
    let sow = first(&sheet, Work::Sow);
    assert!(sow.until_minute < open.until_minute, "{open:?} {sow:?}");
    assert_eq!(first(&sheet, Work::SetUp).until_minute, trial.from_minute);
    // 1,224 person-minutes by three, and 21 stacks of 15 trays of 11.25 s before the last one is begun.
    let waits = 390.0 + 1_224.0 / 3.0 * 22.0 / 42.0 - 21.0 * 15.0 * 11.25 / 60.0;
    assert!(
        (trial.from_minute as f64 - waits).abs() <= 0.6,
        "{trial:?} {waits}"
    );
}

#[test]
fn stacks_are_opened_before_loading_only_as_many_as_the_line_needs() {
    let with_shift = |line_hours: i64| {
        let mut plan = plan();
        // Loading, opening and laying out by four people; trays are loaded on the day of opening and sowing.
        let work = &mut plan.scenario.work;
        for piece in [&mut work.unstack, &mut work.green, &mut work.load] {
            piece.as_mut().unwrap().crew = "beds".into();
        }
        work.load.as_mut().unwrap().person_minutes.0 = 30_000;
        plan.deliveries[0].day = day("04-19");
        plan.deliveries[0].open = day("04-18");
        plan.deliveries[0].harden = day("04-18");
        plan.scenario.crews[1].shift_hours.0 = 1_500;
        plan.scenario.crews[0].shift_hours.0 = line_hours;
        plan.scenario.germination[0].stack_places = 42;
        one_day(&plan, day("04-19"))
    };
    let late = with_shift(1_600);
    let opening = late.jobs().find(|job| job.work == Work::Unstack).unwrap();
    assert_eq!((late.misfits.len(), opening.stacks_first), (0, None));
    assert!(first(&late, Work::Load).until_minute <= opening.spells[0].from_minute);
    let early = with_shift(400);
    let opening = early.jobs().find(|job| job.work == Work::Unstack).unwrap();
    assert_eq!(early.misfits, []);
    let stacks = opening.stacks_first.unwrap();
    assert!((1..42).contains(&stacks), "{stacks}");
    assert_eq!(opening.spells[0].from_minute, 390);
    assert!(in_one_line(&early).contains(&format!("first {stacks} stacks, the rest later")));
}

#[test]
fn overtime_is_seen_at_the_crew_and_at_the_job() {
    let mut plan = plan();
    plan.scenario.crews[0].shift_hours.0 = 150;
    plan.scenario.crews[0].overtime_hours.0 = 300;
    plan.bought.push(sowrota::plan::types::Bought {
        day: day("04-19"),
        crew: plan.scenario.crews[0].id.clone(),
        what: sowrota::plan::types::BoughtWhat::Overtime,
        minutes: 1_200,
        cost: sowrota::units::Money::whole(0),
    });
    let sheet = one_day(&plan, day("04-19"));
    assert_eq!(sheet.misfits, []);
    let text = in_one_line(&sheet);
    assert!(text.contains("07:00 to 08:30, OVERTIME TO "), "{text}");
    assert!(text.contains(" OVERTIME "), "{text}");
    let text = in_one_line(&one_day(&plan, day("04-20")));
    assert!(!text.contains("OVERTIME"), "{text}");
}

#[test]
fn what_does_not_fit_is_said() {
    let mut plan = plan();
    plan.scenario.crews[0].people = 5;
    plan.scenario.crews[1].shift_hours.0 = 50;
    plan.scenario.crews[1].overtime_hours.0 = 0;
    plan.bought.clear();
    let text = in_one_line(&one_day(&plan, day("04-19")));
    assert!(
        text.contains("SOW R002: needs a team of 6; Line crew has 5 on duty"),
        "{text}"
    );
    assert!(
        text.contains(
            "WATER, VENT, LOOK R001, Long house: 184 person-minutes more than Bed crew has"
        ),
        "{text}"
    );
    // A Sunday on which nobody was called in.
    let text = in_one_line(&one_day(&plan, day("05-02")));
    assert!(
        text.contains("BED CREW: day off, nobody called in"),
        "{text}"
    );
    assert!(
        text.contains("279 person-minutes more than Bed crew has"),
        "{text}"
    );
    plan.scenario.lines[0].hours_per_day.0 = 100;
    let text = in_one_line(&one_day(&plan, day("04-19")));
    assert!(
        text.contains("Barn line: 92 minutes of work, 60 allowed"),
        "{text}"
    );
    // A day that breaks a lag says so.
    plan.runs[0].stacks[0].open = day("04-21");
    let text = in_one_line(&one_day(&plan, day("04-21")));
    assert!(
        text.contains("its latest day is 20 Apr (stack ready and waiting)"),
        "{text}"
    );
}

#[test]
fn what_cannot_wait_stands_on_top_in_five_lines_at_most() {
    let mut plan = plan();
    plan.scenario.fields[2].window[0].last = day("05-06");
    plan.scenario
        .weather
        .iter_mut()
        .for_each(|row| row.max_c.0 = 1_450);
    let sheet = one_day(&plan, day("05-06"));
    let lines: Vec<&str> = sheet
        .cannot_wait
        .iter()
        .map(|line| line.task.as_str())
        .collect();
    assert_eq!(lines, ["R002/lane.1/plant"]);
    let text = report::day::text(&sheet);
    assert!(
        text.contains("1. Plant lane, Cosima: 318 trays, Late Amber (window of the field)"),
        "{text}"
    );
    assert!(
        text.contains("TODAY'S HIGH IS COUNTED ON AT 15 °C OR LESS."),
        "{text}"
    );
    // Saturday's work that could only be done on Monday, too late.
    for delivery in &mut plan.deliveries {
        delivery.harden = day("04-24");
    }
    plan.scenario
        .fields
        .iter_mut()
        .for_each(|field| field.parts = 3);
    let more: Vec<_> = plan
        .deliveries
        .iter()
        .cloned()
        .map(|mut d| {
            d.part = 3;
            d
        })
        .collect();
    plan.deliveries.extend(more.into_iter().skip(1));
    let sheet = one_day(&plan, day("04-24"));
    assert_eq!((sheet.cannot_wait.len(), sheet.more_cannot_wait), (5, 2));
}

#[test]
fn no_line_is_wider_than_the_page_and_nothing_stands_on_it_that_must_not() {
    let mut plan = plan();
    plan.scenario.name =
        "The nursery with a name that goes on for longer than any page is wide, and on".into();
    plan.scenario.beds[0].name = "早生の苗が並ぶ長い長いハウスの一番奥の区画".into();
    plan.scenario.fields[0].grower =
        "Adelinewithoutanyspaceinhernameatallsothatitmustbebroken".into();
    plan.bound = Some(sowrota::units::Money::whole(987_654));
    plan.cost.total = sowrota::units::Money::whole(876_543);
    plan.scenario_sha256 = "0123456789abcdef".into();
    let graph = TaskGraph::new(&plan).unwrap();
    for day in plan.scenario.horizon.iter() {
        let text = report::day::text(&day_plan(&graph, day));
        for line in text.lines() {
            assert!(line.width() <= 80, "{day}: {line}");
            assert_eq!(line, line.trim_end(), "{day}");
        }
        for never in [
            "987654",
            "876543",
            "0123456789abcdef",
            "coin",
            "bound",
            "cost",
            "second",
        ] {
            assert!(!text.contains(never), "{day}: {never}");
        }
        // The one decimal is that of hectares.
        for (at, _) in text.match_indices('.') {
            let digit = |text: Option<char>| text.is_some_and(|c| c.is_ascii_digit());
            if digit(text[..at].chars().last()) && digit(text[at + 1..].chars().next()) {
                let rest: String = text[at + 1..]
                    .chars()
                    .skip_while(char::is_ascii_digit)
                    .collect();
                assert!(
                    rest.starts_with(" ha") || rest.trim_start().starts_with("ha"),
                    "{day}: {rest}"
                );
            }
        }
    }
}

#[test]
fn a_day_that_the_grower_was_not_told_is_not_shown_as_firm() {
    let text = |on: &str| in_one_line(&one_day(&plan(), day(on)));
    // Of the two growers of 6 May one was told; on the others days all or nobody.
    assert!(!text("05-05").contains("call first") && !text("05-05").contains("was told"));
    assert!(text("05-06").contains("Not told this day yet, call first: Cosima (lane)"));
    assert!(text("05-07").contains("No grower was told this day yet: call each before loading."));
    // Once is enough.
    assert_eq!(text("05-06").matches("call first").count(), 1);
}

#[test]
fn machines_get_the_same_day_as_json() {
    let sheet = one_day(&plan(), day("04-19"));
    let json: serde_json::Value =
        serde_json::from_str(&report::day::json(&sheet).unwrap()).unwrap();
    assert_eq!(json["day"], "2027-04-19");
    assert_eq!(json["totals"]["sown"], 318);
    assert_eq!(json["crews"][0]["jobs"][0]["work"], "unstack");
    assert_eq!(json["crews"][0]["jobs"][0]["spells"][0]["people"], 8);
    assert_eq!(json["looks"][0]["what"], "stacks");
}

#[test]
fn runs_follow_one_another_on_the_line_in_the_order_of_the_plan() {
    let mut plan = plan();
    plan.runs[1].sow = day("04-16");
    plan.runs[0].place_in_day = 2;
    plan.scenario.lines[0]
        .set_up_pairs
        .push(sowrota::scenario::SetUpPair {
            throw_out_trays: 0,
            never: false,
            from: "late".into(),
            to: "early".into(),
            minutes: sowrota::units::Minutes::whole(45),
        });
    let sheet = one_day(&plan, day("04-16"));
    let on_line = [Work::SetUp, Work::Trial, Work::Sow];
    let jobs: Vec<_> = sheet
        .jobs()
        .filter(|job| on_line.contains(&job.work))
        .collect();
    let ids: Vec<&str> = jobs.iter().map(|job| job.tasks[0].as_str()).collect();
    let expected = [
        "R002/set-up",
        "R002/trial",
        "R002/sow",
        "R001/set-up",
        "R001/trial",
        "R001/sow",
    ];
    assert_eq!(ids, expected);
    for pair in jobs.windows(2) {
        assert_eq!(
            pair[0].spells[0].until_minute,
            pair[1].spells[0].from_minute
        );
    }
    let minutes = |at: usize| jobs[at].spells[0].until_minute - jobs[at].spells[0].from_minute;
    assert_eq!((minutes(0), minutes(3)), (30, 45));
    let orders: Vec<_> = jobs
        .iter()
        .filter_map(|job| job.sowing.as_ref())
        .map(|s| (s.order, s.of))
        .collect();
    assert_eq!(orders, [(1, 2), (2, 2)]);
    assert!(report::day::text(&sheet).contains("run 2 of 2"));
}

#[test]
fn a_run_in_two_places_has_a_stack_and_an_opening_in_each() {
    let mut plan = plan();
    let mut barn = plan.scenario.germination[0].clone();
    (barn.id, barn.name) = ("barn".into(), "Barn corner".into());
    plan.scenario.germination.push(barn);
    let stacks = &mut plan.runs[0].stacks;
    stacks.push(stacks[0].clone());
    (stacks[0].trays, stacks[0].stacks) = (448, 30);
    (stacks[1].trays, stacks[1].stacks, stacks[1].germination) = (172, 12, "barn".into());
    plan.deliveries[3].germination = Some("barn".into());
    let graph = TaskGraph::new(&plan).unwrap();
    assert_eq!(graph.check(), []);
    let sheet = day_plan(&graph, day("04-19"));
    let opened: Vec<_> = sheet
        .jobs()
        .filter(|job| job.work == Work::Unstack)
        .collect();
    let found: Vec<_> = opened
        .iter()
        .map(|job| (job.tasks[0].as_str(), job.trays, job.trial_trays))
        .collect();
    assert_eq!(
        found,
        [("R001/warm/unstack", 448, 8), ("R001/barn/unstack", 172, 0)]
    );
    // 440 and 172 trays at 25 person-minutes a hundred.
    assert_eq!(
        (opened[0].person_minutes, opened[1].person_minutes),
        (110, 43)
    );
}
