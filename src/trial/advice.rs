//! What to set next, and how sure it is that the target is met.

use super::fit::{Before, Fit, GUESS, GUESSED, fit, least_squares, median_line};
use super::{Dial, Pair, Reading, Setting, Wanted};
use crate::trial::student;
use crate::units::Fixed;

/// So sure must it be that the mean is inside the tolerance, in percent.
pub const SURE: i64 = 95;
/// No more trays than these are asked for.
const MOST_TRAYS: i64 = 60;
/// Trays count as weighed at a setting when theirs was so close, in parts of it.
const NEAR: f64 = 0.06;
/// Single trays differ by at least so much, in parts of the target: two equal readings prove nothing.
const LEAST_SPREAD: f64 = 0.01;
/// The dial is left alone when the mean is expected so close to the target.
const LEAVE: f64 = 0.012;

/// Why no setting can be proposed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// A setting that the dial does not have.
    OffTheDial(Setting),
    /// Nothing came out, or less than nothing.
    Nothing(Pair),
    /// A reading so far from the target that it can't be in its unit.
    Unit(Pair),
    /// The readings don't follow the dial at all.
    Flat,
    /// The higher the setting, the less came out.
    Backwards,
    /// Two trays at one setting that contradict one another.
    Contradict(Pair, Pair),
    /// The trays differ too much for any line.
    Scattered,
}

/// Something to know beside the answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Note {
    /// The target lies beyond the dial's end.
    BeyondDial,
    /// One step of the dial changes the reading by so many percent of the target, more than the tolerance.
    Coarse(i64),
    /// The first pair has the higher setting and no higher reading than the second.
    Odd(Pair, Pair),
    /// Readings change from tray to tray at one setting, in tenths of a percent of the target.
    Drift(i64),
}

/// A tray as it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The tray.
    pub pair: Pair,
    /// What it was off the target, in percent.
    pub off_target: i64,
    /// For an outlier: what the others say that it should have got.
    pub outlier: Option<Reading>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advice {
    /// What to set.
    pub set: Setting,
    /// The dial stands there already.
    pub stay: bool,
    /// The mean expected there.
    pub expected: Reading,
    /// Trays weighed there or close by, outliers left out.
    pub trays: i64,
    /// How sure it is that the mean there is inside the tolerance, in percent, rounded down; none: too few trays to say.
    pub sure: Option<i64>,
    /// Trays still to weigh there until it is as sure as [`SURE`], if they come out like those before; 0: it is.
    pub more: Option<i64>,
    /// The trays in the order weighed.
    pub shown: Vec<Shown>,
    /// What to know beside it.
    pub notes: Vec<Note>,
}

impl Advice {
    /// Inside the tolerance, and as sure as [`SURE`].
    pub fn met(&self) -> bool {
        self.stay && self.more == Some(0)
    }
}

/// A start from trays of an earlier season: where nothing comes out, and the setting for the target. `None` when they say nothing.
pub fn start(earlier: &[Pair], dial: Dial, wanted: &Wanted) -> Option<(Before, Setting)> {
    let points = in_parts(earlier, wanted);
    if points.is_empty() || earlier.iter().any(|pair| pair.reading.0 <= 0) {
        return None;
    }
    let found = fit(&points, Before::UNKNOWN);
    let zero = -found.line.at_zero / found.line.slope;
    let set = Fixed::nearest(((1.0 - found.line.at_zero) / found.line.slope).max(0.0))?;
    if !(found.line.slope > 0.0 && zero.is_finite()) {
        return None;
    }
    let spread_out = slope_of(&points).is_some();
    let unsure = if spread_out {
        0.15
    } else {
        Before::UNKNOWN.unsure
    };
    Some((Before { zero, unsure }, dial.nearest(set)))
}

