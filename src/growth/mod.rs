//! Growth as pure functions of temperatures: thermal time, leaf age, soaking, and the day on which a sum is reached.
//!
//! - [`thermal`]: °C·d of one day from its lowest and highest temperature, by a published method.
//! - [`mod@leaves`]: leaves of one day, and a seedling's age on the clock of its kind.
//! - [`soak`]: how long seed lies in water.
//! - [`sums`]: adding days up, and the first day on which a sum is enough.
//!
//! Nothing here knows a calendar of work, a place or an order. Trigonometry comes from `libm`, so
//! that the last digit of a sum, and with it a date, is the same on every machine.

pub mod leaves;
pub mod soak;
pub mod sums;
pub mod thermal;

pub use leaves::{age, leaves, units_of_age, units_of_stack};
pub use soak::soak_days;
pub use sums::{TOLERANCE, first_reaching, sum_between};
pub use thermal::thermal_units;

use crate::scenario::{Temperature, WeatherDay};
use crate::units::Celsius;

/// Lowest and highest temperature of a day in a place, °C.
///
/// `outdoors` may be missing only for places with a temperature of their own; for the others a
/// missing day gives `None`. A place that gains more by night than by day can turn the two round on a
/// day of little range; [`thermal_units`] takes them in either order.
pub fn in_place(place: &Temperature, outdoors: Option<&WeatherDay>) -> Option<(f64, f64)> {
    // Added as hundredths: exact, where adding the floats would not be.
    let sum = |a: Celsius, b: Celsius| Celsius { 0: a.0 + b.0 }.as_f64();
    match place {
        Temperature::Own(own) => Some((own.as_f64(), own.as_f64())),
        Temperature::Outdoors {
            night_plus_c,
            day_plus_c,
        } => outdoors.map(|day| (sum(day.min_c, *night_plus_c), sum(day.max_c, *day_plus_c))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::Day;

    #[test]
    fn a_house_adds_to_the_night_and_to_the_day() {
        let day = WeatherDay {
            date: Day::parse("2027-04-20").unwrap(),
            min_c: Celsius { 0: 410 },
            max_c: Celsius { 0: 1_420 },
        };
        let house = Temperature::Outdoors {
            night_plus_c: Celsius { 0: 220 },
            day_plus_c: Celsius::whole(6),
        };
        assert_eq!(in_place(&house, Some(&day)), Some((6.3, 20.2)));
        assert_eq!(in_place(&house, None), None);
        assert_eq!(
            in_place(&Temperature::Own(Celsius::whole(30)), None),
            Some((30.0, 30.0))
        );
    }
}
