//! One mixed row rounded: a valid inequality that the present point breaks, if there is one.
//!
//! Source: H. Marchand and L. A. Wolsey, "Aggregation and mixed integer rounding to solve MIPs", Operations Research 49 (2001), 363-371:
//! the inequality, the choice of the divisor among the coefficients of whole columns between their bounds, halving it, and
//! complementing one column after the other.

use super::CutRow;

/// Fraction of the right-hand side below which, or within which of 1, a rounded row is of no use or not safe in floats.
const LEAST_FRACTION: f64 = 0.02;
/// Divisors tried for a row, at most.
const MOST_DIVISORS: usize = 12;
/// A coefficient so much smaller than the largest is taken out of a cut, at its column's bound.
const SMALLEST_TERM: f64 = 1e-7;

/// A column or a sum of columns that is a whole number, 0 to `upper`, in every plan.
#[derive(Clone, Debug)]
pub struct Item {
    /// Its coefficient.
    pub coefficient: f64,
    /// Its value at the present point.
    pub value: f64,
    /// Its upper bound.
    pub upper: f64,
    /// The columns that it is the sum of.
    pub columns: Vec<usize>,
}

/// Σ coefficient × item ≤ rhs + slack, where the slack is at least 0 in every plan.
#[derive(Clone, Debug, Default)]
pub struct Mixed {
    /// Whole parts.
    pub items: Vec<Item>,
    /// Right-hand side.
    pub rhs: f64,
    /// The slack's terms.
    pub slack: Vec<(usize, f64)>,
    /// What the slack has besides its terms.
    pub slack_constant: f64,
}

/// The function that rounds a coefficient: the largest that is superadditive and right for the fraction `f`.
fn rounded(d: f64, f: f64) -> f64 {
    let down = libm::floor(d);
    down + (d - down - f).max(0.0) / (1.0 - f)
}

/// How a mixed row is rounded: by what divisor, with which items complemented.
struct Rounding<'m> {
    mixed: &'m Mixed,
    slack: f64,
    complemented: Vec<bool>,
}

impl Rounding<'_> {
    /// Right-hand side over the divisor, and its fraction.
    fn beta(&self, divisor: f64) -> Option<(f64, f64)> {
        let away = self.mixed.items.iter().zip(&self.complemented);
        let away = away.filter(|(_, complemented)| **complemented);
        let moved: f64 = away.map(|(item, _)| item.coefficient * item.upper).sum();
        let beta = (self.mixed.rhs - moved) / divisor;
        let f = beta - libm::floor(beta);
        (LEAST_FRACTION..=1.0 - LEAST_FRACTION)
            .contains(&f)
            .then_some((beta, f))
    }

    /// By how much the present point breaks the rounded row, over the length of its whole part.
    fn violation(&self, divisor: f64) -> f64 {
        let Some((beta, f)) = self.beta(divisor) else {
            return 0.0;
        };
        let mut left = 0.0;
        let mut length = 0.0;
        for (item, complemented) in self.mixed.items.iter().zip(&self.complemented) {
            let (coefficient, value) = if *complemented {
                (-item.coefficient, item.upper - item.value)
            } else {
                (item.coefficient, item.value)
            };
            let g = rounded(coefficient / divisor, f);
            left += g * value;
            length += g * g;
        }
        let right = libm::floor(beta) + self.slack / (divisor * (1.0 - f));
        (left - right) / libm::sqrt(length).max(1e-9)
    }
}

/// The divisor by which the present point breaks the row most, where that is more than `best`, which it becomes.
fn most_broken(
    rounding: &Rounding<'_>,
    divisors: impl IntoIterator<Item = f64>,
    best: &mut f64,
) -> Option<f64> {
    let mut found = None;
    for by in divisors {
        let violation = rounding.violation(by);
        if violation > *best {
            (*best, found) = (violation, Some(by));
        }
    }
    found
}

/// The most violated rounding of a mixed row at the point `x`, as a row `at most`; `None` when none is broken.
pub fn round(mixed: &Mixed, x: &[f64], upper: &dyn Fn(usize) -> f64) -> Option<CutRow> {
    let slack: f64 = mixed.slack.iter().map(|(at, c)| c * x[*at]).sum();
    let mut rounding = Rounding {
        mixed,
        slack: (slack + mixed.slack_constant).max(0.0),
        complemented: mixed
            .items
            .iter()
            .map(|item| item.value > item.upper / 2.0)
            .collect(),
    };
    let mut best = 1e-4;
    let first = most_broken(&rounding, divisors(mixed), &mut best)?;
    let parts = [2.0, 4.0, 8.0].map(|part| first / part);
    let divisor = most_broken(&rounding, parts, &mut best).unwrap_or(first);
    // Items nearest to the middle first.
    let mut between: Vec<usize> = (0..mixed.items.len())
        .filter(|at| {
            let item = &mixed.items[*at];
            item.value > 1e-6 && item.value < item.upper - 1e-6
        })
        .collect();
    let far = |at: usize| (mixed.items[at].value / mixed.items[at].upper - 0.5).abs();
    between.sort_by(|one, other| far(*one).total_cmp(&far(*other)).then(one.cmp(other)));
    for at in between {
        rounding.complemented[at] ^= true;
        let violation = rounding.violation(divisor);
        if violation > best {
            best = violation;
        } else {
            rounding.complemented[at] ^= true;
        }
    }
    written(&rounding, divisor, x, upper)
}

