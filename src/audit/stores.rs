//! What is used up: seed that soaks since before the first day, seed, agents and soil in store; and seed in the tank.
//!
//! Seed is counted in tenths of a gram, soil in µL, agents in hundred-thousandths of a mL.

use super::book::{Book, RunSeen, Sort};
use super::whole::{Daily, fit, up};
use super::{Found, Ledger, Subject, line};
use crate::calendar::Day;
use crate::scenario::Scenario;
use crate::units::Fixed;
use std::collections::BTreeMap;

/// Soil of one tray for each hundredth of a millimetre of depth, µL: 580 mm × 280 mm × 0.01 mm.
const MICROLITRES: i128 = 1_624;
/// What a millilitre of an agent is counted in.
const MILLILITRE: i128 = 100_000;

/// Checks soaked batches, seed stores, agents, the tank and soil stores.
pub(super) fn check(book: &Book, found: &mut Found) {
    check_soaked(book, found);
    check_seed(book, found);
    check_agents(book, found);
    check_tank(book, found);
    check_soil(book, found);
}

/// Tenths of a gram in kilograms.
fn kilos(tenths: i128) -> Fixed<4> {
    Fixed(fit(tenths))
}

/// µL in litres.
fn litres(micro: i128) -> Fixed<6> {
    Fixed(fit(micro))
}

/// True when nothing can begin to soak on that day: from the first day on, what does on a staffed day is fresh.
fn is_old(scenario: &Scenario, soak: Day) -> bool {
    soak < scenario.horizon.first || !scenario.calendars.beds.works(soak)
}

/// True when the run draws on a batch that soaks since before the first day.
fn draws_on_batch(scenario: &Scenario, run: &RunSeen) -> bool {
    let mut batches = scenario.opening.soaked.iter();
    run.run.soak.is_some_and(|soak| {
        is_old(scenario, soak)
            && batches.any(|batch| batch.kind == run.kind.id && batch.soaked == soak)
    })
}

/// The run's seed: with that of trays thrown out at most and what stays in the hopper.
fn loose_seed(book: &Book, run: &RunSeen) -> i128 {
    let hopper = run.line.map_or(0, |line| line.hopper_g_dry.0.into());
    let trays = line::trays_at_most(book, run);
    trays * i128::from(run.kind.seed_g_dry_per_tray.0) + hopper
}

/// The same in whole bags if the kind is soaked in bags.
fn seed(book: &Book, run: &RunSeen) -> i128 {
    let all = loose_seed(book, run);
    let Some(bag) = run.kind.bag_kg else {
        return all;
    };
    // Grams in tenths.
    let bag = i128::from(bag.0) * 10;
    up(all, bag.max(1)) * bag
}

/// Runs whose seed goes to soak fresh, with the day from which it is gone and the seed.
fn fresh<'b, 'a>(book: &'b Book<'a>) -> impl Iterator<Item = (&'b RunSeen<'a>, Day, i128)> {
    let runs = book.runs.iter().filter(|run| run.sort != Sort::Standing);
    let runs = runs.filter(|run| !draws_on_batch(book.scenario, run));
    // A run without a soak day is named elsewhere; its seed is gone when it is sown.
    runs.map(|run| (run, run.run.soak.unwrap_or(run.run.sow), seed(book, run)))
}

fn check_soaked(book: &Book, found: &mut Found) {
    // Grams there, by kind and day; two entries of one kind and day are one batch.
    let mut batches: BTreeMap<_, i128> = BTreeMap::new();
    for batch in &book.scenario.opening.soaked {
        *batches.entry((&batch.kind, batch.soaked)).or_default() += i128::from(batch.kg_dry.0);
    }
    for ((kind, soaked), grams) in batches {
        let there = grams * 10;
        let runs = book.runs.iter().filter(|run| run.kind.id == *kind);
        let runs = runs.filter(|run| run.run.soak == Some(soaked));
        let drawn: i128 = if is_old(book.scenario, soaked) {
            runs.map(|run| loose_seed(book, run)).sum()
        } else {
            0
        };
        if drawn > there {
            let what = format!(
                "seed: {} kg of `{kind}` soak since {soaked}, the runs draw {} kg",
                kilos(there),
                kilos(drawn)
            );
            let subject = Subject::Soaked {
                kind: kind.clone(),
                soaked,
            };
            found.add("A076", subject, Some(soaked), (drawn - there) / 10, what);
        }
        found.fullest(Ledger::SoakedSeed, kind, [(soaked, drawn, there)]);
    }
}

/// What has come up to each day, by name in the scenario's order; two entries of one name are one store.
struct Stores<'a> {
    scenario: &'a Scenario,
    all: Vec<(&'a str, Daily)>,
}

impl<'a> Stores<'a> {
    fn new(scenario: &'a Scenario) -> Self {
        Stores {
            scenario,
            all: Vec::new(),
        }
    }

    /// Adds what is in store on the first morning, or comes later.
    fn add(&mut self, name: &'a str, from: Day, amount: i128) {
        let horizon = self.scenario.horizon;
        let at = self.all.iter().position(|(known, _)| *known == name);
        let at = at.unwrap_or_else(|| {
            self.all.push((name, Daily::new(horizon)));
            self.all.len() - 1
        });
        let end = horizon.last.plus(1);
        self.all[at].1.add_span(from, end, amount);
    }
}

/// The days on which more is drawn than has come, and more is missing than on the day before: day, drawn, there.
fn overdrawn(drawn: &Daily, there: &Daily) -> Vec<(Day, i128, i128)> {
    let mut missing = 0;
    let mut days = Vec::new();
    for (day, drawn) in drawn.days() {
        let short = drawn - there.on(day);
        if short > missing.max(0) {
            days.push((day, drawn, there.on(day)));
        }
        missing = short;
    }
    days
}

