//! Sums that many rows have in common: what goes by the trays of a run in a place is written once.
//!
//! Line time, sowing, stacks, trays out of stock: all take so much a tray of the run, whichever lots and planting days are inside. One
//! column for these trays stands for the options in every such row, exactly, and besides only those that take something else; the program has
//! half the terms then.

use crate::solve::program::{ColumnTag, Program, RowTag, Sense};
use std::collections::BTreeMap;

/// Runs with fewer options than this in a place stay as they are.
const FEWEST: usize = 4;
/// Coefficients of options that agree so well, relatively, are in proportion to their trays: integers divided in floats.
const IN_PROPORTION: f64 = 1e-12;

/// Writes the program with a column for the trays of each run in each place.
pub(crate) fn share(program: &mut Program) {
    let mut group_of: Vec<Option<(usize, f64)>> = vec![None; program.columns.len()];
    let mut sown: Vec<(usize, Vec<(usize, f64)>)> = Vec::new();
    for at in 0..program.rows.len() {
        let row = &program.rows[at];
        let RowTag::Stacked(run, place) = row.tag else {
            continue;
        };
        let is_option = |at: usize| matches!(program.columns[at].tag, ColumnTag::Grow(_));
        let stacks = row.terms.iter().find(|(at, _)| !is_option(*at));
        let each = stacks.map_or(1.0, |(_, each)| *each);
        let own = row.terms.iter().filter(|(at, _)| is_option(*at));
        let trays: Vec<(usize, f64)> = own.map(|(at, c)| (*at, -c / each)).collect();
        if trays.len() < FEWEST {
            continue;
        }
        for (column, amount) in &trays {
            group_of[*column] = Some((sown.len(), *amount));
        }
        let most = trays.iter().map(|(_, amount)| amount).sum();
        let column = program.column(ColumnTag::Sown(run, place), most, false, 0.0);
        group_of.push(None);
        sown.push((column, trays));
    }
    // By group: the terms of the row that are in it.
    let mut inside: Vec<Vec<(usize, f64)>> = vec![Vec::new(); sown.len()];
    for row in &mut program.rows {
        // These are few terms each, and say what belongs together.
        if matches!(row.tag, RowTag::Link(..) | RowTag::Whole(_)) {
            continue;
        }
        let mut touched: Vec<usize> = Vec::new();
        for (at, coefficient) in &row.terms {
            if let Some((group, _)) = group_of[*at] {
                if inside[group].is_empty() {
                    touched.push(group);
                }
                inside[group].push((*at, *coefficient));
            }
        }
        let mut terms: Vec<(usize, f64)> = row.terms.clone();
        terms.retain(|(at, _)| group_of[*at].is_none());
        for group in &touched {
            let own = std::mem::take(&mut inside[*group]);
            let (column, trays) = &sown[*group];
            terms.extend(shorter(own, *column, trays));
        }
        terms.sort_by_key(|(at, _)| *at);
        row.terms = terms;
    }
    for (column, mut terms) in sown {
        let ColumnTag::Sown(run, place) = program.columns[column].tag else {
            continue;
        };
        terms.push((column, -1.0));
        program.row(RowTag::Sown(run, place), terms, Sense::Equal, 0.0);
    }
}

/// The terms of one group in a row: with the group's sum and what some options take otherwise, when that is shorter.
fn shorter(own: Vec<(usize, f64)>, sum: usize, trays: &[(usize, f64)]) -> Vec<(usize, f64)> {
    let amounts: BTreeMap<usize, f64> = trays.iter().copied().collect();
    let agree = |one: f64, other: f64| (one - other).abs() <= IN_PROPORTION * one.abs();
    // The rate of more than half of the options, if there is one (a vote, one by one).
    let (mut rate, mut votes) = (0.0, 0usize);
    for (at, coefficient) in &own {
        let next = coefficient / amounts[at];
        if votes == 0 {
            (rate, votes) = (next, 1);
        } else if agree(next, rate) {
            votes += 1;
        } else {
            votes -= 1;
        }
    }
    let follow = |(at, c): &&(usize, f64)| agree(c / amounts[at], rate);
    let many = own.iter().filter(follow).count();
    if trays.len() - many + 1 >= own.len() {
        return own;
    }
    let mut others = amounts.clone();
    others.values_mut().for_each(|amount| *amount *= -rate);
    for (at, coefficient) in &own {
        if agree(coefficient / amounts[at], rate) {
            others.remove(at);
        } else if let Some(other) = others.get_mut(at) {
            *other += coefficient;
        }
    }
    let mut terms: Vec<(usize, f64)> = others.into_iter().collect();
    terms.push((sum, rate));
    terms
}
