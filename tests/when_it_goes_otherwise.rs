//! Promise: what is asked in the season is answered by one command each, on the cooperative: whom to call, what moves, by when to decide;
//! and every mended plan is sound in the nursery as it has become.
//!
//! Not answered yet, and not tried here:
//! - in which place trays wait that cannot be planted on their day (they stay in the bed that the plan names);
//! - who could plant sooner when a bed is ahead: only what gets too old is told, and `--anew` makes another plan;
//! - whom to chase for trays that are late: it is not noted who has which;
//! - a day off for all crews at once, and its price: days off are calendars of the scenario, not events;
//! - frost in one night, or a power cut: the warmth of a bed or a stack for some hours is no event.

use serde_json::Value;
use sowrota::audit::audit;
use sowrota::calendar::Day;
use sowrota::plan::Plan;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;
use tempfile::TempDir;
use unicode_width::UnicodeWidthStr;

fn run(folder: &Path, arguments: &[&str]) -> (i32, String) {
    let ran = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap();
    let code = ran.status.code().unwrap();
    let err = String::from_utf8(ran.stderr).unwrap();
    assert!(matches!(code, 0 | 3), "{arguments:?}: {err}");
    (code, String::from_utf8(ran.stdout).unwrap())
}

/// The cooperative's plan, with the first weeks promised to the growers.
fn cooperative() -> &'static Path {
    static MADE: OnceLock<TempDir> = OnceLock::new();
    let folder = MADE.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let scenario = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/cooperative");
        let words = ["--out", "coop", "--moves", "60000", "--relaxations", "0"];
        let plan = ["plan", scenario.to_str().unwrap(), "--quiet"];
        run(folder.path(), &[&plan[..], &words].concat());
        run(folder.path(), &["promise", "coop", "--until", "2027-05-16"]);
        folder
    });
    folder.path()
}

fn the_plan() -> Plan {
    sowrota::plan::file::load(&cooperative().join("coop")).unwrap()
}

/// What the command says and answers.
struct Answer {
    code: i32,
    text: String,
    page: Value,
    mended: Plan,
    undecided: i64,
}

/// Asks with some days of the plan gone by. The text keeps to the page, the mended plan is sound, and both say the same.
fn ask(on: &str, events: &[&str]) -> Answer {
    let mut words = vec!["whatif", "coop", "--on", on, "--quiet", "--moves", "40000"];
    words.extend(events.iter().flat_map(|event| ["--event", *event]));
    let (code, text) = run(cooperative(), &words);
    for line in text.lines() {
        assert!(line.width() <= 80, "{line}");
    }
    let (again, json) = run(cooperative(), &[&words[..], &["--json"]].concat());
    assert_eq!(code, again);
    let page: Value = serde_json::from_str(&json).unwrap();
    let mended: Plan = serde_json::from_value(page["mended"].clone()).unwrap();
    let found = audit(&mended, &mended.scenario);
    assert!(found.breaches.is_empty(), "{:#?}", found.breaches);
    assert_eq!(found.cost, mended.cost);
    assert_eq!(code, if mended.shortfalls.is_empty() { 0 } else { 3 });
    let undecided = page["left_as_it_is"]["undecided"].as_i64().unwrap();
    let answer = Answer {
        code,
        text,
        page,
        mended,
        undecided,
    };
    // Whoever is told another day is called not later than the day on which it would have left.
    for change in answer.changes() {
        let by = Day::parse(change["call_by"].as_str().unwrap()).unwrap();
        assert!(by >= Day::parse(on).unwrap(), "{change}");
        if let Some(from) = change["what"]["from"].as_str() {
            assert!(by <= Day::parse(from).unwrap(), "{change}");
        }
    }
    answer
}

impl Answer {
    fn changes(&self) -> &[Value] {
        self.page["difference"]["changes"].as_array().unwrap()
    }

    /// Fields whose growers are to be called.
    fn called(&self) -> BTreeSet<String> {
        let growers = self
            .changes()
            .iter()
            .filter(|change| change["grower"] != "");
        growers
            .map(|change| change["field"].as_str().unwrap().to_string())
            .collect()
    }

    /// Trays broken by what is wrong.
    fn broken(&self, wrong: &str) -> i64 {
        let all = self.page["left_as_it_is"]["broken"].as_array().unwrap();
        let of = all.iter().filter(|part| part["wrong"] == wrong);
        of.map(|part| part["trays"].as_i64().unwrap()).sum()
    }

    /// Fields of growers that are short, with trays.
    fn short(&self) -> Vec<(&str, i64)> {
        let all = self.mended.shortfalls.iter();
        all.filter(|short| !short.field.starts_with("spare-"))
            .map(|short| (short.field.as_str(), short.trays))
            .collect()
    }

    fn day_of(&self, field: &str) -> Vec<Day> {
        let all = self.mended.deliveries.iter();
        all.filter(|one| one.field == field)
            .map(|one| one.day)
            .collect()
    }
}

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

#[test]
fn placeholder() {
    let _ = (the_plan(), day("2027-05-01"));
    let a = ask("2027-05-12", &[]);
    a.called();
    a.broken("");
    a.short();
    a.day_of("");
    let _ = (a.code, &a.text, a.undecided);
}
