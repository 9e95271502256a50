//! From a file or a folder to a completed scenario, with every problem and every default on the way.

use super::codes;
use super::complete::complete;
use super::cross;
use super::gather::{At, Gather};
use super::keys::SCENARIO;
use super::types::Scenario;
use super::walk::Walk;
use super::{spare, table, tree};
use crate::files::{self, FileError};
use crate::problems::Problems;
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::path::Path;

/// Name of the scenario's file inside its folder.
pub const FILE: &str = "nursery.json";

/// What the format of every plan begins with, and its usual name.
const PLAN_MARK: &str = "sowrota-plan/";
const PLAN_FILE: &str = "plan.json";

/// Reads a table by the name that the scenario gives it; the error is a reason in words.
pub type Tables<'a> = dyn Fn(&str) -> Result<Vec<u8>, String> + 'a;

/// A value that was not written and is taken as usual.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DefaultUsed {
    /// Path of the key: `kinds[0].wet_ratio`.
    pub path: String,
    /// What is taken.
    pub value: String,
    /// On whose word.
    pub source: String,
}

/// A scenario as read.
#[derive(Clone, Debug, PartialEq)]
pub struct Checked {
    /// The completed scenario, when no problem is an error.
    pub scenario: Option<Scenario>,
    /// What is wrong or odd, by file and line.
    pub problems: Problems,
    /// What was taken for keys that were left out.
    pub defaults: Vec<DefaultUsed>,
}

/// Reads the scenario in a file, or in [`FILE`] of a folder; tables are looked for beside it.
///
/// # Errors
/// When the file itself cannot be read. A table that cannot be read is a problem of the scenario.
pub fn read(path: &Path) -> Result<Checked, FileError> {
    let file = if path.is_dir() {
        let file = path.join(FILE);
        let plan = path.join(PLAN_FILE);
        // A folder with a plan alone: what is in it says so.
        if plan.is_file() && !file.exists() {
            plan
        } else {
            file
        }
    } else {
        path.to_path_buf()
    };
    let bytes = files::read(&file)?;
    let folder = file.parent().unwrap_or(Path::new("")).to_path_buf();
    let name = file
        .file_name()
        .map_or_else(|| FILE.into(), |name| name.to_string_lossy().into_owned());
    let tables = |table: &str| {
        std::fs::read(folder.join(table)).map_err(|error| match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
            _ => error.to_string(),
        })
    };
    Ok(read_bytes(&name, &bytes, &tables))
}

/// Reads a scenario from the bytes of its file; `tables` gives the bytes of the tables that it names.
pub fn read_bytes(name: &str, bytes: &[u8], tables: &Tables) -> Checked {
    let mut walk = Walk::new(tables);
    let scenario = read_into(&mut walk, name, bytes);
    let Walk {
        gather, defaults, ..
    } = walk;
    let scenario = scenario.filter(|_| !gather.any_error());
    Checked {
        scenario,
        problems: gather.finish(),
        defaults,
    }
}

fn read_into(walk: &mut Walk, name: &str, bytes: &[u8]) -> Option<Scenario> {
    let (source, text) = table::text(&mut walk.gather, name, bytes)?;
    let node = match tree::parse(&text) {
        Ok(node) => node,
        Err(fault) => {
            let at = At {
                source,
                spot: Some(tree::Spot::Byte(fault.byte)),
            };
            let problem = walk.gather.error(fault.code, at, None, fault.message);
            if let Some(help) = fault.help {
                problem.help(help);
            }
            return None;
        }
    };
    if plan(&mut walk.gather, source, &node) {
        return None;
    }
    walk.scenario(source, &node, &SCENARIO);
    if walk.root.is_empty() {
        return None;
    }
    let root = std::mem::take(&mut walk.root);
    let completed = complete(&mut walk.gather, root);
    let mut scenario: Scenario = match serde_json::from_value(completed) {
        Ok(scenario) => scenario,
        Err(error) => {
            internal(&mut walk.gather, source, &error.to_string());
            return None;
        }
    };
    // Behind those of the file, whose places go by their index.
    let spare = spare::fields(&scenario);
    scenario.fields.extend(spare);
    cross::check(&mut walk.gather, &scenario);
    spare::settle(&mut scenario);
    scenario.weather.sort_by_key(|day| day.date);
    cross::trim_weather(&mut scenario);
    Some(scenario)
}

