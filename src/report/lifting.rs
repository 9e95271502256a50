//! Lifting of trays in a short table, with its limits of validity.

use super::text::wrap;
use crate::lifting::{CAUTION, Column, Duration, LIMITS, Load, Place, TrayLifts, What};

/// Width of the first column.
const FIRST: usize = 20;
/// Width of the others.
const OTHER: usize = 14;

/// How trays are lifted, for people.
const WAYS: &str = "Bench: hands at 75 cm and 35 cm ahead, moved by 40 cm. Floor: hands at 10 cm and 40 cm ahead, moved by \
65 cm. Up to 1 h: then lighter work for as long.";

/// The table and what goes with it.
pub fn text(lifts: &TrayLifts) -> String {
    let heading = format!(
        "Lifting trays, one person, {} times a minute: load over recommended limit; above 1 (!) is too much",
        lifts.lifts_per_minute
    );
    let mut out = wrap("", "  ", &heading);
    let words = |of: fn(&Column) -> &'static str| lifts.columns.iter().map(of).map(str::to_owned);
    row(&mut out, "", words(from));
    row(&mut out, "", words(duration));
    let limits = lifts.columns.iter();
    row(
        &mut out,
        "limit",
        limits.map(|column| format!("{:.1} kg", column.limit_kg.0)),
    );
    for load in &lifts.loads {
        row(&mut out, &name(load), load.index.iter().map(index));
    }
    for text in [WAYS, LIMITS, CAUTION] {
        out.push_str(&wrap("  ", "  ", text));
    }
    let source = "Source: revised lifting equation, DHHS (NIOSH) 94-110; its multipliers for rate are from memory.";
    out.push_str(&wrap("  ", "  ", source));
    out
}

fn row(out: &mut String, first: &str, others: impl Iterator<Item = String>) {
    let mut line = format!("  {first:<FIRST$}");
    for other in others {
        line.push_str(&format!("{other:>OTHER$}"));
    }
    out.push_str(line.trim_end());
    out.push('\n');
}

fn from(column: &Column) -> &'static str {
    match column.from {
        Place::Bench => "a bench",
        Place::Floor => "the floor",
    }
}

fn duration(column: &Column) -> &'static str {
    match column.duration {
        Duration::Short => "up to 1 h",
        Duration::Moderate => "up to 2 h",
        Duration::Long => "2 to 8 h",
    }
}

fn name(load: &Load) -> String {
    let what = match load.what {
        What::Sown => "sown",
        What::Loaded => "loaded",
    };
    format!("{} {what}, {:.1} kg", load.trays, load.kg.0)
}

/// To two places; marked when it is above 1.
fn index(index: &Option<f64>) -> String {
    match index {
        Some(index) if *index > 1.0 => format!("{index:.2} !"),
        Some(index) => format!("{index:.2}  "),
        None => "not at all !".into(),
    }
}
