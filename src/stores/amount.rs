//! Amounts of what is in store, exact: kilograms, litres and millilitres in the small parts that are counted.

use crate::units::{Fixed, fit};
use serde::{Serialize, Serializer};
use std::fmt;

/// What something in store is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Unit {
    /// Dry seed, counted in tenths of a gram.
    #[serde(rename = "kg")]
    Kilograms,
    /// Soil, counted in µL.
    #[serde(rename = "L")]
    Litres,
    /// Agents, counted in hundred-thousandths of a millilitre: tenths of a gram of seed × tenths of a millilitre a kilogram.
    #[serde(rename = "mL")]
    Millilitres,
}

impl Unit {
    /// As it is written behind a number.
    pub const fn sign(self) -> &'static str {
        match self {
            Unit::Kilograms => "kg",
            Unit::Litres => "L",
            Unit::Millilitres => "mL",
        }
    }

    /// Parts that make one.
    pub const fn parts(self) -> i128 {
        match self {
            Unit::Kilograms => 10_000,
            Unit::Litres => 1_000_000,
            Unit::Millilitres => 100_000,
        }
    }

    /// Parts of the least that people weigh or measure here: a gram, a litre, a millilitre.
    const fn handled(self) -> i128 {
        match self {
            Unit::Kilograms => 10,
            _ => self.parts(),
        }
    }
}

/// So much of something, written as a number in its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amount {
    /// Kilograms, litres or millilitres.
    pub unit: Unit,
    /// In the small parts of the unit.
    pub parts: i128,
}

impl Amount {
    /// To the nearest gram, litre or millilitre, halves up: what people read.
    pub fn near(self) -> Amount {
        let handled = self.unit.handled();
        self.with((2 * self.parts + handled).div_euclid(2 * handled) * handled)
    }

    /// The same rounded up: what is bought.
    pub fn up(self) -> Amount {
        let handled = self.unit.handled();
        self.with(up(self.parts, handled) * handled)
    }

    /// Another amount in the same unit.
    pub(super) fn with(self, parts: i128) -> Amount {
        Amount { parts, ..self }
    }
}

/// `a ÷ b` rounded up, for `b > 0`.
pub(super) fn up(a: i128, b: i128) -> i128 {
    -(-a).div_euclid(b)
}

impl fmt::Display for Amount {
    /// The number without its unit.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.unit {
            Unit::Kilograms => Fixed::<4>(fit(self.parts)).fmt(f),
            Unit::Litres => Fixed::<6>(fit(self.parts)).fmt(f),
            Unit::Millilitres => Fixed::<5>(fit(self.parts)).fmt(f),
        }
    }
}

impl Serialize for Amount {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        match self.unit {
            Unit::Kilograms => Fixed::<4>(fit(self.parts)).serialize(out),
            Unit::Litres => Fixed::<6>(fit(self.parts)).serialize(out),
            Unit::Millilitres => Fixed::<5>(fit(self.parts)).serialize(out),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_read_to_the_gram_and_bought_rounded_up() {
        let of = |unit: Unit, parts| Amount { unit, parts };
        let seed = of(Unit::Kilograms, 123_454);
        assert_eq!(
            [seed, seed.near(), seed.up()].map(|amount| amount.to_string()),
            ["12.3454", "12.345", "12.346"]
        );
        let soil = of(Unit::Litres, 1_500_000);
        assert_eq!(
            (soil.near().to_string(), soil.up().to_string()),
            ("2".into(), "2".into())
        );
        assert_eq!(of(Unit::Litres, 2_000_000).up().to_string(), "2");
        assert_eq!(of(Unit::Millilitres, -50_001).near().to_string(), "-1");
        assert_eq!(serde_json::to_string(&seed).unwrap(), "12.3454");
    }
}
