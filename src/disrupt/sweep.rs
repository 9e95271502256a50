//! Rain of every length on every day of a span: which trays it touches, and what mending the plan leaves short, moves and costs.

use super::event::{Event, EventError, apply};
use super::present::Present;
use super::replan::{How, decisions, replan};
use crate::calendar::{Day, DayRange};
use crate::nursery::Nursery;
use crate::plan::{Delivery, Plan};
use crate::solve::{Budget, Unwatched};
use crate::units::Money;
use serde::{Deserialize, Serialize};

/// One rain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cell {
    /// First day of rain.
    pub first: Day,
    /// Days of rain.
    pub days: u32,
    /// Trays that were to be planted on one of them.
    pub at_risk: i64,
    /// Trays short in the mended plan beyond those that are short without rain.
    pub short: i64,
    /// Planting days moved in the mended plan.
    pub moved: usize,
    /// Money that the mended plan costs more (or less), without trays short.
    pub extra: Money,
}

/// Sweeps rain of 1 to `longest` days over the days of `span`; `tell` is called with each cell as it is done and ends the sweep when it
/// says so. Cells go by first day, then length.
///
/// # Errors
/// None for fields that are there; those of [`apply`] otherwise.
pub fn sweep(
    present: &Present,
    span: DayRange,
    longest: u32,
    moves: u64,
    tell: &mut dyn FnMut(&Cell) -> bool,
) -> Result<Vec<Cell>, EventError> {
    let dry = without_rain(present, moves);
    let mut cells = Vec::new();
    for first in span.iter() {
        for days in 1..=longest {
            let rain = DayRange {
                first,
                last: first.plus(days as i32 - 1),
            };
            let cell = cell(present, rain, days, (moves, dry))?;
            cells.push(cell);
            if !tell(&cell) {
                return Ok(cells);
            }
        }
    }
    Ok(cells)
}

/// The day from which on rain hurts, for each first day: the least length that leaves trays short even in the mended plan.
pub fn hurts_from(cells: &[Cell]) -> Vec<(Day, Option<u32>)> {
    let mut firsts: Vec<Day> = cells.iter().map(|cell| cell.first).collect();
    firsts.dedup();
    firsts
        .into_iter()
        .map(|first| {
            let mut of_day = cells.iter().filter(|cell| cell.first == first);
            (
                first,
                of_day.find(|cell| cell.short > 0).map(|cell| cell.days),
            )
        })
        .collect()
}

fn cell(
    present: &Present,
    rain: DayRange,
    days: u32,
    (moves, dry): (u64, (i64, i64)),
) -> Result<Cell, EventError> {
    let touched = present.decided.iter();
    let at_risk: i64 = touched
        .filter(|one| rain.contains(one.delivery.day))
        .map(|one| one.delivery.trays)
        .sum();
    if at_risk == 0 {
        return Ok(Cell {
            first: rain.first,
            days,
            at_risk,
            short: 0,
            moved: 0,
            extra: Money::ZERO,
        });
    }
    let mut wet = present.clone();
    apply(
        &mut wet,
        &Event::Rain {
            days: rain,
            fields: Vec::new(),
            block: None,
        },
    )?;
    let plan = mended(&wet, moves);
    let moved = present.decided.iter().filter(|one| {
        let mut now = plan.deliveries.iter();
        let is_it =
            |now: &&Delivery| now.field == one.delivery.field && now.part == one.delivery.part;
        now.find(is_it)
            .is_some_and(|now| now.day != one.delivery.day)
    });
    Ok(Cell {
        first: rain.first,
        days,
        at_risk,
        short: (plan.cost.trays_short - dry.1).max(0),
        moved: moved.count(),
        extra: Money {
            0: besides_moves(&plan) - dry.0,
        },
    })
}

/// What the plan without rain costs, and the trays that it leaves short.
fn without_rain(present: &Present, moves: u64) -> (i64, i64) {
    let nursery = Nursery::new(&present.scenario);
    if decisions(&nursery, present).iter().all(Option::is_none) {
        return (0, 0);
    }
    let plan = mended(present, moves);
    (besides_moves(&plan), plan.cost.trays_short)
}

fn mended(present: &Present, moves: u64) -> Plan {
    let budget = Budget {
        moves,
        relaxations: 0,
        seed: 1,
    };
    replan(present, How::default(), &budget, &mut Unwatched).plan
}

/// Thousandths without the price of days moved.
fn besides_moves(plan: &Plan) -> i64 {
    plan.cost.total.0 - plan.cost.moved.0
}
