//! From a fractional relaxation to whole lots: runs are settled first, then each lot takes its place.

use super::list::{by_window_end, insert};
use super::lp::{self, LpSolution};
use super::relax::Relaxation;
use super::state::{Ground, State};
use crate::nursery::OptionId;

/// Runs at least this much there are settled as there; at most that much as not.
const SURELY: f64 = 0.75;
const HARDLY: f64 = 0.01;

/// Rounds a solved relaxation: settles runs, solves again, at most `again` times; then gives each lot an option.
pub fn dive<'g>(
    ground: &'g Ground<'g>,
    relaxation: &Relaxation,
    root: &LpSolution,
    again: u32,
) -> State<'g> {
    let mut solution = root.clone();
    let mut fixed: Vec<Option<f64>> = vec![None; relaxation.program.columns.len()];
    for _ in 0..again {
        if !settle_runs(relaxation, &solution, &mut fixed) {
            break;
        }
        match lp::solve(&relaxation.program, &fixed) {
            Some(next) => solution = next,
            None => break,
        }
    }
    give_places(ground, relaxation, &solution)
}

/// Settles clear runs and the clearer half of the others that are rather there than not. False when nothing is left to settle.
fn settle_runs(relaxation: &Relaxation, solution: &LpSolution, fixed: &mut [Option<f64>]) -> bool {
    let mut open: Vec<(usize, f64)> = Vec::new();
    for column in relaxation.run.iter().flatten().copied() {
        if fixed[column].is_some() {
            continue;
        }
        let value = solution.x[column];
        if value >= SURELY {
            fixed[column] = Some(1.0);
        } else if value <= HARDLY {
            fixed[column] = Some(0.0);
        } else {
            open.push((column, value));
        }
    }
    let left = open.len();
    open.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
    for (column, _) in open.into_iter().take(left.div_ceil(3)) {
        fixed[column] = Some(1.0);
    }
    left > 0
}

/// Each lot, in the order in which windows close, where it costs least: first among options that the relaxation uses, then in runs that it uses, then anywhere.
fn give_places<'g>(
    ground: &'g Ground<'g>,
    relaxation: &Relaxation,
    solution: &LpSolution,
) -> State<'g> {
    let nursery = ground.nursery;
    let used = |column: usize, least: f64| solution.x[column] >= least;
    let mut state = State::searching(ground);
    for lot in by_window_end(nursery) {
        let liked = |id: OptionId| used(relaxation.grow[id.0], 0.05);
        let in_runs = |id: OptionId| {
            relaxation.run[nursery.option(id).run.0].is_none_or(|column| used(column, 0.3))
        };
        if !insert(&mut state, lot, liked) && !insert(&mut state, lot, in_runs) {
            insert(&mut state, lot, |_| true);
        }
    }
    state
}
