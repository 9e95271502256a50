//! Line, stacks, floor and washer against measured and published rates.

use crate::{fixed, line, near};
use sowrota::quantities::{Stacked, tray_time};
use sowrota::scenario::{Bed, Stage, Temperature, Trays, Vehicle, trays};
use sowrota::units::{Fixed, Span};

/// Hours for `trays` at `set` trays an hour.
fn hours(trays: i64, set: f64) -> f64 {
    let span = Span(trays * tray_time(&line(set), "any").unwrap().0);
    span.0 as f64 / Span::HOUR as f64
}

fn bed(area_m2: f64, trays_per_m2: f64) -> Bed {
    Bed {
        closed: vec![],
        row_trays: None,
        turn_round_days: 0,
        id: "bed".into(),
        name: "Bed".into(),
        area_m2: fixed(area_m2),
        trays_per_m2: fixed(trays_per_m2),
        stages: vec![Stage::Green, Stage::Harden],
        temperature: Temperature::Own(Fixed::whole(20)),
    }
}

// Common practice, no source: a line set at 400 trays an hour; semi-automatic ones at 200. A day's run of 3,000 trays: Yokoyama (Mie
// Prefectural Agricultural Technology Centre), in a magazine feature on seedling raising, 1990s.
#[test]
fn hours_of_a_day_run() {
    near("at 400", hours(3_000, 400.0), 7.5, 0.0);
    near("at 200", hours(3_000, 200.0), 15.0, 0.0);
}

// Source: Yokoyama, as above: 100 trays sown in 11 minutes, loaded by hand in 13 and by a lifting carrier in 9: the carrier beats the line by 2 minutes in
// 100 trays.
#[test]
fn measured_rates_of_line_and_loading() {
    for (minutes, run) in [(11.0, 5.5), (13.0, 6.5), (9.0, 4.5)] {
        let rate = (6_000.0_f64 / minutes * 10.0).round() / 10.0;
        near("100 trays, min", 60.0 * hours(100, rate), minutes, 0.01);
        near("3,000 trays, h", hours(3_000, rate), run, 0.01);
    }
    let gained = 60.0 * (hours(100, 545.5) - hours(100, 666.7));
    near("gained in 100 trays, min", gained, 2.0, 0.01);
}

// Source: column on tray washers, undated: small ones wash 300 trays an hour; 1,500 trays in 5 hours.
#[test]
fn a_day_at_the_washer() {
    let washer = |hours: f64| {
        let trays = Trays {
            dry_spans: vec![],
            loaded_kg: sowrota::units::Fixed(750),
            stock: 0,
            return_days: 0,
            loss: Fixed::ZERO,
            wash_trays_per_h: 300,
            wash_hours_per_day: fixed(hours),
            dry_days: 1,
        };
        trays.washed_per_day()
    };
    assert_eq!(washer(5.0), 1_500);
    assert_eq!(washer(4.99), 1_497);
}

// Source: Yokoyama, as above: four stacks of 25 on a pallet, 100 trays. Six stacks of 25, 150 trays, on a Chinese pallet: from memory.
#[test]
fn stacks_on_a_pallet() {
    assert_eq!(
        Stacked::of(100, 25),
        Stacked {
            height: 25,
            full: 4,
            rest: 0
        }
    );
    assert_eq!(Stacked::of(150, 25).stacks(), 6);
    assert_eq!(Stacked::of(101, 25).stacks(), 5);
}

// Common practice, no source: 15 to 20 high, 25 on pallets; a lid on each, so 3,000 trays at 15 high need 200 lids.
#[test]
fn stacks_and_lids_of_a_day_run() {
    for (height, stacks) in [(15, 200), (20, 150), (25, 120)] {
        assert_eq!(Stacked::of(3_000, height).stacks(), stacks);
    }
}

// Source: tray 30 × 60 cm outside (Hoshikawa, encyclopaedia entry "Young seedling", undated), so 5.56 trays on a square metre: 27 to 54 m² for the trays of a hectare.
#[test]
fn floor_for_a_hectare() {
    for (trays, floor) in [(150, 27.0), (200, 36.0), (250, 45.0), (300, 54.0)] {
        assert_eq!(bed(floor, 5.56).trays(), trays, "{floor} m²");
    }
}

// Source: Taiwan school project after the Council of Agriculture's rice nursery handbook, 2006: beds 150 cm wide, ditches 30 cm, five trays across: 4.63 trays on a
// gross square metre. A thousand rows of five are 0.6 × 1.8 m each.
#[test]
fn beds_with_ditches() {
    near("trays a m²", 5.0 / (1.8 * 0.6), 4.63, 0.005);
    assert_eq!(bed(1_080.0, 4.63).trays(), 5_000);
}

// Source: The Independent (Bangladesh), trays on roofs, 2010s: 150 trays on 700 square feet, 65.03 m²; 0.434 m² each with the ways between them.
#[test]
fn trays_on_a_roof() {
    let feet = 700.0 * 0.092_903_04;
    near("m² a tray", feet / 150.0, 0.434, 1e-3);
    assert_eq!(bed((feet * 100.0).round() / 100.0, 2.31).trays(), 150);
}

// Source: the same Taiwan handbook: such a bed is 40 m long, so that it takes 66 rows of five trays of 0.6 m, 330 trays. Ten of them with their ditches are 720 m²:
// 3,333 trays by the square metre, 3,300 in whole beds; an order of 331 trays takes a second bed.
#[test]
fn whole_beds_of_a_fixed_length() {
    let mut ten = bed(720.0, 4.63);
    assert_eq!(ten.trays(), 3_333);
    ten.row_trays = Some(5 * (40.0_f64 / 0.6) as i64);
    assert_eq!((ten.row_trays, ten.trays()), (Some(330), 3_300));
    assert_eq!((ten.places_for(330), ten.places_for(331)), (330, 660));
}

// Source: Yokoyama, as above: a pallet for the truck bears 4 × 25 = 100 sown trays, about 600 kg. After the warm room a tray weighs 6.7 kg (Takayama rice farm, page on
// tray weights, undated, weak): 600 kg are then 89 trays.
#[test]
fn a_pallet_of_six_hundred_kilograms() {
    let pallet = Vehicle {
        id: "pallet".into(),
        name: "pallet".into(),
        trips_per_day: 1,
        trays_per_trip: 4 * 25,
        kg_per_trip: fixed(600.0),
        hours_per_day: fixed(1.0),
    };
    assert_eq!(trays::of_trip(&pallet, fixed(6.0)), 100);
    assert_eq!(trays::of_trip(&pallet, fixed(6.7)), 89);
}
