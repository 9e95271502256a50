//! The adapter: the only file that speaks to a solver of linear programs.
//!
//! A solver's own status and objective are not trusted: a solution counts only when its values are finite and our own residuals hold; what
//! is rounded from it is counted by the books, and the bound is our own sum, which holds for any prices that the solver gives, also
//! when it was stopped half way. The program goes through `good_lp`; the solver behind it is run here, since only so it can be
//! stopped, and since its prices are lost otherwise when it ends early.

use super::program::{Program, Row, Sense};
use super::watch::Stop;
use clarabel::solver::{IPSolver, SolverStatus};
use good_lp::{Expression, ProblemVariables, SolverModel, Variable, constraint, variable};

/// Largest violation of a row, as a share of its largest term, that counts as solved. Where trays are short their price is so much higher than all else that the solver
/// is content when small rows are broken by some thousandths. Cuts are found and lots are rounded from such a point as well; no bound depends on it.
const TOLERANCE: f64 = 1e-2;
/// What the solver is asked for: residuals and gap, relative. Less is quicker by a step or two only, and costs some of the bound.
const PRECISION: f64 = 1e-7;
/// The same for programs of more than so many terms, where it often cannot reach the other.
const LARGE: usize = 300_000;
const PRECISION_OF_LARGE: f64 = 1e-6;
/// Steps of the solver at most; it needs 15 to 60.
const MOST_STEPS: u32 = 150;
/// A proof that nothing is feasible is scaled by so much to become prices.
const PROOF_SCALE: f64 = 1e6;

/// The unit of a column: three quarters of the way, in powers, from 1 to its upper bound. With all of the way the last steps lose their precision, with half
/// of it there are half as many steps again.
fn nearly(upper: f64) -> f64 {
    let root = libm::sqrt(upper.max(1.0));
    root * libm::sqrt(root)
}

/// What came of a relaxation.
#[derive(Clone, Debug)]
pub struct LpSolution {
    /// A value for each column; only when solved.
    pub x: Vec<f64>,
    /// Cost of `x`, whole money.
    pub cost: f64,
    /// A proved lower bound on the program's cost with the fixed columns as they are, whole money.
    pub bound: Option<f64>,
    /// Price of each row: change of cost by unit of its right-hand side. Any signs.
    pub prices: Vec<f64>,
}

/// Solves `program` with some columns fixed (`fixed[j]` is a value, or `None`). `None` when the solver fails or its answer does not hold.
pub fn solve(program: &Program, fixed: &[Option<f64>]) -> Option<LpSolution> {
    solve_until(program, fixed, &Stop::default()).ok()
}

/// What there is of a relaxation that was not solved.
#[derive(Clone, Debug, Default)]
pub struct Unsolved {
    /// A proved lower bound on the program's cost with the fixed columns as they are, whole money; large when nothing is feasible.
    pub bound: Option<f64>,
    /// True when it was stopped from outside.
    pub stopped: bool,
    /// True when the solver says that no point keeps all rows.
    pub infeasible: bool,
}

/// As [`solve`], ended soon after `stop` is asked.
///
/// # Errors
/// When the solver fails, is stopped, or its answer does not hold: what is proved all the same.
pub fn solve_until(
    program: &Program,
    fixed: &[Option<f64>],
    stop: &Stop,
) -> Result<LpSolution, Unsolved> {
    solve_some(program, fixed, &[], stop)
}

