//! What `check` says: problems, the nursery in a few lines, and the defaults used.

use super::lifting;
use super::text::{WIDTH, clock, count, people, wrap};
use crate::lifting::{Kilograms, TrayLifts};
use crate::problems::{Problem, Problems, Severity};
use crate::scenario::{
    Checked, DefaultUsed, PieceTask, Scenario, Stage, TeamTask, Temperature, sha256, trays,
};
use crate::units::{Fixed, Hectares};
use serde::Serialize;
use std::collections::BTreeMap;

/// Trays and hectares of one kind.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KindSum {
    /// Id of the kind.
    pub kind: String,
    /// Its name.
    pub name: String,
    /// Fields.
    pub fields: usize,
    /// Their area, ha.
    pub area_ha: Hectares,
    /// Trays ordered, margins included.
    pub trays: i64,
}

/// The nursery in a few figures.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Summary {
    /// What people call it.
    pub name: String,
    /// First and last day.
    pub horizon: String,
    /// Days of the horizon.
    pub days: usize,
    /// All fields.
    pub fields: usize,
    /// Their area, ha.
    pub area_ha: Hectares,
    /// Trays ordered, margins included.
    pub trays: i64,
    /// By kind, in the scenario's order.
    pub kinds: Vec<KindSum>,
    /// Tasks that take nobody's time.
    pub tasks_left_out: Vec<&'static str>,
    /// SHA-256 of the completed scenario.
    pub scenario_sha256: String,
}

impl Summary {
    /// The figures of a completed scenario.
    pub fn of(scenario: &Scenario) -> Self {
        let kinds: Vec<KindSum> = scenario
            .kinds
            .iter()
            .map(|kind| {
                let fields = || scenario.fields.iter().filter(|field| field.kind == kind.id);
                KindSum {
                    kind: kind.id.clone(),
                    name: kind.name.clone(),
                    fields: fields().count(),
                    area_ha: Hectares {
                        0: fields().map(|field| field.area_ha.0).sum(),
                    },
                    trays: fields().map(|field| trays::of_field(field).total).sum(),
                }
            })
            .collect();
        Summary {
            name: scenario.name.clone(),
            horizon: scenario.horizon.to_string(),
            days: scenario.horizon.days(),
            fields: scenario.fields.len(),
            area_ha: Hectares {
                0: scenario.fields.iter().map(|field| field.area_ha.0).sum(),
            },
            trays: kinds.iter().map(|kind| kind.trays).sum(),
            kinds,
            tasks_left_out: tasks_left_out(scenario),
            scenario_sha256: sha256(scenario),
        }
    }
}

fn tasks_left_out(scenario: &Scenario) -> Vec<&'static str> {
    let work = &scenario.work;
    let team = |task: &Option<TeamTask>| task.is_none();
    let piece = |task: &Option<PieceTask>| task.is_none();
    let tasks = [
        ("set up", team(&work.set_up)),
        ("sow", team(&work.sow)),
        ("soak", piece(&work.soak)),
        ("drain", piece(&work.drain)),
        ("stack", piece(&work.stack)),
        ("unstack", piece(&work.unstack)),
        ("green", piece(&work.green)),
        ("harden", piece(&work.harden)),
        ("load", piece(&work.load)),
        ("plant", piece(&work.plant)),
        ("collect", piece(&work.collect)),
        ("wash", piece(&work.wash)),
        ("care", piece(&work.care)),
    ];
    tasks
        .into_iter()
        .filter(|(_, left_out)| *left_out)
        .map(|(name, _)| name)
        .collect()
}

/// All of it for machines.
#[derive(Serialize)]
pub struct CheckJson<'a> {
    /// True when the scenario can be planned.
    pub usable: bool,
    /// Problems by file and line.
    pub problems: &'a Problems,
    /// Figures, when usable.
    pub summary: Option<Summary>,
    /// Recommended weight limits and lifting indices of trays, when usable.
    pub lifting: Option<TrayLifts>,
    /// Defaults used.
    pub defaults: &'a [DefaultUsed],
}

/// All of it for machines.
pub fn json(checked: &Checked) -> CheckJson<'_> {
    CheckJson {
        usable: checked.scenario.is_some(),
        problems: &checked.problems,
        summary: checked.scenario.as_ref().map(Summary::of),
        lifting: checked.scenario.as_ref().map(tray_lifts),
        defaults: &checked.defaults,
    }
}

/// Lifting of the scenario's trays.
fn tray_lifts(scenario: &Scenario) -> TrayLifts {
    TrayLifts::of(Kilograms(scenario.trays.loaded_kg.as_f64()))
}

/// All of it for people; with `each`, every default alone.
pub fn text(checked: &Checked, each: Each) -> String {
    let mut out = problems(&checked.problems);
    if let Some(scenario) = &checked.scenario {
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&nursery(scenario));
        out.push('\n');
        out.push_str(&lifting::text(&tray_lifts(scenario)));
    }
    if !checked.defaults.is_empty() && checked.scenario.is_some() {
        out.push('\n');
        out.push_str(&match each {
            Each::Grouped => defaults_grouped(&checked.defaults),
            Each::Alone => defaults_alone(&checked.defaults),
        });
    }
    out
}

