//! What a number of trays takes on the line, in whole small units: seed, soil, water, stacks and time.
//!
//! Mats are 0.58 m × 0.28 m inside (*source*: extension text on mat seedlings for machine planting, undated; the
//! same as common practice has it), so that one millimetre of soil is 162.4 mL a tray. Each amount is counted
//! for all trays together, exactly, and rounded once: to the tenth of a gram, to the millilitre, halves
//! up. What would be too large for any nursery stops at the largest number instead of failing.

use crate::scenario::{Bed, Kind, Line, Per, PieceTask};
use crate::units::{Fixed, Grams, Millimetres, Span, fit};
use serde::Serialize;

/// Litres, to the millilitre.
pub type Volume = Fixed<3>;

/// Square millimetres of a mat, inside of the tray: 580 × 280.
pub const MAT_MM2: i64 = 580 * 280;

/// What a number of trays of one kind takes, before anything is left in a hopper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Takes {
    /// Dry seed, g.
    pub dry_seed: Grams,
    /// The same seed soaked, sprouted and surface-dry, g.
    pub wet_seed: Grams,
    /// Bed soil under the seed, L, as it lies in the tray.
    pub bed_soil: Volume,
    /// Soil over the seed, L, likewise.
    pub cover_soil: Volume,
    /// Water put on along the line, L.
    pub water: Volume,
}

/// What `trays` of `kind` take. Trial trays are trays: count them in.
///
/// Dry seed = trays × g a tray, exact; wet seed = dry × ratio; soil = trays × mat × depth; water = trays × L a tray, exact.
pub fn takes(kind: &Kind, trays: i64) -> Takes {
    Takes {
        dry_seed: Fixed(times(trays, kind.seed_g_dry_per_tray.0, 1)),
        wet_seed: wet(kind, trays),
        bed_soil: soil(kind.bed_soil_mm, trays),
        cover_soil: soil(kind.cover_soil_mm, trays),
        water: Fixed(times(trays, kind.water_l_per_tray.0, 10)),
    }
}

/// Wet seed on one tray, g: what the balance beside the line must show.
pub fn wet_seed_per_tray(kind: &Kind) -> Grams {
    wet(kind, 1)
}

fn wet(kind: &Kind, trays: i64) -> Grams {
    let tenths = i128::from(trays) * i128::from(kind.seed_g_dry_per_tray.0);
    Fixed(nearest(
        tenths.saturating_mul(i128::from(kind.wet_ratio.0)),
        1_000,
    ))
}

/// Soil of that depth on `trays` mats, L.
pub fn soil(depth: Millimetres, trays: i64) -> Volume {
    Fixed(soil_in(depth, trays, 1_000))
}

/// The same in whole litres, rounded once: what is carried to the line.
pub fn soil_litres(depth: Millimetres, trays: i64) -> i64 {
    soil_in(depth, trays, 1)
}

/// Soil in parts of a litre, to the nearest, for parts that divide 1,000.
fn soil_in(depth: Millimetres, trays: i64, parts: i128) -> i64 {
    // Hundredths of mm × mm² are hundredths of mm³; 1 mL is 1,000 mm³.
    let hundredths = i128::from(trays) * i128::from(depth.0);
    nearest(
        hundredths.saturating_mul(i128::from(MAT_MM2)),
        100_000_000 / parts,
    )
}

/// Water put on along the line, in whole litres.
pub fn water_litres(kind: &Kind, trays: i64) -> i64 {
    nearest(
        i128::from(trays) * i128::from(kind.water_l_per_tray.0),
        i128::from(Fixed::<2>::ONE),
    )
}

/// Time of one tray on the line: one hour over set rate × share of the shift really run, in milliseconds, rounded up.
///
/// The rate is the kind's own where `rates` has one. `None` when the rate or share is 0.
pub fn tray_time(line: &Line, kind: &str) -> Option<Span> {
    let own = line.rates.iter().find(|rate| rate.kind == kind);
    let set = own.map_or(line.set_trays_per_h, |rate| rate.set_trays_per_h);
    // Tenths of trays an hour × millionths.
    let rate = i128::from(set.0) * i128::from(line.share_run.0);
    let hour = i128::from(Span::HOUR) * 10_000_000;
    (rate > 0).then(|| Span(fit((hour + rate - 1) / rate)))
}

/// The same for counting: at most [`SLOWEST`], which is also the time on a line that does not run at all.
pub fn tray_ms(line: &Line, kind: &str) -> i64 {
    tray_time(line, kind).unwrap_or(SLOWEST).min(SLOWEST).0
}

/// No tray is counted as longer on a line than 1,000 h: none fits into a day then.
pub const SLOWEST: Span = Span(1_000 * Span::HOUR);

