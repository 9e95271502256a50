//! What people type at the line: `34=172`, `34 172 g`, `3.5=8 L/min`.

use super::{Pair, Reading, What};
use crate::scenario::exact::{NumberFault, exact};
use crate::units::{Fixed, div_near};

/// Largest setting and reading.
const MOST: i64 = 100_000_000;

/// Why a text was not understood, and how it is written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{why}\n  help: {help}")]
pub struct Unclear {
    /// What is wrong with it.
    pub why: String,
    /// What to type instead.
    pub help: String,
}

fn unclear(why: impl Into<String>, help: impl Into<String>) -> Unclear {
    Unclear {
        why: why.into(),
        help: help.into(),
    }
}

/// A tray from one line of text: setting, then `=`, `:` or a space, then the reading, with its unit or without. Water may be typed in
/// L/min when the line's rate is known: it is turned into litres a tray.
///
/// # Errors
/// [`Unclear`]: no two numbers, a negative number, a decimal comma, more than two decimals, a wrong unit.
pub fn pair(text: &str, what: What, rate: Option<Fixed<1>>) -> Result<Pair, Unclear> {
    let text = super::log::plain(text);
    let how = format!(
        "type setting and {}, such as 34={}",
        what.unit(),
        what.usual()
    );
    let Some((setting, reading)) = halves(&text) else {
        return Err(unclear(
            format!("`{text}` is no setting with a reading"),
            how,
        ));
    };
    let setting = number(setting, "setting", &how)?;
    let at = reading
        .find(|sign: char| sign.is_alphabetic() || sign == '/' || sign == '%')
        .unwrap_or(reading.len());
    let (digits, unit) = (reading[..at].trim(), reading[at..].trim());
    let digits = if digits.is_empty() { reading } else { digits };
    let value = number(digits, "reading", &how)?;
    Ok(Pair {
        setting,
        reading: in_unit(value, unit, what, rate)?,
    })
}

fn halves(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let cut = text
        .find(['=', ':'])
        .or_else(|| text.find(char::is_whitespace))?;
    let (setting, rest) = text.split_at(cut);
    let rest =
        rest.trim_start_matches(|sign: char| sign == '=' || sign == ':' || sign.is_whitespace());
    (!setting.trim().is_empty() && !rest.trim().is_empty()).then(|| (setting.trim(), rest.trim()))
}

/// A number with at most two decimals, not negative.
///
/// # Errors
/// [`Unclear`], with `name` for what it is and `how` for how it is written.
pub fn number(text: &str, name: &str, how: &str) -> Result<Fixed<2>, Unclear> {
    if text.matches(',').count() == 1 && exact(&text.replace(',', "."), 2).is_ok() {
        let point = text.replace(',', ".");
        return Err(unclear(
            format!("the {name} `{text}` has a comma"),
            format!("type {point} with a point"),
        ));
    }
    match exact(text, 2) {
        Ok(hundredths) if hundredths < 0 => {
            Err(unclear(format!("the {name} {text} is negative"), how))
        }
        Ok(hundredths) if hundredths <= MOST => Ok(Fixed(hundredths)),
        Ok(_) | Err(NumberFault::TooLarge) => {
            Err(unclear(format!("the {name} {text} is too large"), how))
        }
        Err(NumberFault::Decimals) => Err(unclear(
            format!("the {name} {text} has more than two decimals"),
            how,
        )),
        Err(_) => Err(unclear(format!("the {name} `{text}` is no number"), how)),
    }
}

fn in_unit(
    value: Reading,
    unit: &str,
    what: What,
    rate: Option<Fixed<1>>,
) -> Result<Reading, Unclear> {
    let lower = unit.to_lowercase();
    if lower.is_empty() || lower == what.unit().to_lowercase() {
        return Ok(value);
    }
    if what == What::Water && lower.replace(' ', "") == "l/min" {
        let Some(rate) = rate.filter(|rate| rate.0 > 0) else {
            return Err(unclear(
                "litres a minute say nothing without the rate of the line",
                "give --rate in trays/h, or type litres a tray",
            ));
        };
        // L/min × 60 min/h ÷ trays/h; the rate is in tenths.
        return Ok(Fixed(div_near(value.0 * 600, rate.0)));
    }
    let named = match what {
        What::Seed => "seed is weighed in g, wet",
        What::Bed | What::Cover => "soil is measured in mm",
        What::Water => "water is measured in L a tray, or in L/min",
    };
    Err(unclear(
        format!("`{unit}` is the wrong unit: {named}"),
        "weigh or measure in that unit; it need not be typed",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn trays_are_typed_in_several_ways() {
        let seed =
            |text: &str| pair(text, What::Seed, None).map(|pair| (pair.setting.0, pair.reading.0));
        for text in [
            "34=172.5",
            "34 172.5",
            " 34 : 172.5 g",
            "34  =172.5G",
            "34.0\t172.50",
        ] {
            assert_eq!(seed(text), Ok((3_400, 17_250)), "{text}");
        }
        let water = pair("3=8 L/min", What::Water, Some(Fixed(4_000)));
        assert_eq!(water.map(|pair| pair.reading.0), Ok(120));
    }

    proptest! {
        #[test]
        fn any_text_is_answered(text in any::<String>()) {
            for what in What::ALL {
                if let Err(unclear) = pair(&text, what, Some(Fixed(3_000))) {
                    let steers = unclear.to_string().contains(char::from(27));
                    prop_assert!(!steers);
                }
            }
        }
    }
}
