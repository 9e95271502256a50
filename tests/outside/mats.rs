//! Trays per hectare from the planting machine's setting, against published tables.

use sowrota::scenario::{Field, MatsPerHectare, trays};
use sowrota::units::Fixed;

/// Trays for 0.1 ha, from the count on 10 ha so that rounding up to a whole tray does not matter.
fn trays_per_tenth(row_mm: i64, hill_mm: i64, picks: u32, feed_hundredths: i64) -> f64 {
    let field = Field {
        trays: None,
        state: Default::default(),
        ordered: None,
        stage: Default::default(),
        edge_days: 0,
        travel_group: None,
        spare: false,
        block: None,
        harvest_before: None,
        harvest_first_days: 0,
        harvest_last_days: None,
        ready: true,
        collected: false,
        lifted: false,
        id: "f".to_owned(),
        grower: "f".to_owned(),
        area_ha: Fixed(100_000),
        kind: "k".to_owned(),
        season: None,
        window: vec![],
        preferred: None,
        mats: MatsPerHectare::Spacing {
            row_cm: Fixed(row_mm),
            hill_cm: Fixed(hill_mm),
            picks,
            feed_mm: Fixed(feed_hundredths),
        },
        reserve: Fixed(0),
        parts: 1,
        planter: None,
        closed: vec![],
    };
    trays::of_field(&field).total as f64 / 100.0
}

/// *Source*: trays per 0.1 ha by hills per tsubo (3.306 m²) and picks, growers' page "What is hill
/// spacing on a transplanter", 13 Apr 2020 (weak). The feeds are fitted to it: 16.25, 13.2, 13.01 mm.
#[test]
fn the_published_table_is_met_within_one_tray() {
    // 37, 50, 60, 70, 80 hills per tsubo in rows 30 cm apart.
    let hills_mm = [298, 220, 184, 157, 138];
    for (picks, feed, published) in [
        (20, 1_625, [15.0, 22.0, 26.0, 30.0, 33.0]),
        (26, 1_320, [10.0, 14.0, 16.0, 18.0, 21.0]),
        (30, 1_301, [8.0, 11.0, 14.0, 16.0, 18.0]),
    ] {
        for (hill, trays) in hills_mm.into_iter().zip(published) {
            let counted = trays_per_tenth(300, hill, picks, feed);
            assert!(
                (counted - trays).abs() <= 1.0,
                "{picks} picks, {hill} mm: {counted}, not {trays}"
            );
        }
    }
}

/// *Source*: thick, wide-spaced seedlings, 28 picks and 8 to 10 mm at 60 hills per tsubo need 10 to
/// 12 trays per 0.1 ha (machine makers' agronomy pages, undated, weak): the ranges overlap.
#[test]
fn thick_sowing_needs_about_ten_trays() {
    let (least, most) = (
        trays_per_tenth(300, 184, 28, 800),
        trays_per_tenth(300, 184, 28, 1_000),
    );
    assert!(least < 12.0 && most > 10.0, "{least} to {most}");
}

/// Worked by hand: 30 × 12 cm, 20 picks of 12 mm: 277,778 hills/ha, 967 hills a mat, 287.4 mats/ha.
#[test]
fn a_setting_worked_by_hand() {
    assert!((trays_per_tenth(300, 120, 20, 1_200) - 28.74).abs() < 0.01);
}
