//! Rows of the log for the books: what was delivered and signed for, which trays came back, whose hours, what seed came and went. They say
//! what was done and change no plan.

use super::event::{EventError, object};
use crate::units::{Fixed, Hours};
use serde::{Deserialize, Serialize};

/// One such row.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case", deny_unknown_fields)]
pub enum Record {
    /// Trays were given to a grower, who signed for them.
    Delivered {
        /// Field.
        field: String,
        /// Part of it.
        #[serde(default = "one")]
        part: u32,
        /// Trays, as signed.
        trays: i64,
        /// Weighed, kg.
        #[serde(default)]
        kg: Option<Fixed<1>>,
        /// Initials or name of who signed, one word.
        signed: String,
        /// Only mats: the trays stayed here.
        #[serde(default)]
        lifted: bool,
        /// Number of the note; tells two deliveries of one part on one day apart.
        #[serde(default)]
        note: Option<String>,
    },
    /// Empty trays came back from a field.
    TraysBack {
        /// Field.
        field: String,
        /// How many.
        trays: i64,
        /// Tells several on one day apart.
        #[serde(default)]
        note: Option<String>,
    },
    /// Someone worked on something.
    Hours {
        /// Short name.
        person: String,
        /// What was done, one word such as `wash`.
        task: String,
        /// How long, h.
        hours: Hours,
        /// Tells several on one day apart.
        #[serde(default)]
        note: Option<String>,
    },
    /// Dry seed came.
    SeedIn {
        /// Kind.
        kind: String,
        /// Dry, kg.
        kg: Fixed<3>,
        /// Number of the bill.
        #[serde(default)]
        note: Option<String>,
    },
    /// Dry seed went.
    SeedOut {
        /// Kind.
        kind: String,
        /// Dry, kg.
        kg: Fixed<3>,
        /// What for, one word such as `soak`, `sample`, `sold`.
        #[serde(rename = "for")]
        what_for: String,
        /// Tells several on one day apart.
        #[serde(default)]
        note: Option<String>,
    },
}

fn one() -> u32 {
    1
}

/// The words that begin such a row.
const NAMES: [&str; 5] = ["delivered", "trays_back", "hours", "seed_in", "seed_out"];

/// True of text that begins as such a row does.
pub fn is_record(text: &str) -> bool {
    text.split_whitespace()
        .next()
        .is_some_and(|word| NAMES.contains(&word))
}

/// The row of a text such as `delivered field=V02 trays=260 kg=1950 signed=J.K`.
///
/// # Errors
/// [`EventError`] with what is wrong.
pub fn parse(text: &str) -> Result<Record, EventError> {
    let numbers = ["part", "trays", "kg", "hours", "lifted"];
    let value = object(text, &|key| !numbers.contains(&key))?;
    let record: Record = serde_json::from_value(value).map_err(|error| EventError::Shape {
        text: text.to_string(),
        why: error.to_string(),
    })?;
    match record.flaw() {
        Some(why) => Err(EventError::Number(why)),
        None => Ok(record),
    }
}

impl Record {
    /// What tells it from every other row of its day. It follows from the row's own words alone.
    pub fn key(&self) -> String {
        let (key, note) = match self {
            Record::Delivered {
                field, part, note, ..
            } => (format!("delivered/{field}/{part}"), note),
            Record::TraysBack { field, note, .. } => (format!("trays_back/{field}"), note),
            Record::Hours {
                person, task, note, ..
            } => (format!("hours/{person}/{task}"), note),
            Record::SeedIn { kind, note, .. } => (format!("seed_in/{kind}"), note),
            Record::SeedOut {
                kind,
                what_for,
                note,
                ..
            } => (format!("seed_out/{kind}/{what_for}"), note),
        };
        match note {
            Some(note) => format!("{key}/{note}"),
            None => key,
        }
    }

    /// What it names of a plan: what that is, and the name.
    pub fn names(&self) -> Option<(&'static str, &str)> {
        match self {
            Record::Delivered { field, .. } | Record::TraysBack { field, .. } => {
                Some(("field", field))
            }
            Record::Hours { person, .. } => Some(("person", person)),
            Record::SeedIn { kind, .. } | Record::SeedOut { kind, .. } => Some(("kind", kind)),
        }
    }

    fn flaw(&self) -> Option<String> {
        let trays = match self {
            Record::Delivered { trays, .. } | Record::TraysBack { trays, .. } => Some(*trays),
            _ => None,
        };
        if let Some(trays) = trays.filter(|trays| !(1..=1_000_000).contains(trays)) {
            return Some(format!("{trays} trays are not between 1 and 1,000,000"));
        }
        let grams = match self {
            Record::Delivered { kg: Some(kg), .. } => Some(kg.0.saturating_mul(100)),
            Record::SeedIn { kg, .. } | Record::SeedOut { kg, .. } => Some(kg.0),
            _ => None,
        };
        if grams.is_some_and(|grams| !(1..=1_000_000_000).contains(&grams)) {
            return Some("`kg` is not above 0 and at most 1,000,000".into());
        }
        if let Record::Hours { hours, .. } = self
            && !(1..=24 * Hours::ONE).contains(&hours.0)
        {
            return Some(format!("{hours} hours are not above 0 and at most 24"));
        }
        let words = match self {
            Record::Delivered {
                field,
                signed,
                note,
                ..
            } => vec![Some(field), Some(signed), note.as_ref()],
            Record::TraysBack { field, note, .. } => vec![Some(field), note.as_ref()],
            Record::Hours {
                person, task, note, ..
            } => vec![Some(person), Some(task), note.as_ref()],
            Record::SeedIn { kind, note, .. } => vec![Some(kind), note.as_ref()],
            Record::SeedOut {
                kind,
                what_for,
                note,
                ..
            } => vec![Some(kind), Some(what_for), note.as_ref()],
        };
        let broken = |word: &&String| {
            word.is_empty()
                || word.chars().count() > 60
                || word.contains('/')
                || word.chars().any(char::is_control)
        };
        let mut words = words.into_iter().flatten();
        let word = words.find(broken)?;
        Some(format!(
            "`{word}` is not a word of 1 to 60 characters without `/`"
        ))
    }
}