/// How defaults are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Each {
    /// By source, entries of a list together.
    Grouped,
    /// One by one.
    Alone,
}

/// Problems, errors first, then a line that counts them. Empty when there are none.
pub fn problems(problems: &Problems) -> String {
    let of = |severity| {
        problems
            .0
            .iter()
            .filter(move |problem| problem.severity == severity)
    };
    let mut out = String::new();
    for severity in [Severity::Error, Severity::Warning, Severity::Note] {
        for one in of(severity) {
            out.push_str(&problem(one));
        }
    }
    if out.is_empty() {
        return out;
    }
    let counts = [
        count(of(Severity::Error).count(), "error", "errors"),
        count(of(Severity::Warning).count(), "warning", "warnings"),
        count(of(Severity::Note).count(), "note", "notes"),
    ];
    let counts: Vec<&String> = counts
        .iter()
        .filter(|count| !count.starts_with("0 "))
        .collect();
    let counts = counts
        .iter()
        .map(|count| count.as_str())
        .collect::<Vec<_>>()
        .join(", ");
    let verdict = if problems.any_error() {
        "the scenario cannot be used yet"
    } else {
        "the scenario can be used"
    };
    out.push_str(&format!("\n{counts}: {verdict}\n"));
    out
}

fn problem(problem: &Problem) -> String {
    let text = problem.to_string();
    let mut lines = text.lines();
    let mut out = wrap("", "    ", lines.next().unwrap_or(""));
    for line in lines {
        out.push_str(&wrap("    ", "      ", line.trim_start()));
    }
    out
}

fn nursery(scenario: &Scenario) -> String {
    let sum = Summary::of(scenario);
    let mut out = String::new();
    let mut row = |name: &str, text: String| {
        out.push_str(&wrap(&format!("{name:<10}"), &" ".repeat(12), &text));
    };
    row("Nursery", sum.name.clone());
    row(
        "Horizon",
        format!(
            "{} to {}, {}",
            scenario.horizon.first,
            scenario.horizon.last,
            count(sum.days, "day", "days")
        ),
    );
    let fields = count(sum.fields, "field", "fields");
    row(
        "Orders",
        format!("{} trays for {fields}, {} ha", sum.trays, sum.area_ha),
    );
    for kind in &sum.kinds {
        let fields = count(kind.fields, "field", "fields");
        row(
            "",
            format!(
                "{}: {} trays, {fields}, {} ha",
                kind.name, kind.trays, kind.area_ha
            ),
        );
    }
    for line in &scenario.lines {
        let hourly = line.set_trays_per_h.0 * line.share_run.0 / 10_000_000;
        row(
            "Line",
            format!(
                "{}: set to {} trays/h, about {hourly} over a shift; {} h a day",
                line.name, line.set_trays_per_h, line.hours_per_day
            ),
        );
    }
    for place in &scenario.germination {
        let stacks = count(place.stack_places, "stack", "stacks");
        row(
            "Stacks",
            format!(
                "{}: {stacks} of {} trays, {}",
                place.name,
                place.height,
                warmth(place.temperature)
            ),
        );
    }
    for bed in &scenario.beds {
        let stages: Vec<&str> = bed
            .stages
            .iter()
            .map(|stage| match stage {
                Stage::Green => "greening",
                Stage::Harden => "hardening",
            })
            .collect();
        row(
            "Bed",
            format!(
                "{}: {} trays, {}, {}",
                bed.name,
                bed.trays(),
                stages.join(" and "),
                warmth(bed.temperature)
            ),
        );
    }
    let stock = &scenario.trays;
    row(
        "Trays",
        format!(
            "{} owned, back {} days after planting, {} washed a day",
            stock.stock,
            stock.return_days,
            stock.washed_per_day()
        ),
    );
    for crew in &scenario.crews {
        let people = people(crew.people);
        row(
            "Crew",
            format!(
                "{}: {people}, from {}, {} h",
                crew.name,
                clock(crew.shift_start_minute),
                crew.shift_hours
            ),
        );
    }
    for (name, text) in supplies(scenario) {
        row(name, text);
    }
    if !sum.tasks_left_out.is_empty() {
        row(
            "Not timed",
            format!("{} (not listed in `work`)", sum.tasks_left_out.join(", ")),
        );
    }
    out
}

