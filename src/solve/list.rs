//! The list heuristic: lots in the order in which their windows close, each where it costs least now.
//!
//! About what a careful person does by hand; the first plan, and the yardstick for all others.

use super::state::{Ground, State};
use crate::nursery::{LotId, Nursery, OptionId};

/// A first plan.
pub fn list<'g>(ground: &'g Ground<'g>) -> State<'g> {
    let nursery = ground.nursery;
    let mut state = State::new(ground);
    for lot in by_window_end(nursery) {
        insert(&mut state, lot, nursery.options_of(lot));
    }
    state
}

/// Lots in the order in which their windows close, larger ones first among equals.
pub fn by_window_end(nursery: &Nursery) -> Vec<LotId> {
    let mut order: Vec<LotId> = (0..nursery.lots.len()).map(LotId).collect();
    let last_day = |lot: &LotId| {
        nursery
            .options_of(*lot)
            .map(|id| nursery.option(id).plant)
            .max()
    };
    order.sort_by_key(|lot| (last_day(lot), -nursery.lot(*lot).trays, *lot));
    order
}

/// Gives a lot the cheapest of `options` that breaks nothing; leaves it as it is when none is better. True when it changed.
pub fn insert(state: &mut State<'_>, lot: LotId, options: impl Iterator<Item = OptionId>) -> bool {
    let before = state.choice()[lot.0];
    let mut best = (state.objective(), before);
    for option in options.filter(|option| Some(*option) != before) {
        state.set(lot, Some(option));
        if state.beyond() == 0 {
            let cost = state.objective();
            if cost < best.0 {
                best = (cost, Some(option));
            }
        }
    }
    state.set(lot, best.1);
    best.1 != before
}
