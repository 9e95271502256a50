//! A first roster week by week, and a seeded search that betters it.

use super::state::State;
use super::{Budget, ground::Ground};
use oorandom::Rand64;

/// Longest stretch of days that one move clears and fills again.
const LONGEST: usize = 10;

struct Dice(Rand64);

impl Dice {
    fn below(&mut self, end: usize) -> usize {
        self.0.rand_range(0..end.max(1) as u64) as usize
    }

    fn one_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}

/// Fills an empty state: fixed days off first, then every week, its weekend before its other days.
pub(super) fn first(state: &mut State) {
    choose_patterns(state);
    let ground = state.ground;
    let mut monday = 0;
    while monday < ground.days {
        let week = ground.week(monday);
        let mut days: Vec<usize> = week.clone().collect();
        days.sort_by_key(|day| (std::cmp::Reverse(ground.is_weekend(*day)), *day));
        for day in days {
            fill_day(state, day, &mut None);
            state.settle();
            state.keep();
        }
        monday = week.end;
    }
}

/// The fixed days of one person after the other: those on which most is still open for them.
fn choose_patterns(state: &mut State) {
    let ground = state.ground;
    let mut open: Vec<i64> = ground.demand.slots.iter().map(|slot| slot.places).collect();
    for person in 0..ground.staff.len() {
        let mut wanted = [0i64; 7];
        let best: Vec<Option<usize>> = (0..ground.days)
            .map(|day| {
                let can = ground.slots[day].clone();
                let can = can.filter(|slot| ground.able(person, *slot) && open[*slot] > 0);
                can.max_by_key(|slot| (open[*slot], std::cmp::Reverse(*slot)))
            })
            .collect();
        for (day, slot) in best.iter().enumerate() {
            wanted[ground.weekday(day)] += slot.map_or(0, |slot| open[slot]);
        }
        let worth = |pattern: u8| -> i64 {
            let days = (0..7).filter(|day| pattern & (1 << day) != 0);
            days.map(|day| wanted[day]).sum()
        };
        let patterns = ground.patterns[person].iter().copied();
        if let Some(pattern) = patterns.max_by_key(|pattern| (worth(*pattern), !*pattern)) {
            state.set_pattern(person, pattern);
        }
        for (day, slot) in best.iter().enumerate() {
            if let Some(slot) = slot
                && state.pattern(person) & (1 << ground.weekday(day)) != 0
            {
                open[*slot] -= 1;
            }
        }
    }
    state.keep();
}

/// Fills the open places of a day as far as people may have them, moving people between its places where that helps.
/// Without dice the fairest comes first; with them often anybody.
fn fill_day(state: &mut State, day: usize, dice: &mut Option<&mut Dice>) {
    let ground = state.ground;
    let mut locked = vec![false; ground.staff.len()];
    let crews: Vec<&str> = ground.licences[day]
        .iter()
        .map(|one| one.crew.as_str())
        .collect();
    for crew in crews {
        if state.is_licensed(day, crew) || dice.as_mut().is_some_and(|dice| dice.one_in(8)) {
            continue;
        }
        let slots = ground.slots[day].clone();
        let of_crew = slots.filter(|slot| ground.slot(*slot).crew.as_deref() == Some(crew));
        let free: Vec<usize> = of_crew.filter(|slot| state.open(*slot) > 0).collect();
        let mut pairs: Vec<(usize, usize)> = Vec::new();
        for slot in free {
            for person in order(state, day, slot, dice) {
                if ground.staff[person].licensed && state.may(person, day, slot) {
                    pairs.push((person, slot));
                }
            }
        }
        // Somebody who is free on that day before somebody who is taken from another place.
        let pair = pairs
            .iter()
            .find(|(person, _)| state.on(*person, day).is_none())
            .or(pairs.first());
        if let Some((person, slot)) = pair {
            state.set(*person, day, Some(*slot));
            locked[*person] = true;
        }
    }
    let mut slots: Vec<usize> = ground.slots[day].clone().collect();
    if let Some(dice) = dice.as_mut() {
        dice.shuffle(&mut slots);
    }
    for slot in slots {
        while state.open(slot) > 0 {
            let order = order(state, day, slot, dice);
            let mut seen = locked.clone();
            if !place(state, day, slot, &mut seen, &order) {
                break;
            }
        }
    }
}

/// Puts one more person on the slot; a person who leaves another place for it is replaced there.
fn place(state: &mut State, day: usize, slot: usize, seen: &mut [bool], order: &[usize]) -> bool {
    for &person in order {
        if seen[person] || !state.may(person, day, slot) {
            continue;
        }
        let old = state.on(person, day);
        if old == Some(slot) {
            continue;
        }
        seen[person] = true;
        state.set(person, day, Some(slot));
        match old {
            None => return true,
            Some(left) if place(state, day, left, seen, order) => return true,
            Some(left) => state.set(person, day, Some(left)),
        }
    }
    false
}