/// What to set next after the trays `pairs`, in the order weighed, at least one.
///
/// # Errors
/// [`Refusal`], in the order of the trays.
pub fn advise(
    pairs: &[Pair],
    before: Before,
    dial: Dial,
    wanted: &Wanted,
) -> Result<Advice, Refusal> {
    sound(pairs, dial, wanted)?;
    let points = in_parts(pairs, wanted);
    let lowest = points.iter().map(|point| point.0).fold(f64::MAX, f64::min);
    // What was thought before must not stand against what is seen.
    let before = if before.zero < lowest {
        before
    } else {
        Before::UNKNOWN
    };
    follows_the_dial(&points, pairs, before)?;
    let found = fit(&points, before);
    let Some(last) = pairs.last().filter(|_| found.line.slope > 0.0) else {
        return Err(Refusal::Flat);
    };
    if found.spread > 0.15 {
        return Err(Refusal::Scattered);
    }
    let exact = (1.0 - found.line.at_zero) / found.line.slope;
    let exact: Setting = Fixed::nearest(exact.max(0.0)).ok_or(Refusal::Flat)?;
    let mut set = dial.nearest(exact);
    let step = found.line.slope * dial.step.as_f64();
    let here = found.line.at(last.setting.as_f64());
    if (here - 1.0).abs() < LEAVE.max(step / 2.0) {
        set = last.setting;
    }
    let there = found.line.at(set.as_f64());
    let mut notes = Vec::new();
    let half = (step / 2.0).max(0.01);
    let at_end =
        set == dial.nearest(dial.low) || Some(set) == dial.high.map(|high| dial.nearest(high));
    if at_end && (there - 1.0).abs() > half.max(wanted.tolerance.as_f64() / 100.0) {
        notes.push(Note::BeyondDial);
    }
    let percent = wanted.tolerance.as_f64();
    if step * 100.0 > percent {
        notes.push(Note::Coarse(libm::round(step * 100.0) as i64));
    }
    if let Some((higher, lower)) = odd(pairs, &found) {
        notes.push(Note::Odd(higher, lower));
    }
    notes.extend(creep(&points, &found).map(Note::Drift));
    let certainty = certainty(
        &points,
        &found,
        set.as_f64(),
        wanted.tolerance.as_f64() / 100.0,
    );
    Ok(Advice {
        set,
        stay: set == last.setting,
        expected: reading(there, wanted).ok_or(Refusal::Flat)?,
        trays: certainty.trays,
        sure: certainty.sure,
        more: certainty.more,
        shown: shown(pairs, &found, wanted),
        notes,
    })
}

fn in_parts(pairs: &[Pair], wanted: &Wanted) -> Vec<(f64, f64)> {
    let target = wanted.target.as_f64();
    let part = |pair: &Pair| (pair.setting.as_f64(), pair.reading.as_f64() / target);
    pairs.iter().map(part).collect()
}

fn reading(part: f64, wanted: &Wanted) -> Option<Reading> {
    Fixed::nearest(part * wanted.target.as_f64())
}

/// What can be said against single trays.
fn sound(pairs: &[Pair], dial: Dial, wanted: &Wanted) -> Result<(), Refusal> {
    for pair in pairs {
        let above = dial.high.is_some_and(|high| pair.setting > high);
        if pair.setting < dial.low || above {
            return Err(Refusal::OffTheDial(pair.setting));
        }
        if pair.reading.0 <= 0 {
            return Err(Refusal::Nothing(*pair));
        }
        let (least, most) = (wanted.target.0 / 6, wanted.target.0.saturating_mul(6));
        if pair.reading.0 < least || pair.reading.0 > most {
            return Err(Refusal::Unit(*pair));
        }
    }
    match pairs {
        [one, other] if one.setting == other.setting => {
            let apart = (one.reading.0 - other.reading.0).abs();
            if apart.saturating_mul(8) > one.reading.0 + other.reading.0 {
                return Err(Refusal::Contradict(*one, *other));
            }
            Ok(())
        }
        _ => Ok(()),
    }
}

/// Slope of the trays alone and what it may be wrong by, both in parts of the target; none at one setting.
fn slope_of(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let line = median_line(points)?;
    let number = points.len() as f64;
    let mean = points.iter().map(|point| point.0).sum::<f64>() / number;
    let squares: f64 = points.iter().map(|(x, _)| (x - mean) * (x - mean)).sum();
    // The median stands against a wrong tray, least squares against many trays close together while the readings creep: only when both
    // say so does the dial do nothing.
    let (left, other) = match least_squares(points) {
        Some(found) => (
            found.spread * found.spread * (number - 2.0),
            found.line.slope,
        ),
        None => (0.0, line.slope),
    };
    let spread = libm::sqrt((left + GUESSED * GUESS * GUESS) / (number + GUESSED - 2.0));
    Some((line.slope.max(other), spread / libm::sqrt(squares)))
}

