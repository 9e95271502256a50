//! The tables of a plan as plain data: runs, deliveries, work, people, stores, trays, what is short, what it costs.

use super::season::{people, stores, trays, work};
use super::{Cell, Sheet};
use crate::plan::tasks::TaskGraph;
use crate::plan::view::PlanError;
use crate::report::names::without_names;
use crate::scenario::HandOver;
use crate::units::{Fixed, Money};

/// All tables of a plan.
///
/// # Arguments
/// * `names`: false leaves out growers' names, in the names of kinds too, all money, and words that may hold either.
///
/// # Errors
/// [`PlanError`] when the stores cannot be counted.
pub fn gather(graph: &TaskGraph<'_>, names: bool) -> Result<Vec<Sheet>, PlanError> {
    if names {
        let mut sheets = without_money(graph)?;
        sheets.push(cost(graph));
        return Ok(sheets);
    }
    let plan = without_names(graph.view.plan, |n| format!("grower {n}"));
    let left_out = ["grower", "reason", "help"];
    let sheets = without_money(&TaskGraph::new(&plan)?)?;
    let kept = sheets.into_iter().map(|sheet| sheet.without(&left_out));
    Ok(kept.collect())
}

/// All tables but that of the cost.
fn without_money(graph: &TaskGraph<'_>) -> Result<Vec<Sheet>, PlanError> {
    Ok(vec![
        runs(graph),
        deliveries(graph),
        work(graph),
        people(graph),
        stores(graph)?,
        trays(graph)?,
        short(graph),
    ])
}

fn runs(graph: &TaskGraph<'_>) -> Sheet {
    let mut sheet = Sheet::new(
        "runs",
        &[
            "run",
            "line",
            "kind",
            "kind_name",
            "soak",
            "drain",
            "sow",
            "place_in_day",
            "trays",
            "trial_trays",
            "thrown_trays",
            "stacks",
            "first_opened",
            "seed_soaked_kg",
            "hopper_kg",
        ],
    );
    let scenario = &graph.view.plan.scenario;
    for run in &graph.view.runs {
        let r = run.run;
        let soaked = r.soak.filter(|soak| *soak >= scenario.horizon.first);
        let weight = |known: bool, kg: Fixed<3>| if known { Cell::fixed(kg) } else { Cell::Empty };
        sheet.rows.push(vec![
            Cell::text(&r.id),
            Cell::maybe(r.line.as_ref()),
            Cell::text(&r.kind),
            Cell::text(&run.kind.name),
            Cell::day(r.soak),
            Cell::day(r.drain),
            Cell::Day(r.sow),
            Cell::whole(r.place_in_day),
            Cell::whole(r.trays),
            Cell::whole(r.trial_trays),
            Cell::whole(r.thrown_trays),
            Cell::whole(r.stacks.iter().map(|stack| stack.stacks).sum::<i64>()),
            Cell::day(r.stacks.iter().map(|stack| stack.open).min()),
            weight(soaked.is_some(), run.soaked_kg(scenario)),
            weight(run.line.is_some(), run.hopper_kg()),
        ]);
    }
    sheet
}

fn deliveries(graph: &TaskGraph<'_>) -> Sheet {
    let mut sheet = Sheet::new(
        "deliveries",
        &[
            "field",
            "part",
            "grower",
            "season",
            "kind",
            "run",
            "sow",
            "opened",
            "hardened",
            "leaves",
            "planted",
            "told",
            "age",
            "trays",
            "sown_trays",
            "load_kg",
            "area_ha",
            "germination",
            "green_bed",
            "harden_bed",
        ],
    );
    let scenario = &graph.view.plan.scenario;
    for run in &graph.view.runs {
        for part in &run.parts {
            let (d, field) = (part.delivery, part.field);
            // Nobody has weighed what leaves before it is a seedling.
            let weighed = field.stage == HandOver::Seedlings && !field.spare;
            let kg = Cell::Number {
                value: i128::from(d.trays) * i128::from(scenario.trays.loaded_kg.0),
                places: 2,
            };
            sheet.rows.push(vec![
                Cell::text(&d.field),
                Cell::whole(d.part),
                Cell::text(&field.grower),
                Cell::maybe(field.season.as_ref()),
                Cell::text(&run.kind.id),
                Cell::text(&d.run),
                Cell::Day(run.run.sow),
                Cell::Day(d.open),
                Cell::Day(d.harden),
                Cell::Day(d.leaves()),
                Cell::Day(d.day),
                Cell::day(d.promised),
                Cell::fixed(d.age),
                Cell::whole(d.trays),
                Cell::whole(d.sown()),
                if weighed { kg } else { Cell::Empty },
                Cell::fixed(Fixed::<4>(part.area_m2)),
                Cell::maybe(d.germination.as_ref()),
                Cell::maybe(d.green_bed.as_ref()),
                Cell::maybe(d.harden_bed.as_ref()),
            ]);
        }
    }
    sheet
}

fn short(graph: &TaskGraph<'_>) -> Sheet {
    let mut sheet = Sheet::new(
        "short",
        &[
            "field",
            "part",
            "grower",
            "trays",
            "decide_by",
            "reason",
            "help",
        ],
    );
    let plan = graph.view.plan;
    for short in &plan.shortfalls {
        let mut fields = plan.scenario.fields.iter();
        let field = fields.find(|field| field.id == short.field);
        sheet.rows.push(vec![
            Cell::text(&short.field),
            Cell::whole(short.part),
            Cell::maybe(field.map(|field| &field.grower)),
            Cell::whole(short.trays),
            Cell::day(short.decide_by),
            Cell::text(&short.reason),
            Cell::maybe(short.help.as_ref()),
        ]);
    }
    sheet
}

fn cost(graph: &TaskGraph<'_>) -> Sheet {
    let mut sheet = Sheet::new("cost", &["what", "amount", "currency"]);
    let plan = graph.view.plan;
    let cost = &plan.cost;
    let terms: [(&str, Money); 12] = [
        ("age off the target", cost.age),
        ("days off the preferred day", cost.off_preferred),
        ("waiting at the edges of fields", cost.edge),
        ("moves from bed to bed", cost.moves),
        ("parts of one field from several runs", cost.splits),
        ("set-ups of the lines", cost.set_ups),
        ("overtime", cost.overtime),
        ("days off worked", cost.rest_days),
        ("people hired by the week", cost.casuals),
        ("changes of people hired", cost.changes),
        ("days moved that were promised or planned", cost.moved),
        ("in all", cost.total),
    ];
    for (what, amount) in terms {
        sheet.rows.push(vec![
            Cell::text(what),
            Cell::fixed(amount),
            Cell::text(&plan.scenario.currency),
        ]);
    }
    sheet
}
