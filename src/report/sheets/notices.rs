//! Notices to growers: what is due on a day, by grower; a file holds only that grower's.
//!
//! A day is said as settled only when it was told to the grower and the plan still keeps it; any other is "about".

use super::words::{Words, say};
use super::{File, draw, several};
use crate::calendar::Day;
use crate::plan::day::{DayPlan, Job, Work, day_plan};
use crate::plan::tasks::TaskGraph;
use crate::plan::view::{PartView, RunView};
use crate::scenario::{HandOver, Scenario, Whose};
use crate::units::{Fixed, Hectares, div_near};
use std::collections::{BTreeMap, BTreeSet};

mod draw_notice;

/// What a notice is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NoticeKind {
    /// In winter: what is ordered, and about when it comes.
    Confirmation,
    /// It was sown today.
    Sown,
    /// It comes in a week: the half-day.
    Week,
    /// It comes tomorrow: the hour.
    Tomorrow,
    /// It comes today: the delivery note.
    Delivery,
}

impl NoticeKind {
    /// In the order of the season.
    pub const ALL: [NoticeKind; 5] = [
        NoticeKind::Confirmation,
        NoticeKind::Sown,
        NoticeKind::Week,
        NoticeKind::Tomorrow,
        NoticeKind::Delivery,
    ];

    /// As on the command line.
    pub const fn as_str(self) -> &'static str {
        match self {
            NoticeKind::Confirmation => "confirmation",
            NoticeKind::Sown => "sown",
            NoticeKind::Week => "week",
            NoticeKind::Tomorrow => "tomorrow",
            NoticeKind::Delivery => "delivery",
        }
    }

    /// The sort of that name.
    pub fn parse(name: &str) -> Option<NoticeKind> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == name)
    }
}

/// Days from the notice of the half-day to the day itself.
const WEEK: i32 = 7;

/// Days by which a day that was not told may still move, to either side, as it is said (common practice, no source).
const ABOUT: i32 = 1;

/// When something comes, as a grower may be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Told to the grower, and kept by the plan.
    Told(Day),
    /// Between these days.
    About(Day, Day),
    /// The first day was told, and the plan has another now: someone must call.
    Moved(Day),
}

/// What one part of a field is given.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Field, and its part when it has several.
    pub field: String,
    /// Name of the kind.
    pub kind: String,
    /// What its seed is treated with.
    pub treatment: Option<String>,
    /// Run, as it is written on stacks and labels.
    pub run: String,
    /// Trays that leave, or that the seed is for.
    pub trays: i64,
    /// Dry seed, when seed is handed over, kg.
    pub seed_dry_kg: Option<Fixed<3>>,
    /// What is given.
    pub stage: HandOver,
    /// Area of the part.
    pub area_ha: Hectares,
    /// When it leaves the nursery, or is fetched.
    pub comes: When,
    /// Day on which the plan has it leave.
    pub leaves: Day,
    /// Day counted on for planting; what waits at the edge is planted later than it comes.
    pub plant_by: Day,
    /// Days since sowing when it leaves.
    pub age_days: i32,
    /// About when on the day, minutes after midnight.
    pub minute: Option<i64>,
    /// The grower fetches it.
    pub collected: bool,
    /// Mats leave without trays.
    pub lifted: bool,
    /// The nursery's machine plants it.
    pub planted_by_us: bool,
    /// Empty trays to bring back.
    pub bring_back: i64,
}

/// Trays of an order that the plan does not grow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Short {
    /// Field.
    pub field: String,
    /// Trays.
    pub trays: i64,
}

/// What a grower is told on a day about one thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Notice {
    /// What about.
    pub kind: NoticeKind,
    /// Whose.
    pub grower: String,
    /// Parts of fields, by the day on which they come.
    pub items: Vec<Item>,
    /// What is not grown: only with the confirmation.
    pub short: Vec<Short>,
}

/// The notices that are due on `day`, by grower and sort.
///
/// # Arguments
/// * `graph`: the task graph of the plan.
/// * `day`: may lie before the plan's first day: up to that day the confirmation is due.
/// * `only`: these sorts; empty: all. A confirmation that is asked for is due on any day.
pub fn notices(graph: &TaskGraph<'_>, day: Day, only: &[NoticeKind]) -> Vec<Notice> {
    let wanted = |kind: &NoticeKind| only.is_empty() || only.contains(kind);
    let mut found = Vec::new();
    for kind in NoticeKind::ALL.into_iter().filter(wanted) {
        let about = match kind {
            NoticeKind::Week => Some(day_plan(graph, day.plus(WEEK))),
            NoticeKind::Tomorrow => Some(day_plan(graph, day.plus(1))),
            NoticeKind::Delivery => Some(day_plan(graph, day)),
            _ => None,
        };
        let asked = only.contains(&NoticeKind::Confirmation);
        let winter = asked || day <= graph.first_day();
        let mut by: BTreeMap<&str, Vec<Item>> = BTreeMap::new();
        for run in &graph.view.runs {
            for part in run.parts.iter().filter(|part| !part.field.spare) {
                let d = part.delivery;
                let due = match kind {
                    NoticeKind::Confirmation => winter,
                    NoticeKind::Sown => run.run.sow == day && !part.is_seed(),
                    NoticeKind::Week => d.leaves() == day.plus(WEEK),
                    NoticeKind::Tomorrow => d.leaves() == day.plus(1),
                    NoticeKind::Delivery => d.leaves() == day,
                };
                if due {
                    let item = item(graph, run, part, about.as_ref());
                    by.entry(&part.field.grower).or_default().push(item);
                }
            }
        }
        let short = (kind == NoticeKind::Confirmation && winter).then(|| short(graph));
        let mut short = short.unwrap_or_default();
        let growers: BTreeSet<&str> = by.keys().copied().chain(short.keys().copied()).collect();
        for grower in growers {
            let mut items = by.remove(grower).unwrap_or_default();
            items.sort_by(|one, two| (one.plant_by, &one.field).cmp(&(two.plant_by, &two.field)));
            found.push(Notice {
                kind,
                grower: grower.to_string(),
                items,
                short: short.remove(grower).unwrap_or_default(),
            });
        }
    }
    found.sort_by(|one, two| (&one.grower, one.kind).cmp(&(&two.grower, two.kind)));
    found
}

