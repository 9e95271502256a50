//! `sowrota day`: what it prints, what it refuses, and with which exit code.

#[path = "common/small_plan.rs"]
mod small_plan;

use small_plan::plan;
use sowrota::plan::file::{load, save};
use std::path::Path;
use std::process::Command;

/// Exit code, standard output and errors of the program.
fn sowrota(arguments: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sowrota"));
    let ended = command.args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        ended.status.code().unwrap(),
        text(ended.stdout),
        text(ended.stderr),
    )
}

fn saved() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    save(&plan(), &folder.path().join("plan.json")).unwrap();
    let path = folder.path().to_str().unwrap().to_string();
    (folder, path)
}

#[test]
fn a_plan_is_read_as_it_was_written() {
    let (folder, path) = saved();
    assert_eq!(load(folder.path()).unwrap(), plan());
    assert_eq!(load(&Path::new(&path).join("plan.json")).unwrap(), plan());
    let text = std::fs::read_to_string(folder.path().join("plan.json")).unwrap();
    assert!(text.starts_with("{\n  \"format\": \"sowrota-plan/1\",\n") && text.ends_with("}\n"));
}

#[test]
fn the_sheet_and_its_json_are_printed() {
    let (_folder, path) = saved();
    let (code, out, errors) = sowrota(&["day", &path, "2027-04-19"]);
    assert_eq!((code, errors.as_str()), (0, ""));
    assert!(
        out.starts_with("WILLOW FORD NURSERY\nMONDAY 19 APR 2027\n"),
        "{out}"
    );
    let (code, out, _) = sowrota(&["day", &path, "2027-04-19", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((code, &json["weekday"]), (0, &serde_json::json!("monday")));
    let (code, out, _) = sowrota(&["day", &path, "2027-04-19", "--room"]);
    assert_eq!(code, 0);
    assert!(out.contains("R001/unstack         19 Apr"), "{out}");
}

#[test]
fn a_day_without_work_and_a_day_outside_get_a_clear_answer() {
    let (_folder, path) = saved();
    let (code, out, _) = sowrota(&["day", &path, "2027-05-09"]);
    assert_eq!(code, 0);
    assert_eq!(
        out,
        "no work is planned on Sunday 9 May 2027\nthe next work is on Monday 10 May\n"
    );
    let (code, out, _) = sowrota(&["day", &path, "2027-05-30"]);
    assert_eq!(
        (code, out.as_str()),
        (
            0,
            "no work is planned on Sunday 30 May 2027\nnothing follows until 2027-05-31\n"
        )
    );
    let (code, _, errors) = sowrota(&["day", &path, "2027-06-01"]);
    assert_eq!(code, 2);
    assert_eq!(
        errors,
        "error: 2027-06-01 lies outside the days planned, 2027-04-05 to 2027-05-31\n"
    );
    for (written, help) in [
        ("2027-5-9", "write 2027-05-09"),
        ("13.5.2027", "write 2027-05-13"),
        ("31.6.2027", "write a day like 2027-05-08"),
        ("May", "write a day like 2027-05-08"),
    ] {
        let (code, _, errors) = sowrota(&["day", &path, written]);
        assert_eq!(code, 2);
        let told =
            format!("error: `{written}` cannot be read as a day: not written as year-month-day");
        assert!(errors.starts_with(&told), "{errors}");
        assert!(errors.ends_with(&format!("\n  {help}\n")), "{errors}");
        assert!(
            errors.lines().all(|line| line.chars().count() <= 80),
            "{errors}"
        );
    }
}

#[test]
fn a_file_that_is_no_plan_is_named_with_what_is_wrong() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.json");
    let text = serde_json::to_string(&plan()).unwrap();
    let cases: [(&[u8], &str); 9] = [
        (
            b"",
            "is not JSON: EOF while parsing a value at line 1 column 0",
        ),
        (
            b"{\"format\": ",
            "is not JSON: EOF while parsing a value at line 1 column 11",
        ),
        (
            b"\xff\xfe",
            "is not JSON: expected value at line 1 column 1",
        ),
        (b"[1]", "is not a plan: "),
        (
            b"{}",
            "is not a plan: it has no `format`; a plan begins with `\"format\": \"sowrota-plan/1\"`",
        ),
        (
            b"{\"format\": \"sowrota-scenario/1\"}",
            "is not a plan: its `format` is \"sowrota-scenario/1\"",
        ),
        (
            b"{\"format\": \"sowrota-plan/9\"}",
            "has format `sowrota-plan/9`; this program reads `sowrota-plan/1`",
        ),
        (
            b"{\"format\": \"sowrota-plan/1\"}",
            "cannot be read as one: missing field `revision`",
        ),
        (
            &text.as_bytes()[..text.len() - 9],
            "is not JSON: EOF while parsing",
        ),
    ];
    for (bytes, expected) in cases {
        std::fs::write(&path, bytes).unwrap();
        let (code, out, errors) = sowrota(&["day", path.to_str().unwrap(), "2027-04-19"]);
        assert_eq!((code, out.as_str()), (2, ""), "{errors}");
        assert!(errors.contains(expected), "{errors}");
        assert!(errors.contains("plan.json"), "{errors}");
    }
    let deep = "[".repeat(200_000);
    std::fs::write(&path, deep).unwrap();
    let (code, _, errors) = sowrota(&["day", path.to_str().unwrap(), "2027-04-19"]);
    assert_eq!(code, 2, "{errors}");
    let missing = folder.path().join("elsewhere");
    let (code, _, errors) = sowrota(&["day", missing.to_str().unwrap(), "2027-04-19"]);
    assert_eq!(code, 1);
    assert!(
        errors.starts_with("error: cannot read `") && errors.contains("elsewhere"),
        "{errors}"
    );
    let broken = text.replace("\"kind\":\"late\",\"soak\"", "\"kind\":\"lat\",\"soak\"");
    std::fs::write(&path, broken).unwrap();
    let (code, _, errors) = sowrota(&["day", path.to_str().unwrap(), "2027-04-19"]);
    assert_eq!(code, 2);
    assert_eq!(
        errors,
        "error: run `R002` names kind `lat`, which the scenario in the plan does not have\n"
    );
}

#[test]
fn help_ends_with_an_example() {
    let (code, out, _) = sowrota(&["day", "--help"]);
    assert_eq!(code, 0);
    assert!(
        out.trim_end()
            .ends_with("Example:\n  sowrota day out/village 2027-05-08"),
        "{out}"
    );
}

#[test]
fn a_nursery_in_place_of_a_plan_is_told_from_one() {
    let (code, out, errors) = sowrota(&["day", "scenarios/village", "2027-05-05"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(errors.contains("holds a nursery, not its plan"), "{errors}");
}
