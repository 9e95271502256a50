//! Small pictures of one thing over days or weeks: an area for what is used, a stepped line for the limit, marks above the
//! fullest days. Drawn in whole units, so that no attribute can hold anything but a number.

use super::data::Series;
use crate::calendar::Day;
use crate::report::text::short_day;
use crate::units::fit;
use maud::{Markup, html};
use std::fmt::Write;

/// Height of the picture in its own units; a band above it holds the marks.
const HIGH: i64 = 1_000;
/// The band above.
const BAND: i64 = 120;
/// Width of one value.
const WIDE: i64 = 10;
/// A day is marked as full from so many thousandths of the limit on.
const MARKED: i64 = 950;

/// `part ÷ whole` in percent with two decimals, as it stands in an attribute; 0 when there is no whole.
pub(super) fn percent(part: i64, whole: i64) -> String {
    let hundredths = fit(i128::from(part) * 10_000 / i128::from(whole.max(1)));
    let hundredths = hundredths.clamp(0, 10_000);
    format!("{}.{:02}%", hundredths / 100, hundredths % 100)
}

/// The first day of each month over a picture of `count` values, `step` days apart.
pub(super) fn axis(first: Day, count: i32, step: i32) -> Markup {
    let days = (0..count * step).map(|at| (at, first.plus(at)));
    let months: Vec<(i32, Day)> = days
        .filter(|(at, day)| day.ymd().2 == 1 || *at == 0)
        .collect();
    // A first label too near the next one is left out.
    let near = count * step / 12;
    let crowded = months.len() > 1 && months[1].0 < near;
    html! {
        svg.axis width="100%" height="16" aria-hidden="true" {
            @for (at, day) in months.into_iter().skip(usize::from(crowded)) {
                text x=(percent(at.into(), (count * step).into())) y="12" { (month(day)) }
            }
        }
    }
}

/// "May", with the year in January.
fn month(day: Day) -> String {
    let spoken = day.spoken();
    let name = spoken.split(' ').nth(1).unwrap_or("").to_string();
    match day.ymd() {
        (year, 1, _) => format!("{name} {year}"),
        _ => name,
    }
}

/// The picture with its title, what it says, and a button for the day that it points to.
pub(super) fn figure(series: &Series) -> Markup {
    let count = series.used.len() as i64;
    let most = series.used.iter().chain(&series.there).max();
    let most = most.copied().unwrap_or(0).max(1);
    let up =
        |value: i64| fit(i128::from(value.clamp(0, most)) * i128::from(HIGH) / i128::from(most));
    let label = format!(
        "{}. {}. Highest on the scale: {}.",
        series.title, series.says, series.top
    );
    let marks = marks(series);
    html! {
        figure {
            figcaption {
                b { (series.title) } " "
                span { (series.says) }
                @if let Some(day) = series.points_to {
                    " " button.day type="button" data-day=(day) { "sheet of " (short_day(day)) }
                }
            }
            div.plot {
                span.top aria-hidden="true" { (series.top) }
                svg viewBox=(format!("0 -{BAND} {} {}", (count * WIDE).max(1), HIGH + BAND)) preserveAspectRatio="none" role="img"
                    aria-label=(label) data-first=(series.first) data-step=(series.step) data-count=(count) {
                    path.area d=(area(&series.used, &up)) {}
                    @if !series.there.is_empty() { path.limit d=(steps(&series.there, &up)) {} }
                    @if !marks.is_empty() { path.full d=(marks) {} }
                }
                (axis(series.first, count as i32, series.step))
            }
        }
    }
}

/// A filled outline under the values.
fn area(values: &[i64], up: &dyn Fn(i64) -> i64) -> String {
    let mut d = format!("M0 {HIGH}");
    let mut last = 0;
    for (at, value) in values.iter().enumerate() {
        let high = up(*value);
        if high != last {
            // Writing to a string never fails.
            let _ = write!(d, "H{}V{}", at as i64 * WIDE, HIGH - high);
            last = high;
        }
    }
    let _ = write!(d, "H{}V{HIGH}z", values.len() as i64 * WIDE);
    d
}

/// A line along the values.
fn steps(values: &[i64], up: &dyn Fn(i64) -> i64) -> String {
    let mut d = String::new();
    let mut last = None;
    for (at, value) in values.iter().enumerate() {
        let (x, y) = (at as i64 * WIDE, HIGH - up(*value));
        match last {
            None => _ = write!(d, "M{x} {y}"),
            Some(before) if before != y => _ = write!(d, "H{x}V{y}"),
            _ => {}
        }
        last = Some(y);
    }
    let _ = write!(d, "H{}", values.len() as i64 * WIDE);
    d
}

/// A mark above each value that is nearly the limit, the limit or over it.
fn marks(series: &Series) -> String {
    let mut d = String::new();
    for (at, (used, there)) in series.used.iter().zip(&series.there).enumerate() {
        let share = i128::from(*used) * 1_000;
        if *used > 0 && share >= i128::from(*there) * i128::from(MARKED) {
            let _ = write!(d, "M{} -{BAND}h{WIDE}v70h-{WIDE}z", at as i64 * WIDE);
        }
    }
    d
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_stay_inside_the_picture() {
        assert_eq!(percent(1, 8), "12.50%");
        assert_eq!(percent(0, 0), "0.00%");
        assert_eq!(percent(9, 3), "100.00%");
        assert_eq!(percent(-9, 3), "0.00%");
        assert_eq!(percent(i64::MAX, 1), "100.00%");
    }

    /// Areas follow the numbers: half of the limit is half of the height.
    #[test]
    fn areas_follow_the_numbers() {
        let up = |value: i64| value * HIGH / 200;
        assert_eq!(
            area(&[0, 100, 100, 200], &up),
            "M0 1000H10V500H30V0H40V1000z"
        );
        assert_eq!(steps(&[200, 200, 100], &up), "M0 0H20V500H30");
    }

    #[test]
    fn the_highest_numbers_there_are_stay_numbers() {
        let series = Series {
            title: "Long house: trays".into(),
            first: Day::from_ymd(2027, 5, 1).unwrap(),
            step: 1,
            used: vec![i64::MAX, 0, 5],
            there: vec![i64::MAX, 0, 0],
            top: "many".into(),
            says: "full".into(),
            points_to: None,
        };
        let text = figure(&series).into_string();
        assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
        assert!(text.contains("M0 -120h10v70h-10zM20 -120"), "{text}");
    }
}
