//! Who stands where: which parts take from which limit on which day, how full it is, and what is beyond it.

use super::types::{Bind, InTheWay, Stands};
use crate::nursery::{LotId, MOST_RUNS_A_DAY, NEVER, Nursery, RunId};
use crate::rules::{LINE_HOURS, Unit};
use crate::solve::compiled::{Bundle, FlowKind};
use crate::solve::shortfall::amount;
use crate::solve::state::{Ground, State};
use std::collections::{BTreeMap, BTreeSet};

/// The parts that stand on each slot, and the slots of each part, in a plan as it is.
pub(super) struct Occupied {
    days: usize,
    /// By resource × day: who takes from it, and how much by itself; what its run takes as a whole counts 0.
    by_slot: Vec<Vec<(LotId, i64)>>,
    /// By lot: its slots.
    slots_of: Vec<Vec<usize>>,
    /// By lot: days from which and until which its trays are not in the stock.
    out: Vec<Option<(usize, usize)>>,
}

impl Occupied {
    pub fn new(state: &State<'_>) -> Occupied {
        let ground = state.ground();
        let nursery = ground.nursery;
        let lots = nursery.lots.len();
        let mut occupied = Occupied {
            days: nursery.days,
            by_slot: vec![Vec::new(); ground.slots.there.len()],
            slots_of: vec![Vec::new(); lots],
            out: vec![None; lots],
        };
        for lot in (0..lots).map(LotId) {
            let Some(id) = state.choice()[lot.0] else {
                continue;
            };
            let mut slots: BTreeMap<usize, i64> = BTreeMap::new();
            let mut add = |bundle: &Bundle, times: i64| {
                for stretch in &bundle.stretches {
                    for slot in stretch.from..stretch.until {
                        *slots.entry(slot as usize).or_default() += stretch.amount * times;
                    }
                }
            };
            let option = nursery.option(id);
            let (run, compiled) = (option.run, &ground.compiled);
            add(compiled.option(id), 1);
            add(&compiled.runs[run.0], 0);
            add(&compiled.bags[run.0], 0);
            if let Some(place) = option.route.germination {
                add(&compiled.stacks[run.0 * compiled.places + place], 0);
            }
            let candidate = nursery.run(run);
            if let (Some(line), Some(day)) = (candidate.line(), nursery.index(candidate.sow)) {
                add(&compiled.set_ups[line * nursery.days + day], 0);
            }
            for (slot, amount) in slots {
                occupied.by_slot[slot].push((lot, amount));
                occupied.slots_of[lot.0].push(slot);
            }
            occupied.out[lot.0] = away(nursery, compiled.option(id));
        }
        occupied
    }

    /// Parts that take from a resource on a day, those that take most first.
    fn on(&self, ground: &Ground<'_>, resource: usize, days: std::ops::Range<usize>) -> Vec<LotId> {
        let mut there: BTreeMap<LotId, i64> = BTreeMap::new();
        for day in days {
            if resource == ground.tray_stock {
                let away = (0..self.out.len()).filter(|lot| {
                    self.out[*lot].is_some_and(|(from, until)| from <= day && day < until)
                });
                there.extend(away.map(|lot| (LotId(lot), 0)));
                continue;
            }
            for (lot, amount) in &self.by_slot[resource * self.days + day] {
                *there.entry(*lot).or_default() += amount;
            }
        }
        let trays = |lot: &LotId| ground.nursery.lot(*lot).trays;
        let mut order: Vec<(LotId, i64)> = there.into_iter().collect();
        order.sort_by_key(|(lot, amount)| (-amount, -trays(lot), *lot));
        order.into_iter().map(|(lot, _)| lot).collect()
    }

    /// How full every limit is that a lot takes from, on the fullest of its days: the fullest first.
    pub fn binds(&self, state: &State<'_>, lot: LotId) -> Vec<Bind> {
        let ground = state.ground();
        let nursery = ground.nursery;
        let (there, buyable) = state.with_hired();
        let mut fullest: BTreeMap<usize, (i64, usize)> = BTreeMap::new();
        for slot in &self.slots_of[lot.0] {
            let (used, of) = (state.used()[*slot], there[*slot] + buyable[*slot]);
            let full = permille(used, of);
            let best = fullest.entry(slot / self.days).or_insert((full, *slot));
            if full > best.0 {
                *best = (full, *slot);
            }
        }
        let mut binds: Vec<Bind> = fullest
            .into_iter()
            .map(|(resource, (full, slot))| {
                let (used, of) = (state.used()[slot], there[slot] + buyable[slot]);
                let unit = ground.books.resources[resource].unit;
                Bind {
                    limit: ground.books.resources[resource].label.clone(),
                    day: nursery.day(slot % self.days),
                    used,
                    of,
                    unit,
                    full,
                    words: of_words(&amount(unit, used), &amount(unit, of)),
                }
            })
            .collect();
        binds.extend(self.out[lot.0].and_then(|span| clean_trays(state, span)));
        binds.sort_by(|one, other| (-one.full, &one.limit).cmp(&(-other.full, &other.limit)));
        binds
    }
}

