//! Spans of days with other figures, of crews, lines, washing and closed beds, and days away: no day in two of them, and inside the horizon.

use crate::calendar::DayRange;
use crate::problems::Severity::{Error, Warning};
use crate::scenario::codes;
use crate::scenario::gather::Gather;
use crate::scenario::types::Scenario;

/// All spans of the scenario.
pub fn check(gather: &mut Gather, scenario: &Scenario) {
    for (index, crew) in scenario.crews.iter().enumerate() {
        let path = format!("crews[{index}].spans");
        for (at, span) in crew.spans.iter().enumerate() {
            let says = span.people.is_some()
                || span.shift_start_minute.is_some()
                || span.shift_hours.is_some();
            if !says {
                let message = format!("nothing is said of the crew `{}` on {}", crew.id, span.days);
                gather
                    .flag(
                        Error,
                        codes::MISSING_KEY,
                        &[&format!("{path}[{at}]")],
                        message,
                    )
                    .expected("`people`, `shift_start` or `shift_hours`, or several of them");
            }
        }
        days(
            gather,
            scenario,
            crew.spans.iter().map(|span| span.days),
            |at| format!("{path}[{at}].days"),
        );
    }
    for (index, line) in scenario.lines.iter().enumerate() {
        let path = format!("lines[{index}].spans");
        days(
            gather,
            scenario,
            line.spans.iter().map(|span| span.days),
            |at| format!("{path}[{at}].days"),
        );
    }
    for (index, place) in scenario.germination.iter().enumerate() {
        let path = format!("germination[{index}].spans");
        days(
            gather,
            scenario,
            place.spans.iter().map(|span| span.days),
            |at| format!("{path}[{at}].days"),
        );
    }
    let dry = scenario.trays.dry_spans.iter().map(|span| span.days);
    days(gather, scenario, dry, |at| {
        format!("trays.dry_spans[{at}].days")
    });
    for (index, bed) in scenario.beds.iter().enumerate() {
        days(gather, scenario, bed.closed.iter().copied(), |at| {
            format!("beds[{index}].closed[{at}]")
        });
    }
    for (index, person) in scenario.staff.iter().enumerate() {
        days(gather, scenario, person.away.iter().copied(), |at| {
            format!("staff[{index}].away[{at}]")
        });
    }
}

fn days(
    gather: &mut Gather,
    scenario: &Scenario,
    spans: impl Iterator<Item = DayRange>,
    place_of: impl Fn(usize) -> String,
) {
    let horizon = scenario.horizon;
    let mut before: Vec<DayRange> = Vec::new();
    for (at, span) in spans.enumerate() {
        let place = place_of(at);
        let clash = before.iter().position(|other| meets(&span, other));
        if let Some(other) = clash {
            let message = format!("{span} and {} have a day in common", before[other]);
            gather
                .flag(
                    Error,
                    codes::SPAN_TWICE,
                    &[&place, &place_of(other)],
                    message,
                )
                .expected("each day in one span at most")
                .help(format!(
                    "shorten it, or `{}`",
                    place_of(other).trim_end_matches(".days")
                ));
        } else if !meets(&span, &horizon) {
            let message = format!("{span} lies outside the horizon {horizon}");
            gather
                .flag(Warning, codes::SPAN_OUTSIDE, &[&place, "horizon"], message)
                .help("it changes nothing: is the year right?");
        }
        before.push(span);
    }
}

fn meets(one: &DayRange, other: &DayRange) -> bool {
    one.first <= other.last && other.first <= one.last
}
