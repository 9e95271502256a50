//! Promise: on nurseries small enough to try every plan, the plan is the cheapest of all, and what is proved of all plans is true of it.

mod common;

use common::{generate, whole};
use sowrota::nursery::{LotId, Nursery, OptionId};
use sowrota::scenario::Scenario;
use sowrota::solve::branch::Effort;
use sowrota::solve::relaxed::{lift, relax_and_dive};
use sowrota::solve::state::{Ground, State};
use sowrota::solve::watch::Stop;
use sowrota::solve::{self, Budget, Start, Unwatched};

/// Thousandths by which the rounding of bought minutes may leave a plan below its point in the relaxation.
const ROUNDING: i64 = 10;

/// The least cost over all combinations of options, "not grown" among them.
fn cheapest(ground: &Ground<'_>) -> (i64, u64) {
    let nursery = ground.nursery;
    let mut state = State::new(ground);
    let mut best = state.objective();
    let mut tried = 0;
    descend(nursery, &mut state, 0, &mut best, &mut tried);
    (best, tried)
}

fn descend(nursery: &Nursery, state: &mut State<'_>, lot: usize, best: &mut i64, tried: &mut u64) {
    if lot == nursery.lots.len() {
        *tried += 1;
        if state.beyond() == 0 {
            *best = (*best).min(state.objective());
        }
        return;
    }
    let options: Vec<Option<OptionId>> = nursery
        .options_of(LotId(lot))
        .map(Some)
        .chain([None])
        .collect();
    for option in options {
        state.set(LotId(lot), option);
        descend(nursery, state, lot + 1, best, tried);
    }
    state.set(LotId(lot), None);
}

/// Plans nurseries and compares with all plans; returns how many had a choice.
fn compare(nurseries: impl Iterator<Item = (u64, Scenario)>) -> usize {
    let (mut decided, mut proved, mut missed) = (0, 0, Vec::new());
    for (seed, scenario) in nurseries {
        let nursery = Nursery::new(&scenario);
        let ground = Ground::new(&nursery);
        let (best, tried) = cheapest(&ground);
        let budget = Budget {
            moves: 20_000,
            relaxations: 2,
            seed: 1,
        };
        let outcome = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched);
        let cost = outcome.plan.cost.with_shortage().0;
        if cost != best {
            missed.push(format!(
                "seed {seed}: {cost} instead of {best}, {tried} plans tried"
            ));
        }
        decided += usize::from(tried > 10);
        if nursery.options.is_empty() {
            continue;
        }
        // Told of a plan that is most often the cheapest, and of one in which nothing is grown.
        let nothing = vec![None; nursery.lots.len()];
        for known in [&outcome.choice, &nothing] {
            let stop = Stop::default();
            let mut relaxed = relax_and_dive(&ground, 1, &stop);
            let effort = Effort {
                rounds: 2,
                nodes: 6,
            };
            if let Some(bound) = lift(&ground, &mut relaxed, known, effort, &stop) {
                assert!(
                    bound <= best + ROUNDING,
                    "seed {seed}: {bound} above {best}"
                );
                proved += usize::from(bound >= best - best / 100);
            }
        }
    }
    assert!(
        proved > decided / 2,
        "{proved} bounds within 1 % of {decided}"
    );
    assert!(missed.is_empty(), "{missed:#?}");
    decided
}

#[test]
fn sixty_tiny_nurseries() {
    let decided = compare((0..60).map(|seed| (seed, generate::tiny(seed))));
    assert!(decided >= 30, "{decided} nurseries with a choice");
}

#[test]
fn eighty_tiny_nurseries_with_the_whole_schema() {
    let decided = compare((1_000..1_080).map(|seed| (seed, whole::tiny(seed))));
    assert!(decided >= 40, "{decided} nurseries with a choice");
}
