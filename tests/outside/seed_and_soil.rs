//! Seed, soaking, soil and water against published rates.

use crate::{fixed, kind, line, near};
use sowrota::growth::soak_days;
use sowrota::quantities::{soil, takes, water_per_minute, wet_seed_per_tray};
use sowrota::scenario::Kind;
use sowrota::units::Fixed;

/// Soaking of `sum` °C·d at `water` °C.
fn soaked(sum: f64, water: f64) -> i32 {
    soak_days(&Kind {
        soak_degree_days: fixed(sum),
        soak_water_c: fixed(water),
        ..kind()
    })
}

/// Litres of soil of `mm` on one mat.
fn litres(mm: f64) -> f64 {
    soil(fixed(mm), 1_000).as_f64() / 1_000.0
}

// Sources: 7 days at 15 °C: farm cooperatives of Koka (Shiga) and Fukui, undated. 10 days at 10 °C: farm union page on disinfection and
// soaking, 7 April 2020. 120 °C·d in 10 days at 12 °C: cooperative leaflet on soaking and sprouting, undated.
#[test]
fn days_of_soaking() {
    assert_eq!(soaked(100.0, 15.0), 7);
    assert_eq!(soaked(100.0, 10.0), 10);
    assert_eq!(soaked(120.0, 12.0), 10);
    // The sums between, counted back: exactly 8 days at 12.5 °C, never 9.
    assert_eq!((soaked(100.0, 12.0), soaked(100.0, 12.5)), (9, 8));
    assert_eq!(
        (
            soaked(120.0, 10.0),
            soaked(120.0, 12.5),
            soaked(120.0, 15.0)
        ),
        (12, 10, 8)
    );
}

// Source: Iwate prefecture, technical information on measures against cold, 17 April 2020: 12–15 °C, 7–10 days.
#[test]
fn days_of_soaking_in_a_cold_spring() {
    for tenths in 120..=150 {
        let days = soaked(100.0, f64::from(tenths) / 10.0);
        assert!(
            (7..=10).contains(&days),
            "{days} days at {} °C",
            f64::from(tenths) / 10.0
        );
    }
}

// Source: Fukui farm cooperative, "Good rice starts with sound seedlings", undated: 135 g dry is sown as 168 g sprouted; rule of 1.2 to 1.3
// times the dry seed: page on standard seedlings, Gifu, 2008.
#[test]
fn wet_weight_of_sprouted_seed() {
    let wet = |ratio: f64| {
        let seed = Kind {
            seed_g_dry_per_tray: Fixed::whole(135),
            wet_ratio: fixed(ratio),
            ..kind()
        };
        wet_seed_per_tray(&seed).as_f64()
    };
    near("135 g at 1.244", wet(1.244), 168.0, 0.5);
    assert!(wet(1.2) < 168.0 && 168.0 < wet(1.3));
}

// Source: agronomy portal on materials by number of trays, from guides of Fukushima (2018), Saitama, Osaka and Chiba: grams a tray and trays a tenth of
// a hectare by class; kilograms a hectare follow.
#[test]
fn seed_a_hectare_by_class_of_seedling() {
    let kg = |trays: i64, grams: i64| {
        let seed = Kind {
            seed_g_dry_per_tray: Fixed::whole(grams),
            ..kind()
        };
        takes(&seed, trays).dry_seed.as_f64() / 1_000.0
    };
    for (class, least, most, from, to) in [
        ("young", (150, 150), (200, 180), 22.5, 36.0),
        ("very young", (100, 200), (120, 220), 20.0, 26.4),
        ("thickly sown", (120, 180), (140, 200), 21.6, 28.0),
        ("middle", (250, 80), (300, 100), 20.0, 30.0),
    ] {
        near(class, kg(least.0, least.1), from, 0.0);
        near(class, kg(most.0, most.1), to, 0.0);
    }
}

// Source: The Independent (Bangladesh), trays on roofs, 2010s: 150 trays take 12 kg of seed, so 80 g each.
#[test]
fn seed_of_a_hundred_and_fifty_trays() {
    let seed = Kind {
        seed_g_dry_per_tray: Fixed::whole(80),
        ..kind()
    };
    assert_eq!(takes(&seed, 150).dry_seed, Fixed::whole(12_000));
}

// Source: Takahashi and others, Jpn J. Crop Sci. 73 (2004) 389–395: bed soil of 11 instead of 17 mm, cover 7 mm as before, saves about a quarter of the soil.
#[test]
fn less_bed_soil_saves_a_quarter() {
    let (standard, thin) = (litres(17.0) + litres(7.0), litres(11.0) + litres(7.0));
    near("litres a tray", standard, 3.898, 1e-3);
    near("litres a tray", thin, 2.923, 1e-3);
    near(
        "saved, per cent",
        100.0 * (standard - thin) / standard,
        25.0,
        0.5,
    );
}

