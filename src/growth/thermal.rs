//! Thermal time: the °C·d of one day by a published method.

use crate::scenario::{Growth, Method};
use std::f64::consts::{FRAC_PI_2, PI};

/// Hours of the day to radians as the source of [`hourly_sine`] has it (π ÷ 12 to four digits).
const RADIANS_PER_HOUR: f64 = 0.2618;
/// Hour of the day's highest temperature.
const WARMEST_HOUR: f64 = 14.0;

/// Thermal units of one day by the method of `growth`.
///
/// *Units*: `min_c` and `max_c` in °C; the answer in °C·d, or 1 for [`Method::Days`]. Never negative, and
/// finite for finite temperatures. The two temperatures are the day's lowest and highest; given the
/// other way round they are exchanged. The scenario sees to base < upper < ceiling; without that
/// the answer is still a number, but means nothing.
///
/// *Source*: by method, at [`hourly_sine`], [`daily_mean_1`], [`daily_mean_2`], [`daily_mean_3`] and
/// [`single_sine`].
pub fn thermal_units(growth: &Growth, min_c: f64, max_c: f64) -> f64 {
    let (min_c, max_c) = (min_c.min(max_c), min_c.max(max_c));
    let (base, upper) = (growth.base_c.as_f64(), growth.upper_c.as_f64());
    match growth.method {
        Method::HourlySine => hourly_sine(min_c, max_c, base, upper, growth.ceiling_c.as_f64()),
        Method::DailyMean1 => daily_mean_1(min_c, max_c, base, upper),
        Method::DailyMean2 => daily_mean_2(min_c, max_c, base, upper),
        Method::DailyMean3 => daily_mean_3(min_c, max_c, base, upper),
        Method::SingleSine => single_sine(min_c, max_c, base, upper),
        Method::Days => 1.0,
    }
}

/// Heat units hour by hour: `Σ max(0, u(T_h)) ÷ 24` for h = 1…24.
///
/// `T_h = (min + max) ÷ 2 + (max − min) ÷ 2 · cos(0.2618 (h − 14))`. From base to optimum an hour counts
/// `T − base`; from optimum to ceiling the excess is mirrored down, so that it counts `(optimum − base) · (ceiling − T) ÷
/// (ceiling − optimum)`; at and below the base, at and above the ceiling nothing. Hotter is not always faster.
///
/// *Units*: °C; answer °C·d. *Source*: daily heat units of the ORYZA rice model (IRRI and
/// Wageningen, public source text, edits of 2009), rice at 8, 30 and 42 °C.
pub fn hourly_sine(min_c: f64, max_c: f64, base: f64, optimum: f64, ceiling: f64) -> f64 {
    let mean = (min_c + max_c) / 2.0;
    let swing = (max_c - min_c) / 2.0;
    let mut sum = 0.0;
    for hour in 1..=24 {
        let hourly = mean + swing * libm::cos(RADIANS_PER_HOUR * (f64::from(hour) - WARMEST_HOUR));
        sum += one_hour(hourly, base, optimum, ceiling) / 24.0;
    }
    sum
}

/// What an hour at `temperature` counts: up to the optimum, then mirrored down to the ceiling.
fn one_hour(temperature: f64, base: f64, optimum: f64, ceiling: f64) -> f64 {
    if temperature <= base || temperature >= ceiling {
        0.0
    } else if temperature <= optimum {
        temperature - base
    } else {
        // Here optimum < temperature < ceiling, so the divisor is above 0.
        (optimum - base) * (ceiling - temperature) / (ceiling - optimum)
    }
}

/// Mean of the two temperatures, then cut: `clip((min + max) ÷ 2) − base`, clip = to `[base, upper]`.
///
/// *Units*: °C; answer °C·d. *Source*: degree-day method 1 of the FAO AquaCrop reference manual
/// (version 6); with base 0 and no upper limit, method 1 of McMaster and Wilhelm, "Growing degree-days: one
/// equation, two interpretations", Agric. Forest Meteorol. 87 (1997).
pub fn daily_mean_1(min_c: f64, max_c: f64, base: f64, upper: f64) -> f64 {
    clip((min_c + max_c) / 2.0, base, upper) - base
}

