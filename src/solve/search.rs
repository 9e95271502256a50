//! The search as a whole: two lanes that anneal apart, compare at fixed points, and go on from the better plan.
//!
//! Each lane is seeded and counts its own moves, and neither reads the other but where both have ended a stage: on one thread they run one after the
//! other, on two side by side, with the same outcome.

use super::polish::{self, Choice, Polished};
use super::state::Ground;
use super::watch::{Budget, Phase, Progress, Stop, Watch};
use std::thread::{self, ScopedJoinHandle};

/// Lanes side by side.
const LANES: u64 = 2;
/// Shares of the moves that the stages take, in sixteenths, with the heat at their start: the first from the mean rise of random moves, the others as a
/// part of that.
const STAGES: [(u64, f64); 1] = [(16, 1.0)];
/// Fewer moves than this are not worth a second lane.
const FEW: u64 = 20_000;

/// Searches from `start`, which must break nothing, with the budget's moves in all.
pub fn search(
    ground: &Ground<'_>,
    start: &Choice,
    budget: &Budget,
    threads: usize,
    watch: &mut dyn Watch,
) -> Polished {
    if budget.moves < FEW {
        return polish::polish(ground, start, budget.moves, budget.seed, watch);
    }
    let heat = polish::heat(ground, start, budget.seed);
    let mut best: Option<Polished> = None;
    for (stage, (share, part)) in STAGES.into_iter().enumerate() {
        let moves = budget.moves * share / 16 / LANES;
        let from = best.as_ref().map_or(start, |best| &best.choice);
        let seeds: Vec<u64> = (0..LANES)
            .map(|lane| {
                budget
                    .seed
                    .wrapping_add(1_000_003 * (lane + LANES * stage as u64))
            })
            .collect();
        let before = best.as_ref().map_or(0, |best| best.moves);
        let lanes = side_by_side(
            ground,
            from,
            (moves, &seeds),
            heat * part,
            threads,
            before,
            watch,
        );
        let tried: u64 = lanes.iter().map(|lane| lane.moves).sum();
        let stopped = lanes.iter().any(|lane| lane.stopped);
        // The first among equals.
        let better = lanes.into_iter().min_by_key(|lane| lane.cost);
        let better = better.filter(|lane| best.as_ref().is_none_or(|best| lane.cost < best.cost));
        let kept = better.or(best.take());
        best = kept.map(|kept| Polished {
            moves: before + tried,
            stopped,
            ..kept
        });
        if stopped {
            break;
        }
    }
    best.unwrap_or_else(|| polish::polish(ground, start, 0, budget.seed, watch))
}

/// A polish from one start for each seed.
fn side_by_side(
    ground: &Ground<'_>,
    from: &Choice,
    (moves, seeds): (u64, &[u64]),
    heat: f64,
    threads: usize,
    before: u64,
    watch: &mut dyn Watch,
) -> Vec<Polished> {
    let lanes = seeds.len() as u64;
    let mut followed = Counted {
        watch,
        before,
        lanes,
    };
    if threads < seeds.len() {
        let mut done = Vec::new();
        for seed in seeds {
            done.push(polish::polish_from(
                ground,
                from,
                (moves, *seed),
                heat,
                &mut followed,
            ));
        }
        return done;
    }
    let stop = Stop::default();
    thread::scope(|scope| {
        let others: Vec<_> = seeds[1..]
            .iter()
            .map(|seed| {
                let mut stopped = stop.clone();
                scope.spawn(move || {
                    polish::polish_from(ground, from, (moves, *seed), heat, &mut stopped)
                })
            })
            .collect();
        let first = polish::polish_from(ground, from, (moves, seeds[0]), heat, &mut followed);
        if first.stopped {
            stop.ask();
        }
        let mut done = vec![first];
        // A panic over there is a fault of ours: the other lane's plan is as sound.
        done.extend(
            others
                .into_iter()
                .filter_map(|lane| wait(lane, &stop, &followed)),
        );
        done
    })
}

/// Waits for another thread, and passes on that it is to stop as long as the watch has the patience to look again.
pub fn wait<T>(thread: ScopedJoinHandle<'_, T>, stop: &Stop, watch: &dyn Watch) -> Option<T> {
    while !thread.is_finished() {
        if watch.stop() {
            stop.ask();
        }
        if !watch.rest() {
            break;
        }
    }
    thread.join().ok()
}

/// Follows one lane and counts for all.
struct Counted<'w> {
    watch: &'w mut dyn Watch,
    before: u64,
    lanes: u64,
}

impl Watch for Counted<'_> {
    fn progress(&mut self, progress: Progress) {
        self.watch.progress(Progress {
            phase: Phase::Polish,
            moves: self.before + progress.moves * self.lanes,
            ..progress
        });
    }

    fn stop(&self) -> bool {
        self.watch.stop()
    }

    fn rest(&self) -> bool {
        self.watch.rest()
    }
}
