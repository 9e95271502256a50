//! JSON Schema (draft 2020-12) of a scenario as written, generated from the table of keys.

use super::keys::{Group, Key, Need, SCENARIO, Table, What};
use serde_json::{Map, Value, json};

const DAY: &str = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$";
const SPAN: &str = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}(/[0-9]{4}-[0-9]{2}-[0-9]{2})?$";
const TIME: &str = r"^([01][0-9]|2[0-3]):[0-5][0-9]$";
// Any sign but blanks and ASCII punctuation other than `-`, `.` and `_`: no class by name, since
// programs differ in those.
const ID: &str = r"^[^\s!-,/:-@\[-^`{-~]{1,40}$";

/// The schema of the file that a person writes. Numbers of decimals, references between sections
/// and order of days are checked by [`super::read`] only.
pub fn scenario() -> Value {
    let mut schema = object(&SCENARIO);
    schema.insert(
        "$schema".to_owned(),
        json!("https://json-schema.org/draft/2020-12/schema"),
    );
    schema.insert(
        "title".to_owned(),
        json!("A rice-seedling nursery, as written"),
    );
    Value::Object(schema)
}

fn object(table: &Table) -> Map<String, Value> {
    let properties: Map<String, Value> = table
        .keys
        .iter()
        .map(|key| (key.name.to_owned(), property(key)))
        .collect();
    let required: Vec<&str> = table
        .keys
        .iter()
        .filter(|key| matches!(key.need, Need::Required))
        .map(|key| key.name)
        .collect();
    let mut schema = Map::new();
    schema.insert("type".to_owned(), json!("object"));
    schema.insert("additionalProperties".to_owned(), json!(false));
    schema.insert("properties".to_owned(), Value::Object(properties));
    if !required.is_empty() {
        schema.insert("required".to_owned(), json!(required));
    }
    let groups: Vec<Value> = table.groups.iter().map(group).collect();
    if !groups.is_empty() {
        schema.insert("allOf".to_owned(), json!(groups));
    }
    schema
}

/// Exactly one set of keys, whole; or none where there is a default.
fn group(group: &Group) -> Value {
    let all: Vec<&str> = group
        .sets
        .iter()
        .flat_map(|set| set.iter().copied())
        .collect();
    let without = |kept: &[&str]| -> Map<String, Value> {
        let others = all.iter().filter(|name| !kept.contains(name));
        others
            .map(|name| ((*name).to_owned(), json!(false)))
            .collect()
    };
    let mut choices: Vec<Value> = group
        .sets
        .iter()
        .map(|set| json!({ "required": set, "properties": without(set) }))
        .collect();
    if !group.unless.is_empty() {
        choices.push(json!({ "required": group.unless, "properties": without(&[]) }));
    }
    if !group.default.is_empty() {
        choices.push(json!({ "properties": without(&[]) }));
    }
    json!({ "oneOf": choices })
}

fn property(key: &Key) -> Value {
    let mut schema = what(&key.what);
    let unit = if key.unit.is_empty() {
        String::new()
    } else {
        format!(" [{}]", key.unit)
    };
    let left_out = match key.need {
        Need::Default(text, source) if !source.is_empty() => {
            let value: Value = serde_json::from_str(text).unwrap_or(Value::Null);
            schema.insert("default".to_owned(), value);
            format!(". Default: {source}")
        }
        Need::Follows { rule, source, .. } => format!(". Default: {rule} ({source})"),
        Need::Unless { rule, .. } => format!(". Left out: {rule}; else it must be there"),
        _ => String::new(),
    };
    let refers = match key.what {
        What::Ref(section) => format!(": an id of `{}`", section.key()),
        What::Refs(section) => format!(": ids of `{}`", section.key()),
        What::Decimal { places, .. } => format!("; up to {places} decimals"),
        _ => String::new(),
    };
    schema.insert(
        "description".to_owned(),
        json!(format!("{}{unit}{refers}{left_out}", key.meaning)),
    );
    Value::Object(schema)
}