/// Most time that one posting says: no nursery has so much, and a million of them can be added up.
const MOST_WORK: i64 = i64::MAX / 1_000_000;

/// Time of `trays` of a kind on a line for each of a team of `people`, or for the line itself with 1.
pub fn line_time(line: &Line, kind: &str, trays: i64, people: i64) -> Span {
    let ms = i128::from(trays) * i128::from(people) * i128::from(tray_ms(line, kind));
    Span(fit(ms).min(MOST_WORK))
}

/// Person time of a piece of work by trays, floor, dry seed or field, rounded up to the millisecond. Work by floor takes
/// none without a bed.
pub fn person_time(
    task: &PieceTask,
    trays: i64,
    kind: &Kind,
    bed: Option<&Bed>,
    area_m2: i64,
) -> Span {
    // Hundredths of a minute are 600 ms.
    let ms = i128::from(task.person_minutes.0) * 600;
    let trays = i128::from(trays);
    let (above, below) = match (task.per, bed) {
        (Per::HundredTrays, _) => (trays * ms, 100),
        (Per::SquareMetre, Some(bed)) => (trays * ms * 100, i128::from(bed.trays_per_m2.0.max(1))),
        (Per::SquareMetre, None) => (0, 1),
        // Tenths of a gram a tray against kilograms.
        (Per::Kilogram, _) => (trays * i128::from(kind.seed_g_dry_per_tray.0) * ms, 10_000),
        (Per::Hectare, _) => (i128::from(area_m2) * ms, 10_000),
    };
    Span(fit(-(-above).div_euclid(below)).min(MOST_WORK))
}

/// What daily care takes of a kind, in whole small units of time or water: as often as the kind asks for it, rounded up.
pub fn care_times(once: i64, kind: &Kind) -> i64 {
    let exact = i128::from(once) * i128::from(kind.care_times.0);
    fit((exact + 99).div_euclid(100))
}

/// Water while the line runs at its set rate, L a minute: what the tap is set to.
pub fn water_per_minute(kind: &Kind, line: &Line) -> Volume {
    // Hundredths of a litre × tenths of trays an hour are millilitres an hour.
    Fixed(nearest(
        i128::from(kind.water_l_per_tray.0) * i128::from(line.set_trays_per_h.0),
        60,
    ))
}

/// Trays as people handle them: full stacks and a rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Stacked {
    /// Full stacks.
    pub full: i64,
    /// Sown trays in a full stack.
    pub height: i64,
    /// Trays in one more stack that is not full; 0 when there is none.
    pub rest: i64,
}

impl Stacked {
    /// `trays` in stacks of `height`. A height below 1, which the scenario refuses, counts as 1.
    pub fn of(trays: i64, height: i64) -> Stacked {
        let height = height.max(1);
        let trays = trays.max(0);
        Stacked {
            height,
            full: trays / height,
            rest: trays % height,
        }
    }

    /// Stacks, the last one perhaps not full: trays ÷ height, rounded up.
    pub fn stacks(self) -> i64 {
        self.full + i64::from(self.rest > 0)
    }

    /// Trays.
    pub fn trays(self) -> i64 {
        self.full * self.height + self.rest
    }
}

/// `a × b × c`, at most the largest number.
fn times(a: i64, b: i64, c: i64) -> i64 {
    fit(i128::from(a).saturating_mul(i128::from(b).saturating_mul(i128::from(c))))
}

