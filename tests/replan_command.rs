//! `sowrota replan`, `promise`, `compare` and `sweep` by their files, words and exit codes; and that what cannot be used changes no file.

mod ran;

use sowrota::plan::Plan;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use tempfile::TempDir;
use unicode_width::UnicodeWidthStr;

/// Exit code, standard output and standard error.
fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let (code, out, err) = ran::run(folder, arguments);
    for line in out.lines().filter(|line| !line.contains('"')) {
        assert!(line.width() <= 80, "{arguments:?}: {line}");
    }
    (code, out, err)
}

/// A plan of the village, made once.
fn made() -> &'static Path {
    static MADE: OnceLock<TempDir> = OnceLock::new();
    let folder = MADE.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let scenario = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/village");
        let scenario = scenario.to_str().unwrap();
        let plan = ["plan", scenario, "--out", "village", "--moves", "20000"];
        let (code, _, err) = run(folder.path(), &[&plan[..], &["--quiet"]].concat());
        assert_eq!(code, 0, "{err}");
        folder
    });
    folder.path()
}

/// A copy of that plan in a folder of its own, with `village/plan.json` in it.
fn village() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("village")).unwrap();
    for name in ["plan.json", "plan.csv"] {
        let to = folder.path().join("village").join(name);
        std::fs::copy(made().join("village").join(name), to).unwrap();
    }
    folder
}

fn load(folder: &Path, name: &str) -> Plan {
    let file = folder.join(name);
    sowrota::plan::file::load(&file).unwrap()
}

/// All files with what stands in them.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(files(&path));
        } else {
            let bytes = std::fs::read(&path).unwrap();
            all.insert(path, bytes);
        }
    }
    all
}

/// Rain on the first planting day and the day after, known two days before; with it, the morning.
fn rain(plan: &Plan) -> (String, String) {
    let first = plan.deliveries.iter().map(|one| one.day).min().unwrap();
    let event = format!("rain days={first}/{}", first.plus(1));
    (first.plus(-2).to_string(), event)
}

#[test]
fn a_plan_of_the_rest_stands_beside_the_earlier_one() {
    let folder = village();
    let before = load(folder.path(), "village/plan.json");
    let (on, event) = rain(&before);
    let again = ["replan", "village", "--on", &on, "--event", &event];
    let (code, out, err) = run(folder.path(), &again);
    let now = load(folder.path(), "village/plan.json");
    assert_eq!(code, if now.shortfalls.is_empty() { 0 } else { 3 }, "{err}");
    assert_eq!((before.revision, now.revision), (1, 2));
    assert!(out.ends_with("plan 2: village/plan.json\n"), "{out}");
    assert!(out.contains(&format!("if: {event}")), "{out}");
    assert!(out.contains("CALL, IN THIS ORDER"), "{out}");
    assert_eq!(load(folder.path(), "village/plan-1.json"), before);
    assert_eq!(now.scenario.horizon.first.to_string(), on);
    let audit = sowrota::audit::audit(&now, &now.scenario);
    assert!(audit.breaches.is_empty(), "{:#?}", audit.breaches);
    let table = std::fs::read_to_string(folder.path().join("village/plan.csv")).unwrap();
    assert_eq!(table, sowrota::report::plan::csv(&now));
    // Nothing is planted in the rain.
    let wet = |day: sowrota::calendar::Day| event.contains(&day.to_string());
    assert!(now.deliveries.iter().all(|one| !wet(one.day)));
    // What stands keeps the name that is written on it.
    let named = |plan: &Plan, field: &str| {
        let mut all = plan.deliveries.iter();
        all.find(|one| one.field == field)
            .map(|one| one.run.clone())
    };
    for sown in &now.scenario.opening.sown {
        let name = named(&now, &sown.field);
        if before
            .scenario
            .fields
            .iter()
            .any(|field| field.id == sown.field && field.parts == 1)
        {
            assert_eq!(name, named(&before, &sown.field), "{}", sown.field);
        }
    }
    // The sheets of its first days are printed, with those names.
    let first = now.scenario.horizon.first;
    let mut sheets = String::new();
    for ahead in 0..4 {
        let day = first.plus(ahead).to_string();
        let (code, sheet, err) = run(folder.path(), &["day", "village", &day]);
        assert_eq!(code, 0, "{day}: {err}");
        sheets.push_str(&sheet);
    }
    let runs = now.scenario.opening.sown.iter();
    assert!(
        runs.filter_map(|sown| sown.run.as_ref())
            .any(|run| sheets.contains(run.as_str())),
        "{sheets}"
    );
    let (code, ..) = run(folder.path(), &["audit", "village"]);
    assert_eq!(code, if now.shortfalls.is_empty() { 0 } else { 3 });
}

