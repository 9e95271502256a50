//! Keys of the whole scenario, its year, its prices and its first day.

use super::growers::{BLOCK, GROWER};
use super::growing::{FIELD, KIND};
use super::people::{CREW, WORK};
use super::places::{BED, EDGE_WARMTH, GERMINATION, LINE, PLANTER, TRAYS};
use super::staff::{DUTY, PERSON};
use super::stores::{SEED_STORE, SOIL_STORE, TANK, VEHICLE, WATER};
use super::supply::{AGENT, MATS_FOR_SALE, TRAVEL_GROUP};
use super::{MEMORY, NOTHING, Need, PRACTICE, Section, Table, What, decimal, key};

const DAYS_OF_THE_WEEK: &[&str] = &[
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
];

/// A scenario.
pub static SCENARIO: Table = Table {
    one: "scenario",
    groups: &[],
    keys: &[
        key(
            "format",
            What::Choice(&[crate::scenario::FORMAT]),
            "",
            Need::Required,
            "says that the file is a scenario, and of which version",
        ),
        key(
            "name",
            What::Text,
            "",
            Need::Required,
            "what people call the nursery",
        ),
        key(
            "currency",
            What::Text,
            "",
            Need::Default("\"money\"", "only printed beside amounts"),
            "name of the currency, for printing only",
        ),
        key(
            "horizon",
            What::Span,
            "",
            Need::Required,
            "first and last day planned: soaking starts and planting ends inside",
        ),
        key(
            "weather",
            What::Weather(&CONSTANT, &WEATHER_DAY),
            "",
            Need::Optional,
            "outdoor temperatures; needed when a clock runs on leaves or thermal time",
        ),
        key(
            "calendars",
            What::Object(&CALENDARS),
            "",
            Need::Default("{}", ""),
            "working days by kind of work",
        ),
        key(
            "closed_days",
            What::Rows {
                of: &CLOSED_DAY,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "holidays and other closed days, added to those of `calendars`",
        ),
        key(
            "seasons",
            What::List {
                of: &SEASON,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "seasons, for windows and reports",
        ),
        key(
            "kinds",
            What::List {
                of: &KIND,
                least: 1,
            },
            "",
            Need::Required,
            "what the line must be set up for: variety, seed rate, soil",
        ),
        key(
            "planters",
            What::List {
                of: &PLANTER,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "planting machines whose hectares a day are limited",
        ),
        key(
            "blocks",
            What::List {
                of: &BLOCK,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "irrigation blocks: their fields follow the water",
        ),
        key(
            "fields",
            What::Rows {
                of: &FIELD,
                least: 0,
            },
            "",
            Need::Required,
            "orders: one entry for each field to be planted",
        ),
        key(
            "growers",
            What::List {
                of: &GROWER,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "growers whose trays come back in a way of their own, or who are members",
        ),
        key(
            "lines",
            What::List {
                of: &LINE,
                least: 1,
            },
            "",
            Need::Required,
            "sowing lines",
        ),
        key(
            "germination",
            What::List {
                of: &GERMINATION,
                least: 1,
            },
            "",
            Need::Required,
            "places where stacks stand while the seed comes up",
        ),
        key(
            "beds",
            What::List { of: &BED, least: 1 },
            "",
            Need::Required,
            "floor for greening and hardening",
        ),
        key(
            "trays",
            What::Object(&TRAYS),
            "",
            Need::Required,
            "the tray stock",
        ),
        key(
            "seed_stores",
            What::List {
                of: &SEED_STORE,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "dry seed in store, by kind; a kind without a store is not limited",
        ),
        key(
            "soil_stores",
            What::List {
                of: &SOIL_STORE,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "soil in store, by mix",
        ),
        key(
            "agents",
            What::List {
                of: &AGENT,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "agents for treating seed, in store; an agent that is not here is not counted",
        ),
        key(
            "tank",
            What::Object(&TANK),
            "",
            Need::Optional,
            "the soaking tank; left out: not limited",
        ),
        key(
            "water",
            What::Object(&WATER),
            "",
            Need::Optional,
            "water for the line and the beds; left out: not limited",
        ),
        key(
            "vehicles",
            What::List {
                of: &VEHICLE,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "vehicles that bring trays to fields; none: loads are not limited",
        ),
        key(
            "mats_for_sale",
            What::List {
                of: &MATS_FOR_SALE,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "mats that others sell; a choice that `whatif` shows, no plan counts on them",
        ),
        key(
            "travel_groups",
            What::List {
                of: &TRAVEL_GROUP,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "groups of fields that one round trip serves; where no field is in one, vehicles are limited by their trips a day",
        ),
        key(
            "edge",
            What::Object(&EDGE_WARMTH),
            "",
            Need::Default("{}", ""),
            "warmth at the edge of a field, where trays wait to be planted",
        ),
        key(
            "sharing",
            What::Choice(&[
                "fewest_trays",
                "order_date",
                "members_first",
                "in_proportion",
            ]),
            "",
            Need::Default("\"fewest_trays\"", NOTHING),
            "whose trays are short when not all can be grown: whichever costs least, those who ordered last, those who are no members, or all growers alike",
        ),
        key(
            "crews",
            What::List {
                of: &CREW,
                least: 1,
            },
            "",
            Need::Required,
            "people who work together",
        ),
        key(
            "staff",
            What::Rows {
                of: &PERSON,
                least: 0,
            },
            "",
            Need::Optional,
            "the people by name, for the roster; plans do not depend on them; left out: no roster is made",
        ),
        key(
            "duty",
            What::Object(&DUTY),
            "",
            Need::Optional,
            "what limits the duties of a person of the `staff`; local rules and contracts say how much; left out: the defaults of its keys",
        ),
        key(
            "work",
            What::Object(&WORK),
            "",
            Need::Default(super::people::ALL_TASKS, ""),
            "what each task takes; if written, a task left out takes nobody's time",
        ),
        key(
            "prices",
            What::Object(&PRICES),
            "",
            Need::Default("{}", ""),
            "prices that belong to nothing else",
        ),
        key(
            "opening",
            What::Object(&OPENING),
            "",
            Need::Default("{}", ""),
            "what stands, soaks and is away when the first day begins",
        ),
        key(
            "pins",
            What::List { of: &PIN, least: 0 },
            "",
            Need::Default("[]", NOTHING),
            "dates that are not to be chosen",
        ),
        key(
            "told",
            What::List {
                of: &super::carried::TOLD,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "planting days that were told or planned before",
        ),
    ],
};

static CONSTANT: Table = Table {
    one: "pair of temperatures for every day",
    groups: &[],
    keys: &[
        key(
            "min_c",
            decimal(2, -60, 60),
            "°C",
            Need::Required,
            "lowest of every day",
        ),
        key(
            "max_c",
            decimal(2, -60, 60),
            "°C",
            Need::Required,
            "highest of every day",
        ),
    ],
};

static WEATHER_DAY: Table = Table {
    one: "day of weather",
    groups: &[],
    keys: &[
        key("date", What::Day, "", Need::Required, "the day"),
        key(
            "min_c",
            decimal(2, -60, 60),
            "°C",
            Need::Required,
            "lowest outdoors",
        ),
        key(
            "max_c",
            decimal(2, -60, 60),
            "°C",
            Need::Required,
            "highest outdoors",
        ),
    ],
};

static CALENDARS: Table = Table {
    one: "set of calendars",
    groups: &[],
    keys: &[
        key(
            "line",
            What::Object(&CALENDAR),
            "",
            Need::Default("{}", ""),
            "sowing",
        ),
        key(
            "beds",
            What::Object(&CALENDAR),
            "",
            Need::Default("{}", ""),
            "soaking, draining, opening stacks, covers, collecting and washing trays",
        ),
        key(
            "planting",
            What::Object(&CALENDAR),
            "",
            Need::Default("{}", ""),
            "loading and planting",
        ),
    ],
};

static CALENDAR: Table = Table {
    one: "calendar",
    groups: &[],
    keys: &[
        key(
            "rest_days",
            What::Choices {
                of: DAYS_OF_THE_WEEK,
                least: 0,
            },
            "",
            Need::Default("[\"sunday\"]", PRACTICE),
            "days of the week without this work",
        ),
        key(
            "closed",
            What::Spans { least: 0 },
            "",
            Need::Default("[]", NOTHING),
            "holidays and other closed days",
        ),
        key(
            "open",
            What::Spans { least: 0 },
            "",
            Need::Default("[]", NOTHING),
            "days worked although they are rest days or closed",
        ),
    ],
};

static CLOSED_DAY: Table = Table {
    one: "closed span of days",
    groups: &[],
    keys: &[
        key(
            "calendar",
            What::Choice(&["line", "beds", "planting", "all"]),
            "",
            Need::Required,
            "for which work",
        ),
        key("days", What::Span, "", Need::Required, "the closed days"),
        key(
            "note",
            What::Text,
            "",
            Need::Optional,
            "why: for people, the planner does not read it",
        ),
    ],
};

static SEASON: Table = Table {
    one: "season",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Seasons),
            "",
            Need::Required,
            "short name",
        ),
        super::NAME,
        key(
            "span",
            What::Span,
            "",
            Need::Required,
            "all its planting windows lie inside",
        ),
    ],
};

static PRICES: Table = Table {
    one: "set of prices",
    groups: &[],
    keys: &[
        key(
            "set_up",
            decimal(3, 0, 1_000_000),
            "money",
            Need::Default("20", MEMORY),
            "each set-up of a line: seed and soil left over, wear",
        ),
        key(
            "off_preferred",
            decimal(3, 0, 10_000),
            "money per 100 trays and day",
            Need::Default("1", MEMORY),
            "planting off the preferred day",
        ),
        key(
            "bed_move",
            decimal(3, 0, 10_000),
            "money per 100 trays",
            Need::Default("0", NOTHING),
            "trays moved from one bed to another",
        ),
        key(
            "edge_wait",
            decimal(3, 0, 10_000),
            "money per 100 trays and day",
            Need::Default("0", NOTHING),
            "trays waiting at the edge of a field",
        ),
        key(
            "split_run",
            decimal(3, 0, 1_000_000),
            "money",
            Need::Default("0", NOTHING),
            "each run beyond the first that the parts of one field come from",
        ),
        key(
            "short_per_tray",
            decimal(3, 0, 1_000_000),
            "money a tray",
            Need::Optional,
            "a tray not grown; left out: ten times the dearest way to grow one",
        ),
        key(
            "promise_moved",
            decimal(3, 0, 1_000_000),
            "money",
            Need::Default("0", NOTHING),
            "each part planted on another day than was promised",
        ),
        key(
            "plan_moved",
            decimal(3, 0, 1_000_000),
            "money",
            Need::Default("0", NOTHING),
            "each part planted on another day than was planned and not yet promised",
        ),
    ],
};

static OPENING: Table = Table {
    one: "opening",
    groups: &[],
    keys: &[
        key(
            "sown",
            What::List {
                of: &super::carried::SOWN,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "trays sown before the first day",
        ),
        key(
            "soaked",
            What::List {
                of: &super::carried::SOAKED,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "seed put to soak before the first day",
        ),
        key(
            "dirty_trays",
            What::Integer(0, 100_000_000),
            "trays",
            Need::Default("0", NOTHING),
            "trays at home, not yet washed",
        ),
        key(
            "trays_out",
            What::List {
                of: &TRAYS_OUT,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "trays away that come back on a known day",
        ),
        key(
            "parts",
            What::List {
                of: &super::carried::PART,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "parts of fields of which more is known than the order says",
        ),
        key(
            "drying",
            What::List {
                of: &super::carried::DRYING,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "trays that were washed and are not dry yet",
        ),
    ],
};

static TRAYS_OUT: Table = Table {
    one: "number of trays away",
    groups: &[],
    keys: &[
        key(
            "trays",
            What::Integer(1, 100_000_000),
            "trays",
            Need::Required,
            "how many",
        ),
        key(
            "back",
            What::Day,
            "",
            Need::Required,
            "day on which they are back, to be washed",
        ),
        key("grower", What::Text, "", Need::Optional, "who has them"),
        key(
            "field",
            What::Text,
            "",
            Need::Optional,
            "the field that they went to; it may have been served since",
        ),
        key(
            "since",
            What::Day,
            "",
            Need::Optional,
            "day on which they left, before the horizon",
        ),
        key(
            "due",
            What::Day,
            "",
            Need::Optional,
            "day on which they were due, when they come later than that",
        ),
    ],
};

static PIN: Table = Table {
    one: "pin",
    groups: &[],
    keys: &[
        super::carried::WHICH_FIELD,
        super::carried::WHICH_PART,
        key("sow", What::Day, "", Need::Optional, "sow on this day"),
        key("plant", What::Day, "", Need::Optional, "plant on this day"),
    ],
};
