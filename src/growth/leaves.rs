//! Leaf age, and a seedling's age on the clock of its kind.

use super::thermal::thermal_units;
use crate::scenario::{AgeClock, Growth, StackClock};
use crate::units::Age;

/// Leaves that appear in one day: mean temperature above 0 °C over the phyllochron.
///
/// *Units*: temperatures in °C; answer in leaves. `max(0, (min + max) ÷ 2) ÷ phyllochron`; the scenario sees to a phyllochron above 0.
///
/// *Source*: Yoshida, Fundamentals of Rice Crop Science, IRRI, 1981: about 100 °C·d a leaf before the panicle
/// begins, so 5 days a leaf at 20 °C and 4 at 25 °C. He warns that the true response is curved.
pub fn leaves(growth: &Growth, min_c: f64, max_c: f64) -> f64 {
    ((min_c + max_c) / 2.0).max(0.0) / growth.phyllochron_cd.as_f64()
}

/// What one day adds to a seedling's age: 1 day, some leaves, or some °C·d.
pub fn units_of_age(clock: AgeClock, growth: &Growth, min_c: f64, max_c: f64) -> f64 {
    match clock {
        AgeClock::Days => 1.0,
        AgeClock::Leaves => leaves(growth, min_c, max_c),
        AgeClock::Thermal => thermal_units(growth, min_c, max_c),
    }
}

/// What one day adds to a stack on the way to opening: 1 day, or some °C·d.
pub fn units_of_stack(clock: StackClock, growth: &Growth, min_c: f64, max_c: f64) -> f64 {
    match clock {
        StackClock::Days => 1.0,
        StackClock::Thermal => thermal_units(growth, min_c, max_c),
    }
}

/// The age that a sum of [`units_of_age`] is: to the nearest hundredth, halves up, rounded this once.
///
/// A sum that is no finite number, or beyond any age (9 × 10¹³), gives `None`.
pub fn age(sum: f64) -> Option<Age> {
    // Away from zero: up, and down for trays that a count finds so far behind that their sum is below 0.
    Age::nearest(sum)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::Method;
    use crate::units::Fixed;

    fn rice() -> Growth {
        Growth {
            method: Method::DailyMean1,
            base_c: Fixed::whole(8),
            upper_c: Fixed::whole(30),
            ceiling_c: Fixed::whole(42),
            phyllochron_cd: Fixed::whole(80),
        }
    }

    #[test]
    fn a_day_counts_by_the_clock_that_is_asked() {
        let rice = rice();
        assert_eq!(units_of_age(AgeClock::Days, &rice, 12.0, 28.0), 1.0);
        assert_eq!(units_of_age(AgeClock::Leaves, &rice, 12.0, 28.0), 0.25);
        assert_eq!(units_of_age(AgeClock::Thermal, &rice, 12.0, 28.0), 12.0);
        assert_eq!(units_of_stack(StackClock::Days, &rice, 12.0, 28.0), 1.0);
        assert_eq!(units_of_stack(StackClock::Thermal, &rice, 12.0, 28.0), 12.0);
    }

    #[test]
    fn no_leaf_is_lost_to_frost() {
        assert_eq!(leaves(&rice(), -9.0, 3.0), 0.0);
        assert_eq!(leaves(&rice(), -4.0, 12.0), 0.05);
    }

    #[test]
    fn age_is_rounded_once_halves_up() {
        assert_eq!(age(2.125), Some(Fixed(213)));
        assert_eq!(age(2.124_999), Some(Fixed(212)));
        assert_eq!(age(f64::INFINITY), None);
    }
}
