//! Whole-number arithmetic of the count, and amounts day by day.

use crate::calendar::{Day, DayRange};
use crate::units::{Hours, Minutes};

/// Milliseconds in a minute.
pub(super) const MINUTE: i128 = 60_000;

/// `a ÷ b` rounded up, for `b > 0`.
pub(super) fn up(a: i128, b: i128) -> i128 {
    -(-a).div_euclid(b)
}

/// `a ÷ b` to the nearest whole, halves up, for `b > 0`.
pub(super) fn near(a: i128, b: i128) -> i128 {
    (2 * a + b).div_euclid(2 * b)
}

/// Into 64 bits, held at the ends of the range.
pub(super) fn fit(a: i128) -> i64 {
    a.clamp(i64::MIN.into(), i64::MAX.into()) as i64
}

/// Hours with two decimals in milliseconds: exact.
pub(super) fn hours_ms(hours: Hours) -> i128 {
    i128::from(hours.0) * 36_000
}

/// Minutes with two decimals in milliseconds: exact.
pub(super) fn minutes_ms(minutes: Minutes) -> i128 {
    i128::from(minutes.0) * 600
}

/// Milliseconds as hours with two decimals, for sentences.
pub(super) fn say_hours(ms: i128) -> String {
    format!(
        "{} h",
        Hours {
            0: fit(near(ms, 36_000))
        }
    )
}

/// What is needed beyond what is there, where both would be said alike; else nothing.
pub(super) fn say_over(used: i128, there: i128) -> String {
    if say_hours(used) == say_hours(there) {
        format!(", {} ms less than needed", used - there)
    } else {
        String::new()
    }
}

/// An amount for each day of the horizon. What falls outside is not posted.
#[derive(Clone)]
pub(super) struct Daily {
    horizon: DayRange,
    amounts: Vec<i128>,
}

impl Daily {
    pub(super) fn new(horizon: DayRange) -> Self {
        Daily {
            horizon,
            amounts: vec![0; horizon.days()],
        }
    }

    pub(super) fn add(&mut self, day: Day, amount: i128) {
        if self.horizon.contains(day) {
            self.amounts[day.since(self.horizon.first) as usize] += amount;
        }
    }

    /// On each day from `from` to the day before `until`.
    pub(super) fn add_span(&mut self, from: Day, until: Day, amount: i128) {
        for (place, day) in self.horizon.iter().enumerate() {
            if from <= day && day < until {
                self.amounts[place] += amount;
            }
        }
    }

    pub(super) fn on(&self, day: Day) -> i128 {
        if self.horizon.contains(day) {
            self.amounts[day.since(self.horizon.first) as usize]
        } else {
            0
        }
    }

    pub(super) fn days(&self) -> impl Iterator<Item = (Day, i128)> + '_ {
        self.horizon.iter().zip(self.amounts.iter().copied())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_and_days_at_both_ends() {
        assert_eq!(
            (up(7, 2), up(-7, 2), near(5, 2), near(-5, 2)),
            (4, -3, 3, -2)
        );
        assert_eq!(fit(i128::MAX), i64::MAX);
        let horizon = DayRange::parse("2027-04-01/2027-04-03").unwrap();
        let mut daily = Daily::new(horizon);
        daily.add(horizon.first.plus(-1), 5);
        daily.add(horizon.last, 5);
        daily.add_span(horizon.first.plus(-3), horizon.last, 1);
        let amounts: Vec<i128> = daily.days().map(|(_, amount)| amount).collect();
        assert_eq!(amounts, [1, 1, 5]);
        assert_eq!(daily.on(horizon.last.plus(1)), 0);
        assert_eq!(say_hours(5_400_000), "1.5 h");
        assert_eq!(say_over(3_600_001, 3_600_000), ", 1 ms less than needed");
        assert_eq!(say_over(3_636_000, 3_600_000), "");
    }
}
