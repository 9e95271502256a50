//! Large relaxations with few of their options: those that may be used at the prices of the moment.
//!
//! A lot has some seventy options, and the relaxation uses three or four of them. Once prices are known, only the best options of each lot are handed
//! to the solver; the prices that come back are held against all others, and those that would pay are let in. The bound counts every column, let in or
//! not, so that it holds at any time.
//!
//! Source: column generation, "sifting" as R. E. Bixby, J. W. Gregory, I. J. Lustig, R. E. Marsten and D. F. Shanno call it in "Very
//! large-scale linear programming: a case study in combining interior point and simplex methods", Operations Research 40 (1992), 885-897,
//! from memory.

use super::cuts::structure::Structure;
use super::lp::{self, LpSolution, Unsolved};
use super::program::{ColumnTag, Program, RowTag};
use super::watch::Stop;
use std::collections::BTreeMap;

/// Programs of fewer terms are solved whole: what is saved is lost again on solving more than once.
const LARGE: usize = 50_000;
/// Options of each lot that are let in first.
const OF_LOT: usize = 16;
/// What would still pay, as a share of the cost, that counts as nothing.
const NOTHING: f64 = 1e-5;
/// Least that a unit of a column must save to be let in, whole money.
const PAYS: f64 = 1e-6;
/// Times that the same program is solved at most until nothing more would pay.
const MOST_TIMES: usize = 4;

/// Which columns of a program the solver has.
#[derive(Clone, Debug, Default)]
pub struct Sieve {
    /// True for columns that are left out; empty when all are in.
    out: Vec<bool>,
    /// True when columns that would pay were left out of the last solution.
    lacks: bool,
}

impl Sieve {
    /// Leaves out all options but the best of each lot at these prices, and the best of each run in each place, so that every run can be priced.
    /// A small program stays whole, as does one that has been narrowed before.
    pub fn narrow(&mut self, program: &Program, structure: &Structure, prices: &[f64]) {
        if program.terms() < LARGE || !self.out.is_empty() {
            return;
        }
        let (_, reduced) = program.reduced_costs(prices);
        let is_option = |at: &usize| matches!(program.columns[*at].tag, ColumnTag::Grow(_));
        self.out = vec![false; program.columns.len()];
        let mut of_lots: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for at in (0..program.columns.len()).filter(is_option) {
            if let Some(lot) = structure.lot[at] {
                self.out[at] = true;
                of_lots.entry(lot).or_default().push(at);
            }
        }
        for own in of_lots.values_mut() {
            own.sort_by(|one, other| reduced[*one].total_cmp(&reduced[*other]));
            own.iter().take(OF_LOT).for_each(|at| self.out[*at] = false);
        }
        for row in &program.rows {
            if !matches!(
                row.tag,
                RowTag::Sown(..) | RowTag::Stacked(..) | RowTag::Seeded(_)
            ) {
                continue;
            }
            let own = || row.terms.iter().map(|(at, _)| *at).filter(is_option);
            if own().all(|at| self.out[at]) {
                let best = own().min_by(|one, other| reduced[*one].total_cmp(&reduced[*other]));
                best.into_iter().for_each(|at| self.out[at] = false);
            }
        }
    }

    /// Solves a program with some columns fixed, and lets in what would pay; again, if `exact`, until nothing of weight would.
    ///
    /// # Errors
    /// As [`lp::solve_until`].
    pub fn solve(
        &mut self,
        program: &Program,
        fixed: &[Option<f64>],
        exact: bool,
        stop: &Stop,
    ) -> Result<LpSolution, Unsolved> {
        let mut last: Option<LpSolution> = None;
        for _ in 0..if exact { MOST_TIMES } else { 1 } {
            let mut solution = match self.solve_once(program, fixed, stop) {
                Ok(solution) => solution,
                Err(unsolved) => {
                    let Some(mut last) = last else {
                        return Err(unsolved);
                    };
                    last.bound = higher(last.bound, unsolved.bound);
                    return Ok(last);
                }
            };
            solution.bound = higher(solution.bound, last.and_then(|last| last.bound));
            let paying = self.let_in(program, fixed, &solution.prices);
            self.lacks = paying > NOTHING * solution.cost.abs();
            last = Some(solution);
            if !self.lacks || stop.asked() {
                break;
            }
        }
        last.ok_or_else(Unsolved::default)
    }

