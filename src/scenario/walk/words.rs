//! Words for problems and defaults.

use crate::calendar::Day;
use crate::scenario::tree::{Node, Value};
use serde_json::{Value as Json, json};

/// `path.name`, or `name` at the top.
pub fn join(path: &str, name: &str) -> String {
    if path.is_empty() {
        name.to_owned()
    } else {
        format!("{path}.{name}")
    }
}

/// At most forty signs of a text, for a message.
pub fn short(text: &str) -> String {
    let clean: String = text
        .chars()
        .map(|sign| if sign.is_control() { '\u{fffd}' } else { sign })
        .collect();
    if clean.chars().count() <= 40 {
        return clean;
    }
    clean.chars().take(37).chain("...".chars()).collect()
}

/// At most twelve names.
pub fn list<'n>(names: impl IntoIterator<Item = &'n str>) -> String {
    let mut names: Vec<&str> = names.into_iter().collect();
    let rest = names.len().saturating_sub(12);
    if rest > 0 {
        names.truncate(12);
    }
    let mut text = names.join(", ");
    if rest > 0 {
        text.push_str(&format!(" and {rest} more"));
    }
    text
}

pub fn words_and(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

/// What stands there, in words.
pub fn found(node: &Node) -> String {
    match &node.value {
        Value::Null => "found `null`".to_owned(),
        Value::Truth(truth) => format!("found `{truth}`"),
        Value::Number(text) => format!("found the number {}", short(text)),
        Value::Text(text) | Value::Cell(text) => format!("found the text `{}`", short(text)),
        Value::List(_) => "found a list".to_owned(),
        Value::Object(_) => "found an object".to_owned(),
    }
}

pub fn number(value: i64, places: u32) -> Json {
    let one = 10i64.pow(places);
    if value % one == 0 {
        json!(value / one)
    } else {
        json!(value as f64 / one as f64)
    }
}

/// The days that a loosely written text seems to mean: year first, with any of `-`, `/`, `.` between.
pub fn tidy_days(text: &str) -> Option<String> {
    let numbers: Vec<&str> = text
        .split(|sign: char| !sign.is_ascii_digit())
        .filter(|part| !part.is_empty())
        .collect();
    let day = |parts: &[&str]| -> Option<Day> {
        let [year, month, day] = parts else {
            return None;
        };
        if year.len() != 4 || month.len() > 2 || day.len() > 2 {
            return None;
        }
        Day::from_ymd(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?).ok()
    };
    match numbers.len() {
        3 => day(&numbers).map(|day| day.to_string()),
        6 => Some(format!("{}/{}", day(&numbers[..3])?, day(&numbers[3..])?)),
        _ => None,
    }
}

/// A value as a line for people.
pub fn spoken(value: &Json) -> String {
    match value {
        Json::String(text) => text.clone(),
        Json::Array(values) if values.is_empty() => "none".to_owned(),
        Json::Array(values) => values.iter().map(spoken).collect::<Vec<_>>().join(", "),
        Json::Object(pairs) => {
            // In the order of the table is in the order of the alphabet here; the names say enough.
            let words: Vec<String> = pairs
                .iter()
                .map(|(name, value)| format!("{name} {}", spoken(value)))
                .collect();
            words.join(", ")
        }
        Json::Number(number) => match number.as_i64() {
            Some(whole) => whole.to_string(),
            None => {
                let value = number.as_f64().unwrap_or(0.0);
                crate::units::Fixed::<6>::nearest(value)
                    .map_or_else(|| number.to_string(), |fixed| fixed.to_string())
            }
        },
        other => other.to_string(),
    }
}
