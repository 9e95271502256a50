//! Lifting: the recommended weight limit and the lifting index of a lift, and those of trays in a nursery.
//!
//! Source: Waters, Putz-Anderson and Garg, Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) publication
//! 94-110, 1994, revised 2021, with its metric constants. The limit is 23 kg in the best posture, times one multiplier of at most 1
//! each for reach, height, travel, twist, rate and grip; the index is the load over the limit. [`LIMITS`] says where the
//! equation does not hold.

mod trays;

pub use trays::{Column, Load, Place, TrayLifts, What};

use serde::Serialize;

/// Limit in the best posture, kg.
pub const BEST_KG: f64 = 23.0;

/// Where the figures hold and where they do not, for people.
pub const LIMITS: &str = "Holds for one person who stands, lifts smoothly with both hands, has room to move, a load that does not \
shift and a firm dry floor, for up to 8 hours a day at about 19 to 26 °C and 35 to 50 % humidity. It does not hold for one hand, \
for sitting, kneeling or cramped places, nor for barrows, shovels or long carrying. A hot wet house or a slippery floor is \
worse than counted here.";

/// What goes before the figures, for people.
pub const CAUTION: &str =
    "Local rules on lifting, and whoever looks after health at work, go before these figures.";

/// A weight, kg.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
pub struct Kilograms(pub f64);

/// A length, cm.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Centimetres(pub f64);

/// An angle, degrees.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Degrees(pub f64);

/// Lifts a minute, averaged over 15 minutes.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct PerMinute(pub f64);

impl PerMinute {
    /// The average over 15 minutes of which only `minutes` are spent lifting, at `rate`.
    pub fn averaged(rate: PerMinute, minutes: f64) -> PerMinute {
        PerMinute(rate.0 * minutes / 15.0)
    }
}

/// How long lifting goes on, by the recovery that follows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Duration {
    /// Up to 1 hour, followed by light work for as long.
    Short,
    /// Up to 2 hours, followed by light work for three tenths as long.
    Moderate,
    /// Up to 8 hours.
    Long,
}

/// Lifting without a break, and the light work or rest after it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spell {
    /// Lifting, min.
    pub lifting: f64,
    /// Light work or rest after it, min.
    pub recovery: f64,
}

impl Duration {
    /// The duration that a day's spells count as: a spell whose recovery is too short is counted together with the next. `None` beyond
    /// 8 hours, where the equation does not hold, and for spells that are no numbers. The end of the day counts as recovery.
    pub fn of(spells: &[Spell]) -> Option<Duration> {
        let (mut longest, mut together) = (0.0_f64, 0.0);
        for spell in spells {
            together += spell.lifting;
            longest = longest.max(together);
            if !(spell.lifting >= 0.0 && spell.recovery >= 0.0) {
                return None;
            }
            if recovery_after(together).is_some_and(|needed| spell.recovery >= needed) {
                together = 0.0;
            }
        }
        match longest {
            minutes if minutes <= 60.0 => Some(Duration::Short),
            minutes if minutes <= 120.0 => Some(Duration::Moderate),
            minutes if minutes <= 480.0 => Some(Duration::Long),
            _ => None,
        }
    }
}

/// Minutes of light work or rest after so many minutes of lifting, for them to count as short (to 60) or moderate (to 120). `None`
/// beyond: no recovery makes it so.
pub fn recovery_after(lifting: f64) -> Option<f64> {
    match lifting {
        minutes if minutes <= 60.0 => Some(minutes),
        minutes if minutes <= 120.0 => Some(0.3 * minutes),
        _ => None,
    }
}

/// How well the hands hold the load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grip {
    /// Handles, or a form around which the hands close.
    Good,
    /// Fingers bent under the load, or handles that are not the best.
    Fair,
    /// Neither; loads that sag or have sharp edges.
    Poor,
}

/// One lift that is done again and again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lift {
    /// What is lifted.
    pub load: Kilograms,
    /// Hands ahead of the middle between the ankles.
    pub ahead: Centimetres,
    /// Hands above the floor.
    pub height: Centimetres,
    /// Way up or down from beginning to end.
    pub travel: Centimetres,
    /// Turn of the load out of the middle plane.
    pub twist: Degrees,
    /// How often.
    pub rate: PerMinute,
    /// For how long.
    pub duration: Duration,
    /// How well it is held.
    pub grip: Grip,
}

