//! Keys of kinds and of fields.

use super::supply::{LOSSES, TREATMENT};
use super::{
    Group, MEMORY, NAME, NOTHING, Need, PRACTICE, Section, Table, What, decimal, key, own_id,
    positive,
};
use crate::scenario::trays;
use crate::scenario::types::MatsPerHectare;
use crate::units::{Fixed, Hectares};
use serde_json::{Map, Value, json};

/// One kind.
pub static KIND: Table = Table {
    one: "kind",
    groups: &[],
    keys: &[
        key(
            "id",
            What::Id(Section::Kinds),
            "",
            Need::Required,
            "short name",
        ),
        NAME,
        key(
            "seed_g_dry_per_tray",
            positive(1, 2_000),
            "g",
            Need::Default("180", PRACTICE),
            "dry seed a tray",
        ),
        key(
            "wet_ratio",
            decimal(3, 1, 2),
            "",
            Need::Default(
                "1.25",
                "inside 1.22 to 1.30, from dry and wet rates in guides of four Japanese prefectures \
                 (one of 2018)",
            ),
            "sprouted, surface-dry seed weighs this many times the dry seed",
        ),
        key(
            "bed_soil_mm",
            decimal(2, 0, 100),
            "mm",
            Need::Default("20", PRACTICE),
            "depth of bed soil",
        ),
        key(
            "cover_soil_mm",
            decimal(2, 0, 100),
            "mm",
            Need::Default("7", "Takahashi Y. et al., Jpn J. Crop Sci. 73(4), 2004"),
            "depth of cover soil",
        ),
        key(
            "water_l_per_tray",
            decimal(2, 0, 10),
            "L",
            Need::Default(
                "1.2",
                "directions for seedling soil from Hokuriku, undated (weak)",
            ),
            "water put on each tray on the line",
        ),
        key(
            "soak_degree_days",
            decimal(1, 0, 500),
            "°C·d",
            Need::Default(
                "100",
                "cooperative leaflet on soaking and sprouting disinfected rice seed, undated",
            ),
            "soaking lasts until the water's daily temperatures add up to this",
        ),
        key(
            "soak_water_c",
            decimal(2, 1, 45),
            "°C",
            Need::Default("12", "Iwate Pref., cold measures for rice, 17 Apr 2020"),
            "temperature of the soaking water",
        ),
        key(
            "sprout_days",
            What::Integer(0, 14),
            "d",
            Need::Default(
                "1",
                "points of rice seedling raising, seed-soil adviser, undated (weak)",
            ),
            "days from draining to ready for the line",
        ),
        key(
            "hold_days",
            What::Integer(0, 30),
            "d",
            Need::Default("1", MEMORY),
            "sprouted seed may wait this many days for the line",
        ),
        key(
            "drain_wait_days",
            What::Integer(0, 14),
            "d",
            Need::Default("1", MEMORY),
            "draining may come this many days late, when nobody works on the day",
        ),
        key(
            "stack",
            What::Object(&STACK),
            "",
            Need::Default(
                "{\"clock\": \"days\", \"need\": 3}",
                "2 to 3 days at 30 to 32 °C: Koka farm cooperative, seedlings in houses, undated",
            ),
            "when the stack is ready to open",
        ),
        key(
            "greening_days",
            What::Integer(0, 60),
            "d",
            Need::Default(
                "2",
                "2 to 3 days: Koka farm cooperative, seedlings in houses, undated",
            ),
            "days under the first cover, from opening the stack",
        ),
        key(
            "greening_wait_days",
            What::Integer(0, 14),
            "d",
            Need::Default("1", MEMORY),
            "changing covers may come this many days late, when nobody works on the day",
        ),
        key(
            "age",
            What::Object(&AGE),
            "",
            Need::Default(
                "{\"clock\": \"days\", \"youngest\": 17, \"target\": 20, \"oldest\": 23}",
                "young seedlings 20 to 25 days: Yamagata Pref., 7 Apr 2025; 3 days either side, \
                 from memory",
            ),
            "limits and target of age at planting",
        ),
        key(
            "limits",
            What::List {
                of: &LIMIT,
                least: 0,
            },
            "",
            Need::Default("[]", NOTHING),
            "further limits of age, on any clock; the tightest holds",
        ),
        key(
            "bag_kg",
            positive(3, 1_000),
            "kg",
            Need::Optional,
            "seed is soaked and bought in whole bags of this dry weight; left out: to the gram",
        ),
        key(
            "bed_soil",
            What::Ref(Section::SoilStores),
            "",
            Need::Optional,
            "store that the bed soil comes from; left out: not limited",
        ),
        key(
            "cover_soil",
            What::Ref(Section::SoilStores),
            "",
            Need::Optional,
            "store that the cover soil comes from; left out: not limited",
        ),
        key(
            "growth",
            What::Object(&GROWTH),
            "",
            Need::Default("{}", ""),
            "how temperature becomes growth",
        ),
        key(
            "cost_younger",
            decimal(3, 0, 10_000),
            "money per 100 trays and unit of age",
            Need::Follows {
                from: younger,
                rule: "2 a day, 8 a leaf, 0.1 a °C·d",
                source: MEMORY,
            },
            "planting younger than the target",
        ),
        key(
            "cost_older",
            decimal(3, 0, 10_000),
            "money per 100 trays and unit of age",
            Need::Follows {
                from: older,
                rule: "3 a day, 12 a leaf, 0.15 a °C·d",
                source: MEMORY,
            },
            "planting older than the target",
        ),
        key(
            "losses",
            What::Object(&LOSSES),
            "",
            Need::Default("{}", ""),
            "what is lost on the way: so many more trays are sown",
        ),
        key(
            "spare_share",
            decimal(6, 0, 1),
            "",
            Need::Default("0", NOTHING),
            "share of the trays ordered that is grown besides, for no field, by week",
        ),
        key(
            "least_run_trays",
            What::Integer(0, 1_000_000),
            "trays",
            Need::Default("0", NOTHING),
            "a run has at least so many trays for fields",
        ),
        key(
            "last_of_day",
            What::Flag,
            "",
            Need::Default("false", NOTHING),
            "`true`: nothing is sown after it on the same line and day",
        ),
        key(
            "treatment",
            What::Object(&TREATMENT),
            "",
            Need::Optional,
            "what its seed is treated with; left out: nothing",
        ),
        key(
            "care_times",
            decimal(2, 0, 20),
            "",
            Need::Default("1", NOTHING),
            "daily care in beds takes so many times the usual time and water",
        ),
        key(
            "in_its_place",
            What::Refs(Section::Kinds),
            "",
            Need::Default("[]", NOTHING),
            "kinds that growers take in its place when it is short; only for choices that `whatif` shows",
        ),
    ],
};

