//! From a sow day to the ages of every later day: stack, greening and hardening in given places.

use super::story::Exclusion;
use crate::calendar::{Day, WorkCalendar};
use crate::growth;
use crate::scenario::{AgeClock, Kind, Scenario, Sown, StackClock, Stage, Temperature};
use crate::units::Age;
use std::collections::BTreeMap;
use std::rc::Rc;

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
    /// Age on the days from `harden` on, as long as it is not beyond the oldest, day after day: on the kind's own clock, then on that of
    /// each of its further limits. Not yet rounded.
    sums: Vec<f64>,
}

impl Timeline {
    /// The age on the kind's own clock, on the day `plant`, of trays that left on the day `leave`, when all limits hold.
    ///
    /// # Errors
    /// Which limit is not kept, and the age on the kind's own clock where it is known: not once the trays are too old for it in the bed,
    /// nor when a temperature is not known.
    pub fn right_age(
        &self,
        scenario: &Scenario,
        kind: &Kind,
        leave: Day,
        plant: Day,
    ) -> Result<Age, (Exclusion, Option<Age>)> {
        let gone = (Exclusion::TooOld, None);
        let at = usize::try_from(leave.since(self.harden)).map_err(|_| gone)?;
        let width = 1 + kind.limits.len();
        let there = self.sums.get(at * width..(at + 1) * width).ok_or(gone)?;
        let aged = |sum: f64, clock: AgeClock| {
            let waits = 0..plant.since(leave);
            let gain = |ahead: i32| {
                age_gain(scenario, kind, clock, &scenario.edge, leave.plus(ahead)).ok_or(gone)
            };
            let sum = waits.map(gain).try_fold(sum, |sum, gain| Ok(sum + gain?))?;
            growth::age(sum).ok_or(gone)
        };
        let age = aged(there[0], kind.age.clock)?;
        if age < kind.age.youngest {
            return Err((Exclusion::TooYoung, Some(age)));
        }
        if age > kind.age.oldest {
            return Err((Exclusion::TooOld, Some(age)));
        }
        for (limit, sum) in kind.limits.iter().zip(&there[1..]) {
            let own = aged(*sum, limit.clock)?;
            if limit.youngest.is_some_and(|youngest| own < youngest)
                || limit.oldest.is_some_and(|oldest| own > oldest)
            {
                return Err((Exclusion::FurtherLimit, Some(age)));
            }
        }
        Ok(age)
    }
}

/// Kind, sow day, the batch if it stands already, and route.
type Key = (usize, Day, Option<usize>, Route);

/// Timelines by kind, sow day, batch and route, each followed once.
pub(super) struct Timelines {
    pub routes: Vec<Route>,
    known: BTreeMap<Key, Result<Rc<Timeline>, Broken>>,
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
    ) -> Result<Rc<Timeline>, Broken> {
        let batch = standing.map(|entry| &scenario.opening.sown[entry]);
        let follow = || timeline(scenario, &scenario.kinds[kind], (sow, batch), route).map(Rc::new);
        self.known
            .entry((kind, sow, standing, route))
            .or_insert_with(follow)
            .clone()
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
    let mut sums: Vec<f64> = clocks(kind).map(own).collect();
    let mut all = Vec::new();
    let mut day = sow;
    while day < limit {
        if day >= harden {
            if growth::age(sums[0]).is_none_or(|age| age > kind.age.oldest) {
                break;
            }
            all.extend_from_slice(&sums);
        }
        let warmth = if day < open {
            scenario.germination[place].warmth_on(day)
        } else if day < harden {
            scenario.beds[green].temperature
        } else {
            scenario.beds[hardening].temperature
        };
        let grown = sums
            .iter_mut()
            .zip(clocks(kind))
            .try_for_each(|(sum, clock)| {
                *sum += age_gain(scenario, kind, clock, &warmth, day)?;
                Some(())
            });
        if grown.is_none() {
            break;
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

/// The kind's own clock, then that of each of its further limits.
fn clocks(kind: &Kind) -> impl Iterator<Item = AgeClock> {
    let further = kind.limits.iter().map(|limit| limit.clock);
    std::iter::once(kind.age.clock).chain(further)
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
