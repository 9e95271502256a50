//! Bad input gets a problem with its place, never a panic and never half a file.
//!
//! Each case below names the code and the place of its first problem; the whole text of every
//! problem is kept in one snapshot, in the order of the cases.

use sowrota::problems::Severity;
use sowrota::scenario::{self, Checked};
use std::collections::BTreeMap;

#[path = "bad_input/buying.rs"]
mod buying;
#[path = "bad_input/carried.rs"]
mod carried;
#[path = "bad_input/cross.rs"]
mod cross;
#[path = "bad_input/keys.rs"]
mod keys;
#[path = "bad_input/oddities.rs"]
mod oddities;
#[path = "bad_input/orders.rs"]
mod orders;
#[path = "bad_input/people.rs"]
mod people;
#[path = "bad_input/runs.rs"]
mod runs;
#[path = "bad_input/staff.rs"]
mod staff;
#[path = "bad_input/supplies.rs"]
mod supplies;
#[path = "bad_input/tables.rs"]
mod tables;

const SMALLEST: &str = include_str!("smallest/nursery.json");
const FIELDS: &str = "\
id,area_ha,kind,window,mats_per_ha,reserve
mill,0.5,early,2027-05-10/2027-05-16,200,0.05
bank,1.2,late,2027-05-20/2027-05-22 2027-05-27/2027-05-29,190,0.05
";

/// A scenario's files.
struct Files {
    json: Vec<u8>,
    tables: BTreeMap<&'static str, Vec<u8>>,
}

fn read(files: &Files) -> Checked {
    scenario::read_bytes("nursery.json", &files.json, &|name| {
        files
            .tables
            .get(name)
            .cloned()
            .ok_or_else(|| "there is no such file".to_owned())
    })
}

fn raw(json: impl Into<Vec<u8>>) -> Files {
    Files {
        json: json.into(),
        tables: BTreeMap::new(),
    }
}

/// The smallest file with one text replaced.
fn edited(from: &str, to: &str) -> Files {
    assert!(SMALLEST.contains(from), "{from}");
    raw(SMALLEST.replacen(from, to, 1))
}

/// The smallest file with one more key at the top.
fn with(key: &str, value: &str) -> Files {
    edited(
        "\"horizon\"",
        &format!("\"{key}\": {value},\n  \"horizon\""),
    )
}

/// The smallest file with its list of fields in a table.
fn table(csv: impl Into<Vec<u8>>) -> Files {
    let (from, to) = (
        SMALLEST.find("\"fields\": [").unwrap(),
        SMALLEST.find("  \"lines\"").unwrap(),
    );
    let json = format!(
        "{}\"fields\": \"fields.csv\",\n{}",
        &SMALLEST[..from],
        &SMALLEST[to..]
    );
    Files {
        json: json.into(),
        tables: BTreeMap::from([("fields.csv", csv.into())]),
    }
}

fn fields(from: &str, to: &str) -> Files {
    assert!(FIELDS.contains(from), "{from}");
    table(FIELDS.replacen(from, to, 1))
}

/// The smallest file with ages in leaves and a table of weather.
fn weather(csv: &str) -> Files {
    let json = SMALLEST
        .replace("{ \"id\": \"early\" }", "{ \"id\": \"early\", \"age\": { \"clock\": \"leaves\", \"youngest\": 2, \"target\": 2.3, \"oldest\": 2.8 } }")
        .replace("\"horizon\": \"2027-04-05/2027-06-12\"", "\"horizon\": \"2027-05-10/2027-05-29\", \"weather\": \"weather.csv\"");
    Files {
        json: json.into(),
        tables: BTreeMap::from([("weather.csv", csv.into())]),
    }
}

fn every_day(skip: &[u32]) -> String {
    let days = (10..=29).filter(|day| !skip.contains(day));
    let rows: Vec<String> = days.map(|day| format!("2027-05-{day:02},9,20\n")).collect();
    format!("date,min_c,max_c\n{}", rows.concat())
}

