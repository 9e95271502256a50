//! Promise: seasons that have nothing to do with each other are solved apart, and what is proved so is what is proved of the whole.

mod common;

use common::demos::scenario as demo;
use common::dice::Dice;
use sowrota::nursery::Nursery;
use sowrota::solve::apart::{Season, seasons};
use sowrota::solve::lp;
use sowrota::solve::program::{Program, RowTag};
use sowrota::solve::relax::Relaxation;
use sowrota::solve::state::Ground;
use sowrota::solve::watch::Stop;

/// What the linear solver may be off, as a share of the cost.
const PRECISION: f64 = 2e-5;

/// Every column is in one part, and what no part has is only what carries stock from one day, or hired people from one week, to the next.
fn add_up(program: &Program, parts: &[Season]) {
    let mut columns: Vec<usize> = parts.iter().flat_map(|part| part.columns.clone()).collect();
    columns.sort();
    assert!(columns.into_iter().eq(0..program.columns.len()));
    let mut part_of = vec![0; program.columns.len()];
    for (number, part) in parts.iter().enumerate() {
        for (own, at) in part.program.columns.iter().zip(&part.columns) {
            assert_eq!(*own, program.columns[*at]);
            part_of[*at] = number;
        }
    }
    let mut across = 0;
    for row in &program.rows {
        if row
            .terms
            .iter()
            .any(|(at, _)| part_of[*at] != part_of[row.terms[0].0])
        {
            across += 1;
            let carries = matches!(
                row.tag,
                RowTag::Carry(..)
                    | RowTag::CarryClean(_)
                    | RowTag::CarryDirty(_)
                    | RowTag::Change(..)
            );
            assert!(carries, "{:?} goes across", row.tag);
        }
    }
    let inside: usize = parts.iter().map(|part| part.program.rows.len()).sum();
    assert_eq!(inside + across, program.rows.len());
}

/// What is proved of the relaxation of all parts together, and of the whole; `None` when the solver gives one of them up.
fn bounds(program: &Program, parts: &[Season]) -> Option<(f64, f64)> {
    let least = |program: &Program| lp::solve(program, &[]).and_then(|solved| solved.bound);
    let apart: Option<Vec<f64>> = parts.iter().map(|part| least(&part.program)).collect();
    Some((apart?.iter().sum(), least(program)?))
}

#[test]
fn seasons_of_the_demos_cost_as_much_apart_as_together() {
    for (name, many) in [
        ("village", 1),
        ("cooperative", 1),
        ("two-season", 2),
        ("three-years", 5),
    ] {
        let scenario = demo(name);
        let nursery = Nursery::new(&scenario);
        let ground = Ground::new(&nursery);
        let program = Relaxation::new(&ground).program;
        let apart = seasons(&ground, &program, &Stop::default());
        assert_eq!(apart.len(), many, "{name}");
        add_up(&program, &apart);
        if many == 2 {
            let (apart, whole) = bounds(&program, &apart).unwrap();
            assert!(
                (apart - whole).abs() < PRECISION * whole,
                "{name}: {apart} apart, {whole} together"
            );
        }
    }
}

#[test]
fn seasons_that_lack_what_others_lose_stay_together() {
    let (mut together, mut solved) = (0, 0);
    let mut dice = Dice::new(7);
    for _ in 0..7 {
        let mut scenario = demo("two-season");
        let leave = dice.between(0, 5);
        scenario.fields.retain(|_| dice.between(0, 9) >= leave);
        let stock = scenario.trays.stock;
        let mut many = |stock: i64| {
            scenario.trays.stock = stock;
            let nursery = Nursery::new(&scenario);
            let ground = Ground::new(&nursery);
            let program = Relaxation::new(&ground).program;
            let apart = seasons(&ground, &program, &Stop::default());
            add_up(&program, &apart);
            let bounds = (apart.len() > 1).then(|| bounds(&program, &apart));
            (apart.len(), bounds.flatten())
        };
        assert_eq!(many(stock).0, 2);
        // So few trays that the second season may lack those that the first has lost.
        let few = dice.between(40, 100);
        match many(stock * few / 100) {
            (2, Some((apart, whole))) => {
                solved += 1;
                assert!(
                    (apart - whole).abs() < PRECISION * whole,
                    "{few} %: {apart} apart, {whole} together"
                );
            }
            (number, _) => together += usize::from(number == 1),
        }
    }
    assert!(
        solved >= 2 && together >= 2,
        "{solved} apart, {together} together"
    );
}

/// A field that may be planted in either season, in windows months apart, belongs to both.
#[test]
fn a_field_with_windows_in_both_seasons_keeps_them_together() {
    let mut scenario = demo("two-season");
    let late = scenario
        .fields
        .iter()
        .max_by_key(|field| field.window[0].first)
        .unwrap();
    let late = late.window.clone();
    scenario.fields[0].window.extend(late);
    let nursery = Nursery::new(&scenario);
    let ground = Ground::new(&nursery);
    let program = Relaxation::new(&ground).program;
    assert_eq!(seasons(&ground, &program, &Stop::default()).len(), 1);
}
