//! The search as a whole: two lanes that anneal apart, and the better plan of the two.
//!
//! Each lane is seeded and counts its own moves, and neither reads the other: on one thread they run one after the other, on several side by
//! side, with the same outcome.

use super::polish::{self, Choice, Polished};
use super::state::Ground;
use super::watch::{Budget, Progress, Stop, Watch};
use std::sync::atomic::{AtomicI64, Ordering};
use std::thread::{self, ScopedJoinHandle};

/// Lanes side by side.
const LANES: u64 = 2;
/// Between the seeds of two lanes.
const SEEDS_APART: u64 = 1_000_003;
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
    let anneal = |lane: u64, watch: &mut dyn Watch| {
        let seed = budget.seed.wrapping_add(SEEDS_APART * lane);
        polish::polish_from(ground, start, (budget.moves / LANES, seed), heat, watch)
    };
    // Only for whoever follows: what the search does never depends on it.
    let shown = AtomicI64::new(i64::MAX);
    let (first, others) = if threads > 1 {
        let stop = Stop::default();
        thread::scope(|scope| {
            let (anneal, shown) = (&anneal, &shown);
            let others: Vec<_> = (1..LANES)
                .map(|lane| {
                    let mut stopped = stop.clone();
                    let follow = move || anneal(lane, &mut Lane::beside(&mut stopped, shown));
                    scope.spawn(follow)
                })
                .collect();
            let first = anneal(0, &mut Lane::beside(watch, shown));
            if first.stopped {
                stop.ask();
            }
            // A panic over there is a fault of ours: this lane's plan is as sound.
            let others = others.into_iter();
            let others = others.filter_map(|lane| wait(lane, &stop, watch));
            (first, others.collect::<Vec<_>>())
        })
    } else {
        let mut in_turn = |lane: u64| {
            let before = Some(lane * (budget.moves / LANES));
            let (watch, shown) = (&mut *watch, &shown);
            anneal(
                lane,
                &mut Lane {
                    watch,
                    shown,
                    before,
                },
            )
        };
        let first = in_turn(0);
        (first, (1..LANES).map(in_turn).collect())
    };
    // The first among equals.
    others.into_iter().fold(first, |best, lane| Polished {
        moves: best.moves + lane.moves,
        stopped: best.stopped || lane.stopped,
        ..if lane.cost < best.cost { lane } else { best }
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

/// Follows one lane and tells of all.
struct Lane<'w> {
    watch: &'w mut dyn Watch,
    /// The cheapest plan of all lanes, thousandths.
    shown: &'w AtomicI64,
    /// Moves of the lanes before; none when all go on at the same time.
    before: Option<u64>,
}

impl<'w> Lane<'w> {
    fn beside(watch: &'w mut dyn Watch, shown: &'w AtomicI64) -> Lane<'w> {
        Lane {
            watch,
            shown,
            before: None,
        }
    }
}

impl Watch for Lane<'_> {
    fn progress(&mut self, progress: Progress) {
        let own = progress.best.unwrap_or(i64::MAX);
        let best = own.min(self.shown.fetch_min(own, Ordering::Relaxed));
        self.watch.progress(Progress {
            moves: match self.before {
                None => progress.moves * LANES,
                Some(before) => progress.moves + before,
            },
            best: (best < i64::MAX).then_some(best),
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