/// `a ÷ b` to the nearest whole, halves up, for `b > 0`.
fn nearest(a: i128, b: i128) -> i64 {
    fit(a.saturating_mul(2).saturating_add(b).div_euclid(2 * b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::{AgeClock, AgeLimits, Growth, Method, StackClock, StackNeed};
    use crate::units::Hours;

    fn kind() -> Kind {
        Kind {
            losses: Default::default(),
            spare_share: Fixed(0),
            least_run_trays: 0,
            last_of_day: false,
            treatment: None,
            care_times: Fixed(100),
            in_its_place: Vec::new(),
            limits: vec![],
            bag_kg: None,
            bed_soil: None,
            cover_soil: None,
            id: "early".into(),
            name: "Early".into(),
            seed_g_dry_per_tray: Fixed::whole(180),
            wet_ratio: Fixed(1_250),
            bed_soil_mm: Fixed::whole(20),
            cover_soil_mm: Fixed::whole(7),
            water_l_per_tray: Fixed(120),
            soak_degree_days: Fixed::whole(100),
            soak_water_c: Fixed::whole(12),
            sprout_days: 2,
            hold_days: 1,
            drain_wait_days: 1,
            stack: StackNeed {
                clock: StackClock::Days,
                need: Fixed::whole(3),
            },
            greening_days: 2,
            greening_wait_days: 1,
            age: AgeLimits {
                clock: AgeClock::Days,
                youngest: Fixed::whole(18),
                target: Fixed::whole(22),
                oldest: Fixed::whole(26),
            },
            growth: Growth {
                method: Method::DailyMean1,
                base_c: Fixed::whole(8),
                upper_c: Fixed::whole(30),
                ceiling_c: Fixed::whole(42),
                phyllochron_cd: Fixed::whole(100),
            },
            cost_younger: Fixed::ZERO,
            cost_older: Fixed::ZERO,
        }
    }

    fn line(set: i64, share: i64) -> Line {
        Line {
            hopper_g_dry: Fixed(0),
            spans: vec![],
            rates: vec![],
            id: "line".into(),
            name: "Line".into(),
            set_trays_per_h: Fixed(set),
            share_run: Fixed(share),
            hours_per_day: Hours::whole(7),
            first_set_up_minutes: Fixed::whole(20),
            set_up_minutes: Fixed::whole(15),
            set_up_pairs: vec![],
            trial_trays: 4,
        }
    }

    #[test]
    fn amounts_are_rounded_once_and_not_by_tray() {
        // 333.3 g × 1.237 = 412.2921 g: 412.3 g a tray, and 41.2 kg for a hundred.
        let kind = Kind {
            seed_g_dry_per_tray: Fixed(3_333),
            wet_ratio: Fixed(1_237),
            ..kind()
        };
        assert_eq!(wet_seed_per_tray(&kind), Fixed(4_123));
        assert_eq!(takes(&kind, 100).wet_seed, Fixed(412_292));
        // 0.01 mm on one mat is 1.624 mL.
        let thin = Kind {
            bed_soil_mm: Fixed(1),
            cover_soil_mm: Fixed(0),
            ..kind
        };
        assert_eq!(takes(&thin, 1).bed_soil, Fixed(2));
        assert_eq!(takes(&thin, 1_000).bed_soil, Fixed(1_624));
        assert_eq!(takes(&thin, 1_000).cover_soil, Fixed::ZERO);
    }

    #[test]
    fn no_trays_take_nothing_and_too_many_do_not_fail() {
        let none = takes(&kind(), 0);
        assert_eq!((none.dry_seed, none.wet_seed), (Fixed::ZERO, Fixed::ZERO));
        assert_eq!((none.bed_soil, none.water), (Fixed::ZERO, Fixed::ZERO));
        let heavy = Kind {
            seed_g_dry_per_tray: Fixed(i64::MAX),
            ..kind()
        };
        assert_eq!(takes(&heavy, i64::MAX).wet_seed, Fixed(i64::MAX));
        assert_eq!(takes(&heavy, i64::MAX).water, Fixed(i64::MAX));
    }

    #[test]
    fn a_line_that_runs_four_fifths_takes_a_quarter_longer() {
        assert_eq!(tray_time(&line(4_000, 1_000_000), "any"), Some(Span(9_000)));
        assert_eq!(tray_time(&line(4_000, 800_000), "any"), Some(Span(11_250)));
        // 3,600,000 ÷ 700 = 5,142.86: rounded up.
        assert_eq!(tray_time(&line(7_000, 1_000_000), "any"), Some(Span(5_143)));
        assert_eq!(tray_time(&line(0, 1_000_000), "any"), None);
        assert_eq!(tray_time(&line(4_000, 0), "any"), None);
        assert_eq!(tray_ms(&line(4_000, 0), "any"), SLOWEST.0);
        assert_eq!(tray_ms(&line(1, 1), "any"), SLOWEST.0);
        assert_eq!(
            line_time(&line(4_000, 800_000), "any", 100, 5),
            Span(5_625_000)
        );
        assert_eq!(line_time(&line(1, 1), "any", i64::MAX, 1_000).0, MOST_WORK);
        assert_eq!(
            water_per_minute(&kind(), &line(4_000, 800_000)),
            Fixed::whole(8)
        );
    }

    #[test]
    fn trays_are_full_stacks_and_a_rest() {
        let stacked = Stacked::of(612, 15);
        assert_eq!((stacked.full, stacked.rest, stacked.stacks()), (40, 12, 41));
        assert_eq!(
            Stacked::of(600, 15),
            Stacked {
                height: 15,
                full: 40,
                rest: 0
            }
        );
        assert_eq!(Stacked::of(600, 15).stacks(), 40);
        assert_eq!(Stacked::of(14, 15).stacks(), 1);
        assert_eq!(Stacked::of(0, 15).stacks(), 0);
        for trays in 0..200 {
            assert_eq!(Stacked::of(trays, 17).trays(), trays);
        }
    }
}
