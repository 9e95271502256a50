//! Further types of the completed scenario: what follows the water, what is in store, what carries, and limits beside a kind's own.

use super::types::AgeClock;
use crate::calendar::Day;
use crate::units::{Age, Fixed, Litres, Share};
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
    /// Shares of a delivery that are back by a number of days after planting, ascending in both.
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
}
