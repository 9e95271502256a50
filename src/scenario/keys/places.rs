//! Keys of lines, places, the tray stock and planting machines.

use super::{
    Group, MEMORY, NAME, NOTHING, Need, PRACTICE, Section, Table, What, decimal, key, positive,
};
use serde_json::{Map, Value, json};

/// One sowing line.
pub static LINE: Table = Table {
    one: "sowing line",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Lines),
            "",
            Need::Required,
            "short name",
        ),
        NAME,
        key(
            "set_trays_per_h",
            decimal(1, 0, 5_000),
            "trays/h",
            Need::Default("400", PRACTICE),
            "rate that the line is set to",
        ),
        key(
            "share_run",
            decimal(6, 0, 1),
            "",
            Need::Default("0.8", MEMORY),
            "share of the shift that it really runs",
        ),
        key(
            "hours_per_day",
            decimal(2, 0, 24),
            "h",
            Need::Default("8", PRACTICE),
            "hours a day that it may be worked, set-ups included",
        ),
        key(
            "first_set_up_minutes",
            decimal(2, 0, 1_440),
            "min",
            Need::Default("30", MEMORY),
            "set-up of the day's first run",
        ),
        key(
            "set_up_minutes",
            decimal(2, 0, 1_440),
            "min",
            Need::Default("30", MEMORY),
            "set-up between two runs",
        ),
        key(
            "set_up_pairs",
            What::List {
                of: &SET_UP_PAIR,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "set-ups that depend on what ran before",
        ),
        key(
            "trial_trays",
            What::Integer(0, 1_000),
            "trays",
            Need::Default("5", MEMORY),
            "sown to weigh the seed at the start of each run; they count for no field",
        ),
        key(
            "rates",
            What::List {
                of: &RATE,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "kinds that run at another rate",
        ),
        key(
            "hopper_g_dry",
            decimal(1, 0, 1_000_000),
            "g",
            Need::Default("0", NOTHING),
            "dry seed that stays in the hopper after each run",
        ),
        key(
            "spans",
            What::List {
                of: &LINE_SPAN,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "days with other hours",
        ),
    ],
};

static WARMTH_SPAN: Table = Table {
    one: "span of days with another warmth",
    groups: &[],
    keys: &[
        key("days", What::Span, "", Need::Required, SPAN_DAYS),
        key(
            "own_c",
            decimal(2, -30, 50),
            "°C",
            Need::Required,
            "warmth on them, mean of day and night",
        ),
    ],
};

static LINE_SPAN: Table = Table {
    one: "span of days with other hours",
    groups: &[],
    keys: &[
        key("days", What::Span, "", Need::Required, SPAN_DAYS),
        key(
            "hours_per_day",
            decimal(2, 0, 24),
            "h",
            Need::Required,
            "hours a day that the line may be worked on them",
        ),
    ],
};

/// Meaning of the days of a span.
pub(super) const SPAN_DAYS: &str = "which days, both ends included; spans have no day in common";

static RATE: Table = Table {
    one: "rate of a kind",
    groups: &[],
    keys: &[
        key(
            "kind",
            What::Ref(Section::Kinds),
            "",
            Need::Required,
            "kind",
        ),
        key(
            "set_trays_per_h",
            decimal(1, 0, 5_000),
            "trays/h",
            Need::Required,
            "rate that the line is set to for it",
        ),
    ],
};

static SET_UP_PAIR: Table = Table {
    one: "set-up between two kinds",
    groups: &[],
    keys: &[
        key(
            "from",
            What::Ref(Section::Kinds),
            "",
            Need::Required,
            "kind before",
        ),
        key(
            "to",
            What::Ref(Section::Kinds),
            "",
            Need::Required,
            "kind after",
        ),
        key(
            "never",
            What::Flag,
            "",
            Need::Default("false", NOTHING),
            "`true`: the one never follows the other on one line and day",
        ),
        key(
            "minutes",
            decimal(2, 0, 1_440),
            "min",
            Need::Unless {
                from: minutes_of_never,
                rule: "0 where `never` is true",
                instead: "`never`, if the one must not follow the other on one day",
                written: &[],
            },
            "minutes between",
        ),
        key(
            "throw_out_trays",
            What::Integer(0, 10_000),
            "trays",
            Need::Default("0", NOTHING),
            "first trays of the run after that are emptied at once, since seed and soil of both kinds are in them",
        ),
    ],
};

fn minutes_of_never(pair: &Map<String, Value>, _: &Map<String, Value>) -> Option<Value> {
    (pair.get("never")?.as_bool()?).then(|| json!(0))
}

/// The completed temperature: `own`, or `outdoors` with both offsets.
fn warmth(temperature: &mut Map<String, Value>) {
    match temperature.remove("own_c") {
        Some(own) => *temperature = Map::from_iter([("own".to_owned(), own)]),
        None => {
            let outdoors = std::mem::take(temperature);
            temperature.insert("outdoors".to_owned(), Value::Object(outdoors));
        }
    }
}

const WARMTH: &[&[&str]] = &[&["own_c"], &["night_plus_c", "day_plus_c"]];

macro_rules! temperature {
    ($sight:vis $name:ident, $default:expr) => {
        $sight static $name: Table = Table {
            one: "temperature: held, or outdoors plus offsets",
            groups: &[Group {
                meaning: "how warm it is",
                sets: WARMTH,
                unless: &[],
                default: $default,
                shape: warmth,
            }],
            keys: &[
                key(
                    "own_c",
                    decimal(2, -20, 60),
                    "°C",
                    Need::Grouped,
                    "held day and night",
                ),
                key(
                    "night_plus_c",
                    decimal(2, -30, 30),
                    "°C",
                    Need::Grouped,
                    "added to the day's lowest outdoors",
                ),
                key(
                    "day_plus_c",
                    decimal(2, -30, 30),
                    "°C",
                    Need::Grouped,
                    "added to the day's highest outdoors",
                ),
            ],
        };
    };
}

temperature!(
    STACK_WARMTH,
    &[(
        "own_c",
        "30",
        "Iwate Pref., cold measures for rice, 17 Apr 2020"
    )]
);
temperature!(
    BED_WARMTH,
    &[("night_plus_c", "2", MEMORY), ("day_plus_c", "6", MEMORY)]
);
temperature!(
    pub EDGE_WARMTH,
    &[
        ("night_plus_c", "0", NOTHING),
        ("day_plus_c", "0", NOTHING)
    ]
);

/// One place for stacks.
pub static GERMINATION: Table = Table {
    one: "germination place",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Germination),
            "",
            Need::Required,
            "short name",
        ),
        NAME,
        key(
            "stack_places",
            What::Integer(0, 1_000_000),
            "stacks",
            Need::Required,
            "how many stacks fit",
        ),
        key(
            "height",
            What::Integer(1, 100),
            "trays",
            Need::Default("15", PRACTICE),
            "sown trays in a full stack",
        ),
        key(
            "lid_trays",
            What::Integer(0, 10),
            "trays",
            Need::Default(
                "1",
                "Rural Development Administration (Korea), emergence note, 2014",
            ),
            "empty trays on top of each stack, from the tray stock",
        ),
        key(
            "base_trays",
            What::Integer(0, 10),
            "trays",
            Need::Default(
                "1",
                "Rural Development Administration (Korea), emergence note, 2014",
            ),
            "empty trays under each stack, from the tray stock",
        ),
        key(
            "temperature",
            What::Object(&STACK_WARMTH),
            "",
            Need::Default("{}", ""),
            "warmth",
        ),
        key(
            "longest_wait_days",
            What::Integer(0, 14),
            "d",
            Need::Default("1", MEMORY),
            "a ready stack may wait, when nobody works on the day it is ready",
        ),
        key(
            "spans",
            What::List {
                of: &WARMTH_SPAN,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "days on which it is held at another warmth: heated less, or a cut of power",
        ),
    ],
};

