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
    pub limits: Vec<Limit>,
}

/// Terms at most a right-hand side.
#[derive(Clone, Debug)]
pub struct Limit {
    /// Resource and day, where it is one and the next in the list may be added to it.
    pub day: Option<(usize, usize)>,
    /// Limits added up.
    pub days: usize,
    /// Terms, by column.
    pub terms: Vec<(usize, f64)>,
    /// Right-hand side.
    pub rhs: f64,
}

impl Limit {
    fn new(day: Option<(usize, usize)>, terms: Vec<(usize, f64)>, rhs: f64) -> Limit {
        Limit {
            day,
            days: 1,
            terms,
            rhs,
        }
    }

    /// Adds another limit to this one.
    pub fn add(&mut self, other: &Limit) {
        self.terms.extend(&other.terms);
        self.terms = super::collected(std::mem::take(&mut self.terms));
        self.rhs += other.rhs;
        self.days += other.days;
    }
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
                    let grown = row
                        .terms
                        .iter()
                        .filter(|(at, _)| matches!(program.columns[*at].tag, ColumnTag::Grow(_)));
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
fn limits(program: &Program) -> Vec<Limit> {
    let mut sums = Sums(vec![None; program.columns.len()]);
    let tag = |at: usize| program.columns[at].tag;
    for row in &program.rows {
        if let RowTag::Sown(run, place) = row.tag {
            let is_sum = |at: usize| tag(at) == ColumnTag::Sown(run, place);
            let own = row.terms.iter().filter(|(at, _)| !is_sum(*at));
            let own = own.copied().collect();
            if let Some((at, _)) = row.terms.iter().find(|(at, _)| is_sum(*at)) {
                sums.0[*at] = Some(own);
            }
        }
    }
    let mut running: BTreeMap<usize, BTreeMap<usize, f64>> = BTreeMap::new();
    // Rows of a resource come day by day, so that each carry follows the one that it builds on.
    for row in &program.rows {
        let RowTag::Carry(resource, day) = row.tag else {
            continue;
        };
        let now = running.entry(resource).or_default();
        let others = row.terms.iter().copied();
        let others = others.filter(|(at, _)| !matches!(tag(*at), ColumnTag::Held(..)));
        for (at, coefficient) in sums.open(others) {
            let sum = now.entry(at).or_insert(0.0);
            *sum -= coefficient;
            if sum.abs() < 1e-9 {
                now.remove(&at);
            }
        }
        let mut own = row.terms.iter().map(|(at, _)| *at);
        if let Some(at) = own.find(|at| tag(*at) == ColumnTag::Held(resource, day)) {
            sums.0[at] = Some(now.iter().map(|(at, c)| (*at, *c)).collect());
        }
    }
    // What a column of stacks is at least.
    let mut inside = Sums(vec![None; program.columns.len()]);
    let (mut found, mut alone) = (Vec::new(), Vec::new());
    for row in &program.rows {
        if matches!(row.tag, RowTag::Stacked(..) | RowTag::StackedAll(_)) {
            let terms = sums.open(row.terms.iter().copied());
            let is_stacks = |at: usize| matches!(tag(at), ColumnTag::Stacks(..));
            let stacks: Vec<(usize, f64)> = terms
                .iter()
                .filter(|(at, _)| is_stacks(*at))
                .copied()
                .collect();
            if let [(at, each)] = stacks[..] {
                let others = terms.iter().filter(|(other, _)| *other != at);
                inside.0[at] = Some(others.map(|(other, c)| (*other, -c / each)).collect());
            }
            let turned = terms.iter().map(|(at, c)| (*at, -c)).collect();
            found.push(Limit::new(None, turned, -row.rhs));
        }
    }
    for row in &program.rows {
        let RowTag::Limit(resource, day) = row.tag else {
            continue;
        };
        if row.sense != Sense::AtMost {
            continue;
        }
        let terms = sums.open(row.terms.iter().copied());
        if terms
            .iter()
            .any(|(at, c)| inside.0[*at].is_some() && *c > 0.0)
        {
            let (more, less): (Vec<_>, Vec<_>) = terms.iter().partition(|(_, c)| *c > 0.0);
            let mut deeper = inside.open(more.into_iter());
            deeper.extend(less);
            found.push(Limit::new(None, super::collected(deeper), row.rhs));
        }
        alone.push(Limit::new(Some((resource, day)), terms, row.rhs));
    }
    // Limits day by day stand together.
    found.extend(alone);
    found
}

/// Columns that stand for others, with what they stand for.
struct Sums(Vec<Option<Vec<(usize, f64)>>>);

impl Sums {
    /// Terms with these columns written out.
    fn open(&self, terms: impl Iterator<Item = (usize, f64)>) -> Vec<(usize, f64)> {
        let mut open = Vec::new();
        for (at, coefficient) in terms {
            match &self.0[at] {
                Some(own) => open.extend(own.iter().map(|(at, c)| (*at, c * coefficient))),
                None => open.push((at, coefficient)),
            }
        }
        super::collected(open)
    }
}
