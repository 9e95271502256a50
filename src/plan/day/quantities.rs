//! Quantities as people handle them: stacks, kilograms, litres, grams on the balance, person-minutes.

use super::{SeedKg, Stacked};
use crate::scenario::{Bed, Kind, Line, Per, PieceTask};
use crate::units::{Fixed, Span, div_near, div_up};
use serde::Serialize;

/// Floor of a mat, in units of 0.0001 m²: 0.58 m × 0.28 m inside the tray.
///
/// Source: Chinese extension text on standards of machine-transplanted seedlings (mat 58 × 28 cm).
const MAT: i64 = 1_624;

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
    // 0.0001 m² × 0.01 mm = 0.000 001 m²·mm, and 1 m²·mm is 1 L.
    let litres = |depth: Fixed<2>| near(trays, MAT * depth.0, 1_000_000);
    Soil {
        bed_mm: kind.bed_soil_mm,
        bed_l: litres(kind.bed_soil_mm),
        cover_mm: kind.cover_soil_mm,
        cover_l: litres(kind.cover_soil_mm),
        water_l: near(trays, kind.water_l_per_tray.0, 100),
    }
}

/// Seed on `trays` of a kind.
pub fn seed(kind: &Kind, trays: i64) -> SeedKg {
    seed_of_grams(kind, div_near(trays * kind.seed_g_dry_per_tray.0, 10))
}

/// Dry seed in whole grams, dry and wet.
pub fn seed_of_grams(kind: &Kind, dry_g: i64) -> SeedKg {
    SeedKg {
        dry: Fixed(dry_g),
        wet: Fixed(near(dry_g, kind.wet_ratio.0, 1_000)),
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

/// `trays` as stacks of `height`.
pub fn stacked(trays: i64, height: i64) -> Stacked {
    Stacked {
        full: trays / height,
        height,
        rest: trays % height,
    }
}

/// Time of one tray on the line.
pub fn tray_ms(line: &Line) -> i64 {
    let trays_per_h = line.set_trays_per_h.0 * line.share_run.0;
    div_up(Span::HOUR * 10_000_000, trays_per_h)
}

/// Person time of a piece of work, milliseconds, rounded up: by trays, floor, dry seed or field.
pub fn person_ms(task: &PieceTask, trays: i64, kind: &Kind, bed: Option<&Bed>, m2: i64) -> i64 {
    let unit = i128::from(Span::minutes(task.person_minutes).0);
    let trays = i128::from(trays);
    let (count, of) = match (task.per, bed) {
        (Per::HundredTrays, _) => (trays, 100),
        (Per::SquareMetre, Some(bed)) => (trays * 100, i128::from(bed.trays_per_m2.0)),
        (Per::SquareMetre, None) => (0, 1),
        (Per::Kilogram, _) => (trays * i128::from(kind.seed_g_dry_per_tray.0), 10_000),
        (Per::Hectare, _) => (i128::from(m2), 10_000),
    };
    let ms = -((-(unit * count)).div_euclid(of));
    i64::try_from(ms).unwrap_or(i64::MAX / 4)
}

fn near(a: i64, b: i64, of: i64) -> i64 {
    let product = 2 * i128::from(a) * i128::from(b) + i128::from(of);
    i64::try_from(product.div_euclid(2 * i128::from(of))).unwrap_or(i64::MAX / 4)
}
