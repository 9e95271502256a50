//! The books for the present decisions, kept up to date move by move.
//!
//! This is the one function that prices whole decisions: the list heuristic, the polish, the brute
//! force of the tests and the plan that comes out all read [`State`]. The audit has its own.

use super::cards::{Cards, Hand};
use super::compiled::{Compiled, Slots};
use super::queue::Queue;
use super::sharing::{Shares, Weight};
use super::staffing::{Asked, Desks, Staffed, Staffing};
use crate::nursery::{LotId, MOST_RUNS_A_DAY, Nursery, OptionId, RunId, work};
use crate::quantities::Stacked;
use crate::rules::{Books, Supply};
use crate::units::{Span, div_up, fit};
use std::borrow::Cow;

/// What never changes while decisions do.
#[derive(Debug)]
pub struct Ground<'a> {
    /// The nursery.
    pub nursery: &'a Nursery,
    /// The rules' resources.
    pub books: Books,
    /// The rules' postings.
    pub compiled: Compiled,
    /// The same laid out for the search.
    pub cards: Cards,
    /// What there is.
    pub slots: Slots,
    /// Index of the tray stock among the resources.
    pub tray_stock: usize,
    /// What trays weigh that are short.
    pub shares: Shares,
    /// Crews whose number is decided by week.
    pub desks: Desks,
    /// Lots of one field whose runs are counted, where more than one has a price; by lot the index of its group.
    split: Vec<Option<usize>>,
    split_groups: Vec<Vec<LotId>>,
    no_trays: crate::rules::TraySupply,
}

impl<'a> Ground<'a> {
    /// Opens the books and asks the rules.
    pub fn new(nursery: &'a Nursery) -> Ground<'a> {
        let books = Books::open(nursery);
        let is_stock =
            |resource: &crate::rules::Resource| matches!(resource.supply, Supply::Trays(_));
        let (split, split_groups) = split_groups(nursery);
        let mut ground = Ground {
            cards: Cards::default(),
            shares: Shares::new(nursery),
            split,
            split_groups,
            desks: Desks::new(nursery, &books),
            compiled: Compiled::new(nursery, &books),
            slots: Slots::new(nursery, &books),
            tray_stock: books
                .resources
                .iter()
                .position(is_stock)
                .unwrap_or(usize::MAX),
            no_trays: crate::rules::TraySupply {
                clean: 0,
                dirty: 0,
                back_dirty: vec![0; nursery.days],
                back_clean: vec![0; nursery.days],
                wash: vec![0; nursery.days],
                dry_days: vec![1; nursery.days],
                labour: None,
            },
            nursery,
            books,
        };
        ground.cards = Cards::new(&ground);
        ground
    }

    /// What is asked of a crew on a day, where `used` holds the time of all slots.
    fn asked(&self, used: &[i64], resource: usize, day: usize) -> Asked {
        let slot = resource * self.nursery.days + day;
        Asked {
            used: used[slot],
            there: self.slots.there[slot],
            buyable: self.slots.buyable[slot],
            price_per_h: self.slots.price_per_h[slot],
        }
    }

    /// Price of going beyond a resource's limit by `over` of its unit, thousandths.
    fn price_beyond(&self, resource: usize, over: i64) -> i128 {
        if over <= 0 {
            return 0;
        }
        let per_tray = self.slots.per_tray[resource];
        let price = i128::from(BEYOND_FACTOR) * i128::from(self.nursery.short_per_tray.0);
        let exact = i128::from(over) * price / i128::from(per_tray);
        // Never free, and never so much that it drowns all the rest.
        exact.clamp(1, 1 << 50)
    }

    /// Price of what is bought on a slot, and of what goes beyond it.
    fn price_slot(&self, resource: usize, slot: usize, used: i64) -> (i64, i128) {
        let slots = &self.slots;
        let over = (used - slots.there[slot]).max(0);
        let bought = over.min(slots.buyable[slot]);
        let minutes = Span(bought).minutes_up();
        let price = work::price_of_minutes(minutes, slots.price_per_h[slot]);
        (price, self.price_beyond(resource, over - bought))
    }

    /// Fields of several parts where several runs have a price.
    pub fn split_groups(&self) -> usize {
        self.split_groups.len()
    }

    /// The lots of such a field.
    pub fn split_group(&self, group: usize) -> &[LotId] {
        &self.split_groups[group]
    }

    /// The tray stock's supply.
    pub fn trays(&self) -> &crate::rules::TraySupply {
        match self
            .books
            .resources
            .get(self.tray_stock)
            .map(|resource| &resource.supply)
        {
            Some(Supply::Trays(supply)) => supply,
            _ => &self.no_trays,
        }
    }
}

/// Money terms of the present decisions, thousandths. The reader takes 100,000,000 trays and no price above 1,000,000, so that 64
/// bits hold them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Terms {
    pub age: i64,
    pub preferred: i64,
    pub set_ups: i64,
    pub bought: i64,
    pub edge: i64,
    pub moves: i64,
    pub told: i64,
    pub splits: i64,
    /// Price of all trays short, as they weigh.
    pub shortage: i64,
    pub trays_short: i64,
}

