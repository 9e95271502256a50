//! The sheet of each day with work, as parts with lines.

use super::data::{Sheet, SheetPart};
use crate::plan::day::{DayPlan, Job, day_plan};
use crate::plan::tasks::TaskGraph;
use crate::report::day::rows::rows;
use crate::report::day::words;
use crate::report::text::{short_day, trays};

/// Every day of the horizon on which somebody has something to do.
pub(super) fn all(graph: &TaskGraph<'_>) -> Vec<Sheet> {
    let days = graph.view.plan.scenario.horizon.iter();
    let plans = days.map(|day| day_plan(graph, day));
    let busy = plans.filter(|plan| !plan.is_idle());
    busy.map(|plan| sheet(&plan)).collect()
}

fn sheet(plan: &DayPlan) -> Sheet {
    let mut parts = vec![
        SheetPart {
            urgent: true,
            ..said("Cannot wait today", cannot_wait(plan))
        },
        said("Look first", looks(plan)),
        said("Decide before loading", before_loading(plan)),
        said("Does not fit: decide this morning", does_not_fit(plan)),
    ];
    for crew in &plan.crews {
        parts.push(SheetPart {
            title: words::crew_title(crew),
            urgent: false,
            work: true,
            lines: jobs(&crew.jobs, (!crew.day_off).then_some(crew.until_minute)),
        });
    }
    parts.push(SheetPart {
        title: "Also today, at no set time".into(),
        urgent: false,
        work: true,
        lines: jobs(&plan.uncounted, None),
    });
    parts.push(said("Last round", night(plan)));
    let title = format!("For tomorrow, {}", short_day(plan.tomorrow.day));
    parts.push(said(&title, tomorrow(plan)));
    let of_day: Vec<&Job> = plan.jobs().collect();
    let high = plan.weather.map(|row| row.max_c);
    let mind = words::work::cautions(&of_day, high, plan.night.as_ref());
    let mut mind: Vec<String> = mind.into_iter().map(str::to_string).collect();
    if !mind.is_empty() {
        mind.push("Labels, the machine's manual and local rules go before this sheet.".into());
    }
    parts.push(said("Mind", mind));
    parts.retain(|part| !part.lines.is_empty());
    Sheet {
        day: plan.day,
        parts,
    }
}

fn said(title: &str, lines: Vec<String>) -> SheetPart {
    SheetPart {
        title: title.to_string(),
        urgent: false,
        work: false,
        lines: lines
            .into_iter()
            .map(|line| [String::new(), String::new(), line])
            .collect(),
    }
}

fn jobs(jobs: &[Job], shift_end: Option<i64>) -> Vec<[String; 3]> {
    rows(jobs, shift_end)
        .into_iter()
        .map(|[times, people, text, _]| [times, people, text])
        .collect()
}

fn cannot_wait(plan: &DayPlan) -> Vec<String> {
    let mut lines: Vec<String> = plan.cannot_wait.iter().map(words::cannot_wait).collect();
    if plan.more_cannot_wait > 0 {
        lines.push(format!("and {} more below", plan.more_cannot_wait));
    }
    lines
}

fn looks(plan: &DayPlan) -> Vec<String> {
    let looks = plan.looks.iter();
    looks.map(|look| words::look(look, plan.day).0).collect()
}

fn before_loading(plan: &DayPlan) -> Vec<String> {
    let Some(decide) = &plan.before_loading else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    if decide.trays > 0 {
        let count = trays(decide.trays);
        lines.push(format!(
            "{count} to be planted. Rain, or a high of 15 °C or less: do not plant; call the growers."
        ));
    }
    if decide.too_cold && decide.trays > 0 {
        lines.push("Today's high is counted on at 15 °C or less.".into());
    }
    if decide.nobody_told {
        lines.push("No grower was told this day yet: call each before loading.".into());
    } else if !decide.not_told.is_empty() {
        let growers = decide.not_told.join("; ");
        lines.push(format!("Not told this day yet, call first: {growers}"));
    }
    lines
}

fn does_not_fit(plan: &DayPlan) -> Vec<String> {
    let overtime = plan.crews.iter().filter(|crew| crew.offered_minutes > 0);
    let overtime = overtime.map(|crew| {
        format!(
            "{}: overtime that is allowed and not in the plan; agree who stays",
            crew.name
        )
    });
    let misfits = plan.misfits.iter().map(words::misfit);
    let breaches = plan.breaches.iter().cloned();
    overtime.chain(misfits).chain(breaches).collect()
}

fn night(plan: &DayPlan) -> Vec<String> {
    let Some(night) = &plan.night else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    if let Some(low) = night.low_c {
        let low = words::whole(low);
        let cold = match night.cold {
            true => ": close and cover, someone watches",
            false => "",
        };
        lines.push(format!("Low counted on: {low} °C outdoors{cold}."));
    }
    let places = night.places.join(", ");
    lines.push(format!("Closed, trays and warmth looked at: {places}"));
    lines
}

fn tomorrow(plan: &DayPlan) -> Vec<String> {
    let tomorrow = &plan.tomorrow;
    let mut lines = Vec::new();
    for out in &tomorrow.seed_out {
        let (runs, kind) = (out.runs.join(", "), &out.kind);
        let wet = words::kg(out.seed.wet);
        let soil = out.soil.map_or(String::new(), |soil| {
            format!("; soil: bed {} L, cover {} L", soil.bed_l, soil.cover_l)
        });
        lines.push(format!(
            "Seed out, for the line: {runs} {kind}, {wet} wet{soil}"
        ));
    }
    if tomorrow.clean_trays > 0 {
        let count = tomorrow.clean_trays;
        lines.push(format!("Clean trays at the line: {count}"));
    }
    for out in &tomorrow.to_soak {
        let (runs, kind) = (out.runs.join(", "), &out.kind);
        let dry = words::bags_or_kg(out.bags, out.seed.dry);
        lines.push(format!("Seed out, to soak: {runs} {kind}, {dry} dry"));
    }
    for out in &tomorrow.hand_over {
        let (runs, kind) = (out.runs.join(", "), &out.kind);
        let dry = words::kg_weighed(out.seed.dry);
        lines.push(format!(
            "Seed to hand over: {runs} {kind}, {dry} dry, labelled"
        ));
    }
    if tomorrow.seed_out.len() + tomorrow.to_soak.len() + tomorrow.hand_over.len() > 0 {
        lines.push("Two people read the label: kind, seed lot".into());
    }
    for call in &tomorrow.calls {
        lines.push(format!("Call tonight: {}", words::call(call)));
    }
    if lines.is_empty() {
        lines.push("No seed to bring out, nobody to call.".into());
    }
    lines
}