/// Refuses trays that prove that the dial does nothing, or the wrong thing.
fn follows_the_dial(points: &[(f64, f64)], pairs: &[Pair], before: Before) -> Result<(), Refusal> {
    let Some((slope, error)) = slope_of(points) else {
        return Ok(());
    };
    let number = points.len() as f64;
    let x = points.iter().map(|point| point.0).sum::<f64>() / number;
    let y = points.iter().map(|point| point.1).sum::<f64>() / number;
    let through = y / (x - before.zero);
    let settings = || pairs.iter().map(|pair| pair.setting);
    let spread = settings().max().zip(settings().min());
    let wide = spread.is_some_and(|(high, low)| (high.as_f64() - low.as_f64()) * through > 0.1);
    let equal = pairs.iter().all(|pair| pair.reading == pairs[0].reading);
    if wide && equal {
        return Err(Refusal::Flat);
    }
    if slope + 2.5 * error < 0.3 * through {
        let backwards = slope + error < 0.0;
        return Err(if backwards {
            Refusal::Backwards
        } else {
            Refusal::Flat
        });
    }
    Ok(())
}

/// The last two trays at different settings, if the higher setting gave no more and neither is an outlier.
fn odd(pairs: &[Pair], found: &Fit) -> Option<(Pair, Pair)> {
    let kept: Vec<Pair> = (0..pairs.len())
        .filter(|at| !found.outlier[*at])
        .map(|at| pairs[at])
        .collect();
    let [.., one, other] = kept[..] else {
        return None;
    };
    let (higher, lower) = if one.setting > other.setting {
        (one, other)
    } else {
        (other, one)
    };
    (higher.setting > lower.setting && higher.reading <= lower.reading).then_some((higher, lower))
}

/// Change from tray to tray at one setting, in tenths of a percent of the target, when six trays or more prove one of three or more: chance alone
/// gives as much in one case of a hundred.
fn creep(points: &[(f64, f64)], found: &Fit) -> Option<i64> {
    let kept = (0..points.len()).filter(|at| !found.outlier[*at]);
    let level = |at: usize| (at as f64, points[at].1 - found.line.slope * points[at].0);
    let levels: Vec<(f64, f64)> = kept.map(level).collect();
    let line = least_squares(&levels).filter(|_| levels.len() >= 6)?;
    let chance = student::quantile(0.995, levels.len() as f64 - 2.0) * line.error_of_slope;
    let proved = line.line.slope.abs() > chance && line.line.slope.abs() >= 0.003;
    proved.then(|| libm::round(line.line.slope * 1_000.0) as i64)
}

fn shown(pairs: &[Pair], found: &Fit, wanted: &Wanted) -> Vec<Shown> {
    let each = pairs.iter().enumerate();
    each.map(|(at, pair)| {
        let part = pair.reading.as_f64() / wanted.target.as_f64();
        let should = part - found.off[at];
        Shown {
            pair: *pair,
            off_target: libm::round((part - 1.0) * 100.0) as i64,
            outlier: if found.outlier[at] {
                reading(should, wanted)
            } else {
                None
            },
        }
    })
    .collect()
}

struct Certainty {
    trays: i64,
    sure: Option<i64>,
    more: Option<i64>,
}