impl Terms {
    /// Price of what is decided itself: neither time nor people bought for it, nor trays short.
    pub fn decided(self) -> i64 {
        self.age + self.preferred + self.edge + self.moves + self.told + self.splits + self.set_ups
    }
}

/// The present decisions and everything that follows from them.
#[derive(Clone, Debug)]
pub struct State<'g> {
    ground: &'g Ground<'g>,
    choice: Vec<Option<OptionId>>,
    used: Vec<i64>,
    queue: Queue,
    staffing: Staffing,
    terms: Terms,
    /// Price of what goes beyond every limit, thousandths; zero in a plan. Wide, since every slot of a long horizon may be beyond.
    beyond: i128,
    /// What all trays short weigh, hundredths of a tray.
    weighed: i64,
    /// Trays short by grower, where they weigh by share.
    grower_short: Vec<i64>,
    run_lots: Vec<u32>,
    run_trays: Vec<i64>,
    run_missing: Vec<i64>,
    place_lots: Vec<u32>,
    place_trays: Vec<i64>,
    place_stacks: Vec<i64>,
    run_bags: Vec<i64>,
    trial_place: Vec<usize>,
    line_day: Vec<Vec<usize>>,
    line_day_ms: Vec<i64>,
}

/// By lot the index of its field's group, and the lots of each group: fields of several parts, where several runs have a price. Parts that
/// already grow are not counted.
fn split_groups(nursery: &Nursery) -> (Vec<Option<usize>>, Vec<Vec<LotId>>) {
    let mut of_lot = vec![None; nursery.lots.len()];
    let mut groups: Vec<Vec<LotId>> = Vec::new();
    if nursery.scenario.prices.split_run.0 == 0 {
        return (of_lot, groups);
    }
    for field in 0..nursery.scenario.fields.len() {
        let parts = (0..nursery.lots.len()).filter(|lot| {
            let lot = &nursery.lots[*lot];
            lot.field == field && lot.standing.is_none()
        });
        let parts: Vec<LotId> = parts.map(LotId).collect();
        if parts.len() > 1 {
            for lot in &parts {
                of_lot[lot.0] = Some(groups.len());
            }
            groups.push(parts);
        }
    }
    (of_lot, groups)
}

const NOWHERE: usize = usize::MAX;
/// Going beyond a limit by what a tray takes costs this many times a tray not grown.
const BEYOND_FACTOR: i64 = 2;

