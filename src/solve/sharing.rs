//! What a shortage weighs: the scenario's rule for sharing it among growers, in hundredths of a tray.
//!
//! `docs/COUNTING.md`, cost. A heavier tray is a dearer one to leave short, so that the search serves it first as far as whole loads
//! allow; whose trays are short stays a decision like any other, with its cost in the open.

use crate::calendar::Day;
use crate::nursery::{LotId, Nursery};
use crate::scenario::{Field, Sharing};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// A tray like any other.
const PLAIN: i64 = 100;
/// A tray of who is served first.
const FIRST: i64 = 200;
/// A tray that is grown for no field.
const SPARE: i64 = 50;

/// How the trays of a lot weigh when they are short.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Each so many hundredths of a tray.
    Each(i64),
    /// The more, the larger the share of this grower's trays that is short: index of the grower.
    ByShare(usize),
}

/// Weights of all lots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shares {
    /// By lot.
    of_lot: Vec<Weight>,
    /// Trays ordered, by grower of [`Weight::ByShare`].
    ordered: Vec<i64>,
}

impl Shares {
    /// The weights that the scenario's rule gives.
    pub fn new(nursery: &Nursery) -> Shares {
        let scenario = &nursery.scenario;
        let field = |lot: usize| &scenario.fields[nursery.lots[lot].field];
        let ranks = ranks(&scenario.fields);
        let member = |grower: &str| {
            let of_name = |one: &&crate::scenario::Grower| one.id == grower;
            scenario
                .growers
                .iter()
                .find(of_name)
                .is_some_and(|one| one.member)
        };
        let mut growers: BTreeMap<&str, usize> = BTreeMap::new();
        let mut ordered = Vec::new();
        let mut of_lot = Vec::with_capacity(nursery.lots.len());
        for (at, lot) in nursery.lots.iter().enumerate() {
            let field = field(at);
            of_lot.push(match scenario.sharing {
                _ if field.spare => Weight::Each(SPARE),
                Sharing::FewestTrays => Weight::Each(PLAIN),
                Sharing::OrderDate => Weight::Each(by_rank(&ranks, field.ordered)),
                Sharing::MembersFirst if member(&field.grower) => Weight::Each(FIRST),
                Sharing::MembersFirst => Weight::Each(PLAIN),
                Sharing::InProportion => {
                    let grower = *growers.entry(&field.grower).or_insert(ordered.len());
                    if grower == ordered.len() {
                        ordered.push(0);
                    }
                    ordered[grower] += lot.leaving;
                    Weight::ByShare(grower)
                }
            });
        }
        Shares { of_lot, ordered }
    }

    /// The weight of a lot's trays.
    pub fn weight(&self, lot: LotId) -> Weight {
        self.of_lot[lot.0]
    }

    /// The least that a tray of the lot weighs, whatever else is short.
    pub fn least(&self, lot: LotId) -> i64 {
        match self.weight(lot) {
            Weight::Each(hundredths) => hundredths,
            Weight::ByShare(_) => PLAIN,
        }
    }

    /// The grower by whose share the lot's trays weigh, if they do.
    pub fn grower(&self, lot: LotId) -> Option<usize> {
        match self.weight(lot) {
            Weight::Each(_) => None,
            Weight::ByShare(grower) => Some(grower),
        }
    }

    /// Growers whose trays weigh by share.
    pub fn growers(&self) -> usize {
        self.ordered.len()
    }

    /// What `short` trays of a grower weigh together: the k-th of N weighs 100 + 10 × floor(10 × (k − 1) ÷ N).
    pub fn of_grower(&self, grower: usize, short: i64) -> i64 {
        self.bands(grower)
            .map(|(range, hundredths)| (short.min(range.end) - range.start).max(0) * hundredths)
            .sum()
    }

    /// The trays of a grower by tenths, those that are short first from 0 on, and what each of them weighs.
    pub fn bands(&self, grower: usize) -> impl Iterator<Item = (Range<i64>, i64)> + use<> {
        let ordered = self.ordered[grower];
        // The first trays of band b are those with 10 × (k − 1) ≥ b × N.
        let before = move |band: i64| (band * ordered + 9) / 10;
        (0..10).map(move |band| (before(band)..before(band + 1), PLAIN + 10 * band))
    }
}

/// Days of order, ascending; fields without a day, if there are any, come after all.
fn ranks(fields: &[Field]) -> Vec<Option<Day>> {
    let ordered = fields.iter().filter(|field| !field.spare);
    let all: BTreeSet<(bool, Option<Day>)> = ordered
        .map(|field| (field.ordered.is_none(), field.ordered))
        .collect();
    all.into_iter().map(|(_, day)| day).collect()
}

fn by_rank(ranks: &[Option<Day>], ordered: Option<Day>) -> i64 {
    let at = ranks.iter().position(|day| *day == ordered).unwrap_or(0) as i64;
    match ranks.len() as i64 {
        ..=1 => PLAIN,
        many => FIRST - (FIRST - PLAIN) * at / (many - 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_earliest_order_weighs_twice_the_latest() {
        let day = |day| Day::from_ymd(2027, 1, day).ok();
        let ranks = [day(1), day(5), day(9), None];
        let weights: Vec<i64> = ranks.iter().map(|day| by_rank(&ranks, *day)).collect();
        assert_eq!(weights, [200, 167, 134, 100]);
        assert_eq!(by_rank(&[day(1)], day(1)), 100);
    }

    #[test]
    fn the_last_tenth_of_a_grower_weighs_most() {
        let shares = Shares {
            of_lot: vec![],
            ordered: vec![25, 0],
        };
        let one_by_one =
            |short: i64| -> i64 { (1..=short).map(|k| 100 + 10 * (10 * (k - 1) / 25)).sum() };
        for short in 0..=25 {
            assert_eq!(shares.of_grower(0, short), one_by_one(short), "{short}");
        }
        assert_eq!(shares.of_grower(1, 0), 0);
    }
}
