//! Quantities with their units in the type: exact decimals, trays, time and money.
//!
//! Everything that a plan decides or prices is a whole number of some small unit, so that the
//! same scenario gives the same plan on any machine: money in thousandths of the scenario's
//! currency, areas in square metres (hectares with four decimals), shares in parts per million,
//! time on ledgers in milliseconds ([`Span`]). Floats live only inside growth and the relaxation.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// An exact decimal with `P` places, held as a whole number of `10^-P`.
///
/// Written and read as a plain JSON number (`0.05`, `12`).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Fixed<const P: u32>(pub i64);

/// Money in thousandths of the scenario's currency.
pub type Money = Fixed<3>;
/// Area of fields in hectares; the inner number is square metres.
pub type Hectares = Fixed<4>;
/// Area of floor in square metres, to the hundredth.
pub type SquareMetres = Fixed<2>;
/// A share of one; the inner number is parts per million.
pub type Share = Fixed<6>;
/// A temperature or a difference of temperatures, °C, to the hundredth.
pub type Celsius = Fixed<2>;
/// Hours, to the hundredth.
pub type Hours = Fixed<2>;
/// Minutes, to the hundredth.
pub type Minutes = Fixed<2>;
/// Grams, to the tenth.
pub type Grams = Fixed<1>;
/// Millimetres, to the hundredth.
pub type Millimetres = Fixed<2>;
/// Litres, to the hundredth.
pub type Litres = Fixed<2>;
/// A seedling's age on the clock of its kind (days, leaves or °C·d), to the hundredth.
pub type Age = Fixed<2>;

impl<const P: u32> Fixed<P> {
    /// Nothing of it.
    pub const ZERO: Self = Fixed(0);
    /// How many of the small unit make one.
    pub const ONE: i64 = 10i64.pow(P);

    /// `whole` ones. Saturates at the ends of the range.
    pub const fn whole(whole: i64) -> Self {
        Fixed(whole.saturating_mul(Self::ONE))
    }

    /// The nearest decimal to `value`, halves away from zero; `None` when it is not finite or too large.
    pub fn nearest(value: f64) -> Option<Self> {
        let scaled = libm::round(value * Self::ONE as f64);
        (scaled.is_finite() && scaled.abs() < 9.0e15).then_some(Fixed(scaled as i64))
    }

    /// The value as a float, for growth and the relaxation.
    pub fn as_f64(self) -> f64 {
        self.0 as f64 / Self::ONE as f64
    }
}

impl<const P: u32> fmt::Display for Fixed<P> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (sign, digits) = (if self.0 < 0 { "-" } else { "" }, self.0.unsigned_abs());
        let one = Self::ONE.unsigned_abs();
        let (whole, part) = (digits / one, digits % one);
        if part == 0 {
            return write!(f, "{sign}{whole}");
        }
        let part = format!("{part:0width$}", width = P as usize);
        write!(f, "{sign}{whole}.{}", part.trim_end_matches('0'))
    }
}

impl<const P: u32> fmt::Debug for Fixed<P> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl<const P: u32> Serialize for Fixed<P> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        if self.0 % Self::ONE == 0 {
            out.serialize_i64(self.0 / Self::ONE)
        } else {
            out.serialize_f64(self.as_f64())
        }
    }
}

impl<'de, const P: u32> Deserialize<'de> for Fixed<P> {
    fn deserialize<D: Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
        let value = f64::deserialize(input)?;
        let near =
            Self::nearest(value).ok_or_else(|| serde::de::Error::custom("number out of range"))?;
        if (near.as_f64() - value).abs() > 1e-9 * value.abs().max(1.0) {
            return Err(serde::de::Error::custom(format!("more than {P} decimals")));
        }
        Ok(near)
    }
}

/// A length of work on a ledger: line time or person time, in milliseconds.
#[derive(
    Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Debug, Serialize, Deserialize,
)]
pub struct Span(pub i64);

impl Span {
    /// Milliseconds in one minute.
    pub const MINUTE: i64 = 60_000;
    /// Milliseconds in one hour.
    pub const HOUR: i64 = 3_600_000;

    /// From hours with two decimals: exact.
    pub const fn hours(hours: Hours) -> Self {
        Span(hours.0 * (Self::HOUR / 100))
    }

    /// From minutes with two decimals: exact.
    pub const fn minutes(minutes: Minutes) -> Self {
        Span(minutes.0 * (Self::MINUTE / 100))
    }

    /// Whole minutes, rounded up: what is bought and what a day sheet counts in.
    pub const fn minutes_up(self) -> i64 {
        div_up(self.0, Self::MINUTE)
    }
}

/// The number in 64 bits, or the end of their range that is nearest.
pub fn fit(value: i128) -> i64 {
    value.clamp(i128::from(i64::MIN), i128::from(i64::MAX)) as i64
}

/// `a ÷ b` rounded up, for `b > 0`.
pub const fn div_up(a: i64, b: i64) -> i64 {
    -(-a).div_euclid(b)
}

/// `a ÷ b` to the nearest whole, halves up, for `b > 0`.
pub const fn div_near(a: i64, b: i64) -> i64 {
    (2 * a + b).div_euclid(2 * b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_exact_and_print_without_noise() {
        let share: Share = serde_json::from_str("0.025").unwrap();
        assert_eq!(share.0, 25_000);
        assert_eq!(serde_json::to_string(&share).unwrap(), "0.025");
        assert_eq!(Money::whole(3).to_string(), "3");
        assert_eq!(Money { 0: -1_250 }.to_string(), "-1.25");
        assert!(serde_json::from_str::<Grams>("1.23").is_err());
    }

    #[test]
    fn division_rounds_as_named() {
        assert_eq!((div_up(7, 2), div_up(8, 2), div_up(-7, 2)), (4, 4, -3));
        assert_eq!((div_near(7, 2), div_near(5, 4), div_near(-1, 2)), (4, 1, 0));
    }
}
