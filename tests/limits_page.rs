//! `docs/LIMITS.md` says what limits or prices a plan and where it is planned, written, counted and tried. Whatever it names is there.

use serde_json::Value;
use sowrota::audit::{codes::CODES, duties};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

const PAGE: &str = include_str!("../docs/LIMITS.md");

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A row of a table: what it says, then the names in each of the other columns.
struct Row {
    what: &'static str,
    columns: Vec<Vec<&'static str>>,
}

/// What stands between backticks.
fn names(cell: &'static str) -> Vec<&'static str> {
    cell.split('`').skip(1).step_by(2).collect()
}

fn rows(page: &'static str) -> Vec<Row> {
    let lines = page.lines().filter(|line| line.starts_with('|'));
    let body = lines.filter(|line| !line.starts_with("| what ") && !line.starts_with("|---"));
    body.map(|line| {
        let cells: Vec<_> = line.trim_matches('|').split('|').collect();
        assert_eq!(cells.len(), 5, "{line}");
        Row {
            what: cells[0].trim(),
            columns: cells[1..].iter().map(|cell| names(cell)).collect(),
        }
    })
    .collect()
}

/// Paths of all keys of a schema, without indices.
fn keys(schema: &Value, path: &str, found: &mut BTreeSet<String>) {
    for (name, inner) in schema["properties"].as_object().into_iter().flatten() {
        let inner_path = if path.is_empty() {
            name.clone()
        } else {
            format!("{path}.{name}")
        };
        keys(inner, &inner_path, found);
        found.insert(inner_path);
    }
    if let Some(items) = schema.get("items") {
        keys(items, path, found);
    }
    for choice in schema["anyOf"].as_array().into_iter().flatten() {
        keys(choice, path, found);
    }
}

fn has_test(name: &str) -> bool {
    let (file, test) = name.split_once("::").unwrap_or((name, ""));
    let Ok(text) = fs::read_to_string(root().join(file)) else {
        return false;
    };
    file.starts_with("tests/") && (test.is_empty() || text.contains(&format!("fn {test}(")))
}

/// What is named in a column and is not there.
fn missing(column: usize, is_there: impl Fn(&str) -> bool) -> Vec<String> {
    let rows = rows(PAGE);
    let named = rows
        .iter()
        .flat_map(|row| row.columns[column].iter().map(|name| (row.what, *name)));
    let lost = named.filter(|(_, name)| !is_there(name));
    lost.map(|(what, name)| format!("{name}: {what}")).collect()
}

#[test]
fn every_row_names_a_file_a_key_a_code_and_a_test() {
    let rows = rows(PAGE);
    assert!(rows.len() >= 60, "{} rows", rows.len());
    for row in rows {
        assert!(
            row.columns.iter().all(|names| !names.is_empty()),
            "{}",
            row.what
        );
    }
}

#[test]
fn every_file_is_there() {
    let src = root().join("src");
    let lost = missing(0, |name| Path::new(&src.join(name)).is_file());
    assert!(lost.is_empty(), "{lost:#?}");
}

#[test]
fn every_key_is_there() {
    let mut all = BTreeSet::new();
    keys(&sowrota::scenario::schema::scenario(), "", &mut all);
    assert!(all.len() > 100, "{} keys", all.len());
    let lost = missing(1, |name| all.contains(name));
    assert!(lost.is_empty(), "{lost:#?}");
}

#[test]
fn every_code_is_there() {
    let all = || CODES.iter().chain(duties::codes::CODES);
    let lost = missing(2, |name| all().any(|(code, _)| *code == name));
    assert!(lost.is_empty(), "{lost:#?}");
}

#[test]
fn every_test_is_there() {
    let lost = missing(3, has_test);
    assert!(lost.is_empty(), "{lost:#?}");
}

/// Each file of a rule limits something, so that the page names it.
#[test]
fn no_rule_is_forgotten() {
    let named: BTreeSet<_> = rows(PAGE)
        .iter()
        .flat_map(|row| row.columns[0].clone())
        .collect();
    for entry in fs::read_dir(root().join("src/rules")).unwrap() {
        let file = entry.unwrap().file_name().into_string().unwrap();
        let name = format!("rules/{file}");
        assert!(file == "mod.rs" || named.contains(name.as_str()), "{name}");
    }
}

/// The page cannot name what is not there without being noticed.
#[test]
fn a_wrong_name_is_found() {
    assert!(!has_test("tests/limits_page.rs::no_such_test_here"));
    assert!(!has_test("tests/no_such_file.rs"));
    assert!(has_test("tests/limits_page.rs::a_wrong_name_is_found"));
    let row = &rows("| a | `b.rs` | `c`, `d.e` | `A001` | `tests/x.rs` |")[0];
    assert_eq!(row.columns[1], ["c", "d.e"]);
}
