//! The one exact count of trays ordered: whole field first, then its parts.

use super::{Field, MatsPerHectare, PartKnown, Vehicle};
use crate::units::{Fixed, Hectares, fit};

/// Length of a mat along the planting machine's feed, mm.
const MAT_LENGTH_MM: i128 = 580;

/// Trays of a field, and of each of its parts with its area.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldTrays {
    /// Trays of the whole field, margin included, rounded up once.
    pub total: i64,
    /// Trays of each part; they add up to `total`.
    pub trays: Vec<i64>,
    /// Square metres of each part; they add up to the field.
    pub m2: Vec<i64>,
}

/// Trays of a field: those that it orders; else area × mats per hectare × (1 + reserve) as an exact fraction, rounded up once;
/// part i of p gets floor(T·i/p) − floor(T·(i−1)/p), and so for the square metres.
///
/// By spacing, mats per hectare = hills per hectare × feed ÷ (580 mm × picks) and hills per hectare
/// = 10,000 m² ÷ (row × hill). Settings of nothing count as the smallest that can be written.
///
/// *Source*: geometry of the mat, 280 mm × 580 mm; see `docs/COUNTING.md`.
pub fn of_field(field: &Field) -> FieldTrays {
    let total = field.trays.unwrap_or_else(|| by_area(field));
    let parts = field.parts.max(1);
    let shares = |whole| (1..=parts).map(|part| share(whole, part, parts)).collect();
    FieldTrays {
        total,
        trays: shares(total),
        m2: shares(field.area_ha.0),
    }
}

/// [`of_field`], with what is known of single parts besides: such a part has the trays stated and its share of the area by trays, rounded
/// down; none of either when it has been served.
pub fn of_field_known(field: &Field, known: &[PartKnown]) -> FieldTrays {
    let mut all = of_field(field);
    for part in known.iter().filter(|part| part.field == field.id) {
        let at = part.part.saturating_sub(1) as usize;
        if let (Some(trays), Some(m2)) = (all.trays.get_mut(at), all.m2.get_mut(at)) {
            *trays = part.trays;
            *m2 = m2_of_known(field, all.total, part.trays);
        }
    }
    all
}

/// Square metres of one part, with what is known of it.
pub fn m2_of_part(field: &Field, known: &[PartKnown], part: u32) -> i64 {
    let mut known = known.iter();
    let known = known.find(|known| known.field == field.id && known.part == part);
    match known {
        Some(known) => m2_of_known(field, of_field(field).total, known.trays),
        None => share(field.area_ha.0, part, field.parts),
    }
}

/// Square metres of so many of all trays of a field, rounded down.
fn m2_of_known(field: &Field, total: i64, trays: i64) -> i64 {
    fit(i128::from(field.area_ha.0) * i128::from(trays) / i128::from(total.max(1)))
}

fn by_area(field: &Field) -> i64 {
    let m2 = i128::from(field.area_ha.0);
    let with_reserve = 1_000_000 + i128::from(field.reserve.0);
    // Before the reserve of parts per million.
    let (trays, divisor) = per_m2(field.mats);
    let divisor = divisor * 1_000_000;
    let exact = (m2 * trays * with_reserve).max(0);
    i64::try_from((exact + divisor - 1) / divisor).unwrap_or(i64::MAX)
}

/// Trays that a square metre takes, as a fraction. Its divisor is at least 1.
fn per_m2(mats: MatsPerHectare) -> (i128, i128) {
    match mats {
        MatsPerHectare::Given(mats) => (i128::from(mats.0), 10_000 * 100),
        MatsPerHectare::Spacing {
            row_cm,
            hill_cm,
            picks,
            feed_mm,
        } => {
            // Rows and hills in mm, feed in hundredths of a millimetre.
            let per_hill = i128::from(row_cm.0.max(1)) * i128::from(hill_cm.0.max(1));
            let divisor = per_hill * 100 * MAT_LENGTH_MM * i128::from(picks.max(1));
            (1_000_000 * i128::from(feed_mm.0), divisor)
        }
    }
}

/// Square metres that so many trays are for, to the nearest, halves up, at least 1.
pub fn m2_of(trays: i64, mats: MatsPerHectare) -> i64 {
    let (per, divisor) = per_m2(mats);
    nearest(i128::from(trays) * divisor, per)
}

/// Trays a hectare, to the nearest hundredth, halves up, at least 0.01.
pub fn mats_of(trays: i64, area: Hectares) -> Fixed<2> {
    Fixed(nearest(
        i128::from(trays) * 10_000 * 100,
        i128::from(area.0),
    ))
}