fn by_clock(kind: &Map<String, Value>, costs: [Value; 3]) -> Option<Value> {
    let [day, leaf, degree_day] = costs;
    Some(match kind.get("age")?.get("clock")?.as_str()? {
        "days" => day,
        "leaves" => leaf,
        _ => degree_day,
    })
}

fn younger(kind: &Map<String, Value>, _: &Map<String, Value>) -> Option<Value> {
    by_clock(kind, [json!(2), json!(8), json!(0.1)])
}

fn older(kind: &Map<String, Value>, _: &Map<String, Value>) -> Option<Value> {
    by_clock(kind, [json!(3), json!(12), json!(0.15)])
}

static STACK: Table = Table {
    one: "need of a stack",
    groups: &[],
    keys: &[
        key(
            "clock",
            What::Choice(&["days", "thermal"]),
            "",
            Need::Default("\"days\"", PRACTICE),
            "days, or °C·d by the kind's growth method",
        ),
        key(
            "need",
            decimal(1, 0, 1_000),
            "d or °C·d",
            Need::Required,
            "until ready, from the sow day",
        ),
    ],
};

static AGE: Table = Table {
    one: "set of ages",
    groups: &[],
    keys: &[
        key(
            "clock",
            What::Choice(&["days", "leaves", "thermal"]),
            "",
            Need::Default("\"days\"", PRACTICE),
            "days from sowing, leaves, or °C·d by the kind's growth method",
        ),
        key(
            "youngest",
            decimal(2, 0, 5_000),
            "d, leaves or °C·d",
            Need::Required,
            "the mat does not hold before",
        ),
        key(
            "target",
            decimal(2, 0, 5_000),
            "d, leaves or °C·d",
            Need::Required,
            "best age",
        ),
        key(
            "oldest",
            decimal(2, 0, 5_000),
            "d, leaves or °C·d",
            Need::Required,
            "not planted beyond",
        ),
    ],
};