/// Tells when the file is a plan.
fn plan(gather: &mut Gather, source: usize, node: &tree::Node) -> bool {
    let tree::Value::Object(pairs) = &node.value else {
        return false;
    };
    let format = pairs.iter().find(|(name, ..)| name == "format");
    let Some((_, _, node)) = format else {
        return false;
    };
    let is_plan = matches!(&node.value, tree::Value::Text(text) if text.starts_with(PLAN_MARK));
    if is_plan {
        let at = At {
            source,
            spot: Some(node.spot),
        };
        gather
            .error(
                codes::A_PLAN,
                at,
                Some("format"),
                "this file is a plan, not a scenario",
            )
            .expected(format!("a nursery's folder, or its {FILE}"))
            .help("`sowrota audit` counts a plan again, `sowrota day` prints a day of it");
    }
    is_plan
}

fn internal(gather: &mut Gather, source: usize, reason: &str) {
    if !gather.any_error() {
        gather
            .error(codes::INTERNAL, At { source, spot: None }, None, reason)
            .help("this is a fault of the program, not of the file: please report it");
    }
}

/// SHA-256 of a completed scenario's compact JSON, in hexadecimal digits.
pub fn sha256(scenario: &Scenario) -> String {
    // Writing to memory fails only for maps with keys that are not texts; there are none.
    let json = serde_json::to_vec(scenario).unwrap_or_default();
    Sha256::digest(&json)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SMALLEST: &str = include_str!("../../tests/smallest/nursery.json");

    fn no_tables(_: &str) -> Result<Vec<u8>, String> {
        Err("there is no such file".to_owned())
    }

    fn check(text: &str) -> Checked {
        read_bytes(FILE, text.as_bytes(), &no_tables)
    }

    #[test]
    fn the_smallest_useful_file_is_under_forty_lines_and_complete() {
        assert!(SMALLEST.lines().count() < 40);
        let checked = check(SMALLEST);
        assert_eq!(checked.problems.0, []);
        let scenario = checked.scenario.unwrap();
        assert_eq!(
            scenario
                .fields
                .iter()
                .map(|field| field.id.as_str())
                .collect::<Vec<_>>(),
            ["bank", "mill"]
        );
        assert_eq!(scenario.work.wash.as_ref().unwrap().crew, "all");
        assert_eq!(scenario.crews[0].shift_start_minute, 7 * 60);
        assert!(scenario.weather.is_empty());
    }

    #[test]
    fn a_completed_scenario_reads_again_as_it_is() {
        let scenario = check(SMALLEST).scenario.unwrap();
        let json = serde_json::to_string(&scenario).unwrap();
        let again: Scenario = serde_json::from_str(&json).unwrap();
        assert_eq!(again, scenario);
        assert_eq!(sha256(&again), sha256(&scenario));
        assert_eq!(sha256(&again).len(), 64);
    }

    #[test]
    fn the_order_of_fields_does_not_matter() {
        let mut file: serde_json::Value = serde_json::from_str(SMALLEST).unwrap();
        let one = check(&file.to_string()).scenario.unwrap();
        file["fields"].as_array_mut().unwrap().reverse();
        let two = check(&file.to_string()).scenario.unwrap();
        assert_eq!(sha256(&one), sha256(&two));
    }

    #[test]
    fn every_default_is_listed_with_its_source() {
        let checked = check(SMALLEST);
        let ratio = checked
            .defaults
            .iter()
            .find(|used| used.path == "kinds[1].wet_ratio")
            .unwrap();
        assert_eq!(ratio.value, "1.25");
        assert!(
            checked
                .defaults
                .iter()
                .all(|used| !used.source.trim().is_empty())
        );
        assert!(
            checked
                .defaults
                .iter()
                .any(|used| used.path == "work.care.person_minutes")
        );
        assert!(
            !checked
                .defaults
                .iter()
                .any(|used| used.path.starts_with("kinds[1].seed"))
        );
    }

    #[test]
    fn one_pair_of_temperatures_covers_the_opening_too() {
        let mut file: serde_json::Value = serde_json::from_str(SMALLEST).unwrap();
        file["weather"] = serde_json::json!({ "min_c": 8.25, "max_c": 19 });
        file["opening"] = serde_json::json!({ "sown": [{
            "field": "mill", "sown": "2027-04-01", "trays": 105,
            "germination": "room", "green_bed": "house", "harden_bed": "house"
        }]});
        let checked = check(&file.to_string());
        assert_eq!(checked.problems.0, []);
        let weather = checked.scenario.unwrap().weather;
        assert_eq!(weather.first().unwrap().date.to_string(), "2027-04-01");
        assert_eq!((weather.len(), weather[7].min_c.0), (30 + 31 + 12, 825));
    }
}