/// As [`solve_until`], without the columns that are `out` (none, if it is empty): these stay at their lower bound. What is proved counts them, and
/// is true of the program with all.
///
/// # Errors
/// As [`solve_until`].
pub fn solve_some(
    program: &Program,
    fixed: &[Option<f64>],
    out: &[bool],
    stop: &Stop,
) -> Result<LpSolution, Unsolved> {
    // Setting up takes long, too.
    if stop.asked() {
        return Err(Unsolved {
            stopped: true,
            ..Unsolved::default()
        });
    }
    // What a column is that the solver does not have.
    let given = |at: usize| match fixed.get(at).copied().flatten() {
        None if out.get(at) == Some(&true) => Some(program.columns[at].lower),
        fixed => fixed,
    };
    // Every column is handed on nearly as a share of its upper bound, every row so that its largest coefficient is 1: else what comes to
    // thousands (clean trays) drowns what comes to ones, and the solver takes twice the steps.
    let unit: Vec<f64> = program
        .columns
        .iter()
        .map(|column| nearly(column.upper))
        .collect();
    let mut variables = ProblemVariables::new();
    let mut bounds = 0;
    let free: Vec<Option<Variable>> = program
        .columns
        .iter()
        .enumerate()
        .map(|(at, column)| match given(at) {
            Some(_) => None,
            None if column.upper_matters => {
                bounds += 2;
                let (lower, upper) = (column.lower / unit[at], column.upper / unit[at]);
                Some(variables.add(variable().min(lower).max(upper)))
            }
            None => {
                bounds += 1;
                Some(variables.add(variable().min(column.lower / unit[at])))
            }
        })
        .collect();
    if bounds == 0 {
        return Err(Unsolved::default());
    }
    let value = |at: usize| given(at).unwrap_or(0.0);
    let objective: Expression = free
        .iter()
        .enumerate()
        .filter_map(|(at, variable)| {
            variable.map(|variable| variable * (program.columns[at].cost * unit[at]))
        })
        .sum();
    let mut model = variables.minimise(objective).using(good_lp::clarabel);
    let precision = if program.terms() > LARGE {
        PRECISION_OF_LARGE
    } else {
        PRECISION
    };
    let settings = model.settings();
    settings.tol_feas(precision).tol_gap_rel(precision);
    settings.tol_gap_abs(precision).max_iter(MOST_STEPS);
    // Rows of one sense stand together, so that they make one cone. The solver writes the bounds of columns first.
    let mut order: Vec<usize> = (0..program.rows.len()).collect();
    order.sort_by_key(|row| program.rows[*row].sense == Sense::Equal);
    let mut places = vec![None; program.rows.len()];
    let mut next = bounds;
    for at in order {
        let row = &program.rows[at];
        let mut sum = Expression::with_capacity(row.terms.len());
        let mut rhs = row.rhs;
        let mut any = false;
        let free_terms = row.terms.iter().filter(|(at, _)| free[*at].is_some());
        let most = free_terms.map(|(at, c)| (c * unit[*at]).abs());
        let length = most.fold(0.0, f64::max).max(1e-12);
        for (at, coefficient) in &row.terms {
            match free[*at] {
                Some(variable) => {
                    sum.add_mul(coefficient * unit[*at] / length, variable);
                    any = true;
                }
                None => rhs -= coefficient * value(*at),
            }
        }
        rhs /= length;
        if any {
            model.add_constraint(match row.sense {
                Sense::AtMost => constraint!(sum <= rhs),
                Sense::AtLeast => constraint!(sum >= rhs),
                Sense::Equal => constraint!(sum == rhs),
            });
            places[at] = Some((next, length));
            next += 1;
        }
    }
    let mut solver = model.try_into_solver().map_err(|_| Unsolved::default())?;
    let asked = stop.clone();
    solver.set_termination_callback(move |_| asked.asked());
    solver.solve();
    let solution = &solver.solution;
    let infeasible = matches!(
        solution.status,
        SolverStatus::PrimalInfeasible | SolverStatus::AlmostPrimalInfeasible
    );
    let factor = if infeasible { PROOF_SCALE } else { 1.0 };
    // A row `at least` is handed on as `at most` with the signs turned.
    let price = |(row, place): (&Row, &Option<(usize, f64)>)| match (row.sense, place) {
        (_, None) => 0.0,
        (Sense::AtLeast, Some((place, length))) => factor * solution.z[*place] / length,
        (_, Some((place, length))) => -factor * solution.z[*place] / length,
    };
    let prices: Vec<f64> = program.rows.iter().zip(&places).map(price).collect();
    let bound = program.safe_bound_with(&prices, fixed);
    let unsolved = Unsolved {
        bound,
        stopped: solution.status == SolverStatus::CallbackTerminated,
        infeasible,
    };
    if !matches!(
        solution.status,
        SolverStatus::Solved | SolverStatus::AlmostSolved
    ) {
        return Err(unsolved);
    }
    let mut values = solution.x.iter();
    let x: Vec<f64> = free
        .iter()
        .zip(&program.columns)
        .enumerate()
        .map(|(at, (variable, column))| match variable {
            Some(_) => {
                let value = values.next().copied().unwrap_or(f64::NAN) * unit[at];
                value.clamp(column.lower, column.upper)
            }
            None => value(at),
        })
        .collect();
    if !x.iter().all(|value| value.is_finite()) || program.worst_violation(&x).0 > TOLERANCE {
        return Err(unsolved);
    }
    Ok(LpSolution {
        cost: program.cost(&x),
        x,
        bound,
        prices,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::program::{ColumnTag, RowTag};

    /// By hand: minimise 2a + 3b, a + b ≥ 4, a ≤ 3: 9 at (3, 1); one more of the first row costs 3, one more of the second saves 1.
    fn two_columns() -> Program {
        let mut program = Program::default();
        let a = program.column(ColumnTag::Clean(0), 10.0, false, 2.0);
        let b = program.column(ColumnTag::Clean(1), 10.0, false, 3.0);
        program.row(
            RowTag::CarryClean(0),
            vec![(a, 1.0), (b, 1.0)],
            Sense::AtLeast,
            4.0,
        );
        program.row(RowTag::CarryClean(1), vec![(a, 1.0)], Sense::AtMost, 3.0);
        program
    }

    #[test]
    fn prices_have_the_sign_of_a_change_of_cost() {
        let program = two_columns();
        let solved = solve(&program, &[]).expect("solves");
        assert!((solved.cost - 9.0).abs() < 1e-5, "{}", solved.cost);
        assert!((solved.prices[0] - 3.0).abs() < 1e-4, "{:?}", solved.prices);
        assert!((solved.prices[1] + 1.0).abs() < 1e-4, "{:?}", solved.prices);
        let bound = solved.bound.expect("bounded");
        assert!(bound <= 9.0 + 1e-9 && bound > 9.0 - 1e-4, "{bound}");
        let fixed = solve(&program, &[Some(2.0), None]).expect("solves");
        assert!((fixed.cost - 10.0).abs() < 1e-5);
        let bound = fixed.bound.expect("bounded");
        assert!(bound <= 10.0 + 1e-9 && bound > 10.0 - 1e-4, "{bound}");
    }

    #[test]
    fn an_equality_has_the_sign_too() {
        // By hand: minimise 5a, 2a = 4: one more on the right costs 2.5.
        let mut program = Program::default();
        let a = program.column(ColumnTag::Clean(0), 10.0, false, 5.0);
        program.row(RowTag::CarryClean(0), vec![(a, 2.0)], Sense::Equal, 4.0);
        let solved = solve(&program, &[]).expect("solves");
        assert!((solved.prices[0] - 2.5).abs() < 1e-4, "{:?}", solved.prices);
        assert!((solved.bound.unwrap() - 10.0).abs() < 1e-4);
    }

    #[test]
    fn what_cannot_be_solved_gives_nothing() {
        let mut program = Program::default();
        let a = program.column(ColumnTag::Clean(0), 10.0, false, 1.0);
        program.row(RowTag::CarryClean(0), vec![(a, 1.0)], Sense::AtLeast, 4.0);
        program.row(RowTag::CarryClean(1), vec![(a, 1.0)], Sense::AtMost, 3.0);
        assert!(solve(&program, &[]).is_none());
        // That nothing is feasible is proved by prices that give any bound.
        let proved = solve_until(&program, &[], &Stop::default()).unwrap_err();
        assert!(proved.bound.unwrap() > 1e5, "{proved:?}");
        assert!(solve(&Program::default(), &[]).is_none());
    }

    #[test]
    fn a_stopped_solver_says_so_and_proves_nothing() {
        let stop = Stop::default();
        stop.ask();
        let unsolved = solve_until(&two_columns(), &[], &stop).unwrap_err();
        assert!(unsolved.stopped);
        assert_eq!(unsolved.bound, None);
    }
}
