//! Our own linear program: sparse columns and rows with typed tags and finite bounds.
//!
//! Everything that reasons about the relaxation works on this type; one adapter file
//! ([`super::lp`]) speaks to a solver.

use crate::nursery::{LotId, OptionId, RunId};

/// What a column decides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ColumnTag {
    /// Share of the lot grown by this option.
    Grow(OptionId),
    /// Share of the lot not grown.
    Short(LotId),
    /// The run exists.
    Run(RunId),
    /// Stacks of the run in a germination place.
    Stacks(RunId, usize),
    /// Trays for fields of the run in a germination place, in stacks, as they would be without whole stacks.
    Sown(RunId, usize),
    /// Seed of the run, in kilograms or, where it comes so, in bags.
    Seed(RunId),
    /// Bought of a resource on a day, in scaled units of the resource.
    Bought(usize, usize),
    /// People hired of a crew's resource in a week, by index of the week.
    Casual(usize, usize),
    /// People hired more than in the week before.
    Hired(usize, usize),
    /// People fewer.
    Released(usize, usize),
    /// What is held of a resource on a day, in scaled units.
    Held(usize, usize),
    /// Clean trays after the day's sowing.
    Clean(usize),
    /// Dirty trays after the day's washing.
    Dirty(usize),
    /// Trays washed on a day.
    Washed(usize),
    /// Something is sown on a line on a day. From here on only where each point is to be a plan, see [`super::relax::whole`].
    Sows(usize, usize),
    /// The run is the first of its line's day.
    First(RunId),
    /// The second run is sown next after the first.
    Next(RunId, RunId),
    /// Where in its line's day a run is sown, from 1.
    Turn(RunId),
    /// The trial trays of the run stand in a germination place.
    Trial(RunId, usize),
    /// Trays short of a grower, in a tenth of what was ordered.
    Band(usize, usize),
    /// Some part of the field of a group of lots is sown in the run.
    Draws(usize, RunId),
    /// Runs beyond the first that the field of a group of lots is sown in.
    Split(usize),
    /// The washing crew has regular hours left on a day.
    Regular(usize),
    /// Dirty trays are left after the day's washing.
    Left(usize),
    /// As many are washed on a day as can be.
    WashFull(usize),
    /// There is no time to wash one more on a day.
    WashTime(usize),
    /// So many people are hired of a crew's resource in a week.
    Level(usize, usize, usize),
}

impl ColumnTag {
    /// True when every plan has a whole number here. Seed and what is held depend on their unit: not said by the
    /// tag, nor are turns, which need not be.
    pub fn is_whole(self) -> bool {
        match self {
            Self::Grow(_) | Self::Short(_) | Self::Run(_) | Self::Stacks(..) => true,
            Self::Casual(..) | Self::Hired(..) | Self::Released(..) => true,
            Self::Clean(_) | Self::Dirty(_) | Self::Washed(_) => true,
            Self::Seed(_) | Self::Bought(..) | Self::Held(..) | Self::Sown(..) => false,
            Self::Turn(_) => false,
            Self::Sows(..) | Self::First(_) | Self::Next(..) => true,
            Self::Trial(..) | Self::Draws(..) | Self::Split(_) | Self::Band(..) => true,
            Self::Regular(_) | Self::Left(_) | Self::WashFull(_) | Self::WashTime(_) => true,
            Self::Level(..) => true,
        }
    }
}

