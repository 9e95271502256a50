//! The relaxation solved, cut and rounded: a lower bound, and one more plan to start from. Seasons that have nothing to do with each other
//! are solved apart, and their bounds added up.

use super::apart::{self, Season};
use super::bound::{Tightened, tighten, usual_rounds};
use super::branch::{self, Effort};
use super::dive;
use super::polish::Choice;
use super::program::{ColumnTag, Program};
use super::relax::Relaxation;
use super::state::{Ground, State};
use super::watch::Stop;
use crate::calendar::Day;
use crate::nursery::OptionId;
use crate::units::Money;
use std::collections::BTreeMap;

/// Larger programs take many minutes: they are solved only when more than one relaxation may be.
const MOST_TERMS: usize = 1_500_000;

/// A thousandth, less what floats may be off.
const NEARLY_ONE: f64 = 0.9;

/// What the relaxation gave.
#[derive(Clone, Debug, Default)]
pub struct Relaxed {
    /// Proved lower bound, thousandths.
    pub bound: Option<i64>,
    /// Cost and decisions of the rounded relaxation, when they break nothing.
    pub dive: Option<(i64, Choice)>,
    /// Columns, rows and terms of the relaxation, without cuts.
    pub size: Option<(usize, usize, usize)>,
    /// The relaxation as a whole, without cuts; none when it was not solved.
    relaxation: Option<Relaxation>,
    /// The program by seasons, with the cuts found so far.
    pub seasons: Vec<Season>,
    /// What is proved of each season, whole money.
    proved: Vec<f64>,
}

/// Solves the relaxation (not at all if `relaxations` is 0), cuts it and rounds it, until `stop` is asked.
pub fn relax_and_dive(ground: &Ground<'_>, relaxations: u32, stop: &Stop) -> Relaxed {
    if relaxations == 0 || stop.asked() || ground.nursery.options.is_empty() {
        return Relaxed::default();
    }
    let relaxation = Relaxation::new(ground);
    let program = &relaxation.program;
    let size = Some((program.columns.len(), program.rows.len(), program.terms()));
    if relaxations == 1 && program.terms() > MOST_TERMS {
        return Relaxed {
            size,
            ..Relaxed::default()
        };
    }
    let mut seasons = apart::seasons(ground, program, stop);
    let rounding = rounding(ground, program);
    let tightened: Vec<Tightened> = seasons
        .iter_mut()
        .map(|season| {
            let rounds = usual_rounds(&season.program);
            tighten(&mut season.program, &[], rounds, &mut season.sieve, stop)
        })
        .collect();
    // Of a season of which nothing is proved by prices, what it costs at least when its columns keep to no rows.
    let bare = |season: &Season| season.program.safe_bound(&[]).unwrap_or(f64::NEG_INFINITY);
    let proved: Vec<f64> = seasons
        .iter()
        .zip(&tightened)
        .map(|(season, tightened)| {
            tightened
                .bound
                .unwrap_or(f64::NEG_INFINITY)
                .max(bare(season))
        })
        .collect();
    let bound = thousandths(proved.iter().sum(), rounding);
    // What a solver that was stopped half way proves may be nothing at all.
    let solved = tightened.iter().all(|season| season.solution.is_some());
    let bound = Some(bound).filter(|bound| solved || *bound > 0);
    let x = joined(&seasons, &tightened, program.columns.len());
    let dived = x.filter(|_| !stop.asked()).map(|x| {
        let mut dived = dive::dive(ground, &relaxation, &x);
        let sound = dived.beyond() == 0;
        sound.then(|| (dived.objective(), dived.choice().to_vec()))
    });
    Relaxed {
        bound,
        dive: dived.flatten(),
        size,
        relaxation: Some(relaxation),
        seasons,
        proved,
    }
}

/// The points of all seasons as one of the whole program; `None` when some season has none.
fn joined(seasons: &[Season], tightened: &[Tightened], columns: usize) -> Option<Vec<f64>> {
    let mut whole = vec![0.0; columns];
    for (season, tightened) in seasons.iter().zip(tightened) {
        let own = &tightened.solution.as_ref()?.x;
        for (at, value) in season.columns.iter().zip(own) {
            whole[*at] = *value;
        }
    }
    Some(whole)
}

