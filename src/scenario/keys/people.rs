//! Keys of crews and of what each task takes.

use super::places::SPAN_DAYS;
use super::{MEMORY, NAME, NOTHING, Need, PRACTICE, Section, Table, What, decimal, key, positive};
use serde_json::{Map, Value, json};

/// One crew.
pub static CREW: Table = Table {
    one: "crew",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Crews),
            "",
            Need::Required,
            "short name",
        ),
        NAME,
        key(
            "people",
            What::Integer(0, 10_000),
            "people",
            Need::Required,
            "people on a working day",
        ),
        key(
            "calendar",
            What::Choice(&["line", "beds", "planting"]),
            "",
            Need::Default("\"beds\"", PRACTICE),
            "whose working days they keep",
        ),
        key(
            "shift_start",
            What::Clock("shift_start_minute"),
            "",
            Need::Default("\"07:00\"", PRACTICE),
            "start of the shift",
        ),
        key(
            "shift_hours",
            decimal(2, 0, 24),
            "h",
            Need::Default("8", PRACTICE),
            "hours of the shift, breaks not counted",
        ),
        key(
            "overtime_hours",
            decimal(2, 0, 24),
            "h",
            Need::Default("2", MEMORY),
            "most overtime a person and working day",
        ),
        key(
            "overtime_price_per_h",
            decimal(3, 0, 100_000),
            "money/h",
            Need::Default("15", MEMORY),
            "price of an hour of overtime",
        ),
        key(
            "rest_day_people",
            What::Integer(0, 10_000),
            "people",
            Need::Follows {
                from: people,
                rule: "all of the crew",
                source: MEMORY,
            },
            "people who can be called in on a day off",
        ),
        key(
            "rest_day_price_per_h",
            decimal(3, 0, 100_000),
            "money/h",
            Need::Default("20", MEMORY),
            "price of an hour on a day off",
        ),
        key(
            "spans",
            What::List {
                of: &CREW_SPAN,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "days with other people or another shift",
        ),
        key(
            "casual",
            What::Object(&CASUAL),
            "",
            Need::Optional,
            "people who can be hired by the ISO week beside them, and work all working days of the crew in it; left out: nobody",
        ),
        key(
            "week_hours_most",
            positive(2, 168),
            "h",
            Need::Optional,
            "most hours of a person in an ISO week, overtime included; local rules and contracts say how many; left out: \
             only the day is limited",
        ),
    ],
};

/// Most people hired at once: every number of them is tried in every week.
const MOST_HIRED: i64 = 50;

static CASUAL: Table = Table {
    one: "group of people hired by the week",
    groups: &[],
    keys: &[
        key(
            "most",
            What::Integer(0, MOST_HIRED),
            "people",
            Need::Required,
            "most hired at once",
        ),
        key(
            "price_per_day",
            decimal(3, 0, 100_000),
            "money",
            Need::Required,
            "price of a person hired, a working day",
        ),
        key(
            "hire",
            decimal(3, 0, 1_000_000),
            "money",
            Need::Default("0", NOTHING),
            "price of each person more than in the week before: finding, showing the work",
        ),
        key(
            "release",
            decimal(3, 0, 1_000_000),
            "money",
            Need::Default("0", NOTHING),
            "price of each person fewer than in the week before",
        ),
        key(
            "before",
            What::Integer(0, MOST_HIRED),
            "people",
            Need::Default("0", NOTHING),
            "hired already in the week before the first day",
        ),
    ],
};

static CREW_SPAN: Table = Table {
    one: "span of days with another crew or shift",
    groups: &[],
    keys: &[
        key("days", What::Span, "", Need::Required, SPAN_DAYS),
        key(
            "people",
            What::Integer(0, 10_000),
            "people",
            Need::Optional,
            "people on a working day; left out: as usual",
        ),
        key(
            "shift_start",
            What::Clock("shift_start_minute"),
            "",
            Need::Optional,
            "start of the shift; left out: as usual",
        ),
        key(
            "shift_hours",
            decimal(2, 0, 24),
            "h",
            Need::Optional,
            "hours of the shift, breaks not counted; left out: as usual",
        ),
    ],
};

fn people(crew: &Map<String, Value>, _: &Map<String, Value>) -> Option<Value> {
    crew.get("people").cloned()
}

/// What is taken for `work` when it is left out: every task, with its own defaults.
pub(super) const ALL_TASKS: &str = r#"{"set_up": {}, "sow": {}, "soak": {}, "drain": {}, "stack": {},
    "unstack": {}, "green": {}, "harden": {}, "load": {}, "plant": {}, "collect": {}, "wash": {}, "care": {}}"#;

fn crew_of(scenario: &Map<String, Value>) -> Option<&Map<String, Value>> {
    scenario.get("crews")?.as_array()?.first()?.as_object()
}

fn first_crew(_: &Map<String, Value>, scenario: &Map<String, Value>) -> Option<Value> {
    crew_of(scenario)?.get("id").cloned()
}

fn team_up_to(
    most: i64,
    task: &Map<String, Value>,
    scenario: &Map<String, Value>,
) -> Option<Value> {
    let named = task.get("crew")?.as_str()?;
    let crews = scenario.get("crews")?.as_array()?;
    let crew = crews
        .iter()
        .find(|crew| crew.get("id").and_then(Value::as_str) == Some(named));
    let people = crew
        .and_then(|crew| crew.get("people")?.as_i64())
        .unwrap_or(most);
    Some(json!(people.clamp(1, most)))
}

