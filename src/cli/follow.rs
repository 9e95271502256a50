//! What a search says on the way, and how it is stopped: Ctrl-C, or a limit of time.

use super::say;
use crate::report::text::{money, number};
use crate::solve::{Phase, Progress, Watch};
use crate::units::Money;
use std::io::IsTerminal;
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Set by the first Ctrl-C.
static ASKED: AtomicBool = AtomicBool::new(false);
static LISTENING: Once = Once::new();

/// Where no terminal shows how far it is, a line says it so often.
const LINE_EVERY: Duration = Duration::from_secs(10);
/// Between two looks at whether the search is to be stopped while it only waits.
const REST: Duration = Duration::from_millis(20);
/// As the shell counts a program that Ctrl-C ended.
const INTERRUPTED: i32 = 130;

/// Says on standard error how far a search is: one line that is written over on a terminal, now and then a line elsewhere. From the first
/// Ctrl-C on, or when its time is up, it asks the search to end with the best plan so far; a second Ctrl-C ends the program at once.
pub(super) struct Follower {
    shown: bool,
    live: bool,
    began: Instant,
    last_line: Option<Instant>,
    /// Whether what the search minimises is the cost of a plan.
    costs: bool,
    limit: Option<Duration>,
}

impl Follower {
    /// Follows what mends a plan: mostly soon done, at prices that only rank what is given up.
    pub(super) fn of_mending(quiet: bool) -> Follower {
        Follower {
            last_line: Some(Instant::now()),
            costs: false,
            ..Follower::of_plan(quiet, None)
        }
    }

    /// Follows the search for a plan, which is asked to end when its time is up.
    pub(super) fn of_plan(quiet: bool, limit: Option<Duration>) -> Follower {
        LISTENING.call_once(|| {
            // Where signals cannot be listened to, Ctrl-C ends the program as it does any other.
            let _ = ctrlc::set_handler(|| {
                if ASKED.swap(true, Ordering::Relaxed) {
                    std::process::exit(INTERRUPTED);
                }
                say("\nending with the best plan so far; Ctrl-C once more ends without one\n");
            });
        });
        Follower {
            shown: !quiet,
            live: std::io::stderr().is_terminal(),
            began: Instant::now(),
            last_line: None,
            costs: true,
            limit,
        }
    }

    /// Wipes the line out.
    pub(super) fn clear(&self) {
        if self.shown && self.live {
            say(format_args!("\r{:78}\r", ""));
        }
    }
}

impl Watch for Follower {
    fn progress(&mut self, progress: Progress) {
        let soon = self
            .last_line
            .is_some_and(|last| last.elapsed() < LINE_EVERY);
        if !self.shown || (!self.live && soon) {
            return;
        }
        self.last_line = Some(Instant::now());
        let doing = match progress.phase {
            Phase::List => "first plan",
            Phase::Relaxation => "finding what no plan can beat",
            Phase::Polish => "improving",
            Phase::Bound => "proving how good it is",
        };
        let best = progress
            .best
            .filter(|_| self.costs)
            .map_or(String::new(), |best| {
                format!(", cost so far {}", money(Money { 0: best }))
            });
        let far = match progress.bound.filter(|_| self.costs) {
            Some(bound) => format!(", none below {}", money(Money { 0: bound })),
            None => format!(", {} changes tried", number(progress.moves as i64)),
        };
        let line = format!("{doing}{far}{best}");
        if self.live {
            say(format_args!("\r{line:78.78}"));
        } else {
            say(format_args!("{line}\n"));
        }
    }

    fn stop(&self) -> bool {
        let late = self.limit.is_some_and(|limit| self.began.elapsed() > limit);
        late || ASKED.load(Ordering::Relaxed)
    }

    fn rest(&self) -> bool {
        std::thread::sleep(REST);
        true
    }
}
