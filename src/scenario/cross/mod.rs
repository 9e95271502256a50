//! Checks of values against one another, once each alone is sound.
//!
//! A check names the paths that it reads; where one of them holds a stand-in, nothing is told.

mod carried;
mod growing;
mod opening;
mod orders;
mod places;
mod spans;
mod staff;
mod stores;
mod trips;
mod weather;
mod windows;

pub use weather::trim as trim_weather;

use super::codes;
use super::gather::Gather;
use super::types::Scenario;
use crate::problems::Severity::{Error, Warning};

/// Most days of a horizon.
pub const LONGEST_HORIZON: usize = 800;

/// All checks. Paths are those of the file, so the lists must still be in its order.
pub fn check(gather: &mut Gather, scenario: &Scenario) {
    let days = scenario.horizon.days();
    if days > LONGEST_HORIZON {
        gather
            .flag(
                Error,
                codes::HORIZON_LENGTH,
                &["horizon"],
                format!("the horizon has {days} days"),
            )
            .expected(format!("at most {LONGEST_HORIZON} days"));
        gather.mark_bad("horizon");
    }
    growing::kinds(gather, scenario);
    orders::losses(gather, scenario);
    growing::fields(gather, scenario);
    orders::lines(gather, scenario);
    stores::growers(gather, scenario);
    places::lines(gather, scenario);
    places::germination(gather, scenario);
    places::beds(gather, scenario);
    places::people(gather, scenario);
    places::machines(gather, scenario);
    stores::seed(gather, scenario);
    stores::soil(gather, scenario);
    stores::water(gather, scenario);
    stores::vehicles(gather, scenario);
    trips::groups(gather, scenario);
    trips::agents(gather, scenario);
    spans::check(gather, scenario);
    staff::check(gather, scenario);
    opening::opening(gather, scenario);
    opening::pins(gather, scenario);
    weather::check(gather, scenario);
}

/// Says that a place or a person can do nothing.
fn no_capacity(gather: &mut Gather, path: &str, message: String) {
    gather
        .flag(Warning, codes::NO_CAPACITY, &[path], message)
        .help("take it out, or give it what it can do");
}
