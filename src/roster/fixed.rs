//! Days of a week, as bits from Monday: which sets of them a person may work, and the sets that may be fixed.

use super::ground::EVERY_DAY;
use crate::scenario::{Duty, Person};

fn most(person: &Person, duty: &Duty) -> u32 {
    let most = person.days_a_week_most.unwrap_or(duty.days_a_week_most);
    most.clamp(0, 7) as u32
}

/// True when `together` days next to each other are not in `worked`; `around`: Sunday and Monday too.
fn has_free(worked: u8, together: i64, around: bool) -> bool {
    let free = |day: i64| worked & (1 << (day % 7)) == 0;
    let starts = if around { 7 } else { (8 - together).max(0) };
    together <= 0 || (0..starts).any(|start| (start..start + together).all(free))
}

/// For each set of days whether the person may work it in one week.
pub(super) fn weeks(person: &Person, duty: &Duty) -> [bool; 128] {
    let mut ok = [false; 128];
    for (worked, ok) in (0u8..=EVERY_DAY).zip(&mut ok) {
        let together = if person.fixed_days_off {
            0
        } else {
            duty.free_days_together
        };
        *ok = worked.count_ones() <= most(person, duty) && has_free(worked, together, false);
    }
    ok
}

/// The largest sets of days that may be those of every week of a person with fixed days off; empty for others.
pub(super) fn patterns(person: &Person, duty: &Duty) -> Vec<u8> {
    if !person.fixed_days_off {
        return Vec::new();
    }
    let fits = |worked: &u8| {
        worked.count_ones() <= most(person, duty)
            && has_free(*worked, duty.free_days_together, true)
    };
    let all: Vec<u8> = (0..=EVERY_DAY).filter(fits).collect();
    let largest = all.iter().map(|worked| worked.count_ones()).max();
    let mut largest: Vec<u8> = all
        .into_iter()
        .filter(|worked| Some(worked.count_ones()) == largest)
        .collect();
    largest.sort_unstable();
    largest
}

#[cfg(test)]
mod tests {
    use super::*;

    fn person(most: Option<i64>, fixed: bool) -> Person {
        Person {
            id: "a".into(),
            name: "A".into(),
            crews: vec![],
            away: vec![],
            days_a_week_most: most,
            licensed: false,
            watches: false,
            fixed_days_off: fixed,
        }
    }

    fn duty(week: i64, together: i64) -> Duty {
        Duty {
            days_a_week_most: week,
            free_days_together: together,
            ..Duty::default()
        }
    }

    #[test]
    fn a_week_has_its_most_days_and_its_free_days_together() {
        let ok = |week, together, worked: u8| {
            weeks(&person(None, false), &duty(week, together))[usize::from(worked)]
        };
        // Monday to Friday: five days, under, at and over.
        assert!(ok(6, 0, 0b001_1111) && ok(5, 0, 0b001_1111) && !ok(4, 0, 0b001_1111));
        // Free on Saturday and Sunday: two together, not three.
        assert!(ok(7, 2, 0b001_1111) && !ok(7, 3, 0b001_1111));
        // Free on Monday and Sunday lie in one week, but not next to each other there.
        assert!(ok(7, 1, 0b011_1110) && !ok(7, 2, 0b011_1110));
        assert!(ok(7, 0, 0b111_1111) && !ok(7, 1, 0b111_1111));
        let own = weeks(&person(Some(3), false), &duty(6, 1));
        assert!(own[0b000_0111] && !own[0b000_1111]);
    }

    #[test]
    fn fixed_days_off_go_around_the_week() {
        // Five days on, two next to each other off: one for each day of the week.
        let pairs = patterns(&person(None, true), &duty(5, 2));
        assert_eq!(pairs.len(), 7);
        assert!(pairs.contains(&0b011_1110));
        // Any two days off.
        assert_eq!(patterns(&person(None, true), &duty(5, 1)).len(), 21);
        // Two together leave five days, whatever the week allows.
        assert_eq!(patterns(&person(None, true), &duty(6, 2)).len(), 7);
        assert!(patterns(&person(None, false), &duty(5, 2)).is_empty());
    }
}
