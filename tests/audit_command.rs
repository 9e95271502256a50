//! `sowrota audit` says in plain words what a plan breaks and what it costs, and its exit code tells which it was.

mod ran;
mod small;

use ran::run as run_in;
use std::path::Path;
use unicode_width::UnicodeWidthStr;

const SCENARIO: &str = "tests/small/nursery.json";

/// Exit code, standard output and standard error.
fn run(arguments: &[&str]) -> (i32, String, String) {
    run_in(Path::new(env!("CARGO_MANIFEST_DIR")), arguments)
}

fn write(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_string()
}

#[test]
fn a_sound_table_exits_with_0() {
    let (code, out, _) = run(&["audit", "tests/small/by_hand.csv", "--scenario", SCENARIO]);
    assert_eq!(code, 0);
    insta::assert_snapshot!("sound_table", out);
}

#[test]
fn a_broken_plan_exits_with_3_and_gathers_by_rule() {
    let mut plan = small::plan();
    plan.scenario.germination[0].stack_places = 2;
    plan.scenario.beds[1].area_m2 = sowrota::units::Fixed(1_000);
    plan.cost.total = sowrota::units::Money::whole(50);
    let folder = tempfile::tempdir().unwrap();
    write(
        folder.path(),
        "plan.json",
        &serde_json::to_string(&plan).unwrap(),
    );
    let (code, out, _) = run_in(folder.path(), &["audit", "."]);
    assert_eq!(code, 3);
    assert!(out.lines().all(|line| line.width() <= 80), "{out}");
    insta::assert_snapshot!("broken_plan", out);
    let (_, all, _) = run_in(folder.path(), &["audit", "plan.json", "--all"]);
    assert!(!all.contains(" more\n"));
    let count = small::count(&plan).breaches.len();
    assert_eq!(all.matches("\n  - ").count(), count);
    // On the scenario that it was made for, only the stated total and the hash are wrong.
    let plan = folder.path().join("plan.json");
    let (code, out, _) = run(&["audit", plan.to_str().unwrap(), "--scenario", SCENARIO]);
    assert_eq!(code, 3);
    assert!(out.contains("it breaks 2 rules, in 2 places"), "{out}");
    assert!(out.contains("note: counted on another scenario"), "{out}");
}

#[test]
fn trays_short_exit_with_3() {
    let folder = tempfile::tempdir().unwrap();
    let table = small::TABLE.replace("F2,1,2027-04-13,2027-04-27,90,a\n", "");
    let table = write(folder.path(), "short.csv", &table);
    let (code, out, _) = run(&["audit", &table, "--scenario", SCENARIO]);
    assert_eq!(code, 3);
    assert!(out.contains("it breaks no rule"), "{out}");
    assert!(
        out.contains("  - field `F2`, part 1: 90 trays, not in the table\n"),
        "{out}"
    );
}

#[test]
fn what_cannot_be_used_exits_with_2_and_what_cannot_be_read_with_1() {
    let folder = tempfile::tempdir().unwrap();
    let (code, out, err) = run(&["audit", "tests/small/by_hand.csv"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("--scenario"), "{err}");
    let table = write(
        folder.path(),
        "t.csv",
        "field,part,sow,plant,trays\nF7,1,2027-04-13,x,9\n",
    );
    let (code, out, err) = run(&["audit", &table, "--scenario", SCENARIO]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(
        err.contains("t.csv:2 field:") && err.contains("t.csv:2 plant:"),
        "{err}"
    );
    let (code, _, err) = run(&["audit", SCENARIO]);
    assert_eq!(code, 2);
    assert!(err.contains("is not a plan"), "{err}");
    let (code, _, err) = run(&["audit", "no/such/plan.json"]);
    assert_eq!(code, 1);
    assert!(err.contains("cannot read `no/such/plan.json`"), "{err}");
}

#[test]
fn json_is_what_the_library_counts() {
    let (code, out, _) = run(&[
        "audit",
        "tests/small/by_hand.csv",
        "--scenario",
        SCENARIO,
        "--json",
    ]);
    assert_eq!(code, 0);
    let page: serde_json::Value = serde_json::from_str(&out).unwrap();
    let found = small::count(&small::plan());
    assert_eq!(page["format"], "sowrota-audit/1");
    assert_eq!(page["breaches"], serde_json::json!([]));
    assert_eq!(page["cost"], serde_json::to_value(&found.cost).unwrap());
    assert_eq!(
        page["fullest"],
        serde_json::to_value(&found.fullest).unwrap()
    );
}

#[test]
fn help_ends_with_an_example() {
    let (code, out, _) = run(&["audit", "--help"]);
    assert_eq!(code, 0);
    let last = out.lines().last().unwrap();
    assert_eq!(last, "  sowrota audit my_plan.csv --scenario my_nursery");
}
