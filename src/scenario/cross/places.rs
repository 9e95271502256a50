//! Lines, stacks, beds, people and machines.

use super::no_capacity;
use crate::calendar::IsoWeek;
use crate::problems::Severity::{Error, Warning};
use crate::scenario::codes;
use crate::scenario::gather::Gather;
use crate::scenario::types::{Crew, Line, Scenario, SetUpPair, Stage, TeamTask, Temperature};
use crate::units::Fixed;
use std::collections::{BTreeMap, BTreeSet};

/// A line is not set faster, trays/h: common practice, no source.
const FASTEST: i64 = 800;
/// Stacks are 15 to 20 trays high: common practice, no source.
const HIGHEST: i64 = 20;
/// Warmth that favours white mould, °C: Yamagata farm information on Rhizopus damping-off, undated.
const MOULD_C: i64 = 33;
/// Trays of 30 cm × 60 cm side by side on a square metre: 1 ÷ 0.18, rounded up.
const SIDE_BY_SIDE: Fixed<2> = Fixed(556);

/// Lines and their set-up pairs.
pub fn lines(gather: &mut Gather, scenario: &Scenario) {
    for (index, line) in scenario.lines.iter().enumerate() {
        let path = |key: &str| format!("lines[{index}].{key}");
        for (key, nothing) in [
            ("set_trays_per_h", line.set_trays_per_h.0 == 0),
            ("share_run", line.share_run.0 == 0),
            ("hours_per_day", line.hours_per_day.0 == 0),
        ] {
            if nothing {
                no_capacity(
                    gather,
                    &path(key),
                    format!("the line `{}` sows nothing: `{key}` is 0", line.id),
                );
            }
        }
        fast(gather, &path("set_trays_per_h"), line.set_trays_per_h);
        rates(gather, line, &path);
        let mut seen = BTreeSet::new();
        for (at, pair) in line.set_up_pairs.iter().enumerate() {
            let place = path(&format!("set_up_pairs[{at}]"));
            let fault = if pair.from == pair.to {
                format!("a set-up from `{}` to itself", pair.from)
            } else if !seen.insert((&pair.from, &pair.to)) {
                format!(
                    "the set-up from `{}` to `{}` is there twice",
                    pair.from, pair.to
                )
            } else {
                continue;
            };
            gather
                .flag(Error, codes::PAIR_DOUBLE, &[&place], fault)
                .expected("each pair of two kinds once");
        }
        for (at, pair) in line.set_up_pairs.iter().enumerate() {
            follows(
                gather,
                scenario,
                line,
                pair,
                &path(&format!("set_up_pairs[{at}]")),
            );
        }
    }
}

/// Whether what a pair says can come about.
fn follows(gather: &mut Gather, scenario: &Scenario, line: &Line, pair: &SetUpPair, path: &str) {
    let at = |key: &str| format!("{path}.{key}");
    let (never, thrown) = (at("never"), at("throw_out_trays"));
    if pair.never && pair.throw_out_trays > 0 {
        let message = format!(
            "`{}` never follows `{}`, and {} trays are thrown out when it does",
            pair.to, pair.from, pair.throw_out_trays
        );
        gather
            .flag(Error, codes::PAIR, &[&thrown, &never], message)
            .expected("one of the two")
            .help("leave `throw_out_trays` out, or `never`");
    } else if pair.never && pair.minutes.0 > 0 {
        let message = format!(
            "`{}` never follows `{}`: its {} minutes change nothing",
            pair.to, pair.from, pair.minutes
        );
        gather
            .flag(
                Warning,
                codes::WITHOUT_EFFECT,
                &[&at("minutes"), &never],
                message,
            )
            .help("leave `minutes` out, or `never`");
    }
    if pair.never {
        return;
    }
    let last = scenario
        .kinds
        .iter()
        .any(|kind| kind.id == pair.from && kind.last_of_day);
    if last {
        let message = format!(
            "nothing follows `{}` on one day, since it is `last_of_day`",
            pair.from
        );
        gather
            .flag(Warning, codes::WITHOUT_EFFECT, &[path, "kinds"], message)
            .help("take the pair out, or `last_of_day`");
        return;
    }
    let rate = line.rates.iter().find(|rate| rate.kind == pair.to);
    let rate = rate.map_or(line.set_trays_per_h, |rate| rate.set_trays_per_h);
    // Trays in the hours of a day, less those that the set-up takes; tenths, hundredths, millionths.
    let minutes = line.hours_per_day.0 * 60 - pair.minutes.0;
    let hourly = i128::from(rate.0) * i128::from(line.share_run.0);
    let left = i128::from(minutes) * hourly / (60 * 100 * 10 * 1_000_000);
    if hourly > 0 && line.hours_per_day.0 > 0 && i128::from(pair.throw_out_trays) >= left {
        let thrown_out = match pair.throw_out_trays {
            0 => "of set-up take".to_owned(),
            trays => format!("of set-up and {trays} trays thrown out take"),
        };
        let message = format!(
            "{} min {thrown_out} all of the {} h that the line is worked",
            pair.minutes, line.hours_per_day
        );
        let place = if pair.throw_out_trays > 0 {
            thrown
        } else {
            at("minutes")
        };
        let paths = [&place, path, "lines"];
        gather
            .flag(Warning, codes::THROWN_OUT, &paths, message)
            .help("the one can never follow the other: write `never` if that is meant");
    }
}

