//! From a fractional relaxation to whole lots.

use super::list::{by_window_end, insert};
use super::relax::Relaxation;
use super::state::{Ground, State};
use crate::nursery::OptionId;

/// Rounds `x`, a point of the relaxation. Each lot, in the order in which windows close, where it costs least: first among options that the relaxation uses, then in runs that it uses, then anywhere.
pub fn dive<'g>(ground: &'g Ground<'g>, relaxation: &Relaxation, x: &[f64]) -> State<'g> {
    let nursery = ground.nursery;
    let used = |column: usize, least: f64| x[column] >= least;
    let mut state = State::new(ground);
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
