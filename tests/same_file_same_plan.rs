//! Promise: the same nursery gives the same plan, byte by byte, whatever the order of its fields, the time zone and
//! the number of times it is asked.

use std::path::{Path, PathBuf};
use std::process::Command;

fn copy_of(scenario: &str, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    let from = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("scenarios")
        .join(scenario);
    for file in std::fs::read_dir(from).unwrap() {
        let file = file.unwrap().path();
        std::fs::copy(&file, to.join(file.file_name().unwrap())).unwrap();
    }
}

/// Plans a scenario into a folder of its own and gives the plan's bytes and the summary.
fn plan(scenario: &Path, out: PathBuf, zone: &str) -> (Vec<u8>, String) {
    let ran = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .args(["plan", "--quiet", "--moves", "20000", "--out"])
        .arg(&out)
        .arg(scenario)
        .env("TZ", zone)
        .output()
        .unwrap();
    assert!(
        ran.status.success(),
        "{}",
        String::from_utf8_lossy(&ran.stderr)
    );
    let summary = String::from_utf8(ran.stdout).unwrap();
    (
        std::fs::read(out.join("plan.json")).unwrap(),
        summary.replace(&*out.to_string_lossy(), "OUT"),
    )
}

#[test]
fn fields_in_another_order_and_other_time_zones() {
    let folder = tempfile::tempdir().unwrap();
    let scenario = folder.path().join("village");
    copy_of("village", &scenario);
    let once = plan(&scenario, folder.path().join("once"), "UTC");
    for (at, zone) in ["America/New_York", "Asia/Tokyo", "Pacific/Apia"]
        .into_iter()
        .enumerate()
    {
        assert_eq!(
            plan(&scenario, folder.path().join(at.to_string()), zone),
            once,
            "{zone}"
        );
    }
    let table = scenario.join("fields.csv");
    let text = std::fs::read_to_string(&table).unwrap();
    let (head, rows) = text.split_once('\n').unwrap();
    let mut rows: Vec<&str> = rows.lines().collect();
    rows.reverse();
    rows.swap(1, 4);
    std::fs::write(&table, format!("{head}\n{}\n", rows.join("\n"))).unwrap();
    assert_eq!(plan(&scenario, folder.path().join("shuffled"), "UTC"), once);
}

#[test]
fn a_second_plan_that_says_the_same_changes_no_file_and_another_keeps_the_first() {
    let folder = tempfile::tempdir().unwrap();
    let scenario = folder.path().join("village");
    copy_of("village", &scenario);
    let out = folder.path().join("out");
    let (first, _) = plan(&scenario, out.clone(), "UTC");
    assert_eq!(plan(&scenario, out.clone(), "UTC").0, first);
    // plan.json and plan.csv.
    assert_eq!(std::fs::read_dir(&out).unwrap().count(), 2);
    let table = out.join("plan.csv");
    let judged = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .arg("audit")
        .arg(&table)
        .arg("--scenario")
        .arg(&scenario)
        .output()
        .unwrap();
    let words = String::from_utf8(judged.stdout).unwrap();
    assert!(
        judged.status.success() && words.contains("it breaks no rule"),
        "{words}"
    );
    let nursery = scenario.join("nursery.json");
    let text = std::fs::read_to_string(&nursery).unwrap();
    let changed = text.replacen("\"currency\": \"", "\"currency\": \"new ", 1);
    assert_ne!(changed, text);
    std::fs::write(&nursery, changed).unwrap();
    let (second, _) = plan(&scenario, out.clone(), "UTC");
    let second: serde_json::Value = serde_json::from_slice(&second).unwrap();
    assert_eq!(second["revision"], 2);
    assert_eq!(std::fs::read(out.join("plan-1.json")).unwrap(), first);
}

#[test]
fn on_one_thread_and_on_several() {
    let folder = tempfile::tempdir().unwrap();
    let on = |scenario: &str, threads: &str, moves: &str| {
        let out = folder.path().join(format!("{scenario}-{threads}"));
        let ran = Command::new(env!("CARGO_BIN_EXE_sowrota"))
            .args(["plan", "--quiet", "--moves", moves, "--threads", threads])
            .args(["--relaxations", "3", "--out"])
            .arg(&out)
            .arg(
                Path::new(env!("CARGO_MANIFEST_DIR"))
                    .join("scenarios")
                    .join(scenario),
            )
            .output()
            .unwrap();
        assert!(matches!(ran.status.code(), Some(0 | 3)));
        std::fs::read(out.join("plan.json")).unwrap()
    };
    for (scenario, moves) in [("village", "60000"), ("overfull", "60000")] {
        let one = on(scenario, "1", moves);
        assert!(one == on(scenario, "2", moves), "{scenario}");
        assert!(one == on(scenario, "5", moves), "{scenario}");
    }
}
