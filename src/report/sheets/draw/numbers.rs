//! Numbers as they are said on paper, in the language of the words.

use crate::plan::day::Bags;
use crate::report::day::words::kg;
use crate::report::sheets::words::{Words, say};
use crate::units::Fixed;

/// "rows 3 to 5"; nothing without rows.
pub fn rows(w: &Words, rows: &[u32]) -> String {
    let mut sorted = rows.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let spans: Vec<String> = sorted
        .chunk_by(|one, next| one.checked_add(1) == Some(*next))
        .map(|span| match span {
            [one] => one.to_string(),
            _ => say!(w, "rows.span", first = span[0], last = span[span.len() - 1]),
        })
        .collect();
    match sorted.len() {
        0 => String::new(),
        1 => say!(w, "rows.one", row = spans.join(", ")),
        _ => say!(w, "rows.more", rows = spans.join(", ")),
    }
}

/// "Long house, rows 3 to 5".
pub fn in_rows(w: &Words, place: &str, of: &[u32]) -> String {
    match rows(w, of) {
        rows if rows.is_empty() => place.to_string(),
        rows => format!("{place}, {rows}"),
    }
}

/// "5 bags of 20 kg = 100 kg", else "100 kg".
pub fn bags_or_kg(w: &Words, bags: Option<Bags>, dry: Fixed<3>) -> String {
    let Some(bags) = bags else { return kg(dry) };
    let each = kg(bags.kg);
    if bags.count == 1 {
        return say!(w, "bags.one", each = each);
    }
    say!(w, "bags.more", n = bags.count, each = each, all = kg(dry))
}