/// The six multipliers, each from 0 to 1; 0 where a lift is out of range.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Multipliers {
    pub reach: f64,
    pub height: f64,
    pub travel: f64,
    pub twist: f64,
    pub rate: f64,
    pub grip: f64,
}

impl Lift {
    /// The six multipliers.
    pub fn multipliers(&self) -> Multipliers {
        Multipliers {
            reach: reach(self.ahead),
            height: height(self.height),
            travel: travel(self.travel),
            twist: twist(self.twist),
            rate: rate(self.rate, self.duration, self.height),
            grip: grip(self.grip, self.height),
        }
    }

    /// The recommended weight limit; 0 where a posture is out of range: then nothing should be lifted so.
    pub fn limit(&self) -> Kilograms {
        let by = self.multipliers();
        let all = by.reach * by.height * by.travel * by.twist * by.rate * by.grip;
        Kilograms(BEST_KG * all)
    }

    /// The lifting index: load over limit. `None` where the limit is 0, and the index has no end.
    pub fn index(&self) -> Option<f64> {
        let limit = self.limit().0;
        (limit > 0.0).then(|| self.load.0 / limit)
    }
}

/// 25 cm over the reach: 1 up to 25 cm, 0 beyond 63 cm.
pub fn reach(ahead: Centimetres) -> f64 {
    match ahead.0 {
        cm if (0.0..=25.0).contains(&cm) => 1.0,
        cm if (0.0..=63.0).contains(&cm) => 25.0 / cm,
        _ => 0.0,
    }
}

/// Best at 75 cm, 0.003 less for each cm off it; 0 beyond 175 cm.
pub fn height(height: Centimetres) -> f64 {
    match height.0 {
        cm if (0.0..=175.0).contains(&cm) => 1.0 - 0.003 * (cm - 75.0).abs(),
        _ => 0.0,
    }
}

/// 0.82 and 4.5 cm over the travel: 1 up to 25 cm, 0 beyond 175 cm.
pub fn travel(travel: Centimetres) -> f64 {
    match travel.0 {
        cm if (0.0..=25.0).contains(&cm) => 1.0,
        cm if (0.0..=175.0).contains(&cm) => 0.82 + 4.5 / cm,
        _ => 0.0,
    }
}

/// 0.0032 less for each degree; 0 beyond 135°.
pub fn twist(twist: Degrees) -> f64 {
    match twist.0 {
        degrees if (0.0..=135.0).contains(&degrees) => 1.0 - 0.0032 * degrees,
        _ => 0.0,
    }
}

/// By grip, and for a fair one by whether the hands are below 75 cm.
pub fn grip(grip: Grip, height: Centimetres) -> f64 {
    match grip {
        Grip::Good => 1.0,
        Grip::Fair if height.0 < 75.0 => 0.95,
        Grip::Fair => 1.0,
        Grip::Poor => 0.9,
    }
}

/// Rates of the rows of [`BY_RATE`], lifts a minute.
const RATES: [f64; 17] = [
    0.2, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 15.0,
];

/// Multipliers by rate for short, moderate and long duration: the manual's table, from memory. Hands below 75 cm have 0 in rows
/// after [`LOW_ROWS`].
const BY_RATE: [[f64; 3]; 17] = [
    [1.00, 0.95, 0.85],
    [0.97, 0.92, 0.81],
    [0.94, 0.88, 0.75],
    [0.91, 0.84, 0.65],
    [0.88, 0.79, 0.55],
    [0.84, 0.72, 0.45],
    [0.80, 0.60, 0.35],
    [0.75, 0.50, 0.27],
    [0.70, 0.42, 0.22],
    [0.60, 0.35, 0.18],
    [0.52, 0.30, 0.15],
    [0.45, 0.26, 0.13],
    [0.41, 0.23, 0.00],
    [0.37, 0.21, 0.00],
    [0.34, 0.00, 0.00],
    [0.31, 0.00, 0.00],
    [0.28, 0.00, 0.00],
];

/// Rows of [`BY_RATE`] that hold for hands below 75 cm, by duration: up to 12, 10 and 8 lifts a minute. From memory.
const LOW_ROWS: [usize; 3] = [14, 12, 10];