/// Trays that are not grown, by grower and field.
fn short<'a>(graph: &'a TaskGraph<'_>) -> BTreeMap<&'a str, Vec<Short>> {
    let plan = graph.view.plan;
    let mut by: BTreeMap<&str, Vec<Short>> = BTreeMap::new();
    for field in plan.scenario.fields.iter().filter(|field| !field.spare) {
        let of_field = plan.shortfalls.iter().filter(|one| one.field == field.id);
        let trays: i64 = of_field.map(|one| one.trays).sum();
        if trays > 0 {
            by.entry(&field.grower).or_default().push(Short {
                field: field.id.clone(),
                trays,
            });
        }
    }
    by
}

fn item(
    graph: &TaskGraph<'_>,
    run: &RunView<'_>,
    part: &PartView<'_>,
    day: Option<&DayPlan>,
) -> Item {
    let scenario = &graph.view.plan.scenario;
    let d = part.delivery;
    let grams = div_near(d.trays * run.kind.seed_g_dry_per_tray.0, 10);
    Item {
        field: part.name(),
        kind: run.kind.name.clone(),
        treatment: run.kind.treatment.as_ref().map(|treatment| {
            let known = scenario
                .agents
                .iter()
                .find(|agent| agent.id == treatment.agent);
            known.map_or(&treatment.agent, |agent| &agent.name).clone()
        }),
        run: run.run.id.clone(),
        trays: d.trays,
        seed_dry_kg: part.is_seed().then_some(Fixed(grams)),
        stage: part.field.stage,
        area_ha: Fixed(part.area_m2),
        comes: when(scenario, part),
        leaves: d.leaves(),
        plant_by: d.day,
        age_days: d.leaves().since(run.run.sow),
        minute: day.and_then(|day| minute(scenario, part, day, run)),
        collected: part.field.collected,
        lifted: part.field.lifted,
        planted_by_us: part
            .planter
            .is_some_and(|planter| planter.whose == Whose::Nursery),
        bring_back: if part.fetched() { d.trays } else { 0 },
    }
}

/// How its day may be said: settled only when it was told and holds.
fn when(scenario: &Scenario, part: &PartView<'_>) -> When {
    let d = part.delivery;
    match d.promised {
        Some(told) if told == d.day => return When::Told(d.leaves()),
        Some(told) => return When::Moved(told),
        None => {}
    }
    let (first, last) = part.days(scenario);
    let leaves = d.leaves();
    // What waits at the edge leaves before its window opens.
    let first = first.filter(|first| *first <= leaves);
    let from = leaves
        .plus(-ABOUT)
        .max(first.unwrap_or(leaves.plus(-ABOUT)));
    let until = leaves.plus(ABOUT);
    When::About(
        from,
        last.filter(|last| *last >= leaves)
            .map_or(until, |last| until.min(last)),
    )
}

/// When it is there: loaded, and half of the round trip later.
fn minute(
    scenario: &Scenario,
    part: &PartView<'_>,
    day: &DayPlan,
    run: &RunView<'_>,
) -> Option<i64> {
    let name = part.name();
    let of_part = |job: &&Job| {
        let field = job.party.as_ref().is_some_and(|party| party.field == name);
        job.work == Work::Load && field && job.runs.contains(&run.run.id)
    };
    let job = day.jobs().find(of_part)?;
    let loaded = job.spells.iter().map(|spell| spell.until_minute).max()?;
    let way = part.way_minutes(scenario).map_or(0, |minutes| {
        crate::units::Span::minutes(minutes).minutes_up() / 2
    });
    Some(loaded + way)
}

/// One file a grower; names of files say nothing of other growers.
///
/// # Arguments
/// * `notices`: those of one day, by grower.
pub fn files(graph: &TaskGraph<'_>, day: Day, notices: &[Notice], w: &Words) -> Vec<File> {
    let mut taken: BTreeSet<String> = BTreeSet::new();
    let of_grower = notices.chunk_by(|one, two| one.grower == two.grower);
    let file = |notices: &[Notice]| {
        let grower = notices.first().map_or("", |notice| notice.grower.as_str());
        let plain = plain(grower);
        let names = std::iter::once(plain.clone()).chain((2..).map(|n| format!("{plain}-{n}")));
        let name = names
            .into_iter()
            .find(|name| !taken.contains(&name.to_lowercase()))?;
        taken.insert(name.to_lowercase());
        let drawn: Vec<_> = notices
            .iter()
            .map(|one| draw_notice::notice(w, graph, day, one))
            .collect();
        let title = say!(
            w,
            "notice.title",
            nursery = graph.view.plan.scenario.name,
            day = w.long_day(day)
        );
        Some(File {
            name: format!("{name}.html"),
            text: draw::page(w, &title, &several(&drawn)),
        })
    };
    of_grower.filter_map(file).collect()
}

/// A name as a file may be called: letters, digits and hyphens.
fn plain(name: &str) -> String {
    let kept: String = name
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .take(60)
        .collect();
    match kept.trim_matches('-') {
        "" => "grower".into(),
        kept => kept.to_string(),
    }
}
