//! The relaxation solved, cut and rounded: a lower bound, and one more plan to start from.

use super::bound::{tighten, usual_rounds};
use super::branch::{self, Effort};
use super::dive;
use super::polish::Choice;
use super::program::{ColumnTag, Program};
use super::relax::Relaxation;
use super::state::Ground;
use super::watch::Stop;
use crate::calendar::Day;
use crate::units::Money;
use std::collections::BTreeMap;

/// Larger programs take many minutes: they are solved only when more than one relaxation may be.
const MOST_TERMS: usize = 1_500_000;

/// A thousandth, less what floats may be off.
const NEARLY_ONE: f64 = 0.9;

/// What the relaxation gave.
#[derive(Clone, Debug, Default)]
pub struct Relaxed {
    /// Proved lower bound, thousandths.
    pub bound: Option<i64>,
    /// Cost and decisions of the rounded relaxation, when they break nothing.
    pub dive: Option<(i64, Choice)>,
    /// Columns, rows and terms of the relaxation, without cuts.
    pub size: Option<(usize, usize, usize)>,
    /// The program with the cuts found so far.
    pub program: Program,
}

/// Solves the relaxation (not at all if `relaxations` is 0), cuts it and rounds it, until `stop` is asked.
pub fn relax_and_dive(ground: &Ground<'_>, relaxations: u32, stop: &Stop) -> Relaxed {
    if relaxations == 0 || stop.asked() || ground.nursery.options.is_empty() {
        return Relaxed::default();
    }
    let mut relaxation = Relaxation::new(ground);
    let program = &mut relaxation.program;
    let terms = program.terms();
    let size = Some((program.columns.len(), program.rows.len(), terms));
    if relaxations == 1 && terms > MOST_TERMS {
        return Relaxed {
            size,
            ..Relaxed::default()
        };
    }
    let rounding = rounding(ground, program);
    let rounds = usual_rounds(program);
    let tightened = tighten(program, &[], rounds, stop);
    let solved = tightened.solution.is_some();
    let bound = tightened.bound.map(|bound| thousandths(bound, rounding));
    // What a solver that was stopped half way proves may be nothing at all.
    let bound = bound.filter(|bound| solved || *bound > 0);
    let dived = tightened.solution.filter(|_| !stop.asked()).map(|root| {
        let mut dived = dive::dive(ground, &relaxation, &root);
        let sound = dived.beyond() == 0;
        sound.then(|| (dived.objective(), dived.choice().to_vec()))
    });
    Relaxed {
        bound,
        dive: dived.flatten(),
        size,
        program: relaxation.program,
    }
}

/// Whole thousandths of a bound in money, rounded down, less what a plan may round off.
fn thousandths(bound: f64, rounding: i64) -> i64 {
    (libm::floor(bound * 1_000.0) as i64)
        .saturating_sub(rounding)
        .max(0)
}

/// What a plan may cost less than its point in the program, thousandths: half of one for each slot on which time is bought at a price that no whole
/// number of minutes makes even, and one for the shortage.
fn rounding(ground: &Ground<'_>, program: &Program) -> i64 {
    let uneven = |tag: &ColumnTag| match *tag {
        ColumnTag::Bought(resource, day) => {
            let slot = resource * ground.nursery.days + day;
            ground.slots.price_per_h[slot] % 60 != 0
        }
        _ => false,
    };
    let bought = program.columns.iter().filter(|column| uneven(&column.tag));
    1 + bought.count().div_ceil(2) as i64
}

/// A better lower bound in thousandths, no higher than `best_cost`, the cost of a plan that is there: further rounds of cuts, columns taken
/// out that no cheaper plan uses, and branching on numbers of runs, as far as `effort` goes or until `stop` is asked. `None` when the
/// relaxation gave no bound either. `relaxed` keeps the cuts.
pub fn lift(
    ground: &Ground<'_>,
    relaxed: &mut Relaxed,
    best_cost: i64,
    effort: Effort,
    stop: &Stop,
) -> Option<i64> {
    let known = relaxed.bound?;
    if known >= best_cost || relaxed.program.columns.is_empty() {
        return Some(known.min(best_cost));
    }
    let money = |thousandths: f64| thousandths / Money::ONE as f64;
    let families = families(ground, &relaxed.program);
    let rounding = rounding(ground, &relaxed.program);
    let program = &mut relaxed.program;
    // Costs are whole thousandths: where the program's is more than that of all but the last, no plan is cheaper.
    let closed = money((best_cost + rounding) as f64 - NEARLY_ONE);
    let known_money = money(known as f64);
    let lifted = branch::lift(program, &families, known_money, closed, effort, stop);
    let bound = if lifted >= closed {
        best_cost
    } else {
        thousandths(lifted, rounding).clamp(known, best_cost)
    };
    relaxed.bound = Some(bound);
    Some(bound)
}

/// Columns of runs by line and kind, by sow day.
fn families(ground: &Ground<'_>, program: &Program) -> Vec<branch::Family> {
    // By line and kind: sow days and columns.
    type ByDay = Vec<(Day, usize)>;
    let mut families: BTreeMap<(Option<usize>, usize), ByDay> = BTreeMap::new();
    for (at, column) in program.columns.iter().enumerate() {
        if let ColumnTag::Run(run) = column.tag {
            let run = ground.nursery.run(run);
            let family = families.entry((run.line(), run.kind)).or_default();
            family.push((run.sow, at));
        }
    }
    let by_day = |mut family: Vec<(Day, usize)>| {
        family.sort();
        family.into_iter().map(|(_, at)| at).collect()
    };
    families.into_values().map(by_day).collect()
}
