//! What each task takes of which crew, for one lot.

use super::{Lot, Nursery};
use crate::scenario::{Per, PieceTask, Scenario, TeamTask, Work};
use crate::units::{Span, div_near, div_up};

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
/// `bed` is the bed that the task concerns; it matters for tasks counted by m² only.
pub fn labour(nursery: &Nursery, task: Task, lot: &Lot, bed: usize) -> Option<(usize, Span)> {
    let scenario = &nursery.scenario;
    let rate = piece(&scenario.work, task)?;
    let crew = crew(scenario, &rate.crew)?;
    // Hundredths of a minute are 600 ms.
    let ms = i128::from(rate.person_minutes.0) * 600;
    let trays = i128::from(lot.trays);
    let (above, below) = match rate.per {
        Per::HundredTrays => (trays * ms, 100),
        Per::SquareMetre => (
            trays * ms * 100,
            i128::from(scenario.beds[bed].trays_per_m2.0.max(1)),
        ),
        Per::Kilogram => (
            trays * i128::from(scenario.kinds[lot.kind].seed_g_dry_per_tray.0) * ms,
            10_000,
        ),
        Per::Hectare => (i128::from(lot.area_m2) * ms, 10_000),
    };
    let taken = i64::try_from((above + below - 1) / below).unwrap_or(i64::MAX / 1_000_000);
    (taken > 0).then_some((crew, Span(taken)))
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

/// Line time of one tray on a line, ms, rounded up; so long that nothing fits on a line of zero capacity.
pub fn tray_ms(nursery: &Nursery, line: usize) -> i64 {
    let time = crate::quantities::tray_time(&nursery.scenario.lines[line]);
    time.map_or(1_000 * Span::HOUR, |time| time.0)
}

/// Dry seed of `trays` trays of a kind, tenths of a gram.
pub fn dry_seed(scenario: &Scenario, kind: usize, trays: i64) -> i64 {
    trays * scenario.kinds[kind].seed_g_dry_per_tray.0
}

/// A part of an hour's price for `minutes`: to the nearest thousandth.
pub fn price_of_minutes(minutes: i64, price_per_h: i64) -> i64 {
    div_near(minutes * price_per_h, 60)
}

/// Stacks that `trays` fill at a height, the last one perhaps not full.
pub fn stacks(trays: i64, height: i64) -> i64 {
    div_up(trays, height.max(1))
}
