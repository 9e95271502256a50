//! The last step from the walk to the form of the completed scenario: closed days go into the
//! calendars, and one pair of temperatures becomes a row for each day.

use super::codes;
use super::cross::LONGEST_HORIZON;
use super::gather::Gather;
use crate::calendar::{Day, DayRange};
use crate::problems::Severity;
use serde_json::{Map, Value, json};

/// The completed scenario's JSON from what the walk has left.
pub fn complete(gather: &mut Gather, mut root: Map<String, Value>) -> Value {
    close_days(&mut root);
    spread_weather(gather, &mut root);
    Value::Object(root)
}

fn close_days(root: &mut Map<String, Value>) {
    let closed = match root.remove("closed_days") {
        Some(Value::Array(closed)) => closed,
        _ => return,
    };
    let Some(Value::Object(calendars)) = root.get_mut("calendars") else {
        return;
    };
    for entry in closed {
        let (Some(work), Some(days)) = (entry.get("calendar"), entry.get("days")) else {
            continue;
        };
        for (name, calendar) in calendars.iter_mut() {
            let meant = work == "all" || work == name.as_str();
            if let (true, Some(Value::Array(spans))) = (meant, calendar.get_mut("closed")) {
                spans.push(days.clone());
            }
        }
    }
}

/// First and last day on which a temperature can be asked for: from the earliest sow day of the
/// opening, or the first day of the horizon, to the last.
pub fn days_needed(horizon: DayRange, sown: impl IntoIterator<Item = Day>) -> DayRange {
    let first = sown.into_iter().fold(horizon.first, Day::min);
    DayRange {
        first,
        last: horizon.last,
    }
}

fn spread_weather(gather: &mut Gather, root: &mut Map<String, Value>) {
    let rows = match root.remove("weather") {
        None => json!([]),
        Some(Value::Object(constant)) => {
            let day = |value: Option<&Value>| {
                value
                    .and_then(Value::as_str)
                    .and_then(|text| Day::parse(text).ok())
            };
            let horizon = root
                .get("horizon")
                .and_then(Value::as_str)
                .and_then(|text| DayRange::parse(text).ok());
            let sown = root
                .get("opening")
                .and_then(|opening| opening.get("sown")?.as_array().cloned());
            let sown = sown
                .unwrap_or_default()
                .into_iter()
                .filter_map(|entry| day(entry.get("sown")));
            let usual = |span: &DayRange| span.days() <= 2 * LONGEST_HORIZON;
            match horizon
                .map(|horizon| days_needed(horizon, sown))
                .filter(usual)
            {
                Some(span) => {
                    let row = |day: Day| json!({ "date": day.to_string(), "min_c": constant.get("min_c"), "max_c": constant.get("max_c") });
                    let (low, high) = (constant.get("min_c"), constant.get("max_c"));
                    if low.and_then(Value::as_f64) > high.and_then(Value::as_f64) {
                        let message = "the lowest temperature is above the highest";
                        gather.flag(
                            Severity::Error,
                            codes::WEATHER_ORDER,
                            &["weather.min_c", "weather.max_c"],
                            message,
                        );
                        gather.mark_bad("weather");
                    }
                    Value::Array(span.iter().map(row).collect())
                }
                None => {
                    // The horizon is a problem itself, told where it is checked.
                    gather.mark_bad("weather");
                    json!([])
                }
            }
        }
        Some(rows) => rows,
    };
    root.insert("weather".to_owned(), rows);
}
