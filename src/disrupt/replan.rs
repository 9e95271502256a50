//! A plan of the rest of the season with the least upheaval: what was decided holds as far as it can.

use super::Present;
use crate::calendar::Day;
use crate::nursery::{LotId, Nursery, OptionId, RunSource};
use crate::plan::{EndedBy, Plan};
use crate::scenario::{Pin, Scenario};
use crate::solve::decided::option_of;
use crate::solve::polish::{Choice, polish_from};
use crate::solve::state::{Ground, State};
use crate::solve::{Budget, Watch, assemble, list, rows};
use crate::units::Money;

/// Most rounds in which one gives way to another: each lets trays short weigh less.
const MOST_EXCHANGES: usize = 20;

/// How the rest is planned again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct How {
    /// Days from the first on in which nothing is moved unasked.
    pub held_days: i32,
    /// False: trays short before promises moved, before planting days moved, before money, each above all that comes after it. True: by the
    /// prices of the scenario.
    pub priced: bool,
}

impl Default for How {
    fn default() -> Self {
        How {
            held_days: 3,
            priced: false,
        }
    }
}

/// A plan of the rest.
#[derive(Clone, Debug)]
pub struct Replanned {
    /// The plan, with the scenario from its first day on.
    pub plan: Plan,
    /// Parts that were to be held and could not be, with the day that they had.
    pub released: Vec<(String, u32, Day)>,
    /// True when all decisions were left as they were.
    pub unchanged: bool,
}

/// Effort for a nursery of so many lots.
pub fn usual_budget(lots: usize) -> Budget {
    Budget {
        moves: (1_500 * lots as u64).clamp(30_000, 500_000),
        relaxations: 0,
        seed: 1,
    }
}

/// Plans the rest. What was decided is left as it is when it breaks nothing and nothing is short; else it is mended: what breaks
/// something is taken out, put back where it costs least, and the whole is searched near that.
pub fn replan(present: &Present, how: How, budget: &Budget, watch: &mut dyn Watch) -> Replanned {
    let plain = Nursery::new(&present.scenario);
    let decided = decisions(&plain, present);
    let ground = Ground::new(&plain);
    let mut state = State::of(&ground, &decided);
    let holds = |lot: usize| {
        let (field, part) = plain.part_of(LotId(lot));
        present.was_short(field, part)
    };
    let all = (0..decided.len()).all(|lot| decided[lot].is_some() || holds(lot));
    if all && state.beyond() == 0 {
        return Replanned {
            plan: in_their_rows(present, assemble::assemble(&mut state, None, EndedBy::Kept)),
            released: Vec::new(),
            unchanged: true,
        };
    }
    let (held, mut released) = held(present, how.held_days, &plain);
    let mut strict = present.scenario.clone();
    strict.pins = held;
    if !how.priced {
        above_each_other(&mut strict, &plain);
    }
    let (strict, choice, stopped) = loop {
        let nursery = Nursery::new(&strict);
        let ground = Ground::new(&nursery);
        let decided = decisions(&nursery, present);
        let (state, out) = kept(&ground, &decided);
        // What was held and does not fit any more beside the rest is let go, however often that frees others.
        if let_go(&mut strict, present, (&nursery, &out), &mut released) {
            continue;
        }
        let held = held_lots(&nursery, present);
        let (choice, stopped) = mended(state, out, (&decided, &held), budget, watch);
        let short = (0..choice.len()).filter(|lot| choice[*lot].is_none());
        let short: Vec<LotId> = short.map(LotId).collect();
        if stopped || !let_go(&mut strict, present, (&nursery, &short), &mut released) {
            break (nursery, choice, stopped);
        }
    };
    // The same decisions at the prices of the scenario, and without what was only held.
    let chosen: Choice = (0..strict.lots.len())
        .map(|lot| {
            let option = choice[lot]?;
            same_option(&plain, LotId(lot), &strict, option)
        })
        .collect();
    name_dropped(&strict, present, &chosen, &mut released);
    released.sort();
    released.dedup();
    let mut state = State::of(&ground, &chosen);
    let ended_by = if stopped {
        EndedBy::Stopped
    } else {
        EndedBy::Moves
    };
    Replanned {
        plan: in_their_rows(present, assemble::assemble(&mut state, None, ended_by)),
        released,
        // What cannot be kept at all is a change too.
        unchanged: all && chosen == decided,
    }
}