static LIMIT: Table = Table {
    one: "limit of age",
    groups: &[],
    keys: &[
        key(
            "clock",
            What::Choice(&["days", "leaves", "thermal"]),
            "",
            Need::Required,
            "days from sowing, leaves, or °C·d by the kind's growth method",
        ),
        key(
            "youngest",
            decimal(2, 0, 5_000),
            "d, leaves or °C·d",
            Need::Optional,
            "not planted before",
        ),
        key(
            "oldest",
            decimal(2, 0, 5_000),
            "d, leaves or °C·d",
            Need::Optional,
            "not planted beyond",
        ),
    ],
};

const HEAT_UNITS: &str =
    "daily heat units in the public source text of a rice growth model (IRRI, Wageningen), 2009";

static GROWTH: Table = Table {
    one: "set of growth parameters",
    groups: &[],
    keys: &[
        key(
            "method",
            What::Choice(&[
                "hourly_sine",
                "daily_mean_1",
                "daily_mean_2",
                "daily_mean_3",
                "single_sine",
                "days",
            ]),
            "",
            Need::Default("\"hourly_sine\"", HEAT_UNITS),
            "which sum of temperatures",
        ),
        key(
            "base_c",
            decimal(2, -10, 40),
            "°C",
            Need::Default("8", HEAT_UNITS),
            "nothing grows below",
        ),
        key(
            "upper_c",
            decimal(2, 0, 50),
            "°C",
            Need::Default("30", HEAT_UNITS),
            "upper limit; optimum of `hourly_sine`",
        ),
        key(
            "ceiling_c",
            decimal(2, 0, 60),
            "°C",
            Need::Default("42", HEAT_UNITS),
            "`hourly_sine` only: nothing grows above",
        ),
        key(
            "phyllochron_cd",
            positive(1, 1_000),
            "°C·d",
            Need::Default(
                "100",
                "Yoshida S., Fundamentals of Rice Crop Science, IRRI, 1981",
            ),
            "mean temperature above 0 °C, summed, that a leaf takes",
        ),
    ],
};

/// Keys of a spacing.
const SPACING: [&str; 4] = ["row_cm", "hill_cm", "picks", "feed_mm"];

/// `mats` of the completed field, from whichever set was written; where `trays` and `area_ha` stand
/// for it, what they come to.
fn mats(field: &mut Map<String, Value>) {
    let mats = written_mats(field).or_else(|| {
        let trays = field.get("trays")?.as_i64()?;
        let given = trays::mats_of(trays, area_of(field)?);
        serde_json::to_value(MatsPerHectare::Given(given)).ok()
    });
    for name in SPACING.into_iter().chain(["mats_per_ha"]) {
        field.remove(name);
    }
    field.insert("mats".to_owned(), mats.unwrap_or_default());
}

/// Trays per hectare in the completed form, if one whole set is there.
fn written_mats(field: &Map<String, Value>) -> Option<Value> {
    if let Some(given) = field.get("mats_per_ha") {
        return Some(json!({ "given": given }));
    }
    let mut spacing = Map::new();
    for name in SPACING {
        spacing.insert(name.to_owned(), field.get(name)?.clone());
    }
    Some(json!({ "spacing": spacing }))
}

fn area_of(field: &Map<String, Value>) -> Option<Hectares> {
    serde_json::from_value(field.get("area_ha")?.clone()).ok()
}

/// The area that so many trays are for.
fn area_of_trays(field: &Map<String, Value>, _: &Map<String, Value>) -> Option<Value> {
    let trays = field.get("trays")?.as_i64()?;
    let mats: MatsPerHectare = serde_json::from_value(written_mats(field)?).ok()?;
    let area: Hectares = Fixed(trays::m2_of(trays, mats));
    serde_json::to_value(area).ok()
}

/// No window: allowed when an anchor says when the field may be planted, which is checked later.
fn no_window(_: &Map<String, Value>, _: &Map<String, Value>) -> Option<Value> {
    Some(json!([]))
}

