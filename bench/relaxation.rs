//! To measure solvers of linear programs: solves the relaxation of a nursery once, without cuts, with a solver that good_lp speaks to.
//!
//! `relaxation clarabel|microlp SCENARIO` prints one line of JSON: the seconds of the solver, the cost and the bound, null where there is none.
#![forbid(unsafe_code)]

use good_lp::{
    Expression, ProblemVariables, Solution, SolverModel, Variable, constraint, microlp, variable,
};
use sowrota::nursery::Nursery;
use sowrota::solve::lp;
use sowrota::solve::program::{Program, Sense};
use sowrota::solve::relax::Relaxation;
use sowrota::solve::state::Ground;
use sowrota::{report, scenario};
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.as_slice() {
        [solver, scenario] if solver == "clarabel" || solver == "microlp" => {
            match solve(solver, Path::new(scenario)) {
                Ok(line) => {
                    println!("{line}");
                    ExitCode::SUCCESS
                }
                Err(why) => {
                    eprintln!("{why}");
                    ExitCode::from(2)
                }
            }
        }
        _ => {
            eprintln!(
                "error: a solver, `clarabel` or `microlp`, and a scenario's folder are needed"
            );
            ExitCode::from(2)
        }
    }
}

fn solve(solver: &str, path: &Path) -> Result<String, String> {
    let checked = scenario::read(path).map_err(|error| format!("error: {error}"))?;
    let usable = checked
        .scenario
        .ok_or_else(|| report::check::problems(&checked.problems))?;
    let nursery = Nursery::new(&usable);
    let ground = Ground::new(&nursery);
    let program = Relaxation::new(&ground).program;
    let begun = Instant::now();
    let (cost, bound) = match solver {
        "clarabel" => {
            let solved = lp::solve(&program, &[]);
            (
                solved.as_ref().map(|solved| solved.cost),
                solved.and_then(|solved| solved.bound),
            )
        }
        // Its costs are those of a corner, which is its proof; it gives no prices that ours could be made of.
        _ => {
            let cost = by_simplex(&program);
            (cost, cost)
        }
    };
    let seconds = begun.elapsed().as_secs_f64();
    let answer = serde_json::json!({
        "solving": (seconds * 1_000.0).round() / 1_000.0, "cost": cost, "bound": bound,
        "columns": program.columns.len(), "rows": program.rows.len(), "terms": program.terms(),
    });
    Ok(answer.to_string())
}

fn by_simplex(program: &Program) -> Option<f64> {
    let mut variables = ProblemVariables::new();
    let columns: Vec<Variable> = program
        .columns
        .iter()
        .map(|column| variables.add(variable().min(column.lower).max(column.upper)))
        .collect();
    let objective: Expression = columns
        .iter()
        .zip(&program.columns)
        .map(|(variable, column)| *variable * column.cost)
        .sum();
    let mut model = variables.minimise(&objective).using(microlp);
    for row in &program.rows {
        let mut sum = Expression::with_capacity(row.terms.len());
        for (at, coefficient) in &row.terms {
            sum.add_mul(*coefficient, columns[*at]);
        }
        model.add_constraint(match row.sense {
            Sense::AtMost => constraint!(sum <= row.rhs),
            Sense::AtLeast => constraint!(sum >= row.rhs),
            Sense::Equal => constraint!(sum == row.rhs),
        });
    }
    let solution = model.solve().ok()?;
    let x: Vec<f64> = columns
        .iter()
        .map(|variable| solution.value(*variable))
        .collect();
    Some(program.cost(&x))
}