/// By rate, duration and whether the hands are below 75 cm, from the manual's table (from memory). A rate between two rows counts as the
/// higher one, which is never too much; 0 beyond the table.
pub fn rate(rate: PerMinute, duration: Duration, height: Centimetres) -> f64 {
    if rate.0.is_nan() || rate.0 < 0.0 {
        return 0.0;
    }
    let column = match duration {
        Duration::Short => 0,
        Duration::Moderate => 1,
        Duration::Long => 2,
    };
    match RATES.iter().position(|row| rate.0 <= *row) {
        Some(row) if height.0 >= 75.0 || row < LOW_ROWS[column] => BY_RATE[row][column],
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The best posture, to vary.
    const BEST: Lift = Lift {
        load: Kilograms(10.0),
        ahead: Centimetres(25.0),
        height: Centimetres(75.0),
        travel: Centimetres(25.0),
        twist: Degrees(0.0),
        rate: PerMinute(0.2),
        duration: Duration::Short,
        grip: Grip::Good,
    };

    #[test]
    fn each_measure_has_its_end_and_beyond_it_nothing_is_lifted() {
        type Vary = fn(f64) -> Lift;
        let ends: [(&str, f64, Vary); 5] = [
            ("ahead", 63.0, |to| Lift {
                ahead: Centimetres(to),
                ..BEST
            }),
            ("height", 175.0, |to| Lift {
                height: Centimetres(to),
                ..BEST
            }),
            ("travel", 175.0, |to| Lift {
                travel: Centimetres(to),
                ..BEST
            }),
            ("twist", 135.0, |to| Lift {
                twist: Degrees(to),
                ..BEST
            }),
            ("rate", 15.0, |to| Lift {
                rate: PerMinute(to),
                ..BEST
            }),
        ];
        for (what, end, lift) in ends {
            assert!(
                lift(end).limit().0 > 0.0 && lift(0.0).limit().0 > 0.0,
                "{what}"
            );
            for beyond in [end + 0.01, -0.01, f64::NAN, f64::INFINITY] {
                let lift = lift(beyond);
                assert_eq!(
                    (lift.limit(), lift.index()),
                    (Kilograms(0.0), None),
                    "{what} {beyond}"
                );
            }
        }
    }

    #[test]
    fn rates_between_rows_count_as_the_higher_and_low_hands_end_sooner() {
        let (high, low) = (Centimetres(75.0), Centimetres(74.9));
        assert_eq!(rate(PerMinute(3.5), Duration::Short, low), 0.84);
        for (duration, last) in [
            (Duration::Short, 12.0),
            (Duration::Moderate, 10.0),
            (Duration::Long, 8.0),
        ] {
            let at = |rate_: f64, height| rate(PerMinute(rate_), duration, height);
            assert_eq!(at(last, low), at(last, high));
            assert_eq!(at(last + 1.0, low), 0.0);
            assert!(at(last + 1.0, high) > 0.0);
        }
        for rows in BY_RATE.windows(2) {
            assert!((0..3).all(|column| rows[0][column] >= rows[1][column]));
        }
    }

    #[test]
    fn spells_without_recovery_are_counted_together() {
        let day = |spells: &[(f64, f64)]| {
            let spells: Vec<Spell> = spells
                .iter()
                .map(|&(lifting, recovery)| Spell { lifting, recovery })
                .collect();
            Duration::of(&spells)
        };
        assert_eq!(day(&[(60.0, 60.0), (60.0, 0.0)]), Some(Duration::Short));
        assert_eq!(day(&[(60.0, 59.0), (60.0, 0.0)]), Some(Duration::Moderate));
        assert_eq!(
            day(&[(120.0, 36.0), (120.0, 36.0)]),
            Some(Duration::Moderate)
        );
        assert_eq!(day(&[(120.0, 35.0), (1.0, 480.0)]), Some(Duration::Long));
        assert_eq!(day(&[(240.0, 0.0), (240.0, 0.0)]), Some(Duration::Long));
        assert_eq!(day(&[(480.1, 0.0)]), None);
        assert_eq!(day(&[(f64::NAN, 0.0)]), None);
        assert_eq!(day(&[]), Some(Duration::Short));
    }
}
