//! Drawing of the sheets: pages of their own with the style in them, no script, nothing fetched.

mod card;
mod cautions;
mod day;
mod job;
mod labels;
mod loading;
mod map;
mod night;
mod numbers;
mod seed;
mod wash;

pub use card::cards;
pub use cautions::Cautions;
pub use day::day;
pub use labels::labels;
pub use loading::loading;
pub use map::map;
pub use night::night;
pub use seed::seed;
pub use wash::wash;

use super::words::{Words, say};
use crate::plan::day::DayPlan;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// The style of every sheet.
const STYLE: &str = include_str!("../sheet.css");

/// A page with its style; `body` holds one sheet or several.
pub fn page(w: &Words, title: &str, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang=(w.get("language")) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body { (body) }
        }
    };
    harmless(&page.into_string())
}

/// Control characters, and those that turn the direction of writing, as the sign of what cannot be printed. Markup in names is escaped where
/// it is written.
fn harmless(page: &str) -> String {
    let odd = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
    };
    page.chars()
        .map(|c| if odd(c) { '\u{fffd}' } else { c })
        .collect()
}

/// One sheet with its head. `name` is the sheet's, already in words.
pub fn sheet(w: &Words, day: &DayPlan, name: &str, class: &str, body: &Markup) -> Markup {
    let plan = match day.replaces {
        Some(before) => say!(w, "head.replaces", plan = day.revision, before = before),
        None => say!(w, "head.plan", plan = day.revision),
    };
    html! {
        section class={ "sheet " (class) } {
            header {
                div.top { span { (day.nursery) } span.name { (name) } }
                h1 { (w.long_day(day.day)) }
                div.top { span { (plan) } span { (w.get("head.printed")) " " (blank("time")) } }
            }
            (body)
            footer { (w.get("mind.local")) }
        }
    }
}

/// A line to write on; `of` is its width in the style.
pub fn blank(of: &str) -> Markup {
    html! { span class={ "blank " (of) } {} }
}

/// A box to tick.
pub fn tick() -> Markup {
    html! { span.tick {} }
}

/// Lines of text one under another, the first in bold.
pub fn lines(lines: &[String]) -> Markup {
    html! {
        @for (at, line) in lines.iter().enumerate() {
            @if at == 0 { div.first { (line) } } @else { div { (line) } }
        }
    }
}

/// A heading and what stands under it.
pub fn part(title: &str, body: &Markup) -> Markup {
    html! { section.part { h2 { (title) } (body) } }
}
