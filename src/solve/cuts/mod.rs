//! Inequalities that every plan keeps and the relaxation does not: what is proved rises.
//!
//! [`structure`] reads from the program what belongs to what: options to lots and runs, what is held to what began it. [`mixed`] turns a
//! limit that is nearly full into mixed rows, and [`mir`] rounds these. Only rows of the program and the wholeness of its columns are
//! used, so that a new rule brings its cuts along.

pub mod mir;
pub mod mixed;
pub mod structure;

use super::program::{self, Program, RowTag, Sense};
use structure::Structure;

/// Cuts added in a round at most.
const MOST_A_ROUND: usize = 400;
/// Two cuts whose directions agree more than this are one.
const PARALLEL: f64 = 0.95;

/// A cut: Σ terms ≤ rhs.
#[derive(Clone, Debug)]
pub struct CutRow {
    /// Columns, ascending, with coefficients.
    pub terms: Vec<(usize, f64)>,
    /// Right-hand side.
    pub rhs: f64,
    /// By how much the point at which it was found breaks it, over the length of its terms.
    pub violation: f64,
}

/// Cuts that `x` breaks, the most broken first, without near repeats.
pub fn separate(program: &Program, structure: &Structure, x: &[f64]) -> Vec<CutRow> {
    let upper = |column: usize| program.columns[column].upper;
    let mut found: Vec<CutRow> = Vec::new();
    for mixed in mixed::rows(program, structure, x) {
        found.extend(mir::round(&mixed, x, &upper));
    }
    found.sort_by(|one, other| other.violation.total_cmp(&one.violation));
    let mut kept: Vec<CutRow> = Vec::new();
    let mut dense = vec![0.0; program.columns.len()];
    for cut in found {
        if kept.len() >= MOST_A_ROUND {
            break;
        }
        cut.terms.iter().for_each(|(at, c)| dense[*at] = *c);
        let near = kept.iter().any(|other| {
            let both: f64 = other.terms.iter().map(|(at, c)| c * dense[*at]).sum();
            both > PARALLEL * length(&cut.terms) * length(&other.terms)
        });
        cut.terms.iter().for_each(|(at, _)| dense[*at] = 0.0);
        if !near {
            kept.push(cut);
        }
    }
    kept
}

/// Adds cuts as rows, numbered on from those that are there.
pub fn add(program: &mut Program, cuts: Vec<CutRow>) {
    let last = program.rows.iter().rev().find_map(|row| match row.tag {
        RowTag::Cut(number) => Some(number + 1),
        _ => None,
    });
    for (number, cut) in (last.unwrap_or(0)..).zip(cuts) {
        program.row(RowTag::Cut(number), cut.terms, Sense::AtMost, cut.rhs);
    }
}

/// Takes out the cuts that do not hold the point `x` in place.
pub fn drop_loose(program: &mut Program, x: &[f64]) {
    program.rows.retain(|row| {
        let left: f64 = row.terms.iter().map(|(at, c)| c * x[*at]).sum();
        !matches!(row.tag, RowTag::Cut(_)) || left > row.rhs - 1e-3
    });
}

fn length(terms: &[(usize, f64)]) -> f64 {
    libm::sqrt(terms.iter().map(|(_, c)| c * c).sum::<f64>())
}

/// Terms on the same column become one; columns ascending; what is nothing goes.
pub(super) fn collected(terms: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
    let mut terms = program::collected(terms);
    terms.retain(|(_, coefficient)| *coefficient != 0.0);
    terms
}
