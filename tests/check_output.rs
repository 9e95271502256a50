//! What the commands print fits 80 columns and reads as it did.

use std::process::{Command, Output};
use unicode_width::UnicodeWidthStr;

fn sowrota(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .args(arguments)
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/tests"))
        .output()
        .unwrap()
}

fn printed(arguments: &[&str]) -> String {
    let output = sowrota(arguments);
    assert!(output.stderr.is_empty(), "{output:?}");
    let text = String::from_utf8(output.stdout).unwrap();
    for line in text.lines() {
        assert!(line.width() <= 80, "{} columns: {line}", line.width());
    }
    text
}

#[test]
fn check_says_what_is_in_a_scenario_and_what_is_assumed() {
    insta::assert_snapshot!("check_smallest", printed(&["check", "smallest"]));
    insta::assert_snapshot!("check_full", printed(&["check", "full/nursery.json"]));
    let each = printed(&["check", "smallest", "--defaults"]);
    assert!(each.contains("\n  kinds[1].wet_ratio: 1.25\n"), "{each}");
}

#[test]
fn check_prints_json_with_problems_summary_and_defaults() {
    let output = sowrota(&["check", "smallest", "--json"]);
    let value: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(value["usable"], true);
    assert_eq!(value["summary"]["trays"], 345);
    assert_eq!(value["problems"], serde_json::json!([]));
    assert!(value["defaults"].as_array().unwrap().len() > 100);
}

#[test]
fn schema_prints_either_schema() {
    for of in ["scenario", "plan"] {
        let value: serde_json::Value =
            serde_json::from_slice(&sowrota(&["schema", of]).stdout).unwrap();
        assert_eq!(
            value["$schema"],
            "https://json-schema.org/draft/2020-12/schema"
        );
    }
}

#[test]
fn every_help_ends_with_an_example() {
    for command in ["new", "check", "schema"] {
        let help = printed(&[command, "--help"]);
        let last = help.trim_end().lines().last().unwrap().trim();
        assert!(last.starts_with(&format!("sowrota {command}")), "{last}");
        assert!(help.contains("\nExample:\n"));
    }
}

#[test]
fn a_file_that_is_not_there_is_an_error_in_words() {
    let output = sowrota(&["check", "nowhere"]);
    assert_eq!(output.status.code(), Some(1));
    let words = String::from_utf8(output.stderr).unwrap();
    assert!(
        words.starts_with("error: cannot read `nowhere`: "),
        "{words}"
    );
}
