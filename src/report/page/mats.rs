//! Whose mats are too old, too young or too few, and whose are within the limits but off the best age.

use super::data::{Mat, Wrong};
use crate::audit::Subject;
use crate::audit::daily::Counted;
use crate::calendar::Day;
use crate::plan::tasks::TaskGraph;
use crate::plan::view::{PartView, RunView};
use crate::units::Money;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Parts off the best age that are listed.
const LISTED: usize = 4;

/// All from `today` on, worst first, and how many off the best age are left out.
pub(super) fn of(graph: &TaskGraph<'_>, counted: &Counted, today: Day) -> (Vec<Mat>, usize) {
    let mut mats = too_few(graph);
    let runs = graph.view.runs.iter();
    let all = runs.flat_map(|run| run.parts.iter().map(move |part| (run, part)));
    let parts: Vec<(&RunView<'_>, &PartView<'_>)> = all
        .filter(|(_, part)| part.delivery.day >= today && part.is_planted())
        .collect();
    for (_, part) in &parts {
        mats.extend(out_of_limits(part, counted));
    }
    let costs: BTreeMap<(&str, &str, u32), Money> = counted
        .parts
        .iter()
        .map(|one| ((one.run.as_str(), one.field.as_str(), one.part), one.age))
        .collect();
    let mut off: Vec<(Money, Mat)> = Vec::new();
    for (run, part) in parts {
        let d = part.delivery;
        let cost = costs.get(&(d.run.as_str(), d.field.as_str(), d.part));
        let best = run.kind.age.target;
        let Some(cost) = cost.filter(|cost| **cost > Money::ZERO && d.age != best) else {
            continue;
        };
        let (wrong, than) = match d.age > best {
            true => (Wrong::OverBest, "older than the best age"),
            false => (Wrong::UnderBest, "younger than the best age"),
        };
        let days = d.day.since(run.run.sow);
        off.push((*cost, mat(part, wrong, format!("{days} days old, {than}"))));
    }
    off.sort_by_key(|(cost, mat)| (Reverse(*cost), mat.day, mat.field.clone()));
    let more = off.len().saturating_sub(LISTED);
    mats.sort_by_key(|mat| (mat.wrong, mat.day, mat.field.clone()));
    mats.extend(off.into_iter().take(LISTED).map(|(_, mat)| mat));
    (mats, more)
}

fn mat(part: &PartView<'_>, wrong: Wrong, words: String) -> Mat {
    Mat {
        wrong,
        grower: part.field.grower.clone(),
        field: part.name(),
        trays: part.delivery.trays,
        day: Some(part.delivery.day),
        words,
    }
}

fn too_few(graph: &TaskGraph<'_>) -> Vec<Mat> {
    let plan = graph.view.plan;
    let fields = &plan.scenario.fields;
    let short = plan.shortfalls.iter().map(|short| {
        let field = fields.iter().find(|field| field.id == short.field);
        let help = short.help.as_ref();
        let words = match help {
            Some(help) => format!("{}; {help}", short.reason),
            None => short.reason.clone(),
        };
        Mat {
            wrong: Wrong::TooFew,
            grower: field.map_or(String::new(), |field| field.grower.clone()),
            field: match field.is_some_and(|field| field.parts > 1) {
                true => format!("{} part {}", short.field, short.part),
                false => short.field.clone(),
            },
            trays: short.trays,
            day: short.decide_by,
            words,
        }
    });
    short.collect()
}

/// What the count says of the age of a part.
fn out_of_limits(part: &PartView<'_>, counted: &Counted) -> Option<Mat> {
    let d = part.delivery;
    let about = Subject::Part {
        field: d.field.clone(),
        part: d.part,
    };
    let breaches = counted.audit.breaches.iter();
    let mut of_part = breaches.filter(|breach| breach.subject == about);
    let (wrong, words) = of_part.find_map(|breach| match breach.code {
        "A050" | "A054" => Some((Wrong::TooYoung, "younger than its kind allows")),
        "A051" | "A055" => Some((Wrong::TooOld, "older than its kind allows")),
        _ => None,
    })?;
    Some(mat(part, wrong, words.into()))
}