fn fast(gather: &mut Gather, path: &str, rate: Fixed<1>) {
    if rate > Fixed::whole(FASTEST) {
        let message = format!("a line set to {rate} trays/h");
        gather
            .flag(Warning, codes::FAST_LINE, &[path], message)
            .expected(format!("at most {FASTEST} trays/h (common practice)"));
    }
}

/// Rates of single kinds.
fn rates(gather: &mut Gather, line: &Line, path: &impl Fn(&str) -> String) {
    let mut seen = BTreeSet::new();
    for (index, rate) in line.rates.iter().enumerate() {
        let place = path(&format!("rates[{index}]"));
        if !seen.insert(&rate.kind) {
            let message = format!(
                "the line `{}` has two rates for the kind `{}`",
                line.id, rate.kind
            );
            gather
                .flag(
                    Error,
                    codes::STORE_DOUBLE,
                    &[&format!("{place}.kind")],
                    message,
                )
                .expected("one rate for each kind");
        }
        let set = format!("{place}.set_trays_per_h");
        if rate.set_trays_per_h.0 == 0 {
            let message = format!("the line `{}` sows nothing of `{}`", line.id, rate.kind);
            no_capacity(gather, &set, message);
        }
        fast(gather, &set, rate.set_trays_per_h);
    }
}

/// Places for stacks.
pub fn germination(gather: &mut Gather, scenario: &Scenario) {
    for (index, place) in scenario.germination.iter().enumerate() {
        let path = |key: &str| format!("germination[{index}].{key}");
        if place.stack_places == 0 {
            no_capacity(
                gather,
                &path("stack_places"),
                format!("no stack fits in `{}`", place.id),
            );
        }
        if place.height > HIGHEST {
            let message = format!("stacks of {} trays", place.height);
            gather
                .flag(Warning, codes::HIGH_STACK, &[&path("height")], message)
                .expected(format!(
                    "at most {HIGHEST} (common practice): sown trays weigh about 6 kg each"
                ));
        }
        if let Temperature::Own(warm) = place.temperature
            && warm >= Fixed::whole(MOULD_C)
        {
            gather
                .flag(
                    Warning,
                    codes::HOT_STACK,
                    &[&path("temperature.own_c")],
                    format!("stacks at {warm} °C"),
                )
                .expected(format!(
                    "below {MOULD_C} °C: from there on white mould is favoured (Yamagata)"
                ));
        }
    }
}

/// Beds, and that both stages have one.
pub fn beds(gather: &mut Gather, scenario: &Scenario) {
    for (index, bed) in scenario.beds.iter().enumerate() {
        let path = |key: &str| format!("beds[{index}].{key}");
        if bed.trays_per_m2 > SIDE_BY_SIDE {
            let message = format!("{} trays on a square metre", bed.trays_per_m2);
            gather
                .flag(Warning, codes::TIGHT_BED, &[&path("trays_per_m2")], message)
                .expected(format!(
                    "at most {SIDE_BY_SIDE}: trays of 30 cm × 60 cm side by side"
                ));
        }
        let floor = bed.area_m2.0 * bed.trays_per_m2.0 / 10_000;
        if let Some(row) = bed.row_trays.filter(|row| floor > 0 && *row > floor) {
            let message = format!(
                "a row of {row} trays in bed `{}`, whose floor takes {floor}",
                bed.id
            );
            let paths = [path("row_trays"), path("area_m2"), path("trays_per_m2")];
            gather
                .flag(
                    Error,
                    codes::ROW,
                    &paths.each_ref().map(String::as_str),
                    message,
                )
                .expected(format!("at most {floor} trays in a row"))
                .help("only whole rows are used; leave `row_trays` out if trays are reached from all sides");
        } else if bed.trays() == 0 {
            no_capacity(
                gather,
                &path("area_m2"),
                format!("not one tray fits in bed `{}`", bed.id),
            );
        } else if scenario.horizon.iter().all(|day| bed.trays_on(day) == 0) {
            let message = format!("the bed `{}` is closed on every day of the horizon", bed.id);
            no_capacity(gather, &path("closed"), message);
        }
    }
    for (stage, word) in [(Stage::Green, "green"), (Stage::Harden, "harden")] {
        if !scenario.beds.iter().any(|bed| bed.stages.contains(&stage)) {
            gather
                .flag(
                    Error,
                    codes::STAGE_MISSING,
                    &["beds"],
                    format!("no bed takes the stage `{word}`"),
                )
                .help(format!("add `{word}` to the `stages` of a bed"));
        }
    }
}

