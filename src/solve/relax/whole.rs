//! The whole-lot program: a point of it with whole numbers is a plan, and each plan is such a point.
//!
//! It is the relaxation's program with what that leaves out, made by the same `Builder`: set-up times by the order of a day's runs
//! (`order.rs`), the place of trial trays, least runs and most runs, time bought in whole minutes, hours of a week, washing in regular
//! hours as early as can be (`limit.rs`), what a shortage weighs by share, runs of one field.
//! Beside it stands where a plan lies in it (`point.rs`).
//!
//! Of two points with the same lots the cheaper counts: the least cost over all points with those lots is the plan's cost, but for
//! what the plan rounds and a linear program does not: half a thousandth of money for each crew and day on which time is bought,
//! and half a thousandth for the shortage. Amounts are counted in the units that people use (minutes, litres, kilograms), in which the least
//! difference that counts, a millisecond, is more than what solvers let pass.

mod limit;
mod order;
mod point;

use super::super::program::{ColumnTag, Program, RowTag, Sense};
use super::super::state::Ground;
use super::{Builder, Relaxation, collected};
use crate::nursery::{LotId, OptionId, RunId};
use crate::rules::Unit;
use crate::units::{Money, Span};
use std::collections::BTreeMap;

/// How the program says that a lot is sown only in a run that is there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Links {
    /// One row for each lot and run.
    ByLot,
    /// One row for each run: its trays are no more than the line can sow.
    Summed,
    /// Both.
    #[default]
    Both,
}

/// What the builder holds besides where every point is to be a plan.
#[derive(Clone, Debug)]
pub(super) struct Further {
    links: Links,
    /// By run × germination place: the column that says that trial trays stand there.
    trial_at: Vec<Option<usize>>,
    /// By slot: minutes bought.
    bought: Vec<Option<usize>>,
    /// Days on which as much must be washed as can be.
    wash_first: Vec<bool>,
    /// By day: the column that says that there is no time to wash one more.
    wash_time: Vec<Option<usize>>,
}

impl Further {
    pub(super) fn by_lot(&self) -> bool {
        self.links != Links::Summed
    }

    pub(super) fn trial_in(&self, at: usize) -> Option<usize> {
        self.trial_at[at]
    }
}

/// The whole-lot program of a nursery.
#[derive(Clone, Debug)]
pub struct Whole {
    /// Its program, and where its columns are.
    base: Relaxation,
}

impl Whole {
    /// Writes the program of a nursery.
    pub fn new<'g>(ground: &'g Ground<'g>, links: Links) -> Whole {
        let nursery = ground.nursery;
        let mut builder = Builder::new(ground);
        builder.scale = units(ground);
        builder.whole = Some(Further {
            links,
            trial_at: vec![None; nursery.runs.len() * ground.compiled.places],
            bought: vec![None; ground.slots.there.len()],
            wash_first: limit::wash_first(ground),
            wash_time: vec![None; nursery.days],
        });
        let grow = builder.options();
        builder.shortages(&grow);
        builder.shares();
        let run = builder.runs(&grow);
        builder.least_and_most(&grow, &run);
        if links != Links::ByLot {
            builder.summed(&grow, &run, true);
        }
        builder.splits(&grow);
        builder.orders(&run);
        builder.trial_places(&grow, &run);
        builder.stacks(&grow, &run);
        builder.seed(&grow, &run);
        builder.trays();
        builder.staff();
        builder.limits();
        builder.weeks();
        builder.washing();
        let mut program = builder.program;
        for column in program.columns.iter_mut().filter(|column| column.whole) {
            column.upper = libm::floor(column.upper);
        }
        let scale = builder.scale;
        Whole {
            base: Relaxation {
                program,
                grow,
                run,
                scale,
            },
        }
    }

    /// The program.
    pub fn program(&self) -> &Program {
        &self.base.program
    }

    /// Column of each option.
    pub fn grow(&self) -> &[usize] {
        &self.base.grow
    }
}