#[test]
fn twice_the_same_is_the_same_to_the_byte() {
    let folder = village();
    let before = load(folder.path(), "village/plan.json");
    let (on, event) = rain(&before);
    let again = |out: &'static str| {
        let words = ["replan", "village", "--on", &on, "--event", &event];
        run(folder.path(), &[&words[..], &["--out", out]].concat())
    };
    let one = again("one");
    assert_eq!(again("two").0, one.0);
    let first = files(&folder.path().join("one"));
    let second = files(&folder.path().join("two"));
    assert!(first.values().eq(second.values()));
    assert_eq!(load(folder.path(), "one/plan.json").revision, 2);
    // Once more into the same folder: nothing to keep beside, no new number.
    again("one");
    assert_eq!(files(&folder.path().join("one")), first);
    // The plan that it was made from is as it was.
    assert_eq!(load(folder.path(), "village/plan.json"), before);
}

#[test]
fn nothing_happens_and_nothing_is_changed() {
    let folder = village();
    let before = load(folder.path(), "village/plan.json");
    let (on, _) = rain(&before);
    let words = ["replan", "village", "--on", &on, "--out", "same"];
    let (code, out, _) = run(folder.path(), &words);
    assert_eq!(code, 0, "{out}");
    assert!(
        out.contains("what was decided holds: nothing is changed"),
        "{out}"
    );
    let (code, out, _) = run(folder.path(), &["compare", "village", "same"]);
    assert_eq!((code, out.as_str()), (0, "nothing is otherwise\n"));
}

#[test]
fn what_cannot_be_met_ends_with_3() {
    let folder = village();
    let before = load(folder.path(), "village/plan.json");
    let (on, _) = rain(&before);
    let last = before.scenario.horizon.last;
    let event = format!("rain days={on}/{last}");
    let words = ["replan", "village", "--on", &on, "--event", &event];
    let (code, out, _) = run(folder.path(), &words);
    assert_eq!(code, 3, "{out}");
    assert!(out.contains("SHORT "), "{out}");
    let now = load(folder.path(), "village/plan.json");
    assert_eq!(now.deliveries.len(), 0);
    let (code, out, _) = run(
        folder.path(),
        &["compare", "village/plan-1.json", "village"],
    );
    assert_eq!(code, 0);
    assert!(out.contains("and no other day"), "{out}");
    let (code, json, _) = run(
        folder.path(),
        &["compare", "village/plan-1.json", "village", "--json"],
    );
    assert_eq!(code, 0);
    let page: serde_json::Value = serde_json::from_str(&json).unwrap();
    let left = before.deliveries.iter();
    let left = left.filter(|one| one.leaves().to_string() >= on).count();
    assert_eq!(page["changes"].as_array().unwrap().len(), left);
}

#[test]
fn promises_are_noted_and_kept_for_last() {
    let folder = village();
    let before = load(folder.path(), "village/plan.json");
    let mut days: Vec<_> = before.deliveries.iter().map(|one| one.leaves()).collect();
    days.sort();
    let until = days[days.len() / 2].to_string();
    let words = ["promise", "village", "--until", &until];
    let (code, out, _) = run(folder.path(), &words);
    assert_eq!(code, 0);
    assert!(out.ends_with("plan 2: village/plan.json\n"), "{out}");
    let now = load(folder.path(), "village/plan.json");
    for one in &now.deliveries {
        let told = one.leaves().to_string() <= until;
        assert_eq!(
            one.promised,
            Some(one.day).filter(|_| told),
            "{}",
            one.field
        );
    }
    let audit = sowrota::audit::audit(&now, &now.scenario);
    assert!(audit.breaches.is_empty(), "{:#?}", audit.breaches);
    assert_eq!(load(folder.path(), "village/plan-1.json"), before);
    let (code, out, _) = run(folder.path(), &words);
    assert_eq!((code, out.as_str()), (0, "nothing new to note\n"));
    // A promise goes on into the plan of the rest, and the grower is told what he was told.
    let (on, event) = rain(&now);
    let words = ["replan", "village", "--on", &on, "--event", &event];
    let (_, out, _) = run(folder.path(), &words);
    assert!(out.contains(" as promised"), "{out}");
    let again = load(folder.path(), "village/plan.json");
    let moved = again.deliveries.iter();
    let moved = moved.filter(|one| one.promised.is_some_and(|day| day != one.day));
    assert!(moved.count() > 0);
    // The new days are agreed on: then nothing is moved any more.
    run(folder.path(), &["promise", "village"]);
    let agreed = load(folder.path(), "village/plan.json");
    assert_eq!(agreed.cost.moved.0, 0);
    let audit = sowrota::audit::audit(&agreed, &agreed.scenario);
    assert!(audit.breaches.is_empty(), "{:#?}", audit.breaches);
}

