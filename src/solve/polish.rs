//! Polish: annealing over whole lots and whole runs, each move priced by what it changes in the books.
//!
//! Counted in moves and seeded, so that the same file and seed give the same plan on every machine.

use super::list::{exchange, insert, insert_counted};
use super::state::{Ground, State};
use super::watch::{Phase, Progress, Watch};
use crate::calendar::Day;
use crate::nursery::{GrowOption, LotId, OptionId};
use oorandom::Rand64;
use std::ops::Range;

/// Decisions of all lots.
pub type Choice = Vec<Option<OptionId>>;

/// Moves between two looks at the watch.
const LOOK_EVERY: u64 = 4_096;
/// After so many accepted or refused changes the price of going beyond limits is looked at again.
const STRICTNESS_EVERY: u64 = 256;
/// That price is counted in sixteenths of what the books say, within these ends.
const STRICTNESS: std::ops::RangeInclusive<i64> = 4..=16_384;
/// So many sixths of the tries go into taking several lots out and putting them back one by one.
const RECREATE_SIXTHS: u64 = 5;
/// The same where some kind has least trays of a run: a run that needs several lots is only begun by moves that go beyond limits for a while.
const RECREATE_SIXTHS_LEAST_RUNS: u64 = 3;
/// When lots are put back, one in so many of their options is overlooked, so that the same lots can come back differently.
const OVERLOOK: [u64; 4] = [2, 3, 6, 20];
/// Most lots taken out at once.
const MOST_TAKEN_OUT: usize = 8;
/// Most lots among which those that are near are looked for.
const MOST_LOOKED_AT: usize = 200;
/// So many eighths of the times the lots near one that is short are taken out, if there is one.
const SHORT_EIGHTHS: usize = 3;
/// Times that all lots are gone through in the end at most.
const MOST_DESCENTS: usize = 20;
/// Temperature at the start over the mean rise of a random move, and at the end over that at the start.
const START_HEAT: f64 = 1.5;
const END_HEAT: f64 = 0.008;

/// How a polish ended.
#[derive(Clone, Debug)]
pub struct Polished {
    /// The best decisions found: they break nothing.
    pub choice: Choice,
    /// Their cost with trays short, thousandths.
    pub cost: i64,
    /// Moves tried.
    pub moves: u64,
    /// True when the watch asked to stop.
    pub stopped: bool,
}

struct Polish<'g> {
    state: State<'g>,
    random: Rand64,
    /// Price of going beyond limits, in sixteenths of what the books say.
    strictness: i64,
    /// Tries that go into putting several lots back, in sixths.
    recreate_sixths: u64,
    /// Options of each lot by run: (run, range of options).
    by_run: Vec<Vec<(usize, Range<usize>)>>,
    /// Planting day of each option: close together, since it is read for hundreds of lots at a time.
    plant: Vec<Day>,
    /// Lots that have options at all.
    movable: Vec<LotId>,
    /// Lots by kind.
    of_kind: Vec<Vec<LotId>>,
    /// Run of the same line and kind so many days later, by run: found by key.
    shifted: std::collections::BTreeMap<(Option<usize>, usize, Day), usize>,
}

/// Improves `start` with at most `moves` moves. `start` must break nothing.
pub fn polish<'g>(
    ground: &'g Ground<'g>,
    start: &Choice,
    moves: u64,
    seed: u64,
    watch: &mut dyn Watch,
) -> Polished {
    Polish::new(ground, start, seed).run(start, moves, heat(ground, start, seed), watch)
}

/// The heat to start with, thousandths: from the scale of the landscape about `start`.
pub fn heat(ground: &Ground<'_>, start: &Choice, seed: u64) -> f64 {
    let mut polish = Polish::new(ground, start, seed);
    if polish.movable.is_empty() {
        0.0
    } else {
        polish.mean_rise() * START_HEAT
    }
}