/// One bed.
pub static BED: Table = Table {
    one: "bed",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Beds),
            "",
            Need::Required,
            "short name",
        ),
        NAME,
        key(
            "area_m2",
            positive(2, 1_000_000),
            "m²",
            Need::Required,
            "floor",
        ),
        key(
            "trays_per_m2",
            positive(2, 20),
            "trays/m²",
            Need::Default(
                "4.6",
                "5 trays across a 1.5 m bed with a 0.3 m ditch: council handbook on rice \
                 nurseries (Taiwan), as cited 2006",
            ),
            "trays on a square metre, ditches and gaps counted",
        ),
        key(
            "stages",
            What::Choices {
                of: &["green", "harden"],
                least: 1,
            },
            "",
            Need::Default("[\"green\", \"harden\"]", PRACTICE),
            "stages that it takes",
        ),
        key(
            "turn_round_days",
            What::Integer(0, 60),
            "d",
            Need::Default("0", NOTHING),
            "days to clear and level the floor after trays have left, before others take it",
        ),
        key(
            "row_trays",
            What::Integer(1, 100_000),
            "trays",
            Need::Optional,
            "laid in rows with one open end, of so many trays each; left out: trays are reached from all sides",
        ),
        key(
            "closed",
            What::Spans { least: 0 },
            "",
            Need::Default("[]", NOTHING),
            "days on which no tray stands in it: rest, disinfecting, another crop; spans have no day in common",
        ),
        key(
            "temperature",
            What::Object(&BED_WARMTH),
            "",
            Need::Default("{}", ""),
            "warmth",
        ),
    ],
};

