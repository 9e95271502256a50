//! The linear relaxation: shares of options, runs, stacks and what is bought, against every rule's limits.
//!
//! Every plan is a point of it with a cost no higher than the plan's own ([`Relaxation::point`]), so its optimum is a bound, which cuts lift ([`super::cuts`]).
//! Long holds (floor, daily care) are written as a state carried from day to day.

mod people;
mod shared;
mod summed;
mod tight;
mod tray_stock;
pub mod whole;

use super::compiled::{Bundle, Flow, FlowKind, Stretch};
use super::program::{ColumnTag, Program, RowTag, Sense, collected};
use super::state::{Ground, State};
use crate::nursery::{LotId, Nursery, OptionId, RunCandidate, RunId, work};
use crate::units::Money;

/// Holds of at least this many days are carried from day to day instead of being posted on each.
const LONG_HOLD: u32 = 4;

/// The relaxation of a nursery, and where its columns are.
#[derive(Clone, Debug)]
pub struct Relaxation {
    /// The program.
    pub program: Program,
    /// Column of each option.
    pub grow: Vec<usize>,
    /// Column of each run that has a set-up.
    pub run: Vec<Option<usize>>,
    /// Resources are divided by this.
    scale: Vec<f64>,
}

struct Builder<'g> {
    ground: &'g Ground<'g>,
    program: Program,
    scale: Vec<f64>,
    /// Terms of each slot's limit.
    limits: Vec<Vec<(usize, f64)>>,
    /// What begins (+) and ends (−) being held on each slot.
    carried: Vec<Vec<(usize, f64)>>,
    /// Trays out, back clean, back dirty by day.
    flows: [Vec<Vec<(usize, f64)>>; 3],
    /// Slots that can be overfilled at all.
    tight: Vec<bool>,
    /// Column of the people hired, by slot.
    hired: Vec<Option<usize>>,
    /// Most that stacks, seed and trial trays can hold of each resource for long, scaled.
    long_others: Vec<f64>,
    /// Columns of clean, dirty and washed trays by day.
    tray_columns: Vec<[usize; 3]>,
    /// What else is needed where every point is to be a plan.
    whole: Option<whole::Further>,
}