/// Whole thousandths of a bound in money, rounded down, less what a plan may round off.
fn thousandths(bound: f64, rounding: i64) -> i64 {
    (libm::floor(bound * 1_000.0) as i64)
        .saturating_sub(rounding)
        .max(0)
}

/// What a plan may cost less than its point in the program, thousandths: half of one for each slot on which time is bought at a price that no whole
/// number of minutes makes even, and one for the shortage.
fn rounding(ground: &Ground<'_>, program: &Program) -> i64 {
    let uneven = |tag: &ColumnTag| match *tag {
        ColumnTag::Bought(resource, day) => {
            let slot = resource * ground.nursery.days + day;
            ground.slots.price_per_h[slot] % 60 != 0
        }
        _ => false,
    };
    let bought = program.columns.iter().filter(|column| uneven(&column.tag));
    1 + bought.count().div_ceil(2) as i64
}

/// A better lower bound in thousandths, no higher than the cost of `best`, the decisions of a plan that keeps every limit: further rounds of cuts, columns taken
/// out that no cheaper plan uses, and branching on numbers of runs, until `stop` is asked. Each season has the rounds of `effort`, and an equal share of its nodes.
/// `None` when the relaxation gave no bound either. `relaxed` keeps the cuts.
pub fn lift(
    ground: &Ground<'_>,
    relaxed: &mut Relaxed,
    best: &[Option<OptionId>],
    effort: Effort,
    stop: &Stop,
) -> Option<i64> {
    let known = relaxed.bound?;
    let mut state = State::of(ground, best);
    let best_cost = state.objective();
    let Some(relaxation) = relaxed.relaxation.as_ref().filter(|_| known < best_cost) else {
        return Some(known.min(best_cost));
    };
    let rounding = rounding(ground, &relaxation.program);
    let point = relaxation.point(&state);
    let seasons = relaxed.seasons.iter();
    let costs: Vec<f64> = seasons
        .map(|season| season.program.cost(&season.of(&point)))
        .collect();
    // Costs are whole thousandths: where the program's is more than that of all but the last, no plan is cheaper. What a season may cost less than in this
    // plan is as much for each.
    let closed = ((best_cost + rounding) as f64 - NEARLY_ONE) / Money::ONE as f64;
    let less = (costs.iter().sum::<f64>() - closed) / costs.len() as f64;
    let effort = Effort {
        nodes: effort.nodes / costs.len(),
        ..effort
    };
    let mut all_closed = true;
    let seasons = relaxed.seasons.iter_mut().zip(&mut relaxed.proved);
    for ((season, proved), cost) in seasons.zip(costs) {
        let closed = cost - less;
        if *proved < closed && !stop.asked() {
            let families = families(ground, &season.program);
            let program = (&mut season.program, &mut season.sieve);
            *proved = branch::lift(program, &families, *proved, closed, effort, stop);
        }
        all_closed &= *proved >= closed;
    }
    let bound = if all_closed {
        best_cost
    } else {
        thousandths(relaxed.proved.iter().sum(), rounding).clamp(known, best_cost)
    };
    relaxed.bound = Some(bound);
    Some(bound)
}

/// Columns of runs by line and kind, by sow day.
fn families(ground: &Ground<'_>, program: &Program) -> Vec<branch::Family> {
    // By line and kind: sow days and columns.
    type ByDay = Vec<(Day, usize)>;
    let mut families: BTreeMap<(Option<usize>, usize), ByDay> = BTreeMap::new();
    for (at, column) in program.columns.iter().enumerate() {
        if let ColumnTag::Run(run) = column.tag {
            let run = ground.nursery.run(run);
            let family = families.entry((run.line(), run.kind)).or_default();
            family.push((run.sow, at));
        }
    }
    let by_day = |mut family: Vec<(Day, usize)>| {
        family.sort();
        family.into_iter().map(|(_, at)| at).collect()
    };
    families.into_values().map(by_day).collect()
}
