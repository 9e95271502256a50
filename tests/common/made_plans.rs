//! Plans for the tests of files: the demos planned quickly, and one with hostile names. Planned once a test program.
#![allow(dead_code)]

use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::solve::{self, Budget, Start, Unwatched};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

/// The demo, planned with few changes.
pub fn demo(name: &'static str) -> Plan {
    static VILLAGE: OnceLock<Plan> = OnceLock::new();
    static SEASONS: OnceLock<Plan> = OnceLock::new();
    static COOPERATIVE: OnceLock<Plan> = OnceLock::new();
    let kept = match name {
        "village" => &VILLAGE,
        "two-season" => &SEASONS,
        "cooperative" => &COOPERATIVE,
        _ => panic!("no place is kept for {name}"),
    };
    kept.get_or_init(|| planned(name)).clone()
}

fn planned(name: &str) -> Plan {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("scenarios")
        .join(name);
    let scenario = sowrota::scenario::read(&folder).unwrap().scenario.unwrap();
    let budget = Budget {
        moves: 500,
        relaxations: 0,
        seed: 1,
    };
    let nursery = Nursery::new(&scenario);
    let plan = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan;
    assert_eq!(plan.scenario, scenario);
    plan
}

/// Names that do harm where they are not taken as text.
pub const HOSTILE: [&str; 18] = [
    "<script>alert(1)</script>",
    "<b>&amp;\"'</b>",
    "=1+1",
    "=HYPERLINK(\"x\",\"y\")",
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    "\t=1",
    " =1",
    "＝1",
    "a,b;c\"d\"\\e",
    "two\r\nlines",
    "bell\u{7} null\u{0} escape\u{1b}[31m",
    "_x0041_ and \u{fffe}",
    "\u{202e}turned",
    "苗代の早い稲 Ž 🌾",
    "END:VEVENT\r\nBEGIN:VEVENT",
    "'quoted",
];

/// The village with hostile names everywhere, and a very long one.
pub fn with_names() -> Plan {
    let mut plan = demo("village");
    let long = "苗 very long ".repeat(4_000);
    let names: Vec<&str> = HOSTILE.iter().copied().chain([long.as_str()]).collect();
    let mut next = names.iter().cycle();
    let mut name = || next.next().unwrap().to_string();
    let s = &mut plan.scenario;
    s.name = "=Ambrel \"nursery\"\r\nX:1, <b>".into();
    for kind in &mut s.kinds {
        kind.name = name();
    }
    for crew in &mut s.crews {
        crew.name = name();
    }
    for bed in &mut s.beds {
        bed.name = name();
    }
    for season in &mut s.seasons {
        season.name = name();
    }
    // Each field a grower of its own.
    for (field, grower) in s.fields.iter_mut().zip(names.iter().rev()) {
        field.grower = grower.to_string();
    }
    plan
}

/// Runs the program: exit code, output, errors.
pub fn run(arguments: impl IntoIterator<Item = PathBuf>) -> (i32, String, String) {
    let arguments = arguments.into_iter().map(OsString::from);
    let ended = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .args(arguments)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        ended.status.code().unwrap(),
        text(ended.stdout),
        text(ended.stderr),
    )
}
