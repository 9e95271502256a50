//! Tables by day and by week: the work, the people, the stores, the trays.

use super::{Cell, Sheet};
use crate::plan::day::{CrewDay, Job, day_plan};
use crate::plan::tasks::TaskGraph;
use crate::plan::view::PlanError;
use crate::report::day::words::work_verb;
use crate::report::text::clock;
use crate::stores::tray_days::tray_days;
use crate::stores::{Amount, needs};

/// Every job of every day, daily care too.
pub(super) fn work(graph: &TaskGraph<'_>) -> Sheet {
    let mut sheet = Sheet::new(
        "work",
        &[
            "day",
            "crew",
            "from",
            "until",
            "people",
            "person_minutes",
            "work",
            "kind",
            "trays",
            "runs",
            "field",
            "grower",
            "from_place",
            "to_place",
            "load_kg",
            "seed_dry_kg",
        ],
    );
    for day in graph.view.plan.scenario.horizon.iter() {
        let plan = day_plan(graph, day);
        let of_crews = plan
            .crews
            .iter()
            .flat_map(|crew| crew.jobs.iter().map(move |job| (Some(crew), job)));
        let jobs = of_crews.chain(plan.uncounted.iter().map(|job| (None, job)));
        sheet.rows.extend(jobs.map(|(crew, job)| {
            let mut row = vec![Cell::Day(day)];
            row.extend(cells(crew, job));
            row
        }));
    }
    sheet
}

fn cells(crew: Option<&CrewDay>, job: &Job) -> Vec<Cell> {
    let spells = job.spells.iter();
    let from = spells.clone().map(|spell| spell.from_minute).min();
    let until = spells.clone().map(|spell| spell.until_minute).max();
    let people = spells.map(|spell| spell.people).max();
    let time = |minute: Option<i64>| minute.map_or(Cell::Empty, |minute| Cell::Text(clock(minute)));
    let party = job.party.as_ref();
    vec![
        Cell::maybe(crew.map(|crew| &crew.crew)),
        time(from),
        time(until),
        people.map_or(Cell::Empty, Cell::whole),
        Cell::whole(job.person_minutes),
        Cell::text(work_verb(job).to_lowercase()),
        Cell::maybe(job.kind.as_ref()),
        Cell::whole(job.trays),
        Cell::text(job.runs.join(" ")),
        Cell::maybe(party.map(|party| &party.field)),
        Cell::maybe(party.map(|party| &party.grower)),
        Cell::maybe(job.from_place.as_ref()),
        Cell::maybe(job.to_place.as_ref()),
        job.load_kg.map_or(Cell::Empty, Cell::whole),
        job.seed.map_or(Cell::Empty, |seed| Cell::fixed(seed.dry)),
    ]
}

/// People and their time by crew and week.
pub(super) fn people(graph: &TaskGraph<'_>) -> Sheet {
    let mut sheet = Sheet::new(
        "people",
        &[
            "crew",
            "week",
            "people",
            "hired",
            "work_minutes",
            "shift_minutes",
            "bought_minutes",
        ],
    );
    for week in &graph.view.plan.people {
        sheet.rows.push(vec![
            Cell::text(&week.crew),
            Cell::text(week.week.to_string()),
            Cell::whole(week.people),
            Cell::whole(week.casual),
            Cell::whole(week.needed_minutes),
            Cell::whole(week.shift_minutes),
            Cell::whole(week.bought_minutes),
        ]);
    }
    sheet
}

/// What is in store, taken and to be bought over the season.
pub(super) fn stores(graph: &TaskGraph<'_>) -> Result<Sheet, PlanError> {
    let mut sheet = Sheet::new(
        "stores",
        &[
            "what",
            "unit",
            "in_store",
            "on_order",
            "set_aside",
            "used",
            "to_buy",
            "left",
            "short_from",
        ],
    );
    for item in needs(graph.view.plan)?.items {
        let to_buy = item.orders.iter().map(|order| order.amount.parts).sum();
        let to_buy = Amount {
            unit: item.unit,
            parts: to_buy,
        };
        sheet.rows.push(vec![
            Cell::text(&item.name),
            Cell::text(item.unit.sign()),
            amount(item.in_store),
            amount(item.on_order),
            amount(item.set_aside),
            amount(item.used),
            amount(to_buy),
            amount(item.left),
            Cell::day(item.runs_dry.map(|dry| dry.from)),
        ]);
    }
    Ok(sheet)
}

/// Exact: the small parts of a unit are a power of ten.
fn amount(amount: Amount) -> Cell {
    Cell::Number {
        value: amount.parts,
        places: amount.unit.parts().ilog10(),
    }
}

/// Where the trays are, evening by evening.
pub(super) fn trays(graph: &TaskGraph<'_>) -> Result<Sheet, PlanError> {
    let mut sheet = Sheet::new(
        "trays",
        &[
            "day",
            "clean",
            "in_stacks_and_beds",
            "lids_and_bases",
            "dirty",
            "drying",
            "away_or_lost",
        ],
    );
    for (day, trays) in tray_days(graph.view.plan)? {
        sheet.rows.push(vec![
            Cell::Day(day),
            Cell::whole(trays.clean),
            Cell::whole(trays.standing),
            Cell::whole(trays.around),
            Cell::whole(trays.dirty),
            Cell::whole(trays.drying),
            Cell::whole(trays.away),
        ]);
    }
    Ok(sheet)
}
