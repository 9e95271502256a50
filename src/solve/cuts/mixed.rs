//! From a limit to mixed rows: which columns count as whole, alone or as sums, and what is slack.
//!
//! A limit is read in three ways. *By runs*: what a lot takes in a run is held against the run's column (a variable upper bound), so that
//! runs alone are whole: what is rounded then is of the kind of lot sizing and flow covers. *By lots*: the options of a lot that take of the
//! limit are one whole number, 0 or 1: of the kind of covers. *Both*: each lot as fits the point better. Limits of days in a row are
//! added up too: what a run cannot have today it takes of tomorrow.

use super::super::program::Program;
use super::mir::{Item, Mixed};
use super::structure::{Limit, Structure};
use std::collections::BTreeMap;

/// A limit with more left than this share of it is not looked at: whole runs fill what parts of runs leave half empty.
const NEARLY_FULL: f64 = 0.75;

/// The same for limits that are added up.
const FULL: f64 = 0.05;
/// Days in a row whose limits are added up, at most.
const MOST_DAYS: usize = 6;
/// A lot of whose options so much takes of the limit is one whole number when both readings are mixed.
const MOSTLY: [f64; 3] = [0.95, 0.8, 0.5];

/// How options are read.
#[derive(Clone, Copy, PartialEq)]
enum Reading {
    Runs,
    Lots,
    Both(f64),
}

/// All mixed rows of limits that the point `x` nearly fills, alone and added up over some days.
pub fn rows(program: &Program, structure: &Structure, x: &[f64]) -> Vec<Mixed> {
    let readings = [Reading::Runs, Reading::Lots].into_iter();
    let readings: Vec<Reading> = readings.chain(MOSTLY.map(Reading::Both)).collect();
    let mut found = Vec::new();
    let mut before: Option<(usize, usize)> = None;
    let mut sums: Vec<Limit> = Vec::new();
    for limit in &structure.limits {
        // What follows the day before in the same resource.
        let follows = before
            .zip(limit.day)
            .is_some_and(|((resource, day), (now, today))| resource == now && day + 1 == today);
        if !follows {
            sums.clear();
        }
        before = limit.day;
        if !filled(limit, x, NEARLY_FULL) {
            sums.clear();
            continue;
        }
        if limit.day.is_some() && filled(limit, x, FULL) {
            sums.retain(|sum| sum.days < MOST_DAYS);
            sums.iter_mut().for_each(|sum| sum.add(limit));
        } else {
            sums.clear();
        }
        for sum in sums.iter().chain([limit]) {
            for reading in &readings {
                found.push(read(program, structure, &sum.terms, sum.rhs, x, *reading));
            }
        }
        if limit.day.is_some() && filled(limit, x, FULL) {
            sums.push(limit.clone());
        }
    }
    found
}

/// True when no more than `share` of the limit is left.
fn filled(limit: &Limit, x: &[f64], share: f64) -> bool {
    let used: f64 = limit.terms.iter().map(|(at, c)| c * x[*at]).sum();
    let parts = limit.terms.iter().map(|(at, c)| (c * x[*at]).abs());
    limit.rhs - used <= share * parts.sum::<f64>().max(limit.rhs.abs())
}

