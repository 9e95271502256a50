//! From options to a plan: list heuristic, relaxation, dive, polish, bound.
//!
//! [`plan`] is the one planner. It never answers "no": a lot that does not fit is short, at a
//! price, with its reason. If the relaxation fails, the plan is as good and the bound is unknown.
//!
//! [`compiled`] asks the rules once; [`state`] keeps their books move by move; [`list`] makes a
//! first plan; [`relax`] writes the linear [`program`] that [`lp`] has solved; [`dive`] rounds it;
//! [`polish`] does the rest; [`assemble`] turns decisions into the plan as data.

pub mod assemble;
pub mod compiled;
pub mod dive;
pub mod list;
pub mod lp;
pub mod polish;
pub mod program;
pub mod queue;
pub mod relax;
pub mod shortfall;
pub mod state;
pub mod watch;

use crate::nursery::Nursery;
use crate::plan::{EndedBy, Plan};
use crate::units::Money;
use polish::Choice;
use relax::Relaxation;
use state::{Ground, State};
pub use watch::{Budget, Phase, Progress, Unwatched, Watch};

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
pub fn plan(nursery: &Nursery, start: &Start, budget: &Budget, watch: &mut dyn Watch) -> Outcome {
    let ground = Ground::new(nursery);
    let mut first = list::list(&ground);
    let list_cost = first.objective();
    watch.progress(Progress {
        phase: Phase::List,
        moves: 0,
        best: Some(list_cost),
        bound: None,
    });
    let mut best = (list_cost, first.choice().to_vec());
    let mut take_if_better = |state: &mut State<'_>| {
        if state.beyond() == 0 && state.objective() < best.0 {
            best = (state.objective(), state.choice().to_vec());
        }
    };
    if let Some(previous) = &start.previous {
        take_if_better(&mut State::of(&ground, previous));
    }
    let mut relaxed = Relaxed::default();
    if budget.relaxations > 0 && !nursery.options.is_empty() && !watch.stop() {
        watch.progress(Progress {
            phase: Phase::Relaxation,
            moves: 0,
            best: Some(list_cost),
            bound: None,
        });
        let (found, dived) = relax_and_dive(&ground, budget, watch);
        relaxed = found;
        if let Some(mut dived) = dived {
            relaxed.dive_cost = Some(dived.objective());
            take_if_better(&mut dived);
        }
    }
    let bound = relaxed.bound;
    let polished = if bound.is_some_and(|bound| best.0 <= bound) {
        polish::Polished {
            choice: best.1,
            cost: best.0,
            moves: 0,
            stopped: false,
        }
    } else {
        polish::polish(&ground, &best.1, budget.moves, budget.seed, bound, watch)
    };
    let ended_by = if nursery.options.is_empty() {
        EndedBy::NothingToDecide
    } else if bound.is_some_and(|bound| polished.cost <= bound) {
        EndedBy::Bound
    } else if polished.stopped {
        EndedBy::Stopped
    } else {
        EndedBy::Moves
    };
    let mut last = State::of(&ground, &polished.choice);
    Outcome {
        plan: assemble::assemble(&mut last, bound.map(|bound| Money { 0: bound }), ended_by),
        choice: polished.choice,
        list_cost: Money { 0: list_cost },
        dive_cost: relaxed.dive_cost.map(|cost| Money { 0: cost }),
        program_size: relaxed.size,
        moves: polished.moves,
    }
}

#[derive(Default)]
struct Relaxed {
    bound: Option<i64>,
    dive_cost: Option<i64>,
    size: Option<(usize, usize, usize)>,
}

fn relax_and_dive<'g>(
    ground: &'g Ground<'g>,
    budget: &Budget,
    watch: &mut dyn Watch,
) -> (Relaxed, Option<State<'g>>) {
    let relaxation = Relaxation::new(ground);
    let program = &relaxation.program;
    let terms = program.rows.iter().map(|row| row.terms.len()).sum();
    let size = Some((program.columns.len(), program.rows.len(), terms));
    let Some(root) = lp::solve(program, &[]) else {
        return (
            Relaxed {
                size,
                ..Relaxed::default()
            },
            None,
        );
    };
    // Whole thousandths, rounded down; one less for the rounding of bought minutes.
    let bound = root
        .bound
        .map(|bound| ((libm::floor(bound * 1_000.0) as i64) - 1).max(0));
    let dived = dive::dive(ground, &relaxation, &root, budget.relaxations - 1, watch);
    (
        Relaxed {
            bound,
            dive_cost: None,
            size,
        },
        Some(dived),
    )
}
