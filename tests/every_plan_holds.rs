//! Promise: the independent count finds nothing in any plan and the same cost; and every plan, put into the relaxation, is
//! feasible there, costs no more there than by itself, and no less than the bound.

mod common;

use common::{generate, whole};
use sowrota::audit::audit;
use sowrota::nursery::Nursery;
use sowrota::scenario::Scenario;
use sowrota::solve::relax::Relaxation;
use sowrota::solve::state::{Ground, State};
use sowrota::solve::{self, Budget, Start, Unwatched};

/// Money that rounding of bought minutes may leave between a plan and its point in the relaxation, a crew and day.
const ROUNDING: f64 = 0.001;

#[test]
fn two_hundred_made_up_nurseries() {
    let (grown, bounded, decided) = hold((0..200).map(|seed| (seed, generate::medium(seed))));
    assert!(grown > 1_000, "{grown}");
    assert!(bounded >= decided * 9 / 10, "{bounded} bounds of {decided}");
}

#[test]
fn four_hundred_with_the_whole_schema() {
    let (grown, bounded, decided) = hold((5_000..5_400).map(|seed| (seed, whole::medium(seed))));
    assert!(grown > 1_500, "{grown}");
    assert!(bounded >= decided * 9 / 10, "{bounded} bounds of {decided}");
}

/// One in so many nurseries has its bound, which takes longer than all the rest.
const BOUNDED: u64 = 8;

/// Plans and checks each nursery; returns deliveries, bounds, and nurseries with something to decide that were to have one.
fn hold(nurseries: impl Iterator<Item = (u64, Scenario)>) -> (usize, usize, usize) {
    let (mut grown, mut bounded, mut decided) = (0, 0, 0);
    for (seed, scenario) in nurseries {
        let nursery = Nursery::new(&scenario);
        let budget = Budget {
            moves: 4_000,
            relaxations: u32::from(seed % BOUNDED == 0),
            seed: 1,
        };
        let outcome = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched);
        let ground = Ground::new(&nursery);
        let mut state = State::of(&ground, &outcome.choice);
        assert_eq!(state.beyond(), 0, "seed {seed}: {:?}", state.overfull());
        let plan = &outcome.plan;
        assert_eq!(
            plan.cost.with_shortage().0,
            state.objective(),
            "seed {seed}"
        );
        let audit = audit(plan, &scenario);
        assert!(
            audit.breaches.is_empty(),
            "seed {seed}: {:#?}",
            audit.breaches
        );
        assert_eq!(audit.cost, plan.cost, "seed {seed}");
        grown += plan.deliveries.len();
        if nursery.options.is_empty() {
            continue;
        }
        decided += budget.relaxations as usize;
        let relaxation = Relaxation::new(&ground);
        let point = relaxation.point(&state);
        let (off, row) = relaxation.program.worst_violation(&point);
        assert!(off < 1e-9, "seed {seed}: {row:?} is off by {off}");
        let money = plan.cost.with_shortage().as_f64();
        let slack = ROUNDING * plan.bought.len() as f64 + 1e-6 * money.max(1.0);
        let in_program = relaxation.program.cost(&point);
        assert!(
            in_program <= money + slack,
            "seed {seed}: {in_program} above {money}"
        );
        if let Some(bound) = plan.bound {
            assert!(bound <= plan.cost.with_shortage(), "seed {seed}");
            assert!(bound.as_f64() <= in_program + slack, "seed {seed}");
            bounded += 1;
        }
    }
    (grown, bounded, decided)
}
