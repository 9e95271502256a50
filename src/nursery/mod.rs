//! The nursery resolved: names become indexes, orders become lots, and each lot gets its options.
//!
//! Everything about growth and calendars is settled in this room, so that the program and the
//! search only choose among options. [`Nursery::new`] is the way in: it takes a completed scenario
//! and never fails; a lot that cannot be grown keeps an empty list of options and a reason.

mod cost;
mod options;
mod resolve;
pub mod seed;
mod set_ups;
mod story;
mod timeline;
pub mod work;

pub use options::{no_planting, planting_days};
pub use set_ups::{MOST_RUNS_A_DAY, NEVER, SetUps};
pub use story::{Exclusion, LeftOut, LotStory, NoPlanting, Retold};
pub use timeline::{
    Broken, Route, Timeline, age_gain, open_day, opens_standing, timeline as timeline_of,
};

use crate::calendar::Day;
use crate::scenario::Scenario;
use crate::units::{Age, Money};
use seed::SeedChain;
use std::ops::Range;

/// Index of a lot.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct LotId(pub usize);
/// Index of a run that could be.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct RunId(pub usize);
/// Index of an option, over all lots.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct OptionId(pub usize);

/// The seedlings of one part of one field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lot {
    /// Index into the scenario's fields.
    pub field: usize,
    /// Part of the field, from 1.
    pub part: u32,
    /// Index into the scenario's kinds.
    pub kind: usize,
    /// Trays sown.
    pub trays: i64,
    /// Trays that leave for the field; fewer where some are lost on the way.
    pub leaving: i64,
    /// Area, m².
    pub area_m2: i64,
    /// Index into the scenario's planters.
    pub planter: Option<usize>,
    /// Index into `opening.sown` when these trays already grow.
    pub standing: Option<usize>,
}

/// One kind that could be sown on one day on one line, or trays that already grow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunCandidate {
    /// Index into the scenario's kinds.
    pub kind: usize,
    /// Sow day.
    pub sow: Day,
    /// How it comes about.
    pub source: RunSource,
    /// Day on which its stacks open, by germination place; `None` where it cannot stand.
    pub opens: Vec<Option<Day>>,
}

/// Where the trays of a run come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunSource {
    /// Sown on a line within the horizon.
    Line {
        /// Index into the scenario's lines.
        line: usize,
        /// Its seed.
        seed: SeedChain,
    },
    /// Seed that is soaked and handed over, never sown here.
    Handed(SeedChain),
    /// Sown before the horizon: index into `opening.sown` of the first batch of the run.
    Standing(usize),
}

impl RunCandidate {
    /// The line, for runs within the horizon.
    pub fn line(&self) -> Option<usize> {
        match self.source {
            RunSource::Line { line, .. } => Some(line),
            RunSource::Handed(_) | RunSource::Standing(_) => None,
        }
    }

    /// When its seed is soaked and drained; none for trays that already grow.
    pub fn seed(&self) -> Option<SeedChain> {
        match self.source {
            RunSource::Line { seed, .. } | RunSource::Handed(seed) => Some(seed),
            RunSource::Standing(_) => None,
        }
    }
}

/// One way to grow one lot: which run, which places, which days. Days are half-open: `[sow, open)` in the stack, `[open, harden)` in
/// the green bed, `[harden, leave)` in the harden bed, `[leave, plant)` at the field's edge. Of what is handed over before, all later
/// days are the day of handing over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GrowOption {
    /// Whose.
    pub lot: LotId,
    /// The run it is sown in.
    pub run: RunId,
    /// The places it goes through.
    pub route: Route,
    /// Out of the stack.
    pub open: Day,
    /// First day of hardening.
    pub harden: Day,
    /// Leaves for the field.
    pub leave: Day,
    /// Planted.
    pub plant: Day,
    /// Empty trays are fetched: the first staffed day from their return.
    pub collect: Day,
    /// Age on the planting day.
    pub age: Age,
    /// Cost of age off the target.
    pub age_cost: Money,
    /// Cost of days off the preferred day.
    pub preferred_cost: Money,
    /// Cost of waiting at the field's edge.
    pub edge_cost: Money,
    /// Cost of a move from bed to bed.
    pub move_cost: Money,
    /// Price of another planting day than was told or planned before.
    pub told_cost: Money,
}

