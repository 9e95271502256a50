//! Adding days up, and the first day on which a sum is enough.

use crate::calendar::Day;

/// A sum this little below the need counts as reached: what adding floats may lose.
pub const TOLERANCE: f64 = 1e-9;

/// The first day `r > start` such that the units of the days from `start` to the day before `r` add up to `need`.
///
/// *Units*: those of `units_of`, the same as `need`. The days are added in order, `start` first, and the sum is
/// compared with `need` less [`TOLERANCE`]. At least one day is counted, even when nothing is needed.
///
/// `None` when `r` would lie after `limit`, or when `units_of` has no answer (no temperature) for a day before the need is reached.
pub fn first_reaching(
    need: f64,
    start: Day,
    units_of: impl Fn(Day) -> Option<f64>,
    limit: Day,
) -> Option<Day> {
    let mut sum = 0.0;
    let mut day = start;
    while day < limit {
        sum += units_of(day)?;
        day = day.plus(1);
        if sum >= need - TOLERANCE {
            return Some(day);
        }
    }
    None
}

/// The units of the days from `first` to the day before `end`, added in order to `before`.
///
/// `before` is the sum so far (0.0 at the sow day), so that a sum over stack, green bed and harden bed, each with temperatures of
/// its own, adds the same numbers in the same order as one sum over all days. `before` itself when `end` is not after `first`; `None` when `units_of` has no
/// answer for one of the days.
pub fn sum_between(
    before: f64,
    first: Day,
    end: Day,
    units_of: impl Fn(Day) -> Option<f64>,
) -> Option<f64> {
    let mut sum = before;
    let mut day = first;
    while day < end {
        sum += units_of(day)?;
        day = day.plus(1);
    }
    Some(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    #[test]
    fn the_day_on_which_a_sum_is_reached_is_the_day_after_the_last_one_counted() {
        let start = day("2027-04-20");
        let far = day("2027-12-31");
        let whole = |_: Day| Some(1.0);
        assert_eq!(
            first_reaching(3.0, start, whole, far),
            Some(day("2027-04-23"))
        );
        assert_eq!(
            first_reaching(2.1, start, whole, far),
            Some(day("2027-04-23"))
        );
        assert_eq!(
            first_reaching(0.0, start, whole, far),
            Some(day("2027-04-21"))
        );
        // Ten tenths add up to a little less than one.
        assert_eq!(
            first_reaching(1.0, start, |_| Some(0.1), far),
            Some(day("2027-04-30"))
        );
    }

    #[test]
    fn the_limit_is_the_last_day_that_may_be_the_answer() {
        let start = day("2027-04-20");
        let whole = |_: Day| Some(1.0);
        assert_eq!(
            first_reaching(3.0, start, whole, day("2027-04-23")),
            Some(day("2027-04-23"))
        );
        assert_eq!(first_reaching(3.0, start, whole, day("2027-04-22")), None);
        assert_eq!(first_reaching(3.0, start, whole, start), None);
        assert_eq!(
            first_reaching(3.0, start, |_| Some(0.0), day("2028-04-20")),
            None
        );
    }

    #[test]
    fn a_missing_day_matters_only_before_the_sum_is_reached() {
        let start = day("2027-04-20");
        let until = |last: Day| move |at: Day| (at <= last).then_some(1.0);
        let far = day("2027-12-31");
        assert_eq!(
            first_reaching(3.0, start, until(day("2027-04-22")), far),
            Some(day("2027-04-23"))
        );
        assert_eq!(
            first_reaching(3.0, start, until(day("2027-04-21")), far),
            None
        );
        assert_eq!(
            sum_between(0.0, start, day("2027-04-23"), until(day("2027-04-21"))),
            None
        );
    }

    #[test]
    fn a_sum_in_stages_is_bit_for_bit_the_sum_in_one_go() {
        let units = |at: Day| Some(0.1 + f64::from(at.number() % 7) / 3.0);
        let (sow, open, plant) = (day("2027-04-20"), day("2027-04-23"), day("2027-05-14"));
        let one = sum_between(0.0, sow, plant, units).unwrap();
        let first = sum_between(0.0, sow, open, units).unwrap();
        let two = sum_between(first, open, plant, units).unwrap();
        assert_eq!(one.to_bits(), two.to_bits());
        assert_eq!(sum_between(5.0, plant, sow, units), Some(5.0));
    }
}
