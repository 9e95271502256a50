//! Promise: what really happened is told to the program row by row; a day counts as done only when it was closed, what contradicts itself or
//! the plan is named with its row, and nothing is written then.

use sowrota::calendar::Day;
use sowrota::disrupt::event::{apply, parse};
use sowrota::disrupt::happened::present_after;
use sowrota::disrupt::replan::{How, replan, usual_budget};
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::plan::file::save;
use sowrota::solve::{self, Budget, Start, Unwatched};
use std::path::{Path, PathBuf};
use std::process::Command;

const ON: &str = "2027-05-08";

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// The village, planned quickly.
fn village() -> Plan {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/village");
    let scenario = sowrota::scenario::read(&folder).unwrap().scenario.unwrap();
    let budget = Budget {
        moves: 20_000,
        relaxations: 0,
        seed: 1,
    };
    let nursery = Nursery::new(&scenario);
    solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan
}

/// Rows that close every day before `until`, with others before the closing of their day.
fn log(plan: &Plan, until: Day, others: &[(&str, &str)]) -> String {
    let first = plan.scenario.horizon.first;
    let mut text = String::from("date,event\n");
    for date in (0..until.since(first)).map(|ahead| first.plus(ahead)) {
        for (_, event) in others.iter().filter(|(on, _)| day(on) == date) {
            text.push_str(&format!("{date},{event}\n"));
        }
        text.push_str(&format!("{date},close\n"));
    }
    text
}

struct Folder {
    _temporary: tempfile::TempDir,
    path: PathBuf,
}

impl Folder {
    fn with(plan: &Plan) -> Folder {
        let temporary = tempfile::tempdir().unwrap();
        let path = temporary.path().to_path_buf();
        save(plan, &path.join("plan.json")).unwrap();
        Folder {
            _temporary: temporary,
            path,
        }
    }

    /// Exit code, output and errors of `replan` with that log.
    fn replan(&self, log: &str) -> (i32, String, String) {
        let file = self.path.join("log.csv");
        std::fs::write(&file, log).unwrap();
        let mut command = Command::new(env!("CARGO_BIN_EXE_sowrota"));
        let command = command.arg("replan").arg(&self.path);
        let command = command.args(["--on", ON, "--moves", "3000", "--log"]);
        let ended = command.arg(&file).output().unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        (
            ended.status.code().unwrap(),
            text(ended.stdout),
            text(ended.stderr),
        )
    }

    fn files(&self) -> Vec<(String, Vec<u8>)> {
        let entries = std::fs::read_dir(&self.path).unwrap();
        let mut files: Vec<(String, Vec<u8>)> = entries
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.file_name().is_some_and(|name| name != "log.csv"))
            .map(|path| {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                (name, std::fs::read(&path).unwrap())
            })
            .collect();
        files.sort();
        files
    }
}

#[test]
fn when_all_days_went_as_on_the_sheet_the_plan_holds() {
    let plan = village();
    let folder = Folder::with(&plan);
    let (code, out, errors) = folder.replan(&log(&plan, day(ON), &[]));
    assert_eq!((code, errors.as_str()), (0, ""));
    assert!(
        out.contains("what was decided holds: nothing is changed"),
        "{out}"
    );
}

#[test]
fn a_run_that_was_not_sown_is_sown_from_the_seed_that_waits() {
    let plan = village();
    // Any run that was not sown on its day; where the floor is full of others its trays may have to be short.
    let mut sown_later = 0;
    for run in plan.runs.iter().filter(|run| run.line.is_some()) {
        let on = run.sow.plus(1);
        let not_sown = parse(&format!("not_sown run={}", run.id)).unwrap();
        let now = present_after(&plan, on, std::slice::from_ref(&not_sown)).unwrap();
        let soaked = &now.scenario.opening.soaked;
        let waits = |batch: &&sowrota::scenario::Soaked| {
            batch.kind == run.kind && Some(batch.soaked) == run.soak
        };
        let batch = soaked.iter().find(waits);
        assert!(batch.is_some(), "{soaked:?}");
        let of_run = |field: &str, part: u32| {
            let of = |delivery: &sowrota::plan::Delivery| {
                delivery.run == run.id && delivery.field == field && delivery.part == part
            };
            plan.deliveries.iter().any(of)
        };
        let stands = &now.scenario.opening.sown;
        assert!(!stands.iter().any(|sown| of_run(&sown.field, sown.part)));
        let again = replan(&now, How::default(), &usual_budget(13), &mut Unwatched);
        let audit = sowrota::audit::audit(&again.plan, &again.plan.scenario);
        assert_eq!(audit.breaches, []);
        if !again.plan.shortfalls.is_empty() {
            continue;
        }
        // The seed that waits is sown as soon as it can be.
        let batch = batch.unwrap();
        let mut runs = again.plan.runs.iter();
        let sown = runs.find(|now| now.kind == batch.kind && now.soak == Some(batch.soaked));
        assert!(sown.is_some_and(|sown| sown.sow >= on && sown.line.is_some()));
        sown_later += 1;
    }
    assert!(sown_later > 0);
}

