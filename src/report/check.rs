//! What `check` says: problems, the nursery in a few lines, and the defaults used.

use super::lifting;
use super::text::{WIDTH, clock, count, people, wrap};
use crate::lifting::{Kilograms, TrayLifts};
use crate::problems::{Problem, Problems, Severity};
use crate::scenario::{
    Bed, Checked, Crew, DefaultUsed, Field, HandOver, Kept, Kind, OrderState, PieceTask, Scenario,
    Stage, TeamTask, Temperature, sha256, trays,
};
use crate::units::Hectares;
use serde::Serialize;
use std::collections::BTreeMap;

mod supplies;

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
    /// Of those, trays whose seed is handed over instead.
    pub seed_trays: i64,
    /// Trays sown, so that those ordered are there after what is lost.
    pub sown: i64,
    /// Trays grown besides, for no field.
    pub spare: i64,
}

/// Order lines that are not firm.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct LineSum {
    /// Order lines.
    pub fields: usize,
    /// Their trays.
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
    /// All fields with a firm order; the spare is none.
    pub fields: usize,
    /// Their area, ha.
    pub area_ha: Hectares,
    /// Trays ordered, margins included.
    pub trays: i64,
    /// By kind, in the scenario's order.
    pub kinds: Vec<KindSum>,
    /// Asked, not firm: nothing is grown for them.
    pub asked: LineSum,
    /// Cancelled: nothing is grown for them.
    pub cancelled: LineSum,
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
                let all = || scenario.fields.iter().filter(|field| field.kind == kind.id);
                let fields = || all().filter(|field| !field.spare);
                let seed = |field: &&Field| field.stage == HandOver::SoakedSeed;
                KindSum {
                    kind: kind.id.clone(),
                    name: kind.name.clone(),
                    fields: fields().count(),
                    area_ha: Hectares {
                        0: fields().map(|field| field.area_ha.0).sum(),
                    },
                    trays: total(fields()),
                    seed_trays: total(fields().filter(seed)),
                    sown: fields()
                        .filter(|field| !seed(field))
                        .map(|field| sown(kind, field))
                        .sum(),
                    spare: total(all().filter(|field| field.spare)),
                }
            })
            .collect();
        Summary {
            name: scenario.name.clone(),
            horizon: scenario.horizon.to_string(),
            days: scenario.horizon.days(),
            fields: kinds.iter().map(|kind| kind.fields).sum(),
            area_ha: Hectares {
                0: scenario.fields.iter().map(|field| field.area_ha.0).sum(),
            },
            trays: kinds.iter().map(|kind| kind.trays).sum(),
            kinds,
            asked: not_firm(scenario, OrderState::Enquiry),
            cancelled: not_firm(scenario, OrderState::Cancelled),
            tasks_left_out: tasks_left_out(scenario),
            scenario_sha256: sha256(scenario),
        }
    }
}

fn total<'a>(fields: impl Iterator<Item = &'a Field>) -> i64 {
    fields.map(|field| trays::of_field(field).total).sum()
}

/// Trays sown for a field, part by part.
fn sown(kind: &Kind, field: &Field) -> i64 {
    let kept = Kept::of(&kind.losses, field.stage);
    let parts = trays::of_field(field).trays;
    parts.into_iter().map(|trays| kept.sown(trays)).sum()
}

fn not_firm(scenario: &Scenario, state: OrderState) -> LineSum {
    let lines = || {
        scenario
            .not_firm
            .iter()
            .filter(|field| field.state == state)
    };
    LineSum {
        fields: lines().count(),
        trays: total(lines()),
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
        row("", of_kind(kind));
    }
    for (word, lines) in [("asked, not firm", sum.asked), ("cancelled", sum.cancelled)] {
        if lines.fields > 0 {
            let trays = count(lines.trays, "tray", "trays");
            let lines = count(lines.fields, "order line", "order lines");
            row(
                "",
                format!("{word}: {trays}, {lines}; nothing is grown for them"),
            );
        }
    }
    for kind in sum.kinds.iter().filter(|kind| kind.spare > 0) {
        let spare = count(kind.spare, "tray", "trays");
        let weeks = scenario.fields.iter();
        let weeks = weeks.filter(|field| field.spare && field.kind == kind.kind);
        let weeks = count(weeks.count(), "week", "weeks");
        row(
            "Spare",
            format!("{}: {spare} for no field, {weeks}", kind.name),
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
                "{}: {} trays, {}, {}{}",
                bed.name,
                bed.trays(),
                stages.join(" and "),
                warmth(bed.temperature),
                closed(scenario, bed)
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
                "{}: {people}, from {}, {} h{}",
                crew.name,
                clock(crew.shift_start_minute),
                crew.shift_hours,
                by_week(crew)
            ),
        );
    }
    for (name, text) in supplies::rows(scenario) {
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

/// Days of the horizon on which a bed is closed; empty when there are none.
fn closed(scenario: &Scenario, bed: &Bed) -> String {
    let days = scenario.horizon.iter();
    let closed = days.filter(|day| bed.closed.iter().any(|span| span.contains(*day)));
    match closed.count() {
        0 => String::new(),
        days => format!(", closed on {}", count(days, "day", "days")),
    }
}

/// What is decided and limited by the ISO week of a crew; empty where it is by the day.
fn by_week(crew: &Crew) -> String {
    let hired = crew.casual.filter(|casual| casual.most > 0);
    let hired = hired.map(|casual| format!(", up to {} more by the week", casual.most));
    let hours = crew.week_hours_most;
    let hours = hours.map(|hours| format!(", at most {hours} h a week each"));
    hired.unwrap_or_default() + &hours.unwrap_or_default()
}

/// One kind's orders: what leaves, what is sown for it, what goes as seed.
fn of_kind(kind: &KindSum) -> String {
    let fields = count(kind.fields, "field", "fields");
    let mut text = format!(
        "{}: {} trays, {fields}, {} ha",
        kind.name, kind.trays, kind.area_ha
    );
    let grown = kind.trays - kind.seed_trays;
    if kind.sown > grown {
        text.push_str(&format!("; {} sown, so that {grown} leave", kind.sown));
    }
    if kind.seed_trays > 0 {
        let trays = count(kind.seed_trays, "tray", "trays");
        text.push_str(&format!("; seed for {trays} is handed over"));
    }
    text
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