fn read(
    program: &Program,
    structure: &Structure,
    terms: &[(usize, f64)],
    rhs: f64,
    x: &[f64],
    reading: Reading,
) -> Mixed {
    let mut mixed = Mixed {
        rhs,
        ..Mixed::default()
    };
    // Whole columns by themselves: runs, stacks, people.
    let mut alone: BTreeMap<usize, f64> = BTreeMap::new();
    // Options by lot and, inside, by link.
    let mut lots: BTreeMap<usize, BTreeMap<usize, Vec<(usize, f64)>>> = BTreeMap::new();
    for (at, coefficient) in terms {
        let column = &program.columns[*at];
        match (structure.lot[*at], structure.link[*at]) {
            (Some(lot), Some(link)) if *coefficient > 0.0 => {
                let own = lots.entry(lot).or_default().entry(link).or_default();
                own.push((*at, *coefficient));
            }
            _ if column.whole && column.upper <= 1_000.0 => {
                *alone.entry(*at).or_insert(0.0) += coefficient;
            }
            _ => continuous(&mut mixed, program, *at, *coefficient, x),
        }
    }
    for links in lots.values() {
        let value: f64 = links.values().flatten().map(|(at, _)| x[*at]).sum();
        let by_lot = match reading {
            Reading::Runs => false,
            Reading::Lots => true,
            Reading::Both(mostly) => value > mostly,
        };
        if by_lot {
            mixed.items.extend(one_lot(links, x));
        } else {
            for (link, options) in links {
                against_run(&mut mixed, &mut alone, structure.links[*link].0, options, x);
            }
        }
    }
    for (at, coefficient) in alone {
        if coefficient != 0.0 {
            mixed.items.push(Item {
                coefficient,
                value: x[at],
                // Some bounds are no whole numbers, and what is left to the bound must be one.
                upper: libm::floor(program.columns[at].upper + 1e-9),
                columns: vec![at],
            });
        }
    }
    mixed
}

/// A column that is no whole number: at the bound that it is nearer to.
fn continuous(mixed: &mut Mixed, program: &Program, at: usize, coefficient: f64, x: &[f64]) {
    let upper = program.columns[at].upper;
    let at_upper = x[at] > upper / 2.0;
    match (coefficient > 0.0, at_upper) {
        // Left out: it only adds to the left side.
        (true, false) => {}
        (true, true) => {
            mixed.rhs -= coefficient * upper;
            mixed.slack_constant += coefficient * upper;
            mixed.slack.push((at, -coefficient));
        }
        (false, false) => mixed.slack.push((at, -coefficient)),
        // At its upper bound it only takes from the left side.
        (false, true) => mixed.rhs -= coefficient * upper,
    }
}

/// A lot's options as one whole number: those that take at least the amount for which most of the point is kept.
fn one_lot(links: &BTreeMap<usize, Vec<(usize, f64)>>, x: &[f64]) -> Option<Item> {
    let mut options: Vec<(usize, f64)> = links.values().flatten().copied().collect();
    options.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
    let (mut sum, mut best) = (0.0, (-1.0, 0));
    for (many, (at, coefficient)) in options.iter().enumerate() {
        sum += x[*at];
        // Of several as good the one with the most options.
        if sum * coefficient >= best.0 {
            best = (sum * coefficient, many);
        }
    }
    let least = options.get(best.1)?.1;
    let columns: Vec<usize> = options
        .iter()
        .filter(|(_, coefficient)| *coefficient >= least)
        .map(|(at, _)| *at)
        .collect();
    Some(Item {
        coefficient: least,
        value: columns.iter().map(|at| x[*at]).sum(),
        upper: 1.0,
        columns,
    })
}

/// What a lot takes in a run against the run's column, or left out when little of it is there.
fn against_run(
    mixed: &mut Mixed,
    alone: &mut BTreeMap<usize, f64>,
    run: usize,
    options: &[(usize, f64)],
    x: &[f64],
) {
    let kept: f64 = options.iter().map(|(at, c)| c * x[*at]).sum();
    let mut best = (kept, 0.0);
    for (_, amount) in options {
        // Loss: what the run takes beyond the lot, and what the lot takes beyond the amount.
        let inside: f64 = options.iter().map(|(at, c)| c.min(*amount) * x[*at]).sum();
        let loss = (amount * x[run] - inside) + (kept - inside);
        if loss < best.0 - 1e-12 {
            best = (loss, *amount);
        }
    }
    let amount = best.1;
    if amount > 0.0 {
        *alone.entry(run).or_insert(0.0) += amount;
        mixed.slack.push((run, amount));
        let taken = options.iter().map(|(at, c)| (*at, -c.min(amount)));
        mixed.slack.extend(taken);
    }
}
