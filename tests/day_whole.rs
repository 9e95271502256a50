//! The sheet knows all that a plan can say: what leaves before it is a seedling, what is lost, what waits, what stays.

#[path = "common/small_plan.rs"]
mod small_plan;
#[path = "common/whole_plan.rs"]
mod whole_plan;

use small_plan::day;
use sowrota::plan::Plan;
use sowrota::plan::day::{DayPlan, Job, Work, day_plan};
use sowrota::plan::tasks::TaskGraph;
use sowrota::report;
use sowrota::scenario::SetUpPair;
use sowrota::units::Fixed;
use unicode_width::UnicodeWidthStr;
use whole_plan::plan;

fn sheet(plan: &Plan, on: &str) -> DayPlan {
    day_plan(&TaskGraph::new(plan).unwrap(), day(on))
}

/// The sheet with every line break and indent as one space, blanks left out.
fn words(plan: &Plan, on: &str) -> String {
    let text = report::day::text(&sheet(plan, on)).replace("_____ __:__ ____", "");
    let text = text.replace("______________ok", "");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn assert_says(plan: &Plan, on: &str, all: &[&str]) {
    let text = words(plan, on);
    for said in all {
        assert!(text.contains(said), "{on}: `{said}` is not in\n{text}");
    }
}

fn assert_silent(plan: &Plan, on: &str, none: &[&str]) {
    let text = words(plan, on);
    for said in none {
        assert!(!text.contains(said), "{on}: `{said}` is in\n{text}");
    }
}

fn jobs(sheet: &DayPlan, work: Work) -> Vec<&Job> {
    sheet.jobs().filter(|job| job.work == work).collect()
}

#[test]
fn the_whole_plan_keeps_its_lags_and_every_page_its_width() {
    let plan = plan();
    let graph = TaskGraph::new(&plan).unwrap();
    let texts: Vec<String> = graph
        .check()
        .into_iter()
        .map(|breach| breach.text)
        .collect();
    assert_eq!(texts, [] as [&str; 0]);
    assert!(graph.room().is_ok());
    for day in plan.scenario.horizon.iter() {
        for line in report::day::text(&day_plan(&graph, day)).lines() {
            assert!(line.width() <= 80, "{day}: {line}");
        }
    }
}

#[test]
fn a_day_on_which_seed_and_a_run_leave_the_tank() {
    insta::assert_snapshot!(report::day::text(&sheet(&plan(), "04-16")));
}

#[test]
fn a_day_of_opening_for_bed_and_field() {
    insta::assert_snapshot!(report::day::text(&sheet(&plan(), "04-19")));
}

#[test]
fn a_day_of_loading_in_two_groups() {
    insta::assert_snapshot!(report::day::text(&sheet(&plan(), "05-05")));
}

#[test]
fn seed_is_soaked_in_bags_treated_and_handed_over() {
    let plan = plan();
    // 160 trays of 180 g are 28.8 kg: two bags of 20 kg, and 5 mL for each of the 40 kg.
    assert_says(
        &plan,
        "04-07",
        &[
            "SOAK Early White, 2 bags of 20 kg = 40 kg dry for R003; about 160 L water",
            "treat: Clearwater dip, 200 mL for the batch by its label; gloves and mask; never food or feed",
            "Treating: dose, water, time and what is worn stand on the label",
        ],
    );
    // 677 trays for fields and 8 trial trays are 123.3 kg, and 1.5 kg stay in the hopper: seven bags.
    assert_says(
        &plan,
        "04-05",
        &[
            "Seed out, to soak: R001 Early White, 7 bags of 20 kg = 140 kg dry to treat it: Clearwater dip, 700 mL",
        ],
    );
    assert_says(
        &plan,
        "04-15",
        &[
            "Seed to hand over: R003 Early White, 28.8 kg dry, 36 kg wet, bagged and labelled",
            "Dorothea, mill: soaked seed, 18 kg dry, fetches __:__",
            "Emrys, weir: soaked seed, 10.8 kg dry, at __:__",
        ],
    );
    assert_says(
        &plan,
        "04-16",
        &[
            "HAND OVER Early White, 18 kg dry, 22.5 kg wet for mill, Dorothea (R003), for 100 trays the grower fetches it, at __:__",
            "HAND OVER Early White, 10.8 kg dry, 13.5 kg wet for weir, Emrys (R003), for 60 trays bring it cool",
            // Of two bags of 20 kg.
            "11.2 kg dry (14 kg wet) are left over: next run of the kind, or away as the label of its treatment says: never spread, food or feed",
            "hopper: 156 kg wet, 125 kg dry 1500 g dry stays in it",
        ],
    );
    let graph = TaskGraph::new(&plan).unwrap();
    let of_seed: Vec<&str> = graph
        .tasks
        .iter()
        .filter(|task| task.run.as_deref() == Some("R003"))
        .map(|task| task.id.as_str())
        .collect();
    assert_eq!(
        of_seed,
        [
            "R003/soak",
            "R003/drain",
            "R003/sprout",
            "R003/mill.1/hand-over",
            "R003/weir.1/hand-over"
        ]
    );
    // It is no tray: not loaded, not laid out, not counted among trays handed over.
    assert_eq!(sheet(&plan, "04-16").totals.handed_over, 0);
}

#[test]
fn sprouted_trays_leave_from_the_stack_and_stand_in_no_bed() {
    let plan = plan();
    let of_day = sheet(&plan, "04-19");
    assert_says(
        &plan,
        "04-19",
        &[
            "685 trays = 45 stacks of 15 + 10",
            "40 of them leave today, 636 to bed 1 of them is the allowance for loss: lay out what is good, the rest to the wash",
            "LOAD Early White, 40 trays R001: Warm room to toft, Florian 0.78 ha, 3 days old sprouted",
            "sprouted, from the stack: cover, keep from sun and wind",
        ],
    );
    let (open, load) = (
        jobs(&of_day, Work::Unstack)[0],
        jobs(&of_day, Work::Load)[0],
    );
    assert!(
        open.spells[0].until_minute <= load.spells[0].from_minute,
        "{load:?}"
    );
    let laid: i64 = jobs(&of_day, Work::Green).iter().map(|job| job.trays).sum();
    assert_eq!(laid, 224 + 224 + 175 + 13);
    // All that is opened is told: leaving, laid out, trial trays, allowance. Nobody has weighed a sprouted tray.
    assert_eq!(
        open.trays,
        open.leave_today + laid + open.trial_trays + open.allowance
    );
    assert_eq!((open.allowance, load.allowance, load.load_kg), (1, 1, None));
    assert_says(&plan, "04-19", &["up to 1 may be left over: keep as spare"]);
    // Handed over, it is planted by nobody and comes back like other trays: 40 less one.
    assert_says(&plan, "04-24", &["FETCH 39 trays from toft, Florian"]);
    assert_silent(&plan, "04-20", &["toft"]);
}

#[test]
fn sown_trays_count_up_to_the_bed_and_leaving_trays_from_then_on() {
    let plan = plan();
    let of = |on: &str, work: Work| -> Vec<i64> {
        let sheet = sheet(&plan, on);
        jobs(&sheet, work).iter().map(|job| job.trays).collect()
    };
    assert_eq!(of("04-16", Work::Sow), [677]);
    assert_eq!(of("04-20", Work::Care), [636]);
    assert_eq!(of("05-06", Work::Load), [220]);
    // What was lost stands until the others leave: 224 + 175 + 13 on the evening of 5 May, 188 after 6 May.
    assert_eq!(of("05-06", Work::Care), [188]);
    let graph = TaskGraph::new(&plan).unwrap();
    let count = |id: &str| graph.task(id).unwrap().trays;
    assert_eq!(
        (
            count("R001/brook.1/harden"),
            count("R001/brook.1/load"),
            count("R001/brook.1/plant")
        ),
        (224, 220, 220)
    );
}

#[test]
fn rows_stand_wherever_trays_do() {
    let plan = plan();
    assert_says(
        &plan,
        "04-19",
        &["LAY OUT Early White, 623 trays R001: Warm room to Long house, rows 1 to 11"],
    );
    assert_says(
        &plan,
        "04-20",
        &[
            "Long house, rows 1 to 12: last night's low, high",
            "WATER, VENT, LOOK Long house, rows 1 to 12: 636 trays",
        ],
    );
    assert_says(
        &plan,
        "04-21",
        &[
            "MOVE Early White, 623 trays R001: Long house to South yard, rows 2 to 12 carry them over, the first cover stays",
        ],
    );
    assert_says(
        &plan,
        "05-06",
        &["R001: South yard, rows 6 to 9 to brook part 2, Adeline"],
    );
    // Where both stages are in one bed only the cover is touched.
    let mut stays = plan;
    for delivery in &mut stays.deliveries {
        if delivery.green_bed.is_some() {
            delivery.harden_bed = Some("house".into());
        }
    }
    assert_says(
        &stays,
        "04-21",
        &[
            "UNCOVER Early White, 623 trays R001: Long house, rows 1 to 11 take the cover off, trays stay where they are",
        ],
    );
}

#[test]
fn trays_at_the_edge_of_a_field_are_sent_and_planted_on_two_days() {
    let plan = plan();
    assert_says(
        &plan,
        "05-05",
        &[
            "LOAD Late Amber, 318 trays R002: South yard, rows 14 to 19 to lane, Cosima 1.45 ha, 16 days old",
            "lift and roll the mats; the trays stay here",
            "stand at the edge until Thursday 6 May: flat, shaded, watered",
            "round trip: Over the hill",
            "round trip: Down the river",
        ],
    );
    assert_says(
        &plan,
        "05-06",
        &[
            "Edge of lane, Cosima: 318 trays wait until today flat, shaded, watered?",
            "PLANT Late Amber, 318 trays lane, Cosima: 1.45 ha with our six-row",
        ],
    );
    // One round trip alone needs no name; nobody fetches trays that never left.
    assert_silent(&plan, "05-06", &["round trip", "LOAD Late Amber"]);
    assert_silent(&plan, "05-11", &["lane"]);
    assert_says(
        &plan,
        "05-04",
        &[
            "Cosima, lane: 318 trays, 16 days old, at __:__; planted Thursday 6 May, till then flat, shaded, watered",
        ],
    );
    let graph = TaskGraph::new(&plan).unwrap();
    let mut late = plan.clone();
    late.deliveries[2].leaves = Some(day("05-04"));
    assert_eq!(graph.check(), []);
    let found = TaskGraph::new(&late).unwrap().check();
    assert!(
        found
            .iter()
            .any(|breach| breach.text.contains("waiting at the edge of the field")),
        "{found:?}"
    );
}

#[test]
fn the_spare_is_kept_and_given_up_and_no_growers_business() {
    let plan = plan();
    assert_says(
        &plan,
        "04-19",
        &["LAY OUT Early White, 13 trays of the spare R001: Warm room to Long house, row 12"],
    );
    assert_says(
        &plan,
        "05-08",
        &["SPARE OF Early White: 12 trays free for whoever asks R001: South yard, row 13"],
    );
    for on in ["05-05", "05-06", "05-07", "05-08"] {
        let sheet = sheet(&plan, on);
        let loads = jobs(&sheet, Work::Load)
            .into_iter()
            .chain(jobs(&sheet, Work::HandOver));
        assert!(loads.into_iter().all(|job| !job.spare), "{on}");
        assert!(
            sheet
                .tomorrow
                .calls
                .iter()
                .all(|call| call.grower != "spare")
        );
        assert!(
            sheet
                .cannot_wait
                .iter()
                .all(|line| !line.task.contains("spare"))
        );
    }
    // Its trays stay at home: to be washed from the day after on, those lost too.
    assert_silent(&plan, "05-13", &["spare"]);
}

#[test]
fn trays_come_back_by_the_curve_of_the_grower() {
    let plan = plan();
    // 172 trays planted on 7 May: 86 by the tenth, 137 by the seventeenth, 163 in the end.
    assert_says(
        &plan,
        "05-10",
        &["TRAYS BACK 86 trays from hill, Bertram 86 of 163 should be back by tonight"],
    );
    assert_says(
        &plan,
        "05-12",
        &["FETCH empty trays from hill, Bertram 86 of 163 should be back by tonight"],
    );
    assert_says(
        &plan,
        "05-17",
        &["TRAYS BACK 51 trays from hill, Bertram 137 of 163 should be back by tonight"],
    );
    assert_says(
        &plan,
        "05-10",
        &["FETCH 215 trays from brook part 1, Adeline"],
    );
}

#[test]
fn what_is_thrown_out_and_what_is_last_stands_at_the_line() {
    let mut plan = plan();
    plan.runs[1].sow = day("04-16");
    (plan.runs[1].place_in_day, plan.runs[1].thrown_trays) = (2, 3);
    plan.scenario.kinds[1].last_of_day = true;
    plan.scenario.lines[0].set_up_pairs.push(SetUpPair {
        from: "early".into(),
        to: "late".into(),
        minutes: Fixed(2_500),
        throw_out_trays: 3,
        never: false,
    });
    // 25 minutes and three trays of 11.25 s, then 326 trays.
    assert_says(
        &plan,
        "04-16",
        &[
            "SET UP for Late Amber R002: Barn line throw out the first 3 trays: the kind before is in them",
            "run 2 of 2, after Early White: 87 min with set-up and trial",
            "bed 20 mm, 1069 L",
            "LAST OF THE DAY on this line: then clean it all",
        ],
    );
    // 326 trays and at most three thrown out, 150 g each, and 1.5 kg for the hopper.
    let graph = TaskGraph::new(&plan).unwrap();
    assert_eq!(graph.task("R002/soak").unwrap().seed_dry_kg, Fixed(50_850));
}

#[test]
fn spans_and_care_times_are_those_of_the_day() {
    let plan = plan();
    assert_says(&plan, "05-06", &["BED CREW: 5 people, 06:00 to 14:00"]);
    assert_says(&plan, "05-05", &["BED CREW: 3 people, 06:30 to 14:30"]);
    // The line has an hour on 19 April: 30 minutes of set-up and 326 trays of 11.25 s.
    assert_says(
        &plan,
        "04-19",
        &["Barn line: 92 minutes of work, 60 allowed"],
    );
    // 318 trays at 30 person-minutes a hundred, half as much again.
    let of_day = sheet(&plan, "04-22");
    let care = jobs(&of_day, Work::Care);
    let new = care.iter().find(|job| job.laid_out_today).unwrap();
    assert_eq!((new.trays, new.person_minutes), (318, 144));
}

#[test]
fn beds_are_watered_by_nine_by_as_few_as_that_takes_while_others_load() {
    let mut plan = small_plan::plan();
    let work = &mut plan.scenario.work;
    work.care.as_mut().unwrap().crew = "field".into();
    plan.scenario.crews[2].people = 4;
    // 612 − 220 trays of R001 and 318 of R002 on the morning of 5 May: 213 person-minutes from 07:00 to 09:00 are two people.
    let of_day = sheet(&plan, "05-05");
    let care = jobs(&of_day, Work::Care)[0];
    let load = jobs(&of_day, Work::Load)[0];
    assert_eq!(
        (care.spells[0].people, care.spells[0].from_minute),
        (2, 420)
    );
    assert!(care.spells[0].until_minute <= 540, "{care:?}");
    assert_eq!(
        (load.spells[0].people, load.spells[0].from_minute),
        (2, 420)
    );
    assert_silent(&plan, "05-05", &["LATER THAN NINE"]);
    // Alone, one cannot; it is said.
    plan.scenario.crews[2].people = 1;
    plan.scenario.crews[2].shift_hours = Fixed(1_500);
    assert_says(&plan, "05-05", &["LATER THAN NINE: who can water sooner?"]);
}

#[test]
fn who_is_free_stacks_while_the_line_runs_and_where_nobody_is_the_sheet_says_so() {
    let mut plan = small_plan::plan();
    let of_day = sheet(&plan, "04-16");
    let (sow, stack) = (jobs(&of_day, Work::Sow)[0], jobs(&of_day, Work::Stack)[0]);
    // 115 minutes on the line: twice, an hour apart, and the last tray is among the second.
    assert_eq!(stack.spells.len(), 2, "{stack:?}");
    let middle = (sow.spells[0].from_minute + sow.spells[0].until_minute) / 2;
    assert!(
        (stack.spells[0].until_minute - middle).abs() <= 1,
        "{stack:?}"
    );
    assert_eq!(stack.spells[1].until_minute, sow.spells[0].until_minute);
    assert!(!stack.stacked_late);
    plan.scenario.crews[0].people = 6;
    let crews = plan.scenario.crews.clone();
    for crew in &mut plan.scenario.crews[1..] {
        crew.people = 0;
    }
    assert_says(
        &plan,
        "04-16",
        &[
            "NOBODY IS FREE TO STACK WHILE THE LINE RUNS trays wait at its end: find a pair of hands",
        ],
    );
    // Where another crew has somebody free, it is named; either is said once.
    plan.scenario.crews = crews;
    plan.scenario.crews[0].people = 6;
    let said = words(&plan, "04-16");
    assert_eq!(
        said.matches("nobody stacks while it runs").count(),
        1,
        "{said}"
    );
    assert!(
        said.contains(
            "ALL ARE ON THE LINE, nobody stacks while it runs: Bed crew has someone free"
        ),
        "{said}"
    );
}

#[test]
fn washing_that_nobody_is_counted_for_takes_the_time_of_the_washer() {
    let mut plan = small_plan::plan();
    assert_silent(&plan, "05-11", &["at the washer"]);
    plan.scenario.work.wash = None;
    // 526 trays at 300 an hour: 105.2 minutes.
    assert_says(
        &plan,
        "05-11",
        &["WASH 526 trays about 1 h 50 min at the washer"],
    );
}

#[test]
fn trays_that_the_grower_fetches_are_not_loaded() {
    let mut plan = small_plan::plan();
    plan.scenario.fields[1].collected = true;
    let of_day = sheet(&plan, "05-07");
    assert_eq!((of_day.totals.loaded, of_day.totals.handed_over), (0, 172));
    assert_says(
        &plan,
        "05-07",
        &[
            "HAND OVER Early White, 172 trays R001: South yard to hill, Bertram 0.78 ha, 21 days old, about 1290 kg the grower fetches it, at __:__",
            "handed over 172",
        ],
    );
    assert_says(
        &plan,
        "05-06",
        &["Bertram, hill: 172 trays, 21 days old, fetches __:__"],
    );
}

#[test]
fn seedlings_that_stand_nowhere_are_refused() {
    let mut plan = plan();
    plan.deliveries[0].harden_bed = None;
    assert_eq!(
        TaskGraph::new(&plan).unwrap_err().to_string(),
        "delivery `R001/brook.1` names no harden bed; what its field is given stands in one"
    );
}
