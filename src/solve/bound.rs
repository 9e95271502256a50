//! What is proved: the relaxation solved, cut, and solved again, by a budget counted in rounds.

use super::cuts::{self, structure::Structure};
use super::lp::{self, LpSolution};
use super::program::Program;
use super::watch::Stop;

/// A program of so many terms has no rounds of cuts at the usual effort, one of half as many one, of a quarter two.
const USUAL_TERMS: usize = 700_000;
/// Rounds of cuts at most: later ones give little.
const MOST_ROUNDS: usize = 6;
/// A round that lifts the bound by less than this share is the last.
const LEAST_LIFT: f64 = 5e-4;

/// Rounds of cuts at the usual effort, by the size of the program.
pub fn usual_rounds(program: &Program) -> usize {
    let halved = (USUAL_TERMS / program.terms().max(1))
        .checked_ilog2()
        .unwrap_or(0);
    (halved as usize).min(MOST_ROUNDS)
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

impl Tightened {
    fn prove(&mut self, bound: Option<f64>) {
        self.bound = match (self.bound, bound) {
            (Some(one), Some(other)) => Some(one.max(other)),
            (one, other) => one.or(other),
        };
    }
}

/// Solves `program`, with some columns fixed, and adds cuts to it for so many rounds. Its cuts that hold nothing go again. What is proved
/// before `stop` is asked, or before the solver fails, counts.
pub fn tighten(
    program: &mut Program,
    fixed: &[Option<f64>],
    rounds: usize,
    stop: &Stop,
) -> Tightened {
    let mut tightened = Tightened::default();
    let mut structure = None;
    for round in 0..=rounds {
        let before = tightened.bound;
        let solution = match lp::solve_until(program, fixed, stop) {
            Ok(solution) => solution,
            Err(unsolved) => {
                tightened.prove(unsolved.bound);
                // Rows have changed since these were prices of them.
                if let Some(before) = &mut tightened.solution {
                    before.prices.clear();
                }
                return tightened;
            }
        };
        tightened.prove(solution.bound);
        let lift = tightened.bound.zip(before).map(|(now, then)| now - then);
        let least = LEAST_LIFT * before.unwrap_or(0.0).abs();
        let last = round == rounds || lift.is_some_and(|lift| lift < least) || stop.asked();
        if !last {
            let structure = structure.get_or_insert_with(|| Structure::new(program));
            let found = cuts::separate(program, structure, &solution.x);
            if found.is_empty() {
                tightened.solution = Some(solution);
                return tightened;
            }
            cuts::drop_loose(program, &solution.x);
            cuts::add(program, found);
            tightened.rounds += 1;
        }
        tightened.solution = Some(solution);
        if last {
            break;
        }
    }
    tightened
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
        let relaxed = tighten(&mut program, &[], 0, &Stop::default());
        assert!((relaxed.bound.unwrap() - 10.0).abs() < 1e-2, "{relaxed:?}");
        let cut = tighten(&mut program, &[], 4, &Stop::default());
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
        assert_eq!(usual_rounds(&program), 0);
    }
}
