//! Keys of stores of seed and soil, the soaking tank, water and vehicles.

use super::{Key, MEMORY, NAME, NOTHING, Need, Section, Table, What, decimal, key, positive};

/// Most that a store or a delivery may hold, kg or L.
const MOST: i64 = 100_000_000;

/// How long ahead something is ordered; on the list of what to buy.
pub(super) const LEAD_DAYS: Key = key(
    "lead_days",
    What::Integer(0, 730),
    "d",
    Need::Default("0", NOTHING),
    "from ordering to being here; for the list of what to buy",
);

/// Deliveries to a store.
pub(super) const fn deliveries(of: &'static Table) -> Key {
    let what = What::List { of, least: 0 };
    key(
        "deliveries",
        what,
        "",
        Need::Default("[]", NOTHING),
        "what comes",
    )
}

/// The day of a delivery.
pub(super) const USABLE_FROM: Key = key(
    "day",
    What::Day,
    "",
    Need::Required,
    "usable from this day on",
);

/// Dry seed of one kind.
pub static SEED_STORE: Table = Table {
    one: "store of seed",
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
            decimal(3, 0, MOST),
            "kg",
            Need::Required,
            "dry weight in store on the first morning",
        ),
        LEAD_DAYS,
        key(
            "sample_kg",
            decimal(3, 0, 1_000),
            "kg",
            Need::Default("0", NOTHING),
            "kept back of each season's seed until harvest; for the list of what to buy",
        ),
        key(
            "reserve_share",
            decimal(6, 0, 1),
            "",
            Need::Default("0", NOTHING),
            "share of the seed put to soak that is bought besides, to sow again: 0.05 for 5 %; for the list of what to buy",
        ),
        deliveries(&SEED_DELIVERY),
    ],
};

static SEED_DELIVERY: Table = Table {
    one: "delivery of seed",
    groups: &[],
    keys: &[
        USABLE_FROM,
        key(
            "kg_dry",
            positive(3, MOST),
            "kg",
            Need::Required,
            "dry weight",
        ),
    ],
};

/// Soil of one mix.
pub static SOIL_STORE: Table = Table {
    one: "store of soil",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::SoilStores),
            "",
            Need::Required,
            "short name of the mix",
        ),
        NAME,
        key(
            "litres",
            decimal(2, 0, MOST),
            "L",
            Need::Required,
            "in store on the first morning",
        ),
        LEAD_DAYS,
        key(
            "lot_litres",
            positive(2, 1_000_000),
            "L",
            Need::Optional,
            "sold in lots of this volume; left out: in any amount",
        ),
        deliveries(&SOIL_DELIVERY),
    ],
};

static SOIL_DELIVERY: Table = Table {
    one: "delivery of soil",
    groups: &[],
    keys: &[
        USABLE_FROM,
        key("litres", positive(2, MOST), "L", Need::Required, "volume"),
    ],
};

/// The soaking tank.
pub static TANK: Table = Table {
    one: "soaking tank",
    groups: &[],
    keys: &[key(
        "kg_dry",
        positive(3, MOST),
        "kg",
        Need::Required,
        "most dry seed soaking at once",
    )],
};

/// Water for the line and the beds.
pub static WATER: Table = Table {
    one: "supply of water",
    groups: &[],
    keys: &[
        key(
            "litres_per_day",
            decimal(2, 0, MOST),
            "L",
            Need::Required,
            "most in a day",
        ),
        key(
            "care_l_per_tray",
            decimal(2, 0, 100),
            "L",
            Need::Default("1", MEMORY),
            "put on each tray in a bed on each day",
        ),
    ],
};

/// One vehicle.
pub static VEHICLE: Table = Table {
    one: "vehicle",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Vehicles),
            "",
            Need::Required,
            "short name",
        ),
        NAME,
        key(
            "trips_per_day",
            What::Integer(0, 100),
            "trips",
            Need::Required,
            "round trips a day",
        ),
        key(
            "trays_per_trip",
            What::Integer(0, 100_000),
            "trays",
            Need::Required,
            "places on its racks",
        ),
        key(
            "kg_per_trip",
            decimal(1, 0, 1_000_000),
            "kg",
            Need::Required,
            "load that it may carry",
        ),
        key(
            "hours_per_day",
            decimal(2, 0, 24),
            "h",
            Need::Default("10", MEMORY),
            "hours a day on the road; counted for fields in a travel group",
        ),
    ],
};
