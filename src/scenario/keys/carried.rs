//! Keys of what is carried over to the first day: sown trays, soaking seed, parts served already, days told.

use super::{Key, NOTHING, Need, Section, Table, What, decimal, key, positive};

pub static SOWN: Table = Table {
    one: "batch of sown trays",
    groups: &[],
    keys: &[
        key(
            "field",
            What::Ref(Section::Fields),
            "",
            Need::Required,
            "for which field",
        ),
        key(
            "part",
            What::Integer(1, 50),
            "",
            Need::Default("1", NOTHING),
            "for which of its parts, from 1",
        ),
        key(
            "sown",
            What::Day,
            "",
            Need::Required,
            "sow day, before the horizon",
        ),
        key(
            "trays",
            What::Integer(1, 10_000_000),
            "trays",
            Need::Required,
            "sown trays",
        ),
        key(
            "germination",
            What::Ref(Section::Germination),
            "",
            Need::Required,
            "where they were stacked",
        ),
        key(
            "green_bed",
            What::Ref(Section::Beds),
            "",
            Need::Required,
            "where they green",
        ),
        key(
            "harden_bed",
            What::Ref(Section::Beds),
            "",
            Need::Required,
            "where they harden",
        ),
        key(
            "run",
            What::Text,
            "",
            Need::Optional,
            "the run they were sown in, as written on the stacks",
        ),
        key(
            "opened",
            What::Day,
            "",
            Need::Optional,
            "day on which their stack was opened, before the horizon; left out: not yet, or when it was due",
        ),
        key(
            "hardened",
            What::Day,
            "",
            Need::Optional,
            "day from which they harden, before the horizon; left out: not yet, or when it was due",
        ),
        key(
            "leaving",
            What::Integer(1, 10_000_000),
            "trays",
            Need::Optional,
            "trays of them that can still leave, when counted; left out: by the losses of the kind",
        ),
        key(
            "ahead",
            decimal(2, -1_000, 1_000),
            "on the kind's clock",
            Need::Default("0", NOTHING),
            "how far a count finds them ahead of the age by temperatures; below 0: behind",
        ),
    ],
};

pub static SOAKED: Table = Table {
    one: "batch of soaking seed",
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
            "kg_dry",
            positive(3, 1_000_000),
            "kg",
            Need::Required,
            "dry weight",
        ),
        key(
            "soaked",
            What::Day,
            "",
            Need::Required,
            "day on which soaking began, before the horizon",
        ),
    ],
};

pub(super) const WHICH_FIELD: Key = key(
    "field",
    What::Ref(Section::Fields),
    "",
    Need::Required,
    "which field",
);

pub(super) const WHICH_PART: Key = key(
    "part",
    What::Integer(1, 50),
    "",
    Need::Default("1", NOTHING),
    "which of its parts, from 1",
);

/// What is known of a part.
pub static PART: Table = Table {
    one: "part of a field",
    groups: &[],
    keys: &[
        WHICH_FIELD,
        WHICH_PART,
        key(
            "trays",
            What::Integer(0, 10_000_000),
            "trays",
            Need::Required,
            "trays still to leave for it; 0: it has been served",
        ),
    ],
};

/// A day told or planned.
pub static TOLD: Table = Table {
    one: "day told",
    groups: &[],
    keys: &[
        WHICH_FIELD,
        WHICH_PART,
        key("day", What::Day, "", Need::Required, "the day"),
        key(
            "promised",
            What::Flag,
            "",
            Need::Default("true", NOTHING),
            "whether the grower was told",
        ),
    ],
};

/// Washed trays that dry.
pub static DRYING: Table = Table {
    one: "number of trays drying",
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
            "clean",
            What::Day,
            "",
            Need::Required,
            "clean on the morning of this day",
        ),
    ],
};
