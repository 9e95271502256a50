//! How far the search may go, and how it is followed and stopped from outside.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Effort, counted in moves so that the same file gives the same plan on every machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Budget {
    /// Moves that the polish tries.
    pub moves: u64,
    /// Relaxations: 0 leaves out the bound, 1 gives a bound and one more plan to start from, further ones are spent on a better bound once
    /// a good plan is known.
    pub relaxations: u32,
    /// Seed of every choice made at random.
    pub seed: u64,
}

impl Budget {
    /// The usual effort for a nursery of so many lots: enough for a good plan in some seconds.
    pub fn for_lots(lots: usize) -> Budget {
        Budget {
            moves: (40_000 * lots as u64).clamp(1_000_000, 4_000_000)
                + 4_000 * (lots as u64).saturating_sub(100).min(2_000),
            relaxations: 1,
            seed: 1,
        }
    }
}

/// What the search is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Phase {
    List,
    Relaxation,
    Polish,
    Bound,
}

/// One report of progress.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// What is being done.
    pub phase: Phase,
    /// Moves tried.
    pub moves: u64,
    /// Cost of the best plan so far with its trays short, thousandths.
    pub best: Option<i64>,
}

/// Whoever follows the search.
pub trait Watch {
    /// Called from time to time.
    fn progress(&mut self, progress: Progress);
    /// True when the search should end with the best plan so far.
    fn stop(&self) -> bool;
    /// Rests a moment while another thread works, before the next look at whether to stop; false at once when nobody will ask to.
    fn rest(&self) -> bool {
        false
    }
}

/// Asks work on another thread to end early with what it has.
#[derive(Clone, Debug, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Asks.
    pub fn ask(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// True once somebody asked.
    pub fn asked(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Followed by nobody, ended when asked.
impl Watch for Stop {
    fn progress(&mut self, _progress: Progress) {}

    fn stop(&self) -> bool {
        self.asked()
    }
}

/// Nobody follows.
#[derive(Clone, Copy, Debug, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn progress(&mut self, _progress: Progress) {}

    fn stop(&self) -> bool {
        false
    }
}
