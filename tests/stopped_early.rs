//! Promise: whoever stops a search gets the best plan so far, audited, written and called what it is; and a search that is given so many
//! seconds ends.
#![cfg(unix)]

use sowrota::audit::audit;
use sowrota::plan::{EndedBy, Plan};
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use tempfile::TempDir;

/// A search that would go on for hours.
fn search(folder: &Path, more: &[&str]) -> Child {
    plan(folder, &[&["--moves", "900000000000"], more].concat())
}

fn plan(folder: &Path, more: &[&str]) -> Child {
    let scenario = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/village");
    Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .current_dir(folder)
        .arg("plan")
        .arg(scenario)
        .args(["--out", "stopped"])
        .args(more)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

fn sound(folder: &TempDir) -> Plan {
    let plan = sowrota::plan::file::load(&folder.path().join("stopped")).unwrap();
    let found = audit(&plan, &plan.scenario);
    assert!(found.breaches.is_empty(), "{:?}", found.breaches);
    assert_eq!(found.cost, plan.cost);
    assert_eq!(plan.ended_by, EndedBy::Stopped);
    plan
}

/// Lines may break anywhere.
fn says_so(out: &str) -> bool {
    let words: Vec<&str> = out.split_whitespace().collect();
    words.join(" ").contains("; the search was stopped early")
}

#[test]
fn interrupted_it_keeps_the_best_plan() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = search(folder.path(), &[]);
    // It listens before it says the first thing.
    let mut heard = BufReader::new(child.stderr.take().unwrap());
    let mut first = String::new();
    heard.read_line(&mut first).unwrap();
    assert!(first.starts_with("first plan, "), "{first}");
    let sent = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(sent.unwrap().success());
    let mut rest = String::new();
    heard.read_to_string(&mut rest).unwrap();
    let ended = child.wait_with_output().unwrap();
    let out = String::from_utf8(ended.stdout).unwrap();
    assert!(matches!(ended.status.code(), Some(0 | 3)), "{rest}");
    assert!(rest.contains("ending with the best plan so far"), "{rest}");
    assert!(says_so(&out), "{out}");
    assert!(!sound(&folder).deliveries.is_empty());
}

#[test]
fn out_of_time_it_keeps_the_best_plan() {
    let folder = tempfile::tempdir().unwrap();
    let ended = search(folder.path(), &["--time", "1", "--quiet"])
        .wait_with_output()
        .unwrap();
    let err = String::from_utf8(ended.stderr).unwrap();
    assert!(matches!(ended.status.code(), Some(0 | 3)), "{err}");
    assert_eq!(err, "");
    sound(&folder);
}

#[test]
fn a_proof_out_of_time_is_not_said_to_be_finished() {
    let folder = tempfile::tempdir().unwrap();
    // The search is soon done; its bound would be lifted for hours.
    let arguments = ["--moves", "20000", "--relaxations", "900000000"];
    let arguments = [&arguments[..], &["--time", "4", "--quiet"]].concat();
    let ended = plan(folder.path(), &arguments).wait_with_output().unwrap();
    assert!(matches!(ended.status.code(), Some(0 | 3)));
    let out = String::from_utf8(ended.stdout).unwrap();
    assert!(says_so(&out), "{out}");
    sound(&folder);
}