/// Name of the case, its files, code and place of the first problem.
type Case = (&'static str, Files, &'static str, &'static str);

impl Files {
    /// One more text replaced.
    fn and(self, from: &str, to: &str) -> Files {
        let json = String::from_utf8(self.json).unwrap();
        assert!(json.contains(from), "{from}");
        Files {
            json: json.replacen(from, to, 1).into(),
            ..self
        }
    }
}

fn cases() -> Vec<Case> {
    [
        keys::text_cases(),
        keys::key_cases(),
        cross::cross_cases(),
        supplies::supply_cases(),
        tables::table_cases(),
        orders::order_cases(),
        orders::order_tables(),
        runs::run_cases(),
        buying::buying_cases(),
        people::people_cases(),
        carried::carried_cases(),
        staff::staff_cases(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[test]
fn every_bad_input_is_named_with_its_place() {
    let cases = cases();
    assert!(cases.len() >= 190, "{}", cases.len());
    let mut wrong = Vec::new();
    let mut told = String::new();
    for (name, files, code, place) in cases {
        let checked = read(&files);
        let errors: Vec<_> = checked
            .problems
            .0
            .iter()
            .filter(|problem| problem.severity == Severity::Error)
            .collect();
        assert!(
            checked.scenario.is_none(),
            "{name}: a scenario in spite of a problem"
        );
        told.push_str(&format!("# {name}\n"));
        for problem in &checked.problems.0 {
            told.push_str(&format!("{problem}\n"));
        }
        told.push('\n');
        match errors.first() {
            Some(first) if first.code == code && first.place.to_string() == place => {}
            Some(first) => wrong.push(format!(
                "{name}: {} at `{}`, not {code} at `{place}`",
                first.code, first.place
            )),
            None => wrong.push(format!("{name}: nothing found")),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    insta::assert_snapshot!("problems", told);
}

#[test]
fn problems_are_gathered_and_their_consequences_are_not_told() {
    let json = SMALLEST
        .replace("\"area_ha\": 0.5", "\"are_ha\": 0.5")
        .replace("\"kind\": \"late\"", "\"kind\": \"latte\"")
        .replace("500", "-1")
        .replace("2027-05-20/2027-05-29", "2027-05-29/2027-05-20")
        .replace("\"people\": 5", "\"people\": \"five\"");
    let checked = read(&raw(json));
    let codes: Vec<&str> = checked
        .problems
        .0
        .iter()
        .map(|problem| problem.code)
        .collect();
    assert_eq!(codes, ["S005", "S020", "S014", "S009", "S007"]);
}

#[test]
fn a_file_of_nothing_but_faults_is_cut_short() {
    let field = |index: usize| format!("{{ \"id\": \"f{index}\" }}");
    let all: Vec<String> = (0..2_000).map(field).collect();
    let (from, to) = (
        SMALLEST.find("\"fields\": [").unwrap(),
        SMALLEST.find("  \"lines\"").unwrap(),
    );
    let json = format!(
        "{}\"fields\": [{}],\n{}",
        &SMALLEST[..from],
        all.join(","),
        &SMALLEST[to..]
    );
    let problems = read(&raw(json)).problems;
    assert_eq!(
        (problems.0.len(), problems.0.last().unwrap().code),
        (501, "S098")
    );
    assert!(problems.any_error());
}

#[test]
fn oddities_are_accepted_and_noted_or_warned() {
    insta::assert_snapshot!("oddities", oddities::told());
}

#[test]
fn a_table_says_the_same_as_the_list() {
    let listed = read(&edited(
        "\"2027-05-20/2027-05-29\"",
        "[\"2027-05-20/2027-05-22\", \"2027-05-27/2027-05-29\"]",
    ));
    let comma = read(&table(FIELDS));
    let semicolon = read(&table(FIELDS.replace(',', ";").replace('.', ",")));
    let spaced = read(&table(FIELDS.replace(',', " , ").replace('\n', "\r\n\r\n")));
    let expected = listed.scenario.unwrap();
    for checked in [comma, semicolon, spaced] {
        assert_eq!(checked.scenario.as_ref(), Some(&expected));
    }
}

#[test]
fn nothing_is_written_and_exit_codes_tell_what_happened() {
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| {
        let all = ["sowrota"]
            .iter()
            .chain(arguments)
            .map(std::ffi::OsString::from);
        sowrota::cli::run(all)
    };
    let path = folder.path().join("nursery.json");
    let listing = || {
        let mut names: Vec<_> = std::fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| {
                (
                    entry.as_ref().unwrap().file_name(),
                    std::fs::read(entry.unwrap().path()).unwrap(),
                )
            })
            .collect();
        names.sort();
        names
    };
    std::fs::write(&path, SMALLEST.replace("0.5", "-0.5")).unwrap();
    let before = listing();
    let text = path.to_str().unwrap();
    assert_eq!(run(&["check", text]), 2);
    assert_eq!(run(&["check", text, "--json"]), 2);
    assert_eq!(
        run(&["check", folder.path().to_str().unwrap(), "--defaults"]),
        2
    );
    assert_eq!(run(&["new", folder.path().to_str().unwrap()]), 1);
    assert_eq!(listing(), before);
    std::fs::write(&path, SMALLEST).unwrap();
    assert_eq!(run(&["check", text]), 0);
    assert_eq!(
        run(&["check", folder.path().join("nowhere").to_str().unwrap()]),
        1
    );
    assert_eq!(run(&["check"]), 2);
    // A plan's file, or a folder that holds nothing else, is named as such.
    let out = folder.path().join("out");
    std::fs::create_dir(&out).unwrap();
    let plan = out.join("plan.json");
    std::fs::write(&plan, "{ \"format\": \"sowrota-plan/1\", \"horizon\": {} }").unwrap();
    for path in [&out, &plan] {
        let problems = scenario::read(path).unwrap().problems.0;
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].code, "S094");
        assert_eq!(problems[0].place.to_string(), "plan.json:1:13 format");
        assert_eq!(run(&["check", path.to_str().unwrap()]), 2);
    }
    let fresh = folder.path().join("fresh");
    assert_eq!(run(&["new", fresh.to_str().unwrap()]), 0);
    assert_eq!(run(&["check", fresh.to_str().unwrap()]), 0);
}

#[test]
fn no_mutation_of_a_good_file_panics() {
    let full = include_str!("full/nursery.json").replace(
        "\"weather\": { \"min_c\": 9.5, \"max_c\": 20 }",
        "\"weather\": \"weather.csv\"",
    );
    let sky = every_day(&[]);
    let mut random = oorandom::Rand64::new(20_270_401);
    let mut mutate = |bytes: &[u8]| {
        let mut bytes = bytes.to_vec();
        for _ in 0..=random.rand_range(0..3) {
            let at = random.rand_range(0..bytes.len().max(1) as u64) as usize;
            let signs = b"\"{}[],:;-0123456789.eE/\\\n\r\t \0\xff|aN\xc3\xbc";
            let sign = signs[random.rand_range(0..signs.len() as u64) as usize];
            let length = random.rand_range(1..12) as usize;
            match random.rand_range(0..16) {
                0 => bytes[at] = sign,
                1 => bytes.insert(at, sign),
                2 => drop(bytes.drain(at..(at + length).min(bytes.len()))),
                3 => {
                    let piece = bytes[at..(at + length).min(bytes.len())].to_vec();
                    bytes.splice(at..at, piece);
                }
                4 => bytes.truncate(at.max(1)),
                // Most often a digit for a digit, so that many of the files are still JSON.
                _ => {
                    let from = bytes[at..].iter().position(u8::is_ascii_digit).unwrap_or(0);
                    bytes[at + from] = b'0' + random.rand_range(0..10) as u8;
                }
            }
            if bytes.is_empty() {
                bytes.push(b' ');
            }
        }
        bytes
    };
    let (mut usable, mut refused) = (0, 0);
    for round in 0..6_000 {
        let files = match round % 3 {
            0 => raw(mutate(SMALLEST.as_bytes())),
            1 => Files {
                json: mutate(full.as_bytes()),
                tables: BTreeMap::from([("weather.csv", sky.clone().into())]),
            },
            _ => table(mutate(FIELDS.as_bytes())),
        };
        let checked = read(&files);
        // Either a scenario, or at least one error: never neither, never both.
        assert_ne!(checked.scenario.is_some(), checked.problems.any_error());
        if let Some(scenario) = &checked.scenario {
            usable += 1;
            let again = serde_json::from_slice(&serde_json::to_vec(scenario).unwrap()).unwrap();
            assert_eq!(*scenario, again);
        } else {
            refused += 1;
            assert!(
                checked
                    .problems
                    .0
                    .iter()
                    .all(|problem| problem.code != "S099"),
                "{:?}",
                checked.problems
            );
        }
    }
    assert!(usable > 200 && refused > 2_000, "{usable} {refused}");
}
