//! What may happen, each a change of the completed scenario: weather, water, line, people, seed, trays, orders.

use super::Present;
use super::shares::{cancel, field, field_mut, firm, give, order, stand};
use crate::calendar::{Day, DayRange};
use crate::scenario::{CrewSpan, LineSpan};
use crate::units::{Age, Celsius, Fixed, Hours, Share};
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
    /// Trays that stand are ahead of what was counted on, or behind it.
    Ahead {
        /// Run; left out: all in `bed`.
        #[serde(default)]
        run: Option<String>,
        /// All that stand in a bed.
        #[serde(default)]
        bed: Option<String>,
        /// On the clock of their kind; below 0: behind.
        by: Age,
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
        /// How many of the next that are due.
        trays: i64,
        /// Back on this day.
        until: Day,
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
        why: error.to_string(),
    })
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
            "fields" => value.split(',').map(serde_json::Value::from).collect(),
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

/// Changes the present by an event.
///
/// # Errors
/// [`EventError`]: it names what is not there, or a number that cannot be. The present is then as it was.
pub fn apply(present: &mut Present, event: &Event) -> Result<(), EventError> {
    let day = present.day;
    let scenario = &mut present.scenario;
    let unknown = |what: &'static str, name: &str| EventError::Unknown {
        what,
        name: name.to_string(),
        day,
    };
    let rest = scenario.horizon;
    let to_come = |days: &DayRange| {
        let some = days.first <= rest.last && days.last >= rest.first;
        some.then_some(())
            .ok_or(EventError::Past { days: *days, rest })
    };
    match event {
        Event::Rain {
            days,
            fields,
            block,
        } => {
            to_come(days)?;
            for id in fields {
                field(scenario, id).ok_or_else(|| unknown("field", id))?;
            }
            if let Some(id) = block {
                let known = scenario.blocks.iter().any(|block| block.id == *id);
                known.then_some(()).ok_or_else(|| unknown("block", id))?;
            }
            let all = fields.is_empty() && block.is_none();
            for field in &mut scenario.fields {
                let in_block = block.is_some() && field.block == *block;
                if all || in_block || fields.contains(&field.id) {
                    field.closed.push(*days);
                }
            }
        }
        Event::Warmer { days, by_c } => {
            to_come(days)?;
            for row in scenario
                .weather
                .iter_mut()
                .filter(|row| days.contains(row.date))
            {
                row.min_c.0 += by_c.0;
                row.max_c.0 += by_c.0;
            }
        }
        Event::Water { block, on } => {
            let mut blocks = scenario.blocks.iter_mut();
            let known = blocks.find(|known| known.id == *block);
            known.ok_or_else(|| unknown("block", block))?.water = *on;
        }
        Event::Harvest { field: id, on } => {
            field_mut(scenario, id)
                .ok_or_else(|| unknown("field", id))?
                .harvest_before = Some(*on);
        }
        Event::Ready { field: id, ready } => {
            field_mut(scenario, id)
                .ok_or_else(|| unknown("field", id))?
                .ready = *ready;
        }
        Event::Line { line, days, hours } => {
            to_come(days)?;
            if hours.0 < 0 {
                return Err(EventError::Number("a line runs 0 hours or more".into()));
            }
            let known = |id: &String| scenario.lines.iter().any(|line| line.id == *id);
            if let Some(id) = line.as_ref().filter(|id| !known(id)) {
                return Err(unknown("line", id));
            }
            for one in &mut scenario.lines {
                if line.as_ref().is_none_or(|id| *id == one.id) {
                    let span = LineSpan {
                        days: *days,
                        hours_per_day: *hours,
                    };
                    one.spans.insert(0, span);
                }
            }
        }
        Event::People { crew, days, fewer } => {
            to_come(days)?;
            let mut crews = scenario.crews.iter_mut();
            let one = crews
                .find(|one| one.id == *crew)
                .ok_or_else(|| unknown("crew", crew))?;
            if *fewer < 0 {
                return Err(EventError::Number("people are fewer by 0 or more".into()));
            }
            // Each day keeps the shift that it has.
            let spans: Vec<CrewSpan> = days
                .iter()
                .filter(|day| scenario.horizon.contains(*day))
                .map(|day| CrewSpan {
                    days: DayRange {
                        first: day,
                        last: day,
                    },
                    people: Some((one.people_on(day) - fewer).max(0)),
                    shift_start_minute: Some(one.shift_start_on(day)),
                    shift_hours: Some(one.shift_hours_on(day)),
                })
                .collect();
            one.spans.splice(0..0, spans);
        }
        Event::SeedLate { kind, by_days } => {
            let mut stores = scenario.seed_stores.iter_mut();
            let store = stores
                .find(|store| store.kind == *kind)
                .ok_or_else(|| unknown("seed store of kind", kind))?;
            for delivery in &mut store.deliveries {
                delivery.day = delivery.day.plus(*by_days).max(day);
            }
        }
        Event::SeedWeak { kind, share } => {
            let mut kinds = scenario.kinds.iter_mut();
            let one = kinds
                .find(|one| one.id == *kind)
                .ok_or_else(|| unknown("kind", kind))?;
            let (grams, part) = (one.seed_g_dry_per_tray.0, share.0);
            if !(Share::ONE / 10..=Share::ONE).contains(&part) {
                return Err(EventError::Number(
                    "the share of the usual stand lies between 0.1 and 1".into(),
                ));
            }
            one.seed_g_dry_per_tray = Fixed((grams * Share::ONE + part - 1) / part);
        }
        Event::Stand { run, share } => stand(scenario, run, *share, &unknown)?,
        Event::Ahead { run, bed, by } => {
            let mut any = false;
            for sown in &mut scenario.opening.sown {
                let stands_in = |bed: &String| match (sown.opened, sown.hardened) {
                    (None, _) => false,
                    (Some(_), None) => sown.green_bed == *bed,
                    (Some(_), Some(_)) => sown.harden_bed == *bed,
                };
                let is_run = run.as_ref().is_none_or(|id| sown.run.as_ref() == Some(id));
                if is_run && bed.as_ref().is_none_or(stands_in) {
                    sown.ahead.0 += by.0;
                    any = true;
                }
            }
            if !any {
                let name = run.as_ref().or(bed.as_ref()).cloned().unwrap_or_default();
                return Err(unknown("run or bed with trays in it", &name));
            }
        }
        // What is past was taken into the plan before its present was made.
        Event::NotSown { .. }
        | Event::Opened { .. }
        | Event::Stays { .. }
        | Event::Left { .. }
        | Event::Washed { .. } => {}
        Event::Dirty { trays } => {
            if *trays < 0 || *trays > scenario.trays.stock {
                return Err(EventError::Number(format!(
                    "{trays} trays cannot be dirty of {}",
                    scenario.trays.stock
                )));
            }
            scenario.opening.dirty_trays = *trays;
        }
        Event::Weather { date, min_c, max_c } => {
            if max_c < min_c {
                return Err(EventError::Number(format!(
                    "on {date} the highest, {max_c} °C, is below the lowest, {min_c} °C"
                )));
            }
            let mut rows = scenario.weather.iter_mut();
            let row = rows.find(|row| row.date == *date);
            let row = row.ok_or_else(|| unknown("weather of", &date.to_string()))?;
            (row.min_c, row.max_c) = (*min_c, *max_c);
        }
        Event::TraysLost { trays } => {
            if *trays < 0 || *trays > scenario.trays.stock {
                return Err(EventError::Number(format!(
                    "{trays} trays cannot be lost of {}",
                    scenario.trays.stock
                )));
            }
            scenario.trays.stock -= trays;
        }
        Event::TraysLate { trays, until } => {
            let out = &scenario.opening.trays_out;
            let due: i64 = out
                .iter()
                .filter(|out| out.back < *until)
                .map(|out| out.trays)
                .sum();
            if *trays < 1 || *trays > due {
                return Err(EventError::Number(format!(
                    "{trays} trays cannot come late: {due} are away and due before {until}"
                )));
            }
            let mut left = *trays;
            let mut late = 0;
            for out in &mut scenario.opening.trays_out {
                if out.back < *until {
                    let some = left.min(out.trays).max(0);
                    out.trays -= some;
                    left -= some;
                    late += some;
                }
            }
            scenario.opening.trays_out.retain(|out| out.trays > 0);
            if late > 0 {
                scenario.opening.trays_out.push(crate::scenario::TraysOut {
                    trays: late,
                    back: *until,
                });
            }
        }
        Event::Give {
            from,
            part,
            to,
            trays,
        } => give(scenario, (from, *part), to, *trays, &unknown)?,
        Event::Cancel { field: id } => {
            cancel(scenario, id).ok_or_else(|| unknown("field", id))?;
            // What it leaves free may go to those who wait.
            present.left_short.clear();
        }
        Event::Firm { field: id } => {
            firm(scenario, id).ok_or_else(|| unknown("order that is not firm", id))?;
            present.left_short.clear();
        }
        Event::Order { field: id, trays } => {
            order(scenario, id, *trays, &unknown)?;
            present.left_short.clear();
        }
    }
    let left = |one: &super::present::Decided| {
        let (id, part) = (&one.delivery.field, one.delivery.part);
        let mut parts = scenario.opening.parts.iter();
        let wanted = parts.all(|known| (&known.field, known.part) != (id, part) || known.trays > 0);
        wanted && scenario.fields.iter().any(|field| field.id == *id)
    };
    present.decided.retain(left);
    Ok(())
}
