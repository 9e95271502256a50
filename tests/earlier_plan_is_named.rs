//! Promise: a plan that takes the place of a cheaper one, or of one with days that growers were told, says so and says where that one is.

mod ran;

use std::path::Path;

/// What the program prints in a folder; it ends well.
fn run(folder: &Path, arguments: &[&str]) -> String {
    let (code, out, err) = ran::run(folder, arguments);
    assert_eq!(code, 0, "{err}");
    out
}

/// Plans the village into `out` with so many changes.
fn plan(folder: &Path, moves: &str) -> String {
    let village = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/village");
    let arguments = [
        "plan",
        village,
        "--quiet",
        "--relaxations",
        "0",
        "--out",
        "out",
    ];
    run(folder, &[&arguments[..], &["--moves", moves]].concat())
}

#[test]
fn a_cheaper_one() {
    let folder = tempfile::tempdir().unwrap();
    let first = plan(folder.path(), "40000");
    assert!(!first.contains("was cheaper"), "{first}");
    let second = plan(folder.path(), "0");
    assert!(
        second.contains("plan 1 of the same nursery was cheaper, "),
        "{second}"
    );
    assert!(folder.path().join("out/plan-1.json").exists());
    assert!(!second.contains("told days"), "{second}");
    // A cheaper one after it has nothing to say of it.
    let third = plan(folder.path(), "40000");
    assert!(!third.contains("was cheaper"), "{third}");
}

#[test]
fn one_with_promises() {
    let folder = tempfile::tempdir().unwrap();
    plan(folder.path(), "40000");
    run(folder.path(), &["promise", "out", "--until", "2027-05-13"]);
    let again = plan(folder.path(), "40000");
    let words = "plan 2 had told days that this plan knows nothing of: V0";
    assert!(again.contains(words), "{again}");
    assert!(again.contains("plan-2.json"), "{again}");
}
