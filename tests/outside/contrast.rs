//! Contrast of the page's own colours, computed by the definitions of WCAG 2.1 (W3C, 2018: relative luminance, contrast ratio; success
//! criteria 1.4.3: text 4.5, 1.4.6: 7, 1.4.11: marks 3), which are held against figures that are known for them.

use sowrota::report::page::STYLE;
use std::collections::BTreeMap;

/// Levels of red, green and blue, 0 to 255.
type Colour = [u8; 3];

fn colour(text: &str) -> Colour {
    let digits = text.strip_prefix('#').unwrap();
    assert_eq!(digits.len(), 6, "{text}");
    [0, 2, 4].map(|at| u8::from_str_radix(&digits[at..at + 2], 16).unwrap())
}

fn luminance(colour: Colour) -> f64 {
    let parts = colour.map(|level| {
        let share = f64::from(level) / 255.0;
        if share <= 0.04045 {
            share / 12.92
        } else {
            ((share + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]
}

fn contrast(one: &str, other: &str) -> f64 {
    let (one, other) = (luminance(colour(one)), luminance(colour(other)));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// Ratios and luminances that follow from the definitions, to half a unit of the last digit.
#[test]
fn known_figures() {
    for (one, other, ratio) in [
        ("#FFFFFF", "#000000", 21.0),
        ("#767676", "#FFFFFF", 4.5422),
        ("#777777", "#FFFFFF", 4.4781),
        ("#595959", "#FFFFFF", 7.0047),
        ("#5A5A5A", "#FFFFFF", 6.8969),
        ("#949494", "#FFFFFF", 3.0335),
        ("#959595", "#FFFFFF", 2.9953),
        ("#FF0000", "#FFFFFF", 3.9985),
        ("#0000FF", "#FFFFFF", 8.5925),
        ("#808080", "#FFFFFF", 3.9494),
        ("#808080", "#000000", 5.3172),
        // Colours of Okabe and Ito (2008) on white.
        ("#E69F00", "#FFFFFF", 2.2523),
        ("#56B4E9", "#FFFFFF", 2.3075),
        ("#009E73", "#FFFFFF", 3.4211),
        ("#F0E442", "#FFFFFF", 1.3223),
        ("#0072B2", "#FFFFFF", 5.1854),
        ("#D55E00", "#FFFFFF", 3.8672),
        ("#CC79A7", "#FFFFFF", 3.0610),
    ] {
        let found = contrast(one, other);
        assert!((found - ratio).abs() <= 5e-5, "{one} on {other}: {found}");
    }
    for (one, known) in [
        ("#FF0000", 0.2126),
        ("#00FF00", 0.7152),
        ("#0000FF", 0.0722),
        ("#808080", 0.215861),
    ] {
        let found = luminance(colour(one));
        assert!((found - known).abs() <= 5e-7, "{one}: {found}");
    }
}

/// The colours of light, dark and print, by name.
fn schemes() -> Vec<BTreeMap<&'static str, &'static str>> {
    let blocks = STYLE.split(":root {").skip(1);
    let blocks = blocks.map(|block| {
        let block = block.split('}').next().unwrap();
        let pairs = block.split(';').filter_map(|pair| pair.split_once(':'));
        pairs
            .map(|(name, value)| (name.trim(), value.trim()))
            .collect()
    });
    blocks.collect()
}

#[test]
fn the_page_can_be_read_in_light_dark_and_print() {
    let schemes = schemes();
    assert_eq!(schemes.len(), 3);
    for scheme in &schemes {
        assert_eq!(
            scheme.keys().collect::<Vec<_>>(),
            schemes[0].keys().collect::<Vec<_>>()
        );
        let of = |one: &str, other: &str| {
            contrast(
                scheme[format!("--{one}").as_str()],
                scheme[format!("--{other}").as_str()],
            )
        };
        let mut pairs = Vec::new();
        // Text: 7 for what is read most, 4.5 for all.
        for ground in ["ground", "card"] {
            pairs.push(("ink", ground, 7.0));
            for text in ["quiet", "link", "bad", "mild"] {
                pairs.push((text, ground, 4.5));
            }
        }
        for ground in ["urgent", "window", "moves", "short", "shorter"] {
            pairs.push(("ink", ground, 4.5));
        }
        pairs.push(("on-shortest", "shortest", 4.5));
        // Marks: 3 on the ground that they stand on.
        for mark in [
            "soak", "stack", "green", "harden", "wait", "plant", "area", "limit", "full", "today",
            "focus",
        ] {
            if !(mark == "area" && scheme["--ground"] == "#ffffff") {
                pairs.push((mark, "card", 3.0));
            }
        }
        for mark in ["harden", "wait", "plant", "today"] {
            pairs.push((mark, "window", 3.0));
        }
        for (one, other, least) in pairs {
            let found = of(one, other);
            assert!(
                found >= least,
                "{one} on {other}: {found:.2}, {least} wanted: {scheme:?}"
            );
        }
    }
}
