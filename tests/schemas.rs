//! The printed schemas, the page of keys and the types that files are decoded into say the same.

use serde_json::{Map, Value, json};
use sowrota::scenario::{self, Scenario};
use std::collections::BTreeSet;

/// Every key of the scenario, with what a person may write for it.
const FULL: &str = include_str!("full/nursery.json");
const SMALLEST: &str = include_str!("smallest/nursery.json");

fn read(text: &str) -> scenario::Checked {
    scenario::read_bytes("nursery.json", text.as_bytes(), &|_| {
        Err("there is no such file".to_owned())
    })
}

fn complete(text: &str) -> Scenario {
    let checked = read(text);
    assert_eq!(checked.problems.0, []);
    checked.scenario.unwrap()
}

/// Paths of all keys, without indices.
fn keys(value: &Value, path: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (name, value) in map {
                let inner = if path.is_empty() {
                    name.clone()
                } else {
                    format!("{path}.{name}")
                };
                found.insert(inner.clone());
                keys(value, &inner, found);
            }
        }
        Value::Array(list) => list.iter().for_each(|value| keys(value, path, found)),
        _ => {}
    }
}

fn all_keys(value: &Value) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    keys(value, "", &mut found);
    found
}

/// Paths of all keys of a schema, without indices.
fn schema_keys(schema: &Value, path: &str, found: &mut BTreeSet<String>) {
    let Value::Object(map) = schema else { return };
    if map.contains_key("additionalProperties") {
        for (name, inner_schema) in map["properties"].as_object().unwrap() {
            let inner = if path.is_empty() {
                name.clone()
            } else {
                format!("{path}.{name}")
            };
            found.insert(inner.clone());
            schema_keys(inner_schema, &inner, found);
        }
    }
    if let Some(items) = map.get("items") {
        schema_keys(items, path, found);
    }
    for choice in map
        .get("anyOf")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
    {
        schema_keys(choice, path, found);
    }
}

fn all_schema_keys(schema: &Value) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    schema_keys(schema, "", &mut found);
    found
}

#[test]
fn the_full_file_holds_every_key_of_the_schema() {
    complete(FULL);
    let mut written = all_keys(&serde_json::from_str(FULL).unwrap());
    // The other way to write the weather.
    let schema = all_schema_keys(&scenario::schema::scenario());
    written.insert("weather.date".to_owned());
    // The other way to write the warmth at the edge, which stands once in a file.
    written.insert("edge.own_c".to_owned());
    let missing: Vec<_> = schema.difference(&written).collect();
    assert_eq!(missing, Vec::<&String>::new());
    let unknown: Vec<_> = written.difference(&schema).collect();
    assert_eq!(unknown, Vec::<&String>::new());
}

#[test]
fn the_table_of_keys_and_the_types_agree() {
    // What is written in another form than it is kept.
    let as_kept = |key: &str| -> Option<String> {
        match key {
            "closed_days" | "closed_days.calendar" | "closed_days.days" | "closed_days.note" => {
                None
            }
            "crews.shift_start" => Some("crews.shift_start_minute".to_owned()),
            "crews.spans.shift_start" => Some("crews.spans.shift_start_minute".to_owned()),
            "duty.late_from" => Some("duty.late_from_minute".to_owned()),
            "duty.night_watch.start" => Some("duty.night_watch.start_minute".to_owned()),
            "fields.mats_per_ha" => Some("fields.mats.given".to_owned()),
            "germination.temperature.own_c" => Some("germination.temperature.own".to_owned()),
            "beds.temperature.own_c" => Some("beds.temperature.own".to_owned()),
            // The full file gives the edge its two offsets.
            "edge.own_c" => None,
            _ => Some(match key.rsplit_once('.') {
                Some(("fields", last @ ("row_cm" | "hill_cm" | "picks" | "feed_mm"))) => {
                    format!("fields.mats.spacing.{last}")
                }
                Some((place @ ("germination.temperature" | "beds.temperature" | "edge"), last)) => {
                    format!("{place}.outdoors.{last}")
                }
                _ => key.to_owned(),
            }),
        }
    };
    let mut table: BTreeSet<String> = all_schema_keys(&scenario::schema::scenario())
        .iter()
        .filter_map(|key| as_kept(key))
        .collect();
    for wrapper in [
        "fields.mats",
        "fields.mats.spacing",
        "germination.temperature.outdoors",
        "beds.temperature.outdoors",
        "edge.outdoors",
    ] {
        table.insert(wrapper.to_owned());
    }
    let all_kept = all_keys(&serde_json::to_value(complete(FULL)).unwrap());
    // What the reader makes of order lines, and nobody writes.
    let made = |key: &&String| {
        let aside = key.split('.').next() == Some("not_firm");
        aside || *key == "fields.spare"
    };
    assert!(all_kept.iter().filter(made).count() > 20);
    let kept: BTreeSet<String> = all_kept.iter().filter(|key| !made(key)).cloned().collect();
    assert_eq!(
        kept.difference(&table).collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
    assert_eq!(
        table.difference(&kept).collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
    // The smallest file is completed to the same keys, apart from entries that it has not.
    let smallest = all_keys(&serde_json::to_value(complete(SMALLEST)).unwrap());
    assert_eq!(
        smallest.difference(&all_kept).collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
    for key in [
        "kinds.growth.ceiling_c",
        "work.care.per",
        "prices.short_per_tray",
        "opening.dirty_trays",
    ] {
        assert!(smallest.contains(key), "{key}");
    }
}

#[test]
fn the_page_of_keys_names_every_key() {
    let page = scenario::page::markdown();
    for key in all_schema_keys(&scenario::schema::scenario()) {
        let name = key.rsplit('.').next().unwrap();
        assert!(page.contains(&format!("| `{name}` |")), "{key}");
    }
}

/// A value that a schema of ours allows, made from the schema alone.
fn example(schema: &Value) -> Value {
    if let Some(choice) = schema.get("anyOf") {
        return example(&choice[0]);
    }
    if let Some(value) = schema.get("const") {
        return value.clone();
    }
    if let Some(words) = schema.get("enum") {
        return words[0].clone();
    }
    match schema["type"].as_str().unwrap() {
        "array" => json!([example(&schema["items"])]),
        "integer" => schema["minimum"].clone(),
        "number" => json!(1.5),
        "string" => match schema.get("pattern").and_then(Value::as_str) {
            Some(pattern) if pattern.contains("W") => json!("2027-W05"),
            Some(pattern) if pattern.contains("a-f") => json!("0".repeat(64)),
            Some(_) => json!("2027-05-08"),
            None => json!("a"),
        },
        _ => match schema.get("properties").and_then(Value::as_object) {
            Some(properties) => {
                let made: Map<String, Value> = properties
                    .iter()
                    .map(|(name, schema)| (name.clone(), example(schema)))
                    .collect();
                Value::Object(made)
            }
            None => serde_json::to_value(complete(SMALLEST)).unwrap(),
        },
    }
}

#[test]
fn the_schema_of_a_plan_and_the_type_agree() {
    let schema = sowrota::plan::schema::plan();
    let made = example(&schema);
    // Decoding refuses an unknown or a missing key; encoding again writes every key of the type.
    let plan: sowrota::plan::Plan = serde_json::from_value(made.clone()).unwrap();
    let mut again = serde_json::to_value(&plan).unwrap();
    let mut made = made;
    made["scenario"].take();
    again["scenario"].take();
    assert_eq!(all_keys(&again), all_keys(&made));
    assert_eq!(again, made);
}
