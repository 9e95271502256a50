//! Looks up in a plan, and in what is counted elsewhere, what the page shows.

use super::data::{Call, Data, Differences, Lot, Why};
use super::{loads, mats, sheet};
use crate::audit::daily::{PartCost, daily};
use crate::calendar::{Day, DayRange};
use crate::disrupt::difference::between;
use crate::disrupt::sweep::Cell;
use crate::plan::Plan;
use crate::plan::day::day_plan;
use crate::plan::tasks::TaskGraph;
use crate::plan::view::{PartView, PlanError, RunView};
use crate::report::day::words;
use crate::report::otherwise::say;
use crate::report::text::money;
use crate::report::weeks;
use crate::scenario::AgeClock;
use crate::units::{Money, div_near};
use std::collections::BTreeMap;

/// What the page is made from.
#[derive(Clone, Copy)]
pub struct Given<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The day from which it is seen.
    pub today: Day,
    /// The plan before, when it is kept.
    pub earlier: Option<&'a Plan>,
    /// Another plan, and what it is called.
    pub beside: Option<(&'a Plan, &'a str)>,
    /// Cells of a sweep; empty: none.
    pub sweep: &'a [Cell],
    /// Why parts go as they go, by field and part; empty: not asked.
    pub why: &'a BTreeMap<(String, u32), Why>,
}

/// All that stands on the page.
///
/// # Errors
/// [`PlanError`] when a name or a number in the plan cannot be worked with.
pub fn gather(given: Given<'_>) -> Result<Data, PlanError> {
    let Given { plan, today, .. } = given;
    let graph = TaskGraph::new(plan)?;
    let counted = daily(plan, &plan.scenario);
    let scenario = &plan.scenario;
    let sheets = sheet::all(&graph);
    let (seasons, lots) = lots(&graph, &counted.parts, given.why);
    let (mats, more_off_best) = mats::of(&graph, &counted, today);
    let near = [today, today.plus(1)];
    let works = |day: Day| sheets.iter().any(|sheet| sheet.day == day);
    let later = sheets.iter().map(|sheet| sheet.day);
    let next_work = later
        .filter(|day| *day > today)
        .find(|_| !near.iter().any(|day| works(*day)));
    Ok(Data {
        nursery: scenario.name.clone(),
        revision: plan.revision,
        horizon: scenario.horizon,
        today,
        next_work,
        mats,
        more_off_best,
        calls: calls(&graph, today),
        full: loads::full(plan, &counted.loads, today),
        changed: given.earlier.map(|old| {
            let from = format!("plan {}", old.revision);
            differences(old, plan, today, from)
        }),
        lots,
        seasons,
        loads: loads::against_limits(plan, &counted),
        stocks: loads::stocks(plan, &counted.loads),
        orders: loads::orders(plan)?,
        crews: weeks::of(plan, weeks::Which::All),
        beside: given.beside.map(|(other, name)| {
            let first = scenario.horizon.first.max(other.scenario.horizon.first);
            differences(other, plan, first, name.to_string())
        }),
        sweep: given.sweep.to_vec(),
        currency: scenario.currency.clone(),
        sheets,
    })
}

fn calls(graph: &TaskGraph<'_>, today: Day) -> Vec<Call> {
    let sheet = day_plan(graph, today);
    let not_told = sheet.before_loading.iter().flat_map(|one| &one.not_told);
    let mut calls: Vec<Call> = not_told
        .map(|grower| Call {
            about: "Before loading today: not told this day yet".into(),
            words: grower.clone(),
        })
        .collect();
    calls.extend(sheet.tomorrow.calls.iter().map(|call| Call {
        about: words::call_heading(call.about).to_string(),
        words: words::call(call),
    }));
    calls
}

fn differences(old: &Plan, new: &Plan, from_day: Day, from: String) -> Differences {
    let found = between(old, new, from_day);
    let calls = found.changes.iter().filter(|one| !one.grower.is_empty());
    let name = |field: &str, part: u32, in_parts: bool| match in_parts {
        true => format!("{field} part {part}"),
        false => field.to_string(),
    };
    let kind = |id: &str| {
        let mut kinds = new.scenario.kinds.iter();
        let kind = kinds.find(|kind| kind.id == id);
        kind.map_or(id.to_string(), |kind| kind.name.clone())
    };
    Differences {
        from,
        calls: calls
            .map(|one| {
                (
                    one.call_by,
                    one.grower.clone(),
                    name(&one.field, one.part, one.in_parts),
                    one.trays,
                    say(one, &new.scenario),
                )
            })
            .collect(),
        days: found
            .days
            .iter()
            .map(|one| {
                (
                    one.day,
                    one.work.to_string(),
                    kind(&one.kind),
                    one.from,
                    one.to,
                )
            })
            .collect(),
    }
}

