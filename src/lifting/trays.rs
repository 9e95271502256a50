//! What the equation says of one to four trays, lifted from a bench and from the floor.

use super::{Centimetres, Degrees, Duration, Grip, Kilograms, Lift, PerMinute};
use serde::Serialize;

/// A sown and watered tray. Source: Yokoyama (Mie Prefectural Agricultural Technology Centre), 1990s.
pub const SOWN_KG: f64 = 6.0;
/// The pace at which a line of people hands trays on: common practice, no source.
const RATE: PerMinute = PerMinute(4.0);
/// Half of a tray's width, which keeps the hands ahead of the ankles by 20 cm and this, or 25 cm and this below 25 cm of height.
const HALF_TRAY: f64 = 15.0;

/// Where trays are lifted from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// A bench or table at 75 cm: a reach of 35 cm, 40 cm of travel, a good grip.
    Bench,
    /// The floor: hands at 10 cm, a reach of 40 cm, 65 cm of travel, fingers bent under the rim.
    Floor,
}

/// What is lifted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// Sown trays, as they are stacked.
    Sown,
    /// Trays with seedlings, as they are loaded.
    Loaded,
}

/// A way of lifting, with its limit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Column {
    /// From where.
    pub from: Place,
    /// For how long.
    pub duration: Duration,
    /// Recommended weight limit, kg.
    pub limit_kg: Kilograms,
}

/// So many trays at once, with an index for each column.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Load {
    /// Trays at once.
    pub trays: u32,
    /// Which.
    pub what: What,
    /// Their weight, kg.
    pub kg: Kilograms,
    /// Lifting index by column; none where the limit is 0.
    pub index: Vec<Option<f64>>,
}

/// One to four trays at once, sown and loaded, at four lifts a minute without twisting.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrayLifts {
    /// Lifts a minute.
    pub lifts_per_minute: f64,
    /// Ways of lifting: bench and floor, short and long.
    pub columns: Vec<Column>,
    /// Loads: sown, then loaded.
    pub loads: Vec<Load>,
}

impl TrayLifts {
    /// Of a nursery whose trays weigh `loaded` when they are loaded.
    pub fn of(loaded: Kilograms) -> TrayLifts {
        let ways: Vec<(Place, Duration)> = [Place::Bench, Place::Floor]
            .into_iter()
            .flat_map(|from| [(from, Duration::Short), (from, Duration::Long)])
            .collect();
        let columns = ways.iter().map(|&(from, duration)| Column {
            from,
            duration,
            limit_kg: lift(Kilograms(0.0), from, duration).limit(),
        });
        let loads = [(What::Sown, SOWN_KG), (What::Loaded, loaded.0)]
            .into_iter()
            .flat_map(|(what, kg)| (1..=4).map(move |trays| (what, trays, kg)))
            .map(|(what, trays, kg)| {
                let kg = Kilograms(f64::from(trays) * kg);
                let index = ways.iter();
                Load {
                    trays,
                    what,
                    kg,
                    index: index.map(|way| lift(kg, way.0, way.1).index()).collect(),
                }
            });
        TrayLifts {
            lifts_per_minute: RATE.0,
            columns: columns.collect(),
            loads: loads.collect(),
        }
    }
}

/// A lift of trays from a place.
fn lift(load: Kilograms, from: Place, duration: Duration) -> Lift {
    let (near, height, travel, grip) = match from {
        Place::Bench => (20.0, 75.0, 40.0, Grip::Good),
        Place::Floor => (25.0, 10.0, 65.0, Grip::Fair),
    };
    Lift {
        load,
        ahead: Centimetres(near + HALF_TRAY),
        height: Centimetres(height),
        travel: Centimetres(travel),
        twist: Degrees(0.0),
        rate: RATE,
        duration,
        grip,
    }
}
