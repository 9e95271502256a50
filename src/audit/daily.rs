//! The count day by day: what each ledger has and uses on every day, and what each delivery costs by itself. The same sums
//! as in the audit, kept instead of thrown away, for those who draw them.

use super::whole::fit;
use super::{Audit, Ledger};
use crate::calendar::Day;
use crate::plan::Plan;
use crate::scenario::Scenario;
use crate::units::Money;

/// The audit with all that it counted on the way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counted {
    /// What [`super::audit`] gives.
    pub audit: Audit,
    /// Every ledger that is used, in the order of [`Audit::fullest`].
    pub loads: Vec<Load>,
    /// The terms of cost that belong to one delivery, in the order of the plan.
    pub parts: Vec<PartCost>,
}

/// One ledger of one thing over the days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Load {
    /// Which ledger; it also tells the unit.
    pub ledger: Ledger,
    /// Id, as in [`super::Fullest`].
    pub id: String,
    /// By day; days on which nothing can be used may be left out.
    pub days: Vec<LoadDay>,
}

/// What is used and there on one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LoadDay {
    /// The day.
    pub day: Day,
    /// Used on it.
    pub used: i64,
    /// There on it.
    pub there: i64,
}

impl LoadDay {
    /// Used as a share of what is there, in whole percent rounded down; nothing there counts as a tiny bit.
    pub fn percent(&self) -> i64 {
        fit(i128::from(self.used) * 100 / i128::from(self.there.max(1)))
    }
}

/// The terms of cost of one delivery.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartCost {
    /// The run that it is sown in.
    pub run: String,
    /// Field.
    pub field: String,
    /// Part, from 1.
    pub part: u32,
    /// Age off the target.
    pub age: Money,
    /// Days off the preferred day.
    pub off_preferred: Money,
    /// Waiting at the edge of the field.
    pub edge: Money,
    /// A move from bed to bed.
    pub moves: Money,
    /// Another planting day than was told or planned before.
    pub moved: Money,
}

/// Counts `plan` on `scenario`, and keeps what there is and what is used day by day.
///
/// Never panics, as [`super::audit`]; what cannot be counted is left out.
pub fn daily(plan: &Plan, scenario: &Scenario) -> Counted {
    super::walk(plan, scenario)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_rounded_down_and_nothing_there_is_no_division_by_it() {
        let on = |used, there| LoadDay {
            day: Day::from_ymd(2027, 5, 4).unwrap(),
            used,
            there,
        };
        assert_eq!(on(479, 480).percent(), 99);
        assert_eq!(on(480, 480).percent(), 100);
        assert_eq!(on(3, 0).percent(), 300);
        assert_eq!(on(0, 0).percent(), 0);
    }
}
