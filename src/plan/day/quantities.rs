//! Quantities as people handle them: kilograms, whole litres, grams on the balance. The exact ones are in
//! [`crate::quantities`].

use super::{Bags, Dose, SeedKg, SeedLeft};
use crate::quantities::{soil_litres, water_litres};
use crate::scenario::{Kind, Planter, Scenario};
use crate::units::{Fixed, Span, div_near, fit};
use serde::Serialize;

/// Soil and water for a run, L.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Soil {
    /// Depth of bed soil, mm.
    pub bed_mm: Fixed<2>,
    /// Bed soil, L.
    pub bed_l: i64,
    /// Depth of cover soil, mm.
    pub cover_mm: Fixed<2>,
    /// Cover soil, L.
    pub cover_l: i64,
    /// Water on the line, L.
    pub water_l: i64,
}

/// Grams of sprouted seed on a tray, as the balance beside the line shows them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct WetGrams {
    /// Target, g.
    pub target: i64,
    /// Target less 5 %, g.
    pub low: i64,
    /// Target and 5 %, g.
    pub high: i64,
    /// Dry seed, g.
    pub dry: i64,
}

/// Litres of soil and water for `trays`, each rounded to the nearest whole litre.
pub fn soil(kind: &Kind, trays: i64) -> Soil {
    Soil {
        bed_mm: kind.bed_soil_mm,
        bed_l: soil_litres(kind.bed_soil_mm, trays),
        cover_mm: kind.cover_soil_mm,
        cover_l: soil_litres(kind.cover_soil_mm, trays),
        water_l: water_litres(kind, trays),
    }
}

/// Dry seed in whole grams, dry and wet.
pub fn seed_of_grams(kind: &Kind, dry_g: i64) -> SeedKg {
    let above = 2 * i128::from(dry_g) * i128::from(kind.wet_ratio.0) + 1_000;
    let wet_g = fit(above.div_euclid(2_000));
    SeedKg {
        dry: Fixed(dry_g),
        wet: Fixed(wet_g),
    }
}

/// Less than this is what sticks to the tank.
const LEAST_LEFT_G: i64 = 50;

/// Soaked seed of a kind that is left over, in grams of dry seed, if it is worth a word.
pub fn seed_left(kind: &Kind, dry_g: i64) -> Option<SeedLeft> {
    (dry_g >= LEAST_LEFT_G).then(|| SeedLeft {
        seed: seed_of_grams(kind, dry_g),
        treated: kind.treatment.is_some(),
    })
}

/// Most that a machine is counted for on one part, ms.
const MOST_MACHINE: i64 = 1_000 * Span::HOUR;

/// What a planting machine takes for a part: its hectares of a day fill its hours of a day, and the move to it.
/// `docs/COUNTING.md`, "planting machine".
pub fn machine_ms(planter: &Planter, area_m2: i64) -> i64 {
    let day = i128::from(Span::hours(planter.hours_per_day).0);
    let area = i128::from(area_m2) * day / i128::from(planter.ha_per_day.0.max(1));
    (fit(area).min(MOST_MACHINE) + Span::minutes(planter.move_minutes).0).min(MOST_MACHINE)
}

/// Grams of wet seed a tray, with the band of 5 % either way (common practice, no source: the mean of five trays is
/// held inside it).
pub fn wet_grams(kind: &Kind) -> WetGrams {
    // Tenths of a gram × thousandths, in ten-thousandths of a gram.
    let wet = i128::from(kind.seed_g_dry_per_tray.0) * i128::from(kind.wet_ratio.0);
    let grams = |per_cent: i128| ((wet * per_cent * 2 + 1_000_000) / 2_000_000) as i64;
    WetGrams {
        target: grams(100),
        low: grams(95),
        high: grams(105),
        dry: div_near(kind.seed_g_dry_per_tray.0, 10),
    }
}

/// Water of a soaking tank, L: about 4 L for a kilogram of dry seed.
///
/// Source: cooperative leaflet "Soaking and sprouting disinfected rice seed", undated.
pub fn tank_litres(dry: Fixed<3>) -> i64 {
    div_near(dry.0 * 4, 1_000)
}

/// Weight of `trays` as they are loaded, kg, each of so many.
pub fn load_kg(trays: i64, each_kg: Fixed<2>) -> i64 {
    fit((2 * i128::from(trays) * i128::from(each_kg.0) + 100).div_euclid(200))
}

/// The seed of a kind in whole bags, if it comes in bags and is so many of them.
pub fn bags(kind: &Kind, dry: Fixed<3>) -> Option<Bags> {
    let kg = kind
        .bag_kg
        .filter(|bag| bag.0 > 0 && dry.0 > 0 && dry.0 % bag.0 == 0)?;
    let count = dry.0 / kg.0;
    Some(Bags { count, kg })
}

/// What the seed of a kind is treated with, and how much of it the batch takes, to the nearest millilitre.
pub fn dose(scenario: &Scenario, kind: &Kind, dry: Fixed<3>) -> Option<Dose> {
    let treatment = kind.treatment.as_ref()?;
    let mut agents = scenario.agents.iter();
    let known = agents.find(|agent| agent.id == treatment.agent);
    // Grams × tenths of a millilitre a kilogram.
    let parts = i128::from(dry.0) * i128::from(treatment.ml_per_kg.0);
    Some(Dose {
        agent: known.map_or(&treatment.agent, |agent| &agent.name).clone(),
        ml: fit((2 * parts + 10_000).div_euclid(20_000)),
    })
}
