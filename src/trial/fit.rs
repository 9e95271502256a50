//! Lines through weighed trays: least squares, the median line, and the line that the next setting is taken from.
//! The only file of the room that reckons in floats.

/// A straight line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Value at 0.
    pub at_zero: f64,
    /// Growth for 1.
    pub slope: f64,
}

impl Line {
    /// The line's value at `x`.
    pub fn at(self, x: f64) -> f64 {
        self.at_zero + self.slope * x
    }
}

/// A line by least squares, with how far the points lie from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeastSquares {
    /// The line.
    pub line: Line,
    /// Standard error of its value at 0.
    pub error_at_zero: f64,
    /// Standard error of its slope.
    pub error_of_slope: f64,
    /// Standard deviation of the points around it, with two degrees of freedom fewer than points.
    pub spread: f64,
}

/// The line by least squares; `None` with fewer than three points or without two different `x`.
pub fn least_squares(points: &[(f64, f64)]) -> Option<LeastSquares> {
    let number = points.len() as f64;
    let mean_x = points.iter().map(|point| point.0).sum::<f64>() / number;
    let mean_y = points.iter().map(|point| point.1).sum::<f64>() / number;
    let squares: f64 = points
        .iter()
        .map(|(x, _)| (x - mean_x) * (x - mean_x))
        .sum();
    if points.len() < 3 || squares <= 0.0 {
        return None;
    }
    let products: f64 = points
        .iter()
        .map(|(x, y)| (x - mean_x) * (y - mean_y))
        .sum();
    let slope = products / squares;
    let line = Line {
        at_zero: mean_y - slope * mean_x,
        slope,
    };
    let left: f64 = points
        .iter()
        .map(|(x, y)| (y - line.at(*x)) * (y - line.at(*x)))
        .sum();
    let spread = libm::sqrt(left / (number - 2.0));
    Some(LeastSquares {
        line,
        error_at_zero: spread * libm::sqrt(1.0 / number + mean_x * mean_x / squares),
        error_of_slope: spread / libm::sqrt(squares),
        spread,
    })
}

/// The median line: the median of the slopes of all pairs of points with different `x`, through the median of what is left at 0.
/// It stays where it is when fewer than three points in ten are wrong. `None` without two different `x`.
///
/// Theil, Indagationes Mathematicae 12, 1950; Sen, Journal of the American Statistical Association 63, 1968.
pub fn median_line(points: &[(f64, f64)]) -> Option<Line> {
    let slope = median(slopes(points).into_iter().map(|(slope, _)| (slope, 1.0)))?;
    let at_zero = median(points.iter().map(|(x, y)| (y - slope * x, 1.0)))?;
    Some(Line { at_zero, slope })
}

/// Slope of each pair of points with different `x`, with the distance of their `x`.
fn slopes(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut slopes = Vec::new();
    for (at, one) in points.iter().enumerate() {
        for other in &points[..at] {
            let apart = one.0 - other.0;
            if apart != 0.0 {
                slopes.push(((one.1 - other.1) / apart, apart.abs()));
            }
        }
    }
    slopes
}

/// The weighted median: the value with half of the weight on either side; between two values their mean.
fn median(values: impl Iterator<Item = (f64, f64)>) -> Option<f64> {
    let mut values: Vec<(f64, f64)> = values.filter(|(_, weight)| *weight > 0.0).collect();
    values.sort_by(|one, other| one.0.total_cmp(&other.0));
    let half = values.iter().map(|(_, weight)| weight).sum::<f64>() / 2.0;
    let mut sum = 0.0;
    for (at, (value, weight)) in values.iter().enumerate() {
        sum += weight;
        let next = values.get(at + 1).map(|next| next.0);
        if sum > half || next.is_none() {
            return Some(*value);
        }
        if sum == half {
            return next.map(|next| (value + next) / 2.0);
        }
    }
    None
}

/// What is thought of a machine before it is weighed: at setting `zero` nothing comes out, give or take `unsure` of the target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Before {
    /// Setting at which nothing comes out.
    pub zero: f64,
    /// Standard deviation of what comes out there, in parts of the target.
    pub unsure: f64,
}

impl Before {
    /// Of a machine that nobody has weighed: in proportion to the setting, give or take three parts in ten.
    pub const UNKNOWN: Before = Before {
        zero: 0.0,
        unsure: 0.3,
    };
}

/// What the machine does, from trays weighed one after the other. Readings are in parts of the target.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Reading by setting, for the tray to come.
    pub line: Line,
    /// Change of the readings from one tray to the next at one setting.
    pub drift: f64,
    /// Standard deviation of single trays, outliers left out; a guess goes in as if it were [`GUESSED`] trays.
    pub spread: f64,
    /// What each tray was off the line, in the order weighed.
    pub off: Vec<f64>,
    /// Which trays are outliers.
    pub outlier: Vec<bool>,
}

/// Spread of single trays that is guessed before any is weighed, in parts of the target (common practice, no source).
pub const GUESS: f64 = 0.04;
/// So many trays is the guess worth.
pub const GUESSED: f64 = 4.0;
/// A tray is an outlier when it is off by more than so many spreads.
const FAR: f64 = 4.0;
/// Each tray counts for so much of the next.
const FORGET: f64 = 0.95;
/// Readings so far from the target count half: machines are straight near the target only.
const NEAR: f64 = 0.5;
/// Standard deviation of the drift from tray to tray, in parts of the target, before it is seen.
const DRIFT: f64 = 0.003;
/// The slope stays within so many times that of a line through the zero point.
const FLATTEST: f64 = 0.35;
const STEEPEST: f64 = 4.0;

