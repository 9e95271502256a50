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
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::channel;

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

/// Sweeps rain of 1 to `longest` days over the days of `span`, on as many threads as the machine has; `tell` is called with the number of
/// rains done whenever one is, and ends the sweep when it says no. Cells go by first day, then length, and are the same on any number
/// of threads; a sweep that was ended has the first days of which every length was tried, up to the first that has not.
///
/// # Errors
/// None for fields that are there; those of [`apply`] otherwise.
pub fn sweep(
    present: &Present,
    span: DayRange,
    longest: u32,
    moves: u64,
    tell: &mut dyn FnMut(usize) -> bool,
) -> Result<Vec<Cell>, EventError> {
    let rains: Vec<(Day, u32)> = span
        .iter()
        .flat_map(|first| (1..=longest).map(move |days| (first, days)))
        .collect();
    let dry = without_rain(present, moves);
    let (next, ended) = (AtomicUsize::new(0), AtomicBool::new(false));
    let (send, receive) = channel();
    let mut cells: Vec<Option<Result<Cell, EventError>>> = vec![None; rains.len()];
    let threads = std::thread::available_parallelism().map_or(1, |threads| threads.get());
    std::thread::scope(|scope| {
        for _ in 0..threads.min(rains.len()) {
            let (send, rains, next, ended) = (send.clone(), &rains, &next, &ended);
            scope.spawn(move || {
                while !ended.load(Ordering::Relaxed) {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(rain) = rains.get(at) else {
                        return;
                    };
                    let cell = cell(present, *rain, (moves, dry));
                    if send.send((at, cell)).is_err() {
                        return;
                    }
                }
            });
        }
        drop(send);
        for (done, (at, cell)) in receive.into_iter().enumerate() {
            cells[at] = Some(cell);
            if !tell(done + 1) {
                ended.store(true, Ordering::Relaxed);
            }
        }
    });
    let mut done: Vec<Cell> = cells
        .into_iter()
        .map_while(|cell| cell)
        .collect::<Result<_, _>>()?;
    done.truncate(done.len() - done.len() % longest.max(1) as usize);
    Ok(done)
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
    (first, days): (Day, u32),
    (moves, dry): (u64, (i64, i64)),
) -> Result<Cell, EventError> {
    let rain = DayRange {
        first,
        last: first.plus(days as i32 - 1),
    };
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
