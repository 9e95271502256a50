//! What is proved, lifted further: columns that no cheaper plan can use are taken out, then the number of runs is settled both ways.
//!
//! Given a plan, a column whose reduced cost is more than what lies between the bound and the plan's cost is at its bound in every cheaper
//! plan (reduced cost fixing; G. L. Nemhauser and L. A. Wolsey, "Integer and Combinatorial Optimization", 1988, section II.5.4, from
//! memory). What is left is branched on: the number of runs of a kind, in all, then in ever shorter spans of days, then single
//! runs; the open part with the least bound first. The bound is the least of all open parts.

use super::bound::tighten;
use super::cuts::{self, structure::Structure};
use super::program::{Program, RowTag, Sense};
use super::sieve::Sieve;
use super::watch::Stop;

/// A sum of runs nearer to a whole number than this is not branched on.
const LEAST_FRACTION: f64 = 0.08;
/// Room for what floats round away: share of the cost at which a part is closed.
const ROOM: f64 = 1e-6;

/// A part adds at most so many cuts to those of all parts, each broken by at least so much: else the program grows with every part.
const MOST_CUTS: usize = 10;
const LEAST_VIOLATION: f64 = 0.03;

/// How far to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Rounds of cuts before the first branch.
    pub rounds: usize,
    /// Relaxations solved while branching.
    pub nodes: usize,
}

/// Runs that are counted together: columns of one kind and line, by sow day.
pub type Family = Vec<usize>;

/// A part of all plans: so many runs at most or at least in some sets, and what is proved of it.
#[derive(Clone, Debug)]
struct Part {
    rows: Vec<(Vec<usize>, Sense, f64)>,
    bound: f64,
    x: Vec<f64>,
}

/// A lower bound on the cost of every point that is a plan, whole money, at most `closed`: a part with this bound holds no plan that is wanted. `known` is
/// proved already. The cuts found are added to `program`; `sieve` says which columns the solver has.
pub fn lift(
    (program, sieve): (&mut Program, &mut Sieve),
    families: &[Family],
    known: f64,
    closed: f64,
    effort: Effort,
    stop: &Stop,
) -> f64 {
    let room = ROOM * closed.abs().max(1.0);
    let mut fixed: Vec<Option<f64>> = vec![None; program.columns.len()];
    let mut bound = known;
    // Cuts and taking out help each other: half of the rounds, then again with fewer columns.
    let mut root = None;
    for rounds in [effort.rounds / 2, effort.rounds - effort.rounds / 2] {
        let tightened = tighten(program, &fixed, rounds, sieve, stop);
        bound = tightened
            .bound
            .map_or(bound, |now| bound.max(now.min(closed)));
        let Some(solution) = tightened.solution else {
            return bound;
        };
        take_out(program, &solution.prices, closed + room, &mut fixed);
        root = Some(solution);
    }
    let Some(root) = root.filter(|_| bound < closed && !stop.asked()) else {
        return bound;
    };
    let structure = Structure::new(program);
    cuts::drop_loose(program, &root.x);
    let mut open = vec![Part {
        rows: Vec::new(),
        bound,
        x: root.x,
    }];
    let mut solved = 0;
    loop {
        // The part with the least bound.
        open.retain(|part| part.bound < closed);
        let least = (0..open.len()).min_by(|one, other| {
            open[*one]
                .bound
                .total_cmp(&open[*other].bound)
                .then(one.cmp(other))
        });
        let Some(least) = least else { return closed };
        bound = bound.max(open[least].bound);
        if solved + 2 > effort.nodes || stop.asked() {
            return bound;
        }
        let Some((columns, down)) = split(families, &open[least].x) else {
            return bound;
        };
        let part = open.swap_remove(least);
        for (sense, number) in [(Sense::AtMost, down), (Sense::AtLeast, down + 1.0)] {
            let mut rows = part.rows.clone();
            rows.push((columns.clone(), sense, number));
            solved += 1;
            let next = solve_part((program, sieve), &structure, rows, &part, &fixed, stop);
            open.push(next);
        }
    }
}

/// Fixes the whole columns that every plan cheaper than `best` has at their lower bound, or at their upper.
fn take_out(program: &Program, prices: &[f64], best: f64, fixed: &mut [Option<f64>]) {
    let Some(bound) = program.safe_bound_with(prices, fixed) else {
        return;
    };
    let room = best - bound;
    let (_, reduced) = program.reduced_costs(prices);
    for (at, column) in program.columns.iter().enumerate() {
        if !column.whole || fixed[at].is_some() || column.upper < 1.0 {
            continue;
        }
        if reduced[at] > room {
            fixed[at] = Some(column.lower);
        } else if -reduced[at] > room {
            fixed[at] = Some(libm::floor(column.upper + 1e-9));
        }
    }
    // Nothing is sown in a run that is not there.
    for row in &program.rows {
        if let RowTag::Link(..) = row.tag {
            let gone = |(at, c): &(usize, f64)| *c < 0.0 && fixed[*at] == Some(0.0);
            if row.terms.iter().any(gone) {
                let options = row.terms.iter().filter(|(_, c)| *c > 0.0);
                options.for_each(|(at, _)| fixed[*at] = Some(0.0));
            }
        }
    }
}

