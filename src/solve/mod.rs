//! From options to a plan: list heuristic, relaxation, dive, polish, bound.
//!
//! [`plan`] is the one planner. It never answers "no": a lot that does not fit is short, at a
//! price, with its reason. If the relaxation fails, the plan is as good and the bound is unknown.
//!
//! [`compiled`] asks the rules once; [`state`] keeps their books move by move, with the trays through the wash in [`queue`], the people
//! hired by week in [`staffing`] and what a shortage weighs in [`sharing`]; [`list`] makes a first plan; [`relax`] writes the linear
//! [`program`] that [`lp`] has solved; [`dive`] rounds it; [`relaxed`] is the two together; [`polish`] does the rest; [`assemble`] turns decisions into the plan as data,
//! with the [`rows`] of beds and the words of each [`shortfall`]. [`decided`] goes back from a plan to its
//! decisions. [`relax::whole`] is the program of whole lots; [`mps`] writes either with its [`names`], and [`given`] makes a plan of an answer. [`levelling`] plans at several prices on hiring. [`watch`] follows and stops the search.

pub mod assemble;
pub mod compiled;
pub mod decided;
pub mod dive;
pub mod given;
pub mod levelling;
pub mod list;
pub mod lp;
pub mod mps;
pub mod names;
pub mod polish;
pub mod program;
pub mod queue;
pub mod relax;
pub mod relaxed;
pub mod rows;
mod run_names;
pub mod sharing;
pub mod shortfall;
pub mod staffing;
pub mod state;
pub mod watch;

use crate::nursery::Nursery;
use crate::plan::{EndedBy, Plan};
use crate::units::Money;
use polish::{Choice, Polished};
use relaxed::{Relaxed, relax_and_dive};
use state::{Ground, State};
pub use watch::{Budget, Phase, Progress, Stop, Unwatched, Watch};

/// What the search starts from besides the nursery.
#[derive(Clone, Debug, Default)]
pub struct Start {
    /// Decisions of an earlier plan, taken as one more start.
    pub previous: Option<Choice>,
}

/// The plan, and what the search knows besides.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The plan.
    pub plan: Plan,
    /// Its decisions.
    pub choice: Choice,
    /// What the list heuristic alone would cost, with its trays short.
    pub list_cost: Money,
    /// What rounding the relaxation would cost, with its trays short.
    pub dive_cost: Option<Money>,
    /// Size of the relaxation: columns, rows, terms.
    pub program_size: Option<(usize, usize, usize)>,
    /// Moves tried.
    pub moves: u64,
}

/// Plans a nursery within a budget, followed and perhaps stopped by `watch`.
///
/// The relaxation is solved and rounded on a second thread while the list's plan is polished on this one. Neither
/// reads the other before both have ended, so the outcome does not depend on their timing.
pub fn plan(nursery: &Nursery, start: &Start, budget: &Budget, watch: &mut dyn Watch) -> Outcome {
    let ground = Ground::new(nursery);
    let mut listed = list::list(&ground);
    let list_cost = listed.objective();
    let mut best = (list_cost, listed.choice().to_vec());
    watch.progress(Progress {
        phase: Phase::List,
        moves: 0,
        best: Some(list_cost),
    });
    if let Some(previous) = &start.previous {
        let mut state = State::of(&ground, previous);
        if state.beyond() == 0 && state.objective() < best.0 {
            best = (state.objective(), previous.clone());
        }
    }
    let stop = Stop::default();
    let (relaxed, polished) = std::thread::scope(|scope| {
        let relaxing = scope.spawn(|| relax_and_dive(&ground, budget.relaxations, &stop));
        let polished = polish::polish(&ground, &best.1, budget.moves, budget.seed, watch);
        watch.progress(Progress {
            phase: Phase::Relaxation,
            moves: polished.moves,
            best: Some(polished.cost),
        });
        if polished.stopped {
            stop.ask();
        }
        // A panic over there is a fault of ours: without its bound the plan is as good.
        (relaxing.join().unwrap_or_default(), polished)
    });
    let polished = better_of(&ground, budget, &relaxed, polished, watch);
    let ended_by = if nursery.options.is_empty() {
        EndedBy::NothingToDecide
    } else if relaxed.bound.is_some_and(|bound| polished.cost <= bound) {
        EndedBy::Bound
    } else if polished.stopped {
        EndedBy::Stopped
    } else {
        EndedBy::Moves
    };
    let mut last = State::of(&ground, &polished.choice);
    let bound = relaxed.bound.map(|bound| Money { 0: bound });
    Outcome {
        plan: assemble::assemble(&mut last, bound, ended_by),
        choice: polished.choice,
        list_cost: Money { 0: list_cost },
        dive_cost: relaxed.dive.map(|(cost, _)| Money { 0: cost }),
        program_size: relaxed.size,
        moves: polished.moves,
    }
}

/// Polishes the rounded relaxation too, when it is cheaper than what came out of the list's plan.
fn better_of(
    ground: &Ground<'_>,
    budget: &Budget,
    relaxed: &Relaxed,
    polished: Polished,
    watch: &mut dyn Watch,
) -> Polished {
    match &relaxed.dive {
        Some((cost, choice)) if *cost < polished.cost && !polished.stopped => {
            let again = polish::polish(ground, choice, budget.moves, budget.seed, watch);
            Polished {
                moves: polished.moves + again.moves,
                ..again
            }
        }
        _ => polished,
    }
}
