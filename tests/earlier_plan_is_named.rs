//! Promise: a plan that takes the place of a cheaper one, or of one with days that growers were told, says so and says where that one is.

use std::path::Path;
use std::process::Command;

fn run(folder: &Path, arguments: &[&str]) -> String {
    let scenario = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/village");
    let ran = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .current_dir(folder)
        .args(arguments)
        .arg(if arguments[0] == "plan" {
            &scenario
        } else {
            Path::new("out")
        })
        .output()
        .unwrap();
    assert!(
        ran.status.success(),
        "{}",
        String::from_utf8_lossy(&ran.stderr)
    );
    String::from_utf8(ran.stdout).unwrap()
}

const LONG: [&str; 6] = ["plan", "--quiet", "--relaxations", "0", "--out", "out"];

#[test]
fn a_cheaper_one() {
    let folder = tempfile::tempdir().unwrap();
    let first = run(folder.path(), &[&LONG[..], &["--moves", "40000"]].concat());
    assert!(!first.contains("was cheaper"), "{first}");
    let second = run(folder.path(), &[&LONG[..], &["--moves", "0"]].concat());
    assert!(
        second.contains("plan 1 of the same nursery was cheaper, "),
        "{second}"
    );
    assert!(folder.path().join("out/plan-1.json").exists());
    assert!(!second.contains("told days"), "{second}");
    // A cheaper one after it has nothing to say of it.
    let third = run(folder.path(), &[&LONG[..], &["--moves", "40000"]].concat());
    assert!(!third.contains("was cheaper"), "{third}");
}

#[test]
fn one_with_promises() {
    let folder = tempfile::tempdir().unwrap();
    run(folder.path(), &[&LONG[..], &["--moves", "40000"]].concat());
    run(folder.path(), &["promise", "--until", "2027-05-13"]);
    let again = run(folder.path(), &[&LONG[..], &["--moves", "40000"]].concat());
    let words = "plan 2 had told days that this plan knows nothing of: V0";
    assert!(again.contains(words), "{again}");
    assert!(again.contains("plan-2.json"), "{again}");
}