/// All people, those first who should have the slot: free on the day, least unfairness added, same crew as before, fewest days in the week.
fn order(state: &State, day: usize, slot: usize, dice: &mut Option<&mut Dice>) -> Vec<usize> {
    let ground: &Ground = state.ground;
    let mut people: Vec<usize> = (0..ground.staff.len())
        .filter(|person| ground.able(*person, slot))
        .collect();
    if let Some(dice) = dice.as_mut() {
        dice.shuffle(&mut people);
        if dice.one_in(2) {
            people.sort_by_key(|person| state.on(*person, day).is_some());
            return people;
        }
    }
    let rank = |person: &usize| {
        let (weekends, late) = state.burden(*person);
        let more = (
            weekends + i64::from(ground.is_weekend(day)),
            late + i64::from(ground.late[slot]),
        );
        let added =
            ground.unfairness(*person, more.0, more.1) - ground.unfairness(*person, weekends, late);
        let before = (0..day)
            .rev()
            .take(7)
            .find_map(|day| state.on(*person, day));
        let changes = before.is_some_and(|before| ground.post[before] != ground.post[slot]);
        let worked = state.worked(*person, day).count_ones();
        (state.on(*person, day).is_some(), added, changes, worked)
    };
    people.sort_by_cached_key(rank);
    people
}

/// Tries changes and keeps those that make nothing worse.
pub(super) fn better(state: &mut State, budget: &Budget) {
    let ground = state.ground;
    let people = ground.staff.len();
    if people == 0 || ground.demand.slots.is_empty() {
        return;
    }
    let mut dice = Dice(Rand64::new(u128::from(budget.seed)));
    let fixed: Vec<usize> = (0..people)
        .filter(|one| !ground.patterns[*one].is_empty())
        .collect();
    for _ in 0..budget.moves {
        let before = state.score();
        let kind = dice.below(8);
        if kind < 5 && people > 1 {
            exchange(state, &mut dice);
        } else if kind == 5 && !fixed.is_empty() {
            other_days_off(state, &fixed, &mut dice);
            if dice.one_in(2) {
                clear_and_fill(state, &mut dice);
            }
        } else {
            clear_and_fill(state, &mut dice);
        }
        if state.settle() <= before {
            state.keep();
        } else {
            state.take_back();
        }
    }
}

/// Two people exchange their duties on one day or on several one after another.
fn exchange(state: &mut State, dice: &mut Dice) {
    let ground = state.ground;
    let people = ground.staff.len();
    let one = dice.below(people);
    let other = (one + 1 + dice.below(people - 1)) % people;
    let day = dice.below(ground.days);
    let length = if dice.one_in(2) { 1 } else { 1 + dice.below(7) };
    let days = day..(day + length).min(ground.days);
    let had: Vec<_> = days
        .clone()
        .map(|day| (day, state.on(one, day), state.on(other, day)))
        .filter(|(_, a, b)| a != b)
        .collect();
    for (day, _, _) in &had {
        state.set(one, *day, None);
        state.set(other, *day, None);
    }
    for (day, a, b) in had {
        for (person, slot) in [(other, a), (one, b)] {
            if let Some(slot) = slot
                && state.may(person, day, slot)
            {
                state.set(person, day, Some(slot));
            }
        }
    }
}

/// Frees some people, or all, for some days and fills these again by chance.
fn clear_and_fill(state: &mut State, dice: &mut Dice) {
    let ground = state.ground;
    let length = 1 + dice.below(LONGEST);
    let mut start = dice.below(ground.days);
    if state.score().missing > 0 && dice.one_in(2) {
        let open = (0..ground.demand.slots.len()).filter(|slot| state.open(*slot) > 0);
        let open: Vec<usize> = open.collect();
        if !open.is_empty() {
            let slot = ground.slot(open[dice.below(open.len())]);
            let day = slot.day.since(ground.demand.days.first) as usize;
            start = day.saturating_sub(dice.below(length));
        }
    }
    let mut days: Vec<usize> = (start..(start + length).min(ground.days)).collect();
    let all = dice.one_in(2);
    let freed: Vec<usize> = (0..ground.staff.len())
        .filter(|_| all || dice.one_in(3))
        .collect();
    for person in freed {
        for day in &days {
            if state.on(person, *day).is_some() {
                state.set(person, *day, None);
            }
        }
    }
    dice.shuffle(&mut days);
    for day in days {
        fill_day(state, day, &mut Some(dice));
    }
}

/// One or two people get other fixed days off; what they leave is filled again.
fn other_days_off(state: &mut State, fixed: &[usize], dice: &mut Dice) {
    let ground = state.ground;
    for _ in 0..1 + dice.below(2) {
        let person = fixed[dice.below(fixed.len())];
        let patterns = &ground.patterns[person];
        let pattern = patterns[dice.below(patterns.len())];
        for day in 0..ground.days {
            if pattern & (1 << ground.weekday(day)) == 0 && state.on(person, day).is_some() {
                state.set(person, day, None);
            }
        }
        state.set_pattern(person, pattern);
    }
    for day in 0..ground.days {
        fill_day(state, day, &mut Some(dice));
    }
}
