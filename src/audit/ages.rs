//! Checks of the age of the seedlings on the day they are planted.

use super::Found;
use super::book::{PartSeen, of_part, say_part};
use super::warmth::{Warmth, Way, way};
use crate::scenario::{AgeClock, Scenario};
use crate::units::Age;

/// Checks the stated age, and the limits of what is planted.
pub(super) fn check(scenario: &Scenario, warmth: &Warmth, part: &PartSeen, found: &mut Found) {
    let Some(way) = way(scenario, part) else {
        return;
    };
    let (day, said, limits) = (part.delivery.day, say_part(part.delivery), part.kind.age);
    let age = match warmth.age(part.kind, &way) {
        Ok(age) => age,
        Err(why) => {
            let what = format!("{said}: {why}");
            return found.add("A034", of_part(part.delivery), Some(day), 0, what);
        }
    };
    let unit = unit(limits.clock);
    check_stated(part, age, found);
    // What is handed over sprouted is as old as it is.
    if !part.in_beds() {
        return;
    }
    let mut bad = |code, amount: i64, what| {
        found.add(code, of_part(part.delivery), Some(day), amount.into(), what);
    };
    if age < limits.youngest {
        let what = format!(
            "{said} is {age} {unit} old on {day}, at least {} are needed",
            limits.youngest
        );
        bad("A050", limits.youngest.0 - age.0, what);
    }
    if age > limits.oldest {
        let what = format!(
            "{said} is {age} {unit} old on {day}, at most {} are allowed",
            limits.oldest
        );
        bad("A051", age.0 - limits.oldest.0, what);
    }
    check_limits(warmth, part, &way, found);
}

fn check_stated(part: &PartSeen, age: Age, found: &mut Found) {
    let (stated, day) = (part.delivery.age, part.delivery.day);
    if stated != age {
        let off = stated.0.saturating_sub(age.0);
        let (said, unit) = (say_part(part.delivery), unit(part.kind.age.clock));
        let what = format!("{said} is stated to be {stated} {unit} old on {day}, it is {age}");
        found.add("A052", of_part(part.delivery), Some(day), off.into(), what);
    }
}

/// The kind's further limits, each on its own clock.
fn check_limits(warmth: &Warmth, part: &PartSeen, way: &Way, found: &mut Found) {
    let (day, said) = (part.delivery.day, say_part(part.delivery));
    let mut bad = |code, amount: i64, what| {
        found.add(code, of_part(part.delivery), Some(day), amount.into(), what);
    };
    for limit in &part.kind.limits {
        let age = match warmth.age_by(part.kind, limit.clock, way) {
            Ok(age) => age,
            Err(why) => return bad("A034", 0, format!("{said}: {why}")),
        };
        let unit = unit(limit.clock);
        if let Some(youngest) = limit.youngest.filter(|youngest| age < *youngest) {
            let what = format!(
                "{said} is {age} {unit} old on {day}, a further limit wants at least {youngest}"
            );
            bad("A054", youngest.0 - age.0, what);
        }
        if let Some(oldest) = limit.oldest.filter(|oldest| age > *oldest) {
            let what = format!(
                "{said} is {age} {unit} old on {day}, a further limit allows at most {oldest}"
            );
            bad("A055", age.0 - oldest.0, what);
        }
    }
}

/// The unit of age on a clock.
fn unit(clock: AgeClock) -> &'static str {
    match clock {
        AgeClock::Days => "days",
        AgeClock::Leaves => "leaves",
        AgeClock::Thermal => "°C·d",
    }
}