fn sowing_team(task: &Map<String, Value>, scenario: &Map<String, Value>) -> Option<Value> {
    team_up_to(5, task, scenario)
}

fn set_up_team(task: &Map<String, Value>, scenario: &Map<String, Value>) -> Option<Value> {
    team_up_to(2, task, scenario)
}

const CREW_KEY: super::Key = key(
    "crew",
    What::Ref(Section::Crews),
    "",
    Need::Follows {
        from: first_crew,
        rule: "the first crew listed",
        source: super::NOTHING,
    },
    "crew that does it",
);

macro_rules! team {
    ($name:ident, $from:ident, $rule:literal) => {
        static $name: Table = Table {
            one: "task of a fixed team",
            groups: &[],
            keys: &[
                CREW_KEY,
                key(
                    "team",
                    What::Integer(1, 1_000),
                    "people",
                    Need::Follows {
                        from: $from,
                        rule: $rule,
                        source: MEMORY,
                    },
                    "people needed at once",
                ),
            ],
        };
    };
}

macro_rules! piece {
    ($name:ident, $minutes:literal, $source:expr, $per:literal, $choices:expr) => {
        static $name: Table = Table {
            one: "task counted in person-minutes",
            groups: &[],
            keys: &[
                CREW_KEY,
                key(
                    "person_minutes",
                    positive(2, 100_000),
                    "person-minutes",
                    Need::Default($minutes, $source),
                    "for each unit of `per`",
                ),
                key(
                    "per",
                    What::Choice($choices),
                    "",
                    Need::Default($per, "goes with the default minutes"),
                    "what is counted: trays, bed floor, dry seed or field",
                ),
            ],
        };
    };
}

const ANY: &[&str] = &["100_trays", "m2", "kg", "ha"];
const NO_FLOOR: &[&str] = &["100_trays", "kg", "ha"];
const TRAYS_ONLY: &[&str] = &["100_trays"];

team!(SET_UP, set_up_team, "2, or the whole crew if smaller");
team!(SOW, sowing_team, "5, or the whole crew if smaller");
piece!(SOAK, "0.5", MEMORY, "\"kg\"", NO_FLOOR);
piece!(DRAIN, "1", MEMORY, "\"kg\"", NO_FLOOR);
piece!(
    STACK,
    "39",
    "3 people, 100 trays in 13 min: Yokoyama Y. (Mie Pref.), 1990s, loading by hand",
    "\"100_trays\"",
    ANY
);
piece!(UNSTACK, "40", MEMORY, "\"100_trays\"", ANY);
piece!(GREEN, "5", MEMORY, "\"100_trays\"", ANY);
piece!(HARDEN, "5", MEMORY, "\"100_trays\"", ANY);
piece!(LOAD, "33", MEMORY, "\"100_trays\"", ANY);
piece!(PLANT, "600", MEMORY, "\"ha\"", ANY);
piece!(COLLECT, "10", MEMORY, "\"100_trays\"", ANY);
piece!(
    WASH,
    "40",
    "2 people at 300 trays/h: column on tray washers and a grower's diary, undated (weak)",
    "\"100_trays\"",
    TRAYS_ONLY
);
piece!(CARE, "4.5", MEMORY, "\"100_trays\"", ANY);

/// What each task takes.
pub static WORK: Table = Table {
    one: "set of tasks",
    groups: &[],
    keys: &[
        key(
            "set_up",
            What::Object(&SET_UP),
            "",
            Need::Optional,
            "team while the line is set up",
        ),
        key(
            "sow",
            What::Object(&SOW),
            "",
            Need::Optional,
            "team while the line runs",
        ),
        key(
            "soak",
            What::Object(&SOAK),
            "",
            Need::Optional,
            "putting seed to soak",
        ),
        key(
            "drain",
            What::Object(&DRAIN),
            "",
            Need::Optional,
            "draining and spreading the seed",
        ),
        key(
            "stack",
            What::Object(&STACK),
            "",
            Need::Optional,
            "building stacks",
        ),
        key(
            "unstack",
            What::Object(&UNSTACK),
            "",
            Need::Optional,
            "opening stacks and laying trays out",
        ),
        key(
            "green",
            What::Object(&GREEN),
            "",
            Need::Optional,
            "first covers",
        ),
        key(
            "harden",
            What::Object(&HARDEN),
            "",
            Need::Optional,
            "changing covers, moving if need be",
        ),
        key(
            "load",
            What::Object(&LOAD),
            "",
            Need::Optional,
            "loading for the field",
        ),
        key(
            "plant",
            What::Object(&PLANT),
            "",
            Need::Optional,
            "planting with our machines",
        ),
        key(
            "collect",
            What::Object(&COLLECT),
            "",
            Need::Optional,
            "fetching empty trays",
        ),
        key(
            "wash",
            What::Object(&WASH),
            "",
            Need::Optional,
            "washing trays",
        ),
        key(
            "care",
            What::Object(&CARE),
            "",
            Need::Optional,
            "daily care of occupied beds, a day, rest days too",
        ),
    ],
};
