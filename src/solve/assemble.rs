//! From decisions to the plan as data.

use super::rows;
use super::run_names;
use super::shortfall;
use super::state::State;
use crate::calendar::{Day, IsoWeek};
use crate::nursery::{Lot, LotId, Nursery, RunId};
use crate::plan::types::FORMAT;
use crate::plan::{
    Bought, BoughtWhat, Cost, Delivery, EndedBy, PeopleWeek, Plan, Run, RunStacks, Washing,
};
use crate::rules::CREW_HOURS;
use crate::scenario;
use crate::units::{Money, Span};
use std::collections::BTreeMap;

/// The plan that the decisions in `state` make. They must break nothing.
pub fn assemble(state: &mut State<'_>, bound: Option<Money>, ended_by: EndedBy) -> Plan {
    state.beyond();
    let shortfalls = shortfall::all(state);
    let nursery = state.ground().nursery;
    let (runs, names) = runs(state);
    let bought = bought(state);
    Plan {
        format: FORMAT.into(),
        revision: 1,
        scenario_sha256: scenario::sha256(&nursery.scenario),
        scenario: nursery.scenario.clone(),
        runs,
        deliveries: deliveries(state, &names),
        washing: washing(state),
        people: people(state, &bought),
        cost: cost(state, &bought),
        bought,
        shortfalls,
        bound,
        ended_by,
    }
}

/// Runs of the plan in order, and the name of each by its index in the nursery.
fn runs(state: &State<'_>) -> (Vec<Run>, BTreeMap<usize, String>) {
    let nursery = state.ground().nursery;
    let used = (0..nursery.runs.len()).filter(|run| state.lots_in_run(*run) > 0);
    let mut order: Vec<(Day, Option<usize>, u32, usize)> = used
        .map(|run| {
            let candidate = &nursery.runs[run];
            (
                candidate.sow,
                candidate.line(),
                place_in_day(state, run),
                run,
            )
        })
        .collect();
    order.sort();
    let mut names = BTreeMap::new();
    let mut runs = Vec::with_capacity(order.len());
    let all: Vec<usize> = order.iter().map(|(.., run)| *run).collect();
    for ((_, _, place, run), id) in order.into_iter().zip(run_names::of(nursery, &all)) {
        runs.push(one_run(state, run, id.clone(), place));
        names.insert(run, id);
    }
    (runs, names)
}

/// The day promised for a lot, if one was.
fn told(scenario: &scenario::Scenario, lot: &Lot) -> Option<Day> {
    let field = &scenario.fields[lot.field].id;
    let mut told = scenario.told.iter().filter(|told| told.promised);
    let told = told.find(|told| told.field == *field && told.part == lot.part);
    told.map(|told| told.day)
}

fn place_in_day(state: &State<'_>, run: usize) -> u32 {
    let nursery = state.ground().nursery;
    let candidate = &nursery.runs[run];
    let (Some(line), Some(day)) = (candidate.line(), nursery.index(candidate.sow)) else {
        return 0;
    };
    let (order, _) = nursery.set_ups[line].order(state.kinds_on(line, day));
    order
        .iter()
        .position(|kind| *kind == candidate.kind)
        .map_or(0, |at| at as u32 + 1)
}

fn one_run(state: &State<'_>, run: usize, id: String, place_in_day: u32) -> Run {
    let nursery = state.ground().nursery;
    let scenario = &nursery.scenario;
    let candidate = &nursery.runs[run];
    let line = candidate.line();
    let seed = candidate.seed();
    let trial_trays = nursery.trial_trays(RunId(run));
    let stacks = (0..scenario.germination.len()).filter_map(|place| {
        let stacks = state.stacks(run, place);
        let trials = if state.trial_place(run) == Some(place) {
            trial_trays
        } else {
            0
        };
        Some(RunStacks {
            germination: scenario.germination[place].id.clone(),
            trays: state.trays_in(run, place) + trials,
            stacks,
            open: candidate.opens[place].filter(|_| stacks > 0)?,
        })
    });
    Run {
        id,
        line: line.map(|line| scenario.lines[line].id.clone()),
        kind: scenario.kinds[candidate.kind].id.clone(),
        soak: seed.map(|seed| seed.soak),
        drain: seed.map(|seed| seed.drain),
        sow: candidate.sow,
        place_in_day,
        trays: state.run_trays(run),
        trial_trays,
        thrown_trays: thrown(state, run),
        // The place of the trial trays is the first in the scenario's order that is used.
        stacks: stacks.collect(),
    }
}

/// First trays of a run that are thrown out, after the kind that is sown before it.
fn thrown(state: &State<'_>, run: usize) -> i64 {
    let nursery = state.ground().nursery;
    let candidate = &nursery.runs[run];
    let (Some(line), Some(day)) = (candidate.line(), nursery.index(candidate.sow)) else {
        return 0;
    };
    let (order, _) = nursery.set_ups[line].order(state.kinds_on(line, day));
    let at = order.iter().position(|kind| *kind == candidate.kind);
    let before = at.and_then(|at| at.checked_sub(1)).map(|at| order[at]);
    nursery.set_ups[line].thrown(before, candidate.kind)
}