/// The plan with what stands on its first morning in the rows in which it stands: trays that wait do not walk.
pub(super) fn in_their_rows(present: &Present, mut plan: Plan) -> Plan {
    let standing = present.standing_rows();
    rows::assign_around(&plan.scenario, &mut plan.deliveries, &standing);
    plan
}

/// The option of each lot that was decided, where it is still one.
pub fn decisions(nursery: &Nursery, present: &Present) -> Choice {
    (0..nursery.lots.len())
        .map(LotId)
        .map(|lot| {
            let (field, part) = nursery.part_of(lot);
            let decided = present.decided_of(field, part)?;
            let sown = (decided.sow, decided.line.as_deref());
            option_of(nursery, lot, &decided.delivery, sown)
        })
        .collect()
}

/// The option of another nursery with the same lots that means the same.
fn same_option(to: &Nursery, lot: LotId, from: &Nursery, option: OptionId) -> Option<OptionId> {
    let wanted = from.option(option);
    let source = from.run(wanted.run);
    to.options_of(lot).find(|id| {
        let option = to.option(*id);
        let run = to.run(option.run);
        run.sow == source.sow
            && run.source == source.source
            && option.route == wanted.route
            && (option.leave, option.plant) == (wanted.leave, wanted.plant)
    })
}

/// The scenario's pins, and pins that hold what is to be done in the next days; those that cannot be are released.
fn held(present: &Present, days: i32, nursery: &Nursery) -> (Vec<Pin>, Vec<(String, u32, Day)>) {
    let until = present.day.plus(days);
    let soon = |day: Day| day < until;
    let mut pins = present.scenario.pins.clone();
    let mut released = Vec::new();
    for one in &present.decided {
        let (field, part) = (&one.delivery.field, one.delivery.part);
        let stands = one.soak.is_none() && one.line.is_none();
        let plant = Some(one.delivery.day).filter(|_| soon(one.delivery.leaves()));
        let begins = one.soak.map_or(one.sow, |soak| soak.min(one.sow));
        let sow = Some(one.sow).filter(|_| !stands && soon(begins) && one.line.is_some());
        if plant.is_none() && sow.is_none() {
            continue;
        }
        let Some(lot) = nursery.lot_of(field, part) else {
            continue;
        };
        let can = |sow: Option<Day>, plant: Option<Day>| {
            nursery.options_of(lot).any(|id| {
                let option = nursery.option(id);
                sow.is_none_or(|day| nursery.run(option.run).sow == day)
                    && plant.is_none_or(|day| option.plant == day)
            })
        };
        let (sow, plant) = if can(sow, plant) {
            (sow, plant)
        } else {
            released.push((field.clone(), part, one.delivery.day));
            // What is in the tank is sown, whenever it is planted.
            (sow.filter(|_| can(sow, None)), None)
        };
        if sow.is_none() && plant.is_none() {
            continue;
        }
        match pins
            .iter_mut()
            .find(|pin| pin.field == *field && pin.part == part)
        {
            Some(pin) => {
                pin.sow = pin.sow.or(sow);
                pin.plant = pin.plant.or(plant);
            }
            None => pins.push(Pin {
                field: field.clone(),
                part,
                sow,
                plant,
            }),
        }
    }
    (pins, released)
}

