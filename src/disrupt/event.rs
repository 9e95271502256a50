//! What may happen, each a change of the completed scenario: weather, water, line, people, seed, trays, orders.

pub use super::apply::apply;
use crate::calendar::{Day, DayRange};
use crate::scenario::nearest;
use crate::units::{Age, Celsius, Fixed, Hectares, Hours, Share};
use serde::{Deserialize, Serialize};

/// One thing that happens. In a file: an object whose `event` names it; on the command line: the name, then `key=value`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case", deny_unknown_fields)]
pub enum Event {
    /// Rain: nothing is planted on those days, in all fields or in those named or in a block.
    Rain {
        /// First and last day.
        days: DayRange,
        /// Which fields; left out, with `block` left out too: all.
        #[serde(default)]
        fields: Vec<String>,
        /// An irrigation block.
        #[serde(default)]
        block: Option<String>,
    },
    /// Colder (below 0) or warmer outdoors than counted on.
    Warmer {
        /// First and last day.
        days: DayRange,
        /// By so many °C, night and day.
        by_c: Celsius,
    },
    /// The water comes to a block on another day.
    Water {
        /// Block.
        block: String,
        /// On this day.
        on: Day,
    },
    /// The crop before is off a field on another day.
    Harvest {
        /// Field.
        field: String,
        /// On this day.
        on: Day,
    },
    /// A field can be planted, or cannot.
    Ready {
        /// Field.
        field: String,
        /// Whether it can.
        ready: bool,
    },
    /// The line stands, or runs fewer hours.
    Line {
        /// Which; left out: all.
        #[serde(default)]
        line: Option<String>,
        /// First and last day.
        days: DayRange,
        /// Hours that it can be worked a day.
        #[serde(default)]
        hours: Hours,
    },
    /// People are missing from a crew.
    People {
        /// Crew.
        crew: String,
        /// First and last day.
        days: DayRange,
        /// How many.
        fewer: i64,
    },
    /// Seed that is on order comes later.
    SeedLate {
        /// Kind.
        kind: String,
        /// By so many days.
        by_days: i32,
    },
    /// Seed germinates badly: so much more is sown a tray.
    SeedWeak {
        /// Kind.
        kind: String,
        /// Share of the usual stand.
        share: Share,
    },
    /// A run came up with a poor stand.
    Stand {
        /// Run, as it is written on the stacks.
        run: String,
        /// Share of its trays that can be used.
        share: Share,
    },
    /// Trays that stand are ahead of what was counted on, or behind it: by one of `by`, `leaves` or `days`.
    Ahead {
        /// Run; left out: all in `bed`.
        #[serde(default)]
        run: Option<String>,
        /// All that stand in a bed.
        #[serde(default)]
        bed: Option<String>,
        /// On the clock of their kind; below 0: behind.
        #[serde(default)]
        by: Option<Age>,
        /// By so many leaves.
        #[serde(default)]
        leaves: Option<Fixed<2>>,
        /// By as much as they grow in so many days from now on.
        #[serde(default)]
        days: Option<Fixed<1>>,
    },
    /// A run was not sown as planned: its seed still waits.
    NotSown {
        /// Run.
        run: String,
    },
    /// The stacks of a run were opened on another day than planned.
    Opened {
        /// Run.
        run: String,
        /// On this day; left out: they are still closed.
        #[serde(default)]
        on: Option<Day>,
    },
    /// Trays that were to leave are still there.
    Stays {
        /// Field.
        field: String,
        /// Part of it.
        #[serde(default = "one")]
        part: u32,
    },
    /// Trays left on another day than planned, and were planted on it.
    Left {
        /// Field.
        field: String,
        /// Part of it.
        #[serde(default = "one")]
        part: u32,
        /// On this day.
        on: Day,
    },
    /// Another number of trays was washed than planned.
    Washed {
        /// On this day.
        on: Day,
        /// How many.
        trays: i64,
    },
    /// Trays that are at home and not washed were counted.
    Dirty {
        /// How many.
        trays: i64,
    },
    /// The weather was, or is forecast, other than counted on.
    Weather {
        /// The day.
        date: Day,
        /// Lowest, °C.
        min_c: Celsius,
        /// Highest, °C.
        max_c: Celsius,
    },
    /// Empty trays are lost for good.
    TraysLost {
        /// How many.
        trays: i64,
    },
    /// Empty trays that are away come later.
    TraysLate {
        /// How many of the next that are due; left out: all of the growers or fields named.
        #[serde(default)]
        trays: Option<i64>,
        /// Back on this day.
        until: Day,
        /// Of these growers; left out, with `fields` left out too: of all.
        #[serde(default)]
        growers: Vec<String>,
        /// Of these fields.
        #[serde(default)]
        fields: Vec<String>,
        /// Those that were to be at home by now are missing too, the last to have come first.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        home: bool,
    },
    /// Trays are bought, new and clean.
    TraysBought {
        /// How many.
        trays: i64,
        /// Clean on the morning of this day.
        on: Day,
    },
    /// Nobody works, but for what must be done all the same: no crew, no line, no planting.
    DaysOff {
        /// First and last day.
        days: DayRange,
    },
    /// Another order is asked for, on top of all that there are.
    Take {
        /// Kind.
        kind: String,
        /// Area, ha.
        ha: Hectares,
        /// Days on which it may be planted.
        days: DayRange,
        /// Whose; left out: nobody's yet.
        #[serde(default = "nobody")]
        grower: String,
        /// Short name of the field.
        #[serde(default = "asked")]
        field: String,
        /// Trays a hectare, margin included; left out: the middle of what is ordered of the kind.
        #[serde(default)]
        mats: Option<Fixed<2>>,
        /// In so many parts; left out: by the hectare.
        #[serde(default)]
        parts: Option<u32>,
        /// Planting machine; left out: the grower plants.
        #[serde(default)]
        planter: Option<String>,
    },
    /// A night with frost: the lowest outdoors is not what was counted on.
    Frost {
        /// The day whose lowest it is.
        on: Day,
        /// Lowest outdoors, °C.
        min_c: Celsius,
    },
    /// The power is off: germination places with warmth of their own are not warmed.
    Power {
        /// The day.
        on: Day,
        /// For so many hours of it.
        hours: Hours,
    },
    /// Trays that stand for one field are given to another that takes the kind.
    Give {
        /// Field, or spare, that they stand for.
        from: String,
        /// Part of it.
        #[serde(default = "one")]
        part: u32,
        /// Field that gets them.
        to: String,
        /// How many can leave; left out: all.
        #[serde(default)]
        trays: Option<i64>,
    },
    /// An order is withdrawn.
    Cancel {
        /// Field.
        field: String,
    },
    /// An order that was asked for, or withdrawn, becomes firm.
    Firm {
        /// Field.
        field: String,
    },
    /// An order is for another number of trays.
    Order {
        /// Field.
        field: String,
        /// Trays in all.
        trays: i64,
    },
}

