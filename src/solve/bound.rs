//! What is proved: the relaxation solved, cut, and solved again, by a budget counted in rounds.

use super::cuts::{self, structure::Structure};
use super::lp::LpSolution;
use super::program::Program;
use super::sieve::{Sieve, higher};
use super::watch::Stop;

/// A program of more terms than this has no rounds of cuts at the usual effort, one of more than half as many one, of a quarter two.
const USUAL_TERMS: usize = 1_000_000;
/// Rounds of cuts at most: later ones give little.
const MOST_ROUNDS: usize = 6;
/// A round that lifts the bound by less than this share is the last.
const LEAST_LIFT: f64 = 5e-4;

/// Rounds of cuts at the usual effort, by the size of the program.
pub fn usual_rounds(program: &Program) -> usize {
    let halved = (USUAL_TERMS / program.terms().max(1)).checked_ilog2();
    halved
        .map_or(0, |halved| halved as usize + 1)
        .min(MOST_ROUNDS)
}

/// What rounds of cuts came to.
#[derive(Clone, Debug, Default)]
pub struct Tightened {
    /// The last solution that holds, of the program with its cuts.
    pub solution: Option<LpSolution>,
    /// The best lower bound that was proved on the way, whole money.
    pub bound: Option<f64>,
    /// Rounds in which cuts were found.
    pub rounds: usize,
}

/// Solves `program`, with some columns fixed, and adds cuts to it for so many rounds. Its cuts that hold nothing go again. What is proved
/// before `stop` is asked, or before the solver fails, counts. `sieve` says which columns the solver has; it is narrowed once prices are known.
pub fn tighten(
    program: &mut Program,
    fixed: &[Option<f64>],
    rounds: usize,
    sieve: &mut Sieve,
    stop: &Stop,
) -> Tightened {
    let mut tightened = Tightened::default();
    let mut structure = None;
    // The cost before, where no column was wanting.
    let mut before: Option<f64> = None;
    for round in 0..=rounds {
        let solution = match sieve.solve(program, fixed, round == rounds, stop) {
            Ok(solution) => solution,
            Err(unsolved) => {
                tightened.bound = higher(tightened.bound, unsolved.bound);
                // Rows have changed since these were prices of them.
                if let Some(before) = &mut tightened.solution {
                    before.prices.clear();
                }
                return tightened;
            }
        };
        tightened.bound = higher(tightened.bound, solution.bound);
        let lift = before.map(|before| solution.cost - before);
        before = (!sieve.lacks()).then_some(solution.cost);
        let little = lift.zip(before);
        let little = little.is_some_and(|(lift, cost)| lift < LEAST_LIFT * cost.abs());
        let last = round == rounds || little || stop.asked();
        if !last {
            let structure = structure.get_or_insert_with(|| Structure::new(program));
            let found = cuts::separate(program, structure, &solution.x);
            if !found.is_empty() {
                sieve.narrow(program, structure, &solution.prices);
                cuts::drop_loose(program, &solution.x);
                cuts::add(program, found);
                tightened.rounds += 1;
                tightened.solution = Some(solution);
                continue;
            }
        }
        tightened.solution = Some(solution);
        if round < rounds && sieve.lacks() {
            tightened.settle(program, fixed, sieve, stop);
        }
        break;
    }
    tightened
}

impl Tightened {
    /// Solves the same program once more, with the columns that were wanting.
    fn settle(&mut self, program: &Program, fixed: &[Option<f64>], sieve: &mut Sieve, stop: &Stop) {
        match sieve.solve(program, fixed, true, stop) {
            Ok(solution) => {
                self.bound = higher(self.bound, solution.bound);
                self.solution = Some(solution);
            }
            Err(unsolved) => self.bound = higher(self.bound, unsolved.bound),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nursery::{LotId, OptionId, RunId};
    use crate::solve::program::{ColumnTag, RowTag, Sense};

    /// By hand: two runs of one kind, each at 10; two lots of 6 trays each, a day holds 8 trays, overtime costs 1 a tray; a lot not grown
    /// costs 100. Whole: both in one run 10 + 4 of overtime, or two runs 20: 14. The relaxation splits each lot in halves: 10.
    fn one_line() -> Program {
        let mut program = Program::default();
        let grow: Vec<usize> = (0..4)
            .map(|at| program.column(ColumnTag::Grow(OptionId(at)), 1.0, false, 0.0))
            .collect();
        let short: Vec<usize> = (0..2)
            .map(|lot| program.column(ColumnTag::Short(LotId(lot)), 1.0, false, 100.0))
            .collect();
        let run: Vec<usize> = (0..2)
            .map(|run| program.column(ColumnTag::Run(RunId(run)), 1.0, false, 10.0))
            .collect();
        for lot in 0..2 {
            let own = [grow[2 * lot], grow[2 * lot + 1], short[lot]];
            let terms = own.iter().map(|at| (*at, 1.0)).collect();
            program.row(RowTag::Whole(LotId(lot)), terms, Sense::Equal, 1.0);
            for day in 0..2 {
                let terms = vec![(grow[2 * lot + day], 1.0), (run[day], -1.0)];
                let tag = RowTag::Link(LotId(lot), RunId(day));
                program.row(tag, terms, Sense::AtMost, 0.0);
            }
        }
        for day in 0..2 {
            let bought = program.column(ColumnTag::Bought(0, day), 20.0, true, 1.0);
            let terms = vec![(grow[day], 6.0), (grow[2 + day], 6.0), (bought, -1.0)];
            program.row(RowTag::Limit(0, day), terms, Sense::AtMost, 8.0);
        }
        program
    }

    #[test]
    fn cuts_close_the_gap_of_two_runs() {
        let mut program = one_line();
        let relaxed = tighten(
            &mut program,
            &[],
            0,
            &mut Sieve::default(),
            &Stop::default(),
        );
        assert!((relaxed.bound.unwrap() - 10.0).abs() < 1e-2, "{relaxed:?}");
        let cut = tighten(
            &mut program,
            &[],
            4,
            &mut Sieve::default(),
            &Stop::default(),
        );
        let bound = cut.bound.unwrap();
        assert!(bound > 13.9 && bound <= 14.0 + 1e-6, "{bound}");
        assert!(cut.rounds >= 1);
    }

    #[test]
    fn larger_programs_have_fewer_rounds() {
        let mut program = one_line();
        assert_eq!(usual_rounds(&program), MOST_ROUNDS);
        let terms = vec![(0, 1.0); USUAL_TERMS / 2];
        program.row(RowTag::Limit(0, 0), terms, Sense::AtMost, 1.0);
        assert_eq!(usual_rounds(&program), 1);
        program
            .rows
            .push(program.rows[program.rows.len() - 1].clone());
        assert_eq!(usual_rounds(&program), 0);
    }
}
