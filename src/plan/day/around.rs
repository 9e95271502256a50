//! What stands around the work of a day: what cannot wait, what to look at, tomorrow.

use super::quantities::{bags, dose, seed_of_grams, soil};
use super::{BeforeLoading, Call, CallAbout, CannotWait, Look, Night, SeedOut, Tomorrow};
use crate::calendar::Day;
use crate::plan::tasks::{TaskGraph, Verb};
use crate::plan::view::{PartView, RunView};
use crate::scenario::WeatherDay;
use crate::units::{Celsius, Fixed, div_near};
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
        if part.is_some_and(|part| part.field.spare) {
            continue;
        }
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
        Verb::Plant | Verb::HandOver => 0,
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
        let parts = graph.view.runs.iter().flat_map(|run| &run.parts);
        // Trays that leave today, or arrived before today, stood there last night.
        let stood = parts.filter_map(|part| part.bed_in_the_morning(day));
        let here = stood.filter(|(stood, _)| stood.id == bed.id);
        let rows: Vec<&[u32]> = here.map(|(_, rows)| rows).collect();
        if !rows.is_empty() {
            looks.push(Look::House {
                place: bed.name.clone(),
                rows: rows.concat(),
            });
        }
    }
    looks.extend(at_the_edge(graph, day));
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

/// Trays that wait at the edge of a field since a day before `day`.
fn at_the_edge(graph: &TaskGraph<'_>, day: Day) -> Vec<Look> {
    let parts = graph.view.runs.iter().flat_map(|run| &run.parts);
    let waits = parts.filter(|part| part.delivery.leaves() < day && day <= part.delivery.day);
    let look = |part: &PartView<'_>| Look::Edge {
        field: part.name(),
        grower: part.field.grower.clone(),
        trays: part.delivery.trays,
        until: part.delivery.day,
    };
    waits.map(look).collect()
}

/// The decision before loading, on a day with trays to load or to be fetched.
pub fn before_loading(
    graph: &TaskGraph<'_>,
    weather: Option<WeatherDay>,
    day: Day,
) -> Option<BeforeLoading> {
    let high_c = weather.map(|row| row.max_c);
    let too_cold = high_c.is_some_and(|high| high <= TOO_COLD);
    let parts = graph.view.runs.iter().flat_map(|run| &run.parts);
    let leaves = |part: &&PartView<'_>| {
        part.delivery.leaves() == day && !part.field.spare && !part.is_seed()
    };
    let parts: Vec<&PartView<'_>> = parts.filter(leaves).collect();
    let told = |part: &PartView<'_>| part.delivery.promised == Some(part.delivery.day);
    let mut growers: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    for part in parts.iter().filter(|part| !told(part)) {
        let fields = growers.entry(&part.field.grower).or_default();
        fields.insert(part.name());
    }
    let name = |(grower, fields): (&str, BTreeSet<String>)| {
        let fields: Vec<String> = fields.into_iter().collect();
        format!("{grower} ({})", fields.join(", "))
    };
    let leaving = parts.iter().map(|part| part.delivery.trays).sum::<i64>();
    let planted = graph.view.runs.iter().flat_map(|run| &run.parts);
    let planted = planted.filter(|part| part.is_planted() && part.delivery.day == day);
    let trays = planted.map(|part| part.delivery.trays).sum();
    (leaving > 0 || trays > 0).then(|| BeforeLoading {
        high_c,
        too_cold,
        trays,
        not_told: growers.into_iter().map(name).collect(),
        nobody_told: !parts.is_empty() && !parts.iter().any(|part| told(part)),
    })
}