/// The nearest whole number, halves up, at least 1.
fn nearest(of: i128, by: i128) -> i64 {
    let by = by.max(1);
    fit((2 * of.max(0) + by) / (2 * by)).max(1)
}

/// What of `whole` falls to `part` of `parts`, from 1 on; all parts together are the whole.
pub fn share(whole: i64, part: u32, parts: u32) -> i64 {
    let up_to =
        |part: u32| (i128::from(whole) * i128::from(part) / i128::from(parts.max(1))) as i64;
    up_to(part) - up_to(part.saturating_sub(1))
}

/// Trays that a vehicle carries at once: places on its racks, or what the load allows if fewer.
/// `loaded_kg` is the weight of one tray; a weight of nothing does not limit.
pub fn of_trip(vehicle: &Vehicle, loaded_kg: Fixed<2>) -> i64 {
    let by_weight = if loaded_kg.0 > 0 {
        vehicle.kg_per_trip.0 * 10 / loaded_kg.0
    } else {
        i64::MAX
    };
    vehicle.trays_per_trip.min(by_weight)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Share;

    fn field(m2: i64, mats: MatsPerHectare, reserve: i64, parts: u32) -> Field {
        Field {
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
            id: "a".to_owned(),
            grower: "a".to_owned(),
            area_ha: Fixed(m2),
            kind: "k".to_owned(),
            season: None,
            window: vec![],
            preferred: None,
            mats,
            reserve: Fixed(reserve),
            parts,
            planter: None,
            closed: vec![],
        }
    }

    #[test]
    fn half_a_hectare_at_two_hundred_and_a_tenth_is_110() {
        let half = field(
            Hectares::whole(1).0 / 2,
            MatsPerHectare::Given(Fixed(20_000)),
            100_000,
            1,
        );
        assert_eq!(of_field(&half).total, 110);
    }

    #[test]
    fn every_product_of_plain_figures_is_exact() {
        // In floats 0.7 × 230 × 1.1 and many like it come out a hair too large.
        for tenths in 1..=100i64 {
            for mats in [180i64, 190, 200, 230, 240] {
                for percent in [0i64, 3, 5, 10] {
                    let f = field(
                        tenths * 1_000,
                        MatsPerHectare::Given(Fixed(mats * 100)),
                        percent * 10_000,
                        1,
                    );
                    let thousandths = tenths * mats * (100 + percent);
                    assert_eq!(of_field(&f).total, (thousandths + 999) / 1_000);
                }
            }
        }
    }

    #[test]
    fn spacing_follows_the_mat() {
        // 30 cm × 18 cm, 20 picks, 13 mm: 185,185 hills/ha × 13 ÷ 11,600 = 207.5 mats/ha.
        let mats = MatsPerHectare::Spacing {
            row_cm: Fixed(300),
            hill_cm: Fixed(180),
            picks: 20,
            feed_mm: Fixed(1_300),
        };
        assert_eq!(of_field(&field(10_000, mats, 0, 1)).total, 208);
        assert_eq!(of_field(&field(100_000, mats, 0, 1)).total, 2_076);
    }

    #[test]
    fn parts_add_up_and_differ_by_one_at_most() {
        let f = field(10_001, MatsPerHectare::Given(Fixed(20_000)), 0, 3);
        let trays = of_field(&f);
        assert_eq!(
            (trays.total, trays.trays.as_slice()),
            (201, &[67, 67, 67][..])
        );
        assert_eq!(trays.m2, [3_333, 3_334, 3_334]);
        let odd = of_field(&Field {
            area_ha: Fixed(10_050),
            parts: 4,
            ..f
        });
        assert_eq!((odd.total, odd.trays), (201, vec![50, 50, 50, 51]));
        assert_eq!(Share::whole(1).0, 1_000_000);
    }

    #[test]
    fn a_trip_is_limited_by_racks_or_by_weight() {
        let van = |places, kg: i64| Vehicle {
            hours_per_day: Fixed(1000),
            id: "van".to_owned(),
            name: "van".to_owned(),
            trips_per_day: 2,
            trays_per_trip: places,
            kg_per_trip: Fixed(kg * 10),
        };
        // 350 kg ÷ 7.5 kg = 46.7
        assert_eq!(of_trip(&van(45, 350), Fixed(750)), 45);
        assert_eq!(of_trip(&van(60, 350), Fixed(750)), 46);
        assert_eq!(of_trip(&van(60, 7), Fixed(750)), 0);
    }
}
