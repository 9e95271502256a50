//! Parts of the year that have nothing to do with each other: seasons. Their programs are solved apart, which is quicker than all at once, and gets further with the same effort.
//!
//! A part begins on a day across which nothing that could be decided reaches: no order is soaked before and planted after, nothing of it
//! stands, dries or is on its way. Besides the decisions, stock goes on from day to day: trays, and people who are hired. The rows that carry it from one part
//! to the next are left out, so that the least costs of the parts together are a bound on the whole's whatever goes across. They are the whole's least
//! cost when nothing of worth does: when nobody stays hired, and when every season has trays enough without those that earlier ones may have lost.

use super::compiled::{Bundle, FlowKind};
use super::lp;
use super::program::{ColumnTag, Program, Row, RowTag, Sense};
use super::sieve::Sieve;
use super::state::Ground;
use super::watch::Stop;
use crate::nursery::{LotId, OptionId, RunId};
use std::ops::Range;

/// Days between two parts that are enough to dismiss those who are hired by the week, and to be too dear to keep them.
const WEEK: usize = 7;
/// Costs that differ by less than this share are the same, for what the linear solver may be off.
const SAME: f64 = 2e-5;

/// The program of one part.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// Its columns and the rows that have no others.
    pub program: Program,
    /// Which columns of the whole program these are.
    pub columns: Vec<usize>,
    /// Which of them the solver has.
    pub sieve: Sieve,
}

impl Part {
    /// The part of a point of the whole program.
    pub fn of(&self, whole: &[f64]) -> Vec<f64> {
        self.columns.iter().map(|at| whole[*at]).collect()
    }

    /// The cuts found for it, as rows of the whole program.
    pub fn cuts(&self) -> impl Iterator<Item = Row> {
        let rows = self.program.rows.iter();
        let cuts = rows.filter(|row| matches!(row.tag, RowTag::Cut(_)));
        cuts.map(|row| {
            let terms = row.terms.iter();
            let terms = terms.map(|(at, c)| (self.columns[*at], *c)).collect();
            Row { terms, ..*row }
        })
    }
}

/// The parts of a nursery's program; one alone when its year is all one, or when some season would be cheaper with the trays that earlier ones
/// lose.
pub fn parts(ground: &Ground<'_>, program: &Program, stop: &Stop) -> Vec<Part> {
    let begins = begins(ground);
    let parts = split(ground, program, &begins);
    if parts.len() == 1 || enough_trays(ground, &parts, &begins, stop) {
        return parts;
    }
    split(ground, program, &[])
}

/// True when each later part costs the same with no more trays at its beginning than are left when all lots before have lost as many as they may.
fn enough_trays(ground: &Ground<'_>, parts: &[Part], begins: &[usize], stop: &Stop) -> bool {
    let supply = ground.trays();
    parts[1..].iter().zip(begins).all(|(part, begin)| {
        let carries = part.program.rows.iter().filter_map(|row| match row.tag {
            RowTag::CarryClean(day) => Some(day),
            _ => None,
        });
        // What is washed just before dries on some first days, which have no row then.
        let Some(last) = carries.min().and_then(|first| first.checked_sub(1)) else {
            return true;
        };
        let mut poorer = part.program.clone();
        let (mut terms, mut all) = (Vec::new(), 0.0_f64);
        for (at, column) in poorer.columns.iter().enumerate() {
            match column.tag {
                ColumnTag::Clean(day) | ColumnTag::Dirty(day) if day == last => {
                    terms.push((at, 1.0));
                    all = all.max(column.upper);
                }
                ColumnTag::Washed(day) if day <= last => terms.push((at, 1.0)),
                _ => {}
            }
        }
        let later = [&supply.back_dirty, &supply.back_clean].map(|back| &back[*begin..]);
        let later: i64 = later.into_iter().flatten().sum();
        let there = all - (lost_before(ground, *begin) + later) as f64;
        poorer.row(
            RowTag::CarryClean(last),
            terms,
            Sense::AtMost,
            there.max(0.0),
        );
        let solved = lp::solve_until(&poorer, &[], stop).ok();
        // With the prices of the others and none for that row: what more trays would save is what lies between.
        let costs = solved.and_then(|solved| {
            let richer = part.program.safe_bound(&solved.prices)?;
            Some((solved.bound?, richer))
        });
        costs.is_some_and(|(poorer, richer)| poorer - richer <= SAME * poorer.abs())
    })
}

/// Trays that do not come back of all lots that are sown before a day, at most.
fn lost_before(ground: &Ground<'_>, begin: usize) -> i64 {
    let nursery = ground.nursery;
    let lost = |option: OptionId| -> i64 {
        let flows = &ground.compiled.option(option).flows;
        let lost = flows.iter().map(|flow| match flow.kind {
            FlowKind::Out => flow.trays,
            FlowKind::BackClean | FlowKind::BackDirty => -flow.trays,
        });
        let lot = nursery.lot(nursery.option(option).lot);
        lost.sum::<i64>() + if lot.standing.is_some() { lot.trays } else { 0 }
    };
    let lots = (0..nursery.lots.len()).map(LotId);
    let before = lots.filter(|lot| a_day(ground, ColumnTag::Short(*lot)) < begin);
    before
        .map(|lot| nursery.options_of(lot).map(lost).max().unwrap_or(0).max(0))
        .sum()
}

