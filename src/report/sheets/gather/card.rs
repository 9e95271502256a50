//! The line card of each run: what the person at the line sets, weighs and writes.

use crate::plan::day::{DayPlan, SeedKg, SeedLeft, Soil, SownPlace, WetGrams, Work};
use crate::plan::tasks::TaskGraph;
use crate::quantities::water_per_minute;

/// Trays from one weighing to the next: between 200 and 300 (common practice, no source).
const WEIGH_EVERY: i64 = 250;

/// One run on a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Run, as it is written on the stacks.
    pub run: String,
    /// Name of the kind.
    pub kind: String,
    /// Local name of what its seed is treated with.
    pub treatment: Option<String>,
    /// Local name of the line.
    pub line: String,
    /// Which run of the day on that line, from 1.
    pub order: usize,
    /// Of how many.
    pub of: usize,
    /// Kind that runs before it.
    pub before: Option<String>,
    /// Kind that runs after it.
    pub after: Option<String>,
    /// Nothing may follow it.
    pub last_of_day: bool,
    /// When the line begins, minutes after midnight.
    pub from_minute: Option<i64>,
    /// Trays for fields.
    pub trays: i64,
    /// Trial trays before them.
    pub trial_trays: i64,
    /// First trays that are thrown out.
    pub thrown_trays: i64,
    /// Where the stacks go.
    pub places: Vec<SownPlace>,
    /// Seed for the hopper.
    pub seed: SeedKg,
    /// Seed on a tray.
    pub grams: WetGrams,
    /// Soil and water.
    pub soil: Soil,
    /// Water while the line runs at its set rate, mL a minute.
    pub water_ml_per_minute: i64,
    /// Rate that the line is set to, trays an hour.
    pub set_per_h: i64,
    /// Dry seed that stays in the hopper, g.
    pub hopper_left_g: i64,
    /// Soaked seed without a tray.
    pub seed_left: Option<SeedLeft>,
    /// Trays at which five are weighed, trial and thrown-out trays not counted; the start is 0.
    pub weigh_at: Vec<i64>,
}

impl Card {
    /// What the counter of the line shows at the end, set back to nought before the first tray.
    pub fn counter(&self) -> i64 {
        self.trays + self.trial_trays + self.thrown_trays
    }
}

/// The cards of a day, line after line.
pub fn cards(graph: &TaskGraph<'_>, day: &DayPlan) -> Vec<Card> {
    let mut cards = Vec::new();
    for line in &graph.view.plan.scenario.lines {
        let runs = graph.view.runs.iter();
        let mut runs: Vec<_> = runs
            .filter(|run| run.run.sow == day.day && run.line.is_some_and(|own| own.id == line.id))
            .collect();
        runs.sort_by_key(|run| run.run.place_in_day);
        for (at, run) in runs.iter().enumerate() {
            let of_run = |work: Work| {
                day.jobs()
                    .find(move |job| job.work == work && job.runs.first() == Some(&run.run.id))
            };
            let Some((job, sowing)) =
                of_run(Work::Sow).and_then(|job| Some((job, job.sowing.as_ref()?)))
            else {
                continue;
            };
            let first = of_run(Work::SetUp).unwrap_or(job);
            let rates = line.rates.iter().find(|rate| rate.kind == run.kind.id);
            let rate = rates.map_or(line.set_trays_per_h, |rate| rate.set_trays_per_h);
            let at_that_rate = crate::scenario::Line {
                set_trays_per_h: rate,
                ..line.clone()
            };
            let agent = run.kind.treatment.as_ref().map(|treatment| {
                let mut agents = graph.view.plan.scenario.agents.iter();
                let known = agents.find(|agent| agent.id == treatment.agent);
                known.map_or(&treatment.agent, |agent| &agent.name).clone()
            });
            cards.push(Card {
                run: run.run.id.clone(),
                kind: run.kind.name.clone(),
                treatment: agent,
                line: line.name.clone(),
                order: sowing.order,
                of: sowing.of,
                before: sowing.after.clone(),
                after: runs.get(at + 1).map(|next| next.kind.name.clone()),
                last_of_day: sowing.last_of_day,
                from_minute: first.spells.first().map(|spell| spell.from_minute),
                trays: job.trays,
                trial_trays: sowing.trial_trays,
                thrown_trays: sowing.thrown_trays,
                places: sowing.places.clone(),
                seed: sowing.seed,
                grams: sowing.grams,
                soil: sowing.soil,
                water_ml_per_minute: water_per_minute(run.kind, &at_that_rate).0,
                set_per_h: crate::units::div_near(rate.0, 10),
                hopper_left_g: sowing.hopper_left_g,
                seed_left: job.seed_left,
                weigh_at: weigh_at(job.trays),
            });
        }
    }
    cards
}

/// At the start, then every so many trays; after refills and changes of rate the sheet has empty lines.
fn weigh_at(trays: i64) -> Vec<i64> {
    let step = WEIGH_EVERY as usize;
    (0..trays.max(1)).step_by(step).collect()
}