impl Relaxation {
    /// Builds the program of a nursery.
    pub fn new<'g>(ground: &'g Ground<'g>) -> Relaxation {
        let mut builder = Builder::new(ground);
        let grow = builder.options();
        builder.shortages(&grow);
        let run = builder.runs(&grow);
        builder.summed(&grow, &run, false);
        builder.stacks(&grow, &run);
        builder.seed(&grow, &run);
        builder.trays();
        builder.staff();
        builder.limits();
        shared::share(&mut builder.program);
        Relaxation {
            program: builder.program,
            grow,
            run,
            scale: builder.scale,
        }
    }

    /// The plan in `state` as a point of the program.
    pub fn point(&self, state: &State<'_>) -> Vec<f64> {
        let ground = state.ground();
        let nursery = ground.nursery;
        let held = self.held(state);
        let early = early_trials(state);
        let (there, _) = state.with_hired();
        let hired = people::by_week(state);
        let changed = |resource: usize, week: usize| {
            let of = |week: usize| hired.get(&(resource, week)).copied().unwrap_or(0);
            let at_first = || {
                let people = ground.desks.of(resource);
                people.map_or(0, |(people, _)| people.before)
            };
            of(week) - week.checked_sub(1).map_or_else(at_first, of)
        };
        let scaled = |resource: usize, amount: i64| amount as f64 / self.scale[resource];
        let slot = |resource: usize, day: usize| resource * nursery.days + day;
        let value = |tag: &ColumnTag| match *tag {
            ColumnTag::Grow(option) => {
                let chosen = state.choice()[nursery.option(option).lot.0];
                f64::from(u8::from(chosen == Some(option)))
            }
            ColumnTag::Short(lot) => f64::from(u8::from(state.choice()[lot.0].is_none())),
            ColumnTag::Run(run) => f64::from(u8::from(state.lots_in_run(run.0) > 0)),
            ColumnTag::Stacks(run, place) => state.stacks(run.0, place) as f64,
            ColumnTag::Sown(run, place) => {
                let height = nursery.scenario.germination[place].height.max(1);
                state.trays_in(run.0, place) as f64 / height as f64
            }
            ColumnTag::Seed(run) => state.bags(run.0) as f64 / bags_in_column(nursery, run) as f64,
            ColumnTag::Bought(resource, day) => {
                let at = slot(resource, day);
                scaled(resource, (state.used()[at] - there[at]).max(0))
            }
            ColumnTag::Casual(resource, week) => {
                hired.get(&(resource, week)).copied().unwrap_or(0) as f64
            }
            ColumnTag::Hired(resource, week) => changed(resource, week).max(0) as f64,
            ColumnTag::Released(resource, week) => (-changed(resource, week)).max(0) as f64,
            ColumnTag::Held(resource, day) => held[slot(resource, day)] / self.scale[resource],
            ColumnTag::Clean(day) => state.queue().clean_on(day) as f64,
            ColumnTag::Dirty(day) => (state.queue().dirty_on(day) + early[day]) as f64,
            ColumnTag::Washed(day) => state.queue().washed_on(day) as f64,
            // What the whole-lot program has besides.
            _ => 0.0,
        };
        self.program
            .columns
            .iter()
            .map(|column| value(&column.tag))
            .collect()
    }

    /// What long holds of everything decided hold on every slot.
    fn held(&self, state: &State<'_>) -> Vec<f64> {
        let ground = state.ground();
        let mut held = vec![0.0; ground.slots.there.len()];
        let mut add = |bundle: &Bundle, times: i64| {
            for stretch in bundle.stretches.iter().filter(|stretch| is_long(stretch)) {
                for slot in stretch.from..stretch.until {
                    held[slot as usize] += (times * stretch.amount) as f64;
                }
            }
        };
        for option in state.choice().iter().flatten() {
            add(ground.compiled.option(*option), 1);
        }
        let places = ground.compiled.places;
        for (run, bundle) in ground.compiled.bags.iter().enumerate() {
            add(bundle, state.bags(run));
        }
        for (run, bundle) in ground.compiled.runs.iter().enumerate() {
            add(bundle, i64::from(state.lots_in_run(run) > 0));
        }
        for (at, bundle) in ground.compiled.stacks.iter().enumerate() {
            add(bundle, state.stacks(at / places, at % places));
        }
        held
    }
}

