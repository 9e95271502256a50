//! Keys of agents for treating seed, of travel groups and of losses on the way.

use super::stores::{LEAD_DAYS, USABLE_FROM, deliveries};
use super::{NAME, NOTHING, Need, Section, Table, What, decimal, key, positive};

/// Most that a store or a delivery may hold, mL.
const MOST: i64 = 100_000_000;

/// One agent in store.
pub static AGENT: Table = Table {
    one: "agent for treating seed",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Agents),
            "",
            Need::Required,
            "short name, as in `kinds[].treatment.agent`",
        ),
        NAME,
        key(
            "ml",
            What::Integer(0, MOST),
            "mL",
            Need::Required,
            "in store on the first morning",
        ),
        LEAD_DAYS,
        key(
            "lot_ml",
            What::Integer(1, 1_000_000),
            "mL",
            Need::Optional,
            "sold in bottles of this volume; left out: in any amount",
        ),
        deliveries(&AGENT_DELIVERY),
    ],
};

static AGENT_DELIVERY: Table = Table {
    one: "delivery of an agent",
    groups: &[],
    keys: &[
        USABLE_FROM,
        key("ml", What::Integer(1, MOST), "mL", Need::Required, "volume"),
    ],
};

/// Mats that somebody sells.
pub static MATS_FOR_SALE: Table = Table {
    one: "offer of mats",
    groups: &[],
    keys: &[
        key(
            "kind",
            What::Ref(Section::Kinds),
            "",
            Need::Required,
            "kind",
        ),
        key("seller", What::Text, "", Need::Required, "who sells them"),
        key(
            "price_per_tray",
            decimal(3, 0, 1_000_000),
            "money a tray",
            Need::Required,
            "price of a tray with its mat",
        ),
        key(
            "notice_days",
            What::Integer(0, 365),
            "d",
            Need::Default("0", NOTHING),
            "from ordering to being here",
        ),
        key(
            "most_trays",
            What::Integer(1, 10_000_000),
            "trays",
            Need::Optional,
            "most at once; left out: no limit is known",
        ),
    ],
};

/// What the seed of a kind is treated with.
pub static TREATMENT: Table = Table {
    one: "treatment of seed",
    groups: &[],
    keys: &[
        key(
            "agent",
            What::Text,
            "",
            Need::Required,
            "what it is treated with; counted if it is an id of `agents`",
        ),
        key(
            "ml_per_kg",
            positive(1, 10_000),
            "mL/kg",
            Need::Required,
            "for each kilogram of dry seed; the label of the agent says how much",
        ),
    ],
};

/// What is lost on the way, stage by stage.
pub static LOSSES: Table = Table {
    one: "set of losses",
    groups: &[],
    keys: &[
        key(
            "line",
            decimal(6, 0, 1),
            "",
            Need::Default("0", NOTHING),
            "share of the trays sown that is lost on the line: 0.01 for 1 %",
        ),
        key(
            "stack",
            decimal(6, 0, 1),
            "",
            Need::Default("0", NOTHING),
            "share of what comes into the stack that is lost there",
        ),
        key(
            "bed",
            decimal(6, 0, 1),
            "",
            Need::Default("0", NOTHING),
            "share of what comes into the beds that is lost there",
        ),
    ],
};

/// One travel group.
pub static TRAVEL_GROUP: Table = Table {
    one: "travel group",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::TravelGroups),
            "",
            Need::Required,
            "short name",
        ),
        NAME,
        key(
            "round_trip_minutes",
            positive(2, 1_440),
            "min",
            Need::Required,
            "there, unloading and back",
        ),
    ],
};