/// What a resource is counted in: units of its own in one that people use.
fn units(ground: &Ground<'_>) -> Vec<f64> {
    let unit = |unit: Unit| match unit {
        Unit::Milliseconds => Span::MINUTE as f64,
        Unit::Stacks | Unit::Trays => 1.0,
        Unit::LitreHundredths => 100.0,
        Unit::Microlitres => 1e6,
        Unit::SeedTenths => 1e4,
        Unit::AgentParts => 1e5,
        Unit::FleetMillionths => 1e4,
    };
    let resources = ground.books.resources.iter();
    resources.map(|resource| unit(resource.unit)).collect()
}

impl Builder<'_> {
    fn further(&mut self) -> &mut Further {
        self.whole.get_or_insert_with(|| Further {
            links: Links::Both,
            trial_at: Vec::new(),
            bought: Vec::new(),
            wash_first: Vec::new(),
            wash_time: Vec::new(),
        })
    }

    /// The more of a grower's trays are short, the more the next one weighs.
    fn shares(&mut self) {
        let ground = self.ground;
        let nursery = ground.nursery;
        let price = Self::money(nursery.short_per_tray);
        let short = self.by_tag();
        for grower in 0..ground.shares.growers() {
            let mut terms = Vec::new();
            for (band, (trays, weight)) in ground.shares.bands(grower).enumerate() {
                if trays.is_empty() {
                    continue;
                }
                // What every tray weighs stands in the columns of the lots.
                let more =
                    (weight - ground.shares.bands(grower).next().map_or(0, |band| band.1)) as f64;
                let tag = ColumnTag::Band(grower, band);
                let size = (trays.end - trays.start) as f64;
                terms.push((
                    self.program.column(tag, size, true, price * more / 100.0),
                    1.0,
                ));
            }
            for (at, lot) in nursery.lots.iter().enumerate() {
                if ground.shares.grower(LotId(at)) == Some(grower) {
                    terms.push((short[&ColumnTag::Short(LotId(at))], -lot.leaving as f64));
                }
            }
            self.program
                .row(RowTag::Bands(grower), terms, Sense::Equal, 0.0);
        }
    }

    fn by_tag(&self) -> BTreeMap<ColumnTag, usize> {
        let columns = self.program.columns.iter().enumerate();
        columns.map(|(at, column)| (column.tag, at)).collect()
    }

    /// A run has a lot and the least trays of its kind; a line has so many runs a day.
    fn least_and_most(&mut self, grow: &[usize], run: &[Option<usize>]) {
        let ground = self.ground;
        let nursery = ground.nursery;
        for (at, options) in self.of_runs().into_iter().enumerate() {
            let Some(column) = run[at] else { continue };
            let candidate = &nursery.runs[at];
            let trays = |id: &OptionId| nursery.lot(nursery.option(*id).lot).trays;
            let least = nursery.scenario.kinds[candidate.kind].least_run_trays;
            let each = |id: &OptionId| if least > 0 { trays(id) as f64 } else { 1.0 };
            let mut terms: Vec<(usize, f64)> =
                options.iter().map(|id| (grow[id.0], each(id))).collect();
            terms.push((column, -(least.max(1) as f64)));
            let tag = RowTag::LeastRun(RunId(at));
            self.program.row(tag, terms, Sense::AtLeast, 0.0);
        }
    }

    /// What the runs of one field beyond the first cost.
    fn splits(&mut self, grow: &[usize]) {
        let ground = self.ground;
        let nursery = ground.nursery;
        let price = Self::money(nursery.scenario.prices.split_run);
        for group in 0..ground.split_groups() {
            let lots = ground.split_group(group);
            let mut by_run: BTreeMap<RunId, Vec<(LotId, usize)>> = BTreeMap::new();
            for lot in lots {
                for id in nursery.options_of(*lot) {
                    let of_run = by_run.entry(nursery.option(id).run).or_default();
                    of_run.push((*lot, grow[id.0]));
                }
            }
            if by_run.len() < 2 {
                continue;
            }
            let most = by_run.len().min(lots.len()).saturating_sub(1) as f64;
            let split = self
                .program
                .column(ColumnTag::Split(group), most, true, price);
            let mut all = vec![(split, 1.0)];
            for (run, options) in by_run {
                let tag = ColumnTag::Draws(group, run);
                let draws = self.program.column(tag, 1.0, true, 0.0);
                all.push((draws, -1.0));
                for of_lot in options.chunk_by(|one, other| one.0 == other.0) {
                    let mut terms: Vec<(usize, f64)> =
                        of_lot.iter().map(|(_, column)| (*column, 1.0)).collect();
                    terms.push((draws, -1.0));
                    let tag = RowTag::Draws(of_lot[0].0, run);
                    self.program.row(tag, terms, Sense::AtMost, 0.0);
                }
            }
            self.program
                .row(RowTag::Split(group), all, Sense::AtLeast, -1.0);
        }
    }

    /// Trial trays stand in the first of the places that hold lots of their run.
    fn trial_places(&mut self, grow: &[usize], run: &[Option<usize>]) {
        let ground = self.ground;
        let (nursery, places) = (ground.nursery, ground.compiled.places);
        for (at, options) in self.of_runs().into_iter().enumerate() {
            let Some(column) = run[at].filter(|_| nursery.trial_trays(RunId(at)) > 0) else {
                continue;
            };
            let mut inside: BTreeMap<usize, Vec<(LotId, usize)>> = BTreeMap::new();
            for id in options {
                let option = nursery.option(id);
                if let Some(place) = option.route.germination {
                    let inside = inside.entry(place).or_default();
                    inside.push((option.lot, grow[id.0]));
                }
            }
            let mut stands: Vec<(usize, usize)> = Vec::new();
            for place in inside.keys() {
                let there = if inside.len() == 1 {
                    column
                } else {
                    let tag = ColumnTag::Trial(RunId(at), *place);
                    self.program.column(tag, 1.0, true, 0.0)
                };
                stands.push((*place, there));
                self.further().trial_at[at * places + place] = Some(there);
                self.post(there, 1.0, &ground.compiled.trials[at * places + place]);
            }
            if stands.len() > 1 {
                self.first_place(RunId(at), column, &stands, &inside);
            }
        }
    }

    fn first_place(
        &mut self,
        run: RunId,
        column: usize,
        stands: &[(usize, usize)],
        inside: &BTreeMap<usize, Vec<(LotId, usize)>>,
    ) {
        let mut one: Vec<(usize, f64)> = stands.iter().map(|(_, there)| (*there, 1.0)).collect();
        one.push((column, -1.0));
        self.program
            .row(RowTag::TrialOne(run), one, Sense::Equal, 0.0);
        for (place, there) in stands {
            let mut terms: Vec<(usize, f64)> = inside[place]
                .iter()
                .map(|(_, grown)| (*grown, -1.0))
                .collect();
            terms.push((*there, 1.0));
            let tag = RowTag::TrialThere(run, *place);
            self.program.row(tag, terms, Sense::AtMost, 0.0);
        }
        // A lot in one of the first places: the trial trays stand in one of them.
        let mut of_lots: BTreeMap<LotId, Vec<(usize, f64)>> = BTreeMap::new();
        for (nth, (place, _)) in stands.iter().enumerate().take(stands.len() - 1) {
            for (lot, grown) in &inside[place] {
                of_lots.entry(*lot).or_default().push((*grown, 1.0));
            }
            for (lot, grown) in &of_lots {
                let first = stands[..=nth].iter().map(|(_, there)| (*there, -1.0));
                let terms = grown.iter().copied().chain(first).collect();
                let tag = RowTag::TrialFirst(*lot, run, *place);
                self.program.row(tag, collected(terms), Sense::AtMost, 0.0);
            }
        }
    }
}

/// Thousandths as money.
fn money(thousandths: i64) -> f64 {
    Money { 0: thousandths }.as_f64()
}
