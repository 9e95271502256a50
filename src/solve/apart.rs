//! Seasons that have nothing to do with each other. Their programs are solved apart, which is quicker than all at once, and gets further with the same effort.
//!
//! A season begins on a day across which nothing that could be decided reaches: no lot is soaked before and planted after, none stands, no tray is on its way
//! (where stores are followed to the end of the horizon, all is one season). Besides the decisions, stock goes on from day to day: trays, and people who are hired. The rows that carry it from one season
//! to the next are left out, so that the least costs of the seasons together are a bound on the whole's whatever goes across. They are the whole's least
//! cost when nothing of worth does: when nobody stays hired, and when every season has trays enough without those that earlier ones may have lost.

use super::compiled::{Bundle, FlowKind};
use super::lp;
use super::program::{ColumnTag, Program, Row, RowTag, Sense};
use super::sieve::Sieve;
use super::state::Ground;
use super::watch::Stop;
use crate::nursery::{LotId, OptionId, RunId};
use std::ops::Range;

/// Days of a week, for which people are hired.
const WEEK: usize = 7;
/// Costs that differ by less than this share are the same, for what the linear solver may be off.
const SAME: f64 = 2e-5;

/// The program of one season.
#[derive(Clone, Debug, Default)]
pub struct Season {
    /// Its columns and the rows that have no others.
    pub program: Program,
    /// Which columns of the whole program these are.
    pub columns: Vec<usize>,
    /// Which of them the solver has.
    pub sieve: Sieve,
}

impl Season {
    /// What belongs to it of a point of the whole program.
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

/// The seasons of a nursery's program; one alone when its year is all one, or when some season would be cheaper with the trays that earlier ones
/// lose.
pub fn seasons(ground: &Ground<'_>, program: &Program, stop: &Stop) -> Vec<Season> {
    let mut spans = spans(ground);
    spans.sort_by_key(|span| span.start);
    let first_days = first_days(ground, &spans);
    let seasons = split(ground, program, &first_days);
    if seasons.len() == 1 || enough_trays(ground, &seasons, &first_days, &spans, stop) {
        return seasons;
    }
    split(ground, program, &[])
}

/// True when each later season costs the same with no more trays at its beginning than are left when all lots before have lost as many as they may.
fn enough_trays(
    ground: &Ground<'_>,
    seasons: &[Season],
    first_days: &[usize],
    spans: &[Range<usize>],
    stop: &Stop,
) -> bool {
    let supply = ground.trays();
    seasons[1..].iter().zip(first_days).all(|(season, begin)| {
        let carries = season.program.rows.iter().filter_map(|row| match row.tag {
            RowTag::CarryClean(day) => Some(day),
            _ => None,
        });
        // What is washed just before dries on some first days, which have no row then.
        let Some(last) = carries.min().and_then(|first| first.checked_sub(1)) else {
            return true;
        };
        if spans
            .iter()
            .any(|span| (*begin..=last).contains(&span.start))
        {
            return false;
        }
        let mut poorer = season.program.clone();
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
            let richer = season.program.safe_bound(&solved.prices)?;
            Some((solved.bound?, richer))
        });
        costs.is_some_and(|(poorer, richer)| poorer - richer <= SAME * poorer.abs())
    })
}

/// Most trays that the lots sown before a day may lose.
fn lost_before(ground: &Ground<'_>, begin: usize) -> i64 {
    let nursery = ground.nursery;
    let gone = |option: OptionId| -> i64 {
        let flows = ground.compiled.option(option).flows.iter();
        let gone = flows.map(|flow| match flow.kind {
            FlowKind::Out => flow.trays,
            FlowKind::BackClean | FlowKind::BackDirty => -flow.trays,
        });
        gone.sum()
    };
    let lots = (0..nursery.lots.len()).map(LotId);
    let before = lots.filter(|lot| a_day(ground, ColumnTag::Short(*lot)) < begin);
    let most = before.map(|lot| {
        // Trays that stand already are gone until they come back.
        let standing = nursery
            .lot(lot)
            .standing
            .map_or(0, |_| nursery.lot(lot).trays);
        let grown = nursery.options_of(lot).map(gone).max().unwrap_or(0);
        standing + grown.max(0)
    });
    most.sum()
}