/// What a row says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RowTag {
    /// The lot is grown or short, wholly.
    Whole(LotId),
    /// A lot is sown only in a run that exists.
    Link(LotId, RunId),
    /// Stacks hold the trays of a run in a place.
    Stacked(RunId, usize),
    /// The trays of a run in a place, added up.
    Sown(RunId, usize),
    /// Seed for the trays of a run.
    Seeded(RunId),
    /// Stacks of all places hold the trays and the trial trays of a run.
    StackedAll(RunId),
    /// A resource on a day.
    Limit(usize, usize),
    /// What is held today is what was held yesterday, and what came less what went.
    Carry(usize, usize),
    /// Time bought on a day is no more than those who are there may be asked for.
    Overtime(usize, usize),
    /// People this week are those of last week, more or fewer.
    Change(usize, usize),
    /// Clean trays from one day to the next.
    CarryClean(usize),
    /// Dirty trays from one day to the next.
    CarryDirty(usize),
    /// A cut, by its number: what every plan keeps besides.
    Cut(usize),
    /// So many runs at most or at least, while branching.
    Branch,
    /// A run has a lot, and the least trays of its kind. From here on only where each point is to be a plan.
    LeastRun(RunId),
    /// The trays of a run are no more than its line can sow in a day.
    Summed(RunId),
    /// A line has no more runs on a day than it may.
    RunsADay(usize, usize),
    /// A line is set up on a day when a run is sown, and not without one.
    Sows(usize, usize),
    /// A line is set up on a day when this run is sown.
    SowsFor(RunId),
    /// Only a run that is there is the first of its day.
    SownFirst(RunId),
    /// At most one run is the first of a line's day.
    OneFirst(usize, usize),
    /// When this run is sown, some run is the first of the day.
    SomeFirst(RunId),
    /// A run is the first of its day or follows another.
    Into(RunId),
    /// At most one run follows another.
    OutOf(RunId),
    /// What follows has a later turn.
    Turn(RunId, RunId),
    /// Set-ups take no longer than in the best order of these runs of a line's day (a number with one bit for each of its runs).
    Order(usize, usize, usize),
    /// Trial trays of a run stand in one place.
    TrialOne(RunId),
    /// Trial trays stand where trays of the run stand.
    TrialThere(RunId, usize),
    /// Trial trays stand in no later place than this lot.
    TrialFirst(LotId, RunId, usize),
    /// Time asked of a crew on a day, to the millisecond, is no more than there is and may be bought.
    MostBought(usize, usize),
    /// Time bought in a week is no more than those who are there may be asked for.
    WeekBought(usize, usize),
    /// People hired in a week are one number.
    OneLevel(usize, usize),
    /// That number is how many are hired.
    Levels(usize, usize),
    /// Trays short of a grower by tenths.
    Bands(usize),
    /// A field draws on the run in which its lot is sown.
    Draws(LotId, RunId),
    /// Runs of a field beyond the first.
    Split(usize),
    /// The washing crew washes in regular hours only.
    WashRegular(usize),
    /// Nothing is washed when no regular hours are left.
    WashOn(usize),
    /// Trays left dirty are said to be.
    Left(usize),
    /// As many are washed as can be, where that is said.
    WashFull(usize),
    /// No time is left to wash one more, where that is said.
    WashTime(usize),
    /// Trays are left dirty only for one of these two reasons.
    WashAll(usize),
}

/// How a row compares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Sense {
    AtMost,
    AtLeast,
    Equal,
}

/// One variable. Bounds are finite.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Column {
    pub tag: ColumnTag,
    pub lower: f64,
    pub upper: f64,
    /// True when no row implies the upper bound, so that the solver must be told.
    pub upper_matters: bool,
    /// True when every plan has a whole number here.
    pub whole: bool,
    pub cost: f64,
}

/// One row: sum of terms compared with the right-hand side.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Row {
    pub tag: RowTag,
    pub terms: Vec<(usize, f64)>,
    pub sense: Sense,
    pub rhs: f64,
}

/// A linear program to be minimised. Costs are in whole money.
#[derive(Clone, Debug, Default, PartialEq)]
#[allow(missing_docs)]
pub struct Program {
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
}

impl Program {
    /// Adds a column and returns its index.
    pub fn column(&mut self, tag: ColumnTag, upper: f64, upper_matters: bool, cost: f64) -> usize {
        self.columns.push(Column {
            tag,
            lower: 0.0,
            upper,
            upper_matters,
            whole: tag.is_whole(),
            cost,
        });
        self.columns.len() - 1
    }

    /// Adds a row; one without terms is left out.
    pub fn row(&mut self, tag: RowTag, terms: Vec<(usize, f64)>, sense: Sense, rhs: f64) {
        if !terms.is_empty() {
            self.rows.push(Row {
                tag,
                terms,
                sense,
                rhs,
            });
        }
    }

    /// Terms of all rows.
    pub fn terms(&self) -> usize {
        self.rows.iter().map(|row| row.terms.len()).sum()
    }

    /// Cost of a point.
    pub fn cost(&self, x: &[f64]) -> f64 {
        self.columns
            .iter()
            .zip(x)
            .map(|(column, value)| column.cost * value)
            .sum()
    }

