//! What stands around the work of a day: what cannot wait, what to look at, tomorrow.

use super::quantities::{seed_of_grams, soil};
use super::{BeforeLoading, Call, CallAbout, CannotWait, Look, Night, SeedOut, Tomorrow};
use crate::calendar::Day;
use crate::plan::tasks::{TaskGraph, Verb};
use crate::scenario::WeatherDay;
use crate::units::Celsius;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// Lines of "cannot wait today".
const MOST_LINES: usize = 5;

/// Days before planting on which the grower is asked whether the field is ready.
const ASKED_BEFORE: i32 = 3;

/// At or under this high no field is planted.
///
/// Source: Yamagata Prefecture farm information, "Transplanting", 16 Feb 2022; Obako farm cooperative (Akita), "How our rice
/// is grown", undated.
const TOO_COLD: Celsius = Celsius::whole(15);

/// What would break a limit on its next working day: at most five, and how many more there are.
pub fn cannot_wait(graph: &TaskGraph<'_>, day: Day) -> (Vec<CannotWait>, usize) {
    let mut found: Vec<CannotWait> = Vec::new();
    for (at, lag) in graph.last_days(day) {
        let task = &graph.tasks[at];
        let run = task.at_run.and_then(|run| graph.view.runs.get(run));
        let part = run
            .zip(task.at_part)
            .and_then(|(run, part)| run.parts.get(part));
        found.push(CannotWait {
            task: task.id.clone(),
            verb: task.verb,
            kind: run.map_or_else(String::new, |run| run.kind.name.clone()),
            field: part.map(|part| format!("{}, {}", part.name(), part.field.grower)),
            trays: task.trays,
            why: lag.why,
        });
    }
    let rank = |verb: Verb| match verb {
        Verb::Plant => 0,
        Verb::Sow => 1,
        Verb::Unstack => 2,
        Verb::Drain => 3,
        _ => 4,
    };
    found.sort_by_key(|line| (rank(line.verb), Reverse(line.trays)));
    let more = found.len().saturating_sub(MOST_LINES);
    found.truncate(MOST_LINES);
    (found, more)
}

/// What to look at before anything else.
pub fn looks(graph: &TaskGraph<'_>, day: Day) -> Vec<Look> {
    let mut looks = Vec::new();
    for run in &graph.view.runs {
        for stack in &run.stacks {
            if run.run.sow < day && day <= stack.stacks.open {
                looks.push(Look::Stacks {
                    place: stack.place.name.clone(),
                    run: run.run.id.clone(),
                    kind: run.kind.name.clone(),
                    stacks: stack.stacks.stacks,
                    days_since_sown: day.since(run.run.sow),
                    open: stack.stacks.open,
                });
            }
        }
    }
    for bed in &graph.view.plan.scenario.beds {
        let mut parts = graph.view.runs.iter().flat_map(|run| &run.parts);
        let stands = parts.any(|part| {
            let d = part.delivery;
            // Trays that leave today, or arrived before today, stood there last night.
            (d.open < day && day <= d.harden && part.green_bed.id == bed.id)
                || (d.harden < day && day <= d.day && part.harden_bed.id == bed.id)
        });
        if stands {
            looks.push(Look::House {
                place: bed.name.clone(),
            });
        }
    }
    let mut kinds: Vec<String> = Vec::new();
    for run in &graph.view.runs {
        let (Some(soak), Some(drain)) = (run.run.soak, run.run.drain) else {
            continue;
        };
        if soak <= day && day <= drain && !kinds.contains(&run.kind.name) {
            kinds.push(run.kind.name.clone());
        }
    }
    if !kinds.is_empty() {
        looks.push(Look::TankLids { kinds });
    }
    let electric = |verb: Verb| matches!(verb, Verb::SetUp | Verb::Sow | Verb::Wash);
    if graph.on(day).any(|(_, task)| electric(task.verb)) {
        looks.push(Look::TestButton);
    }
    looks
}

/// The decision before loading, on a day with trays to load.
pub fn before_loading(weather: Option<WeatherDay>, trays: i64) -> Option<BeforeLoading> {
    let high_c = weather.map(|row| row.max_c);
    let too_cold = high_c.is_some_and(|high| high <= TOO_COLD);
    (trays > 0).then_some(BeforeLoading {
        high_c,
        too_cold,
        trays,
    })
}

/// At or under this low houses are closed and covered.
///
/// Source: Iwate Prefecture, technical information extra: cold measures (rice), 17 Apr 2020, and crop technical
/// information no. 2 (rice), 21 Apr 2022.
const FROST: Celsius = Celsius::whole(5);

