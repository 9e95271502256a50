//! The relaxation solved, cut and rounded: a lower bound, and one more plan to start from.

use super::bound::{tighten, usual_rounds};
use super::dive;
use super::polish::Choice;
use super::program::Program;
use super::relax::Relaxation;
use super::state::Ground;
use super::watch::Stop;

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

/// Solves the relaxation `relaxations` times (0: not at all) and rounds it, until `stop` is asked.
pub fn relax_and_dive(ground: &Ground<'_>, relaxations: u32, stop: &Stop) -> Relaxed {
    if relaxations == 0 || stop.asked() || ground.nursery.options.is_empty() {
        return Relaxed::default();
    }
    let mut relaxation = Relaxation::new(ground);
    let program = &mut relaxation.program;
    let terms = program.rows.iter().map(|row| row.terms.len()).sum();
    let size = Some((program.columns.len(), program.rows.len(), terms));
    let rounds = usual_rounds(program);
    let tightened = tighten(program, &[], rounds, stop);
    let dived = tightened.solution.filter(|_| !stop.asked()).map(|root| {
        let mut dived = dive::dive(ground, &relaxation, &root, relaxations - 1);
        let sound = dived.beyond() == 0;
        sound.then(|| (dived.objective(), dived.choice().to_vec()))
    });
    Relaxed {
        bound: tightened.bound.map(thousandths),
        dive: dived.flatten(),
        size,
        program: relaxation.program,
    }
}

/// Whole thousandths of a bound in money, rounded down; one less for the rounding of bought minutes.
pub(super) fn thousandths(bound: f64) -> i64 {
    ((libm::floor(bound * 1_000.0) as i64) - 1).max(0)
}