/// The machine as the trays show it. `points` are settings and readings in parts of the target, in the order weighed, at least one, all
/// settings above `before.zero`.
///
/// The median of slopes, those through the zero point among them, starts it; then weighted least squares with Tukey's weights. What is thought
/// before weighing counts as one more reading, so that a few trays close together don't turn the line about.
pub fn fit(points: &[(f64, f64)], before: Before) -> Fit {
    let zero = (before.zero, 0.0);
    let own = slopes(points).into_iter();
    let through = points
        .iter()
        .filter(|point| point.0 != zero.0)
        .map(|(x, y)| (y / (x - zero.0), 0.3 * (x - zero.0).abs()));
    let slope = median(own.chain(through)).unwrap_or(0.0);
    let level = median(points.iter().map(|(x, y)| (y - slope * x, 1.0))).unwrap_or(0.0);
    let mut line = Line {
        at_zero: level,
        slope,
    };
    let mut drift = 0.0;
    let last = points.len() as f64;
    let back = |at: usize| at as f64 - last;
    let off = |line: Line, drift: f64| -> Vec<f64> {
        let each = points.iter().enumerate();
        each.map(|(at, (x, y))| y - line.at(*x) - drift * back(at))
            .collect()
    };
    let mut errors = off(line, drift);
    let mut spread = spread_of(&errors);
    for _ in 0..12 {
        let mut sums = [[0.0; 4]; 3];
        let mut add = |row: [f64; 3], value: f64, weight: f64| {
            for i in 0..3 {
                for j in 0..3 {
                    sums[i][j] += weight * row[i] * row[j];
                }
                sums[i][3] += weight * row[i] * value;
            }
        };
        for (at, (x, y)) in points.iter().enumerate() {
            let far = errors[at] / (spread * FAR);
            let kept = if points.len() < 3 {
                1.0
            } else if far.abs() < 1.0 {
                (1.0 - far * far) * (1.0 - far * far)
            } else {
                0.0
            };
            let away = (y - 1.0) / NEAR;
            let old = libm::pow(FORGET, -back(at) - 1.0);
            let weight = kept * old / (1.0 + away * away) / (spread * spread);
            add([1.0, *x, back(at)], *y, weight);
        }
        add(
            [1.0, zero.0, 0.0],
            0.0,
            1.0 / (before.unsure * before.unsure),
        );
        add([0.0, 0.0, 1.0], 0.0, 1.0 / (DRIFT * DRIFT));
        let Some([at_zero, slope, change]) = solved(sums) else {
            break;
        };
        (line, drift) = (Line { at_zero, slope }, change);
        errors = off(line, drift);
        spread = spread_of(&errors);
    }
    let outlier: Vec<bool> = errors
        .iter()
        .map(|error| points.len() > 2 && error.abs() > FAR * spread)
        .collect();
    line = within_reason(line, points, &outlier, before);
    Fit {
        line,
        drift,
        spread,
        off: errors,
        outlier,
    }
}

/// Spread from the median of what the trays are off, with the guess worked in.
fn spread_of(errors: &[f64]) -> f64 {
    let middle = median(errors.iter().map(|error| (error.abs(), 1.0))).unwrap_or(0.0);
    // For a normal distribution the standard deviation is 1.4826 times the median.
    let seen = 1.4826 * middle;
    let number = errors.len() as f64;
    libm::sqrt((GUESSED * GUESS * GUESS + number * seen * seen) / (GUESSED + number))
}

/// Turns a line that is far too flat or too steep about the middle of the trays.
fn within_reason(line: Line, points: &[(f64, f64)], outlier: &[bool], before: Before) -> Line {
    let kept = |at: &usize| !outlier[*at];
    let number = (0..points.len()).filter(kept).count().max(1) as f64;
    let x = (0..points.len())
        .filter(kept)
        .map(|at| points[at].0)
        .sum::<f64>()
        / number;
    let through = line.at(x) / (x - before.zero);
    if !(through.is_finite() && through > 0.0) {
        return line;
    }
    let slope = line.slope.clamp(FLATTEST * through, STEEPEST * through);
    Line {
        at_zero: line.at(x) - slope * x,
        slope,
    }
}

/// Three equations with three unknowns, by elimination; `None` when they don't say enough.
fn solved(mut rows: [[f64; 4]; 3]) -> Option<[f64; 3]> {
    for at in 0..3 {
        let pivot =
            (at..3).max_by(|one, other| rows[*one][at].abs().total_cmp(&rows[*other][at].abs()))?;
        rows.swap(at, pivot);
        let top = rows[at];
        if top[at].abs() < 1e-12 {
            return None;
        }
        for row in rows.iter_mut().skip(at + 1) {
            let times = row[at] / top[at];
            for (cell, above) in row.iter_mut().zip(top) {
                *cell -= times * above;
            }
        }
    }
    let mut found = [0.0; 3];
    for at in (0..3).rev() {
        let known: f64 = (at + 1..3)
            .map(|other| rows[at][other] * found[other])
            .sum();
        found[at] = (rows[at][3] - known) / rows[at][at];
    }
    found.iter().all(|value| value.is_finite()).then_some(found)
}