/// The night after `day`: what stands where, and how cold it will be.
pub fn night(graph: &TaskGraph<'_>, day: Day) -> Option<Night> {
    let scenario = &graph.view.plan.scenario;
    let stacks = graph.view.runs.iter().flat_map(|run| {
        let standing = run.stacks.iter();
        standing
            .filter(|stack| run.run.sow <= day && day < stack.stacks.open)
            .map(|s| &s.place.name)
    });
    let parts = graph.view.runs.iter().flat_map(|run| &run.parts);
    let beds = parts.filter_map(|part| {
        let d = part.delivery;
        let bed = if day < d.harden {
            part.green_bed
        } else {
            part.harden_bed
        };
        (d.open <= day && day < d.day).then_some(&bed.name)
    });
    let standing: BTreeSet<&String> = stacks.chain(beds).collect();
    let names = scenario.germination.iter().map(|place| &place.name);
    let names = names.chain(scenario.beds.iter().map(|bed| &bed.name));
    let places: Vec<String> = names
        .filter(|name| standing.contains(name))
        .cloned()
        .collect();
    let low_c = scenario
        .weather
        .iter()
        .find(|row| row.date == day.plus(1))
        .map(|row| row.min_c);
    let cold = low_c.is_some_and(|low| low <= FROST);
    (!places.is_empty()).then_some(Night {
        places,
        low_c,
        cold,
    })
}

/// What tomorrow needs, and whom to call tonight.
pub fn tomorrow(graph: &TaskGraph<'_>, day: Day) -> Tomorrow {
    let mut runs: Vec<_> = graph
        .view
        .runs
        .iter()
        .filter(|run| run.run.sow == day)
        .collect();
    runs.sort_by_key(|run| (run.run.line.clone(), run.run.place_in_day));
    let mut clean_trays = 0;
    let mut seed_out = Vec::new();
    for run in &runs {
        let all = run.run.trays + run.run.trial_trays;
        let spare = run
            .stacks
            .iter()
            .map(|stack| stack.stacks.stacks * (stack.place.lid_trays + stack.place.base_trays));
        clean_trays += all + spare.sum::<i64>();
        let grams = crate::units::div_near(all * run.kind.seed_g_dry_per_tray.0, 10);
        seed_out.push(SeedOut {
            runs: vec![run.run.id.clone()],
            kind: run.kind.name.clone(),
            seed: seed_of_grams(run.kind, grams),
            soil: Some(soil(run.kind, all)),
        });
    }
    Tomorrow {
        day,
        seed_out,
        to_soak: to_soak(graph, day),
        clean_trays,
        calls: calls(graph, day),
    }
}

fn to_soak(graph: &TaskGraph<'_>, day: Day) -> Vec<SeedOut> {
    let mut out = Vec::new();
    for kind in &graph.view.plan.scenario.kinds {
        let soaked = graph.on(day).filter(|(_, task)| task.verb == Verb::Soak);
        let of_kind = soaked.filter_map(|(_, task)| {
            let run = graph.view.runs.get(task.at_run?)?;
            (run.kind.id == kind.id).then(|| (run.run.id.clone(), task.seed_dry_kg.0))
        });
        let (runs, grams): (Vec<String>, Vec<i64>) = of_kind.unzip();
        if !runs.is_empty() {
            let seed = seed_of_grams(kind, grams.iter().sum());
            out.push(SeedOut {
                runs,
                kind: kind.name.clone(),
                seed,
                soil: None,
            });
        }
    }
    out
}

/// Calls of tonight, by grower, about the trays of `tomorrow` and of three days ahead of today.
fn calls(graph: &TaskGraph<'_>, tomorrow: Day) -> Vec<Call> {
    let mut calls: BTreeMap<(CallAbout, String, String), Call> = BTreeMap::new();
    for run in &graph.view.runs {
        for part in &run.parts {
            let d = part.delivery;
            let about = match d.day.since(tomorrow) {
                0 => CallAbout::Comes,
                days if days == ASKED_BEFORE - 1 => CallAbout::FieldReady,
                _ => continue,
            };
            let field = part.name();
            let call = Call {
                grower: part.field.grower.clone(),
                field: field.clone(),
                day: d.day,
                trays: d.trays,
                age_days: d.day.since(run.run.sow),
                about,
            };
            let key = (
                about,
                call.grower.clone(),
                format!("{field}/{}", run.run.id),
            );
            calls.insert(key, call);
        }
    }
    calls.into_values().collect()
}