#[test]
fn a_sweep_says_on_which_days_rain_hurts_first() {
    let folder = village();
    let plan = load(folder.path(), "village/plan.json");
    let first = plan.deliveries.iter().map(|one| one.day).min().unwrap();
    let days = format!("{}/{}", first.plus(-1), first.plus(2));
    let words = [
        "sweep",
        "village",
        "--days",
        &days,
        "--longest",
        "10",
        "--moves",
        "300",
    ];
    let before = files(folder.path());
    let (code, out, _) = run(folder.path(), &words);
    assert_eq!(code, 0);
    insta::assert_snapshot!("sweep_of_the_village", out);
    let (code, json, _) = run(folder.path(), &[&words[..], &["--json"]].concat());
    assert_eq!(code, 0);
    assert_eq!(files(folder.path()), before);
    let cells: Vec<serde_json::Value> = serde_json::from_str(&json).unwrap();
    assert_eq!(cells.len(), 40);
    for cell in &cells {
        let days = cell["days"].as_i64().unwrap() as i32;
        let from = sowrota::calendar::Day::parse(cell["first"].as_str().unwrap()).unwrap();
        let wet = |one: &&sowrota::plan::Delivery| one.day >= from && one.day < from.plus(days);
        let trays: i64 = plan
            .deliveries
            .iter()
            .filter(wet)
            .map(|one| one.trays)
            .sum();
        assert_eq!(cell["at_risk"].as_i64(), Some(trays), "{cell}");
    }
    // Longer rain from a day on leaves no fewer trays at risk.
    for pair in cells
        .windows(2)
        .filter(|pair| pair[0]["first"] == pair[1]["first"])
    {
        assert!(pair[0]["at_risk"].as_i64() <= pair[1]["at_risk"].as_i64());
    }
}

/// Exit code 2, the words, and no file changed.
fn refused(folder: &TempDir, arguments: &[&str], expected: &[&str]) {
    let before = files(folder.path());
    let (code, out, err) = run(folder.path(), arguments);
    assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}: {err}");
    for words in expected {
        assert!(err.contains(words), "{arguments:?}: `{words}` in {err}");
    }
    assert!(files(folder.path()) == before, "{arguments:?}");
}

