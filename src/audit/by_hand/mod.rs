//! A plan made by hand: a table of parts, sow days, planting days and trays, turned into a whole plan.
//!
//! The table says who is sown when and planted when. What it leaves out is filled in a plain way, so that the
//! count can judge it; nothing is improved:
//! * the first line of the scenario;
//! * rows in the order of sow day, planting day, field and part each take the first germination place, then the first green bed and the
//!   first bed to harden in, with room left beside the rows before; where none has room, the first one;
//! * soaking, draining, opening and greening on the days of the counting rules; where no day is legal, the soonest that could be meant, and
//!   the audit names the breach;
//! * the order of runs with the least set-up;
//! * as many trays sown as the losses need, or as stand already; no rows of beds;
//! * washing day by day, as much as the yard, the washer and the shift's spare time allow;
//! * time bought, people and cost as the audit counts them.

mod choose;
mod table;

use super::book::Book;
use super::hired::Hired;
use super::orders::{self, ordered};
use super::people::{self, Needed, washed_in};
use super::trays::{Yard, washed_per_day};
use super::warmth::Warmth;
use super::whole::fit;
use super::{Found, cost, usable, ways};
use crate::plan::types::{Bought, Cost, EndedBy, FORMAT, Plan, Shortfall, Washing};
use crate::problems::{Place, Problem, Problems, Severity};
use crate::scenario::{HandOver, Scenario};
use std::collections::BTreeMap;

/// The plan that a table made by hand means.
///
/// The table is CSV with the columns `field`, `part`, `sow` (day), `plant` (day), `trays`, and if wanted `line`,
/// `germination`, `green_bed`, `harden_bed`, `leaves` (day, for trays that wait at the field's edge), `green_rows` and `harden_rows`
/// (like `3 4 5` or `3-5`). `trays` are those that leave; what is sown so that they do follows from the order. For seed that is handed
/// over `plant` is the day of handing over, and `sow` is the same or empty. `file` is only for naming it in problems.
///
/// # Errors
/// Every problem of the table with its row and column, or why the scenario cannot be counted with.
pub fn plan_by_hand(scenario: &Scenario, table: &[u8], file: &str) -> Result<Plan, Problems> {
    let mut problems = Problems::default();
    for flaw in usable::flaws(scenario).into_iter().chain(lacks(scenario)) {
        problems.push(Problem {
            severity: Severity::Error,
            code: "H020",
            place: Place {
                file: file.to_string(),
                ..Place::default()
            },
            message: flaw,
            expected: None,
            help: Some("mend the scenario first".to_string()),
        });
    }
    if problems.any_error() {
        return Err(problems);
    }
    let rows = table::rows(scenario, table, file)?;
    let (runs, deliveries) = choose::runs_and_deliveries(scenario, rows);
    let mut plan = Plan {
        format: FORMAT.to_string(),
        revision: 1,
        scenario_sha256: crate::scenario::sha256(scenario),
        scenario: scenario.clone(),
        runs,
        deliveries,
        washing: Vec::new(),
        bought: Vec::new(),
        people: Vec::new(),
        shortfalls: Vec::new(),
        cost: Cost::default(),
        bound: None,
        ended_by: EndedBy::ByHand,
    };
    plan.shortfalls = shortfalls(&plan);
    let filled = count(&plan);
    (plan.washing, plan.bought, plan.people, plan.cost) = filled;
    Ok(plan)
}

/// What a plan cannot do without.
fn lacks(scenario: &Scenario) -> Vec<String> {
    let mut lacks = Vec::new();
    let stages = || scenario.fields.iter().map(|field| field.stage);
    let in_trays = stages().any(|stage| stage != HandOver::SoakedSeed);
    let in_beds = stages().any(|stage| stage == HandOver::Seedlings);
    for (what, none) in [
        ("line", in_trays && scenario.lines.is_empty()),
        (
            "germination place",
            in_trays && scenario.germination.is_empty(),
        ),
        ("bed", in_beds && scenario.beds.is_empty()),
    ] {
        if none {
            lacks.push(format!("the scenario has no {what}"));
        }
    }
    lacks
}

fn shortfalls(plan: &Plan) -> Vec<Shortfall> {
    let mut sent: BTreeMap<(&str, u32), i128> = BTreeMap::new();
    for delivery in &plan.deliveries {
        *sent.entry((&delivery.field, delivery.part)).or_default() += i128::from(delivery.trays);
    }
    let warmth = Warmth::of(&plan.scenario);
    let mut all = Vec::new();
    for (field, part, trays) in ordered(&plan.scenario) {
        let there = sent.get(&(field.id.as_str(), part)).copied();
        let short = trays - there.unwrap_or(0);
        if short < 1 {
            continue;
        }
        let reason = match there {
            None => "not in the table".to_string(),
            Some(there) => format!("the table has {there} of {trays} trays"),
        };
        all.push(Shortfall {
            field: field.id.clone(),
            part,
            trays: fit(short),
            reason,
            help: None,
            decide_by: ways::decide_by(&plan.scenario, &warmth, field, part),
        });
    }
    all
}

type Filled = (
    Vec<Washing>,
    Vec<Bought>,
    Vec<crate::plan::types::PeopleWeek>,
    Cost,
);

/// Washing, time bought, people and cost of a plan that has only runs, deliveries and shortfalls.
fn count(plan: &Plan) -> Filled {
    let scenario = &plan.scenario;
    let mut unheard = Found::default();
    let book = Book::open(plan, scenario, &mut unheard);
    let mut needed = Needed::count(&book);
    let washing = wash(&book, &mut needed);
    let hired = Hired::nobody();
    let bought = people::bought(scenario, &needed, &hired);
    let weeks = people::weeks(scenario, &needed, &hired, &bought);
    let short = orders::check(&book, &mut unheard);
    let cost = cost::count(&book, &bought, &hired, &short);
    (washing, bought, weeks, cost)
}

/// Washes what it can, day by day, in time that the crew has left in its shift; adds that time to its work.
fn wash(book: &Book, needed: &mut Needed) -> Vec<Washing> {
    let scenario = book.scenario;
    let mut yard = Yard::open(book);
    let mut all = Vec::new();
    for day in scenario.horizon.iter() {
        yard.morning(day);
        yard.sow(day);
        if !scenario.calendars.beds.works(day) {
            continue;
        }
        let mut trays = yard.dirty.min(washed_per_day(scenario));
        if let Some(task) = &scenario.work.wash {
            let Some(crew) = book.crew(&task.crew) else {
                continue;
            };
            let spare = people::shift_ms(scenario, crew, day, 0) - needed.on(crew, day);
            if let Some(most) = washed_in(task, spare) {
                trays = trays.min(most);
            }
        }
        if trays > 0 {
            yard.wash(scenario, day, trays);
            needed.wash(scenario, day, trays);
            all.push(Washing {
                day,
                trays: fit(trays),
            });
        }
    }
    all
}
