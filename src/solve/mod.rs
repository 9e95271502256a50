//! From options to a plan: list heuristic, relaxation, dive, polish, bound.
//!
//! [`plan`] is the one planner. It never answers "no": a lot that does not fit is short, at a
//! price, with its reason. If the relaxation fails, the plan is as good and the bound is unknown.
//!
//! [`compiled`] asks the rules once, [`cards`] lays out what they say; [`state`] keeps their books move by move, with the trays through the wash in [`queue`], the people
//! hired by week in [`staffing`] and what a shortage weighs in [`sharing`]; [`list`] makes a first plan; [`relax`] writes the linear
//! [`program`] that [`lp`] has solved; [`cuts`], [`bound`] and [`branch`] lift what it proves, with the columns that the [`sieve`] lets through; [`dive`] rounds it; [`relaxed`] is these together, season by season ([`apart`]); [`polish`] does the rest; [`assemble`] turns decisions into the plan as data,
//! with the [`rows`] of beds and the words of each [`shortfall`]. [`decided`] goes back from a plan to its
//! decisions. [`relax::whole`] is the program of whole lots; [`mps`] writes either with its [`names`], and [`given`] makes a plan of an answer. [`levelling`] plans at several prices on hiring. [`watch`] follows and stops the search.

pub mod apart;
pub mod assemble;
pub mod bound;
pub mod branch;
pub mod cards;
pub mod compiled;
pub mod cuts;
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
pub mod search;
pub mod sharing;
pub mod shortfall;
pub mod sieve;
pub mod staffing;
pub mod state;
pub mod watch;

use crate::nursery::Nursery;
use crate::plan::{EndedBy, Plan};
use crate::units::Money;
use branch::Effort;
use polish::{Choice, Polished};
use relaxed::{Relaxed, lift, relax_and_dive};
use state::{Ground, State};
use std::num::NonZeroUsize;
pub use watch::{Budget, Phase, Progress, Stop, Unwatched, Watch};

/// Rounds of cuts at most before the bound is lifted by branching.
const MOST_ROUNDS: usize = 10;

/// The rounded relaxation is polished at so much less heat than the list's plan.
const DIVE_COOLER: f64 = 10.0;

/// What the search starts from besides the nursery, and what it runs on.
#[derive(Clone, Debug, Default)]
pub struct Start {
    /// Decisions of an earlier plan, taken as one more start.
    pub previous: Option<Choice>,
    /// Threads to run on; as many as the machine has, if none are said. The plan does not depend on them.
    pub threads: Option<NonZeroUsize>,
}

fn as_the_machine_has() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
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
/// The relaxation is solved and rounded on a thread of its own while [`search`] improves the list's plan. Neither reads the other before both have ended,
/// so the outcome does not depend on their timing.
pub fn plan(nursery: &Nursery, start: &Start, budget: &Budget, watch: &mut dyn Watch) -> Outcome {
    let ground = Ground::new(nursery);
    let mut listed = list::list(&ground);
    let list_cost = listed.objective();
    let mut best = (list_cost, listed.choice().to_vec());
    watch.progress(Progress {
        phase: Phase::List,
        moves: 0,
        best: Some(list_cost),
        bound: None,
    });
    if let Some(previous) = &start.previous {
        let mut state = State::of(&ground, previous);
        if state.beyond() == 0 && state.objective() < best.0 {
            best = (state.objective(), previous.clone());
        }
    }
    let threads = start.threads.map_or_else(as_the_machine_has, usize::from);
    let stop = Stop::default();
    let relaxing = || relax_and_dive(&ground, budget.relaxations, &stop);
    let (relaxed, polished) = std::thread::scope(|scope| {
        // On one thread the relaxation has its turn after the search.
        let at_once = (threads > 1).then(|| scope.spawn(relaxing));
        let polished = search::search(&ground, &best.1, budget, threads, watch);
        if polished.stopped {
            stop.ask();
        }
        watch.progress(Progress {
            phase: Phase::Relaxation,
            moves: polished.moves,
            best: Some(polished.cost),
            bound: None,
        });
        let relaxing = at_once.unwrap_or_else(|| scope.spawn(relaxing));
        // A panic over there is a fault of ours: without its bound the plan is as good.
        (
            search::wait(relaxing, &stop, watch).unwrap_or_default(),
            polished,
        )
    });
    let polished = better_of(&ground, budget, &relaxed, polished, watch);
    if polished.stopped || watch.stop() {
        stop.ask();
    }
    let relaxed = lifted(&ground, budget, relaxed, &polished, &stop, watch);
    let ended_by = if nursery.options.is_empty() {
        EndedBy::NothingToDecide
    } else if relaxed.bound.is_some_and(|bound| polished.cost <= bound) {
        EndedBy::Bound
    } else if stop.asked() {
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

/// Spends the further relaxations of the budget on a better bound, now that a good plan is known.
fn lifted(
    ground: &Ground<'_>,
    budget: &Budget,
    mut relaxed: Relaxed,
    polished: &Polished,
    stop: &Stop,
    watch: &mut dyn Watch,
) -> Relaxed {
    let further = budget.relaxations.saturating_sub(1) as usize;
    if further == 0 || stop.asked() {
        return relaxed;
    }
    watch.progress(Progress {
        phase: Phase::Bound,
        moves: polished.moves,
        best: Some(polished.cost),
        bound: relaxed.bound,
    });
    let rounds = further.min(MOST_ROUNDS);
    let effort = Effort {
        rounds,
        nodes: further - rounds,
    };
    std::thread::scope(|scope| {
        let lifting = scope.spawn(|| {
            lift(ground, &mut relaxed, &polished.choice, effort, stop);
        });
        search::wait(lifting, stop, watch);
    });
    relaxed
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
            // Not so hot that it is forgotten where this began.
            let heat = polish::heat(ground, choice, budget.seed) / DIVE_COOLER;
            let moves = (budget.moves / 4, budget.seed);
            let again = polish::polish_from(ground, choice, moves, heat, watch);
            Polished {
                moves: polished.moves + again.moves,
                ..again
            }
        }
        _ => polished,
    }
}