/// Prices so far apart that no sum of lesser ones reaches a greater one.
fn above_each_other(scenario: &mut Scenario, nursery: &Nursery) {
    // More than all options of all lots cost by themselves, and a good deal for people and set-ups.
    let dearest = |lot: usize| {
        let options = nursery.options_of(LotId(lot));
        let cost = |id: OptionId| {
            let option = nursery.option(id);
            option.cost().0 - option.told_cost.0
        };
        options.map(cost).max().unwrap_or(0)
    };
    let lots = nursery.lots.len() as i64;
    let money: i64 = (0..nursery.lots.len()).map(dearest).sum::<i64>();
    let money = money.saturating_add(Money::whole(1_000).0);
    let promise = money.saturating_mul(lots + 1);
    let trays: i64 = nursery.lots.iter().map(|lot| lot.leaving).sum();
    // Twice the price of a tray, the most that sharing weighs, for all trays stays within a quarter of 64 bits.
    let most = i64::MAX / 16 / trays.max(1);
    scenario.prices.plan_moved = Money { 0: money };
    scenario.prices.promise_moved = Money {
        0: promise.min(most / (lots + 1)),
    };
    let short = scenario.prices.promise_moved.0.saturating_mul(lots + 1);
    scenario.prices.short_per_tray = Some(Money { 0: short.min(most) });
}

/// Takes out what holds these lots, but for what the scenario itself pins; true when there was something.
fn let_go(
    strict: &mut Scenario,
    present: &Present,
    (nursery, lots): (&Nursery, &[LotId]),
    released: &mut Vec<(String, u32, Day)>,
) -> bool {
    let own = &present.scenario.pins;
    let mut any = false;
    for lot in lots {
        let (field, part) = nursery.part_of(*lot);
        let is_it = |pin: &Pin| pin.field == field && pin.part == part;
        let Some(at) = strict.pins.iter().position(is_it) else {
            continue;
        };
        match own.iter().find(|pin| is_it(pin)) {
            Some(pin) if *pin == strict.pins[at] => continue,
            Some(pin) => strict.pins[at] = pin.clone(),
            None => {
                strict.pins.remove(at);
            }
        }
        any = true;
        let had = present.decided_of(field, part);
        released.extend(had.map(|had| (field.to_string(), part, had.delivery.day)));
    }
    any
}

/// Names what was held and is not grown any more, for the sake of others that weigh more.
fn name_dropped(
    strict: &Nursery,
    present: &Present,
    chosen: &Choice,
    released: &mut Vec<(String, u32, Day)>,
) {
    for one in &present.decided {
        let (id, part) = (&one.delivery.field, one.delivery.part);
        let is_it = |pin: &Pin| pin.field == *id && pin.part == part;
        let own = present.scenario.pins.iter().any(is_it);
        let held = !own && strict.scenario.pins.iter().any(is_it);
        let lot = strict.lot_of(id, part);
        let dropped = lot.is_some_and(|lot| chosen[lot.0].is_none());
        if held && dropped {
            released.push((id.clone(), part, one.delivery.day));
        }
    }
}

/// What was decided, as far as it fits together: what stands first, then what leaves first; and what had to be taken out.
fn kept<'g>(ground: &'g Ground<'g>, decided: &Choice) -> (State<'g>, Vec<LotId>) {
    let nursery = ground.nursery;
    let mut state = State::new(ground);
    let mut order: Vec<(bool, Day, LotId, OptionId)> = decided
        .iter()
        .enumerate()
        .filter_map(|(lot, option)| {
            let id = (*option)?;
            let option = nursery.option(id);
            let source = nursery.run(option.run).source;
            let fresh = !matches!(source, RunSource::Standing(_));
            Some((fresh, option.leave, LotId(lot), id))
        })
        .collect();
    order.sort();
    let mut out = Vec::new();
    for (.., lot, option) in order {
        state.set(lot, Some(option));
        if state.beyond() > 0 {
            state.set(lot, None);
            out.push(lot);
        }
    }
    (state, out)
}

/// What was decided, mended; and whether the search was stopped. `state` has what could be kept, `out` the lots that were taken out.
fn mended(
    mut state: State<'_>,
    mut out: Vec<LotId>,
    (decided, held): (&Choice, &[LotId]),
    budget: &Budget,
    watch: &mut dyn Watch,
) -> (Choice, bool) {
    let ground = state.ground();
    let nursery = ground.nursery;
    let undecided = (0..nursery.lots.len()).map(LotId);
    out.extend(undecided.filter(|lot| decided[lot.0].is_none()));
    for lot in out {
        list::insert(&mut state, lot, |_| true);
    }
    let start = state.choice().to_vec();
    let heat = nursery.scenario.prices.plan_moved.0.max(Money::whole(1).0) as f64 / 4.0;
    let effort = (budget.moves, budget.seed);
    let polished = polish_from(ground, &start, effort, heat, watch);
    let mut state = State::of(ground, &polished.choice);
    put_back(&mut state, decided);
    insist(&mut state, decided, held);
    (state.choice().to_vec(), polished.stopped)
}