/// Coefficients of items between their bounds, those nearest to the middle first, then the largest of all.
fn divisors(mixed: &Mixed) -> Vec<f64> {
    let inside = |item: &&Item| item.value > 1e-6 && item.value < item.upper - 1e-6;
    let mut found: Vec<(f64, f64)> = mixed
        .items
        .iter()
        .filter(inside)
        .map(|item| {
            let far = (item.value / item.upper - 0.5).abs();
            (far, item.coefficient.abs())
        })
        .filter(|(_, by)| *by > 1e-6)
        .collect();
    found.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1)));
    let mut by: Vec<f64> = Vec::new();
    for (_, next) in found {
        if by.len() < MOST_DIVISORS && by.iter().all(|kept| (kept - next).abs() > 1e-6 * next) {
            by.push(next);
        }
    }
    let most = mixed.items.iter().map(|item| item.coefficient.abs());
    let most = most.fold(0.0, f64::max);
    if most > 1e-6 {
        by.push(most * 1.01);
    }
    by
}

/// The rounded row in columns of the program, safe in floats, with its violation at `x` over its length.
fn written(
    rounding: &Rounding<'_>,
    divisor: f64,
    x: &[f64],
    upper: &dyn Fn(usize) -> f64,
) -> Option<CutRow> {
    let (beta, f) = rounding.beta(divisor)?;
    let mut rhs = libm::floor(beta);
    let mut terms: Vec<(usize, f64)> = Vec::new();
    for (item, complemented) in rounding.mixed.items.iter().zip(&rounding.complemented) {
        let g = if *complemented {
            let g = rounded(-item.coefficient / divisor, f);
            rhs -= g * item.upper;
            -g
        } else {
            rounded(item.coefficient / divisor, f)
        };
        terms.extend(item.columns.iter().map(|column| (*column, g)));
    }
    let share = 1.0 / (divisor * (1.0 - f));
    rhs += share * rounding.mixed.slack_constant;
    let slack = rounding.mixed.slack.iter();
    terms.extend(slack.map(|(column, coefficient)| (*column, -share * coefficient)));
    let mut terms = super::collected(terms);
    let most = terms.iter().map(|(_, c)| c.abs()).fold(0.0, f64::max);
    terms.retain(|(column, coefficient)| {
        let kept = coefficient.abs() > SMALLEST_TERM * most;
        if !kept && *coefficient < 0.0 {
            rhs -= coefficient * upper(*column);
        }
        kept
    });
    if terms.is_empty() || !rhs.is_finite() {
        return None;
    }
    // The largest coefficient becomes 1.
    terms
        .iter_mut()
        .for_each(|(_, coefficient)| *coefficient /= most);
    // Room for what floats round away.
    let rhs = rhs / most + 1e-9 * (1.0 + (rhs / most).abs());
    let left: f64 = terms.iter().map(|(at, c)| c * x[*at]).sum();
    let violation = (left - rhs) / super::length(&terms);
    (violation > 1e-4).then_some(CutRow {
        terms,
        rhs,
        violation,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    // By hand: 12 y ≤ 8 + s with y 0 or 1: a run that is there asks for 4 of s. Divided by 12, the right side's fraction is 2/3:
    // y ≤ s / (12 × 1/3) = s / 4.
    #[test]
    fn a_run_that_is_there_asks_for_what_it_is_over() {
        let mixed = Mixed {
            items: vec![Item {
                coefficient: 12.0,
                value: 0.5,
                upper: 1.0,
                columns: vec![0],
            }],
            rhs: 8.0,
            slack: vec![(1, 1.0)],
            slack_constant: 0.0,
        };
        let cut = round(&mixed, &[0.5, 0.0], &|_| 10.0).expect("broken");
        assert_eq!(cut.terms.len(), 2);
        assert!((cut.terms[0].1 - 1.0).abs() < 1e-9, "{cut:?}");
        assert!((cut.terms[1].1 + 0.25).abs() < 1e-9, "{cut:?}");
        assert!(cut.rhs.abs() < 1e-6, "{cut:?}");
        // Where the plan buys as much, nothing is broken.
        assert!(round(&mixed, &[0.5, 2.0], &|_| 10.0).is_none());
    }
}
