//! Promise: every day of the demo plans can be worked by the clock: all of it fits the shifts, the time bought and the overtime
//! allowed, nobody is asked for twice, no stack is begun before it has a place, and each part is planted in one go, in no less than
//! its machine's own time.

#[path = "common/demos.rs"]
mod demos;

use sowrota::calendar::Day;
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::plan::day::{CrewDay, DayPlan, Job, Misfit, Spell, Work, day_plan};
use sowrota::plan::tasks::TaskGraph;
use sowrota::report;
use sowrota::solve::{self, Budget, Start, Unwatched};

fn planned(demo: &str) -> Plan {
    let scenario = demos::scenario(demo);
    let nursery = Nursery::new(&scenario);
    let budget = Budget {
        moves: 400_000,
        relaxations: 0,
        seed: 1,
    };
    solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan
}

/// Minutes by which a time of the sheet may be off, since it is a whole minute.
const ROUNDING: f64 = 0.5;

/// Person-minutes of spells before `minute`.
fn done(spells: &[Spell], minute: f64) -> f64 {
    let of = |s: &Spell| {
        let until = minute.min(s.until_minute as f64);
        s.people as f64 * (until - s.from_minute as f64).max(0.0)
    };
    spells.iter().map(of).sum()
}

/// The share of a job that is done before `minute`.
fn share(job: &Job, minute: f64) -> f64 {
    let all = done(&job.spells, f64::INFINITY);
    let last = job.spells.iter().map(|spell| spell.until_minute).max();
    match last {
        Some(last) if all == 0.0 => f64::from(minute >= last as f64),
        Some(_) => done(&job.spells, minute) / all,
        None => 0.0,
    }
}

/// At every minute the stacks sown so far have places: those free in the morning and those opened so far.
fn assert_stacks_have_places(plan: &Plan, sheet: &DayPlan) {
    let day = sheet.day;
    for place in &plan.scenario.germination {
        let at_place = |run: &sowrota::plan::types::Run, of: &dyn Fn(Day) -> bool| -> i64 {
            let stacks = run.stacks.iter();
            let here = stacks.filter(|s| s.germination == place.id && of(s.open));
            here.map(|stacks| stacks.stacks).sum()
        };
        let before = plan.runs.iter().filter(|run| run.sow < day);
        let stood: i64 = before.map(|run| at_place(run, &|open| day <= open)).sum();
        assert!(
            stood <= place.stack_places,
            "{day}: {stood} stand in the morning"
        );
        let jobs: Vec<&Job> = sheet.jobs().collect();
        let of_run = |run: &str, works: &[Work]| -> Vec<&Job> {
            let of = |job: &&&Job| works.contains(&job.work) && job.runs == [run];
            jobs.iter().filter(of).copied().collect()
        };
        for minute in 0..24 * 60 {
            let (mut sown, mut opened) = (0.0, 0.0);
            for run in &plan.runs {
                if run.sow == day {
                    let stacks = at_place(run, &|_| true) as f64;
                    // A run fills one place after the other.
                    let is_here = |s: &&sowrota::plan::RunStacks| s.germination == place.id;
                    let before = run.stacks.iter().take_while(|s| !is_here(s));
                    let before = before.map(|s| s.trays).sum::<i64>() as f64;
                    let here = run.stacks.iter().find(is_here);
                    let here = here.map_or(1, |s| s.trays.max(1)) as f64;
                    let on_line = of_run(&run.id, &[Work::Trial, Work::Sow]);
                    let begun = on_line
                        .iter()
                        .map(|job| job.trays as f64 * share(job, f64::from(minute) - ROUNDING));
                    sown += stacks * ((begun.sum::<f64>() - before) / here).clamp(0.0, 1.0);
                }
                let today = at_place(run, &|open| open == day) as f64;
                if today > 0.0 {
                    let from_here = |job: &&Job| job.from_place.as_ref() == Some(&place.name);
                    let opening = of_run(&run.id, &[Work::Unstack]);
                    let job = opening.iter().copied().find(|job| from_here(job)).unwrap();
                    opened += today * share(job, f64::from(minute) + ROUNDING);
                }
            }
            let free = (place.stack_places - stood) as f64;
            assert!(
                sown <= free + opened + 1e-6,
                "{day} at minute {minute}, {}: {sown} sown, {free} free, {opened} opened",
                place.name
            );
        }
    }
}

/// Nobody outside the shift and the time bought, and never more people than there are.
fn assert_people(sheet: &DayPlan, crew: &CrewDay) {
    let spells: Vec<Spell> = crew
        .jobs
        .iter()
        .flat_map(|job| job.spells.clone())
        .collect();
    let label = format!("{} {}", sheet.day, crew.crew);
    for spell in &spells {
        assert!(crew.from_minute <= spell.from_minute, "{label}: {spell:?}");
        assert!(
            spell.until_minute <= crew.latest_minute,
            "{label}: {spell:?}"
        );
        let busy = spells
            .iter()
            .filter(|s| s.from_minute <= spell.from_minute && spell.from_minute < s.until_minute);
        let busy: i64 = busy.map(|spell| spell.people).sum();
        assert!(busy <= crew.people, "{label}: {busy} busy");
    }
    let paid_from = if crew.day_off {
        crew.from_minute
    } else {
        crew.until_minute
    };
    let beyond = |s: &Spell| s.people * (s.until_minute - s.from_minute.max(paid_from)).max(0);
    let beyond: i64 = spells.iter().map(beyond).sum();
    // Each end is rounded to a minute, for each person.
    let rounding: i64 = spells.iter().map(|spell| spell.people).sum();
    assert!(
        beyond <= crew.bought_minutes + crew.offered_minutes + rounding,
        "{label}: {beyond}"
    );
    for job in &crew.jobs {
        let given = done(&job.spells, f64::INFINITY);
        let off: i64 = job.spells.iter().map(|spell| spell.people).sum();
        assert!(
            (given - job.person_minutes as f64).abs() <= off as f64 + 1.0,
            "{label}: {given} of {} for {:?} {:?}",
            job.person_minutes,
            job.work,
            job.runs
        );
    }
}

