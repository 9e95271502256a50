//! A store day by day: what has come against what is taken, and what must be bought so that it never runs dry.

use super::amount::up;
use super::{Amount, Order, Unit};
use crate::calendar::{Day, DayRange};
use crate::units::fit;

/// A store over the days of the horizon.
pub(super) struct Curve {
    unit: Unit,
    days: Vec<OnDay>,
}

/// Sums from the first day up to one day, in small parts.
struct OnDay {
    day: Day,
    /// In store on the first morning, and what has come.
    there: i128,
    /// Set aside for the plan.
    plan: i128,
    /// The same with samples and reserves.
    all: i128,
}

/// Something on a day, in small parts.
pub(super) type Dated = (Day, i128);

/// From which day on how much is missing.
pub(super) struct Dry {
    pub(super) from: Day,
    pub(super) missing: i128,
}

impl Curve {
    /// The curve of what comes and what is taken. What is dated before the first day counts from the first day on, what is dated after the
    /// last day does not count.
    pub(super) fn new(
        unit: Unit,
        horizon: DayRange,
        came: &[Dated],
        plan: &[Dated],
        besides: &[Dated],
    ) -> Curve {
        let up_to = |all: &[Dated], day: Day| -> i128 {
            let so_far = all.iter().filter(|(on, _)| *on <= day);
            so_far.map(|(_, parts)| parts).sum()
        };
        let days = horizon.iter().map(|day| {
            let plan = up_to(plan, day);
            OnDay {
                day,
                there: up_to(came, day),
                plan,
                all: plan + up_to(besides, day),
            }
        });
        Curve {
            unit,
            days: days.collect(),
        }
    }

    /// The first day on which the plan takes more than has come, and the most that is missing on any.
    pub(super) fn dry(&self) -> Option<Dry> {
        let missing = |on: &OnDay| on.plan - on.there;
        let first = self.days.iter().find(|on| missing(on) > 0)?;
        let most = self.days.iter().map(missing).max().unwrap_or(0);
        Some(Dry {
            from: first.day,
            missing: most,
        })
    }

    /// One order for each month in which something is first missing: what is missing at most until the month ends, in whole lots, here on
    /// the first day that lacks it. What a lot leaves goes to the months after.
    pub(super) fn orders(&self, lot: Option<i128>, lead_days: i32) -> Vec<Order> {
        let of = |parts| Amount {
            unit: self.unit,
            parts,
        };
        let lot = lot.filter(|lot| *lot > 0);
        let (mut bought, mut lacked) = (0, 0);
        let mut orders = Vec::new();
        let month = |on: &OnDay| (on.day.ymd().0, on.day.ymd().1);
        for days in self.days.chunk_by(|a, b| month(a) == month(b)) {
            let missing = |on: &OnDay| on.all - on.there - bought;
            let Some(first) = days.iter().find(|on| missing(on) > 0) else {
                continue;
            };
            let most = days.iter().map(missing).max().unwrap_or(0);
            // What the plan alone would lack, beyond what it lacked in the months before.
            let plan = days.iter().map(|on| on.plan - on.there - lacked).max();
            let plan = plan.unwrap_or(0).max(0);
            lacked += plan;
            let lots = lot.map(|lot| up(most, lot));
            let buy = lot.map_or(most, |lot| up(most, lot) * lot);
            bought += buy;
            let for_plan = plan.min(most);
            orders.push(Order {
                by: first.day.plus(-lead_days),
                needed: first.day,
                for_plan: of(for_plan),
                for_besides: of(most - for_plan),
                lots: lots.map(fit),
                amount: of(buy),
            });
        }
        orders
    }

    /// What has come and what is bought, less all that is taken.
    pub(super) fn left(&self, orders: &[Order]) -> i128 {
        let bought: i128 = orders.iter().map(|order| order.amount.parts).sum();
        let last = self.days.last();
        last.map_or(0, |on| on.there - on.all) + bought
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::parse(&format!("2027-{text}")).unwrap()
    }