fn check_seed(book: &Book, found: &mut Found) {
    let (scenario, horizon) = (book.scenario, book.scenario.horizon);
    let mut stores = Stores::new(scenario);
    for store in &scenario.seed_stores {
        let tenths = |kg: Fixed<3>| i128::from(kg.0) * 10;
        stores.add(&store.kind, horizon.first, tenths(store.kg_dry));
        for delivery in &store.deliveries {
            stores.add(&store.kind, delivery.day, tenths(delivery.kg_dry));
        }
    }
    for (kind, there) in stores.all {
        let mut drawn = Daily::new(horizon);
        for (_, from, seed) in fresh(book).filter(|(run, _, _)| run.kind.id == kind) {
            drawn.add_span(from, horizon.last.plus(1), seed);
        }
        for (day, drawn, there) in overdrawn(&drawn, &there) {
            let what = format!(
                "seed: {} kg of `{kind}` are drawn up to {day}, {} kg have come",
                kilos(drawn),
                kilos(there)
            );
            let subject = Subject::SeedStore {
                kind: kind.to_string(),
            };
            found.add("A078", subject, Some(day), up(drawn - there, 10), what);
        }
        let days = drawn.days().map(|(day, used)| (day, used, there.on(day)));
        found.fullest(Ledger::SeedStore, kind, days);
    }
}

fn check_agents(book: &Book, found: &mut Found) {
    let (scenario, horizon) = (book.scenario, book.scenario.horizon);
    let mut stores = Stores::new(scenario);
    for store in &scenario.agents {
        let small = |ml: Fixed<0>| i128::from(ml.0) * MILLILITRE;
        stores.add(&store.id, horizon.first, small(store.ml));
        for delivery in &store.deliveries {
            stores.add(&store.id, delivery.day, small(delivery.ml));
        }
    }
    for (agent, there) in stores.all {
        let mut drawn = Daily::new(horizon);
        for (run, from, seed) in fresh(book) {
            let treatment = run.kind.treatment.iter();
            for treatment in treatment.filter(|treatment| treatment.agent == agent) {
                // Tenths of a gram × tenths of a mL a kg.
                let amount = seed * i128::from(treatment.ml_per_kg.0);
                drawn.add_span(from, horizon.last.plus(1), amount);
            }
        }
        for (day, drawn, there) in overdrawn(&drawn, &there) {
            let millilitres = |small: i128| Fixed::<5>(fit(small));
            let what = format!(
                "agent: {} mL of `{agent}` are drawn up to {day}, {} mL have come",
                millilitres(drawn),
                millilitres(there)
            );
            let subject = Subject::AgentStore {
                id: agent.to_string(),
            };
            let missing = up(drawn - there, MILLILITRE);
            found.add("A107", subject, Some(day), missing, what);
        }
        let days = drawn.days().map(|(day, used)| (day, used, there.on(day)));
        found.fullest(Ledger::AgentStore, agent, days);
    }
}

fn check_tank(book: &Book, found: &mut Found) {
    let Some(tank) = &book.scenario.tank else {
        return;
    };
    let there = i128::from(tank.kg_dry.0) * 10;
    let mut soaking = Daily::new(book.scenario.horizon);
    for (run, _, seed) in fresh(book) {
        if let (Some(soak), Some(drain)) = (run.run.soak, run.run.drain) {
            soaking.add_span(soak, drain, seed);
        }
    }
    for (day, seed) in soaking.days().filter(|(_, seed)| *seed > there) {
        let what = format!(
            "tank: {} kg of dry seed soak on {day}, {} kg fit",
            kilos(seed),
            kilos(there)
        );
        found.add("A093", Subject::Tank, Some(day), up(seed - there, 10), what);
    }
    let days = soaking.days().map(|(day, seed)| (day, seed, there));
    found.fullest(Ledger::Tank, "tank", days);
}

fn check_soil(book: &Book, found: &mut Found) {
    let (scenario, horizon) = (book.scenario, book.scenario.horizon);
    let mut stores = Stores::new(scenario);
    for store in &scenario.soil_stores {
        // Hundredths of a litre.
        let micro = |litres: Fixed<2>| i128::from(litres.0) * 10_000;
        stores.add(&store.id, horizon.first, micro(store.litres));
        for delivery in &store.deliveries {
            stores.add(&store.id, delivery.day, micro(delivery.litres));
        }
    }
    for (mix, there) in stores.all {
        let mut drawn = Daily::new(horizon);
        for run in book.runs.iter().filter(|run| run.line.is_some()) {
            let trays = line::trays_at_most(book, run);
            let kind = run.kind;
            for (store, depth) in [
                (&kind.bed_soil, kind.bed_soil_mm),
                (&kind.cover_soil, kind.cover_soil_mm),
            ] {
                if store.as_deref() == Some(mix) {
                    let soil = trays * i128::from(depth.0) * MICROLITRES;
                    drawn.add_span(run.run.sow, horizon.last.plus(1), soil);
                }
            }
        }
        for (day, drawn, there) in overdrawn(&drawn, &there) {
            let what = format!(
                "soil: {} L of `{mix}` are drawn up to {day}, {} L have come",
                litres(drawn),
                litres(there)
            );
            let subject = Subject::SoilStore {
                id: mix.to_string(),
            };
            found.add("A079", subject, Some(day), up(drawn - there, 1_000), what);
        }
        let days = drawn.days().map(|(day, used)| (day, used, there.on(day)));
        found.fullest(Ledger::SoilStore, mix, days);
    }
}
