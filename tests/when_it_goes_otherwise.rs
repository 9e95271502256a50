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

/// Trays that the plan has on those days for fields that `is` takes.
fn planted(first: &str, last: &str, is: impl Fn(&str) -> bool) -> i64 {
    let plan = the_plan();
    let all = plan.deliveries.iter();
    let then = all.filter(|one| one.day >= day(first) && one.day <= day(last) && is(&one.field));
    then.map(|one| one.trays).sum()
}

#[test]
fn rain_from_thursday_to_saturday() {
    let said = ask("2027-05-12", &["rain days=2027-05-13/2027-05-15"]);
    let wet = planted("2027-05-13", "2027-05-15", |_| true);
    assert!(wet > 200, "{wet}");
    assert_eq!(said.broken("no_day"), wet);
    // Everybody who was to plant in the rain is called, by the day on which it would have left.
    let plan = the_plan();
    for one in &plan.deliveries {
        let in_rain = one.day >= day("2027-05-13") && one.day <= day("2027-05-15");
        if in_rain && !one.field.starts_with("spare-") {
            assert!(said.called().contains(&one.field), "{}", one.field);
            assert!(said.day_of(&one.field).iter().all(|now| *now != one.day));
        }
    }
    insta::assert_snapshot!("rain", said.text);
}

#[test]
fn a_house_is_days_ahead() {
    // So little ahead that all can stay.
    let little = ask("2027-05-08", &["ahead bed=east by=0.1"]);
    assert_eq!(little.broken("too_old"), 0);
    assert!(little.called().is_empty());
    let far = ask("2027-05-08", &["ahead bed=east by=0.8"]);
    let old = far.broken("too_old");
    assert!(
        old > 0 && old == far.broken("too_old") + far.broken("no_day"),
        "{}",
        far.text
    );
    // Nothing that is planted after it is older than its kind may be: the count says so; and somebody plants sooner or not at all.
    assert!(!far.called().is_empty());
    assert!(far.text.contains("too old on their day"), "{}", far.text);
}

#[test]
fn a_run_came_up_thin() {
    let plan = the_plan();
    let on = day("2027-04-30");
    let stands = |one: &&sowrota::plan::Run| one.line.is_some() && one.sow < on;
    let run = plan.runs.iter().filter(stands).max_by_key(|run| run.trays);
    let run = &run.unwrap().id;
    let said = ask("2027-04-30", &[&format!("stand run={run} share=0.6")]);
    let usual: Vec<_> = plan
        .deliveries
        .iter()
        .filter(|one| one.run == *run && one.leaves() >= on)
        .collect();
    let missing: i64 = usual.iter().map(|one| one.trays - one.trays * 6 / 10).sum();
    assert_eq!(said.undecided, missing);
    // Everybody of whom something stood in it hears of it.
    for one in usual.iter().filter(|one| !one.field.starts_with("spare-")) {
        assert!(said.called().contains(&one.field), "{}", one.field);
    }
    // What is sown again in time is not short; of what is short and could be, the last day is told.
    for short in &said.mended.shortfalls {
        if let Some(by) = short.decide_by {
            assert!(by >= on, "{short:?}");
            let name = format!("SHORT {}", short.field);
            assert!(short.field.starts_with("spare-") || said.text.contains(&name));
        }
    }
}

#[test]
fn one_wants_more_and_another_cancels() {
    let events = ["give from=PIR2 to=IRM1 trays=30", "cancel field=PIR2"];
    let said = ask("2027-04-28", &events);
    let both: BTreeSet<String> = ["IRM1", "PIR2"].map(String::from).into();
    assert!(said.called().is_superset(&both), "{}", said.text);
    assert!(
        said.text.contains("order withdrawn: nothing on"),
        "{}",
        said.text
    );
    assert!(said.day_of("PIR2").is_empty());
    let trays = |plan: &Plan| -> i64 {
        let all = plan.deliveries.iter().filter(|one| one.field == "IRM1");
        all.map(|one| one.trays).sum()
    };
    assert_eq!(trays(&said.mended), trays(&the_plan()) + 30);
    // Sown for PIR2 and not given on: emptied, and washed.
    let cancelled = ask("2027-05-03", &["cancel field=PIR2"]);
    assert_eq!(cancelled.called(), ["PIR2".to_string()].into());
}

