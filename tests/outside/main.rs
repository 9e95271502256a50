//! Checks against something outside the project: published standards, handbook tables, worked examples, open data.
//!
//! Each check names its source beside it. `README.md` in this folder lists them all with kind and test
//! name, and a test here holds the list and the tests together. A new group of checks is one
//! more file, one `mod` line and its rows in the list.

mod calendars;
mod contrast;
mod dates;
#[path = "../ics_bytes/mod.rs"]
mod ics_bytes;
mod lifting;
mod line;
mod linear_programs;
mod lot_sizing;
mod mats;
mod networks;
mod rosters;
mod seed_and_soil;
mod smoothing;
mod tables;
mod thermal;
mod trials;
mod written;

use sowrota::calendar::Day;
use sowrota::growth::first_reaching;
use sowrota::scenario::{AgeClock, AgeLimits, Growth, Kind, Line, Method, StackClock, StackNeed};
use sowrota::units::Fixed;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// This folder.
fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside")
}

/// A text of this folder.
fn text(name: &str) -> String {
    std::fs::read_to_string(folder().join(name)).unwrap()
}

/// The rows of a table under `data/`, without remarks and head.
fn rows(name: &str) -> Vec<Vec<String>> {
    let whole = text(&format!("data/{name}"));
    let lines = whole.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect()
}

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// A decimal as the scenario would read it.
fn fixed<const P: u32>(value: f64) -> Fixed<P> {
    Fixed::nearest(value).unwrap()
}

/// Equal within `tolerance`, and says of what when not.
#[track_caller]
fn near(what: &str, found: f64, wanted: f64, tolerance: f64) {
    assert!(
        (found - wanted).abs() <= tolerance,
        "{what}: {found} is not {wanted} within {tolerance}"
    );
}

/// Parameters of growth. `ceiling` matters to `hourly_sine` only.
fn growth(method: Method, base: f64, upper: f64, ceiling: f64) -> Growth {
    Growth {
        method,
        base_c: fixed(base),
        upper_c: fixed(upper),
        ceiling_c: fixed(ceiling),
        phyllochron_cd: Fixed::whole(100),
    }
}

/// First day on which units of `a_day` have added up to `need` since `start`.
fn reached(need: f64, start: Day, a_day: f64) -> Day {
    first_reaching(need, start, |_| Some(a_day), start.plus(1_000)).unwrap()
}

/// A kind to vary: 180 g, 20 mm and 7 mm of soil, 1.2 L, 100 °C·d at 12 °C.
fn kind() -> Kind {
    Kind {
        losses: Default::default(),
        spare_share: Fixed(0),
        least_run_trays: 0,
        last_of_day: false,
        treatment: None,
        care_times: Fixed(100),
        in_its_place: Vec::new(),
        limits: vec![],
        bag_kg: None,
        bed_soil: None,
        cover_soil: None,
        id: "kind".into(),
        name: "Kind".into(),
        seed_g_dry_per_tray: Fixed::whole(180),
        wet_ratio: fixed(1.25),
        bed_soil_mm: Fixed::whole(20),
        cover_soil_mm: Fixed::whole(7),
        water_l_per_tray: fixed(1.2),
        soak_degree_days: Fixed::whole(100),
        soak_water_c: Fixed::whole(12),
        sprout_days: 2,
        hold_days: 1,
        drain_wait_days: 1,
        stack: StackNeed {
            clock: StackClock::Days,
            need: Fixed::whole(3),
        },
        greening_days: 2,
        greening_wait_days: 1,
        age: AgeLimits {
            clock: AgeClock::Days,
            youngest: Fixed::whole(18),
            target: Fixed::whole(22),
            oldest: Fixed::whole(26),
        },
        growth: growth(Method::SingleSine, 8.0, 30.0, 42.0),
        cost_younger: Fixed::ZERO,
        cost_older: Fixed::ZERO,
    }
}

/// A line to vary: runs the whole shift at `set` trays an hour.
fn line(set: f64) -> Line {
    Line {
        hopper_g_dry: Fixed(0),
        spans: vec![],
        rates: vec![],
        id: "line".into(),
        name: "Line".into(),
        set_trays_per_h: fixed(set),
        share_run: Fixed::whole(1),
        hours_per_day: Fixed::whole(8),
        first_set_up_minutes: Fixed::ZERO,
        set_up_minutes: Fixed::ZERO,
        set_up_pairs: vec![],
        trial_trays: 0,
    }
}

/// Names of the tests in this folder's other files: `file::test`.
fn tests_here() -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for entry in std::fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
        if path.extension().is_none_or(|extension| extension != "rs") || stem == "main" {
            continue;
        }
        let source = std::fs::read_to_string(&path).unwrap();
        for after in source.split("#[test]").skip(1) {
            let name = after
                .split("fn ")
                .nth(1)
                .and_then(|rest| rest.split('(').next())
                .unwrap();
            names.insert(format!("{stem}::{name}"));
        }
    }
    names
}

#[test]
fn the_list_names_every_outside_check_and_no_other() {
    let list = text("README.md");
    let mut listed = BTreeSet::new();
    for row in list
        .lines()
        .filter(|line| line.starts_with("| ") && line.ends_with("` |"))
    {
        let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
        assert_eq!(cells.len(), 4, "check, source, kind and test: {row}");
        let kinds = [
            "published",
            "derived",
            "from memory",
            "common practice, no source",
        ];
        assert!(kinds.contains(&cells[2]), "kind `{}`: {row}", cells[2]);
        listed.insert(cells[3].trim_matches('`').to_owned());
    }
    assert_eq!(listed, tests_here());
}

/// The tables name their licence where they are cut, as the licence asks.
#[test]
fn tables_say_where_they_come_from() {
    for (name, licence) in [
        ("hyderabad_august_to_november.csv", "Apache-2.0"),
        ("paddy_rice_seasons.csv", "Apache-2.0"),
        ("single_sine_ojai_2016.csv", "MIT"),
    ] {
        let head = text(&format!("data/{name}"));
        let head: Vec<&str> = head
            .lines()
            .take_while(|line| line.starts_with('#'))
            .collect();
        let head = head.join(" ");
        assert!(
            head.contains(licence) && head.contains("Changed:"),
            "{name}: {head}"
        );
    }
}