/// One field.
pub static FIELD: Table = Table {
    one: "field",
    groups: &[Group {
        meaning: "trays per hectare",
        sets: &[&["mats_per_ha"], &SPACING],
        unless: &["trays", "area_ha"],
        default: &[],
        shape: mats,
    }],
    keys: &[
        key(
            "id",
            What::Id(Section::Fields),
            "",
            Need::Required,
            "short name",
        ),
        key(
            "grower",
            What::Text,
            "",
            Need::Follows {
                from: own_id,
                rule: "the id",
                source: NOTHING,
            },
            "whose field",
        ),
        key(
            "kind",
            What::Ref(Section::Kinds),
            "",
            Need::Required,
            "which kind",
        ),
        key(
            "season",
            What::Ref(Section::Seasons),
            "",
            Need::Optional,
            "which season",
        ),
        key(
            "window",
            What::Spans { least: 1 },
            "",
            Need::Follows {
                from: no_window,
                rule: "none, if `block` or `harvest_before` is given",
                source: NOTHING,
            },
            "days on which it may be planted",
        ),
        key(
            "preferred",
            What::Day,
            "",
            Need::Optional,
            "the day the grower would like best",
        ),
        key(
            "trays",
            What::Integer(1, 10_000_000),
            "trays",
            Need::Optional,
            "trays ordered, where the order counts trays: no `reserve` is added; left out: area × trays per hectare",
        ),
        key(
            "mats_per_ha",
            positive(2, 5_000),
            "trays/ha",
            Need::Grouped,
            "trays per hectare",
        ),
        key(
            "row_cm",
            decimal(1, 5, 200),
            "cm",
            Need::Grouped,
            "between rows",
        ),
        key(
            "hill_cm",
            decimal(1, 3, 200),
            "cm",
            Need::Grouped,
            "between hills in the row",
        ),
        key(
            "picks",
            What::Integer(5, 60),
            "",
            Need::Grouped,
            "picks across the mat",
        ),
        key(
            "feed_mm",
            decimal(2, 3, 50),
            "mm",
            Need::Grouped,
            "lengthways feed of the mat",
        ),
        key(
            "area_ha",
            positive(4, 10_000),
            "ha",
            Need::Unless {
                from: area_of_trays,
                rule: "`trays` ÷ trays per hectare, to the m²",
                instead: "`trays`, if the order counts trays",
                written: &["trays"],
            },
            "area",
        ),
        key(
            "reserve",
            decimal(6, 0, 1),
            "",
            Need::Default("0.05", PRACTICE),
            "the grower's margin, as a share of the trays: 0.05 for 5 %",
        ),
        key(
            "parts",
            What::Integer(1, 50),
            "",
            Need::Default("1", NOTHING),
            "grown and delivered in so many equal parts",
        ),
        key(
            "planter",
            What::Ref(Section::Planters),
            "",
            Need::Optional,
            "planting machine; left out: the grower plants, without a limit of ours",
        ),
        key(
            "closed",
            What::Spans { least: 0 },
            "",
            Need::Default("[]", NOTHING),
            "days inside the window on which it cannot be planted",
        ),
        key(
            "block",
            What::Ref(Section::Blocks),
            "",
            Need::Optional,
            "irrigation block whose water it waits for",
        ),
        key(
            "harvest_before",
            What::Day,
            "",
            Need::Optional,
            "day on which the crop before it is off the field",
        ),
        key(
            "harvest_first_days",
            What::Integer(0, 365),
            "d",
            Need::Default("0", NOTHING),
            "planted at the earliest so many days after `harvest_before`",
        ),
        key(
            "harvest_last_days",
            What::Integer(0, 365),
            "d",
            Need::Optional,
            "planted at the latest so many days after `harvest_before`",
        ),
        key(
            "ready",
            What::Flag,
            "",
            Need::Default("true", NOTHING),
            "`false` while it cannot be planted, whatever the calendar says",
        ),
        key(
            "collected",
            What::Flag,
            "",
            Need::Default("false", NOTHING),
            "`true`: the grower fetches the trays, without our vehicles and loading",
        ),
        key(
            "lifted",
            What::Flag,
            "",
            Need::Default("false", NOTHING),
            "`true`: mats are lifted out and leave without their trays",
        ),
        key(
            "state",
            What::Choice(&["enquiry", "firm", "cancelled"]),
            "",
            Need::Default("\"firm\"", NOTHING),
            "nothing is grown for an `enquiry` or what is `cancelled`",
        ),
        key(
            "ordered",
            What::Day,
            "",
            Need::Optional,
            "day of the order, for `sharing` by `order_date`",
        ),
        key(
            "stage",
            What::Choice(&["soaked_seed", "sprouted", "seedlings"]),
            "",
            Need::Default("\"seedlings\"", NOTHING),
            "what is handed over: sprouted seed for so many trays, trays on the day their stack is opened, or seedlings",
        ),
        key(
            "edge_days",
            What::Integer(0, 14),
            "d",
            Need::Default("0", NOTHING),
            "trays may wait at its edge for so many days before they are planted",
        ),
        key(
            "travel_group",
            What::Ref(Section::TravelGroups),
            "",
            Need::Optional,
            "which round trip brings trays there",
        ),
    ],
};