/// Blocks, growers, stores, tank, water and vehicles, one line each.
fn supplies(scenario: &Scenario) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    for block in &scenario.blocks {
        let (first, last) = (block.first_days, block.last_days);
        let days = format!(
            "planted {} to {}",
            block.water.plus(first),
            block.water.plus(last)
        );
        let text = format!("{}: water on {}, {days}", block.id, block.water);
        rows.push(("Block", text));
    }
    for grower in &scenario.growers {
        if let Some(last) = grower.returns.last() {
            let days = count(last.days as usize, "day", "days");
            let text = format!("{}: {} of the trays by {days}", grower.id, last.share);
            rows.push(("Returns", text));
        }
    }
    for store in &scenario.seed_stores {
        let more: i64 = store.deliveries.iter().map(|one| one.kg_dry.0).sum();
        let more = Fixed::<3>(more);
        let text = format!(
            "{}: {} kg dry in store, {more} kg to come",
            store.kind, store.kg_dry
        );
        rows.push(("Seed", text));
    }
    for store in &scenario.soil_stores {
        let more: i64 = store.deliveries.iter().map(|one| one.litres.0).sum();
        let more = Fixed::<2>(more);
        let text = format!(
            "{}: {} L in store, {more} L to come",
            store.name, store.litres
        );
        rows.push(("Soil", text));
    }
    if let Some(tank) = scenario.tank {
        rows.push(("Tank", format!("{} kg of dry seed at once", tank.kg_dry)));
    }
    if let Some(water) = scenario.water {
        rows.push(("Water", format!("{} L a day", water.litres_per_day)));
    }
    for vehicle in &scenario.vehicles {
        let trips = count(vehicle.trips_per_day as usize, "trip", "trips");
        let trays = trays::of_trip(vehicle, scenario.trays.loaded_kg);
        let text = format!("{}: {trips} a day of {trays} trays", vehicle.name);
        rows.push(("Vehicle", text));
    }
    rows
}

fn warmth(temperature: Temperature) -> String {
    match temperature {
        Temperature::Own(warm) => format!("held at {warm} °C"),
        Temperature::Outdoors {
            night_plus_c,
            day_plus_c,
        } => {
            let sign = |plus: i64| if plus < 0 { "" } else { "+" };
            format!(
                "outdoors {}{night_plus_c} °C at night, {}{day_plus_c} by day",
                sign(night_plus_c.0),
                sign(day_plus_c.0)
            )
        }
    }
}

/// `kinds[3].age` → `kinds[].age`, and `work.wash.crew` → `work.*.crew`.
fn general(path: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for sign in path.chars() {
        inside = (inside || sign == '[') && sign != ']';
        if !inside || sign == '[' {
            out.push(sign);
        }
    }
    match out
        .strip_prefix("work.")
        .and_then(|rest| rest.split_once('.'))
    {
        Some((_, last @ ("crew" | "per"))) => format!("work.*.{last}"),
        _ => out,
    }
}

/// What a person should look at first: figures that nobody has published.
fn rank(source: &str) -> usize {
    if source.contains("from memory") {
        0
    } else if source.starts_with("common practice") {
        1
    } else if source.ends_with("nothing is assumed") || source.starts_with("goes with") {
        3
    } else {
        2
    }
}

fn defaults_grouped(defaults: &[DefaultUsed]) -> String {
    let heading = format!(
        "{} not written and taken as usual, by whose word (--defaults lists each alone)",
        count(defaults.len(), "value", "values")
    );
    let mut sources: Vec<&str> = Vec::new();
    // Source → path without indices → values, each once.
    let mut by: BTreeMap<&str, Vec<(String, Vec<&str>)>> = BTreeMap::new();
    for used in defaults {
        // A rule before the source says how the value follows; the value itself is shown.
        let source = match used.source.rsplit_once("; nothing is assumed") {
            Some(..) => "nothing is assumed",
            None => used.source.as_str(),
        };
        if !sources.contains(&source) {
            sources.push(source);
        }
        let entries = by.entry(source).or_default();
        let path = general(&used.path);
        match entries.iter_mut().find(|(known, _)| *known == path) {
            Some((_, values)) if values.contains(&used.value.as_str()) => {}
            Some((_, values)) => values.push(&used.value),
            None => entries.push((path, vec![&used.value])),
        }
    }
    sources.sort_by_key(|source| rank(source));
    let mut out = wrap("", "  ", &heading);
    for source in sources {
        out.push_str(&wrap("  ", "    ", source));
        let entries = by.get(source).map(Vec::as_slice).unwrap_or_default();
        let words: Vec<String> = entries
            .iter()
            .map(|(path, values)| match values[..] {
                [value] => format!("{path}: {value}"),
                _ => path.clone(),
            })
            .collect();
        out.push_str(&wrap("      ", "      ", &words.join("; ")));
    }
    out
}

fn defaults_alone(defaults: &[DefaultUsed]) -> String {
    let mut out = wrap(
        "",
        "  ",
        &format!(
            "{} not written and taken as usual",
            count(defaults.len(), "value", "values")
        ),
    );
    for used in defaults {
        let line = format!("{}: {}", used.path, used.value);
        let both = format!("  {line} ({})", used.source);
        if both.chars().count() <= WIDTH {
            out.push_str(&format!("{both}\n"));
        } else {
            out.push_str(&wrap("  ", "      ", &line));
            out.push_str(&wrap("      ", "      ", &format!("({})", used.source)));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::general;

    #[test]
    fn paths_lose_their_indices_only() {
        assert_eq!(
            general("lines[12].set_up_pairs[3].minutes"),
            "lines[].set_up_pairs[].minutes"
        );
        assert_eq!(general("trays.loss"), "trays.loss");
        assert_eq!(general("work.wash.crew"), "work.*.crew");
        assert_eq!(
            general("work.wash.person_minutes"),
            "work.wash.person_minutes"
        );
    }
}