/// How sure the mean at a setting is inside the tolerance, by the t distribution: the mean is the line's value there, its error the spread of
/// single trays over the root of the trays near the setting.
fn certainty(points: &[(f64, f64)], found: &Fit, set: f64, tolerance: f64) -> Certainty {
    let kept: Vec<usize> = (0..points.len()).filter(|at| !found.outlier[*at]).collect();
    let near = |at: &&usize| (points[**at].0 - set).abs() <= NEAR * set.abs();
    let close: Vec<f64> = kept.iter().filter(near).map(|at| found.off[*at]).collect();
    let trays = close.len() as i64;
    if trays < 2 {
        return Certainty {
            trays,
            sure: None,
            more: None,
        };
    }
    let number = trays as f64;
    let mean = close.iter().sum::<f64>() / number;
    let own: f64 = close.iter().map(|off| (off - mean) * (off - mean)).sum();
    let all: f64 = kept.iter().map(|at| found.off[*at] * found.off[*at]).sum();
    let (squares, freedom) = if kept.len() as i64 - 2 > trays - 1 {
        (all, kept.len() as f64 - 2.0)
    } else {
        (own, number - 1.0)
    };
    let spread = libm::sqrt(squares / freedom).max(LEAST_SPREAD);
    let there = found.line.at(set) - 1.0;
    let inside = |more: i64| {
        let (error, freedom) = (
            spread / libm::sqrt(number + more as f64),
            freedom + more as f64,
        );
        student::below((tolerance - there) / error, freedom)
            - student::below((-tolerance - there) / error, freedom)
    };
    let sure = libm::floor(inside(0) * 100.0 + 1e-9) as i64;
    let enough = |more: &i64| inside(*more) * 100.0 >= SURE as f64;
    Certainty {
        trays,
        sure: Some(sure),
        more: (0..=MOST_TRAYS).find(enough),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial::What;
    use proptest::prelude::*;

    fn wanted() -> Wanted {
        Wanted {
            what: What::Seed,
            target: Fixed::whole(225),
            tolerance: Fixed::whole(5),
        }
    }

    fn dial(high: i64, step: i64) -> Dial {
        Dial {
            low: Fixed::ZERO,
            high: Some(Fixed::whole(high)),
            step: Fixed(step),
        }
    }

    fn pairs(of: &[(i64, i64)]) -> Vec<Pair> {
        let pair = |(setting, reading): &(i64, i64)| Pair {
            setting: Fixed::whole(*setting),
            reading: Fixed::whole(*reading),
        };
        of.iter().map(pair).collect()
    }

    fn notes(of: &[(i64, i64)], dial: Dial) -> Vec<Note> {
        advise(&pairs(of), Before::UNKNOWN, dial, &wanted())
            .unwrap()
            .notes
    }

    #[test]
    fn what_is_odd_is_said_beside_the_answer() {
        assert_eq!(notes(&[(34, 172)], dial(100, 100)), []);
        assert_eq!(notes(&[(34, 150)], dial(40, 100)), [Note::BeyondDial]);
        assert_eq!(notes(&[(34, 172)], dial(100, 500)), [Note::Coarse(11)]);
        let odd = pairs(&[(36, 170), (34, 172)]);
        let found = notes(&[(34, 172), (36, 170)], dial(100, 100));
        assert_eq!(found, [Note::Odd(odd[0], odd[1])]);
        let creeping: Vec<(i64, i64)> = (0..10).map(|at| (40, 215 + 3 * at)).collect();
        let found = notes(&creeping, dial(100, 100));
        assert!(matches!(found[..], [Note::Drift(12..=14)]), "{found:?}");
    }

    #[test]
    fn one_tray_is_followed_in_proportion_and_two_by_their_line() {
        let set = |of: &[(i64, i64)]| {
            let advice = advise(&pairs(of), Before::UNKNOWN, dial(100, 10), &wanted()).unwrap();
            advice.set.as_f64()
        };
        assert_eq!(set(&[(30, 150)]), 45.0);
        // Far apart: 20 gives 90 and 40 gives 250, so 36.9; in proportion to the last it would be 36, to the first 50.
        let two = set(&[(20, 90), (40, 250)]);
        assert!((36.3..=37.2).contains(&two), "{two}");
    }

    #[test]
    fn steps_count_from_the_low_end_and_stop_before_the_high_one() {
        let dial = Dial {
            low: Fixed(50),
            high: Some(Fixed(1_000)),
            step: Fixed(200),
        };
        let nearest = |hundredths: i64| dial.nearest(Fixed(hundredths)).0;
        assert_eq!((nearest(0), nearest(149), nearest(151)), (50, 50, 250));
        assert_eq!(
            (nearest(940), nearest(999), nearest(9_999)),
            (850, 850, 850)
        );
    }

    proptest! {
        #[test]
        fn any_trays_are_answered_with_a_setting_of_the_dial(
            typed in prop::collection::vec((0i64..12_000, 0i64..600_000), 1..12),
            step in 1i64..700,
            zero in -50.0f64..150.0,
        ) {
            let pair = |(setting, reading): &(i64, i64)| Pair { setting: Fixed(*setting), reading: Fixed(*reading) };
            let trays: Vec<Pair> = typed.iter().map(pair).collect();
            let dial = dial(100, step);
            let before = Before { zero, unsure: 0.15 };
            let answer = advise(&trays, before, dial, &wanted());
            prop_assert_eq!(&answer, &advise(&trays, before, dial, &wanted()));
            let _ = start(&trays, dial, &wanted());
            if let Ok(advice) = answer {
                prop_assert!(advice.set.0 >= 0 && advice.set <= Fixed::whole(100));
                prop_assert!(advice.stay || advice.set.0 % step == 0);
                prop_assert_eq!(advice.shown.len(), trays.len());
                prop_assert!(advice.sure.is_none_or(|sure| (0..=100).contains(&sure)));
            }
        }
    }
}