fn what(what: &What) -> Map<String, Value> {
    let schema = match *what {
        What::Text | What::Called(_) => {
            json!({ "type": "string", "minLength": 1, "maxLength": 200 })
        }
        What::Id(_) | What::Ref(_) => json!({ "type": "string", "pattern": ID }),
        What::Refs(_) => json!({ "anyOf": [
            { "type": "array", "uniqueItems": true, "items": { "type": "string", "pattern": ID } },
            { "type": "string" }
        ]}),
        What::Integer(min, max) => json!({ "type": "integer", "minimum": min, "maximum": max }),
        What::Decimal { places, min, max } => {
            let one = 10f64.powi(places as i32);
            json!({ "type": "number", "minimum": min as f64 / one, "maximum": max as f64 / one })
        }
        What::Day => json!({ "type": "string", "pattern": DAY }),
        What::Span => json!({ "type": "string", "pattern": SPAN }),
        What::Spans { least } => json!({ "anyOf": [
            { "type": "array", "minItems": least, "uniqueItems": true,
              "items": { "type": "string", "pattern": SPAN } },
            { "type": "string" }
        ]}),
        What::Clock(_) => json!({ "type": "string", "pattern": TIME }),
        What::Flag => json!({ "type": "boolean" }),
        What::Choice(words) => json!({ "enum": words }),
        What::Choices { of, least } => json!({
            "type": "array", "minItems": least, "uniqueItems": true, "items": { "enum": of }
        }),
        What::Object(table) => Value::Object(object(table)),
        What::List { of, least } => list(of, least),
        What::Rows { of, least } => json!({ "anyOf": [list(of, least), file()] }),
        What::Weather(constant, row) => {
            json!({ "anyOf": [Value::Object(object(constant)), list(row, 1), file()] })
        }
    };
    match schema {
        Value::Object(schema) => schema,
        _ => Map::new(),
    }
}

fn list(of: &Table, least: usize) -> Value {
    json!({ "type": "array", "minItems": least, "items": object(of) })
}

fn file() -> Value {
    json!({ "type": "string", "description": "name of a CSV file beside the scenario" })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every object with `properties`, at any depth.
    fn objects<'a>(schema: &'a Value, found: &mut Vec<&'a Map<String, Value>>) {
        match schema {
            Value::Object(map) => {
                if map.contains_key("additionalProperties") {
                    found.push(map);
                }
                map.values().for_each(|value| objects(value, found));
            }
            Value::Array(list) => list.iter().for_each(|value| objects(value, found)),
            _ => {}
        }
    }

    #[test]
    fn every_key_has_a_meaning_and_every_default_fits_its_type() {
        let schema = scenario();
        let mut found = Vec::new();
        objects(&schema, &mut found);
        assert!(found.len() > 30);
        for object in found {
            let properties = object["properties"].as_object().unwrap();
            assert!(!properties.is_empty());
            for (name, property) in properties {
                assert!(
                    property["description"]
                        .as_str()
                        .is_some_and(|text| text.len() > 3),
                    "{name}"
                );
                let Some(default) = property.get("default") else {
                    continue;
                };
                match property["type"].as_str() {
                    Some("integer") => assert!(default.is_i64(), "{name}"),
                    Some("number") => {
                        let value = default.as_f64().unwrap();
                        assert!(property["minimum"].as_f64().unwrap() <= value, "{name}");
                        assert!(value <= property["maximum"].as_f64().unwrap(), "{name}");
                    }
                    Some("string") => assert!(default.is_string(), "{name}"),
                    Some("boolean") => assert!(default.is_boolean(), "{name}"),
                    Some("array") => assert!(default.is_array(), "{name}"),
                    Some("object") => assert!(default.is_object(), "{name}"),
                    _ => assert!(
                        property["enum"]
                            .as_array()
                            .is_none_or(|words| words.contains(default)),
                        "{name}"
                    ),
                }
            }
        }
    }

    #[test]
    fn sets_of_keys_exclude_each_other() {
        let field = &scenario()["properties"]["fields"]["anyOf"][0]["items"];
        let choices = field["allOf"][0]["oneOf"].as_array().unwrap();
        assert_eq!(choices.len(), 3);
        assert_eq!(choices[2]["required"], json!(["trays", "area_ha"]));
        assert_eq!(choices[2]["properties"]["mats_per_ha"], json!(false));
        assert_eq!(choices[0]["required"], json!(["mats_per_ha"]));
        assert_eq!(choices[0]["properties"]["picks"], json!(false));
        assert_eq!(choices[1]["properties"]["mats_per_ha"], json!(false));
    }
}
