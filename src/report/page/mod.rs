//! The page: one HTML file that shows a plan, made to be opened in a browser without a network.
//!
//! [`gather`] looks everything up in the plan and in what is counted elsewhere, and gives plain [`Data`]; [`html`] turns that into
//! markup (`markup`, `first`), charts (`rows`, `chart`), and the data that the script shows when something is
//! clicked (`script_data`). Style sheet and script are files of their own. Nothing is fetched: a policy in the head forbids it.

mod chart;
mod data;
mod first;
mod gather;
mod loads;
mod markup;
mod mats;
mod rows;
mod script_data;
mod sheet;

pub use data::{Data, Why};
pub use gather::{Given, gather};

/// The style sheet.
pub const STYLE: &str = include_str!("page.css");
/// The script.
pub const SCRIPT: &str = include_str!("page.js");

/// The whole file. Control characters and signs that turn the direction of text around, from a name, become `�`.
pub fn html(data: &Data) -> String {
    let page = markup::page(data).into_string();
    page.chars()
        .map(|sign| if harmful(sign) { '\u{fffd}' } else { sign })
        .collect()
}

/// Control characters but the line's end, and the signs that override or embed a direction.
fn harmful(sign: char) -> bool {
    (sign.is_control() && sign != '\n')
        || ('\u{202a}'..='\u{202e}').contains(&sign)
        || ('\u{2066}'..='\u{2069}').contains(&sign)
}