    /// Solves with the columns that are in; with all, when nothing keeps the rows without the others.
    fn solve_once(
        &self,
        program: &Program,
        fixed: &[Option<f64>],
        stop: &Stop,
    ) -> Result<LpSolution, Unsolved> {
        match lp::solve_some(program, fixed, &self.out, stop) {
            Err(unsolved) if unsolved.infeasible && self.any_out() => {
                lp::solve_some(program, fixed, &[], stop)
            }
            solved => solved,
        }
    }

    /// True when some column is left out.
    pub fn any_out(&self) -> bool {
        self.out.iter().any(|out| *out)
    }

    /// True when columns that would have paid were left out of the last solution.
    pub fn lacks(&self) -> bool {
        self.lacks
    }

    /// Lets in what would pay at these prices; returns by how much at most.
    fn let_in(&mut self, program: &Program, fixed: &[Option<f64>], prices: &[f64]) -> f64 {
        if !self.any_out() {
            return 0.0;
        }
        let (_, reduced) = program.reduced_costs(prices);
        let mut paying = 0.0;
        for (at, out) in self.out.iter_mut().enumerate() {
            let is_fixed = fixed.get(at).copied().flatten().is_some();
            if *out && !is_fixed && reduced[at] < -PAYS {
                *out = false;
                paying -= reduced[at] * program.columns[at].upper;
            }
        }
        paying
    }
}

/// The higher of two bounds.
pub(super) fn higher(one: Option<f64>, other: Option<f64>) -> Option<f64> {
    match (one, other) {
        (Some(one), Some(other)) => Some(one.max(other)),
        (one, other) => one.or(other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nursery::{LotId, OptionId};
    use crate::solve::program::Sense;

    /// 900 lots with 30 options each on as many days, dearer from day to day; ten lots have the same first day, which has room for eight, so that most take a later one.
    fn crowded() -> Program {
        let mut program = Program::default();
        let mut days = vec![Vec::new(); 120];
        for lot in 0..900 {
            let mut own = Vec::new();
            for later in 0..30 {
                let tag = ColumnTag::Grow(OptionId(30 * lot + later));
                let cost = (later * later) as f64 / 10.0 + (lot % 7) as f64 / 100.0;
                let column = program.column(tag, 1.0, false, cost);
                own.push((column, 1.0));
                days[lot / 10 + later].push((column, 1.0 + (lot % 3) as f64 / 10.0));
            }
            own.push((
                program.column(ColumnTag::Short(LotId(lot)), 1.0, false, 500.0),
                1.0,
            ));
            program.row(RowTag::Whole(LotId(lot)), own, Sense::Equal, 1.0);
        }
        for (day, terms) in days.into_iter().enumerate() {
            program.row(RowTag::Limit(0, day), terms, Sense::AtMost, 9.0);
        }
        program
    }

    #[test]
    fn few_options_prove_what_all_prove() {
        let program = crowded();
        assert!(program.terms() >= LARGE);
        let whole = lp::solve(&program, &[]).unwrap();
        let structure = Structure::new(&program);
        let stop = Stop::default();
        // At the right prices, and at none: then the first options of each lot seem best, and all others are still to be found.
        for prices in [whole.prices.as_slice(), &[]] {
            let mut sieve = Sieve::default();
            sieve.narrow(&program, &structure, prices);
            let first = sieve.out.iter().filter(|out| **out).count();
            assert!(first > 900 * 10, "{first} left out");
            let solved = sieve.solve(&program, &[], true, &stop).unwrap();
            assert!(!sieve.lacks());
            let (bound, whole) = (solved.bound.unwrap(), whole.bound.unwrap());
            assert!((bound - whole).abs() < 1e-4 * whole, "{bound}, {whole}");
            assert!(solved.cost > bound - 1e-4 * whole);
        }
    }

    #[test]
    fn what_it_proves_with_few_is_true_of_all() {
        let program = crowded();
        let whole = lp::solve(&program, &[]).unwrap().cost;
        let mut sieve = Sieve::default();
        sieve.narrow(&program, &Structure::new(&program), &[]);
        let once = sieve.solve(&program, &[], false, &Stop::default()).unwrap();
        assert!(sieve.lacks());
        assert!(once.bound.unwrap() <= whole + 1e-4 * whole);
    }
}