impl GrowOption {
    /// Money that the option costs by itself.
    pub fn cost(&self) -> Money {
        Money {
            0: self.age_cost.0
                + self.preferred_cost.0
                + self.edge_cost.0
                + self.move_cost.0
                + self.told_cost.0,
        }
    }
}

/// The resolved nursery.
#[derive(Clone, Debug)]
pub struct Nursery {
    /// The completed scenario that it was made from.
    pub scenario: Scenario,
    /// First day of the horizon.
    pub first: Day,
    /// Days in the horizon.
    pub days: usize,
    /// Lots, by field and part.
    pub lots: Vec<Lot>,
    /// Runs that some option uses, by sow day, line and kind; trays that already grow come first.
    pub runs: Vec<RunCandidate>,
    /// Options, lot after lot.
    pub options: Vec<GrowOption>,
    /// Where each lot's options stand in `options`.
    pub of_lot: Vec<Range<usize>>,
    /// Why dates of a lot were left out, by lot.
    pub stories: Vec<LotStory>,
    /// Set-ups by line.
    pub set_ups: Vec<SetUps>,
    /// Price of a tray not grown.
    pub short_per_tray: Money,
}

impl Nursery {
    /// Resolves a completed scenario. References that do not resolve are dropped; the reader reports them before.
    pub fn new(scenario: &Scenario) -> Nursery {
        resolve::resolve(scenario)
    }

    /// Index of `day` in the horizon, if it lies inside.
    pub fn index(&self, day: Day) -> Option<usize> {
        let at = day.since(self.first);
        (at >= 0 && (at as usize) < self.days).then_some(at as usize)
    }

    /// The day at an index.
    pub fn day(&self, index: usize) -> Day {
        self.first.plus(index as i32)
    }

    /// The option of that index.
    pub fn option(&self, id: OptionId) -> &GrowOption {
        &self.options[id.0]
    }

    /// The run of that index.
    pub fn run(&self, id: RunId) -> &RunCandidate {
        &self.runs[id.0]
    }

    /// Trial trays of a run: none for trays that already grow.
    pub fn trial_trays(&self, id: RunId) -> i64 {
        self.run(id)
            .line()
            .map_or(0, |line| self.scenario.lines[line].trial_trays)
    }

    /// First trays of a run that are thrown out at most, whatever is sown before it on its day: seed and soil are there for them.
    pub fn thrown_at_most(&self, id: RunId) -> i64 {
        let run = self.run(id);
        run.line()
            .map_or(0, |line| self.set_ups[line].thrown_at_most(run.kind))
    }

    /// Dry seed of a run with `trays` trays for fields, tenths of a gram: trial trays, trays thrown out and what stays in the hopper
    /// with it, before it is rounded up to whole bags.
    pub fn seed_of_run(&self, id: RunId, trays: i64) -> i64 {
        let run = self.run(id);
        let besides = self.trial_trays(id) + self.thrown_at_most(id);
        let hopper = run
            .line()
            .map_or(0, |line| self.scenario.lines[line].hopper_g_dry.0);
        work::dry_seed(&self.scenario, run.kind, trays + besides) + hopper
    }

    /// The lot of that index.
    pub fn lot(&self, id: LotId) -> &Lot {
        &self.lots[id.0]
    }

    /// The lot of a part of a field.
    pub fn lot_of(&self, field: &str, part: u32) -> Option<LotId> {
        let is_it = |lot: &Lot| lot.part == part && self.scenario.fields[lot.field].id == field;
        self.lots.iter().position(is_it).map(LotId)
    }

    /// The field of a lot, and which part of it.
    pub fn part_of(&self, lot: LotId) -> (&str, u32) {
        let lot = self.lot(lot);
        (&self.scenario.fields[lot.field].id, lot.part)
    }

    /// The options of a lot.
    pub fn options_of(&self, lot: LotId) -> impl Iterator<Item = OptionId> + use<> {
        self.of_lot[lot.0].clone().map(OptionId)
    }
}
