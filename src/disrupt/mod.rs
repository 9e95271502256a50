//! When it goes otherwise: what stands on a day of the season, what changes, and a plan of the rest with the least upheaval.
//!
//! [`present()`] takes a plan as carried out up to a day and gives the nursery from that morning on: what stands, soaks, is away, what was
//! told to whom. An [`event::Event`] changes that scenario and nothing later: nursery, options, rules and audit are made anew from it.
//! [`replan`] plans the rest from what was decided before, [`difference`] says what changes for whom, [`what_if`] sets the unchanged, the
//! repaired and the new plan side by side, and [`sweep`] does so for rain of many lengths on many days.

pub mod answers;
mod apply;
pub mod books;
pub mod days_off;
pub mod difference;
pub mod event;
mod grown;
pub mod happened;
pub mod log;
pub mod present;
pub mod promise;
pub mod record;
pub mod replan;
mod shares;
pub mod spare;
mod stores_then;
pub mod sweep;
mod take;
pub mod trays_away;
mod trays_then;
pub mod what_if;

pub use present::{Present, PresentError, present};
