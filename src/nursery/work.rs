//! What each task takes of which crew, for one lot.

use super::{Lot, Nursery};
use crate::quantities::{care_times, person_time};
use crate::scenario::{PieceTask, Scenario, TeamTask, Work};
use crate::units::{Span, div_near};

/// Tasks counted in person-minutes by lot.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[allow(missing_docs)]
pub enum Task {
    Soak,
    Drain,
    Stack,
    Unstack,
    Green,
    Harden,
    Load,
    Plant,
    Collect,
    Care,
}

fn piece(work: &Work, task: Task) -> Option<&PieceTask> {
    match task {
        Task::Soak => &work.soak,
        Task::Drain => &work.drain,
        Task::Stack => &work.stack,
        Task::Unstack => &work.unstack,
        Task::Green => &work.green,
        Task::Harden => &work.harden,
        Task::Load => &work.load,
        Task::Plant => &work.plant,
        Task::Collect => &work.collect,
        Task::Care => &work.care,
    }
    .as_ref()
}

fn crew(scenario: &Scenario, id: &str) -> Option<usize> {
    scenario.crews.iter().position(|crew| crew.id == id)
}

/// Crew and person time that `task` takes for the whole lot, rounded up to the millisecond; `None` when it takes nobody's time.
///
/// Loading, planting and collecting go by the trays that leave, all else by those sown. `bed` is the bed that the task concerns; it
/// matters for tasks counted by m² only, which take no time without one.
pub fn labour(
    nursery: &Nursery,
    task: Task,
    lot: &Lot,
    bed: Option<usize>,
) -> Option<(usize, Span)> {
    let scenario = &nursery.scenario;
    let rate = piece(&scenario.work, task)?;
    let crew = crew(scenario, &rate.crew)?;
    let (kind, bed) = (
        &scenario.kinds[lot.kind],
        bed.map(|bed| &scenario.beds[bed]),
    );
    let trays = match task {
        Task::Load | Task::Plant | Task::Collect => lot.leaving,
        _ => lot.trays,
    };
    let once = person_time(rate, trays, kind, bed, lot.area_m2);
    let taken = match task {
        Task::Care => Span(care_times(once.0, kind)),
        _ => once,
    };
    (taken > Span(0)).then_some((crew, taken))
}

/// Crew and team of a task that lasts as long as the line needs.
pub fn team(nursery: &Nursery, task: &Option<TeamTask>) -> Option<(usize, i64)> {
    let task = task.as_ref()?;
    Some((crew(&nursery.scenario, &task.crew)?, task.team))
}

/// Crew and milliseconds of person time that washing one tray takes.
pub fn washing(nursery: &Nursery) -> Option<(usize, i64)> {
    let rate = nursery.scenario.work.wash.as_ref()?;
    // Person-minutes per 100 trays in hundredths: 6 ms a tray for each.
    Some((
        crew(&nursery.scenario, &rate.crew)?,
        rate.person_minutes.0 * 6,
    ))
}

/// Dry seed of `trays` trays of a kind, tenths of a gram.
pub fn dry_seed(scenario: &Scenario, kind: usize, trays: i64) -> i64 {
    trays * scenario.kinds[kind].seed_g_dry_per_tray.0
}

/// Dry weight in which seed of a kind is soaked, tenths of a gram: a bag, or to the tenth of a gram.
pub fn bag(scenario: &Scenario, kind: usize) -> i64 {
    // Grams to tenths.
    scenario.kinds[kind]
        .bag_kg
        .map_or(1, |bag| (bag.0 * 10).max(1))
}

/// Time that a planting machine needs for a lot, moving there included, ms, rounded down, so that a day's hectares fill a day.
pub fn planting(scenario: &Scenario, planter: usize, area_m2: i64) -> i64 {
    let planter = &scenario.planters[planter];
    let day = i128::from(Span::hours(planter.hours_per_day).0);
    let pace = i128::from(planter.ha_per_day.0);
    if pace <= 0 || day <= 0 {
        return 1_000 * Span::HOUR;
    }
    let time = i128::from(area_m2) * day / pace;
    i64::try_from(time).unwrap_or(1_000 * Span::HOUR) + Span::minutes(planter.move_minutes).0
}

/// A part of an hour's price for `minutes`: to the nearest thousandth.
pub fn price_of_minutes(minutes: i64, price_per_h: i64) -> i64 {
    div_near(minutes * price_per_h, 60)
}
