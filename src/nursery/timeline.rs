//! From a sow day to the ages of every later day: stack, greening and hardening in given places.

use crate::calendar::{Day, WorkCalendar};
use crate::growth;
use crate::scenario::{AgeClock, Kind, Scenario, Sown, StackClock, Stage, Temperature};
use crate::units::Age;
use std::collections::BTreeMap;

/// The places that trays go through: indexes into the scenario's germination places and beds.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Route {
    /// Germination place; none for seed that is handed over.
    pub germination: Option<usize>,
    /// Bed under the first cover; none for what leaves before.
    pub green_bed: Option<usize>,
    /// Bed until planting; the same when the trays stay where they are.
    pub harden_bed: Option<usize>,
}

impl Route {
    /// Of seed that is handed over.
    pub const NONE: Route = Route {
        germination: None,
        green_bed: None,
        harden_bed: None,
    };

    /// Of trays that are handed over when their stack is opened.
    pub fn to_the_stack(germination: usize) -> Route {
        Route {
            germination: Some(germination),
            ..Route::NONE
        }
    }

    /// Germination place and both beds.
    pub fn through(germination: usize, green_bed: usize, harden_bed: usize) -> Route {
        Route {
            germination: Some(germination),
            green_bed: Some(green_bed),
            harden_bed: Some(harden_bed),
        }
    }

    /// True when the trays are carried from one bed to another.
    pub fn moves(&self) -> bool {
        self.green_bed != self.harden_bed
    }
}