/// The tray stock.
pub static TRAYS: Table = Table {
    one: "tray stock",
    groups: &[],
    keys: &[
        key(
            "stock",
            What::Integer(0, 100_000_000),
            "trays",
            Need::Required,
            "trays owned",
        ),
        key(
            "return_days",
            What::Integer(0, 365),
            "d",
            Need::Default("10", MEMORY),
            "days from planting to the empty trays being back",
        ),
        key(
            "loss",
            decimal(6, 0, 1),
            "",
            Need::Default("0.03", MEMORY),
            "share of the trays sent out that never comes back whole",
        ),
        key(
            "wash_trays_per_h",
            What::Integer(0, 100_000),
            "trays/h",
            Need::Default("300", "column on tray washers, undated (weak)"),
            "washing rate",
        ),
        key(
            "wash_hours_per_day",
            decimal(2, 0, 24),
            "h",
            Need::Default("6", MEMORY),
            "hours a day that the washer may run, on days on which beds are worked",
        ),
        key(
            "dry_days",
            What::Integer(0, 60),
            "d",
            Need::Default("1", MEMORY),
            "washed trays can be sown this many days later",
        ),
        key(
            "dry_spans",
            What::List {
                of: &DRY_SPAN,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "days of washing after which trays rest longer or shorter, such as for disinfecting",
        ),
        key(
            "loaded_kg",
            positive(2, 100),
            "kg",
            Need::Default("7.5", "page of a rice farm on tray weights, undated (weak)"),
            "a tray with seedlings as it is loaded",
        ),
    ],
};

static DRY_SPAN: Table = Table {
    one: "span of days of washing",
    groups: &[],
    keys: &[
        key("days", What::Span, "", Need::Required, SPAN_DAYS),
        key(
            "dry_days",
            What::Integer(0, 365),
            "d",
            Need::Required,
            "trays washed on them can be sown this many days later",
        ),
    ],
};

/// One planting machine.
pub static PLANTER: Table = Table {
    one: "planting machine",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Planters),
            "",
            Need::Required,
            "short name",
        ),
        NAME,
        key(
            "ha_per_day",
            decimal(4, 0, 1_000),
            "ha",
            Need::Required,
            "most hectares a day",
        ),
        key(
            "hours_per_day",
            positive(2, 24),
            "h",
            Need::Default("10", MEMORY),
            "hours in which it plants them",
        ),
        key(
            "move_minutes",
            decimal(2, 0, 1_440),
            "min",
            Need::Default("0", NOTHING),
            "time to bring it to each part of a field",
        ),
        key(
            "whose",
            What::Choice(&["nursery", "grower"]),
            "",
            Need::Default("\"nursery\"", NOTHING),
            "`nursery`: planting is our crew's work; `grower`: it limits hectares only",
        ),
    ],
};
