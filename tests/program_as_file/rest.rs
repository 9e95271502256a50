//! What is left of a program when some columns are settled: bounds drawn tight over rows, then a small search over whole numbers, each
//! share solved by a simplex that the project itself does not use.

use good_lp::{Expression, ProblemVariables, Solution, SolverModel, constraint, variable};
use sowrota::solve::program::{Program, Sense};

/// What a row may be off, in the units of its terms: less than half a millisecond in minutes, more than sums of such numbers lose.
const SLACK: f64 = 1e-6;
/// Nearer than this to a whole number is whole.
const WHOLE: f64 = 1e-5;
/// Most steps of the search.
const MOST: usize = 4_000;

/// What the search found.
#[derive(Clone, Debug)]
pub enum Found {
    /// The least cost, and a point that has it.
    Point(f64, Vec<f64>),
    /// No point is left.
    None,
    /// It took more steps than a small program does.
    GaveUp,
}

/// Least cost of the program with its columns between these bounds.
pub fn least(program: &Program, bounds: Vec<(f64, f64)>) -> Found {
    let mut search = Search {
        program,
        in_rows: vec![Vec::new(); program.columns.len()],
        best: None,
        steps: 0,
    };
    for (at, row) in program.rows.iter().enumerate() {
        for (column, _) in &row.terms {
            search.in_rows[*column].push(at);
        }
    }
    let all: Vec<usize> = (0..program.rows.len()).collect();
    search.descend(bounds, all);
    match search.best {
        _ if search.steps >= MOST => Found::GaveUp,
        Some((cost, point)) => Found::Point(cost, point),
        None => Found::None,
    }
}

struct Search<'a> {
    program: &'a Program,
    in_rows: Vec<Vec<usize>>,
    best: Option<(f64, Vec<f64>)>,
    steps: usize,
}

impl Search<'_> {
    fn descend(&mut self, mut bounds: Vec<(f64, f64)>, rows: Vec<usize>) {
        self.steps += 1;
        if self.steps >= MOST || !self.tighten(&mut bounds, rows) {
            return;
        }
        let Some((cost, point)) = relaxed(self.program, &bounds) else {
            return;
        };
        if self.best.as_ref().is_some_and(|best| cost > best.0 - 1e-7) {
            return;
        }
        let columns = self.program.columns.iter().enumerate();
        let off = |at: &usize| (point[*at] - point[*at].round()).abs();
        let divided = columns
            .filter(|(at, column)| column.whole && off(at) > WHOLE)
            .map(|(at, _)| at)
            // Choices between two first, then what is divided most.
            .max_by(|one, other| {
                let first = |at: &usize| (bounds[*at].1 - bounds[*at].0 < 1.5, off(at));
                let (one, other) = (first(one), first(other));
                one.0.cmp(&other.0).then(one.1.total_cmp(&other.1))
            });
        let Some(divided) = divided else {
            self.best = Some((cost, point));
            return;
        };
        let (low, high) = bounds[divided];
        let below = point[divided].floor();
        for half in [(low, below), (below + 1.0, high)] {
            let mut bounds = bounds.clone();
            bounds[divided] = half;
            self.descend(bounds, self.in_rows[divided].clone());
        }
    }

    /// Draws bounds tight over the rows, those first that are named; false when nothing is left.
    fn tighten(&self, bounds: &mut [(f64, f64)], rows: Vec<usize>) -> bool {
        let mut waits = vec![false; self.program.rows.len()];
        let mut queue: std::collections::VecDeque<usize> = rows.into();
        queue.iter().for_each(|row| waits[*row] = true);
        while let Some(at) = queue.pop_front() {
            waits[at] = false;
            let row = &self.program.rows[at];
            let signs: &[f64] = match row.sense {
                Sense::AtMost => &[1.0],
                Sense::AtLeast => &[-1.0],
                Sense::Equal => &[1.0, -1.0],
            };
            for sign in signs {
                // sum of sign × terms ≤ sign × rhs
                let end = |(column, coefficient): &(usize, f64)| {
                    let c = sign * coefficient;
                    let (low, high) = bounds[*column];
                    c * if c > 0.0 { low } else { high }
                };
                let least: f64 = row.terms.iter().map(end).sum();
                let room = sign * row.rhs - least;
                if room < -SLACK {
                    return false;
                }
                let mut changed = Vec::new();
                for (column, coefficient) in &row.terms {
                    let c = sign * coefficient;
                    let (low, high) = bounds[*column];
                    let reach = room.max(0.0) / c.abs();
                    let whole = self.program.columns[*column].whole;
                    let (mut new_low, mut new_high) = (low, high);
                    if c > 0.0 {
                        new_high = high.min(low + reach);
                        if whole {
                            new_high = (new_high + WHOLE).floor();
                        }
                    } else {
                        new_low = low.max(high - reach);
                        if whole {
                            new_low = (new_low - WHOLE).ceil();
                        }
                    }
                    if new_low > new_high {
                        if new_low > new_high + SLACK {
                            return false;
                        }
                        (new_low, new_high) = (new_high, new_high);
                    }
                    // Small gains of shares are not worth another round.
                    if high - low - (new_high - new_low) > 1e-4 * (high - low) + 1e-9 {
                        changed.push((*column, (new_low, new_high)));
                    }
                }
                for (column, new) in changed {
                    bounds[column] = new;
                    for next in &self.in_rows[column] {
                        if !std::mem::replace(&mut waits[*next], true) {
                            queue.push_back(*next);
                        }
                    }
                }
            }
        }
        true
    }
}