/// All routes of seedlings that the scenario's places allow, in its order.
pub fn routes(scenario: &Scenario) -> Vec<Route> {
    let takes = |bed: usize, stage| scenario.beds[bed].stages.contains(&stage);
    let mut all = Vec::new();
    for germination in 0..scenario.germination.len() {
        for green_bed in (0..scenario.beds.len()).filter(|bed| takes(*bed, Stage::Green)) {
            if takes(green_bed, Stage::Harden) {
                all.push(Route::through(germination, green_bed, green_bed));
                continue;
            }
            for harden_bed in (0..scenario.beds.len()).filter(|bed| takes(*bed, Stage::Harden)) {
                all.push(Route::through(germination, green_bed, harden_bed));
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
    /// Age on the days from `harden` on, as long as it is not beyond the oldest: on the kind's own clock, then on that of each of its
    /// further limits. Not yet rounded.
    sums: Vec<Vec<f64>>,
}

impl Timeline {
    /// Ages on the day `plant` of trays that left on the day `leave`, rounded: on the kind's own clock, then by further limit. `None` once
    /// they are too old for it in the bed, or when a temperature is not known.
    pub fn ages(
        &self,
        scenario: &Scenario,
        kind: &Kind,
        leave: Day,
        plant: Day,
    ) -> Option<Vec<Age>> {
        let at = usize::try_from(leave.since(self.harden)).ok()?;
        let mut sums = self.sums.get(at)?.clone();
        for day in (0..plant.since(leave)).map(|ahead| leave.plus(ahead)) {
            for (sum, gain) in sums
                .iter_mut()
                .zip(gains(scenario, kind, &scenario.edge, day)?)
            {
                *sum += gain;
            }
        }
        sums.into_iter().map(growth::age).collect()
    }
}

/// Kind, sow day, the batch if it stands already, and route.
type Key = (usize, Day, Option<usize>, Route);

/// Timelines by kind, sow day, batch and route, each followed once.
pub(super) struct Timelines {
    pub routes: Vec<Route>,
    known: BTreeMap<Key, Result<Timeline, Broken>>,
}

impl Timelines {
    pub fn new(scenario: &Scenario) -> Timelines {
        Timelines {
            routes: routes(scenario),
            known: BTreeMap::new(),
        }
    }

    pub fn get(
        &mut self,
        scenario: &Scenario,
        (kind, standing): (usize, Option<usize>),
        sow: Day,
        route: Route,
    ) -> Result<&Timeline, Broken> {
        let batch = standing.map(|entry| &scenario.opening.sown[entry]);
        self.known
            .entry((kind, sow, standing, route))
            .or_insert_with(|| timeline(scenario, &scenario.kinds[kind], (sow, batch), route))
            .as_ref()
            .map_err(|broken| *broken)
    }
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

/// Follows trays from the sow day: `docs/COUNTING.md`, dates 3 to 8. Of a batch that stands already the days that it was opened and
/// hardened on are taken as they are, and each age on the kind's own clock begins with what a count found it ahead.
///
/// # Errors
/// [`Broken`] when a stage cannot be ended in time.
pub fn timeline(
    scenario: &Scenario,
    kind: &Kind,
    (sow, batch): (Day, Option<&Sown>),
    route: Route,
) -> Result<Timeline, Broken> {
    let beds: &WorkCalendar = &scenario.calendars.beds;
    let (Some(place), Some(green), Some(hardening)) =
        (route.germination, route.green_bed, route.harden_bed)
    else {
        return Err(Broken::NeverReady);
    };
    let limit = scenario.horizon.last.plus(1);
    let open = opened(scenario, kind, (sow, batch), place)?;
    let harden = match batch.and_then(|batch| batch.hardened) {
        Some(hardened) => hardened,
        None => beds
            .first_from(open.plus(kind.greening_days), kind.greening_wait_days)
            .ok_or(Broken::GreeningWaits)?,
    };
    let ahead = batch.map_or(0.0, |batch| batch.ahead.as_f64());
    let own = |clock: AgeClock| if clock == kind.age.clock { ahead } else { 0.0 };
    let further = kind.limits.iter().map(|limit| limit.clock);
    let mut sums: Vec<f64> = std::iter::once(kind.age.clock)
        .chain(further)
        .map(own)
        .collect();
    let mut all = Vec::new();
    let mut day = sow;
    while day < limit {
        if day >= harden {
            if growth::age(sums[0]).is_none_or(|age| age > kind.age.oldest) {
                break;
            }
            all.push(sums.clone());
        }
        let warmth = if day < open {
            scenario.germination[place].warmth_on(day)
        } else if day < harden {
            scenario.beds[green].temperature
        } else {
            scenario.beds[hardening].temperature
        };
        let Some(gains) = gains(scenario, kind, &warmth, day) else {
            break;
        };
        for (sum, gain) in sums.iter_mut().zip(gains) {
            *sum += gain;
        }
        day = day.plus(1);
    }
    Ok(Timeline {
        open,
        harden,
        sums: all,
    })
}

/// The day on which stacks are opened, and the age of the trays on it: of those that are handed over then.
///
/// # Errors
/// [`Broken`] when the stack cannot be opened in time, or a temperature is not known.
pub fn sprouted(
    scenario: &Scenario,
    kind: &Kind,
    (sow, batch): (Day, Option<&Sown>),
    germination: usize,
) -> Result<(Day, Age), Broken> {
    let open = opened(scenario, kind, (sow, batch), germination)?;
    let place = &scenario.germination[germination];
    let mut sum = batch.map_or(0.0, |batch| batch.ahead.as_f64());
    for day in (0..open.since(sow)).map(|ahead| sow.plus(ahead)) {
        let warmth = place.warmth_on(day);
        sum += age_gain(scenario, kind, kind.age.clock, &warmth, day).ok_or(Broken::NeverReady)?;
    }
    let age = growth::age(sum).ok_or(Broken::NeverReady)?;
    Ok((open, age))
}

/// What a day adds to the age on the kind's own clock, then on that of each of its further limits.
fn gains(scenario: &Scenario, kind: &Kind, warmth: &Temperature, day: Day) -> Option<Vec<f64>> {
    let further = kind.limits.iter().map(|limit| limit.clock);
    std::iter::once(kind.age.clock)
        .chain(further)
        .map(|clock| age_gain(scenario, kind, clock, warmth, day))
        .collect()
}

/// The day on which stacks are opened: as stated of a batch that stands, else when they are due.
fn opened(
    scenario: &Scenario,
    kind: &Kind,
    (sow, batch): (Day, Option<&Sown>),
    germination: usize,
) -> Result<Day, Broken> {
    match batch.and_then(|batch| batch.opened) {
        Some(opened) => Ok(opened),
        None => open_day(scenario, kind, sow, germination),
    }
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
        clock => temperatures(scenario, &place.warmth_on(day), day)
            .map(|(min, max)| growth::units_of_stack(clock, &kind.growth, min, max)),
    };
    let ready = growth::first_reaching(need, sow, gain, limit).ok_or(Broken::NeverReady)?;
    scenario
        .calendars
        .beds
        .first_from(ready, place.longest_wait_days)
        .ok_or(Broken::StackWaits)
}

/// The day on which the stacks of a run of that kind that stands are opened in a place: as stated, or when they are due; none where none
/// of it stands.
pub(super) fn open_standing(
    scenario: &Scenario,
    (run, kind): (usize, &Kind),
    germination: usize,
) -> Option<Day> {
    let opening = &scenario.opening;
    let place = &scenario.germination[germination].id;
    let of_kind = |batch: &Sown| {
        let mut fields = scenario.fields.iter();
        fields.any(|field| field.id == batch.field && field.kind == kind.id)
    };
    let mut batches = (0..opening.sown.len()).filter(|batch| opening.run_of(*batch) == run);
    let here = batches.find(|batch| {
        let batch = &opening.sown[*batch];
        batch.germination == *place && of_kind(batch)
    })?;
    opens_standing(scenario, &opening.sown[here])
}

/// The day on which the stacks of trays sown before the horizon are opened.
pub fn opens_standing(scenario: &Scenario, sown: &Sown) -> Option<Day> {
    if sown.opened.is_some() {
        return sown.opened;
    }
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

/// What a day in a place of that warmth adds to the age on a clock; none when a temperature is not known.
pub fn age_gain(
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
