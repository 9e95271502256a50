//! What a run takes of seed: `docs/COUNTING.md`, "the run's seed" and "thrown out".

use super::RunView;
use crate::scenario::{Line, Scenario};
use crate::units::{Fixed, div_near, div_up};

impl RunView<'_> {
    /// True of seed that is handed over: soaked, and sown by the growers.
    pub fn is_handed_over(&self) -> bool {
        self.line.is_none() && self.run.soak.is_some()
    }

    /// All trays that go over the line: for fields, trial trays, and those thrown out.
    pub fn over_the_line(&self) -> i64 {
        self.run.trays + self.run.trial_trays + self.run.thrown_trays
    }

    /// Dry seed that the hopper takes, kg: of all trays, and what stays in it.
    pub fn hopper_kg(&self) -> Fixed<3> {
        grams(self.hopper_tenths())
    }

    /// The same in tenths of a gram, as it is counted.
    pub fn hopper_tenths(&self) -> i64 {
        self.seed_of(self.run.thrown_trays)
    }

    /// Dry seed that is put to soak, kg: for as many trays thrown out as there may be, in whole bags where seed comes in bags.
    pub fn soaked_kg(&self, scenario: &Scenario) -> Fixed<3> {
        grams(self.soaked_tenths(scenario))
    }

    /// The same in tenths of a gram, as it is counted.
    pub fn soaked_tenths(&self, scenario: &Scenario) -> i64 {
        let seed = self.seed_of(self.thrown_at_most(scenario));
        // Of a batch that soaked before the first day what the run needs is drawn, bags or not.
        let new = self
            .run
            .soak
            .is_some_and(|soak| soak >= scenario.horizon.first);
        let bags = self.kind.bag_kg.filter(|bag| new && bag.0 > 0);
        match bags {
            // Grams to tenths of a gram.
            Some(bag) => div_up(seed, bag.0 * 10) * bag.0 * 10,
            None => seed,
        }
    }

    /// Trays that seed, soil and water are there for: for fields, trial trays, and those thrown out at most.
    pub fn trays_at_most(&self, scenario: &Scenario) -> i64 {
        self.run.trays + self.run.trial_trays + self.thrown_at_most(scenario)
    }

    fn thrown_at_most(&self, scenario: &Scenario) -> i64 {
        self.line
            .map_or(0, |line| thrown_at_most(scenario, line, &self.run.kind))
    }

    /// Tenths of a gram.
    fn seed_of(&self, thrown: i64) -> i64 {
        let trays = self.run.trays + self.run.trial_trays + thrown;
        let hopper = self.line.map_or(0, |line| line.hopper_g_dry.0);
        trays * self.kind.seed_g_dry_per_tray.0 + hopper
    }
}

fn grams(tenths: i64) -> Fixed<3> {
    Fixed(div_near(tenths, 10))
}

/// Most trays that are thrown out before `kind`, over all kinds that may stand before it on that line.
fn thrown_at_most(scenario: &Scenario, line: &Line, kind: &str) -> i64 {
    let may_stand = |from: &str| {
        let before = scenario.kinds.iter().find(|kind| kind.id == from);
        from != kind && before.is_some_and(|before| !before.last_of_day)
    };
    let pairs = line.set_up_pairs.iter();
    let into = pairs.filter(|pair| pair.to == kind && !pair.never && may_stand(&pair.from));
    into.map(|pair| pair.throw_out_trays).max().unwrap_or(0)
}
