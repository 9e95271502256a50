//! The adapter: the only file that speaks to a solver of linear programs.
//!
//! A solver's own status and objective are not trusted: a solution counts only when its values are finite and our own residuals hold; what
//! is rounded from it is counted by the books, and the bound is our own sum, which holds for any prices that the solver gives.

use super::program::{Program, Sense};
use good_lp::{
    DualValues, Expression, ProblemVariables, Solution, SolutionWithDual, SolverModel, Variable,
    constraint, variable,
};

/// Largest relative violation of a row that counts as solved: a hundredth of a tray in a hundred. Large programs with people hired by
/// the week end at some 1e-5, where the solver says that it is almost there.
const TOLERANCE: f64 = 1e-4;
/// The solver's states in which its values are looked at.
const ENDED: [&str; 2] = ["Solved", "AlmostSolved"];

/// A solved relaxation.
#[derive(Clone, Debug)]
pub struct LpSolution {
    /// A value for each column.
    pub x: Vec<f64>,
    /// Cost of `x`, whole money.
    pub cost: f64,
    /// A proved lower bound on the program's cost, whole money; only when no column was fixed.
    pub bound: Option<f64>,
}

/// Solves `program` with some columns fixed (`fixed[j]` is a value, or `None`). `None` when the solver fails or its answer does not hold.
pub fn solve(program: &Program, fixed: &[Option<f64>]) -> Option<LpSolution> {
    if program.columns.is_empty() {
        return None;
    }
    let mut variables = ProblemVariables::new();
    let free: Vec<Option<Variable>> = program
        .columns
        .iter()
        .enumerate()
        .map(|(at, column)| match fixed.get(at).copied().flatten() {
            Some(_) => None,
            None if column.upper_matters => {
                Some(variables.add(variable().min(column.lower).max(column.upper)))
            }
            None => Some(variables.add(variable().min(column.lower))),
        })
        .collect();
    if free.iter().all(Option::is_none) {
        return None;
    }
    let value = |at: usize| fixed.get(at).copied().flatten().unwrap_or(0.0);
    let objective: Expression = free
        .iter()
        .zip(&program.columns)
        .filter_map(|(variable, column)| variable.map(|variable| variable * column.cost))
        .sum();
    let mut model = variables.minimise(objective).using(good_lp::clarabel);
    let mut references = Vec::with_capacity(program.rows.len());
    for row in &program.rows {
        let mut sum = Expression::with_capacity(row.terms.len());
        let mut rhs = row.rhs;
        let mut any = false;
        for (at, coefficient) in &row.terms {
            match free[*at] {
                Some(variable) => {
                    sum.add_mul(*coefficient, variable);
                    any = true;
                }
                None => rhs -= coefficient * value(*at),
            }
        }
        references.push(any.then(|| {
            model.add_constraint(match row.sense {
                Sense::AtMost => constraint!(sum <= rhs),
                Sense::AtLeast => constraint!(sum >= rhs),
                Sense::Equal => constraint!(sum == rhs),
            })
        }));
    }
    let mut solution = model.solve().ok()?;
    if !ENDED.contains(&format!("{:?}", solution.inner().status).as_str()) {
        return None;
    }
    let x: Vec<f64> = free
        .iter()
        .enumerate()
        .map(|(at, variable)| match variable {
            Some(variable) => {
                let column = &program.columns[at];
                solution.value(*variable).clamp(column.lower, column.upper)
            }
            None => value(at),
        })
        .collect();
    if !x.iter().all(|value| value.is_finite()) || program.worst_violation(&x).0 > TOLERANCE {
        return None;
    }
    let whole = fixed.iter().all(Option::is_none);
    let duals = solution.compute_dual();
    let prices: Vec<f64> = references
        .into_iter()
        .map(|reference| reference.map_or(0.0, |reference| duals.dual(reference)))
        .collect();
    let bound = if whole {
        program.safe_bound(&prices)
    } else {
        None
    };
    Some(LpSolution {
        cost: program.cost(&x),
        x,
        bound,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::program::{ColumnTag, RowTag};

    #[test]
    fn prices_have_the_sign_of_a_change_of_cost() {
        // By hand: minimise 2a + 3b, a + b ≥ 4, a ≤ 3: 9 at (3, 1); one more of the first row costs 3, one more of the second saves 1.
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
        let solved = solve(&program, &[]).expect("solves");
        assert!((solved.cost - 9.0).abs() < 1e-5, "{}", solved.cost);
        let bound = solved.bound.expect("bounded");
        assert!(bound <= 9.0 + 1e-9 && bound > 9.0 - 1e-4, "{bound}");
        let fixed = solve(&program, &[Some(2.0), None]).expect("solves");
        assert!((fixed.cost - 10.0).abs() < 1e-5 && fixed.bound.is_none());
    }

    #[test]
    fn what_cannot_be_solved_gives_nothing() {
        let mut program = Program::default();
        let a = program.column(ColumnTag::Clean(0), 10.0, false, 1.0);
        program.row(RowTag::CarryClean(0), vec![(a, 1.0)], Sense::AtLeast, 4.0);
        program.row(RowTag::CarryClean(1), vec![(a, 1.0)], Sense::AtMost, 3.0);
        assert!(solve(&program, &[]).is_none());
        assert!(solve(&Program::default(), &[]).is_none());
    }
}
