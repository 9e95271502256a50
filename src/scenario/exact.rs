//! Numbers taken from their text exactly, never through a float.

/// Why a text is not a number with so many decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NumberFault {
    /// Not written as a number.
    Shape,
    /// NaN or infinite.
    NotFinite,
    /// Far beyond any quantity.
    TooLarge,
    /// More decimals than kept.
    Decimals,
}

/// Longest number, in digits of the last decimal: below 2^53, so that floats in JSON are exact too.
const MOST_DIGITS: usize = 15;

/// The number that `text` writes in JSON's grammar, in units of its last of `places` decimals.
///
/// # Errors
/// [`NumberFault`]; decimals that are all zero do not count.
pub fn exact(text: &str, places: u32) -> Result<i64, NumberFault> {
    let (negative, rest) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    if ["nan", "inf", "infinity"].contains(&rest.trim_start_matches('+').to_lowercase().as_str()) {
        return Err(NumberFault::NotFinite);
    }
    let (mantissa, exponent) = match rest.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, Some(exponent)),
        None => (rest, None),
    };
    let (whole, part) = match mantissa.split_once('.') {
        Some((whole, part)) => (whole, Some(part)),
        None => (mantissa, None),
    };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !part.is_none_or(digits) {
        return Err(NumberFault::Shape);
    }
    let exponent = match exponent {
        None => 0,
        Some(text) => {
            let (sign, text) = match text.strip_prefix('-') {
                Some(text) => (-1, text),
                None => (1, text.strip_prefix('+').unwrap_or(text)),
            };
            if !digits(text) {
                return Err(NumberFault::Shape);
            }
            // Anything longer is as good as a million.
            sign * text.parse::<i64>().unwrap_or(1_000_000).min(1_000_000)
        }
    };
    let part = part.unwrap_or("");
    let all = format!("{whole}{part}");
    let all = all.trim_start_matches('0');
    if all.is_empty() {
        return Ok(0);
    }
    let shift = exponent - part.len() as i64 + i64::from(places);
    let kept = if shift < 0 {
        let cut = usize::try_from(-shift).unwrap_or(usize::MAX);
        let keep = all.len().saturating_sub(cut);
        if all.len() - keep < cut || all[keep..].bytes().any(|byte| byte != b'0') {
            return Err(NumberFault::Decimals);
        }
        all[..keep].to_owned()
    } else {
        let zeros = usize::try_from(shift).unwrap_or(usize::MAX);
        if all.len().saturating_add(zeros) > MOST_DIGITS {
            return Err(NumberFault::TooLarge);
        }
        format!("{all}{}", "0".repeat(zeros))
    };
    if kept.len() > MOST_DIGITS {
        return Err(NumberFault::TooLarge);
    }
    let number: i64 = kept.parse().map_err(|_| NumberFault::Shape)?;
    Ok(if negative { -number } else { number })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn decimals_are_taken_exactly() {
        for (text, places, value) in [
            ("0.05", 6, 50_000),
            ("1.5", 1, 15),
            ("-2.50", 1, -25),
            ("4e2", 0, 400),
            ("400.0", 0, 400),
            ("1.25e1", 1, 125),
            ("1250e-2", 1, 125),
            ("0e999999999999", 2, 0),
            ("-0.000", 2, 0),
        ] {
            assert_eq!(exact(text, places), Ok(value), "{text}");
        }
    }

    #[test]
    fn what_cannot_be_kept_is_named() {
        use NumberFault::*;
        for (text, fault) in [
            ("0.123", Decimals),
            ("1e-9", Decimals),
            ("1e-999999999999", Decimals),
            ("1e308", TooLarge),
            ("1e999999999999", TooLarge),
            ("123456789012345678", TooLarge),
            ("NaN", NotFinite),
            ("-inf", NotFinite),
            ("1,5", Shape),
            ("1 000", Shape),
            ("", Shape),
            ("-", Shape),
            ("1.", Shape),
            (".5", Shape),
            ("1e", Shape),
            ("0x10", Shape),
            ("١", Shape),
        ] {
            assert_eq!(exact(text, 2), Err(fault), "{text}");
        }
    }

    proptest! {
        #[test]
        fn whatever_is_printed_is_read_back(value in -999_999_999_999i64..=999_999_999_999, places in 0u32..7) {
            prop_assert_eq!(exact(&crate::scenario::keys::decimal_text(value, places), places), Ok(value));
        }

        #[test]
        fn any_text_is_answered(text in any::<String>(), places in 0u32..7) {
            let _ = exact(&text, places);
        }
    }
}