/// The program's columns by the days on which parts begin, and the rows that have no others.
fn split(ground: &Ground<'_>, program: &Program, begins: &[usize]) -> Vec<Part> {
    let part_of: Vec<usize> = program
        .columns
        .iter()
        .map(|column| {
            let day = a_day(ground, column.tag);
            begins.partition_point(|begin| *begin <= day)
        })
        .collect();
    let mut parts = vec![Part::default(); begins.len() + 1];
    let mut places = Vec::with_capacity(part_of.len());
    for (at, part) in part_of.iter().enumerate() {
        let part = &mut parts[*part];
        places.push(part.columns.len());
        part.columns.push(at);
        part.program.columns.push(program.columns[at]);
    }
    for row in &program.rows {
        let mut own = row.terms.iter().map(|(at, _)| part_of[*at]);
        let Some(first) = own.next() else { continue };
        if own.all(|other| other == first) {
            let terms = row.terms.iter().map(|(at, c)| (places[*at], *c)).collect();
            parts[first].program.rows.push(Row { terms, ..*row });
        }
    }
    parts
}

/// The first days of all parts but the first.
fn begins(ground: &Ground<'_>) -> Vec<usize> {
    let mut spans = spans(ground);
    spans.sort_by_key(|span| span.start);
    let mut begins = Vec::new();
    let mut until: Option<usize> = None;
    for span in spans {
        let gap = until.filter(|until| *until <= span.start);
        begins.extend(gap.and_then(|until| begin(ground, until..span.start)));
        until = until.max(Some(span.end));
    }
    begins
}

/// Where in a gap, from its first free day to the day on which something begins, the later part begins. People are hired by whole weeks, so that it is the first day of one,
/// with a free week behind it if that can be: who would be kept for nothing all that week is hired when needed. Else as late
/// as can be, when most trays are clean again. `None` when no week begins there.
fn begin(ground: &Ground<'_>, gap: Range<usize>) -> Option<usize> {
    let nursery = ground.nursery;
    let monday =
        |day: &usize| *day > 0 && nursery.day(*day).iso_week() != nursery.day(*day - 1).iso_week();
    let (from, until) = (gap.start, gap.end);
    let early = (from..=until.saturating_sub(WEEK)).rev().find(monday);
    let late = || (from..=until).rev().find(monday);
    early.or_else(late)
}

/// From the first day of what could be decided of each run and of all lots in it, to the first day after.
fn spans(ground: &Ground<'_>) -> Vec<Range<usize>> {
    let (nursery, compiled) = (ground.nursery, &ground.compiled);
    let mut spans: Vec<Option<Range<usize>>> = vec![None; nursery.runs.len()];
    for (at, option) in nursery.options.iter().enumerate() {
        widen(
            &mut spans[option.run.0],
            nursery.days,
            &compiled.options[at],
        );
    }
    let places = compiled.places;
    for (run, span) in spans.iter_mut().enumerate() {
        // What nobody could be sown in asks for nothing.
        if span.is_none() {
            continue;
        }
        let of_places = run * places..(run + 1) * places;
        let own = [&compiled.runs[run], &compiled.bags[run]].into_iter();
        let stacks = compiled.stacks[of_places.clone()].iter();
        let all = own.chain(stacks).chain(&compiled.trials[of_places]);
        all.for_each(|bundle| widen(span, nursery.days, bundle));
        if let Some(day) = nursery.index(nursery.runs[run].sow) {
            *span = span
                .take()
                .map(|span| span.start.min(day)..span.end.max(day + 1));
        }
    }
    spans.into_iter().flatten().collect()
}

/// A span with the days on which something is posted. A slot is a resource on a day.
fn widen(span: &mut Option<Range<usize>>, days: usize, bundle: &Bundle) {
    let held = bundle.stretches.iter().map(|stretch| {
        let first = stretch.from as usize % days;
        first..first + (stretch.until - stretch.from) as usize
    });
    let flows = bundle
        .flows
        .iter()
        .map(|flow| flow.day as usize..flow.day as usize + 1);
    for next in held.chain(flows) {
        *span = Some(match span.take() {
            Some(span) => span.start.min(next.start)..span.end.max(next.end),
            None => next,
        });
    }
}

/// A day of the part that a column belongs to.
fn a_day(ground: &Ground<'_>, tag: ColumnTag) -> usize {
    let nursery = ground.nursery;
    let of_run = |run: RunId| nursery.index(nursery.run(run).sow).unwrap_or(0);
    let of_option = |option: OptionId| of_run(nursery.option(option).run);
    let of_lot = |lot: LotId| nursery.options_of(lot).next().map_or(0, of_option);
    let of_week = |resource: usize, week: usize| {
        let weeks = ground.desks.of(resource).map(|(_, weeks)| weeks);
        weeks
            .and_then(|weeks| weeks.get(week))
            .map_or(0, |week| week.days.start)
    };
    match tag {
        ColumnTag::Grow(option) => of_option(option),
        ColumnTag::Short(lot) => of_lot(lot),
        ColumnTag::Run(run) | ColumnTag::Seed(run) | ColumnTag::First(run) => of_run(run),
        ColumnTag::Next(run, _) | ColumnTag::Turn(run) | ColumnTag::Draws(_, run) => of_run(run),
        ColumnTag::Stacks(run, _) | ColumnTag::Sown(run, _) | ColumnTag::Trial(run, _) => {
            of_run(run)
        }
        ColumnTag::Bought(_, day) | ColumnTag::Held(_, day) | ColumnTag::Sows(_, day) => day,
        ColumnTag::Clean(day) | ColumnTag::Dirty(day) | ColumnTag::Washed(day) => day,
        ColumnTag::Regular(day) | ColumnTag::Left(day) => day,
        ColumnTag::WashFull(day) | ColumnTag::WashTime(day) => day,
        ColumnTag::Casual(resource, week)
        | ColumnTag::Hired(resource, week)
        | ColumnTag::Released(resource, week)
        | ColumnTag::Level(resource, week, _) => of_week(resource, week),
        ColumnTag::Band(..) | ColumnTag::Split(_) => 0,
    }
}