/// Solves one part, with the cuts of all and those that its point breaks, which join the others.
fn solve_part(
    (program, sieve): (&mut Program, &mut Sieve),
    structure: &Structure,
    rows: Vec<(Vec<usize>, Sense, f64)>,
    from: &Part,
    fixed: &[Option<f64>],
    stop: &Stop,
) -> Part {
    let before = program.rows.len();
    for (columns, sense, number) in &rows {
        let terms = columns.iter().map(|at| (*at, 1.0)).collect();
        program.row(RowTag::Branch, terms, *sense, *number);
    }
    let solved = sieve.solve(program, fixed, true, stop);
    program.rows.truncate(before);
    match solved {
        Ok(solution) => {
            let mut found = cuts::separate(program, structure, &solution.x);
            found.retain(|cut| cut.violation > LEAST_VIOLATION);
            found.truncate(MOST_CUTS);
            cuts::add(program, found);
            Part {
                rows,
                bound: solution.bound.map_or(from.bound, |now| now.max(from.bound)),
                x: solution.x,
            }
        }
        Err(unsolved) => Part {
            rows,
            bound: unsolved.bound.map_or(from.bound, |now| now.max(from.bound)),
            // Branched on where its parent was, should it come to that.
            x: from.x.clone(),
        },
    }
}

/// The sum of runs to branch on, and the whole number below it: of the longest spans of days in which some sum is no whole number
/// the one that is farthest from one.
fn split(families: &[Family], x: &[f64]) -> Option<(Vec<usize>, f64)> {
    let longest = families.iter().map(Vec::len).max()?;
    let mut spans: Vec<Vec<&[usize]>> = Vec::new();
    let mut parts = 1;
    loop {
        let cut = |family: &'_ Family| family.len().div_ceil(parts).max(1);
        spans.push(
            families
                .iter()
                .flat_map(|family| family.chunks(cut(family)))
                .collect(),
        );
        if parts >= longest {
            break;
        }
        parts *= 2;
    }
    for level in spans {
        let mut best: Option<(f64, &[usize], f64)> = None;
        for span in level {
            let sum: f64 = span.iter().map(|at| x[*at]).sum();
            let down = libm::floor(sum);
            let far = (sum - down).min(down + 1.0 - sum);
            if far > LEAST_FRACTION && best.is_none_or(|(most, ..)| far > most) {
                best = Some((far, span, down));
            }
        }
        if let Some((_, span, down)) = best {
            return Some((span.to_vec(), down));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nursery::{LotId, OptionId, RunId};
    use crate::solve::lp;
    use crate::solve::program::ColumnTag;

    /// By hand: three lots of one kind and three runs, each at 10; each lot may be sown on two of the three days: a triangle. Two runs are needed: 20; the relaxation has half of each: 15.
    fn triangle() -> (Program, Family) {
        let mut program = Program::default();
        let runs: Family = (0..3)
            .map(|run| program.column(ColumnTag::Run(RunId(run)), 1.0, false, 10.0))
            .collect();
        for lot in 0..3 {
            let mut own = vec![program.column(ColumnTag::Short(LotId(lot)), 1.0, false, 100.0)];
            for day in [lot, (lot + 1) % 3] {
                let tag = ColumnTag::Grow(OptionId(3 * lot + day));
                let option = program.column(tag, 1.0, false, 0.0);
                let terms = vec![(option, 1.0), (runs[day], -1.0)];
                let tag = RowTag::Link(LotId(lot), RunId(day));
                program.row(tag, terms, Sense::AtMost, 0.0);
                own.push(option);
            }
            let terms = own.into_iter().map(|at| (at, 1.0)).collect();
            program.row(RowTag::Whole(LotId(lot)), terms, Sense::Equal, 1.0);
        }
        (program, runs)
    }

    #[test]
    fn branching_on_the_number_of_runs_closes_a_triangle() {
        let (mut program, runs) = triangle();
        let families = [runs];
        let mut lifted = |nodes: usize, best: f64| {
            let effort = Effort { rounds: 0, nodes };
            lift(
                (&mut program, &mut Sieve::default()),
                &families,
                0.0,
                best,
                effort,
                &Stop::default(),
            )
        };
        let root = lifted(0, 30.0);
        assert!((root - 15.0).abs() < 1e-2, "{root}");
        let branched = lifted(2, 30.0);
        assert!(branched > 19.99 && branched <= 20.0 + 1e-6, "{branched}");
        // Nothing is proved beyond what is asked for.
        let known = lifted(10, 19.5);
        assert!((known - 19.5).abs() < 1e-9, "{known}");
    }

    #[test]
    fn what_no_cheaper_plan_uses_is_taken_out() {
        let (mut program, _) = triangle();
        let dear = program.column(ColumnTag::Grow(OptionId(99)), 1.0, false, 50.0);
        program.row(RowTag::Limit(0, 0), vec![(dear, 1.0)], Sense::AtMost, 1.0);
        let solved = lp::solve(&program, &[]).unwrap();
        let mut fixed = vec![None; program.columns.len()];
        take_out(&program, &solved.prices, 30.0, &mut fixed);
        assert_eq!(fixed[dear], Some(0.0));
        let mut fixed = vec![None; program.columns.len()];
        take_out(&program, &solved.prices, 70.0, &mut fixed);
        assert_eq!(fixed[dear], None);
    }

    #[test]
    fn a_solver_that_was_stopped_leaves_what_is_known() {
        let (mut program, runs) = triangle();
        let stop = Stop::default();
        stop.ask();
        let effort = Effort {
            rounds: 4,
            nodes: 10,
        };
        let bound = lift(
            (&mut program, &mut Sieve::default()),
            &[runs],
            12.0,
            30.0,
            effort,
            &stop,
        );
        assert_eq!(bound, 12.0);
    }
}