/// The program's columns by the days on which seasons begin, and the rows that have no others.
fn split(ground: &Ground<'_>, program: &Program, first_days: &[usize]) -> Vec<Season> {
    let season_of: Vec<usize> = program
        .columns
        .iter()
        .map(|column| {
            let day = a_day(ground, column.tag);
            first_days.partition_point(|first| *first <= day)
        })
        .collect();
    let mut seasons = vec![Season::default(); first_days.len() + 1];
    let mut places = Vec::with_capacity(season_of.len());
    for (at, season) in season_of.iter().enumerate() {
        let season = &mut seasons[*season];
        places.push(season.columns.len());
        season.columns.push(at);
        season.program.columns.push(program.columns[at]);
    }
    for row in &program.rows {
        let mut own = row.terms.iter().map(|(at, _)| season_of[*at]);
        let Some(first) = own.next() else { continue };
        if own.all(|other| other == first) {
            let terms = row.terms.iter().map(|(at, c)| (places[*at], *c)).collect();
            seasons[first].program.rows.push(Row { terms, ..*row });
        }
    }
    seasons
}

/// The first days of all seasons but the first; spans by their first day.
fn first_days(ground: &Ground<'_>, spans: &[Range<usize>]) -> Vec<usize> {
    let mut first_days = Vec::new();
    let mut until: Option<usize> = None;
    for span in spans {
        let gap = until.filter(|until| *until <= span.start);
        first_days.extend(gap.and_then(|until| first_day(ground, until..span.start)));
        until = until.max(Some(span.end));
    }
    first_days
}

/// Where in a gap, from its first free day to the day on which something begins, the later season begins: where a week does, since people are hired by weeks,
/// and as late as can be, when most trays are clean again and what is still drying dries before the season needs trays. Where it has a price to hire somebody or to let somebody go, there is a free week before it and one after
/// it, in which nobody is kept who could be hired again for less. `None` when there is no such day.
fn first_day(ground: &Ground<'_>, gap: Range<usize>) -> Option<usize> {
    let nursery = ground.nursery;
    let begins_week =
        |day: usize| day > 0 && nursery.day(day).iso_week() != nursery.day(day - 1).iso_week();
    let dismissed = |day: usize| {
        (0..ground.books.resources.len()).all(|resource| {
            let Some((people, weeks)) = ground.desks.of(resource) else {
                return true;
            };
            let changing = people.hire + people.release;
            let next = weeks.iter().find(|week| week.days.start == day);
            let kept = next.map_or(0, |week| people.price_per_day * week.working);
            let free = day >= gap.start + WEEK && day + WEEK <= gap.end;
            people.most == 0 || changing <= 0 || (free && kept >= changing)
        })
    };
    let drying = ground.trays().dry_days[..gap.end].iter().max();
    let last = gap.end.saturating_sub(drying.copied().unwrap_or(0));
    (gap.start..=last)
        .rev()
        .find(|day| begins_week(*day) && dismissed(*day))
}

/// From the first day of what could be decided to the first day after: of each run with all lots in it, and of each lot with all runs that it may be in.
fn spans(ground: &Ground<'_>) -> Vec<Range<usize>> {
    let (nursery, compiled) = (ground.nursery, &ground.compiled);
    let sown = nursery.runs.iter().map(|run| {
        // Trays that already grow count from the first day.
        let day = nursery.index(run.sow).unwrap_or(0);
        day..day + 1
    });
    let mut spans: Vec<Range<usize>> = sown.collect();
    for (at, option) in nursery.options.iter().enumerate() {
        widen(
            &mut spans[option.run.0],
            nursery.days,
            &compiled.options[at],
        );
    }
    let places = compiled.places;
    for (run, span) in spans.iter_mut().enumerate() {
        let of_places = run * places..(run + 1) * places;
        let own = [&compiled.runs[run], &compiled.bags[run]].into_iter();
        let stacks = compiled.stacks[of_places.clone()].iter();
        let all = own.chain(stacks).chain(&compiled.trials[of_places]);
        all.for_each(|bundle| widen(span, nursery.days, bundle));
    }
    let of_lot = |lot: LotId| {
        let runs = nursery
            .options_of(lot)
            .map(|id| &spans[nursery.option(id).run.0]);
        runs.cloned().reduce(joined)
    };
    let of_lots: Vec<Range<usize>> = (0..nursery.lots.len())
        .map(LotId)
        .filter_map(of_lot)
        .collect();
    spans.extend(of_lots);
    spans
}

fn joined(one: Range<usize>, other: Range<usize>) -> Range<usize> {
    one.start.min(other.start)..one.end.max(other.end)
}

/// Widens a span by the days on which something is posted. A slot is a resource on a day.
fn widen(span: &mut Range<usize>, days: usize, bundle: &Bundle) {
    let held = bundle.stretches.iter().map(|stretch| {
        let first = stretch.from as usize % days;
        first..first + (stretch.until - stretch.from) as usize
    });
    let flows = bundle.flows.iter();
    let flows = flows.map(|flow| flow.day as usize..flow.day as usize + 1);
    for next in held.chain(flows) {
        *span = joined(span.clone(), next);
    }
}

/// A day of the season that a column belongs to.
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