    fn curve(came: &[(&str, i128)], plan: &[(&str, i128)], besides: &[(&str, i128)]) -> Curve {
        let dated = |all: &[(&str, i128)]| -> Vec<Dated> {
            all.iter().map(|(on, parts)| (day(on), *parts)).collect()
        };
        let horizon = DayRange {
            first: day("04-01"),
            last: day("06-30"),
        };
        let [came, plan, besides] = [came, plan, besides].map(dated);
        Curve::new(Unit::Kilograms, horizon, &came, &plan, &besides)
    }

    /// Order by, needed, for the plan, besides, lots, amount.
    fn orders(curve: &Curve, lot: Option<i128>) -> Vec<(Day, Day, i128, i128, Option<i64>, i128)> {
        let orders = curve.orders(lot, 10).into_iter();
        let row = |order: Order| {
            let (plan, besides) = (order.for_plan.parts, order.for_besides.parts);
            let amount = order.amount.parts;
            (order.by, order.needed, plan, besides, order.lots, amount)
        };
        orders.map(row).collect()
    }

    #[test]
    fn what_a_lot_leaves_goes_to_the_months_after() {
        // 30 there; 50 taken in April, 15 in May, 40 in June: 20 are missing, then 15, then 40.
        let taken = [("04-05", 30), ("04-20", 20), ("05-03", 15), ("06-07", 40)];
        let store = curve(&[("04-01", 30)], &taken, &[]);
        let by = [day("04-10"), day("04-23"), day("05-28")];
        let needed = [day("04-20"), day("05-03"), day("06-07")];
        assert_eq!(
            orders(&store, None),
            [
                (by[0], needed[0], 20, 0, None, 20),
                (by[1], needed[1], 15, 0, None, 15),
                (by[2], needed[2], 40, 0, None, 40),
            ]
        );
        // In lots of 25 the first leaves 5, so that May lacks 10; its lot leaves 15, June lacks 25.
        assert_eq!(
            orders(&store, Some(25)),
            [
                (by[0], needed[0], 20, 0, Some(1), 25),
                (by[1], needed[1], 10, 0, Some(1), 25),
                (by[2], needed[2], 25, 0, Some(1), 25),
            ]
        );
        assert_eq!(store.left(&store.orders(Some(25), 10)), 0);
        let dry = store.dry().unwrap();
        assert_eq!((dry.from, dry.missing), (day("04-20"), 75));
    }

    #[test]
    fn what_comes_too_late_is_bought_and_left() {
        let late = curve(&[("04-01", 10), ("04-21", 30)], &[("04-20", 40)], &[]);
        let only = (day("04-10"), day("04-20"), 30, 0, None, 30);
        assert_eq!(orders(&late, None), [only]);
        assert_eq!(late.left(&late.orders(None, 10)), 30);
        let in_time = curve(&[("04-01", 10), ("04-20", 30)], &[("04-20", 40)], &[]);
        assert!(orders(&in_time, None).is_empty() && in_time.dry().is_none());
        assert_eq!(in_time.left(&[]), 0);
    }

    #[test]
    fn samples_and_reserves_are_told_from_what_the_plan_lacks() {
        let besides = [("04-05", 1), ("04-05", 3)];
        let covered = curve(&[("04-01", 44)], &[("04-05", 40)], &besides);
        assert!(orders(&covered, Some(20)).is_empty() && covered.dry().is_none());
        let short = curve(&[("04-01", 41)], &[("04-05", 40)], &besides);
        let only = (day("03-26"), day("04-05"), 0, 3, Some(1), 20);
        assert_eq!(orders(&short, Some(20)), [only]);
        assert!(short.dry().is_none());
        let both = curve(&[("04-01", 35)], &[("04-05", 40), ("05-04", 30)], &besides);
        // April lacks 5 and 4; one lot leaves 11, May lacks 19 of its 30.
        assert_eq!(
            orders(&both, Some(20)),
            [
                (day("03-26"), day("04-05"), 5, 4, Some(1), 20),
                (day("04-24"), day("05-04"), 19, 0, Some(1), 20),
            ]
        );
        assert_eq!(both.left(&both.orders(Some(20), 10)), 1);
    }
}
