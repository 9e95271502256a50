//! Quantities as people handle them: kilograms, whole litres, grams on the balance. The exact ones are in
//! [`crate::quantities`].

use super::SeedKg;
use crate::quantities::{soil_litres, water_litres};
use crate::scenario::Kind;
use crate::units::{Fixed, div_near, fit};
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

/// Seed on `trays` of a kind.
pub fn seed(kind: &Kind, trays: i64) -> SeedKg {
    seed_of_grams(kind, div_near(trays * kind.seed_g_dry_per_tray.0, 10))
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

/// Weight of `trays` at planting, kg: 7.5 kg each.
///
/// Source: a rice farm's page on the weights of its trays, undated (weak: empty 0.7 kg, sown 6 kg, at planting 7.5 kg).
pub fn load_kg(trays: i64) -> i64 {
    div_near(trays * 15, 2)
}