    /// The largest violation of a row or bound by a point, relative to the size of its terms, with the row.
    pub fn worst_violation(&self, x: &[f64]) -> (f64, Option<RowTag>) {
        let mut worst = (0.0, None);
        for row in &self.rows {
            let sum: f64 = row
                .terms
                .iter()
                .map(|(at, coefficient)| coefficient * x[*at])
                .sum();
            let off = match row.sense {
                Sense::AtMost => sum - row.rhs,
                Sense::AtLeast => row.rhs - sum,
                Sense::Equal => (sum - row.rhs).abs(),
            };
            let size = row
                .terms
                .iter()
                .map(|(at, c)| (c * x[*at]).abs())
                .fold(row.rhs.abs(), f64::max);
            if off / size.max(1.0) > worst.0 {
                worst = (off / size.max(1.0), Some(row.tag));
            }
        }
        for (column, value) in self.columns.iter().zip(x) {
            let off = (column.lower - value).max(value - column.upper);
            if off / column.upper.max(1.0) > worst.0 {
                worst = (off / column.upper.max(1.0), None);
            }
        }
        worst
    }

    /// A lower bound from any row prices (shadow prices: change of cost by unit of right-hand side): signs are clamped, and each column
    /// stands at the bound that its reduced cost asks for. It holds whatever the solver did.
    ///
    /// Source: weak duality of linear programs with bounded variables.
    pub fn safe_bound(&self, prices: &[f64]) -> Option<f64> {
        self.safe_bound_with(prices, &[])
    }

    /// As [`Program::safe_bound`], with some columns fixed: a bound on what is left.
    pub fn safe_bound_with(&self, prices: &[f64], fixed: &[Option<f64>]) -> Option<f64> {
        let (rows, reduced) = self.reduced_costs(prices);
        let columns = self.columns.iter().zip(&reduced).enumerate();
        let least = columns.map(
            |(at, (column, cost))| match fixed.get(at).copied().flatten() {
                Some(value) => cost * value,
                None => (cost * column.lower).min(cost * column.upper),
            },
        );
        let bound = rows + least.sum::<f64>();
        bound.is_finite().then_some(bound)
    }

    /// What the rows come to at these prices, signs clamped, and what is left of each column's cost.
    pub fn reduced_costs(&self, prices: &[f64]) -> (f64, Vec<f64>) {
        let mut reduced: Vec<f64> = self.columns.iter().map(|column| column.cost).collect();
        let mut bound = 0.0;
        for (row, price) in self.rows.iter().zip(prices) {
            let price = match row.sense {
                Sense::AtMost => price.min(0.0),
                Sense::AtLeast => price.max(0.0),
                Sense::Equal => *price,
            };
            bound += price * row.rhs;
            for (at, coefficient) in &row.terms {
                reduced[*at] -= price * coefficient;
            }
        }
        (bound, reduced)
    }
}

/// Terms on the same column become one; columns ascending.
pub fn collected(mut terms: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
    terms.sort_by_key(|(column, _)| *column);
    terms.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 += next.1;
        }
        same
    });
    terms
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two products in three workshops, as every textbook of operations research has it (from memory): maximise 3x + 5y with x ≤ 4, 2y ≤ 12,
    /// 3x + 2y ≤ 18; optimum 36 at (2, 6), shadow prices 0, 1.5, 1.
    fn two_products() -> Program {
        let mut program = Program::default();
        let x = program.column(ColumnTag::Clean(0), 4.0, true, -3.0);
        let y = program.column(ColumnTag::Clean(1), 100.0, false, -5.0);
        program.row(RowTag::CarryClean(0), vec![(x, 1.0)], Sense::AtMost, 4.0);
        program.row(RowTag::CarryClean(1), vec![(y, 2.0)], Sense::AtMost, 12.0);
        program.row(
            RowTag::CarryClean(2),
            vec![(x, 3.0), (y, 2.0)],
            Sense::AtMost,
            18.0,
        );
        program
    }

    #[test]
    fn any_prices_give_a_bound_and_the_best_give_the_optimum() {
        let program = two_products();
        assert_eq!(program.safe_bound(&[0.0, -1.5, -1.0]), Some(-36.0));
        for prices in [[0.0, 0.0, 0.0], [-1.0, -2.0, -0.5], [5.0, -1.5, -1.0]] {
            assert!(program.safe_bound(&prices).unwrap() <= -36.0 + 1e-9);
        }
    }

    #[test]
    fn violations_are_named() {
        let program = two_products();
        assert_eq!(program.worst_violation(&[2.0, 6.0]), (0.0, None));
        assert_eq!(
            program.worst_violation(&[2.0, 7.0]).1,
            Some(RowTag::CarryClean(1))
        );
        assert!((program.cost(&[2.0, 6.0]) + 36.0).abs() < 1e-12);
    }
}