/// Lots that are held in the next days, but for those that the scenario itself pins.
fn held_lots(nursery: &Nursery, present: &Present) -> Vec<LotId> {
    let own = &present.scenario.pins;
    let pins = nursery
        .scenario
        .pins
        .iter()
        .filter(|pin| !own.contains(pin));
    let pins: Vec<&Pin> = pins.collect();
    let lots = (0..nursery.lots.len()).map(LotId);
    lots.filter(|lot| {
        let (field, part) = nursery.part_of(*lot);
        pins.iter()
            .any(|pin| pin.field == field && pin.part == part)
    })
    .collect()
}

/// What is held is not given up for larger orders: it takes its place again, and of what is not held whatever stands in its way is placed
/// anew, where there is a place; of what then finds none, whoever weighs more takes the place of another.
fn insist(state: &mut State<'_>, decided: &Choice, held: &[LotId]) {
    let nursery = state.ground().nursery;
    let missing: Vec<LotId> = held
        .iter()
        .copied()
        .filter(|lot| state.choice()[lot.0].is_none() && decided[lot.0].is_some())
        .collect();
    let mut out = Vec::new();
    for lot in missing {
        state.set(lot, decided[lot.0]);
        while state.beyond() > 0 {
            let now = state.beyond();
            // The one that makes most room, of equals the smallest.
            let mut best: Option<(i64, i64, LotId)> = None;
            for other in (0..nursery.lots.len()).map(LotId) {
                let was = state.choice()[other.0];
                if was.is_none() || held.contains(&other) {
                    continue;
                }
                state.set(other, None);
                let found = (state.beyond(), nursery.lot(other).leaving, other);
                state.set(other, was);
                if found.0 < now && best.is_none_or(|best| found < best) {
                    best = Some(found);
                }
            }
            match best {
                Some((_, _, other)) => {
                    state.set(other, None);
                    out.push(other);
                }
                None => {
                    state.set(lot, None);
                    break;
                }
            }
        }
    }
    for lot in out {
        list::insert(state, lot, |_| true);
    }
    let all = (0..nursery.lots.len()).map(LotId);
    let free: Vec<LotId> = all.filter(|lot| !held.contains(lot)).collect();
    for _ in 0..MOST_EXCHANGES {
        if !list::exchange(state, &free) {
            break;
        }
    }
}

/// What need not have changed is put back as it was decided: every part with the same planting day at first; then, while that breaks
/// something, the part whose new way mends most of it keeps it; and what can stand as decided beside the rest goes back after all.
fn put_back(state: &mut State<'_>, decided: &Choice) {
    let nursery = state.ground().nursery;
    let mut changed: Vec<(LotId, OptionId, OptionId)> = decided
        .iter()
        .enumerate()
        .filter_map(|(lot, was)| Some((LotId(lot), (*was)?, state.choice()[lot]?)))
        .filter(|(_, was, is)| was != is && nursery.option(*was).plant == nursery.option(*is).plant)
        .collect();
    for (lot, was, _) in &changed {
        state.set(*lot, Some(*was));
    }
    let mut kept = Vec::new();
    let mut beyond = state.beyond();
    while beyond > 0 && !changed.is_empty() {
        let mut best = (i64::MAX, 0);
        for (at, (lot, was, is)) in changed.iter().enumerate() {
            state.set(*lot, Some(*is));
            best = best.min((state.beyond(), at));
            state.set(*lot, Some(*was));
        }
        let (lot, was, is) = changed.remove(best.1);
        state.set(lot, Some(is));
        beyond = state.beyond();
        kept.push((lot, was, is));
    }
    for (lot, was, is) in kept {
        state.set(lot, Some(was));
        if state.beyond() > 0 {
            state.set(lot, Some(is));
        }
    }
}
