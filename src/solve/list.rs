//! The list heuristic: lots in the order in which their windows close, each where it costs least now.
//!
//! About what a careful person does by hand; the first plan, and the yardstick for all others.

use super::state::{Ground, State};
use crate::nursery::{LotId, Nursery, OptionId};

/// Most options tried to give lots that are short the places of others.
const MOST_EXCHANGED: usize = 400_000;

/// A first plan.
pub fn list<'g>(ground: &'g Ground<'g>) -> State<'g> {
    let nursery = ground.nursery;
    let mut state = State::searching(ground);
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
    insert_counted(state, lot, options).0
}

/// The same, and how many options were tried.
///
/// What an option would cost at least is read from the books without changing them; in that order they are tried, and no longer than it is below
/// the best so far: with one lot more nobody works less and nothing gets cheaper.
pub fn insert_counted(
    state: &mut State<'_>,
    lot: LotId,
    options: impl Iterator<Item = OptionId>,
) -> (bool, u64) {
    let ground = state.ground();
    let nursery = ground.nursery;
    let before = state.choice()[lot.0];
    let mut best = (state.objective(), before);
    state.set(lot, None);
    let beyond = state.beyond();
    let least = state.money() - state.terms().shortage + state.shortage_with(lot);
    // Of the group looked at last: what it shares asks for.
    let mut group: Option<(u32, Option<i64>)> = None;
    let mut candidates: Vec<(i64, OptionId)> = Vec::new();
    for id in options.filter(|option| Some(*option) != before) {
        let own_group = ground.cards.group(id);
        let shared = match group {
            Some((same, shared)) if same == own_group => shared,
            _ => {
                let option = nursery.option(id);
                let opens = state.lots_in_run(option.run.0) == 0
                    && nursery.run(option.run).line().is_some();
                let set_up = i64::from(opens) * nursery.scenario.prices.set_up.0;
                state.asks_shared(id).map(|asks| asks + set_up)
            }
        };
        group = Some((own_group, shared));
        let Some(shared) = shared else {
            continue;
        };
        let least = least + shared + nursery.option(id).cost().0;
        if least < best.0
            && let Some(asks) = state.asks_own(id)
            && least + asks < best.0
        {
            candidates.push((least + asks, id));
        }
    }
    candidates.sort_unstable();
    let mut tried = 0;
    for (least, option) in candidates {
        if least >= best.0 {
            break;
        }
        tried += 1;
        state.set(lot, Some(option));
        if state.beyond() <= beyond {
            let cost = state.objective();
            if cost < best.0 {
                best = (cost, Some(option));
            }
        }
    }
    state.set(lot, best.1);
    (best.1 != before, tried)
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
