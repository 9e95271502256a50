//! What belongs to what in a program: options to lots and runs, stacks to what stands in them, what is held to what began it.

use super::super::program::{ColumnTag, Program, RowTag, Sense};
use std::collections::BTreeMap;

/// The links between a program's columns.
#[derive(Clone, Debug, Default)]
pub struct Structure {
    /// Lot of a column that grows one.
    pub lot: Vec<Option<usize>>,
    /// Row that links a column to its run, as an index of [`Structure::links`].
    pub link: Vec<Option<usize>>,
    /// Run's column and options of each link.
    pub links: Vec<(usize, Vec<usize>)>,
    /// Rows `at most` to be rounded, with what is held written as what began and ended, and stacks as the trays in them.
    pub limits: Vec<(Vec<(usize, f64)>, f64)>,
}

impl Structure {
    /// Reads a program.
    pub fn new(program: &Program) -> Structure {
        let size = program.columns.len();
        let mut structure = Structure {
            lot: vec![None; size],
            link: vec![None; size],
            ..Structure::default()
        };
        for row in &program.rows {
            match row.tag {
                RowTag::Whole(lot) => {
                    let grown = row.terms.iter().filter(|(at, _)| {
                        matches!(program.columns[*at].tag, ColumnTag::Grow(_))
                    });
                    grown.for_each(|(at, _)| structure.lot[*at] = Some(lot.0));
                }
                RowTag::Link(..) => {
                    let is_run = |at: usize| matches!(program.columns[at].tag, ColumnTag::Run(_));
                    let run = row.terms.iter().find(|(at, _)| is_run(*at));
                    let Some((run, _)) = run else { continue };
                    let own = row.terms.iter().map(|(at, _)| *at);
                    let own: Vec<usize> = own.filter(|at| !is_run(*at)).collect();
                    for at in &own {
                        structure.link[*at] = Some(structure.links.len());
                    }
                    structure.links.push((*run, own));
                }
                _ => {}
            }
        }
        structure.limits = limits(program);
        structure
    }
}

/// Every limit as `at most`, twice where stacks stand in it: with the stacks and with the trays in them.
fn limits(program: &Program) -> Vec<(Vec<(usize, f64)>, f64)> {
    let mut held: Vec<Option<Vec<(usize, f64)>>> = vec![None; program.columns.len()];
    let mut running: BTreeMap<usize, BTreeMap<usize, f64>> = BTreeMap::new();
    // Rows of a resource come day by day, so that each carry follows the one that it builds on.
    for row in &program.rows {
        let RowTag::Carry(resource, day) = row.tag else {
            continue;
        };
        let now = running.entry(resource).or_default();
        for (at, coefficient) in &row.terms {
            match program.columns[*at].tag {
                ColumnTag::Held(..) => {}
                _ => {
                    let sum = now.entry(*at).or_insert(0.0);
                    *sum -= coefficient;
                    if sum.abs() < 1e-9 {
                        now.remove(at);
                    }
                }
            }
        }
        let own = row.terms.iter().map(|(at, _)| *at);
        for at in own.filter(|at| program.columns[*at].tag == ColumnTag::Held(resource, day)) {
            held[at] = Some(now.iter().map(|(at, c)| (*at, *c)).collect());
        }
    }
    // What a column of stacks is at least.
    let mut inside: BTreeMap<usize, Vec<(usize, f64)>> = BTreeMap::new();
    let mut found = Vec::new();
    for row in &program.rows {
        let stacks = |at: usize| matches!(program.columns[at].tag, ColumnTag::Stacks(..));
        if matches!(row.tag, RowTag::Stacked(..) | RowTag::StackedAll(_)) {
            let turned = row.terms.iter().map(|(at, c)| (*at, -c)).collect();
            found.push((turned, -row.rhs));
            let own: Vec<&(usize, f64)> = row.terms.iter().filter(|(at, _)| stacks(*at)).collect();
            if let [(at, each)] = own[..] {
                let others = row.terms.iter().filter(|(other, _)| other != at);
                let least = others.map(|(other, c)| (*other, -c / each)).collect();
                inside.insert(*at, least);
            }
        }
    }
    for row in &program.rows {
        if !matches!(row.tag, RowTag::Limit(..)) || row.sense != Sense::AtMost {
            continue;
        }
        let open = row.terms.iter().flat_map(|(at, coefficient)| match &held[*at] {
            Some(terms) => terms.iter().map(|(at, c)| (*at, c * coefficient)).collect(),
            None => vec![(*at, *coefficient)],
        });
        let terms = super::collected(open.collect());
        let deeper = terms.iter().flat_map(|(at, coefficient)| match inside.get(at) {
            Some(least) if *coefficient > 0.0 => {
                least.iter().map(|(at, c)| (*at, c * coefficient)).collect()
            }
            _ => vec![(*at, *coefficient)],
        });
        if terms.iter().any(|(at, _)| inside.contains_key(at)) {
            found.push((super::collected(deeper.collect()), row.rhs));
        }
        found.push((terms, row.rhs));
    }
    found
}