impl<'g> Builder<'g> {
    fn new(ground: &'g Ground<'g>) -> Builder<'g> {
        let size = ground.slots.there.len();
        let days = ground.nursery.days;
        let scale = (0..ground.books.resources.len())
            .map(|resource| {
                let most = ground.slots.there[resource * days..(resource + 1) * days]
                    .iter()
                    .max();
                (most.copied().unwrap_or(0) as f64 / 100.0).max(1.0)
            })
            .collect();
        Builder {
            ground,
            program: Program::default(),
            scale,
            limits: vec![Vec::new(); size],
            carried: vec![Vec::new(); size],
            flows: std::array::from_fn(|_| vec![Vec::new(); days]),
            tight: tight::slots(ground),
            hired: vec![None; size],
            long_others: vec![0.0; ground.books.resources.len()],
            tray_columns: Vec::new(),
            whole: None,
        }
    }

    fn money(amount: Money) -> f64 {
        amount.as_f64()
    }

    fn options(&mut self) -> Vec<usize> {
        let ground = self.ground;
        (0..ground.nursery.options.len())
            .map(OptionId)
            .map(|id| {
                let cost = Self::money(ground.nursery.option(id).cost());
                let column = self.program.column(ColumnTag::Grow(id), 1.0, false, cost);
                self.post(column, 1.0, ground.compiled.option(id));
                column
            })
            .collect()
    }

    fn shortages(&mut self, grow: &[usize]) {
        let nursery = self.ground.nursery;
        for (at, lot) in nursery.lots.iter().enumerate() {
            let weight = self.ground.shares.least(LotId(at)) as f64 / 100.0;
            let cost = lot.leaving as f64 * weight * Self::money(nursery.short_per_tray);
            let short = self
                .program
                .column(ColumnTag::Short(LotId(at)), 1.0, false, cost);
            let own = nursery.options_of(LotId(at)).map(|id| (grow[id.0], 1.0));
            let terms = own.chain([(short, 1.0)]).collect();
            self.program
                .row(RowTag::Whole(LotId(at)), terms, Sense::Equal, 1.0);
        }
    }

    fn runs(&mut self, grow: &[usize]) -> Vec<Option<usize>> {
        let ground = self.ground;
        let nursery = ground.nursery;
        let set_up = Self::money(nursery.scenario.prices.set_up);
        let places = ground.compiled.places;
        let mut columns = Vec::with_capacity(nursery.runs.len());
        for (at, run) in nursery.runs.iter().enumerate() {
            let (Some(line), Some(day)) = (run.line(), nursery.index(run.sow)) else {
                columns.push(None);
                continue;
            };
            // Without a price nothing but the bound keeps a run from being there many times over.
            let column = self
                .program
                .column(ColumnTag::Run(RunId(at)), 1.0, set_up <= 0.0, set_up);
            let once = &ground.compiled.runs[at];
            self.post(column, 1.0, once);
            self.hold_long(once, 1.0);
            columns.push(Some(column));
            if self.whole.is_some() {
                continue;
            }
            let least = nursery.set_ups[line].least_into(run.kind).0 as f64;
            self.post(
                column,
                least,
                &ground.compiled.set_ups[line * nursery.days + day],
            );
            if let Some(place) = first_to_open(run) {
                self.post(column, 1.0, &ground.compiled.trials[at * places + place]);
            }
        }
        if self.whole.as_ref().is_some_and(|whole| !whole.by_lot()) {
            return columns;
        }
        for lot in (0..nursery.lots.len()).map(LotId) {
            let mut own: Vec<(usize, usize)> = nursery
                .options_of(lot)
                .map(|id| (nursery.option(id).run.0, grow[id.0]))
                .collect();
            own.sort();
            for group in own.chunk_by(|one, other| one.0 == other.0) {
                if let Some(run) = columns[group[0].0] {
                    let terms = group
                        .iter()
                        .map(|(_, column)| (*column, 1.0))
                        .chain([(run, -1.0)])
                        .collect();
                    self.program.row(
                        RowTag::Link(lot, RunId(group[0].0)),
                        terms,
                        Sense::AtMost,
                        0.0,
                    );
                }
            }
        }
        columns
    }

    fn stacks(&mut self, grow: &[usize], runs: &[Option<usize>]) {
        let ground = self.ground;
        let (nursery, places) = (ground.nursery, ground.compiled.places);
        let mut inside: Vec<Vec<(usize, f64)>> = vec![Vec::new(); nursery.runs.len() * places];
        for (at, option) in nursery.options.iter().enumerate() {
            let trays = nursery.lot(option.lot).trays as f64;
            if let Some(place) = option.route.germination {
                inside[option.run.0 * places + place].push((grow[at], trays));
            }
        }
        for run in 0..nursery.runs.len() {
            let trials = nursery.trial_trays(RunId(run)) as f64;
            let mut all: Vec<(usize, f64)> = Vec::new();
            for place in 0..places {
                let trays = &inside[run * places + place];
                if trays.is_empty() {
                    continue;
                }
                let height = nursery.scenario.germination[place].height.max(1) as f64;
                let most =
                    (trays.iter().map(|(_, trays)| trays).sum::<f64>() + trials) / height + 1.0;
                let stacks =
                    self.program
                        .column(ColumnTag::Stacks(RunId(run), place), most, true, 0.0);
                let one = &ground.compiled.stacks[run * places + place];
                self.post(stacks, 1.0, one);
                self.hold_long(one, most);
                // Where every point is to be a plan all numbers are whole, and the trial trays stand in a place of their own.
                let unit = if self.whole.is_some() { 1.0 } else { height };
                let share = |(column, trays): &(usize, f64)| (*column, -trays / unit);
                let mut terms: Vec<_> = trays.iter().map(share).collect();
                terms.push((stacks, height / unit));
                if let Some(whole) = &self.whole {
                    let there = whole.trial_in(run * places + place);
                    terms.extend(there.map(|column| (column, -trials)));
                }
                self.program.row(
                    RowTag::Stacked(RunId(run), place),
                    terms,
                    Sense::AtLeast,
                    0.0,
                );
                all.extend(trays.iter().map(|(column, trays)| (*column, -trays)));
                all.push((stacks, height));
            }
            let loose = self.whole.is_none() && trials > 0.0 && !all.is_empty();
            if let Some(column) = runs[run].filter(|_| loose) {
                all.push((column, -trials));
                self.program
                    .row(RowTag::StackedAll(RunId(run)), all, Sense::AtLeast, 0.0);
            }
        }
    }

    /// Seed of each run whose seed some rule limits.
    fn seed(&mut self, grow: &[usize], runs: &[Option<usize>]) {
        let ground = self.ground;
        let nursery = ground.nursery;
        let mut sown: Vec<Vec<(usize, f64)>> = vec![Vec::new(); nursery.runs.len()];
        for (at, option) in nursery.options.iter().enumerate() {
            if !ground.compiled.bags[option.run.0].stretches.is_empty() {
                sown[option.run.0].push((grow[at], nursery.lot(option.lot).trays as f64));
            }
        }
        for (at, mut trays) in sown.into_iter().enumerate() {
            if trays.is_empty() {
                continue;
            }
            let kind = nursery.runs[at].kind;
            if let Some(run) = runs[at] {
                let a_tray = work::dry_seed(&nursery.scenario, kind, 1).max(1);
                let besides = nursery.seed_of_run(RunId(at), 0) as f64 / a_tray as f64;
                trays.push((run, besides));
            }
            let bags = bags_in_column(nursery, RunId(at));
            let unit = work::bag(&nursery.scenario, kind) * bags;
            let each = work::dry_seed(&nursery.scenario, kind, 1) as f64 / unit as f64;
            let most = trays.iter().map(|(_, trays)| trays * each).sum::<f64>() + 1.0;
            // Whole tenths of a gram where every point is to be a plan.
            let tenths = self.whole.is_some();
            let in_row = |seed: f64| match tenths {
                true => libm::round(seed * unit as f64),
                false => seed,
            };
            let seed = self
                .program
                .column(ColumnTag::Seed(RunId(at)), most, true, 0.0);
            self.program.columns[seed].whole = bags == 1;
            let bag = &ground.compiled.bags[at];
            self.post(seed, bags as f64, bag);
            self.hold_long(bag, most * bags as f64);
            let mut terms: Vec<(usize, f64)> = trays
                .into_iter()
                .map(|(column, trays)| (column, -in_row(trays * each)))
                .collect();
            terms.push((seed, in_row(1.0)));
            let tag = RowTag::Seeded(RunId(at));
            self.program.row(tag, terms, Sense::AtLeast, 0.0);
        }
    }

    /// Posts `times` of a bundle for each unit of a column.
    fn post(&mut self, column: usize, times: f64, bundle: &Bundle) {
        let days = self.ground.nursery.days;
        for stretch in &bundle.stretches {
            let (from, until) = (stretch.from as usize, stretch.until as usize);
            let amount = times * stretch.amount as f64 / self.scale[from / days];
            if is_long(stretch) {
                self.carried[from].push((column, amount));
                if until % days != 0 {
                    self.carried[until].push((column, -amount));
                }
            } else {
                for slot in from..until {
                    self.limits[slot].push((column, amount));
                }
            }
        }
        for Flow { kind, day, trays } in &bundle.flows {
            let book = match kind {
                FlowKind::Out => 0,
                FlowKind::BackClean => 1,
                FlowKind::BackDirty => 2,
            };
            self.flows[book][*day as usize].push((column, times * *trays as f64));
        }
    }

    /// Notes the long holds of a bundle, `most` times at most, among those of other things than lots.
    fn hold_long(&mut self, bundle: &Bundle, most: f64) {
        let days = self.ground.nursery.days;
        for stretch in bundle.stretches.iter().filter(|stretch| is_long(stretch)) {
            let resource = stretch.from as usize / days;
            self.long_others[resource] += most * stretch.amount as f64 / self.scale[resource];
        }
    }

    fn limits(&mut self) {
        let ground = self.ground;
        let days = ground.nursery.days;
        for resource in 0..ground.books.resources.len() {
            let range = resource * days..(resource + 1) * days;
            let carries = range.clone().any(|slot| self.tight[slot])
                && range.clone().any(|slot| !self.carried[slot].is_empty());
            let mut before = None;
            for (day, slot) in range.enumerate() {
                let scale = self.scale[resource];
                let mut terms = std::mem::take(&mut self.limits[slot]);
                if carries {
                    let held =
                        self.program
                            .column(ColumnTag::Held(resource, day), f64::MAX, false, 0.0);
                    // Bounded by everything that could ever be held: finite, for the safe bound.
                    self.program.columns[held].upper = self.most_held(resource);
                    let mut carry = std::mem::take(&mut self.carried[slot]);
                    carry.iter_mut().for_each(|term| term.1 = -term.1);
                    carry.push((held, 1.0));
                    carry.extend(before.map(|before| (before, -1.0)));
                    self.program.row(
                        RowTag::Carry(resource, day),
                        collected(carry),
                        Sense::Equal,
                        0.0,
                    );
                    before = Some(held);
                    terms.push((held, 1.0));
                }
                if !self.tight[slot] {
                    continue;
                }
                if self.whole.is_some() {
                    self.limit_whole(resource, day, terms);
                    continue;
                }
                self.bought(resource, day, &mut terms);
                let there = ground.slots.there[slot] as f64 / scale;
                self.program.row(
                    RowTag::Limit(resource, day),
                    collected(terms),
                    Sense::AtMost,
                    there,
                );
            }
        }
    }

    fn most_held(&self, resource: usize) -> f64 {
        let ground = self.ground;
        let days = ground.nursery.days as u32;
        let of_lot = |lot: usize| {
            let options = ground.nursery.of_lot[lot].clone();
            let amounts = options.flat_map(|id| &ground.compiled.options[id].stretches);
            let own = amounts.filter(|stretch| (stretch.from / days) as usize == resource);
            own.map(|stretch| stretch.amount).max().unwrap_or(0) as f64
        };
        let of_lots: f64 = (0..ground.nursery.lots.len()).map(of_lot).sum();
        of_lots / self.scale[resource] + self.long_others[resource]
    }
}

