//! Further types of the completed scenario: what follows the water, what is in store, what carries, and limits beside a kind's own.

use super::growing::AgeClock;
use crate::calendar::Day;
use crate::units::{Age, Fixed, Hours, Litres, Money, Share};
use serde::{Deserialize, Serialize};

/// A limit of age on one clock, beside the kind's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AgeLimit {
    /// Days, leaves or °C·d.
    pub clock: AgeClock,
    /// Not planted before this.
    pub youngest: Option<Age>,
    /// Not planted beyond this.
    pub oldest: Option<Age>,
}

/// The rate of one kind on a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineRate {
    /// Kind.
    pub kind: String,
    /// Rate the line is set to for it, trays/h.
    pub set_trays_per_h: Fixed<1>,
}

/// A grower, and how the trays come back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Grower {
    /// The name that stands in `fields[].grower`.
    pub id: String,
    /// Served before others when `sharing` says so.
    #[serde(default)]
    pub member: bool,
    /// Shares of a delivery that are back by a number of days after planting, ascending in both; none: as for all others.
    pub returns: Vec<Returned>,
}

/// A point of a return curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Returned {
    /// Days after planting.
    pub days: i32,
    /// Share of the delivery that is back by then.
    pub share: Share,
}

/// An irrigation block.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Block {
    /// Short name.
    pub id: String,
    /// Day on which the water comes.
    pub water: Day,
    /// Planted at the earliest so many days after it.
    pub first_days: i32,
    /// Planted at the latest so many days after it.
    pub last_days: i32,
}

/// Dry seed of a kind in store.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeedStore {
    /// Kind.
    pub kind: String,
    /// In store on the first morning, kg.
    pub kg_dry: Fixed<3>,
    /// Days from ordering to being here.
    #[serde(default)]
    pub lead_days: i32,
    /// Kept back of each season's seed until harvest, kg.
    #[serde(default)]
    pub sample_kg: Fixed<3>,
    /// Share of the seed sown that is bought besides, to sow again.
    #[serde(default)]
    pub reserve_share: Share,
    /// What comes.
    pub deliveries: Vec<SeedDelivery>,
}

/// Seed that comes on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeedDelivery {
    /// Usable from this day on.
    pub day: Day,
    /// Dry weight, kg.
    pub kg_dry: Fixed<3>,
}

/// Soil of one mix in store.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoilStore {
    /// Short name of the mix.
    pub id: String,
    /// Local name.
    pub name: String,
    /// In store on the first morning, L.
    pub litres: Litres,
    /// Days from ordering to being here.
    #[serde(default)]
    pub lead_days: i32,
    /// Sold in lots of so many litres; none: in any amount.
    #[serde(default)]
    pub lot_litres: Option<Litres>,
    /// What comes.
    pub deliveries: Vec<SoilDelivery>,
}

/// Soil that comes on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoilDelivery {
    /// Usable from this day on.
    pub day: Day,
    /// Volume, L.
    pub litres: Litres,
}

/// Water for the line and the beds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Water {
    /// Most in a day, L.
    pub litres_per_day: Litres,
    /// Put on each tray in a bed on each day, L.
    pub care_l_per_tray: Litres,
}

/// Mats with seedlings that somebody sells, with their trays.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MatsForSale {
    /// Kind.
    pub kind: String,
    /// Who sells them.
    pub seller: String,
    /// Money for a tray.
    pub price_per_tray: Money,
    /// Days from ordering to being here.
    pub notice_days: i32,
    /// Most trays at once; none: no limit is known.
    pub most_trays: Option<i64>,
}

/// The soaking tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tank {
    /// Most dry seed soaking at once, kg.
    pub kg_dry: Fixed<3>,
}

/// A vehicle that brings trays to fields.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vehicle {
    /// Short name.
    pub id: String,
    /// Local name.
    pub name: String,
    /// Round trips a day.
    pub trips_per_day: i64,
    /// Places on its racks.
    pub trays_per_trip: i64,
    /// Load it may carry, kg.
    pub kg_per_trip: Fixed<1>,
    /// Hours a day on the road, for fields in a travel group.
    #[serde(default = "usual_hours")]
    pub hours_per_day: Hours,
}

/// What seed of a kind is treated with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Treatment {
    /// The agent, by its short name in `agents` if it is counted there.
    pub agent: String,
    /// Millilitres for each kilogram of dry seed.
    pub ml_per_kg: Fixed<1>,
}

/// An agent for treating seed, in store.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AgentStore {
    /// Short name.
    pub id: String,
    /// Local name.
    pub name: String,
    /// In store on the first morning, mL.
    pub ml: Fixed<0>,
    /// Days from ordering to being here.
    #[serde(default)]
    pub lead_days: i32,
    /// Sold in bottles of so many millilitres; none: in any amount.
    #[serde(default)]
    pub lot_ml: Option<Fixed<0>>,
    /// What comes.
    pub deliveries: Vec<AgentDelivery>,
}

/// An agent that comes on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AgentDelivery {
    /// Usable from this day on.
    pub day: Day,
    /// Volume, mL.
    pub ml: Fixed<0>,
}

fn usual_hours() -> Hours {
    Hours::whole(10)
}