fn one() -> u32 {
    1
}

fn nobody() -> String {
    "asked".into()
}

fn asked() -> String {
    "ASKED".into()
}

/// Why an event cannot be.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EventError {
    /// It names something that is not there.
    #[error("there is no {what} `{name}` on {day}")]
    Unknown {
        /// What it should be.
        what: &'static str,
        /// The name.
        name: String,
        /// On which day it was looked for.
        day: Day,
    },
    /// A number that makes no sense.
    #[error("{0}")]
    Number(String),
    /// Days of which none is still to come.
    #[error("{days} lies outside what is still to come, {rest}")]
    Past {
        /// The days of the event.
        days: DayRange,
        /// What is left of the plan's days.
        rest: DayRange,
    },
    /// A file that is no list of events.
    #[error("`{file}` is not a list of events: {why}")]
    File {
        /// Its name.
        file: String,
        /// Why not, and where.
        why: String,
    },
    /// It is not written as an event.
    #[error("`{text}` is not an event: {why}")]
    Shape {
        /// What was written.
        text: String,
        /// Why not.
        why: String,
    },
}

/// The events of a text such as `rain days=2027-05-13/2027-05-15 fields=KA1,KA2`.
///
/// # Errors
/// [`EventError::Shape`] with what is wrong.
pub fn parse(text: &str) -> Result<Event, EventError> {
    let value = object(text, &|_| false)?;
    serde_json::from_value(value).map_err(|error| EventError::Shape {
        text: text.to_string(),
        why: no_such_event(&error.to_string()).unwrap_or_else(|| error.to_string()),
    })
}