#[test]
fn water_comes_four_days_late() {
    let said = ask("2027-04-28", &["water block=middle on=2027-05-17"]);
    let plan = the_plan();
    let of_block = |field: &str| {
        let mut fields = plan.scenario.fields.iter();
        fields.any(|one| one.id == field && one.block.as_deref() == Some("middle"))
    };
    assert_eq!(
        said.broken("no_day"),
        planted("2027-05-01", "2027-05-18", of_block)
    );
    for one in said
        .mended
        .deliveries
        .iter()
        .filter(|one| of_block(&one.field))
    {
        assert!(one.day >= day("2027-05-19") && one.day <= day("2027-05-23"));
    }
    assert!(
        said.called().iter().any(|field| of_block(field)),
        "{}",
        said.text
    );
}

#[test]
fn the_line_stands_until_tomorrow_noon() {
    let events = [
        "line days=2027-05-03/2027-05-03",
        "line days=2027-05-04/2027-05-04 hours=3",
    ];
    let said = ask("2027-05-03", &events);
    let sown = the_plan();
    let sown = sown.runs.iter().filter(|run| run.sow == day("2027-05-03"));
    assert!(sown.count() > 0);
    assert!(said.text.contains("line `line`: "), "{}", said.text);
    assert!(
        said.mended
            .runs
            .iter()
            .all(|run| run.sow != day("2027-05-03"))
    );
    // What could not be held is named, and by when to decide on what is short.
    assert!(said.text.contains(" was to be held as it is, and cannot"));
    assert!(said.text.contains("decide at once"), "{}", said.text);
}

#[test]
fn one_is_ill_this_week() {
    let event = "people crew=yard-crew days=2027-05-10/2027-05-15 fewer=1";
    let said = ask("2027-05-10", &[event]);
    // All that was promised holds; who comes instead, or stays longer, costs so much.
    let (promised, _) = moved(&said);
    assert_eq!(promised, 0, "{}", said.text);
    assert!(said.text.contains("people hired ") || said.text.contains("overtime "));
}

/// Promised and planned days moved, as told.
fn moved(said: &Answer) -> (usize, usize) {
    let of = |promised: bool| {
        let all = said.changes().iter();
        let all = all.filter(|change| change["what"]["change"] == "moved");
        all.filter(|change| change["promised"].is_null() != promised)
            .count()
    };
    (of(true), of(false))
}

#[test]
fn trays_are_not_back() {
    let lost = ask("2027-05-03", &["trays_lost trays=500"]);
    let over = &lost.page["left_as_it_is"]["over"];
    let stock = over.as_array().unwrap().iter();
    let mut stock = stock.filter(|over| over["what"] == "tray stock");
    let first = stock.next().unwrap();
    // Too few from this day on by so many.
    assert!(day(first["day"].as_str().unwrap()) > day("2027-05-03"));
    assert!(lost.text.contains("tray stock: "), "{}", lost.text);
}

#[test]
fn another_order_can_be_taken() {
    let said = ask("2027-05-03", &["firm field=NOL4"]);
    assert_eq!(
        said.undecided > 0,
        the_plan()
            .scenario
            .not_firm
            .iter()
            .any(|one| one.id == "NOL4")
    );
    let days = said.day_of("NOL4");
    if days.is_empty() {
        assert!(said.short().iter().any(|(field, _)| *field == "NOL4"));
    } else {
        assert!(said.called().contains("NOL4"), "{}", said.text);
    }
    assert!(said.code == 0 || !said.mended.shortfalls.is_empty());
    assert_eq!(moved(&said).0, 0, "{}", said.text);
}
