//! Set-ups of a line's day by the order of its runs.
//!
//! Where it makes no difference for a run what stood before it, sums do: each run's own time, and what the first of the day takes
//! instead. Else the runs that are there form a path, run after run, the time on each step. A step that takes longer than the line has on
//! that day, as one that is never sown does, is left out.

use super::super::super::program::{ColumnTag, RowTag, Sense};
use super::super::Builder;
use crate::nursery::{MOST_RUNS_A_DAY, RunId, SetUps, work};
use crate::rules::{CREW_HOURS, LINE_HOURS};
use crate::units::Span;
use std::collections::BTreeMap;

/// A run that may be sown on a line's day.
#[derive(Clone, Copy)]
struct Sown {
    run: RunId,
    kind: usize,
    column: usize,
}

/// Most runs of a day for which the time of the best order is stated set by set, where a longer one could do good.
const MOST_STATED: usize = 12;

impl Builder<'_> {
    /// Set-ups of every line and day.
    pub(super) fn orders(&mut self, run: &[Option<usize>]) {
        let nursery = self.ground.nursery;
        let mut days: BTreeMap<(usize, usize), Vec<Sown>> = BTreeMap::new();
        for (at, candidate) in nursery.runs.iter().enumerate() {
            let place = candidate.line().zip(nursery.index(candidate.sow));
            if let Some((place, column)) = place.zip(run[at]) {
                let (run, kind) = (RunId(at), candidate.kind);
                days.entry(place)
                    .or_default()
                    .push(Sown { run, kind, column });
            }
        }
        for ((line, day), mut sown) in days {
            sown.sort_by_key(|sown| sown.kind);
            if sown.len() > MOST_RUNS_A_DAY {
                let terms = sown.iter().map(|sown| (sown.column, 1.0)).collect();
                let most = MOST_RUNS_A_DAY as f64;
                let tag = RowTag::RunsADay(line, day);
                self.program.row(tag, terms, Sense::AtMost, most);
            }
            let times = self.order(line, day, &sown);
            let bundle = &self.ground.compiled.set_ups[line * nursery.days + day];
            for (column, ms) in &times {
                self.post(*column, *ms as f64, bundle);
            }
            if self.longer_could_do_good(day) {
                self.state_order(line, day, &sown, &times);
            }
        }
    }

    /// Columns that take time of set-up on a line's day, ms each.
    fn order(&mut self, line: usize, day: usize, sown: &[Sown]) -> Vec<(usize, i64)> {
        let ground = self.ground;
        let set_ups = &ground.nursery.set_ups[line];
        let lines = ground.books.of_rule(LINE_HOURS);
        let longest = ground.slots.there[(lines.start + line) * ground.nursery.days + day];
        let first = set_ups.between(None, sown[0].kind).0;
        if sown.len() == 1 {
            return vec![(sown[0].column, first)];
        }
        let into: Option<Vec<i64>> = sown
            .iter()
            .map(|one| into_any(set_ups, sown, one.kind).filter(|ms| *ms <= longest))
            .collect();
        let Some(into) = into else {
            return self.path(line, day, sown, longest);
        };
        let columns = sown.iter().map(|sown| sown.column);
        let mut times: Vec<(usize, i64)> = columns.zip(into.iter().copied()).collect();
        if into.iter().all(|ms| *ms == into[0]) {
            if first != into[0] {
                times.push((self.sows(line, day, sown), first - into[0]));
            }
        } else {
            let firsts = self.firsts(line, day, sown);
            times.extend(firsts.into_iter().zip(into.iter().map(|ms| first - ms)));
        }
        times
    }

    /// A column that is 1 when anything is sown on the line's day.
    fn sows(&mut self, line: usize, day: usize, sown: &[Sown]) -> usize {
        let any = self
            .program
            .column(ColumnTag::Sows(line, day), 1.0, true, 0.0);
        let mut all = vec![(any, 1.0)];
        for one in sown {
            all.push((one.column, -1.0));
            let terms = vec![(one.column, 1.0), (any, -1.0)];
            let tag = RowTag::SowsFor(one.run);
            self.program.row(tag, terms, Sense::AtMost, 0.0);
        }
        self.program
            .row(RowTag::Sows(line, day), all, Sense::AtMost, 0.0);
        any
    }

    /// Columns that say which run is the first of the day: one, if there is any.
    fn firsts(&mut self, line: usize, day: usize, sown: &[Sown]) -> Vec<usize> {
        let firsts = self.first_columns(line, day, sown);
        for (one, first) in sown.iter().zip(&firsts) {
            let terms = vec![(*first, 1.0), (one.column, -1.0)];
            let tag = RowTag::SownFirst(one.run);
            self.program.row(tag, terms, Sense::AtMost, 0.0);
            let mut terms: Vec<(usize, f64)> = firsts.iter().map(|first| (*first, -1.0)).collect();
            terms.push((one.column, 1.0));
            let tag = RowTag::SomeFirst(one.run);
            self.program.row(tag, terms, Sense::AtMost, 0.0);
        }
        firsts
    }

    fn first_columns(&mut self, line: usize, day: usize, sown: &[Sown]) -> Vec<usize> {
        let mut column = |one: &Sown| {
            let tag = ColumnTag::First(one.run);
            self.program.column(tag, 1.0, true, 0.0)
        };
        let firsts: Vec<usize> = sown.iter().map(&mut column).collect();
        let terms = firsts.iter().map(|first| (*first, 1.0)).collect();
        self.program
            .row(RowTag::OneFirst(line, day), terms, Sense::AtMost, 1.0);
        firsts
    }

    /// The runs of the day form a path: each is the first or follows another, and turns count up along it, so that it never closes.
    ///
    /// Source of the turns: C. E. Miller, A. W. Tucker, R. A. Zemlin, "Integer programming formulation of traveling salesman problems",
    /// 1960 (from memory).
    fn path(&mut self, line: usize, day: usize, sown: &[Sown], longest: i64) -> Vec<(usize, i64)> {
        let set_ups = &self.ground.nursery.set_ups[line];
        let firsts = self.first_columns(line, day, sown);
        let many = sown.len() as f64;
        let mut turn = |one: &Sown| {
            let tag = ColumnTag::Turn(one.run);
            self.program.column(tag, many, true, 0.0)
        };
        let turns: Vec<usize> = sown.iter().map(&mut turn).collect();
        let mut times: Vec<(usize, i64)> = Vec::new();
        let mut into: Vec<Vec<(usize, f64)>> = Vec::new();
        for (one, first) in sown.iter().zip(&firsts) {
            times.push((*first, set_ups.between(None, one.kind).0));
            into.push(vec![(*first, 1.0), (one.column, -1.0)]);
        }
        for (from, before) in sown.iter().enumerate() {
            let mut out = vec![(before.column, -1.0)];
            for (to, after) in sown.iter().enumerate() {
                let ms = set_ups.between(Some(before.kind), after.kind).0;
                if from == to || ms > longest {
                    continue;
                }
                let tag = ColumnTag::Next(before.run, after.run);
                let next = self.program.column(tag, 1.0, true, 0.0);
                times.push((next, ms));
                into[to].push((next, 1.0));
                out.push((next, 1.0));
                let terms = vec![(turns[to], 1.0), (turns[from], -1.0), (next, -many)];
                let tag = RowTag::Turn(before.run, after.run);
                self.program.row(tag, terms, Sense::AtLeast, 1.0 - many);
            }
            self.program
                .row(RowTag::OutOf(before.run), out, Sense::AtMost, 0.0);
        }
        for (one, terms) in sown.iter().zip(into) {
            self.program
                .row(RowTag::Into(one.run), terms, Sense::Equal, 0.0);
        }
        times
    }

    /// True where more time for set-ups would leave less for washing, and that could do good.
    fn longer_could_do_good(&mut self, day: usize) -> bool {
        let ground = self.ground;
        let crews = ground.books.of_rule(CREW_HOURS);
        let sets_up = work::team(ground.nursery, &ground.nursery.scenario.work.set_up);
        let washes = ground.trays().labour.map(|(crew, _)| crew);
        self.further().wash_first[day]
            && washes.is_some()
            && sets_up.map(|(crew, _)| crews.start + crew) == washes
    }

    /// Says for each set of the day's runs that set-ups take no longer than in its best order.
    fn state_order(&mut self, line: usize, day: usize, sown: &[Sown], times: &[(usize, i64)]) {
        if sown.len() < 2 || sown.len() > MOST_STATED {
            return;
        }
        let set_ups = &self.ground.nursery.set_ups[line];
        let lines = self.ground.books.of_rule(LINE_HOURS);
        let longest =
            self.ground.slots.there[(lines.start + line) * self.ground.nursery.days + day];
        let in_minutes = |ms: i64| ms as f64 / Span::MINUTE as f64;
        for set in 1usize..1 << sown.len() {
            let is_in = |at: usize| set & (1 << at) != 0;
            let kinds: Vec<usize> = (0..sown.len())
                .filter(|at| is_in(*at))
                .map(|at| sown[at].kind)
                .collect();
            let least = set_ups.least(&kinds).0;
            if kinds.len() < 2 || least > longest {
                continue;
            }
            // With another set of runs the row says nothing: no set-ups take longer than the line's day.
            let more = in_minutes(longest - least);
            let mut terms: Vec<(usize, f64)> = times
                .iter()
                .map(|(column, ms)| (*column, in_minutes(*ms)))
                .collect();
            terms.extend(sown.iter().enumerate().map(|(at, sown)| {
                let sign = if is_in(at) { more } else { -more };
                (sown.column, sign)
            }));
            let rhs = in_minutes(least) + more * kinds.len() as f64;
            let tag = RowTag::Order(line, day, set);
            self.program
                .row(tag, super::collected(terms), Sense::AtMost, rhs);
        }
    }
}

/// Time into a kind that is the same after each of the others.
fn into_any(set_ups: &SetUps, sown: &[Sown], kind: usize) -> Option<i64> {
    let others = sown.iter().filter(|one| one.kind != kind);
    let mut times = others.map(|one| set_ups.between(Some(one.kind), kind).0);
    let first = times.next()?;
    times.all(|ms| ms == first).then_some(first)
}