impl<'g> State<'g> {
    /// Nothing grown.
    pub fn new(ground: &'g Ground<'g>) -> State<'g> {
        let nursery = ground.nursery;
        let (runs, places) = (nursery.runs.len(), ground.compiled.places);
        let line_days = nursery.scenario.lines.len() * nursery.days;
        let mut state = State {
            ground,
            choice: vec![None; nursery.lots.len()],
            used: vec![0; ground.slots.there.len()],
            queue: Queue::new(ground.trays()),
            staffing: Staffing::new(&ground.desks),
            terms: Terms::default(),
            weighed: 0,
            grower_short: vec![0; ground.shares.growers()],
            beyond: 0,
            run_lots: vec![0; runs],
            run_trays: vec![0; runs],
            run_missing: vec![0; runs],
            place_lots: vec![0; runs * places],
            place_trays: vec![0; runs * places],
            place_stacks: vec![0; runs * places],
            run_bags: vec![0; runs],
            trial_place: vec![NOWHERE; runs],
            line_day: vec![Vec::new(); line_days],
            line_day_ms: vec![0; line_days],
        };
        for lot in (0..nursery.lots.len()).map(LotId) {
            state.weigh_short(lot, 1);
        }
        state.price_shortage();
        state.settle();
        state
    }

    /// The state of given decisions, counted from nothing.
    pub fn of(ground: &'g Ground<'g>, choice: &[Option<OptionId>]) -> State<'g> {
        let mut state = State::new(ground);
        for (lot, option) in choice.iter().enumerate() {
            state.set(LotId(lot), *option);
        }
        state.settle();
        state
    }

    /// What never changes.
    pub fn ground(&self) -> &'g Ground<'g> {
        self.ground
    }

    /// The decision of every lot; `None` is not grown.
    pub fn choice(&self) -> &[Option<OptionId>] {
        &self.choice
    }

    /// Lots in a run.
    pub fn lots_in_run(&self, run: usize) -> u32 {
        self.run_lots[run]
    }

    /// Stacks of a run in a germination place.
    pub fn stacks(&self, run: usize, place: usize) -> i64 {
        self.place_stacks[run * self.ground.compiled.places + place]
    }

    /// Trays for fields of a run.
    pub fn run_trays(&self, run: usize) -> i64 {
        self.run_trays[run]
    }

    /// Trays for fields of a run in a germination place, trial trays not counted.
    pub fn trays_in(&self, run: usize, place: usize) -> i64 {
        self.place_trays[run * self.ground.compiled.places + place]
    }

    /// Bags of seed of a run; counted only where a rule asks for them.
    pub fn bags(&self, run: usize) -> i64 {
        self.run_bags[run]
    }

    /// The germination place of a run's trial trays.
    pub fn trial_place(&self, run: usize) -> Option<usize> {
        Some(self.trial_place[run]).filter(|place| *place != NOWHERE)
    }

    /// Kinds sown on a line on a day, ascending.
    pub fn kinds_on(&self, line: usize, day: usize) -> &[usize] {
        &self.line_day[line * self.ground.nursery.days + day]
    }

    /// Used of every slot, washing not counted.
    pub fn used(&self) -> &[i64] {
        &self.used
    }

    /// The tray stock; settle first.
    pub fn queue(&self) -> &Queue {
        &self.queue
    }

    /// Money terms.
    pub fn terms(&self) -> Terms {
        self.terms
    }

    /// Money and trays short at their price, thousandths; settle first, as [`State::beyond`] does.
    pub fn money(&self) -> i64 {
        let terms = self.terms;
        terms.decided() + terms.bought + terms.shortage + self.staffing.money()
    }

    /// Price of what goes beyond limits, thousandths: zero when the decisions are a plan. Settles the tray stock and the people hired.
    pub fn beyond(&mut self) -> i64 {
        self.settle();
        let missing = self
            .ground
            .price_beyond(self.ground.tray_stock, self.queue.missing());
        // Held where the money can still be added to it.
        fit(self.beyond + self.staffing.beyond() + missing).min(i64::MAX / 4)
    }

    /// What the search minimises: [`State::money`] + [`State::beyond`].
    pub fn objective(&mut self) -> i64 {
        self.beyond() + self.money()
    }

    /// Decides a lot anew.
    pub fn set(&mut self, lot: LotId, to: Option<OptionId>) {
        let from = std::mem::replace(&mut self.choice[lot.0], to);
        if from == to {
            return;
        }
        if from.is_none() != to.is_none() {
            self.weigh_short(lot, if to.is_none() { 1 } else { -1 });
            self.price_shortage();
        }
        if let (Some(from), Some(to)) = (from, to)
            && self.ground.cards.alike(from, to)
        {
            // The run and its place stay as they are.
            self.price_option(from, -1);
            self.price_option(to, 1);
            self.post(self.ground.cards.own(from), -1);
            self.post(self.ground.cards.own(to), 1);
            return;
        }
        let left = from.map(|option| self.post_option(lot, option, -1));
        let joined = to.map(|option| self.post_option(lot, option, 1));
        if let Some(run) = left {
            self.refresh_run(run);
        }
        if let Some(run) = joined.filter(|run| Some(*run) != left) {
            self.refresh_run(run);
        }
        if let Some(group) = self.ground.split[lot.0].filter(|_| joined != left) {
            self.terms.splits +=
                self.split_cost(group, lot, to) - self.split_cost(group, lot, from);
        }
    }

    /// Price of the runs beyond the first that the parts of a field come from, were `lot` decided as `option`.
    fn split_cost(&self, group: usize, lot: LotId, option: Option<OptionId>) -> i64 {
        let nursery = self.ground.nursery;
        let chosen = self.ground.split_groups[group].iter().map(|part| {
            if *part == lot {
                option
            } else {
                self.choice[part.0]
            }
        });
        let mut runs: Vec<usize> = chosen
            .flatten()
            .map(|id| nursery.option(id).run.0)
            .collect();
        runs.sort_unstable();
        runs.dedup();
        runs.len().saturating_sub(1) as i64 * nursery.scenario.prices.split_run.0
    }

    /// What trays short would weigh, at their price, were a lot grown that is not.
    pub fn shortage_with(&mut self, lot: LotId) -> i64 {
        let now = self.terms.shortage;
        self.weigh_short(lot, -1);
        self.price_shortage();
        let then = std::mem::replace(&mut self.terms.shortage, now);
        self.weigh_short(lot, 1);
        then
    }

    fn weigh_short(&mut self, lot: LotId, times: i64) {
        let leaving = self.ground.nursery.lot(lot).leaving;
        self.terms.trays_short += times * leaving;
        match self.ground.shares.weight(lot) {
            Weight::Each(hundredths) => self.weighed += times * leaving * hundredths,
            Weight::ByShare(grower) => {
                let shares = &self.ground.shares;
                let short = &mut self.grower_short[grower];
                let before = shares.of_grower(grower, *short);
                *short += times * leaving;
                self.weighed += shares.of_grower(grower, *short) - before;
            }
        }
    }

    fn price_shortage(&mut self) {
        let exact = i128::from(self.weighed) * i128::from(self.ground.nursery.short_per_tray.0);
        self.terms.shortage = fit((2 * exact + 100).div_euclid(200)).min(i64::MAX / 4);
    }

    fn post_option(&mut self, lot: LotId, id: OptionId, times: i64) -> usize {
        let ground = self.ground;
        let option = ground.nursery.option(id);
        let trays = ground.nursery.lot(lot).trays;
        self.post(ground.cards.shared(id), times);
        self.post(ground.cards.own(id), times);
        self.price_option(id, times);
        let run = option.run.0;
        let one_more = |lots: &mut u32| *lots = lots.wrapping_add_signed(times as i32);
        one_more(&mut self.run_lots[run]);
        self.run_trays[run] += times * trays;
        if let Some(place) = option.route.germination {
            let at = run * ground.compiled.places + place;
            self.place_trays[at] += times * trays;
            one_more(&mut self.place_lots[at]);
        }
        run
    }

    fn price_option(&mut self, id: OptionId, times: i64) {
        let option = self.ground.nursery.option(id);
        self.terms.age += times * option.age_cost.0;
        self.terms.preferred += times * option.preferred_cost.0;
        self.terms.edge += times * option.edge_cost.0;
        self.terms.moves += times * option.move_cost.0;
        self.terms.told += times * option.told_cost.0;
    }

    /// Brings a run's trial trays, stacks and set-up in line with its lots.
    fn refresh_run(&mut self, run: usize) {
        let ground = self.ground;
        let places = ground.compiled.places;
        let candidate = &ground.nursery.runs[run];
        let scenario = &ground.nursery.scenario;
        let trials = ground.nursery.trial_trays(RunId(run));
        let base = run * places;
        let first = (0..places)
            .find(|place| self.place_lots[base + place] > 0)
            .unwrap_or(NOWHERE);
        let before = std::mem::replace(&mut self.trial_place[run], first);
        if before != first {
            if before != NOWHERE {
                self.post(ground.cards.trials[base + before], -1);
            }
            if first != NOWHERE {
                self.post(ground.cards.trials[base + first], 1);
            }
            if (before == NOWHERE) != (first == NOWHERE) {
                self.open_or_close(run, first != NOWHERE);
            }
        }
        self.miss_least_run(run);
        let bag = ground.cards.bags[run];
        if !bag.is_empty() {
            let seed = match self.run_lots[run] {
                0 => 0,
                _ => ground.nursery.seed_of_run(RunId(run), self.run_trays[run]),
            };
            let bags = div_up(seed, work::bag(scenario, candidate.kind));
            let more = bags - std::mem::replace(&mut self.run_bags[run], bags);
            if more != 0 {
                self.post(bag, more);
            }
        }
        for place in 0..places {
            let standing = self.place_trays[base + place] + if place == first { trials } else { 0 };
            let stacks = Stacked::of(standing, scenario.germination[place].height).stacks();
            let more = stacks - std::mem::replace(&mut self.place_stacks[base + place], stacks);
            if more != 0 {
                self.post(ground.cards.stacks[base + place], more);
            }
        }
    }

    /// A run with fewer trays than its kind's least goes beyond a limit by those that are missing.
    fn miss_least_run(&mut self, run: usize) {
        let nursery = self.ground.nursery;
        let candidate = &nursery.runs[run];
        let least = nursery.scenario.kinds[candidate.kind].least_run_trays;
        let there = self.run_lots[run] > 0 && candidate.line().is_some();
        let missing = if there {
            (least - self.run_trays[run]).max(0)
        } else {
            0
        };
        let more = missing - std::mem::replace(&mut self.run_missing[run], missing);
        let price = i128::from(BEYOND_FACTOR) * i128::from(nursery.short_per_tray.0);
        self.beyond += i128::from(more) * price;
    }

    /// Runs that are smaller than their kind's least: the run, and the trays that are missing.
    pub fn small_runs(&self) -> Vec<(RunId, i64)> {
        let all = self.run_missing.iter().enumerate();
        all.filter(|(_, missing)| **missing > 0)
            .map(|(run, missing)| (RunId(run), *missing))
            .collect()
    }

    fn open_or_close(&mut self, run: usize, open: bool) {
        let ground = self.ground;
        let candidate = &ground.nursery.runs[run];
        self.post(ground.cards.runs[run], if open { 1 } else { -1 });
        let (Some(line), Some(day)) = (candidate.line(), ground.nursery.index(candidate.sow))
        else {
            return;
        };
        self.terms.set_ups += if open { 1 } else { -1 } * ground.nursery.scenario.prices.set_up.0;
        let at = line * ground.nursery.days + day;
        let crowd = |kinds: usize| kinds.saturating_sub(MOST_RUNS_A_DAY) as i128;
        let kinds = &mut self.line_day[at];
        let many = crowd(kinds.len());
        match kinds.binary_search(&candidate.kind) {
            Ok(found) if !open => {
                kinds.remove(found);
            }
            Err(place) if open => kinds.insert(place, candidate.kind),
            _ => {}
        }
        self.beyond +=
            (crowd(kinds.len()) - many) * 1_000 * i128::from(ground.nursery.short_per_tray.0);
        let ms = ground.nursery.set_ups[line].least(kinds).0;
        let more = ms - std::mem::replace(&mut self.line_day_ms[at], ms);
        if more != 0 {
            self.post(ground.cards.set_ups[at], more);
        }
    }

    /// What an option that is not decided would have to have bought of the slots that it shares with those of its group; `None` when
    /// more would be asked of one than there is. Reads only; trays, people hired by the week and what comes with a run are not looked at.
    pub fn asks_shared(&self, id: OptionId) -> Option<i64> {
        self.asks(self.ground.cards.shared(id))
    }

    /// The same of what it does not share.
    pub fn asks_own(&self, id: OptionId) -> Option<i64> {
        self.asks(self.ground.cards.own(id))
    }

    fn asks(&self, hand: Hand) -> Option<i64> {
        let slots = &self.ground.slots;
        let cards = &self.ground.cards;
        let mut price = 0;
        for card in cards.cards(hand) {
            let (from, until) = (card.from as usize, card.until as usize);
            let resource = card.resource as usize;
            if cards.follows[resource].staffing {
                continue;
            }
            let there = &slots.there[from..until];
            for (at, (used, there)) in self.used[from..until].iter().zip(there).enumerate() {
                let new = *used + card.amount;
                if new > *there {
                    let slot = from + at;
                    if new - there > slots.buyable[slot] {
                        return None;
                    }
                    let (bought, _) = self.ground.price_slot(resource, slot, new);
                    let (before, _) = self.ground.price_slot(resource, slot, *used);
                    price += bought - before;
                }
            }
        }
        Some(price)
    }

    fn post(&mut self, hand: Hand, times: i64) {
        let ground = self.ground;
        let (days, cards) = (ground.nursery.days, &ground.cards);
        for card in cards.cards(hand) {
            let (from, until) = (card.from as usize, card.until as usize);
            let resource = card.resource as usize;
            let follows = cards.follows[resource];
            if follows.washing || follows.staffing {
                let (first, last) = (from - resource * days, until - 1 - resource * days);
                if follows.washing {
                    self.queue.touch(first, last);
                }
                if follows.staffing {
                    self.staffing.touch(&ground.desks, resource, first, last);
                    for used in &mut self.used[from..until] {
                        *used += card.amount * times;
                    }
                    continue;
                }
            }
            let more = card.amount * times;
            let there = &ground.slots.there[from..until];
            for (at, (used, there)) in self.used[from..until].iter_mut().zip(there).enumerate() {
                let old = *used;
                let new = old + more;
                *used = new;
                if old > *there || new > *there {
                    let (bought_old, beyond_old) = ground.price_slot(resource, from + at, old);
                    let (bought_new, beyond_new) = ground.price_slot(resource, from + at, new);
                    self.terms.bought += bought_new - bought_old;
                    self.beyond += beyond_new - beyond_old;
                }
            }
        }
        for flow in cards.flows(hand) {
            self.queue.add(flow, times);
        }
    }

    fn settle(&mut self) {
        let base = self.queue.crew().unwrap_or(0) * self.ground.nursery.days;
        let (there, used) = (&self.ground.slots.there, &self.used);
        self.queue
            .settle(|day| there[base + day] - used[base + day]);
        let (ground, used) = (self.ground, &self.used);
        let asked = |resource: usize, day: usize| ground.asked(used, resource, day);
        let beyond = |resource: usize, over: i64| ground.price_beyond(resource, over);
        self.staffing.settle(&ground.desks, asked, beyond);
    }

    /// People hired by crew and week; settle first.
    pub fn hired(&self) -> Vec<Staffed> {
        self.staffing.people(&self.ground.desks)
    }

    /// Price of people hired and of changes of their number, thousandths; settle first.
    pub fn price_of_hired(&self) -> (i64, i64) {
        self.staffing.prices(&self.ground.desks)
    }

    /// There and buyable of every slot, with the people hired; settle first.
    ///
    /// Copied only when somebody is hired: reasons of a shortage ask for it once for each option.
    pub fn with_hired(&self) -> (Cow<'g, [i64]>, Cow<'g, [i64]>) {
        let slots = &self.ground.slots;
        let mut there = Cow::Borrowed(slots.there.as_slice());
        let mut buyable = Cow::Borrowed(slots.buyable.as_slice());
        let nursery = self.ground.nursery;
        for staffed in self.hired().iter().filter(|staffed| staffed.casual > 0) {
            let Supply::Weekly { people, .. } =
                &self.ground.books.resources[staffed.resource].supply
            else {
                continue;
            };
            for day in (0..nursery.days).filter(|day| nursery.day(*day).iso_week() == staffed.week)
            {
                let slot = staffed.resource * nursery.days + day;
                there.to_mut()[slot] += staffed.casual * people.shift[day];
                buyable.to_mut()[slot] += staffed.casual * people.overtime[day];
            }
        }
        (there, buyable)
    }

    /// Bought person time by crew resource and day: (resource, day, whole minutes, price).
    pub fn bought(&self) -> Vec<(usize, usize, i64, i64)> {
        let days = self.ground.nursery.days;
        let slots = &self.ground.slots;
        let (there, buyable) = self.with_hired();
        (0..self.used.len())
            .filter(|slot| buyable[*slot] > 0 && self.used[*slot] > there[*slot])
            .map(|slot| {
                let over = (self.used[slot] - there[slot]).min(buyable[slot]);
                let minutes = Span(over).minutes_up();
                let price = work::price_of_minutes(minutes, slots.price_per_h[slot]);
                (slot / days, slot % days, minutes, price)
            })
            .collect()
    }

    /// Resources that the present decisions overfill, with the first day and by how much; of clean trays by how many on the worst day, since a
    /// tray that is there on the first day is there on all.
    pub fn overfull(&mut self) -> Vec<(usize, usize, i64)> {
        let mut over = self.over_by_day();
        let stock = self.ground.tray_stock;
        let missing = over.iter().filter(|(resource, ..)| *resource == stock);
        let worst = missing.map(|(.., over)| *over).max().unwrap_or(0);
        over.dedup_by_key(|(resource, ..)| *resource);
        for (_, _, over) in over.iter_mut().filter(|(at, ..)| *at == stock) {
            *over = worst;
        }
        over
    }

    /// Resource, day and by how much, for every day on which the present decisions go beyond what is there and can be bought; of clean
    /// trays how many are missing, of a week that is too long for a crew its first day.
    pub fn over_by_day(&mut self) -> Vec<(usize, usize, i64)> {
        self.settle();
        let days = self.ground.nursery.days;
        let (there, buyable) = self.with_hired();
        let mut over: Vec<(usize, usize, i64)> = (0..self.used.len())
            .map(|slot| (slot, self.used[slot] - there[slot] - buyable[slot]))
            .filter(|(_, over)| *over > 0)
            .map(|(slot, over)| (slot / days, slot % days, over))
            .collect();
        let clean = self.queue.clean().enumerate();
        let missing = clean.filter(|(_, clean)| *clean < 0);
        over.extend(missing.map(|(day, clean)| (self.ground.tray_stock, day, -clean)));
        let (ground, used) = (self.ground, &self.used);
        let asked = |resource: usize, day: usize| ground.asked(used, resource, day);
        over.extend(self.staffing.too_long(&ground.desks, asked));
        over.sort();
        over
    }
}