/// The day on which fewest clean trays are left while a lot's trays are away.
fn clean_trays(state: &State<'_>, (from, until): (usize, usize)) -> Option<Bind> {
    let ground = state.ground();
    let stock = ground.nursery.scenario.trays.stock;
    let day = (from..until).min_by_key(|day| (state.queue().clean_on(*day), *day))?;
    let left = state.queue().clean_on(day);
    Some(Bind {
        limit: "clean trays".into(),
        day: ground.nursery.day(day),
        used: stock - left,
        of: stock,
        unit: Unit::Trays,
        full: permille(stock - left, stock),
        words: format!("{left} of {} left", amount(Unit::Trays, stock)),
    })
}

/// `1878 of 1944 trays`, `9 h 02 min of 13 h 00 min`.
fn of_words(used: &str, of: &str) -> String {
    match (used.rsplit_once(' '), of.rsplit_once(' ')) {
        (Some((number, unit)), Some((_, same))) if unit == same && unit != "min" => {
            format!("{number} of {of}")
        }
        _ => format!("{used} of {of}"),
    }
}

fn permille(used: i64, of: i64) -> i64 {
    match (used, of) {
        (..=0, _) => 0,
        (_, ..=0) => 1_000_000,
        _ => (i128::from(used) * 1_000 / i128::from(of)).min(1_000_000) as i64,
    }
}

/// Days from which and until which an option's trays are not in the stock: the horizon's ends where it says neither.
fn away(nursery: &Nursery, bundle: &Bundle) -> Option<(usize, usize)> {
    let of = |kind| {
        let flows = bundle.flows.iter();
        flows
            .filter(move |flow| flow.kind == kind)
            .map(|flow| flow.day as usize)
    };
    if bundle.flows.is_empty() {
        return None;
    }
    let from = of(FlowKind::Out).min().unwrap_or(0);
    let until = of(FlowKind::BackDirty).max().unwrap_or(nursery.days);
    (from < until).then_some((from, until))
}

/// As another part is named.
pub(super) fn stands(state: &State<'_>, lot: LotId) -> Option<Stands> {
    let nursery = state.ground().nursery;
    let (field, part) = nursery.part_of(lot);
    Some(Stands {
        field: field.to_string(),
        part,
        name: name(nursery, lot),
        trays: nursery.lot(lot).leaving,
        plant: nursery.option(state.choice()[lot.0]?).plant,
    })
}

/// `Q03`, or `Q03 part 2`.
pub(super) fn name(nursery: &Nursery, lot: LotId) -> String {
    let (field, part) = nursery.part_of(lot);
    if nursery.scenario.fields[nursery.lot(lot).field].parts > 1 {
        format!("{field} part {part}")
    } else {
        field.to_string()
    }
}

/// A limit that present decisions go beyond, with who stands there.
pub(super) struct Beyond {
    pub told: InTheWay,
    /// All of them, those that take most first; the lot itself apart.
    pub others: Vec<LotId>,
}

