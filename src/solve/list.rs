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
    let mut state = State::new(ground);
    for lot in by_window_end(nursery) {
        insert(&mut state, lot, |_| true);
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

/// Gives a lot the cheapest of those options of its own that are `allowed` and break nothing; leaves it as it is when none is better. True when it
/// changed.
pub fn insert(state: &mut State<'_>, lot: LotId, allowed: impl FnMut(OptionId) -> bool) -> bool {
    insert_counted(state, lot, allowed).0
}

/// The same, and how many options were tried.
///
/// With one lot more nobody works less and nothing gets cheaper (but for a set-up between two kinds that takes longer than by way of a third: what is missed there is
/// a better place, never a limit): so what an option costs by itself, then that and what the books say that it asks for,
/// are the least that it can cost. Options are looked at in the order of the first, tried in the order of the second, and no longer than either is below
/// the best.
pub fn insert_counted(
    state: &mut State<'_>,
    lot: LotId,
    mut allowed: impl FnMut(OptionId) -> bool,
) -> (bool, u64) {
    let ground = state.ground();
    let (nursery, cards) = (ground.nursery, &ground.cards);
    let before = state.choice()[lot.0];
    let mut best = (state.objective(), before);
    // A run may have too few trays without the lot: what is no worse than that need not be sound.
    let beyond_before = state.beyond();
    state.set(lot, None);
    let beyond = state.beyond().min(beyond_before);
    let least = state.money() - state.terms().shortage + state.shortage_with(lot);
    // What the options of a group ask for together, once it was looked at.
    let mut shared: Vec<Option<Option<i64>>> = vec![None; cards.groups_of(lot)];
    let mut waiting: Vec<(i64, OptionId)> = Vec::new();
    let mut in_order = cards
        .by_cost(nursery.of_lot[lot.0].clone())
        .iter()
        .peekable();
    let mut tried = 0;
    loop {
        let mut first = waiting.iter().copied().min();
        let below = |first: Option<(i64, OptionId)>, best: i64| {
            first.map_or(best, |(least, _)| least.min(best))
        };
        while let Some(brief) = in_order.next_if(|brief| least + brief.cost < below(first, best.0))
        {
            if Some(brief.id) == before || !allowed(brief.id) {
                continue;
            }
            let run = brief.run as usize;
            let of_group = *shared[brief.group as usize].get_or_insert_with(|| {
                let opens = state.lots_in_run(run) == 0 && nursery.runs[run].line().is_some();
                let set_up = i64::from(opens) * nursery.scenario.prices.set_up.0;
                state.asks_shared(brief.id).map(|asks| asks + set_up)
            });
            let Some(of_group) = of_group else {
                continue;
            };
            let so_far = least + brief.cost + of_group;
            if so_far < best.0
                && let Some(asks) = state.asks_own(brief.id)
            {
                waiting.push((so_far + asks, brief.id));
                first = waiting.iter().copied().min();
            }
        }
        let Some((_, option)) = first.filter(|(least, _)| *least < best.0) else {
            break;
        };
        waiting.retain(|(_, id)| *id != option);
        tried += 1;
        state.set(lot, Some(option));
        if state.beyond() <= beyond {
            let cost = state.objective();
            if cost < best.0 {
                best = (cost, Some(option));
            }
        }
        state.set(lot, None);
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
            let (before, beyond) = (state.objective(), state.beyond());
            state.set(other, None);
            insert(state, lot, |_| true);
            insert(state, other, |_| true);
            if state.objective() < before && state.beyond() <= beyond {
                better = true;
            } else {
                state.set(lot, None);
                state.set(other, Some(place));
            }
        }
    }
    better
}
