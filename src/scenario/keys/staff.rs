//! Keys of the people by name and of what limits their duties.

use super::{MEMORY, NAME, NOTHING, Need, Section, Table, What, decimal, key, positive};

/// Limits of duties are nobody's law here.
const CONTRACTS: &str = "from memory; local rules and contracts govern";

/// One person.
pub static PERSON: Table = Table {
    one: "person",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Staff),
            "",
            Need::Required,
            "short name",
        ),
        NAME,
        key(
            "crews",
            What::Refs(Section::Crews),
            "",
            Need::Default("[]", NOTHING),
            "crews whose work they can do; empty for people who only watch",
        ),
        key(
            "away",
            What::Spans { least: 0 },
            "",
            Need::Default("[]", NOTHING),
            "days on which they are away",
        ),
        key(
            "days_a_week_most",
            What::Integer(1, 7),
            "d",
            Need::Optional,
            "most days of duty in an ISO week; left out: as for all",
        ),
        key(
            "licensed",
            What::Flag,
            "",
            Need::Default("false", NOTHING),
            "`true`: holds the licence for handling what seed is treated with",
        ),
        key(
            "watches",
            What::Flag,
            "",
            Need::Default("false", NOTHING),
            "`true`: may be asked for night watches",
        ),
        key(
            "fixed_days_off",
            What::Flag,
            "",
            Need::Default("false", NOTHING),
            "`true`: free on the same days of every week; `free_days_together` of them lie next to each other, Sunday and Monday too",
        ),
    ],
};

/// What limits duties.
pub static DUTY: Table = Table {
    one: "set of limits of duties",
    groups: &[],
    keys: &[
        key(
            "days_in_a_row_most",
            What::Integer(1, 31),
            "d",
            Need::Default("6", CONTRACTS),
            "most days of duty one after another",
        ),
        key(
            "rest_hours_least",
            decimal(2, 0, 48),
            "h",
            Need::Default("11", CONTRACTS),
            "least time from the end of a duty to the beginning of the next",
        ),
        key(
            "days_a_week_most",
            What::Integer(1, 7),
            "d",
            Need::Default("6", CONTRACTS),
            "most days of duty in an ISO week",
        ),
        key(
            "free_days_together",
            What::Integer(0, 6),
            "d",
            Need::Default("1", CONTRACTS),
            "so many days next to each other are free in every ISO week",
        ),
        key(
            "late_from",
            What::Clock("late_from_minute"),
            "",
            Need::Default("\"18:00\"", CONTRACTS),
            "a duty that ends then or later is a late one",
        ),
        key(
            "night_watch",
            What::Object(&NIGHT_WATCH),
            "",
            Need::Optional,
            "watches at night; left out: nobody watches",
        ),
    ],
};

static NIGHT_WATCH: Table = Table {
    one: "night watch",
    groups: &[],
    keys: &[
        key(
            "people",
            What::Integer(1, 20),
            "people",
            Need::Default("1", MEMORY),
            "people on a watch",
        ),
        key(
            "start",
            What::Clock("start_minute"),
            "",
            Need::Default("\"20:00\"", MEMORY),
            "beginning of the watch",
        ),
        key(
            "hours",
            positive(2, 24),
            "h",
            Need::Default("10", MEMORY),
            "length of the watch",
        ),
        key(
            "stacks",
            What::Flag,
            "",
            Need::Default("true", MEMORY),
            "`true`: on nights on which stacks stand",
        ),
        key(
            "below_c",
            decimal(2, -60, 60),
            "°C",
            Need::Optional,
            "also on nights before a day whose lowest is below it, while trays stand in beds; left out: not for the cold",
        ),
    ],
};
