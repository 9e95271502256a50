//! Further types of the completed scenario: kinds, and how temperature becomes growth and age.

use super::orders::Losses;
use super::supplies::{AgeLimit, Treatment};
use crate::units::{Age, Celsius, Fixed, Grams, Litres, Millimetres, Money, Share};
use serde::{Deserialize, Serialize};

/// What the line must be set up for: variety × seed rate × soil mix.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kind {
    /// Short name.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Dry seed a tray, g.
    pub seed_g_dry_per_tray: Grams,
    /// Sprouted, surface-dry seed weighs this many times the dry seed.
    pub wet_ratio: Fixed<3>,
    /// Depth of bed soil, mm.
    pub bed_soil_mm: Millimetres,
    /// Depth of cover soil, mm.
    pub cover_soil_mm: Millimetres,
    /// Water put on each tray on the line, L.
    pub water_l_per_tray: Litres,
    /// Soaking lasts until the water's daily temperatures add up to this, °C·d.
    pub soak_degree_days: Fixed<1>,
    /// Temperature of the soaking water, °C.
    pub soak_water_c: Celsius,
    /// Days from draining to ready for the line.
    pub sprout_days: i32,
    /// Sprouted seed may wait this many days for the line.
    pub hold_days: i32,
    /// Draining may come this many days late, when nobody works on the day it is due.
    pub drain_wait_days: i32,
    /// When the stack is ready to open.
    pub stack: StackNeed,
    /// Days under the first cover, from opening the stack.
    pub greening_days: i32,
    /// Changing the covers may come this many days late, when nobody works on the day it is due.
    pub greening_wait_days: i32,
    /// Limits and target of age at planting.
    pub age: AgeLimits,
    /// Further limits of age, on any clock; the tightest wins.
    #[serde(default)]
    pub limits: Vec<AgeLimit>,
    /// Seed is soaked in whole bags of this dry weight, kg; none: to the gram.
    #[serde(default)]
    pub bag_kg: Option<Fixed<3>>,
    /// Store that the bed soil comes from.
    #[serde(default)]
    pub bed_soil: Option<String>,
    /// Store that the cover soil comes from.
    #[serde(default)]
    pub cover_soil: Option<String>,
    /// How temperature becomes growth.
    pub growth: Growth,
    /// Cost of planting younger than the target: money per 100 trays and unit of age.
    pub cost_younger: Money,
    /// Cost of planting older than the target: money per 100 trays and unit of age.
    pub cost_older: Money,
    /// What is lost on the way, by stage.
    #[serde(default)]
    pub losses: Losses,
    /// Share of the trays ordered that is grown besides, for no field.
    #[serde(default)]
    pub spare_share: Share,
    /// A run has at least so many trays for fields.
    #[serde(default)]
    pub least_run_trays: i64,
    /// Nothing is sown after it on the same line and day.
    #[serde(default)]
    pub last_of_day: bool,
    /// What its seed is treated with.
    #[serde(default)]
    pub treatment: Option<Treatment>,
    /// Daily care in beds takes so many times the usual time and water.
    #[serde(default = "once")]
    pub care_times: Fixed<2>,
    /// Kinds that growers take in its place when it is short.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub in_its_place: Vec<String>,
}

/// When a stack is ready: whichever clock, from the sow day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StackNeed {
    /// `days`, or `thermal` by the kind's growth method.
    pub clock: StackClock,
    /// Days, or °C·d, until ready.
    pub need: Fixed<1>,
}

/// Clock of a stack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum StackClock {
    Days,
    Thermal,
}

/// Clock of a seedling's age.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AgeClock {
    /// Days from sowing.
    Days,
    /// Leaves: mean temperatures above 0 °C over the phyllochron.
    Leaves,
    /// °C·d by the kind's growth method.
    Thermal,
}

/// Age at planting on one clock; `youngest ≤ target ≤ oldest`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AgeLimits {
    /// Days, leaves or °C·d.
    pub clock: AgeClock,
    /// The mat does not hold before this.
    pub youngest: Age,
    /// Best.
    pub target: Age,
    /// Not planted beyond this.
    pub oldest: Age,
}

/// A published way to turn a day's lowest and highest temperature into °C·d.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// Hour by hour on a daily sine, rising from base to optimum and mirrored down to the ceiling.
    HourlySine,
    /// Mean of the day's two temperatures, then cut to base and upper limit.
    #[serde(rename = "daily_mean_1")]
    DailyMean1,
    /// Both temperatures cut to base and upper limit, then the mean.
    #[serde(rename = "daily_mean_2")]
    DailyMean2,
    /// The highest cut to both limits, the lowest to the upper only, then the mean held up to the base.
    #[serde(rename = "daily_mean_3")]
    DailyMean3,
    /// Area of the daily sine between the thresholds, horizontal cut-off.
    SingleSine,
    /// One unit a day, whatever the weather.
    Days,
}

/// Parameters of growth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Growth {
    /// Which sum.
    pub method: Method,
    /// Nothing grows below, °C.
    pub base_c: Celsius,
    /// Upper limit of the mean and sine methods; optimum of `hourly_sine`, °C.
    pub upper_c: Celsius,
    /// `hourly_sine` only: nothing grows above, °C.
    pub ceiling_c: Celsius,
    /// °C·d of mean temperature above 0 °C a leaf.
    pub phyllochron_cd: Fixed<1>,
}

fn once() -> Fixed<2> {
    Fixed::whole(1)
}