#[test]
fn what_cannot_be_used_is_named_and_changes_no_file() {
    let folder = village();
    let plan = load(folder.path(), "village/plan.json");
    let first = plan.scenario.horizon.first;
    let field = plan.scenario.fields[0].id.clone();
    let on = first.plus(1).to_string();
    let day = first.plus(3);
    let span = format!("{day}/{}", day.plus(1));
    let event = |text: String, expected: &[&str]| {
        for command in ["whatif", "replan"] {
            let words = [command, "village", "--on", &on, "--event", &text];
            refused(
                &folder,
                &words,
                &[&["error: ", "help: "], expected].concat(),
            );
        }
    };
    event(
        "storm".into(),
        &["`storm` is not an event", "whatif --help"],
    );
    event(format!("rain days={span} wet=1"), &["wet"]);
    event(
        format!("rain days={span} days={span}"),
        &["`days` stands twice"],
    );
    event("rain".into(), &["days"]);
    event("rain 3".into(), &["`3` is not written as key=value"]);
    event("rain days=2027-13-01/2027-13-02".into(), &["2027-13-01"]);
    event(
        format!("rain days={span} fields=NOBODY"),
        &["no field `NOBODY`", &field],
    );
    event(format!("rain days={span} block=moon"), &["no block `moon`"]);
    event("stand run=R099 share=0.5".into(), &["R099"]);
    event("cancel field=NOBODY".into(), &["no field `NOBODY`", &field]);
    let number = |text: String, expected: &[&str]| {
        for command in ["whatif", "replan"] {
            let words = [command, "village", "--on", &on, "--event", &text];
            refused(&folder, &words, &[&["error: "], expected].concat());
        }
    };
    number("stand run=R001 share=1.5".into(), &["between 0 and 1"]);
    number(
        format!("order field={field} trays=0"),
        &["1 tray or more", "cancel"],
    );
    number("trays_lost trays=99999999".into(), &["cannot be lost"]);
    number(
        "trays_late trays=5 until=2027-05-01".into(),
        &["are away and due", "`home=true`"],
    );
    number(
        format!("trays_bought trays=0 on={day}"),
        &["1 to 1,000,000"],
    );
    number(
        "trays_bought trays=5 on=2031-05-01".into(),
        &["are there on no day of"],
    );
    number(
        "days_off days=2031-05-01/2031-05-02".into(),
        &["lies outside what is still to come"],
    );
    number(format!("power on={day} hours=25"), &["up to 24 hours"]);
    number(format!("power on={day} hours=0"), &["more than 0"]);
    let kind = plan.scenario.kinds[0].id.clone();
    let take = |more: &str| format!("take kind={kind} days={span} {more}");
    number(take("ha=0"), &["more than 0 and up to 1000 ha"]);
    number(
        take(&format!("ha=1 field={field}")),
        &["already", "`field=`"],
    );
    number(take("ha=1 parts=0"), &["in 0 parts"]);
    number(take("ha=1 mats=0"), &["give `mats=`"]);
    number(
        format!("take kind={kind} ha=1 days=2031-05-01/2031-05-02"),
        &["lies outside what is still to come"],
    );
    event(
        format!("take kind=moon ha=1 days={span}"),
        &["no kind `moon`", &kind],
    );
    event(take("ha=1 planter=moon"), &["no planter `moon`"]);
    event(
        "trays_late until=2027-05-20 growers=Nobody".into(),
        &["no grower with trays away `Nobody`"],
    );
    event(
        "trays_late until=2027-05-20 fields=NOBODY".into(),
        &["no field with trays away `NOBODY`"],
    );
    event("frost on=2031-05-01 min_c=-1".into(), &["no weather of"]);
    event("frost on=2027-05-01 min_c=cold".into(), &["cold"]);
    number(
        "rain days=2031-05-01/2031-05-02".into(),
        &["lies outside what is still to come"],
    );
    // Days.
    let far = ["replan", "village", "--on", "2031-05-01"];
    refused(
        &folder,
        &far,
        &["--on: 2031-05-01 is not a day of the plan", "help: "],
    );
    let bad = ["replan", "village", "--on", "1.5.2027"];
    refused(&folder, &bad, &["--on: ", "help: "]);
    let bad = ["promise", "village", "--until", "May"];
    refused(&folder, &bad, &["--until: "]);
    let bad = ["promise", "village", "--field", "NOBODY"];
    refused(&folder, &bad, &["no field `NOBODY`"]);
    let bad = ["sweep", "village", "--days", "2031-05-01/2031-05-02"];
    refused(
        &folder,
        &bad,
        &["--days 2031-05-01/2031-05-02 lies outside"],
    );
    let bad = ["sweep", "village", "--days", "May"];
    refused(&folder, &bad, &["--days: "]);
    let bad = ["compare", "village", "village", "--from", "May"];
    refused(&folder, &bad, &["--from: "]);
}

#[test]
fn an_events_file_is_taken_or_refused_with_its_line() {
    let folder = village();
    let plan = load(folder.path(), "village/plan.json");
    let (on, event) = rain(&plan);
    let days = event.trim_start_matches("rain days=");
    let file = folder.path().join("events.json");
    let good = format!("[\n  {{\"event\": \"rain\", \"days\": \"{days}\"}}\n]\n");
    std::fs::write(&file, good).unwrap();
    let words = [
        "whatif",
        "village",
        "--on",
        &on,
        "--events-file",
        "events.json",
        "--moves",
        "500",
    ];
    let (_, out, err) = run(folder.path(), &words);
    assert!(out.contains(&format!("if: {event}\n")), "{out} {err}");
    for (text, expected) in [
        ("[\n  {\"event\": \"rain\",\n", "line"),
        (
            "{\"event\": \"rain\"}",
            "`events.json` is not a list of events",
        ),
        ("[{\"event\": \"storm\"}]", "storm"),
        ("[{\"event\": \"trays_lost\", \"trays\": \"many\"}]", "many"),
        (
            "[{\"event\": \"trays_lost\", \"trays\": 1, \"hue\": 2}]",
            "hue",
        ),
        ("", "line 1"),
    ] {
        std::fs::write(&file, text).unwrap();
        refused(&folder, &words, &["events.json", "help: ", expected]);
    }
    std::fs::remove_file(&file).unwrap();
    let (code, _, err) = run(folder.path(), &words);
    assert_eq!(code, 1);
    assert!(err.contains("events.json"), "{err}");
}
