//! From a sow day to the ages of every later day: stack, greening and hardening in given places.

use crate::calendar::{Day, WorkCalendar};
use crate::growth;
use crate::scenario::{AgeClock, Kind, Scenario, Sown, StackClock, Stage, Temperature};
use crate::units::Age;

/// The places that trays go through: indexes into the scenario's germination places and beds.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Route {
    /// Germination place.
    pub germination: usize,
    /// Bed under the first cover.
    pub green_bed: usize,
    /// Bed until planting; the same when the trays stay where they are.
    pub harden_bed: usize,
}

/// All routes that the scenario's places allow, in its order.
pub fn routes(scenario: &Scenario) -> Vec<Route> {
    let takes = |bed: usize, stage| scenario.beds[bed].stages.contains(&stage);
    let mut all = Vec::new();
    for germination in 0..scenario.germination.len() {
        for green_bed in (0..scenario.beds.len()).filter(|bed| takes(*bed, Stage::Green)) {
            if takes(green_bed, Stage::Harden) {
                all.push(Route {
                    germination,
                    green_bed,
                    harden_bed: green_bed,
                });
                continue;
            }
            for harden_bed in (0..scenario.beds.len()).filter(|bed| takes(*bed, Stage::Harden)) {
                all.push(Route {
                    germination,
                    green_bed,
                    harden_bed,
                });
            }
        }
    }
    all
}

/// Days and ages of trays of one kind sown on one day and kept in one route.
#[derive(Clone, Debug, PartialEq)]
pub struct Timeline {
    /// Out of the stack.
    pub open: Day,
    /// First day of hardening.
    pub harden: Day,
    /// Age on the days from `harden` on, as long as it is not beyond the oldest.
    pub ages: Vec<Age>,
    /// Age on the clock of each of the kind's further limits, on the same days.
    pub further: Vec<Vec<Age>>,
}

/// Why there is no timeline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Broken {
    /// The stack would not be ready before the temperatures end.
    NeverReady,
    /// Nobody opens the stack in time.
    StackWaits,
    /// Nobody changes the covers in time.
    GreeningWaits,
}

/// Follows trays from the sow day: `docs/COUNTING.md`, dates 3 to 8.
///
/// # Errors
/// [`Broken`] when a stage cannot be ended in time.
pub fn timeline(
    scenario: &Scenario,
    kind: &Kind,
    sow: Day,
    route: Route,
) -> Result<Timeline, Broken> {
    let beds: &WorkCalendar = &scenario.calendars.beds;
    let place = &scenario.germination[route.germination];
    let limit = scenario.horizon.last.plus(1);
    let open = open_day(scenario, kind, sow, route.germination)?;
    let harden = beds
        .first_from(open.plus(kind.greening_days), kind.greening_wait_days)
        .ok_or(Broken::GreeningWaits)?;
    let clocks: Vec<AgeClock> = kind.limits.iter().map(|limit| limit.clock).collect();
    let mut age = 0.0;
    let mut ages = Vec::new();
    let mut more = vec![0.0; clocks.len()];
    let mut further = vec![Vec::new(); clocks.len()];
    let mut day = sow;
    while day < limit {
        if day >= harden {
            let Some(rounded) = growth::age(age) else {
                break;
            };
            if rounded > kind.age.oldest {
                break;
            }
            let also: Option<Vec<Age>> = more.iter().map(|age| growth::age(*age)).collect();
            let Some(also) = also else { break };
            ages.push(rounded);
            for (further, age) in further.iter_mut().zip(also) {
                further.push(age);
            }
        }
        let warmth = if day < open {
            &place.temperature
        } else if day < harden {
            &scenario.beds[route.green_bed].temperature
        } else {
            &scenario.beds[route.harden_bed].temperature
        };
        let gains: Option<Vec<f64>> = [kind.age.clock]
            .iter()
            .chain(&clocks)
            .map(|clock| age_gain(scenario, kind, *clock, warmth, day))
            .collect();
        let Some(gains) = gains else { break };
        age += gains[0];
        for (more, gain) in more.iter_mut().zip(&gains[1..]) {
            *more += gain;
        }
        day = day.plus(1);
    }
    Ok(Timeline {
        open,
        harden,
        ages,
        further,
    })
}

/// The day on which the stacks of a run are opened in a germination place.
///
/// # Errors
/// [`Broken::NeverReady`] or [`Broken::StackWaits`].
pub fn open_day(
    scenario: &Scenario,
    kind: &Kind,
    sow: Day,
    germination: usize,
) -> Result<Day, Broken> {
    let place = &scenario.germination[germination];
    let limit = scenario.horizon.last.plus(1);
    let need = kind.stack.need.as_f64();
    let gain = |day: Day| match kind.stack.clock {
        StackClock::Days => Some(1.0),
        clock => temperatures(scenario, &place.temperature, day)
            .map(|(min, max)| growth::units_of_stack(clock, &kind.growth, min, max)),
    };
    let ready = growth::first_reaching(need, sow, gain, limit).ok_or(Broken::NeverReady)?;
    scenario
        .calendars
        .beds
        .first_from(ready, place.longest_wait_days)
        .ok_or(Broken::StackWaits)
}

/// The day on which the stacks of trays sown before the horizon are opened.
pub fn opening(scenario: &Scenario, sown: &Sown) -> Option<Day> {
    let field = scenario
        .fields
        .iter()
        .find(|field| field.id == sown.field)?;
    let kind = scenario.kinds.iter().find(|kind| kind.id == field.kind)?;
    let place = scenario
        .germination
        .iter()
        .position(|place| place.id == sown.germination)?;
    open_day(scenario, kind, sown.sown, place).ok()
}

fn age_gain(
    scenario: &Scenario,
    kind: &Kind,
    clock: AgeClock,
    warmth: &Temperature,
    day: Day,
) -> Option<f64> {
    if clock == AgeClock::Days {
        return Some(1.0);
    }
    let (min, max) = temperatures(scenario, warmth, day)?;
    Some(growth::units_of_age(clock, &kind.growth, min, max))
}

fn temperatures(scenario: &Scenario, warmth: &Temperature, day: Day) -> Option<(f64, f64)> {
    let outdoors = scenario.weather.first().and_then(|first| {
        let at = usize::try_from(day.since(first.date)).ok()?;
        scenario.weather.get(at)
    });
    growth::in_place(warmth, outdoors)
}