/// The place from which the program lets the trial trays come back: whichever opens first.
fn first_to_open(run: &RunCandidate) -> Option<usize> {
    let places = 0..run.opens.len();
    places
        .filter(|place| run.opens[*place].is_some())
        .min_by_key(|place| run.opens[*place])
}

/// Trial trays that are back and dirty in the program, and not yet in the plan, by day.
fn early_trials(state: &State<'_>) -> Vec<i64> {
    let nursery = state.ground().nursery;
    let mut early = vec![0; nursery.days];
    for (at, run) in nursery.runs.iter().enumerate() {
        let (Some(place), Some(first)) = (state.trial_place(at), first_to_open(run)) else {
            continue;
        };
        let day = |place: usize| {
            run.opens[place].map_or(0, |open| open.since(nursery.first).max(0) as usize)
        };
        for early in early.iter_mut().take(day(place)).skip(day(first)) {
            *early += nursery.trial_trays(RunId(at));
        }
    }
    early
}

/// Bags that one unit of a run's seed column stands for: a kilogram where seed is not counted in bags.
fn bags_in_column(nursery: &Nursery, run: RunId) -> i64 {
    let bag = work::bag(&nursery.scenario, nursery.run(run).kind);
    if bag == 1 { 10_000 } else { 1 }
}

fn is_long(stretch: &Stretch) -> bool {
    stretch.until - stretch.from >= LONG_HOLD
}
