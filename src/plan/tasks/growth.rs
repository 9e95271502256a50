//! How many days the weather makes of a stack's need and of the limits of age.

use crate::calendar::Day;
use crate::growth::{in_place, leaves, thermal_units};
use crate::plan::view::PartView;
use crate::scenario::{AgeClock, Germination, Kind, Scenario, StackClock, Temperature, WeatherDay};
use crate::units::Age;

/// No seedling waits longer than this many days.
const LONGEST: i32 = 1_000;

fn outdoors(scenario: &Scenario, day: Day) -> Option<&WeatherDay> {
    let at = scenario
        .weather
        .binary_search_by_key(&day, |row| row.date)
        .ok()?;
    scenario.weather.get(at)
}

fn in_place_on(scenario: &Scenario, place: &Temperature, day: Day) -> Option<(f64, f64)> {
    in_place(place, outdoors(scenario, day))
}

/// Days from sowing until a stack is ready: the first day whose sum over the days before it reaches
/// the need. None when the weather does not reach that far.
pub fn stack_days(scenario: &Scenario, kind: &Kind, place: &Germination, sow: Day) -> Option<i32> {
    let need = kind.stack.need.as_f64() - 1e-9;
    let mut sum = 0.0;
    for days in 1..=LONGEST {
        sum += match kind.stack.clock {
            StackClock::Days => 1.0,
            StackClock::Thermal => {
                let (min, max) = {
                    let day = sow.plus(days - 1);
                    in_place_on(scenario, &place.warmth_on(day), day)?
                };
                thermal_units(&kind.growth, min, max)
            }
        };
        if sum >= need {
            return Some(days);
        }
    }
    None
}

/// Days from sowing between which the seedlings of a part are neither too young nor too old on any clock, its days
/// of opening, hardening and leaving given. Either may be unknown when the weather ends before.
pub fn age_days(
    scenario: &Scenario,
    kind: &Kind,
    part: &PartView<'_>,
    sow: Day,
) -> (Option<i32>, Option<i32>) {
    let own = kind.age;
    let further = kind.limits.iter();
    let limits = further.map(|limit| (limit.clock, limit.youngest, limit.oldest));
    let all: Vec<_> = limits
        .chain([(own.clock, Some(own.youngest), Some(own.oldest))])
        .map(|limit| days_of(scenario, kind, part, sow, limit))
        .collect();
    (
        all.iter().filter_map(|(youngest, _)| *youngest).max(),
        all.iter().filter_map(|(_, oldest)| *oldest).min(),
    )
}

fn days_of(
    scenario: &Scenario,
    kind: &Kind,
    part: &PartView<'_>,
    sow: Day,
    (clock, least, most): (AgeClock, Option<Age>, Option<Age>),
) -> (Option<i32>, Option<i32>) {
    let (mut youngest, mut sum) = (None, 0.0);
    for days in 0..=LONGEST {
        let Some(age) = Age::nearest(sum) else {
            return (youngest, None);
        };
        if least.is_some_and(|least| age >= least) && youngest.is_none() {
            youngest = Some(days);
        }
        if most.is_some_and(|most| age > most) {
            return (youngest, Some(days - 1));
        }
        let Some(grown) = grown_on(scenario, kind, part, sow.plus(days), clock) else {
            return (youngest, None);
        };
        sum += grown;
    }
    (youngest, None)
}

fn grown_on(
    scenario: &Scenario,
    kind: &Kind,
    part: &PartView<'_>,
    day: Day,
    clock: AgeClock,
) -> Option<f64> {
    if clock == AgeClock::Days {
        return Some(1.0);
    }
    let d = part.delivery;
    let place = if d.leaves() < d.day && day >= d.leaves() {
        scenario.edge
    } else if day < d.open {
        part.place?.warmth_on(day)
    } else {
        part.bed(day >= d.harden)?.0.temperature
    };
    let (min, max) = in_place_on(scenario, &place, day)?;
    Some(match clock {
        AgeClock::Leaves => leaves(&kind.growth, min, max),
        _ => thermal_units(&kind.growth, min, max),
    })
}
