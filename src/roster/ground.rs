//! What does not change while people are put on places: who can do what when, and what they may do.

use super::fixed;
use super::{Demand, Licence, Slot};
use crate::calendar::{Day, Weekday};
use crate::scenario::{Duty, Person};
use std::collections::BTreeMap;
use std::ops::Range;

/// Minutes of a day.
const DAY: i64 = 1_440;
/// Unfairness is counted in millionths.
const MILLIONTHS: i64 = 1_000_000;
/// All days of a week.
pub(super) const EVERY_DAY: u8 = 0x7f;

/// The demand, the staff and the limits, looked up.
pub(super) struct Ground<'a> {
    pub(super) demand: &'a Demand,
    pub(super) staff: &'a [Person],
    pub(super) duty: &'a Duty,
    /// Days from the first.
    pub(super) days: usize,
    /// Slots of each day.
    pub(super) slots: Vec<Range<usize>>,
    /// Of each slot, which post it is: the same number for the same crew, and for the watch.
    pub(super) post: Vec<usize>,
    /// Of each slot, whether it is a late one.
    pub(super) late: Vec<bool>,
    /// Person by slot: they can do it and are not away.
    able: Vec<bool>,
    /// By person, which sets of days of a week they may work, as bits from Monday.
    week_ok: Vec<[bool; 128]>,
    /// By person with fixed days off, the sets of days that may be theirs; empty for others.
    pub(super) patterns: Vec<Vec<u8>>,
    /// Shifts with a licence, by day.
    pub(super) licences: Vec<Vec<&'a Licence>>,
    /// By person, days at weekends and days with late shifts on which they can be asked.
    asked: Vec<(i64, i64)>,
    /// So many days on either side may matter to the rest between duties.
    reach: usize,
    rest: i64,
}

impl<'a> Ground<'a> {
    pub(super) fn new(demand: &'a Demand, staff: &'a [Person], duty: &'a Duty) -> Ground<'a> {
        let days = demand.days.days();
        let mut slots = Vec::with_capacity(days);
        let mut from = 0;
        for day in demand.days.iter() {
            let until = from + demand.slots[from..].partition_point(|slot| slot.day <= day);
            slots.push(from..until);
            from = until;
        }
        let mut posts: BTreeMap<Option<&str>, usize> = BTreeMap::new();
        let post = demand.slots.iter().map(|slot| {
            let next = posts.len();
            *posts.entry(slot.crew.as_deref()).or_insert(next)
        });
        let post = post.collect();
        let late: Vec<bool> = demand
            .slots
            .iter()
            .map(|slot| is_late(slot, duty))
            .collect();
        let able: Vec<bool> = staff
            .iter()
            .flat_map(|person| demand.slots.iter().map(|slot| is_able(person, slot)))
            .collect();
        let longest = demand.slots.iter().map(|slot| slot.end_minute).max();
        let rest = duty.rest_hours_least.0 * 3 / 5;
        let mut licences = vec![Vec::new(); days];
        for licence in &demand.licences {
            if demand.days.contains(licence.day) {
                licences[licence.day.since(demand.days.first) as usize].push(licence);
            }
        }
        let mut ground = Ground {
            demand,
            staff,
            duty,
            days,
            slots,
            post,
            late,
            able,
            week_ok: staff.iter().map(|one| fixed::weeks(one, duty)).collect(),
            patterns: staff.iter().map(|one| fixed::patterns(one, duty)).collect(),
            licences,
            asked: Vec::new(),
            reach: ((longest.unwrap_or(0) + rest) / DAY) as usize + 1,
            rest,
        };
        ground.asked = (0..staff.len()).map(|one| ground.asked_of(one)).collect();
        ground
    }

    fn asked_of(&self, person: usize) -> (i64, i64) {
        let (mut weekends, mut late) = (0, 0);
        for day in 0..self.days {
            let mut can = self.slots[day]
                .clone()
                .filter(|slot| self.able(person, *slot));
            let any_late = can.clone().any(|slot| self.late[slot]);
            late += i64::from(any_late);
            weekends += i64::from(self.is_weekend(day) && can.next().is_some());
        }
        (weekends, late)
    }

    /// They can do the work of the slot and are not away.
    pub(super) fn able(&self, person: usize, slot: usize) -> bool {
        self.able[person * self.demand.slots.len() + slot]
    }

    pub(super) fn slot(&self, at: usize) -> &'a Slot {
        &self.demand.slots[at]
    }

    pub(super) fn date(&self, day: usize) -> Day {
        self.demand.days.first.plus(day as i32)
    }

    /// 0 on a Monday.
    pub(super) fn weekday(&self, day: usize) -> usize {
        self.date(day).weekday() as usize
    }

    pub(super) fn is_weekend(&self, day: usize) -> bool {
        self.weekday(day) >= Weekday::Saturday as usize
    }

    /// Days of the week of a day, inside the demand.
    pub(super) fn week(&self, day: usize) -> Range<usize> {
        let monday = day as i64 - self.weekday(day) as i64;
        monday.max(0) as usize..((monday + 7) as usize).min(self.days)
    }

    /// They may work these days of a week, as bits from Monday.
    pub(super) fn week_ok(&self, person: usize, worked: u8) -> bool {
        self.week_ok[person][usize::from(worked & EVERY_DAY)]
    }

    pub(super) fn in_a_row(&self) -> usize {
        self.duty.days_in_a_row_most.max(0) as usize
    }

    pub(super) fn reach(&self) -> usize {
        self.reach
    }

    /// Whether somebody may have the slot `later` so many days after the slot `earlier`.
    pub(super) fn rested(&self, earlier: usize, later: usize, days: usize) -> bool {
        let start = self.slot(later).start_minute + days as i64 * DAY;
        start >= self.slot(earlier).end_minute + self.rest
    }

    /// Unfairness of so many weekend days and late shifts of a person.
    pub(super) fn unfairness(&self, person: usize, weekends: i64, late: i64) -> i64 {
        let (of_weekends, of_late) = self.asked[person];
        let square = |count: i64, of: i64| count * count * MILLIONTHS / of.max(1);
        square(weekends, of_weekends) + square(late, of_late)
    }
}

/// A shift that ends late, or in the night, or is stayed after, or a watch.
pub(super) fn is_late(slot: &Slot, duty: &Duty) -> bool {
    slot.crew.is_none() || slot.stays || slot.end_minute >= duty.late_from_minute
}

fn is_able(person: &Person, slot: &Slot) -> bool {
    let can = match &slot.crew {
        Some(crew) => person.can_do(crew),
        None => person.watches,
    };
    can && !person.is_away(slot.day)
}
