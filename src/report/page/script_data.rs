//! What the script shows when something is clicked: lots and sheets as JSON that cannot end its element.

use super::data::{Data, Lot};
use crate::report::text::short_day;
use serde_json::{Value, json};

/// The data as the text of an inert element.
pub(super) fn text(data: &Data) -> String {
    let sheets: serde_json::Map<String, Value> = data
        .sheets
        .iter()
        .map(|sheet| {
            let parts = sheet.parts.iter();
            let parts: Vec<Value> = parts.map(|part| json!([part.title, part.lines])).collect();
            (sheet.day.to_string(), Value::from(parts))
        })
        .collect();
    let lots: Vec<Value> = data
        .lots
        .iter()
        .map(|lot| lot_of(lot, data.seasons.get(lot.season)))
        .collect();
    harmless(&json!({ "lots": lots, "sheets": sheets }).to_string())
}

/// JSON in which no sign can be taken for markup or for the end of a line of a script.
fn harmless(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for sign in json.chars() {
        match sign {
            '<' | '>' | '&' | '\u{2028}' | '\u{2029}' => {
                out.push_str(&format!("\\u{:04x}", u32::from(sign)));
            }
            _ => out.push(sign),
        }
    }
    out
}

fn lot_of(lot: &Lot, season: Option<&String>) -> Value {
    let window = lot.window.iter();
    let window: Vec<String> = window
        .map(|span| match span.first == span.last {
            true => short_day(span.first),
            false => format!("{} to {}", short_day(span.first), short_day(span.last)),
        })
        .collect();
    let mut story = vec![
        ("run", lot.run.clone()),
        ("soaked", lot.soak.map_or(String::new(), short_day)),
        ("drained", lot.drain.map_or(String::new(), short_day)),
        (
            "sown",
            format!("{}, {} trays", short_day(lot.sow), lot.sown),
        ),
        (
            "out of the stack",
            lot.open.map_or(String::new(), short_day),
        ),
        (
            "hardening from",
            lot.harden.map_or(String::new(), short_day),
        ),
        (
            "leaves",
            format!("{}, {} trays", short_day(lot.leaves), lot.trays),
        ),
        (lot.ends, short_day(lot.day)),
        (
            "told to the grower",
            lot.promised.map_or("not yet".into(), short_day),
        ),
        ("may be planted", window.join("; ")),
        (
            "best day for the grower",
            lot.preferred.map_or(String::new(), short_day),
        ),
        ("age", lot.age.clone()),
        ("stands in", lot.places.join(", then ")),
    ];
    story.retain(|(_, words)| !words.is_empty());
    json!({
        "name": lot.name, "grower": lot.grower, "kind": lot.kind, "season": season,
        "trays": lot.trays, "sow": lot.sow, "day": lot.day, "age": lot.day.since(lot.sow), "told": lot.promised == Some(lot.day),
        "last": lot.window.last().map(|span| span.last),
        "story": story, "cost": lot.cost,
        "why": lot.why.as_ref().map(|why| &why.lines),
    })
}

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn json_cannot_end_its_element() {
        let name = "</script><!--\u{2028}&\"'\\";
        let text = harmless(&serde_json::json!({ "name": name }).to_string());
        assert!(!text.contains(['<', '>', '&', '\u{2028}']), "{text}");
        let back: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(back["name"], name);
    }
}