fn deliveries(state: &State<'_>, names: &BTreeMap<usize, String>) -> Vec<Delivery> {
    let nursery = state.ground().nursery;
    let scenario = &nursery.scenario;
    let bed = |bed: Option<usize>| bed.map(|bed| scenario.beds[bed].id.clone());
    let mut deliveries: Vec<Delivery> = (0..nursery.lots.len())
        .map(LotId)
        .filter_map(|id| {
            let option = nursery.option(state.choice()[id.0]?);
            let lot = nursery.lot(id);
            Some(Delivery {
                run: names[&option.run.0].clone(),
                field: scenario.fields[lot.field].id.clone(),
                part: lot.part,
                trays: lot.leaving,
                sown: Some(lot.trays).filter(|sown| *sown != lot.leaving),
                germination: option
                    .route
                    .germination
                    .map(|place| scenario.germination[place].id.clone()),
                green_bed: bed(option.route.green_bed),
                harden_bed: bed(option.route.harden_bed),
                green_rows: Vec::new(),
                harden_rows: Vec::new(),
                leaves: Some(option.leave).filter(|leave| *leave != option.plant),
                open: option.open,
                harden: option.harden,
                day: option.plant,
                age: option.age,
                promised: told(scenario, lot),
            })
        })
        .collect();
    deliveries.sort_by(|one, other| {
        (one.day, &one.field, one.part).cmp(&(other.day, &other.field, other.part))
    });
    rows::assign(scenario, &mut deliveries);
    deliveries
}

fn washing(state: &State<'_>) -> Vec<Washing> {
    let nursery = state.ground().nursery;
    let washed = state
        .queue()
        .washed()
        .enumerate()
        .filter(|(_, trays)| *trays > 0);
    washed
        .map(|(day, trays)| Washing {
            day: nursery.day(day),
            trays,
        })
        .collect()
}

fn bought(state: &State<'_>) -> Vec<Bought> {
    let ground = state.ground();
    let nursery = ground.nursery;
    let crews = ground.books.of_rule(CREW_HOURS);
    let mut bought: Vec<Bought> = state
        .bought()
        .into_iter()
        .filter(|(resource, ..)| crews.contains(resource))
        .map(|(resource, day, minutes, price)| {
            let crew = &nursery.scenario.crews[resource - crews.start];
            let day = nursery.day(day);
            let working = nursery.scenario.calendars.get(crew.calendar).works(day);
            Bought {
                day,
                crew: crew.id.clone(),
                what: if working {
                    BoughtWhat::Overtime
                } else {
                    BoughtWhat::RestDay
                },
                minutes,
                cost: Money { 0: price },
            }
        })
        .collect();
    bought.sort_by(|one, other| (one.day, &one.crew).cmp(&(other.day, &other.crew)));
    bought
}

fn people(state: &State<'_>, bought: &[Bought]) -> Vec<PeopleWeek> {
    let ground = state.ground();
    let nursery = ground.nursery;
    let crews = ground.books.of_rule(CREW_HOURS);
    let labour = ground.trays().labour;
    let (there, _) = state.with_hired();
    let hired: BTreeMap<(usize, IsoWeek), i64> = state
        .hired()
        .into_iter()
        .map(|staffed| ((staffed.resource, staffed.week), staffed.casual))
        .collect();
    let mut weeks = Vec::new();
    for (crew, resource) in nursery.scenario.crews.iter().zip(crews) {
        let mut by_week: BTreeMap<IsoWeek, (i64, i64, i64)> = BTreeMap::new();
        let mut most: BTreeMap<IsoWeek, (bool, i64)> = BTreeMap::new();
        for day in 0..nursery.days {
            let slot = resource * nursery.days + day;
            let washing = match labour {
                Some((washers, ms)) if washers == resource => state.queue().washed_on(day) * ms,
                _ => 0,
            };
            let week = nursery.day(day).iso_week();
            let working = nursery
                .scenario
                .calendars
                .get(crew.calendar)
                .works(nursery.day(day));
            let people = (working, crew.people_on(nursery.day(day)));
            let most = most.entry(week).or_default();
            *most = (*most).max(people);
            let week = by_week.entry(week).or_default();
            week.0 += state.used()[slot] + washing;
            week.1 += there[slot];
        }
        for item in bought.iter().filter(|item| item.crew == crew.id) {
            by_week.entry(item.day.iso_week()).or_default().2 += item.minutes;
        }
        weeks.extend(
            by_week
                .into_iter()
                .map(|(week, (needed, shift, bought_minutes))| PeopleWeek {
                    crew: crew.id.clone(),
                    week,
                    people: most.get(&week).map_or(crew.people, |(_, people)| *people),
                    casual: hired.get(&(resource, week)).copied().unwrap_or(0),
                    needed_minutes: Span(needed).minutes_up(),
                    shift_minutes: Span(shift).minutes_up(),
                    bought_minutes,
                }),
        );
    }
    weeks
}

fn cost(state: &State<'_>, bought: &[Bought]) -> Cost {
    let terms = state.terms();
    let nursery: &Nursery = state.ground().nursery;
    let sum = |what: BoughtWhat| -> i64 {
        bought
            .iter()
            .filter(|item| item.what == what)
            .map(|item| item.cost.0)
            .sum()
    };
    let (overtime, rest_days) = (sum(BoughtWhat::Overtime), sum(BoughtWhat::RestDay));
    let (casuals, changes) = state.price_of_hired();
    let money = |thousandths: i64| Money { 0: thousandths };
    Cost {
        age: money(terms.age),
        off_preferred: money(terms.preferred),
        edge: money(terms.edge),
        moves: money(terms.moves),
        splits: money(terms.splits),
        set_ups: money(terms.set_ups),
        overtime: money(overtime),
        rest_days: money(rest_days),
        casuals: money(casuals),
        changes: money(changes),
        moved: money(terms.told),
        total: money(terms.decided() + overtime + rest_days + casuals + changes),
        trays_short: terms.trays_short,
        short_per_tray: nursery.short_per_tray,
        shortage: Some(money(terms.shortage)),
    }
}