/// Every limit, the one that lacks most first, that the decisions in `state` go beyond further than `before` (resource and day → by how much), `lot` being the one tried.
pub(super) fn beyond(
    state: &mut State<'_>,
    occupied: &Occupied,
    before: &BTreeMap<(usize, usize), i64>,
    lot: LotId,
) -> Vec<Beyond> {
    let ground = state.ground();
    let nursery = ground.nursery;
    // By resource: the worst day and by how much, the first and the last.
    let mut worst: BTreeMap<usize, (i64, usize, usize, usize)> = BTreeMap::new();
    for (resource, day, over) in state.over_by_day() {
        if over <= before.get(&(resource, day)).copied().unwrap_or(0) {
            continue;
        }
        let of = worst.entry(resource).or_insert((over, day, day, day));
        of.3 = of.3.max(day);
        if over > of.0 {
            (of.0, of.1) = (over, day);
        }
    }
    let (there, buyable) = state.with_hired();
    let mut all: Vec<(i64, Beyond)> = Vec::new();
    for (at, (over, day, first, last)) in worst {
        let resource = &ground.books.resources[at];
        let slot = at * nursery.days + day;
        let is_stock = at == ground.tray_stock;
        // A crew that has the time on that day, but not in its week.
        let week = !is_stock && state.used()[slot] <= there[slot] + buyable[slot];
        let days = if week {
            day..week_end(nursery, day)
        } else {
            day..day + 1
        };
        let no_order = ground.books.of_rule(LINE_HOURS).contains(&at) && over > NEVER.0 / 2;
        let limit = match (is_stock, week, no_order) {
            (true, ..) => "clean trays".into(),
            (_, true, _) => format!("hours of a week of {}", resource.label),
            (.., true) => format!("the order of kinds on {}", resource.label),
            _ => resource.label.clone(),
        };
        let words = match (is_stock, no_order) {
            (true, _) => format!("{} missing", amount(resource.unit, over)),
            (_, true) => "a kind is sown that may not stand beside it".into(),
            _ => format!("over by {}", amount(resource.unit, over)),
        };
        let others: Vec<LotId> = occupied
            .on(ground, at, days)
            .into_iter()
            .filter(|other| *other != lot)
            .collect();
        let named = others.iter().filter_map(|other| stands(state, *other));
        // In trays, about.
        let weight = over / resource.per_tray.max(1);
        let told = Beyond {
            told: InTheWay {
                limit,
                day: nursery.day(day),
                first: nursery.day(first),
                last: nursery.day(last),
                over,
                unit: resource.unit,
                words,
                stands: named.collect(),
            },
            others,
        };
        all.push((weight, told));
    }
    all.sort_by_key(|(weight, _)| -weight);
    let mut all: Vec<Beyond> = all.into_iter().map(|(_, one)| one).collect();
    all.extend(runs_beyond(state, lot));
    all
}

fn week_end(nursery: &Nursery, day: usize) -> usize {
    let week = nursery.day(day).iso_week();
    let days = day..nursery.days;
    days.take_while(|day| nursery.day(*day).iso_week() == week)
        .last()
        .map_or(day, |last| last)
        + 1
}

/// Limits on runs: the least trays of one, and the most on a line and day. Of those that the lot tried is or was concerned by.
fn runs_beyond(state: &State<'_>, lot: LotId) -> Vec<Beyond> {
    let nursery = state.ground().nursery;
    let told = |limit: String, run: RunId, over: i64, words: String| {
        let day = nursery.run(run).sow;
        let others: Vec<LotId> = (0..nursery.lots.len())
            .map(LotId)
            .filter(|other| *other != lot)
            .filter(|other| {
                let chosen = state.choice()[other.0];
                chosen.is_some_and(|id| nursery.option(id).run == run)
            })
            .collect();
        Beyond {
            told: InTheWay {
                limit,
                day,
                first: day,
                last: day,
                over,
                unit: Unit::Trays,
                words,
                stands: others
                    .iter()
                    .filter_map(|lot| stands(state, *lot))
                    .collect(),
            },
            others,
        }
    };
    let small = state.small_runs().into_iter().map(|(run, missing)| {
        let kind = &nursery.scenario.kinds[nursery.run(run).kind].id;
        let words = format!("{} missing", amount(Unit::Trays, missing));
        told(format!("the least run of `{kind}`"), run, missing, words)
    });
    let mut all: Vec<Beyond> = small.collect();
    let Some(run) = state.choice()[lot.0].map(|id| nursery.option(id).run) else {
        return all;
    };
    let candidate = nursery.run(run);
    if let (Some(line), Some(day)) = (candidate.line(), nursery.index(candidate.sow)) {
        let many = state.kinds_on(line, day).len();
        if many > MOST_RUNS_A_DAY {
            let limit = format!("runs of line `{}`", nursery.scenario.lines[line].id);
            let over = (many - MOST_RUNS_A_DAY) as i64;
            let words = format!("{over} more than the {MOST_RUNS_A_DAY} that a day may have");
            all.push(told(limit, run, over, words));
        }
    }
    all
}

/// Slots that the decisions in `state` go beyond, by resource and day.
pub(super) fn over(state: &mut State<'_>) -> BTreeMap<(usize, usize), i64> {
    let mut all = BTreeMap::new();
    for (resource, day, over) in state.over_by_day() {
        let most: &mut i64 = all.entry((resource, day)).or_default();
        *most = (*most).max(over);
    }
    all
}

/// The parts that stand in the way, those of most limits first, then those that take most.
pub(super) fn candidates(beyond: &[Beyond]) -> Vec<LotId> {
    let all: BTreeSet<LotId> = beyond.iter().flat_map(|one| one.others.clone()).collect();
    let place = |lot: &LotId| {
        let ranks = beyond
            .iter()
            .filter_map(|one| one.others.iter().position(|other| other == lot));
        let ranks: Vec<usize> = ranks.collect();
        (std::cmp::Reverse(ranks.len()), ranks.iter().sum::<usize>())
    };
    let mut order: Vec<LotId> = all.into_iter().collect();
    order.sort_by_key(|lot| (place(lot), *lot));
    order
}