#[test]
fn what_stays_or_left_early_is_counted_once() {
    let plan = village();
    let on = day("2027-05-22");
    let mut gone = plan.deliveries.iter().filter(|one| one.leaves() < on);
    let stays = gone.next_back().unwrap();
    let coming = plan.deliveries.iter().find(|one| one.leaves() >= on);
    let left = coming.unwrap();
    let yesterday = on.plus(-1);
    let events = [
        format!("stays field={} part={}", stays.field, stays.part),
        format!(
            "left field={} part={} on={yesterday}",
            left.field, left.part
        ),
    ];
    let events: Vec<_> = events.iter().map(|text| parse(text).unwrap()).collect();
    let mut now = present_after(&plan, on, &events).unwrap();
    for event in &events {
        apply(&mut now, event).unwrap();
    }
    let stands = |field: &str, part: u32| {
        let mut sown = now.scenario.opening.sown.iter();
        sown.any(|sown| sown.field == field && sown.part == part)
    };
    assert!(stands(&stays.field, stays.part) && !stands(&left.field, left.part));
    let served = |field: &str, part: u32| {
        let of_field = now.scenario.fields.iter().find(|one| one.id == field);
        let mut parts = now.scenario.opening.parts.iter();
        of_field.is_none()
            || parts.any(|known| known.field == field && known.part == part && known.trays == 0)
    };
    assert!(served(&left.field, left.part) && !served(&stays.field, stays.part));
}

#[test]
fn broken_and_contradictory_logs_are_named_and_nothing_is_written() {
    let plan = village();
    let folder = Folder::with(&plan);
    let before = folder.files();
    let run = plan.runs.iter().find(|run| run.line.is_some()).unwrap();
    let (id, sow) = (run.id.as_str(), run.sow.to_string());
    let next = run.sow.plus(1).to_string();
    let whole = log(&plan, day(ON), &[]);
    let with = |others: &[(&str, &str)]| log(&plan, day(ON), others);
    let not_sown = format!("not_sown run={id}");
    let early = format!("opened run={id} on={sow}");
    let elsewhere = format!("washed on={next} trays=5");
    let cases: Vec<(&str, String, &str)> = vec![
        (
            "a day is open",
            whole.replace("2027-05-03,close\n", ""),
            "a day is not closed: 2027-05-03\n  help: add a row `close`",
        ),
        (
            "a day is closed twice",
            format!("{whole}2027-05-03,close\n"),
            "2027-05-03 is closed in row",
        ),
        (
            "a row after its day was closed",
            format!("{whole}{next},{not_sown}\n"),
            "was closed in row",
        ),
        (
            "no such run",
            with(&[(&sow, "not_sown run=R999")]),
            "there is no run `R999` on 2027-05-08",
        ),
        (
            "said twice",
            with(&[(&sow, &not_sown), (&next, &not_sown)]),
            "the same is said in row",
        ),
        (
            "opened on the day it was sown",
            with(&[(&sow, &early)]),
            "cannot have been opened on",
        ),
        (
            "another day in the event",
            with(&[(&sow, &elsewhere)]),
            "and the row is of",
        ),
        ("no date", whole.replace("2027-05-03,", "3 May,"), "row 46:"),
        (
            "no such event",
            with(&[(&sow, "forgot run=R001")]),
            "there is no event `forgot`",
        ),
        (
            "other columns",
            whole.replace("date,event", "day,what"),
            "row 1: the columns are `day,what`, not `date,event`",
        ),
        (
            "a day after the plan",
            format!("{whole}2028-05-03,close\n"),
            "2028-05-03 is not a day of the plan",
        ),
        (
            "more dirty than there are",
            with(&[(&sow, "dirty trays=99999")]),
            "99999 trays cannot be dirty of 2620",
        ),
    ];
    for (name, log, said) in cases {
        let (code, out, errors) = folder.replan(&log);
        assert_eq!((code, out.as_str()), (2, ""), "{name}: {errors}");
        assert!(errors.starts_with("error: "), "{name}: {errors}");
        assert!(errors.contains(said), "{name}: {errors}");
        assert!(folder.files() == before, "{name}: a file was changed");
    }
}
