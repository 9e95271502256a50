//! Daily temperatures: in order, without gaps, and there when a clock needs them.

use crate::problems::Severity::Error;
use crate::scenario::codes;
use crate::scenario::complete::days_needed;
use crate::scenario::gather::Gather;
use crate::scenario::types::{AgeClock, Scenario, StackClock, Temperature};

/// Order, gaps and cover.
pub fn check(gather: &mut Gather, scenario: &Scenario) {
    if gather.is_bad("weather") {
        return;
    }
    let mut rows: Vec<_> = scenario
        .weather
        .iter()
        .enumerate()
        .map(|(index, row)| (row.date, index))
        .collect();
    rows.sort();
    for pair in rows.windows(2) {
        let ((before, _), (day, index)) = (pair[0], pair[1]);
        let path = format!("weather[{index}].date");
        match day.since(before) {
            0 => {
                gather
                    .flag(
                        Error,
                        codes::WEATHER_DOUBLE,
                        &[&path],
                        format!("{day} is there twice"),
                    )
                    .expected("one row a day");
            }
            1 => {}
            gap => {
                let (first, last) = (before.plus(1), day.plus(-1));
                let missing = if gap == 2 {
                    format!("{first} is")
                } else {
                    format!("{first} to {last} are")
                };
                gather
                    .flag(
                        Error,
                        codes::WEATHER_GAP,
                        &[&path],
                        format!("{missing} missing before {day}"),
                    )
                    .expected("a row for every day");
            }
        }
    }
    for (index, row) in scenario.weather.iter().enumerate() {
        if row.min_c > row.max_c {
            let message = format!(
                "on {} the lowest, {} °C, is above the highest, {} °C",
                row.date, row.min_c, row.max_c
            );
            gather.flag(
                Error,
                codes::WEATHER_ORDER,
                &[&format!("weather[{index}].min_c")],
                message,
            );
        }
    }
    if let (Some((first, _)), Some((last, _))) = (rows.first(), rows.last()) {
        cover(gather, scenario, Some((*first, *last)));
    } else {
        cover(gather, scenario, None);
    }
}

type Ends = Option<(crate::calendar::Day, crate::calendar::Day)>;

fn cover(gather: &mut Gather, scenario: &Scenario, ends: Ends) {
    let needs = scenario.kinds.iter().position(|kind| {
        let mut clocks = kind.limits.iter().map(|limit| limit.clock);
        kind.age.clock != AgeClock::Days
            || clocks.any(|clock| clock != AgeClock::Days)
            || kind.stack.clock == StackClock::Thermal
    });
    let Some(index) = needs else { return };
    let places = scenario.germination.iter().map(|place| &place.temperature);
    let waits = scenario.fields.iter().any(|field| field.edge_days > 0);
    let edge = waits.then_some(&scenario.edge);
    let mut warmth = places
        .chain(scenario.beds.iter().map(|bed| &bed.temperature))
        .chain(edge);
    if !warmth.any(|warmth| matches!(warmth, Temperature::Outdoors { .. })) {
        return;
    }
    let kind = &scenario.kinds[index];
    let needed = days_needed(
        scenario.horizon,
        scenario.opening.sown.iter().map(|batch| batch.sown),
    );
    let message = match ends {
        None => format!(
            "the clock of kind `{}` needs temperatures, and there is no weather",
            kind.id
        ),
        Some((first, _)) if first > needed.first => {
            format!(
                "the weather begins on {first}; the clock of kind `{}` needs it from {}",
                kind.id, needed.first
            )
        }
        Some((_, last)) if last < needed.last => {
            format!(
                "the weather ends on {last}; the clock of kind `{}` needs it to {}",
                kind.id, needed.last
            )
        }
        Some(_) => return,
    };
    let clock = format!("kinds[{index}]");
    gather
        .flag(
            Error,
            codes::WEATHER_MISSING,
            &["weather", "horizon", "opening", &clock],
            message,
        )
        .expected(format!("every day of {needed}"))
        .help("give a CSV file with date, min_c, max_c, or one object with `min_c` and `max_c`");
}

/// Drops the days on which no temperature can be asked for.
pub fn trim(scenario: &mut Scenario) {
    let needed = days_needed(
        scenario.horizon,
        scenario.opening.sown.iter().map(|batch| batch.sown),
    );
    scenario.weather.retain(|row| needed.contains(row.date));
}
