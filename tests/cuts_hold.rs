//! Promise: what is added to the relaxation to lift its bound holds for every plan: all cuts found on made-up nurseries are tried on many
//! plans of each, good and bad ones.

mod common;

use common::dice::Dice;
use common::{demos, generate, whole};
use sowrota::nursery::{LotId, Nursery, OptionId};
use sowrota::scenario::Scenario;
use sowrota::solve::bound::tighten;
use sowrota::solve::branch::Effort;
use sowrota::solve::list;
use sowrota::solve::program::{Program, RowTag};
use sowrota::solve::relax::Relaxation;
use sowrota::solve::relaxed::{lift, relax_and_dive};
use sowrota::solve::sieve::Sieve;
use sowrota::solve::state::{Ground, State};
use sowrota::solve::watch::Stop;

/// Changes tried on each nursery, and after how many that keep every limit the plan is held against the cuts.
const CHANGES: usize = 400;
const EVERY: usize = 4;

#[test]
fn on_sixty_made_up_nurseries() {
    let (cuts, plans) = hold((300..360).map(|seed| (seed, generate::medium(seed))));
    assert!(cuts > 200 && plans > 2_000, "{cuts} cuts, {plans} plans");
}

#[test]
fn on_sixty_with_the_whole_schema() {
    let (cuts, plans) = hold((6_000..6_060).map(|seed| (seed, whole::medium(seed))));
    assert!(cuts > 200 && plans > 2_000, "{cuts} cuts, {plans} plans");
}

/// Larger: each season is cut apart, with few options of each lot.
#[test]
fn on_two_seasons() {
    let (cuts, plans) = hold([(0, demos::scenario("two-season"))].into_iter());
    assert!(cuts > 50 && plans > 20, "{cuts} cuts, {plans} plans");
}

/// Cuts each nursery's relaxation and holds many plans against it; returns the cuts and the plans.
fn hold(nurseries: impl Iterator<Item = (u64, Scenario)>) -> (usize, usize) {
    let (mut cuts, mut plans) = (0, 0);
    for (seed, scenario) in nurseries {
        let nursery = Nursery::new(&scenario);
        if nursery.options.is_empty() {
            continue;
        }
        let ground = Ground::new(&nursery);
        let mut relaxation = Relaxation::new(&ground);
        let mut state = list::list(&ground);
        let stop = Stop::default();
        // Also what is found while branching, where columns are taken out and so many runs are asked for: it joins the rows of all.
        let bound = if seed % 4 == 0 {
            let mut relaxed = relax_and_dive(&ground, 1, &stop);
            let effort = Effort {
                rounds: 2,
                nodes: 6,
            };
            let bound = lift(&ground, &mut relaxed, state.choice(), effort, &stop);
            // Larger nurseries are to be solved with few options of each lot.
            let sifted = relaxed.seasons.iter().any(|season| season.sieve.any_out());
            assert!(sifted || relaxation.program.terms() < 100_000);
            let cuts = relaxed.seasons.iter().flat_map(|season| season.cuts());
            relaxation.program.rows.extend(cuts);
            bound.map(|bound| (bound - 1) as f64 / 1_000.0)
        } else {
            tighten(
                &mut relaxation.program,
                &[],
                3,
                &mut Sieve::default(),
                &stop,
            )
            .bound
        };
        cuts += count(&relaxation.program);
        let mut dice = Dice::new(seed);
        let mut kept = 0;
        for _ in 0..CHANGES {
            let lot = LotId(dice.between(0, nursery.lots.len() as i64 - 1) as usize);
            let options: Vec<Option<OptionId>> =
                nursery.options_of(lot).map(Some).chain([None]).collect();
            let before = state.choice()[lot.0];
            state.set(lot, *dice.pick(&options));
            if state.beyond() > 0 {
                state.set(lot, before);
                continue;
            }
            kept += 1;
            if kept % EVERY == 0 {
                plans += 1;
                check(seed, &relaxation, &mut state, bound);
            }
        }
    }
    (cuts, plans)
}

fn count(program: &Program) -> usize {
    let is_cut = |row: &&sowrota::solve::program::Row| matches!(row.tag, RowTag::Cut(_));
    program.rows.iter().filter(is_cut).count()
}

fn check(seed: u64, relaxation: &Relaxation, state: &mut State<'_>, bound: Option<f64>) {
    state.beyond();
    let point = relaxation.point(state);
    let (off, row) = relaxation.program.worst_violation(&point);
    assert!(off < 1e-8, "seed {seed}: {row:?} is broken by {off}");
    let cost = relaxation.program.cost(&point);
    let slack = 1e-6 * cost.max(1.0);
    if let Some(bound) = bound {
        assert!(bound <= cost + slack, "seed {seed}: {bound} above {cost}");
    }
}
