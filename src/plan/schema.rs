//! JSON Schema (draft 2020-12) of a plan.

use super::types::FORMAT;
use serde_json::{Map, Value, json};

/// The schema of a plan as written and read again.
pub fn plan() -> Value {
    let mut schema = object(&[
        (
            "format",
            json!({ "const": FORMAT, "description": "says that the file is a plan" }),
        ),
        (
            "revision",
            whole(1, "1 for the first plan in a folder; a new one counts on"),
        ),
        (
            "scenario_sha256",
            json!({
                "type": "string",
                "pattern": "^[0-9a-f]{64}$",
                "description": "SHA-256 of the completed scenario's compact JSON"
            }),
        ),
        (
            "scenario",
            json!({
                "type": "object",
                "description": "the completed scenario: every default filled in"
            }),
        ),
        (
            "runs",
            list(run(), "runs by sow day, line and place in the day's order"),
        ),
        (
            "deliveries",
            list(delivery(), "deliveries by day, field and part"),
        ),
        ("washing", list(washing(), "trays washed, by day")),
        (
            "bought",
            list(bought(), "people's time bought, by day and crew"),
        ),
        (
            "people",
            list(people_week(), "people and hours by crew and ISO week"),
        ),
        (
            "shortfalls",
            list(shortfall(), "what is not grown, by field and part"),
        ),
        ("cost", cost()),
        (
            "bound",
            or_null(money(
                "proved lower bound on cost with the price of trays short",
            )),
        ),
        (
            "ended_by",
            json!({
                "enum": ["moves", "bound", "nothing_to_decide", "stopped", "by_hand", "kept", "given"],
                "description": "what ended the search"
            }),
        ),
    ]);
    schema["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    schema["title"] = json!("A day-by-day plan of a rice-seedling nursery");
    schema
}

fn run() -> Value {
    object(&[
        ("id", text("R001, R002, … in the order of the plan")),
        (
            "line",
            or_null(text("line; null for trays sown before the first day")),
        ),
        ("kind", text("kind")),
        ("soak", or_null(day("soaking begins"))),
        (
            "drain",
            or_null(day("seed is drained and begins to sprout")),
        ),
        ("sow", day("sow day")),
        (
            "place_in_day",
            whole(0, "place in the line's order of that day, from 1"),
        ),
        ("trays", whole(0, "trays for fields")),
        ("trial_trays", whole(0, "trial trays beside them")),
        (
            "thrown_trays",
            whole(0, "first trays thrown out because of the kind before"),
        ),
        (
            "stacks",
            list(
                run_stacks(),
                "stacks by place; trial trays stand in the first",
            ),
        ),
    ])
}

fn run_stacks() -> Value {
    object(&[
        ("germination", text("germination place")),
        ("trays", whole(0, "sown trays, trial trays included")),
        ("stacks", whole(0, "stacks, the last one perhaps not full")),
        ("open", day("day on which they are opened")),
    ])
}

fn delivery() -> Value {
    object(&[
        ("run", text("the run that they are sown in")),
        ("field", text("field")),
        ("part", whole(1, "part of the field")),
        ("trays", whole(0, "trays that leave")),
        (
            "sown",
            or_null(whole(0, "trays sown for it, when some are lost on the way")),
        ),
        (
            "germination",
            or_null(text("germination place; null for handed-over seed")),
        ),
        (
            "green_bed",
            or_null(text(
                "bed under the first cover; null for what leaves before",
            )),
        ),
        ("harden_bed", or_null(text("bed until planting"))),
        ("green_rows", list(whole(1, "row"), "rows of the green bed")),
        (
            "harden_rows",
            list(
                whole(1, "row"),
                "rows of the harden bed, when it is another",
            ),
        ),
        ("open", day("out of the stack")),
        ("harden", day("first day of hardening")),
        (
            "leaves",
            or_null(day(
                "day on which the trays leave, when that is before `day`",
            )),
        ),
        ("day", day("planted, or handed over")),
        (
            "age",
            json!({ "type": "number", "description": "age on that day on the kind's clock" }),
        ),
        (
            "promised",
            or_null(day("day told to the grower, once it was told")),
        ),
    ])
}

fn washing() -> Value {
    object(&[("day", day("day")), ("trays", whole(0, "trays washed"))])
}

fn bought() -> Value {
    object(&[
        ("day", day("day")),
        ("crew", text("crew")),
        (
            "what",
            json!({ "enum": ["overtime", "rest_day"], "description": "what is bought" }),
        ),
        ("minutes", whole(0, "whole person-minutes")),
        ("cost", money("price of them")),
    ])
}

fn people_week() -> Value {
    object(&[
        ("crew", text("crew")),
        (
            "week",
            json!({
                "type": "string",
                "pattern": "^[0-9]{4}-W[0-9]{2}$",
                "description": "ISO 8601 week"
            }),
        ),
        ("people", whole(0, "regular staff on its working days")),
        ("casual", whole(0, "people hired for the week")),
        ("needed_minutes", whole(0, "person-minutes of work")),
        ("shift_minutes", whole(0, "person-minutes of the shifts")),
        ("bought_minutes", whole(0, "person-minutes bought")),
    ])
}

fn shortfall() -> Value {
    object(&[
        ("field", text("field")),
        ("part", whole(1, "part of the field")),
        ("trays", whole(0, "trays not grown")),
        ("reason", text("why")),
        ("help", or_null(text("what would help"))),
        (
            "decide_by",
            or_null(day("last day on which growing it can still be decided")),
        ),
    ])
}

fn cost() -> Value {
    object(&[
        ("age", money("age off the target")),
        ("off_preferred", money("days off the preferred day")),
        ("edge", money("waiting at the edges of fields")),
        ("moves", money("moves from bed to bed")),
        ("splits", money("parts of one field from several runs")),
        ("set_ups", money("set-ups of the lines")),
        ("overtime", money("overtime")),
        ("rest_days", money("days off worked")),
        ("casuals", money("people hired by the week")),
        ("changes", money("changes of the number of people hired")),
        (
            "moved",
            money("planting days moved that had been promised or planned"),
        ),
        ("total", money("sum of the terms above")),
        ("trays_short", whole(0, "trays not grown")),
        (
            "short_per_tray",
            money("price that the search put on each of them"),
        ),
        (
            "shortage",
            or_null(money("price of all trays short as `sharing` weighs them")),
        ),
    ])
}

/// An object with exactly these keys; all of them are always written.
fn object(keys: &[(&str, Value)]) -> Value {
    let names: Vec<&str> = keys.iter().map(|(name, _)| *name).collect();
    let properties: Map<String, Value> = keys
        .iter()
        .map(|(name, value)| ((*name).to_owned(), value.clone()))
        .collect();
    json!({
        "type": "object",
        "additionalProperties": false,
        "required": names,
        "properties": properties
    })
}

fn list(of: Value, meaning: &str) -> Value {
    json!({ "type": "array", "items": of, "description": meaning })
}

fn text(meaning: &str) -> Value {
    json!({ "type": "string", "description": meaning })
}

fn whole(least: i64, meaning: &str) -> Value {
    json!({ "type": "integer", "minimum": least, "description": meaning })
}

fn money(meaning: &str) -> Value {
    json!({ "type": "number", "description": format!("{meaning}, in the scenario's currency") })
}

fn day(meaning: &str) -> Value {
    json!({ "type": "string", "pattern": r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "description": meaning })
}

fn or_null(schema: Value) -> Value {
    json!({ "anyOf": [schema, { "type": "null" }] })
}
