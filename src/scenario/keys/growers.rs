//! Keys of growers and of irrigation blocks.

use super::{NOTHING, Need, Section, Table, What, decimal, key};

/// One grower.
pub static GROWER: Table = Table {
    one: "grower",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Called(Section::Growers),
            "",
            Need::Required,
            "the name that stands in `fields[].grower`",
        ),
        key(
            "returns",
            What::List {
                of: &RETURNED,
                least: 0,
            },
            "",
            Need::Default("[]", "as for all others; nothing is assumed"),
            "how a delivery's trays come back; what the last point leaves is lost",
        ),
        key(
            "member",
            What::Flag,
            "",
            Need::Default("false", NOTHING),
            "`true`: served before others where `sharing` is `members_first`",
        ),
    ],
};

static RETURNED: Table = Table {
    one: "point of a return curve",
    groups: &[],
    keys: &[
        key(
            "days",
            What::Integer(0, 365),
            "d",
            Need::Required,
            "days after planting",
        ),
        key(
            "share",
            decimal(6, 0, 1),
            "",
            Need::Required,
            "share of the delivery that is back by then: 0.8 for 80 %",
        ),
    ],
};

/// One irrigation block.
pub static BLOCK: Table = Table {
    one: "irrigation block",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Blocks),
            "",
            Need::Required,
            "short name",
        ),
        key(
            "water",
            What::Day,
            "",
            Need::Required,
            "day on which the water comes",
        ),
        key(
            "first_days",
            What::Integer(0, 365),
            "d",
            Need::Required,
            "planted at the earliest so many days after it",
        ),
        key(
            "last_days",
            What::Integer(0, 365),
            "d",
            Need::Required,
            "planted at the latest so many days after it",
        ),
    ],
};