/// At or under this low houses are closed and covered.
///
/// At or under this, outdoors or inside, beds are closed and covered.
/// Source: Iwate Prefecture, technical information extra: cold measures (rice), 17 Apr 2020, and crop technical
/// information no. 2 (rice), 21 Apr 2022.
pub const FROST: Celsius = Celsius::whole(5);

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
    let beds = parts.filter_map(|part| Some(&part.bed_on(day)?.0.name));
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
    let runs = graph.view.runs.iter();
    let (mut runs, handed): (Vec<&RunView<'_>>, Vec<&RunView<'_>>) = runs
        .filter(|run| run.run.sow == day)
        .partition(|run| !run.is_handed_over());
    runs.sort_by_key(|run| (run.run.line.clone(), run.run.place_in_day));
    let mut clean_trays = 0;
    let mut seed_out = Vec::new();
    for run in &runs {
        let spare = run
            .stacks
            .iter()
            .map(|stack| stack.stacks.stacks * (stack.place.lid_trays + stack.place.base_trays));
        // Those thrown out are emptied at once and used again.
        clean_trays += run.run.trays + run.run.trial_trays + spare.sum::<i64>();
        let soil = Some(soil(run.kind, run.over_the_line()));
        seed_out.push(SeedOut {
            soil,
            ..seed_of(run, run.hopper_kg().0)
        });
    }
    Tomorrow {
        day,
        seed_out,
        to_soak: to_soak(graph, day),
        hand_over: handed.iter().map(|run| handed_over(run, day)).collect(),
        clean_trays,
        calls: calls(graph, day),
    }
}

fn seed_of(run: &RunView<'_>, grams: i64) -> SeedOut {
    SeedOut {
        runs: vec![run.run.id.clone()],
        kind: run.kind.name.clone(),
        seed: seed_of_grams(run.kind, grams),
        soil: None,
        bags: None,
        dose: None,
    }
}

fn handed_over(run: &RunView<'_>, day: Day) -> SeedOut {
    let given = run.parts.iter().filter(|part| part.delivery.day == day);
    let trays: i64 = given.map(|part| part.delivery.trays).sum();
    seed_of(run, div_near(trays * run.kind.seed_g_dry_per_tray.0, 10))
}

fn to_soak(graph: &TaskGraph<'_>, day: Day) -> Vec<SeedOut> {
    let scenario = &graph.view.plan.scenario;
    let mut out = Vec::new();
    for kind in &scenario.kinds {
        let soaked = graph.on(day).filter(|(_, task)| task.verb == Verb::Soak);
        let of_kind = soaked.filter_map(|(_, task)| {
            let run = graph.view.runs.get(task.at_run?)?;
            (run.kind.id == kind.id).then(|| (run.run.id.clone(), task.seed_dry_kg.0))
        });
        let (runs, grams): (Vec<String>, Vec<i64>) = of_kind.unzip();
        if !runs.is_empty() {
            let dry = grams.iter().sum();
            out.push(SeedOut {
                runs,
                kind: kind.name.clone(),
                seed: seed_of_grams(kind, dry),
                soil: None,
                bags: bags(kind, Fixed(dry)),
                dose: dose(scenario, kind, Fixed(dry)),
            });
        }
    }
    out
}

/// Calls of tonight, by grower, about the trays of `tomorrow` and of three days ahead of today. The spare is nobody's.
fn calls(graph: &TaskGraph<'_>, tomorrow: Day) -> Vec<Call> {
    let mut calls: BTreeMap<(CallAbout, String, String), Call> = BTreeMap::new();
    for run in &graph.view.runs {
        for part in run.parts.iter().filter(|part| !part.field.spare) {
            let d = part.delivery;
            let about = if d.leaves() == tomorrow {
                CallAbout::Comes
            } else if d.day.since(tomorrow) == ASKED_BEFORE - 1 {
                CallAbout::FieldReady
            } else {
                continue;
            };
            let field = part.name();
            let grams = div_near(d.trays * run.kind.seed_g_dry_per_tray.0, 10);
            let call = Call {
                grower: part.field.grower.clone(),
                field: field.clone(),
                day: d.day,
                trays: d.trays,
                seed: part.is_seed().then(|| seed_of_grams(run.kind, grams)),
                age_days: d.leaves().since(run.run.sow),
                collected: part.field.collected,
                comes: (d.leaves() < d.day).then_some(d.leaves()),
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