/// Both temperatures cut, then the mean: `(clip(min) + clip(max)) ÷ 2 − base`.
///
/// *Units*: °C; answer °C·d. *Source*: as [`daily_mean_1`], method 2 of both.
pub fn daily_mean_2(min_c: f64, max_c: f64, base: f64, upper: f64) -> f64 {
    (clip(min_c, base, upper) + clip(max_c, base, upper)) / 2.0 - base
}

/// The highest cut to both limits, the lowest to the upper one only, the mean held up to the base:
/// `max((min(min, upper) + clip(max)) ÷ 2, base) − base`.
///
/// *Units*: °C; answer °C·d. *Source*: as [`daily_mean_1`], method 3 of the FAO AquaCrop reference manual.
pub fn daily_mean_3(min_c: f64, max_c: f64, base: f64, upper: f64) -> f64 {
    ((min_c.min(upper) + clip(max_c, base, upper)) / 2.0).max(base) - base
}

/// `value` held to `[base, upper]`; to `base` where `upper` lies below it.
fn clip(value: f64, base: f64, upper: f64) -> f64 {
    value.min(upper).max(base)
}

/// Area of the daily sine between two thresholds, horizontal cut-off: `A(base) − A(upper)`.
///
/// `A(t)` is the area of the sine above `t`, averaged over the day: `m − t` where the whole day lies above, 0 where it lies
/// below, else `((m − t)(π/2 − θ) + a cos θ) ÷ π` with m the mean, a half the range, `θ = asin((t − m) ÷ a)`.
///
/// *Units*: °C; answer °C·d, from 0 to `upper − base`. *Source*: Baskerville and Emin, Ecology 50
/// (1969) 514–517; Zalom and others, "Degree-days: the calculation and use of heat units in pest management", University of California, 1983.
pub fn single_sine(min_c: f64, max_c: f64, base: f64, upper: f64) -> f64 {
    if min_c >= upper {
        return (upper - base).max(0.0);
    }
    (sine_above(min_c, max_c, base) - sine_above(min_c, max_c, upper)).max(0.0)
}

