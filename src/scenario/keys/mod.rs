//! The one table of keys of a scenario as written.
//!
//! Checking, completing, JSON Schema and the page of keys all read it; nothing else says what a key
//! may hold, whether it must be there, or what is taken when it is left out and on whose word.
//! A key without effect is not in it.

mod carried;
mod growers;
mod growing;
mod nursery;
mod people;
mod places;
mod staff;
mod stores;
mod supply;

pub use nursery::SCENARIO;

use serde_json::{Map, Value};

/// Source of a default: what people do, without anything to cite.
pub(super) const PRACTICE: &str = "common practice, no source";
/// Source of a default: remembered, to be replaced by your own figure.
pub(super) const MEMORY: &str = "from memory; use your own figure";
/// Source of a default that only says that nothing is done.
pub const NOTHING: &str = "nothing is assumed";

/// A section whose entries have an id that other keys may name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Section {
    Seasons,
    Kinds,
    Fields,
    Lines,
    Germination,
    Beds,
    Crews,
    Planters,
    Growers,
    Blocks,
    SoilStores,
    Agents,
    Vehicles,
    TravelGroups,
    Staff,
}

impl Section {
    /// The key of the section.
    pub fn key(self) -> &'static str {
        match self {
            Section::Seasons => "seasons",
            Section::Kinds => "kinds",
            Section::Fields => "fields",
            Section::Lines => "lines",
            Section::Germination => "germination",
            Section::Beds => "beds",
            Section::Crews => "crews",
            Section::Planters => "planters",
            Section::Growers => "growers",
            Section::Blocks => "blocks",
            Section::SoilStores => "soil_stores",
            Section::Agents => "agents",
            Section::Vehicles => "vehicles",
            Section::TravelGroups => "travel_groups",
            Section::Staff => "staff",
        }
    }

    /// What one entry is called.
    pub fn one(self) -> &'static str {
        match self {
            Section::Seasons => "season",
            Section::Kinds => "kind",
            Section::Fields => "field",
            Section::Lines => "line",
            Section::Germination => "germination place",
            Section::Beds => "bed",
            Section::Crews => "crew",
            Section::Planters => "planter",
            Section::Growers => "grower",
            Section::Blocks => "block",
            Section::SoilStores => "soil store",
            Section::Agents => "agent",
            Section::Vehicles => "vehicle",
            Section::TravelGroups => "travel group",
            Section::Staff => "person",
        }
    }
}

/// What a key holds.
#[derive(Clone, Copy, Debug)]
pub enum What {
    /// A text for people, 1 to 200 signs.
    Text,
    /// The id of this entry: letters, digits, `-`, `_`, `.`; at most 40.
    Id(Section),
    /// The name of this entry, as it stands elsewhere as free text: 1 to 200 signs.
    Called(Section),
    /// The id of an entry of a section.
    Ref(Section),
    /// The ids of entries of a section, each at most once: a list, or one text with a space between them.
    Refs(Section),
    /// A whole number from the first to the second.
    Integer(i64, i64),
    /// A number with so many decimals, from–to in whole units.
    Decimal {
        /// Decimals kept.
        places: u32,
        /// Smallest, in units of the last decimal.
        min: i64,
        /// Largest, in units of the last decimal.
        max: i64,
    },
    /// A day, `2027-05-08`.
    Day,
    /// A span of days, both ends included, `2027-05-08/2027-05-11`, or one day.
    Span,
    /// Several spans: a list, or one text with a space between them.
    Spans {
        /// At least so many.
        least: usize,
    },
    /// A time of day, `07:30`; completed to minutes after midnight under this key.
    Clock(&'static str),
    /// True or false; in a table also yes or no.
    Flag,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A list of choices, each at most once.
    Choices {
        /// The words.
        of: &'static [&'static str],
        /// At least so many.
        least: usize,
    },
    /// An object with the keys of a table.
    Object(&'static Table),
    /// A list of objects with the keys of a table.
    List {
        /// The keys.
        of: &'static Table,
        /// At least so many.
        least: usize,
    },
    /// A list of objects, or the name of a CSV file with the keys as columns.
    Rows {
        /// The keys.
        of: &'static Table,
        /// At least so many.
        least: usize,
    },
    /// [`What::Rows`] of the second table, or one object of the first that holds for every day.
    Weather(&'static Table, &'static Table),
}

/// A value from the entry as completed so far and the scenario as completed so far.
pub type Rule = fn(&Map<String, Value>, &Map<String, Value>) -> Option<Value>;

/// What happens when a key is left out.
#[derive(Clone, Copy, Debug)]
pub enum Need {
    /// It is a problem.
    Required,
    /// There is none of it, and nothing is assumed.
    Optional,
    /// It belongs to a [`Group`], which says.
    Grouped,
    /// This JSON is taken, on that source. `{}` means: the defaults of the keys inside.
    Default(&'static str, &'static str),
    /// It follows from other keys.
    Follows {
        /// The value.
        from: Rule,
        /// The rule in words.
        rule: &'static str,
        /// Whose word.
        source: &'static str,
    },
    /// It must be there, unless it follows from other keys.
    Unless {
        /// The value; none: it does not follow.
        from: Rule,
        /// The rule in words.
        rule: &'static str,
        /// What may be written instead, in words.
        instead: &'static str,
        /// Where one of these is written, whatever lacks is told of them.
        written: &'static [&'static str],
    },
}

/// One key.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// Its name in the file.
    pub name: &'static str,
    /// What it holds.
    pub what: What,
    /// Unit, when it holds a quantity.
    pub unit: &'static str,
    /// When it is left out.
    pub need: Need,
    /// Meaning, in one line.
    pub meaning: &'static str,
}