/// Crews and the teams they must form.
pub fn people(gather: &mut Gather, scenario: &Scenario) {
    for (index, crew) in scenario.crews.iter().enumerate() {
        let path = |key: &str| format!("crews[{index}].{key}");
        let hired = crew.casual.map_or(0, |casual| casual.most);
        if crew.people == 0 && crew.rest_day_people == 0 && hired == 0 {
            no_capacity(
                gather,
                &path("people"),
                format!("nobody is in the crew `{}`", crew.id),
            );
        }
        if crew.shift_hours.0 == 0 && crew.overtime_hours.0 == 0 {
            no_capacity(
                gather,
                &path("shift_hours"),
                format!("the crew `{}` never works", crew.id),
            );
        }
        if crew.casual.is_some() && hired == 0 {
            let message = format!(
                "nobody can be hired for the crew `{}`: `most` is 0",
                crew.id
            );
            gather
                .flag(
                    Warning,
                    codes::WITHOUT_EFFECT,
                    &[&path("casual.most")],
                    message,
                )
                .help("leave `casual` out, or say how many can be hired");
        }
        week_hours(gather, scenario, crew, &path);
    }
    let team = |gather: &mut Gather, name: &str, task: &Option<TeamTask>| {
        let Some(task) = task else { return };
        let Some(crew) = scenario.crews.iter().find(|crew| crew.id == task.crew) else {
            return;
        };
        let hired = crew.casual.map_or(0, |casual| casual.most);
        if task.team > crew.people + hired {
            let (path, whose) = (format!("work.{name}.team"), format!("work.{name}.crew"));
            let message = format!(
                "a team of {} from the crew `{}` of {}",
                task.team, crew.id, crew.people
            );
            gather
                .flag(
                    Warning,
                    codes::SMALL_CREW,
                    &[&path, &whose, "crews"],
                    message,
                )
                .expected("a team no larger than its crew");
        }
    };
    team(gather, "set_up", &scenario.work.set_up);
    team(gather, "sow", &scenario.work.sow);
}

/// Whether a person's shifts of each week, and each day with its overtime, fit in the hours of a week.
fn week_hours(
    gather: &mut Gather,
    scenario: &Scenario,
    crew: &Crew,
    path: &impl Fn(&str) -> String,
) {
    let Some(most) = crew.week_hours_most else {
        return;
    };
    let calendar = scenario.calendars.get(crew.calendar);
    let mut weeks: BTreeMap<IsoWeek, i64> = BTreeMap::new();
    let mut longest = 0;
    for day in scenario.horizon.iter().filter(|day| calendar.works(*day)) {
        let shift = crew.shift_hours_on(day).0;
        *weeks.entry(day.iso_week()).or_default() += shift;
        longest = longest.max(shift);
    }
    let too_long = weeks.iter().filter(|(_, hours)| **hours > most.0);
    let too_long: Vec<(&IsoWeek, &i64)> = too_long.collect();
    let (limit, shift) = (path("week_hours_most"), path("shift_hours"));
    let (overtime, spans) = (path("overtime_hours"), path("spans"));
    let paths = [&limit, &shift, &spans, "horizon", "calendars"];
    if let Some((week, hours)) = too_long.first() {
        let more = match too_long.len() {
            1 => String::new(),
            weeks => format!(", the first of {weeks} weeks with more"),
        };
        let message = format!(
            "the shifts of the crew `{}` are {} h a person in {week}{more}, above its {most} h a week",
            crew.id,
            Fixed::<2>(**hours)
        );
        gather
            .flag(Warning, codes::WEEK_HOURS, &paths, message)
            .expected("shifts of a week within the hours of a week")
            .help("no overtime is asked for in such a week; the shifts themselves are left as they are: shorten them, or give days off");
    } else if longest + crew.overtime_hours.0 > most.0 {
        let message = format!(
            "a day of {} h of shift and {} h of overtime is longer than the week of {most} h of the crew `{}`",
            Fixed::<2>(longest),
            crew.overtime_hours,
            crew.id
        );
        let paths = [&overtime, &limit, &shift, &spans, "horizon", "calendars"];
        gather
            .flag(Warning, codes::WEEK_HOURS, &paths, message)
            .expected("a day within the hours of a week");
    }
}

/// Planting machines and the washer.
pub fn machines(gather: &mut Gather, scenario: &Scenario) {
    for (index, planter) in scenario.planters.iter().enumerate() {
        if planter.ha_per_day.0 == 0 {
            let path = format!("planters[{index}].ha_per_day");
            no_capacity(
                gather,
                &path,
                format!("the machine `{}` plants nothing", planter.id),
            );
        }
    }
    if scenario.trays.washed_per_day() == 0 {
        let rate = if scenario.trays.wash_trays_per_h == 0 {
            "wash_trays_per_h"
        } else {
            "wash_hours_per_day"
        };
        no_capacity(
            gather,
            &format!("trays.{rate}"),
            "no tray is ever washed".to_owned(),
        );
    }
}