// Source: mat 58 × 28 cm of a Chinese extension text, undated, with depths of prefectural and cooperative directions (20 mm and 7 mm), undated.
#[test]
fn soil_of_a_thousand_trays() {
    let taken = takes(&kind(), 1_000);
    near("bed soil, L", taken.bed_soil.as_f64(), 3_248.0, 1e-9);
    near("cover soil, L", taken.cover_soil.as_f64(), 1_136.8, 1e-9);
}

// Source: soil adviser's page "Points of rice seedling raising", undated: bed 2 cm deep, 4 to 5 L a tray in all; cover of 7 mm as in Takahashi and others, 2004.
#[test]
fn litres_of_soil_a_tray() {
    let all = litres(20.0) + litres(7.0);
    assert!((4.0..=5.0).contains(&all), "{all} L");
}

// Source: Korean page on tray soil, undated: 5 L a tray, so 150 L for 30 trays, 165 with a tenth in reserve; a full tray is about 30 mm deep inside (farm
// column on sowing trays, undated). The published figure is rounded: 3 %.
#[test]
fn soil_of_thirty_full_trays() {
    let full = Kind {
        bed_soil_mm: Fixed::whole(23),
        cover_soil_mm: Fixed::whole(7),
        ..kind()
    };
    let all = |trays| {
        let taken = takes(&full, trays);
        (taken.bed_soil.0 + taken.cover_soil.0) as f64 / 1_000.0
    };
    near("30 trays, L", all(30), 150.0, 4.5);
    near("33 trays, L", all(33), 165.0, 5.0);
}

// Source: IRRI, fact sheet "Modified mat nursery", undated: 4 m³ of mix fills a frame of 100 m², 4 cm deep. 616 mats are 100 m².
#[test]
fn mix_of_a_mat_nursery() {
    near("mats, m²", 616.0 * 0.58 * 0.28, 100.0, 0.05);
    near(
        "mix, m³",
        soil(Fixed::whole(40), 616).as_f64() / 1_000.0,
        4.0,
        0.004,
    );
}

// Source: Koka farm cooperative (Shiga), undated: cover 4 mm deep weighs 0.8–1.0 kg a tray. Damp soil of 1.2 to 1.6 kg/L is from memory.
#[test]
fn weight_of_the_cover() {
    let volume = litres(4.0);
    near("cover, L", volume, 0.6496, 1e-4);
    for kilograms in [0.8, 1.0] {
        let density = kilograms / volume;
        assert!((1.2..=1.6).contains(&density), "{density} kg/L");
    }
}

// Source: Hokuriku seedling-soil directions, undated: about 1.2 L a tray with the drench; at 400 trays an hour that is 8 L a minute.
#[test]
fn water_on_the_line() {
    assert_eq!(water_per_minute(&kind(), &line(400.0)), Fixed::whole(8));
    assert_eq!(takes(&kind(), 400).water, Fixed::whole(480));
}

// Common practice, no source: at 400 trays an hour about 1.3 m³ of bed soil, 0.45 m³ of cover, 72 kg of dry seed, 400 to 600 L of water an hour (1 to 1.5 L a tray).
#[test]
fn an_hour_of_the_line() {
    let hour = takes(&kind(), 400);
    near("bed soil, m³", hour.bed_soil.as_f64() / 1_000.0, 1.3, 0.05);
    near(
        "cover soil, m³",
        hour.cover_soil.as_f64() / 1_000.0,
        0.45,
        0.01,
    );
    near("dry seed, kg", hour.dry_seed.as_f64() / 1_000.0, 72.0, 0.0);
    for (litres, wanted) in [(1.0, 400), (1.5, 600)] {
        let kind = Kind {
            water_l_per_tray: fixed(litres),
            ..kind()
        };
        assert_eq!(takes(&kind, 400).water, Fixed::whole(wanted));
    }
}

// Common practice, no source: 180 g of dry seed is 220–234 g on the line's balance; the ratios 1.22–1.30 follow from the dry and wet weights of the
// guides of Fukushima (2018), Saitama, Osaka and Chiba.
#[test]
fn grams_on_the_balance() {
    let wet = |ratio: f64| {
        wet_seed_per_tray(&Kind {
            wet_ratio: fixed(ratio),
            ..kind()
        })
        .as_f64()
    };
    near("least", wet(1.22), 220.0, 0.5);
    near("most", wet(1.30), 234.0, 0.5);
}