/// Shorthand for tables.
pub(super) const fn key(
    name: &'static str,
    what: What,
    unit: &'static str,
    need: Need,
    meaning: &'static str,
) -> Key {
    Key {
        name,
        what,
        unit,
        need,
        meaning,
    }
}

/// A decimal from `min` to `max` whole units.
pub(super) const fn decimal(places: u32, min: i64, max: i64) -> What {
    let one = 10i64.pow(places);
    What::Decimal {
        places,
        min: min * one,
        max: max * one,
    }
}

/// A decimal above zero, to `max` whole units.
pub(super) const fn positive(places: u32, max: i64) -> What {
    What::Decimal {
        places,
        min: 1,
        max: max * 10i64.pow(places),
    }
}

/// Sets of keys that say the same thing in different ways: exactly one set is written, whole.
#[derive(Clone, Copy, Debug)]
pub struct Group {
    /// What they say.
    pub meaning: &'static str,
    /// The sets.
    pub sets: &'static [&'static [&'static str]],
    /// No set need be written where all of these are; empty: there is no such case.
    pub unless: &'static [&'static str],
    /// Keys, values and source when none is written; empty: one must be.
    pub default: &'static [(&'static str, &'static str, &'static str)],
    /// Turns the keys written into the form of the completed scenario.
    pub shape: fn(&mut Map<String, Value>),
}

/// The keys of one kind of object.
#[derive(Debug)]
pub struct Table {
    /// What one object is called.
    pub one: &'static str,
    /// Its keys, in the order in which they are completed and printed.
    pub keys: &'static [Key],
    /// Keys that exclude each other.
    pub groups: &'static [Group],
}

impl Table {
    /// The key of that name.
    pub fn get(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }

    /// The group that a key belongs to.
    pub fn group_of(&self, name: &str) -> Option<&'static Group> {
        self.groups
            .iter()
            .find(|group| group.sets.iter().any(|set| set.contains(&name)))
    }
}

impl What {
    /// What is expected, in words, with the unit.
    pub fn words(&self, unit: &str) -> String {
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!(" {unit}")
        };
        match *self {
            What::Text => "a text of 1 to 200 signs".to_owned(),
            What::Id(_) => {
                "an id: letters, digits, `-`, `_` and `.`, at most 40, no spaces".to_owned()
            }
            What::Called(_) => "a name of 1 to 200 signs".to_owned(),
            What::Ref(section) => format!("the id of a {}", section.one()),
            What::Refs(section) => format!(
                "a list of ids of {}, or one text with a space between ids",
                section.key().replace('_', " ")
            ),
            What::Integer(min, max) => format!("a whole number from {min} to {max}{unit}"),
            What::Decimal { places, min, max } => {
                let decimals = match places {
                    1 => "1 decimal".to_owned(),
                    _ => format!("{places} decimals"),
                };
                let (min, max) = (decimal_text(min, places), decimal_text(max, places));
                format!("a number from {min} to {max}{unit}, with up to {decimals}")
            }
            What::Day => "a day like 2027-05-08".to_owned(),
            What::Span => "days like 2027-05-08/2027-05-11, or one day".to_owned(),
            What::Spans { .. } => {
                "a list of days like 2027-05-08/2027-05-11, or one text with a space between spans"
                    .to_owned()
            }
            What::Clock(_) => "a time of day like 07:30".to_owned(),
            What::Flag => "`true` or `false`; in a table also `yes` or `no`".to_owned(),
            What::Choice(words) => words_or(words),
            What::Choices { of, .. } => format!("a list of {}", words_or(of)),
            What::Object(table) => format!("an object: one {}", table.one),
            What::List { of, .. } => format!("a list of objects, each one {}", of.one),
            What::Rows { of, .. } => {
                format!(
                    "a list of objects, each one {}, or the name of a CSV file",
                    of.one
                )
            }
            What::Weather(..) => "one object with `min_c` and `max_c` for every day, a list of \
                                  days, or the name of a CSV file"
                .to_owned(),
        }
    }
}

/// The words in backticks, with `or` before the last.
pub fn words_or(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

/// `value` units of the last of `places` decimals, written without noise.
pub fn decimal_text(value: i64, places: u32) -> String {
    let one = 10u64.pow(places);
    let (sign, digits) = (if value < 0 { "-" } else { "" }, value.unsigned_abs());
    let part = format!("{:0width$}", digits % one, width = places as usize);
    let part = if places == 0 {
        ""
    } else {
        part.trim_end_matches('0')
    };
    let point = if part.is_empty() { "" } else { "." };
    format!("{sign}{}{point}{part}", digits / one)
}

/// The id of the entry as its name.
pub(super) fn own_id(entry: &Map<String, Value>, _: &Map<String, Value>) -> Option<Value> {
    entry.get("id").cloned()
}

/// Name of an entry, by default its id.
pub(super) const NAME: Key = key(
    "name",
    What::Text,
    "",
    Need::Follows {
        from: own_id,
        rule: "the id",
        source: NOTHING,
    },
    "what people call it",
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_read_well() {
        assert_eq!(
            positive(4, 10_000).words("ha"),
            "a number from 0.0001 to 10000 ha, with up to 4 decimals"
        );
        assert_eq!(
            decimal(1, -5, 30).words("°C"),
            "a number from -5 to 30 °C, with up to 1 decimal"
        );
        assert_eq!(words_or(&["a", "b", "c"]), "`a`, `b` or `c`");
    }
}