/// For a word that begins no event: the nearest that does, out of the list that the error names.
fn no_such_event(error: &str) -> Option<String> {
    let rest = error.strip_prefix("unknown variant `")?;
    let (word, known) = rest.split_once('`')?;
    let known = known.split('`').skip(1).step_by(2);
    let meant =
        nearest(word, known).map_or(String::new(), |near| format!("; did you mean `{near}`?"));
    Some(format!("there is no event `{word}`{meant}"))
}

/// The words of an event as an object; `is_word` tells keys whose value is a word even if it looks like a number.
pub(super) fn object(
    text: &str,
    is_word: &dyn Fn(&str) -> bool,
) -> Result<serde_json::Value, EventError> {
    let wrong = |why: String| EventError::Shape {
        text: text.to_string(),
        why,
    };
    let mut words = text.split_whitespace();
    let name = words
        .next()
        .ok_or_else(|| wrong("nothing is written".into()))?;
    let mut object = serde_json::Map::new();
    object.insert("event".into(), name.into());
    for word in words {
        let (key, value) = word
            .split_once('=')
            .ok_or_else(|| wrong(format!("`{word}` is not written as key=value")))?;
        let value = match key {
            "fields" | "growers" => value.split(',').map(serde_json::Value::from).collect(),
            _ if is_word(key) => value.into(),
            _ => serde_json::from_str(value)
                .ok()
                .filter(|value: &serde_json::Value| value.is_number() || value.is_boolean())
                .unwrap_or_else(|| value.into()),
        };
        if object.insert(key.into(), value).is_some() {
            return Err(wrong(format!("`{key}` stands twice")));
        }
    }
    Ok(object.into())
}

/// What is wrong with the numbers of an event, whatever the nursery: trays that are counted are some.
pub fn flaw(event: &Event) -> Option<String> {
    let trays = match event {
        Event::TraysLost { trays }
        | Event::TraysBought { trays, .. }
        | Event::Order { trays, .. }
        | Event::Give {
            trays: Some(trays), ..
        } => *trays,
        _ => return None,
    };
    let some = (1..=1_000_000).contains(&trays);
    (!some).then(|| format!("{trays} trays are not between 1 and 1,000,000"))
}

/// The events of a file: a list of objects.
///
/// # Errors
/// [`EventError::File`] with the line and what is wrong.
pub fn parse_file(bytes: &[u8], name: &str) -> Result<Vec<Event>, EventError> {
    serde_json::from_slice(bytes).map_err(|error| EventError::File {
        file: name.to_string(),
        why: error.to_string(),
    })
}

/// The event as it would be written on the command line.
pub fn say(event: &Event) -> String {
    let value = serde_json::to_value(event).unwrap_or_default();
    let mut words = vec![value["event"].as_str().unwrap_or_default().to_string()];
    for (key, value) in value.as_object().into_iter().flatten() {
        let text = match value {
            serde_json::Value::String(text) => text.clone(),
            serde_json::Value::Array(all) => {
                let all = all.iter().filter_map(serde_json::Value::as_str);
                all.collect::<Vec<_>>().join(",")
            }
            serde_json::Value::Null => String::new(),
            other => other.to_string(),
        };
        if key != "event" && !text.is_empty() {
            words.push(format!("{key}={text}"));
        }
    }
    words.join(" ")
}