/// The same with a given heat at the start, thousandths: a change that costs so much more is then taken once in e times. A low heat
/// stays near the start.
pub fn polish_from<'g>(
    ground: &'g Ground<'g>,
    start: &Choice,
    (moves, seed): (u64, u64),
    heat: f64,
    watch: &mut dyn Watch,
) -> Polished {
    Polish::new(ground, start, seed).run(start, moves, heat, watch)
}
type Changes = Vec<(LotId, Option<OptionId>)>;

impl<'g> Polish<'g> {
    fn new(ground: &'g Ground<'g>, start: &Choice, seed: u64) -> Polish<'g> {
        let nursery = ground.nursery;
        let lots = 0..nursery.lots.len();
        let by_run = lots
            .clone()
            .map(|lot| runs_of(ground, LotId(lot)))
            .collect();
        let mut of_kind = vec![Vec::new(); nursery.scenario.kinds.len()];
        for lot in lots.clone().map(LotId) {
            of_kind[nursery.lot(lot).kind].push(lot);
        }
        let runs = nursery.runs.iter().enumerate();
        Polish {
            state: State::of(ground, start),
            random: Rand64::new(u128::from(seed)),
            strictness: 16,
            recreate_sixths: if nursery
                .scenario
                .kinds
                .iter()
                .any(|kind| kind.least_run_trays > 0)
            {
                RECREATE_SIXTHS_LEAST_RUNS
            } else {
                RECREATE_SIXTHS
            },
            by_run,
            plant: nursery.options.iter().map(|option| option.plant).collect(),
            movable: lots
                .map(LotId)
                .filter(|lot| !nursery.of_lot[lot.0].is_empty())
                .collect(),
            of_kind,
            shifted: runs
                .filter(|(_, run)| run.line().is_some())
                .map(|(at, run)| ((run.line(), run.kind, run.sow), at))
                .collect(),
        }
    }

    /// Anneals from `heat` on, then goes down as far as single moves lead.
    fn run(mut self, start: &Choice, moves: u64, heat: f64, watch: &mut dyn Watch) -> Polished {
        let mut best = (self.state.objective(), start.clone());
        let mut done = 0;
        let mut stopped = false;
        if self.movable.is_empty() {
            return Polished {
                choice: best.1,
                cost: best.0,
                moves: 0,
                stopped,
            };
        }
        let mut now = self.objective();
        let (mut look, mut recreating, mut steps) = (0, 0, 0u64);
        while done < moves {
            if done >= look {
                look = done + LOOK_EVERY;
                watch.progress(Progress {
                    phase: Phase::Polish,
                    moves: done,
                    best: Some(best.0),
                    bound: None,
                });
                if watch.stop() {
                    stopped = true;
                    break;
                }
            }
            let cooled = heat * libm::exp(libm::log(END_HEAT) * done as f64 / moves as f64);
            done += 1;
            let undo = if recreating * 6 <= done * self.recreate_sixths {
                let (undo, tried) = self.recreate();
                done += tried;
                recreating += tried + 1;
                undo
            } else {
                let changes = self.propose();
                self.apply(&changes)
            };
            if undo.is_empty() {
                continue;
            }
            let after = self.objective();
            if self.state.beyond() == 0 && after < best.0 {
                best = (after, self.state.choice().to_vec());
            }
            let rise = (after - now) as f64;
            if rise <= 0.0 || self.random.rand_float() < libm::exp(-rise / cooled) {
                now = after;
            } else {
                self.apply(&undo);
            }
            steps += 1;
            if steps % STRICTNESS_EVERY == 0 {
                self.adapt_strictness();
                now = self.objective();
            }
        }
        self.apply_all(&best.1);
        let (cost, choice) = self.descend(watch);
        Polished {
            choice,
            cost,
            moves: done,
            stopped,
        }
    }

    /// Money, and what goes beyond limits at its present price.
    fn objective(&mut self) -> i64 {
        let beyond = self.state.beyond();
        let strict = (beyond / 16).saturating_mul(self.strictness);
        self.state
            .money()
            .saturating_add(strict)
            .saturating_add(i64::from(beyond % 16 > 0))
    }

    /// Dearer while the decisions go beyond limits, cheaper while they do not: the search stays about the edge.
    fn adapt_strictness(&mut self) {
        let (least, most) = (*STRICTNESS.start(), *STRICTNESS.end());
        self.strictness = if self.state.beyond() > 0 {
            (self.strictness * 3 / 2 + 1).min(most)
        } else {
            (self.strictness * 5 / 6).max(least)
        };
    }

    fn below(&mut self, end: usize) -> usize {
        self.random.rand_range(0..end as u64) as usize
    }

    /// Mean rise of random moves that make things worse but break nothing: the scale of the landscape.
    fn mean_rise(&mut self) -> f64 {
        let now = self.state.objective();
        let (mut sum, mut count) = (0.0, 0.0);
        for _ in 0..400 {
            let lot = self.any_lot();
            let option = self.any_option(lot);
            let undo = self.apply(&vec![(lot, Some(option))]);
            let after = self.state.objective();
            if after > now && self.state.beyond() == 0 {
                sum += (after - now) as f64;
                count += 1.0;
            }
            self.apply(&undo);
        }
        if count > 0.0 { sum / count } else { 1_000.0 }
    }

    fn any_lot(&mut self) -> LotId {
        let at = self.below(self.movable.len());
        self.movable[at]
    }

    fn any_option(&mut self, lot: LotId) -> OptionId {
        let range = self.state.ground().nursery.of_lot[lot.0].clone();
        OptionId(range.start + self.below(range.len()))
    }

    fn propose(&mut self) -> Changes {
        match self.below(100) {
            0..30 => self.anywhere(),
            30..55 => self.join_an_open_run(),
            55..75 => self.same_run(),
            75..87 => self.shift_run(),
            87..94 => self.swap(),
            94..98 => self.merge_run(),
            _ => self.drop_one(),
        }
    }

    /// One lot to any of its options.
    fn anywhere(&mut self) -> Changes {
        let lot = self.any_lot();
        vec![(lot, Some(self.any_option(lot)))]
    }

    /// One lot into a run that exists already: no further set-up.
    fn join_an_open_run(&mut self) -> Changes {
        let lot = self.any_lot();
        let runs = self.by_run[lot.0].len();
        for _ in 0..6 {
            let at = self.below(runs);
            let (run, range) = self.by_run[lot.0][at].clone();
            if self.state.lots_in_run(run) > 0 {
                return vec![(lot, Some(OptionId(range.start + self.below(range.len()))))];
            }
        }
        Vec::new()
    }

    /// Another planting day or other places, sown as before.
    fn same_run(&mut self) -> Changes {
        let lot = self.any_lot();
        let Some(option) = self.state.choice()[lot.0] else {
            return vec![(lot, Some(self.any_option(lot)))];
        };
        let run = self.state.ground().nursery.option(option).run.0;
        match self.options_in(lot, run) {
            Some(range) if range.len() > 1 => {
                vec![(lot, Some(OptionId(range.start + self.below(range.len()))))]
            }
            _ => Vec::new(),
        }
    }

    /// A whole run some days earlier or later, its lots as near to their present days as they can be.
    fn shift_run(&mut self) -> Changes {
        let lot = self.any_lot();
        let Some(option) = self.state.choice()[lot.0] else {
            return Vec::new();
        };
        let nursery = self.state.ground().nursery;
        let from = nursery.option(option).run.0;
        let candidate = &nursery.runs[from];
        let days = [-3, -2, -1, 1, 2, 3][self.below(6)];
        let key = (candidate.line(), candidate.kind, candidate.sow.plus(days));
        let Some(to) = self.shifted.get(&key).copied() else {
            return Vec::new();
        };
        self.move_run(from, to)
    }

    /// A whole run into another one of the same kind.
    fn merge_run(&mut self) -> Changes {
        let lot = self.any_lot();
        let Some(option) = self.state.choice()[lot.0] else {
            return Vec::new();
        };
        let nursery = self.state.ground().nursery;
        let from = nursery.option(option).run.0;
        let others = &self.of_kind[nursery.lot(lot).kind];
        let at = self.random.rand_range(0..others.len() as u64) as usize;
        let Some(other) = self.state.choice()[others[at].0] else {
            return Vec::new();
        };
        let to = nursery.option(other).run.0;
        if from == to {
            Vec::new()
        } else {
            self.move_run(from, to)
        }
    }

    fn move_run(&mut self, from: usize, to: usize) -> Changes {
        let nursery = self.state.ground().nursery;
        let kind = nursery.runs[from].kind;
        let mut changes = Vec::new();
        for lot in self.of_kind[kind].iter().copied() {
            let Some(option) = self.state.choice()[lot.0].map(|id| nursery.option(id)) else {
                continue;
            };
            if option.run.0 != from {
                continue;
            }
            let Some(range) = self.options_in(lot, to) else {
                continue;
            };
            let near = range.min_by_key(|id| {
                let other = &nursery.options[*id];
                (
                    other.route != option.route,
                    other.plant.since(option.plant).abs(),
                    other.cost(),
                )
            });
            changes.extend(near.map(|id| (lot, Some(OptionId(id)))));
        }
        changes
    }

    /// Two lots of a kind exchange their runs.
    fn swap(&mut self) -> Changes {
        let one = self.any_lot();
        let nursery = self.state.ground().nursery;
        let others = &self.of_kind[nursery.lot(one).kind];
        let at = self.random.rand_range(0..others.len() as u64) as usize;
        let other = others[at];
        let (Some(first), Some(second)) =
            (self.state.choice()[one.0], self.state.choice()[other.0])
        else {
            return Vec::new();
        };
        let (first, second) = (nursery.option(first).run.0, nursery.option(second).run.0);
        let (Some(to_second), Some(to_first)) =
            (self.options_in(one, second), self.options_in(other, first))
        else {
            return Vec::new();
        };
        if first == second {
            return self.swap_days(one, other);
        }
        let one_to = to_second.start + self.below(to_second.len());
        let other_to = to_first.start + self.below(to_first.len());
        vec![
            (one, Some(OptionId(one_to))),
            (other, Some(OptionId(other_to))),
        ]
    }

    /// Two lots exchange their planting days, each sown as before and in places as near as can be.
    fn swap_days(&self, one: LotId, other: LotId) -> Changes {
        let nursery = self.state.ground().nursery;
        let chosen = |lot: LotId| self.state.choice()[lot.0].map(|id| nursery.option(id));
        let (Some(first), Some(second)) = (chosen(one), chosen(other)) else {
            return Vec::new();
        };
        let with_day = |lot: LotId, own: &GrowOption, like: &GrowOption| {
            let waits = |option: &GrowOption| option.plant.since(option.leave);
            let range = self.options_in(lot, own.run.0)?;
            let on_day = range.filter(|id| nursery.options[*id].plant == like.plant);
            on_day.min_by_key(|id| {
                let option = &nursery.options[*id];
                let off = (waits(option) - waits(own)).abs();
                (option.route != own.route, off, option.cost())
            })
        };
        match (with_day(one, first, second), with_day(other, second, first)) {
            (Some(to), Some(back)) if first.plant != second.plant => {
                vec![(one, Some(OptionId(to))), (other, Some(OptionId(back)))]
            }
            _ => Vec::new(),
        }
    }

    /// Takes out a few lots that are near one another and puts them back, each where it costs least: the one that they are near to first, then in a random order;
    /// half of the time lots that are short get the first chance, and some options are overlooked by chance. Returns what undoes it and how many options were tried.
    fn recreate(&mut self) -> (Changes, u64) {
        let centre = self.centre();
        let middle = self.day_of(centre);
        let (short_first, overlook) = (self.below(2) == 0, OVERLOOK[self.below(OVERLOOK.len())]);
        let mut near: Vec<(i32, u64, LotId)> = Vec::with_capacity(self.movable.len());
        let from = self.below(self.movable.len());
        let turned = self.movable[from..].iter().chain(&self.movable[..from]);
        let step = self.movable.len().div_ceil(MOST_LOOKED_AT);
        near.push((-1, 0, centre));
        for lot in turned.step_by(step).copied().filter(|lot| *lot != centre) {
            let distance = self.day_of(lot).since(middle).abs() / 2;
            near.push((distance, self.random.rand_u64(), lot));
        }
        let out = 2 + self.below(MOST_TAKEN_OUT - 1);
        if out < near.len() {
            near.select_nth_unstable(out);
            near.truncate(out);
        }
        near.sort_unstable();
        let mut lots: Vec<(bool, u64, LotId)> = near
            .into_iter()
            .map(|(_, order, lot)| {
                (
                    !short_first || self.state.choice()[lot.0].is_some(),
                    order,
                    lot,
                )
            })
            .collect();
        lots.sort_by_key(|(grown, order, _)| (*grown, order.reverse_bits()));
        let out: Changes = lots.iter().map(|(_, _, lot)| (*lot, None)).collect();
        let undo = self.apply(&out);
        let mut tried = 0;
        for (_, _, lot) in lots {
            let (state, random) = (&mut self.state, &mut self.random);
            let seen = |_| random.rand_range(0..overlook) > 0;
            tried += insert_counted(state, lot, seen).1 + 1;
        }
        (undo, tried)
    }

    /// The day on which a lot is planted; of one that is short, the first on which it could be.
    fn day_of(&self, lot: LotId) -> Day {
        let nursery = self.state.ground().nursery;
        let option = self.state.choice()[lot.0].map(|id| id.0);
        self.plant[option.unwrap_or(nursery.of_lot[lot.0].start)]
    }

    /// Any lot; while some lots are short, often one of them.
    fn centre(&mut self) -> LotId {
        let lot = self.any_lot();
        if self.below(8) >= SHORT_EIGHTHS {
            return lot;
        }
        let from = self.below(self.movable.len());
        let turned = self.movable[from..].iter().chain(&self.movable[..from]);
        let short = turned
            .copied()
            .find(|lot| self.state.choice()[lot.0].is_none());
        short.unwrap_or(lot)
    }

    /// One lot not grown: it makes room for others while things are hot.
    fn drop_one(&mut self) -> Changes {
        vec![(self.any_lot(), None)]
    }

    fn options_in(&self, lot: LotId, run: usize) -> Option<Range<usize>> {
        let runs = &self.by_run[lot.0];
        let at = runs.binary_search_by_key(&run, |(run, _)| *run).ok()?;
        Some(runs[at].1.clone())
    }

    /// Carries changes out; returns those that undo them.
    fn apply(&mut self, changes: &Changes) -> Changes {
        let undo = changes
            .iter()
            .rev()
            .map(|(lot, _)| (*lot, self.state.choice()[lot.0]))
            .collect();
        for (lot, option) in changes {
            self.state.set(*lot, *option);
        }
        undo
    }

    fn apply_all(&mut self, choice: &Choice) {
        for (lot, option) in choice.iter().enumerate() {
            self.state.set(LotId(lot), *option);
        }
    }

    /// Gives every lot its best option in turn until nothing gets better, or until the watch asks to stop.
    fn descend(&mut self, watch: &dyn Watch) -> (i64, Choice) {
        for _ in 0..MOST_DESCENTS {
            let mut better = false;
            for lot in self.movable.clone() {
                if watch.stop() {
                    break;
                }
                better |= insert(&mut self.state, lot, |_| true);
            }
            if watch.stop() {
                break;
            }
            better |= exchange(&mut self.state, &self.movable);
            if !better {
                break;
            }
        }
        (self.state.objective(), self.state.choice().to_vec())
    }
}

/// A lot's options by run: options of a lot are sorted by run.
fn runs_of(ground: &Ground<'_>, lot: LotId) -> Vec<(usize, Range<usize>)> {
    let nursery = ground.nursery;
    let mut runs: Vec<(usize, Range<usize>)> = Vec::new();
    for id in nursery.of_lot[lot.0].clone() {
        let run = nursery.options[id].run.0;
        match runs.last_mut() {
            Some((last, range)) if *last == run => range.end = id + 1,
            _ => runs.push((run, id..id + 1)),
        }
    }
    runs
}
