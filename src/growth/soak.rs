//! How long seed lies in water.

use crate::scenario::Kind;
use crate::units::{Celsius, Fixed, div_up};

/// Days that seed of `kind` soaks: degree-days of the water over its temperature, rounded up.
///
/// *Units*: °C·d over °C gives days. In whole numbers, so that 100 °C·d at 12.5 °C is 8 days and not 9. A
/// temperature of 0 °C or less (the scenario refuses it) counts as a hundredth of a degree.
///
/// *Source*: farm-cooperative leaflets on soaking rice seed (Japan, undated; Saitama, about 2015): daily water temperatures
/// add up to 100 °C·d, 120 °C·d for deeply dormant cultivars.
pub fn soak_days(kind: &Kind) -> i32 {
    days(kind.soak_degree_days, kind.soak_water_c)
}

fn days(degree_days: Fixed<1>, water_c: Celsius) -> i32 {
    // Tenths against hundredths: ceil(10 a / b) in whole numbers.
    let days = div_up(degree_days.0.saturating_mul(10), water_c.0.max(1));
    i32::try_from(days).unwrap_or(i32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_days_exactly_and_never_one_too_many() {
        assert_eq!(days(Fixed(1_000), Fixed(1_250)), 8);
        assert_eq!(days(Fixed(1_001), Fixed(1_250)), 9);
        assert_eq!(days(Fixed(0), Fixed(1_200)), 0);
    }

    #[test]
    fn water_without_warmth_gives_a_number_and_no_failure() {
        assert_eq!(days(Fixed(1_000), Fixed(0)), 10_000);
        assert_eq!(days(Fixed(i64::MAX), Fixed(1)), i32::MAX);
    }
}
