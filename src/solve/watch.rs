//! How far the search may go, and how it is followed and stopped from outside.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Effort, counted in moves so that the same file gives the same plan on every machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Budget {
    /// Moves that the polish tries.
    pub moves: u64,
    /// Effort on the bound: 0 leaves it out, 1 gives a bound with some rounds of cuts and one more plan to start from, further ones are relaxations that are
    /// spent on a better bound once a good plan is known.
    pub relaxations: u32,
    /// Seed of every choice made at random.
    pub seed: u64,
}

/// Moves that a modest machine tries in a second.
const MOVES_A_SECOND: u64 = 200_000;
/// Lots for which it relaxes in a second; for many it takes longer than in proportion, for few it is soon done.
const LOTS_RELAXED_A_SECOND: usize = 10;

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

    /// The same for a nursery of so many lots with no more moves than a modest machine tries in so many seconds, and with no relaxation when it would hardly
    /// be solved by then. A search that is to end has cooled down: cut short while it is hot, it would have little to show. And the plan does
    /// not depend on how fast the machine is, unless it is slower than that.
    pub fn for_seconds(self, seconds: u32, lots: usize) -> Budget {
        let solved = lots <= LOTS_RELAXED_A_SECOND.saturating_mul(seconds as usize);
        Budget {
            moves: self.moves.min(MOVES_A_SECOND * u64::from(seconds)),
            relaxations: if solved { self.relaxations } else { 0 },
            ..self
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
    /// What no plan can cost less than, as far as it is proved, thousandths.
    pub bound: Option<i64>,
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_takes_away_what_it_is_too_short_for() {
        let usual = Budget::for_lots(1_000);
        assert_eq!(usual.for_seconds(86_400, 1_000), usual);
        let short = usual.for_seconds(10, 1_000);
        assert!(short.moves < usual.moves, "{short:?}");
        assert_eq!((short.relaxations, short.seed), (0, usual.seed));
        assert_eq!(usual.for_seconds(10, 100).relaxations, 1);
    }
}