/// Each part in one go, as long as its machine takes, and no machine in two fields at once.
fn assert_planting(sheet: &DayPlan, demo: &str) {
    let planted: Vec<&Job> = sheet.jobs().filter(|job| job.work == Work::Plant).collect();
    let time = |job: &Job| {
        let until = job.spells.last().unwrap().until_minute;
        (job.spells[0].from_minute, until)
    };
    for job in &planted {
        let (from, until) = time(job);
        let label = format!("{demo} {}: {job:?}", sheet.day);
        let gaps = job.spells.windows(2);
        assert!(
            gaps.into_iter()
                .all(|two| two[0].until_minute == two[1].from_minute),
            "{label}"
        );
        assert!(until - from >= job.machine_minutes.unwrap() - 1, "{label}");
        let others = planted.iter().filter(|other| {
            other.to_place == job.to_place && other.tasks != job.tasks && time(other).0 >= from
        });
        for other in others {
            assert!(until <= time(other).0, "{label}, {other:?}");
        }
    }
}

/// Every day of a demo, and what the days add up to.
/// Planting for which the clock finds no order of the day's work, although the hours suffice: the sheet says so. In a plan after a short search of
/// the cooperative it happens on a day or two.
fn no_order_found(misfit: &Misfit) -> bool {
    let Misfit::Time {
        work,
        hours_suffice,
        ..
    } = misfit
    else {
        return false;
    };
    *work == Work::Plant && *hours_suffice
}

fn assert_all_days(demo: &str) {
    let plan = planned(demo);
    let graph = TaskGraph::new(&plan).unwrap();
    let days: Vec<DayPlan> = plan
        .scenario
        .horizon
        .iter()
        .map(|day| day_plan(&graph, day))
        .collect();
    let mut without_order = 0;
    for sheet in &days {
        let (found, others): (Vec<_>, Vec<_>) = sheet
            .misfits
            .iter()
            .partition(|misfit| demo == "cooperative" && no_order_found(misfit));
        assert!(others.is_empty(), "{demo} {}: {others:?}", sheet.day);
        without_order += found.len();
        if sheet.misfits.is_empty() {
            assert_planting(sheet, demo);
            for crew in &sheet.crews {
                assert_people(sheet, crew);
            }
        }
        assert_eq!(sheet.breaches, [] as [String; 0], "{demo} {}", sheet.day);
        assert_stacks_have_places(&plan, sheet);
        let text = report::day::text(sheet);
        assert!(
            text.lines().all(|line| line.chars().count() <= 80),
            "{text}"
        );
        assert_eq!(
            text.contains("DOES NOT FIT"),
            !sheet.misfits.is_empty(),
            "{text}"
        );
    }
    assert!(without_order <= 2, "{demo}: {without_order}");
    let sum = |works: &[Work]| -> i64 {
        let jobs = days.iter().flat_map(DayPlan::jobs);
        let of = jobs.filter(|job| works.contains(&job.work));
        of.map(|job| job.trays).sum()
    };
    let new = || plan.runs.iter().filter(|run| run.line.is_some());
    let sown: i64 = new().map(|run| run.trays).sum();
    let trial: i64 = new().map(|run| run.trial_trays).sum();
    // Seed that is handed over is no tray.
    let in_trays = || plan.deliveries.iter().filter(|d| d.germination.is_some());
    let delivered: i64 = in_trays().map(|delivery| delivery.trays).sum();
    let in_beds = in_trays().filter(|delivery| delivery.green_bed.is_some());
    let in_beds: i64 = in_beds.map(|delivery| delivery.sown()).sum();
    let given = days
        .iter()
        .flat_map(DayPlan::jobs)
        .filter(|job| job.seed.is_none());
    let given = given.filter(|job| matches!(job.work, Work::Load | Work::HandOver | Work::Spare));
    let given: i64 = given.map(|job| job.trays).sum();
    let washed: i64 = plan.washing.iter().map(|washing| washing.trays).sum();
    assert!(
        sown > 1_000 && delivered > 1_000,
        "{demo}: {sown} {delivered}"
    );
    assert_eq!(
        (sum(&[Work::Sow]), sum(&[Work::Trial])),
        (sown, trial),
        "{demo}"
    );
    assert_eq!((given, sum(&[Work::Wash])), (delivered, washed), "{demo}");
    let stacked = plan.runs.iter().flat_map(|run| &run.stacks);
    let opened: i64 = stacked.map(|stacks| stacks.trays).sum();
    assert_eq!(sum(&[Work::Unstack]), opened, "{demo}");
    assert_eq!(
        (sum(&[Work::Green]), sum(&[Work::Harden])),
        (in_beds, in_beds),
        "{demo}"
    );
}

#[test]
fn every_day_of_village_fits() {
    assert_all_days("village");
}

#[test]
fn every_day_of_two_season_fits() {
    assert_all_days("two-season");
}

#[test]
fn every_day_of_cooperative_fits() {
    assert_all_days("cooperative");
}