/// The program of shares between the bounds.
fn relaxed(program: &Program, bounds: &[(f64, f64)]) -> Option<(f64, Vec<f64>)> {
    let mut variables = ProblemVariables::new();
    let free: Vec<_> = bounds
        .iter()
        .map(|(low, high)| {
            (high - low > 1e-9).then(|| variables.add(variable().min(*low).max(*high)))
        })
        .collect();
    let value = |at: usize| bounds[at].0;
    let mut rows = Vec::new();
    for row in &program.rows {
        let mut sum = Expression::with_capacity(row.terms.len());
        let (mut rhs, mut any) = (row.rhs, false);
        for (at, coefficient) in &row.terms {
            match free[*at] {
                Some(variable) => {
                    sum.add_mul(*coefficient, variable);
                    any = true;
                }
                None => rhs -= coefficient * value(*at),
            }
        }
        let settled = match row.sense {
            Sense::AtMost => rhs >= -SLACK,
            Sense::AtLeast => rhs <= SLACK,
            Sense::Equal => rhs.abs() <= SLACK,
        };
        if any {
            rows.push((sum, row.sense, rhs));
        } else if !settled {
            return None;
        }
    }
    let mut point: Vec<f64> = (0..bounds.len()).map(value).collect();
    if !rows.is_empty() {
        let costs = free.iter().zip(&program.columns);
        let objective: Expression = costs
            .filter_map(|(variable, column)| variable.map(|variable| variable * column.cost))
            .sum();
        let mut model = variables.minimise(objective).using(good_lp::microlp);
        for (sum, sense, rhs) in rows {
            model.add_constraint(match sense {
                Sense::AtMost => constraint!(sum <= rhs),
                Sense::AtLeast => constraint!(sum >= rhs),
                Sense::Equal => constraint!(sum == rhs),
            });
        }
        let solved = match model.solve() {
            Ok(solved) => solved,
            Err(good_lp::ResolutionError::Infeasible) => return None,
            Err(error) => panic!("the small solver gave up: {error}"),
        };
        for (at, variable) in free.iter().enumerate() {
            if let Some(variable) = variable {
                point[at] = solved.value(*variable);
            }
        }
    } else {
        // Nothing ties what is free: it stands where it costs least.
        for (at, column) in program.columns.iter().enumerate() {
            point[at] = if column.cost < 0.0 {
                bounds[at].1
            } else {
                bounds[at].0
            };
        }
    }
    Some((program.cost(&point), point))
}