/// Seasons by their first day, and every lot by season, sow day, run and field.
fn lots(
    graph: &TaskGraph<'_>,
    costs: &[PartCost],
    why: &BTreeMap<(String, u32), Why>,
) -> (Vec<String>, Vec<Lot>) {
    let scenario = &graph.view.plan.scenario;
    let costs: BTreeMap<(&str, &str, u32), &PartCost> = costs
        .iter()
        .map(|one| ((one.run.as_str(), one.field.as_str(), one.part), one))
        .collect();
    let mut seasons: Vec<(Day, &str, &str)> = scenario
        .seasons
        .iter()
        .map(|season| (season.span.first, season.id.as_str(), season.name.as_str()))
        .collect();
    seasons.sort();
    let mut names: Vec<String> = seasons
        .iter()
        .map(|(_, _, name)| name.to_string())
        .collect();
    let without = names.len();
    names.push(if names.is_empty() {
        String::new()
    } else {
        "Without a season".into()
    });
    let mut lots = Vec::new();
    for run in &graph.view.runs {
        for part in &run.parts {
            let d = part.delivery;
            let season = part.field.season.as_deref();
            let season = seasons.iter().position(|(_, id, _)| Some(*id) == season);
            let cost = costs.get(&(d.run.as_str(), d.field.as_str(), d.part));
            let mut lot = lot(graph, run, part, cost.copied());
            lot.season = season.unwrap_or(without);
            lot.why = why.get(&(d.field.clone(), d.part)).cloned();
            lots.push(((lot.season, lot.sow, d.run.clone(), lot.name.clone()), lot));
        }
    }
    lots.sort_by(|one, other| one.0.cmp(&other.0));
    (names, lots.into_iter().map(|(_, lot)| lot).collect())
}

fn lot(
    graph: &TaskGraph<'_>,
    run: &RunView<'_>,
    part: &PartView<'_>,
    cost: Option<&PartCost>,
) -> Lot {
    let (d, scenario) = (part.delivery, &graph.view.plan.scenario);
    let in_beds = part.green_bed.is_some();
    let line = run.line.map(|line| line.name.as_str());
    let mut places: Vec<String> = part.place.iter().map(|place| place.name.clone()).collect();
    for hard in [false, true] {
        let stands = part
            .bed(hard)
            .map(|(bed, rows)| words::in_rows(&bed.name, rows));
        places.extend(stands.filter(|stands| places.last() != Some(stands)));
    }
    Lot {
        name: part.name(),
        grower: match part.field.spare {
            true => "spare".into(),
            false => part.field.grower.clone(),
        },
        kind: run.kind.name.clone(),
        season: 0,
        run: match line {
            Some(line) => format!(
                "{}, run {} of the day on {line}",
                run.run.id, run.run.place_in_day
            ),
            None => run.run.id.clone(),
        },
        trays: d.trays,
        sown: d.sown(),
        soak: run.run.soak,
        drain: run.run.drain,
        sow: run.run.sow,
        open: part.place.map(|_| d.open),
        harden: in_beds.then_some(d.harden),
        leaves: d.leaves(),
        day: d.day,
        ends: match (part.is_planted(), part.field.spare) {
            (true, _) => "planted",
            (_, true) => "spare until",
            _ => "handed over",
        },
        window: window(part, graph),
        preferred: part.field.preferred,
        promised: d.promised,
        age: age(run, part),
        places,
        cost: cost.map_or_else(Vec::new, |cost| terms(cost, &scenario.currency)),
        why: None,
    }
}

/// The days on which it may be planted, as spans.
fn window(part: &PartView<'_>, graph: &TaskGraph<'_>) -> Vec<DayRange> {
    let scenario = &graph.view.plan.scenario;
    let (first, last) = part.days(scenario);
    let horizon = scenario.horizon;
    let all = DayRange {
        first: first.unwrap_or(horizon.first).max(horizon.first),
        last: last.unwrap_or(horizon.last).min(horizon.last),
    };
    let mut spans: Vec<DayRange> = Vec::new();
    for day in all.iter().filter(|day| part.may_end_on(scenario, *day)) {
        match spans.last_mut() {
            Some(span) if span.last.plus(1) == day => span.last = day,
            _ => spans.push(DayRange {
                first: day,
                last: day,
            }),
        }
    }
    spans
}

/// "24 days after sowing; on its clock 3.2 leaves, best 3".
fn age(run: &RunView<'_>, part: &PartView<'_>) -> String {
    if part.is_seed() {
        return "seed".into();
    }
    let days = part.delivery.day.since(run.run.sow);
    let since = crate::report::text::count(days, "day", "days");
    let limits = run.kind.age;
    let (is, best) = (part.delivery.age, limits.target);
    match limits.clock {
        _ if !part.is_planted() => format!("{since} after sowing"),
        AgeClock::Days => format!("{since} after sowing, best {best}"),
        AgeClock::Leaves => {
            let tenths = |age: crate::units::Age| crate::units::Fixed::<1>(div_near(age.0, 10));
            let (is, best) = (tenths(is), tenths(best));
            format!("{since} after sowing: {is} leaves, best {best}")
        }
        AgeClock::Thermal => {
            let whole = |age: crate::units::Age| div_near(age.0, 100);
            let (is, best) = (whole(is), whole(best));
            format!("{since} after sowing: {is} °C·d, best {best}")
        }
    }
}

fn terms(cost: &PartCost, currency: &str) -> Vec<(&'static str, String)> {
    let terms = [
        ("age off the best", cost.age),
        ("days off the preferred day", cost.off_preferred),
        ("waiting at the field's edge", cost.edge),
        ("moved from bed to bed", cost.moves),
        ("another day than was told", cost.moved),
    ];
    let there = terms.into_iter().filter(|(_, sum)| *sum != Money::ZERO);
    there
        .map(|(name, sum)| (name, format!("{} {currency}", money(sum))))
        .collect()
}
