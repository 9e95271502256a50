//! The relaxation solved and rounded: a lower bound, and one more plan to start from.

use super::dive;
use super::lp;
use super::polish::Choice;
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
    /// Columns, rows and terms.
    pub size: Option<(usize, usize, usize)>,
}

/// Solves the relaxation `relaxations` times (0: not at all) and rounds it, until `stop` is asked.
pub fn relax_and_dive(ground: &Ground<'_>, relaxations: u32, stop: &Stop) -> Relaxed {
    if relaxations == 0 || stop.asked() || ground.nursery.options.is_empty() {
        return Relaxed::default();
    }
    let relaxation = Relaxation::new(ground);
    let program = &relaxation.program;
    let terms = program.rows.iter().map(|row| row.terms.len()).sum();
    let size = Some((program.columns.len(), program.rows.len(), terms));
    let Some(root) = lp::solve(program, &[]) else {
        return Relaxed {
            size,
            ..Relaxed::default()
        };
    };
    // Whole thousandths, rounded down; one less for the rounding of bought minutes.
    let bound = |bound: f64| ((libm::floor(bound * 1_000.0) as i64) - 1).max(0);
    let mut dived = dive::dive(ground, &relaxation, &root, relaxations - 1);
    let sound = dived.beyond() == 0;
    Relaxed {
        bound: root.bound.map(bound),
        dive: sound.then(|| (dived.objective(), dived.choice().to_vec())),
        size,
    }
}