/// Area of the daily sine above `threshold`, °C·d.
fn sine_above(min_c: f64, max_c: f64, threshold: f64) -> f64 {
    let mean = (min_c + max_c) / 2.0;
    if min_c >= threshold {
        return mean - threshold;
    }
    if max_c <= threshold {
        return 0.0;
    }
    let swing = (max_c - min_c) / 2.0;
    let theta = libm::asin(((threshold - mean) / swing).clamp(-1.0, 1.0));
    ((mean - threshold) * (FRAC_PI_2 - theta) + swing * libm::cos(theta)) / PI
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Celsius, Fixed};
    use proptest::prelude::*;

    const METHODS: [Method; 6] = [
        Method::HourlySine,
        Method::DailyMean1,
        Method::DailyMean2,
        Method::DailyMean3,
        Method::SingleSine,
        Method::Days,
    ];

    fn rice(method: Method) -> Growth {
        Growth {
            method,
            base_c: Celsius::whole(8),
            upper_c: Celsius::whole(30),
            ceiling_c: Celsius::whole(42),
            phyllochron_cd: Fixed::whole(100),
        }
    }

    fn near(found: f64, wanted: f64) {
        assert!((found - wanted).abs() < 1e-9, "{found} is not {wanted}");
    }

    #[test]
    fn a_day_of_one_temperature_counts_its_distance_from_the_base() {
        for method in METHODS {
            let growth = rice(method);
            if method == Method::Days {
                near(thermal_units(&growth, -5.0, 50.0), 1.0);
                continue;
            }
            near(thermal_units(&growth, 20.0, 20.0), 12.0);
            near(thermal_units(&growth, 8.0, 8.0), 0.0);
            near(thermal_units(&growth, 30.0, 30.0), 22.0);
            near(thermal_units(&growth, -4.0, 7.9), 0.0);
        }
    }

    #[test]
    fn above_the_upper_limit_means_stay_and_the_hourly_sine_comes_down() {
        for method in [
            Method::DailyMean1,
            Method::DailyMean2,
            Method::DailyMean3,
            Method::SingleSine,
        ] {
            near(thermal_units(&rice(method), 31.0, 45.0), 22.0);
        }
        let hourly = rice(Method::HourlySine);
        near(thermal_units(&hourly, 36.0, 36.0), 11.0);
        near(thermal_units(&hourly, 42.0, 42.0), 0.0);
        near(thermal_units(&hourly, 43.0, 47.0), 0.0);
        assert!(thermal_units(&hourly, 28.0, 40.0) < thermal_units(&hourly, 22.0, 32.0));
    }

    #[test]
    fn temperatures_of_a_place_may_come_in_either_order() {
        for method in METHODS {
            let growth = rice(method);
            near(
                thermal_units(&growth, 36.0, 5.0),
                thermal_units(&growth, 5.0, 36.0),
            );
        }
    }

    #[test]
    fn limits_in_the_wrong_order_still_give_a_number() {
        for method in METHODS {
            let mut growth = rice(method);
            growth.upper_c = Celsius::whole(5);
            growth.ceiling_c = Celsius::whole(5);
            for (min, max) in [(0.0, 4.0), (4.0, 20.0), (9.0, 9.0), (20.0, 50.0)] {
                let units = thermal_units(&growth, min, max);
                assert!(
                    units.is_finite() && units >= 0.0,
                    "{method:?} {min} {max}: {units}"
                );
            }
        }
    }

    proptest! {
        /// Nothing below 0, nothing above what the best temperature would give all day.
        #[test]
        fn a_day_gives_at_most_the_distance_from_base_to_upper(
            min in -20.0..50.0f64, range in 0.0..30.0f64,
        ) {
            for method in METHODS {
                let units = thermal_units(&rice(method), min, min + range);
                prop_assert!((0.0..=22.0 + 1e-9).contains(&units), "{method:?}: {units}");
            }
        }

        /// A little warmer is a little more: no step at a threshold, whichever side the day lies on.
        #[test]
        fn no_method_jumps_at_a_threshold(
            threshold in prop::sample::select(vec![8.0, 30.0, 42.0]), range in 0.0..30.0f64,
        ) {
            for method in METHODS {
                let growth = rice(method);
                for (below, above) in [
                    ((threshold - 1e-7, threshold + range), (threshold + 1e-7, threshold + range)),
                    ((threshold - range, threshold - 1e-7), (threshold - range, threshold + 1e-7)),
                ] {
                    let low = thermal_units(&growth, below.0, below.1);
                    let high = thermal_units(&growth, above.0, above.1);
                    prop_assert!((high - low).abs() < 1e-6, "{method:?} {threshold}: {low} {high}");
                }
            }
        }

        /// Means and the single sine never lose by warmth; only the hourly sine comes down again.
        #[test]
        fn warmer_is_never_less_without_a_ceiling(
            min in -20.0..45.0f64, range in 0.0..30.0f64, more in 0.0..5.0f64,
        ) {
            for method in
                [Method::DailyMean1, Method::DailyMean2, Method::DailyMean3, Method::SingleSine]
            {
                let cool = thermal_units(&rice(method), min, min + range);
                let warm = thermal_units(&rice(method), min + more, min + range + more);
                prop_assert!(warm >= cool - 1e-9, "{method:?}: {cool} {warm}");
            }
        }

        /// The sine's area never lies below the mean method's: the part below the base is not held against the rest.
        #[test]
        fn the_single_sine_is_at_least_the_cut_mean_below_the_upper_limit(
            min in -20.0..29.0f64, part in 0.0..1.0f64,
        ) {
            let max = min + (30.0 - min) * part;
            let sine = thermal_units(&rice(Method::SingleSine), min, max);
            let mean = thermal_units(&rice(Method::DailyMean1), min, max);
            prop_assert!(sine >= mean - 1e-9, "{sine} {mean}");
        }

        /// Above the optimum an hour counts as much as the hour it is mirrored to below.
        #[test]
        fn the_hourly_sine_is_mirrored_at_the_optimum(share in 0.0..1.0f64) {
            let hourly = rice(Method::HourlySine);
            let (hot, cool) = (30.0 + 12.0 * share, 30.0 - 22.0 * share);
            let (up, down) = (thermal_units(&hourly, hot, hot), thermal_units(&hourly, cool, cool));
            prop_assert!((up - down).abs() < 1e-9, "{hot}: {up}, {cool}: {down}");
        }
    }
}
