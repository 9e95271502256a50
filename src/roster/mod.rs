//! The roster: named people on the shifts and night watches of a plan, fair in weekends and late shifts.
//!
//! The way through: [`Demand::of`] says from the plan how many places each shift, each day off that is worked and each night
//! has; [`fill`] puts people of the staff on them; [`make`] does both and writes the [`Roster`] with words for what nobody
//! fills. Demand is plain data, so that one made by hand can be filled in the same way.
//!
//! **Held always**: one duty a day and person; only the work of crews that they can do; nobody who is away; the days in a row,
//! the days of an ISO week, the rest between two duties, and free days next to each other of [`Duty`]. Nothing is known of the
//! days before the first: they count as free.
//! **Wanted, in this order**: fewest places unfilled and licences missing; least unfairness, that is the sum over people of
//! the squares of their weekend days and of their late shifts, each over the days on which they could be asked for one;
//! fewest changes of crew from duty to duty.
//!
//! A first roster goes week by week, weekends first, and a seeded search with a budget of moves betters it. It proves
//! nothing: another budget or seed may find a better one. The audit counts what is held on its own.

mod demand;
mod fixed;
mod ground;
mod search;
mod state;
mod words;

pub use demand::{Demand, Licence, Slot};

use crate::plan::Plan;
use crate::plan::roster::{FORMAT, PersonDuty, PersonTotals, Roster, Unfilled};
use crate::plan::view::PlanError;
use crate::scenario::{Duty, Person};
use ground::Ground;
use state::State;

/// How long to search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Budget {
    /// Changes to try.
    pub moves: u64,
    /// Another number makes other chance choices.
    pub seed: u64,
}

impl Default for Budget {
    /// Enough for twenty people and a season.
    fn default() -> Budget {
        Budget {
            moves: 20_000,
            seed: 1,
        }
    }
}

/// People on the places of a demand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filled {
    /// As in [`Roster::duties`].
    pub duties: Vec<PersonDuty>,
    /// As in [`Roster::unfilled`].
    pub unfilled: Vec<Unfilled>,
    /// As in [`Roster::people`].
    pub people: Vec<PersonTotals>,
    /// Places unfilled and licences missing.
    pub missing: i64,
    /// Sum over people of the squares of weekend days and late shifts, each over the days on which they can be asked for
    /// one, in millionths.
    pub unfairness: i64,
    /// Changes of crew.
    pub changes: i64,
}

/// Puts people of `staff` on the places of `demand` within the limits of `duty`.
pub fn fill(demand: &Demand, staff: &[Person], duty: &Duty, budget: &Budget) -> Filled {
    let ground = Ground::new(demand, staff, duty);
    let mut state = State::new(&ground);
    search::first(&mut state);
    search::better(&mut state, budget);
    let score = state.score();
    Filled {
        duties: state.duties(),
        unfilled: words::unfilled(&state),
        people: state.totals(),
        missing: score.missing,
        unfairness: score.unfairness,
        changes: score.changes,
    }
}

/// The roster of a plan, by the staff of its own scenario.
///
/// # Errors
/// [`PlanError`] when the plan, its staff or its limits of duties cannot be worked with.
pub fn make(plan: &Plan, budget: &Budget) -> Result<Roster, PlanError> {
    let scenario = &plan.scenario;
    let demand = Demand::of(plan)?;
    let mut seen = std::collections::BTreeSet::new();
    for person in &scenario.staff {
        if !seen.insert(&person.id) {
            return Err(PlanError::Twice {
                what: "person",
                name: person.id.clone(),
            });
        }
    }
    let filled = fill(&demand, &scenario.staff, &scenario.duty, budget);
    Ok(Roster {
        format: FORMAT.to_owned(),
        plan_revision: plan.revision,
        scenario_sha256: plan.scenario_sha256.clone(),
        duties: filled.duties,
        hired: demand.hired,
        unfilled: filled.unfilled,
        people: filled.people,
    })
}
