//! The list heuristic: lots in the order in which their windows close, each where it costs least now.
//!
//! About what a careful person does by hand; the first plan, and the yardstick for all others.

use super::state::{Ground, State};
use crate::nursery::{LotId, Nursery, OptionId, RunId};

/// Most options tried to give lots that are short the places of others.
const MOST_EXCHANGED: usize = 400_000;

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
///
/// An option is not tried when it would cost more than the best so far even if its run took nothing but its set-up: with one lot more,
/// nobody works less and nothing gets cheaper.
pub fn insert(state: &mut State<'_>, lot: LotId, options: impl Iterator<Item = OptionId>) -> bool {
    let nursery = state.ground().nursery;
    let before = state.choice()[lot.0];
    let mut best = (state.objective(), before);
    let mut short = before.map(|_| state.terms().shortage);
    state.set(lot, None);
    state.beyond();
    let without = state.money() - state.terms().shortage;
    // The run that the lot is in meanwhile.
    let mut tried: Option<RunId> = None;
    for option in options.filter(|option| Some(*option) != before) {
        let grown = nursery.option(option);
        let others = state.lots_in_run(grown.run.0) - u32::from(tried == Some(grown.run));
        let opens = others == 0 && nursery.run(grown.run).line().is_some();
        let set_up = if opens {
            nursery.scenario.prices.set_up.0
        } else {
            0
        };
        // Of trays short, those of other lots: the same with every option.
        if without + grown.cost().0 + set_up + short.unwrap_or(0) >= best.0 {
            continue;
        }
        state.set(lot, Some(option));
        tried = Some(grown.run);
        short = Some(state.terms().shortage);
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

/// Gives each of `lots` that is short the place of a grown one among them, which then takes the best place that is left or none: whoever
/// weighs more comes first, as far as whole lots allow. True when something got better.
pub fn exchange(state: &mut State<'_>, lots: &[LotId]) -> bool {
    let ground = state.ground();
    let nursery = ground.nursery;
    let is_short = |state: &State<'_>, lot: &LotId| state.choice()[lot.0].is_none();
    let mut short: Vec<LotId> = lots.to_vec();
    short.retain(|lot| is_short(state, lot));
    short.sort_by_key(|lot| (std::cmp::Reverse(ground.shares.least(*lot)), *lot));
    let (mut better, mut tried) = (false, 0);
    for lot in short {
        for other in lots.iter().copied() {
            let Some(place) = state.choice()[other.0] else {
                continue;
            };
            if tried > MOST_EXCHANGED || !is_short(state, &lot) {
                break;
            }
            tried += nursery.of_lot[lot.0].len() + nursery.of_lot[other.0].len();
            let before = state.objective();
            state.set(other, None);
            insert(state, lot, nursery.options_of(lot));
            insert(state, other, nursery.options_of(other));
            if state.objective() < before {
                better = true;
            } else {
                state.set(lot, None);
                state.set(other, Some(place));
            }
        }
    }
    better
}
