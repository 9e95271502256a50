//! Who has which place, with what that costs; every change can be taken back.

use super::ground::{EVERY_DAY, Ground};
use crate::plan::roster::{PersonDuty, PersonTotals};

/// What is wanted, in the order of the fields: less is better.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Score {
    /// Places unfilled and licences missing.
    pub(super) missing: i64,
    pub(super) unfairness: i64,
    pub(super) changes: i64,
}

/// Weekend days, late shifts, changes of crew.
#[derive(Clone, Copy, Debug, Default)]
struct Counts {
    weekends: i64,
    late: i64,
    changes: i64,
}

/// A change, to be taken back.
#[derive(Clone, Copy)]
enum Was {
    Duty(usize, usize, Option<usize>),
    Pattern(usize, u8),
}

pub(super) struct State<'g, 'a> {
    pub(super) ground: &'g Ground<'a>,
    /// Person by day: the slot.
    at: Vec<Option<usize>>,
    /// By slot: places filled.
    taken: Vec<i64>,
    /// By person: the days of the week on which they may work.
    pattern: Vec<u8>,
    counts: Vec<Counts>,
    /// Places unfilled.
    open: i64,
    /// By day: licences missing.
    unlicensed: Vec<i64>,
    score: Score,
    journal: Vec<Was>,
}

impl<'g, 'a> State<'g, 'a> {
    /// Nobody anywhere.
    pub(super) fn new(ground: &'g Ground<'a>) -> State<'g, 'a> {
        let people = ground.staff.len();
        let open = ground.demand.slots.iter().map(|slot| slot.places).sum();
        let unlicensed: Vec<i64> = ground.licences.iter().map(|on| on.len() as i64).collect();
        let score = Score {
            missing: open + unlicensed.iter().sum::<i64>(),
            ..Score::default()
        };
        let pattern = ground.patterns.iter();
        State {
            ground,
            at: vec![None; people * ground.days],
            taken: vec![0; ground.demand.slots.len()],
            pattern: pattern
                .map(|all| all.first().copied().unwrap_or(EVERY_DAY))
                .collect(),
            counts: vec![Counts::default(); people],
            open,
            unlicensed,
            score,
            journal: Vec::new(),
        }
    }

    pub(super) fn on(&self, person: usize, day: usize) -> Option<usize> {
        self.at[person * self.ground.days + day]
    }

    /// Places of a slot that nobody has.
    pub(super) fn open(&self, slot: usize) -> i64 {
        self.ground.slot(slot).places - self.taken[slot]
    }

    pub(super) fn pattern(&self, person: usize) -> u8 {
        self.pattern[person]
    }

    /// Weekend days and late shifts of a person, as last settled.
    pub(super) fn burden(&self, person: usize) -> (i64, i64) {
        let counts = self.counts[person];
        (counts.weekends, counts.late)
    }

    pub(super) fn score(&self) -> Score {
        self.score
    }

    /// Puts a person on a slot of the day, or frees them.
    pub(super) fn set(&mut self, person: usize, day: usize, slot: Option<usize>) {
        let old = self.put(person, day, slot);
        self.journal.push(Was::Duty(person, day, old));
    }

    fn put(&mut self, person: usize, day: usize, slot: Option<usize>) -> Option<usize> {
        let at = person * self.ground.days + day;
        let old = std::mem::replace(&mut self.at[at], slot);
        if let Some(old) = old {
            self.taken[old] -= 1;
            self.open += 1;
        }
        if let Some(new) = slot {
            self.taken[new] += 1;
            self.open -= 1;
        }
        old
    }

    /// Gives a person other days of the week; they must be free on those that fall away.
    pub(super) fn set_pattern(&mut self, person: usize, pattern: u8) {
        let old = std::mem::replace(&mut self.pattern[person], pattern);
        self.journal.push(Was::Pattern(person, old));
    }

    /// Counts what has changed since the last time it was kept.
    pub(super) fn settle(&mut self) -> Score {
        let mut touched: Vec<(usize, usize)> = Vec::with_capacity(self.journal.len());
        for was in &self.journal {
            if let Was::Duty(person, day, _) = was {
                touched.push((*person, *day));
            }
        }
        let mut people: Vec<usize> = touched.iter().map(|(person, _)| *person).collect();
        people.sort_unstable();
        people.dedup();
        for person in people {
            self.recount(person);
        }
        let mut days: Vec<usize> = touched.iter().map(|(_, day)| *day).collect();
        days.sort_unstable();
        days.dedup();
        for day in days {
            self.unlicensed[day] = self.count_unlicensed(day);
        }
        self.score.missing = self.open + self.unlicensed.iter().sum::<i64>();
        self.score
    }

    /// Keeps all changes.
    pub(super) fn keep(&mut self) {
        self.journal.clear();
    }

    /// Takes all changes back.
    pub(super) fn take_back(&mut self) {
        let journal = std::mem::take(&mut self.journal);
        for was in journal.iter().rev() {
            match *was {
                Was::Duty(person, day, old) => {
                    self.put(person, day, old);
                }
                Was::Pattern(person, old) => self.pattern[person] = old,
            }
        }
        self.journal = journal;
        self.settle();
        self.journal.clear();
    }

    fn recount(&mut self, person: usize) {
        let mut counts = Counts::default();
        let mut before = None;
        for day in 0..self.ground.days {
            let Some(slot) = self.on(person, day) else {
                continue;
            };
            counts.weekends += i64::from(self.ground.is_weekend(day));
            counts.late += i64::from(self.ground.late[slot]);
            let post = self.ground.post[slot];
            counts.changes += i64::from(before.is_some_and(|before| before != post));
            before = Some(post);
        }
        let old = self.counts[person];
        let unfair = |counts: Counts| self.ground.unfairness(person, counts.weekends, counts.late);
        self.score.unfairness += unfair(counts) - unfair(old);
        self.score.changes += counts.changes - old.changes;
        self.counts[person] = counts;
    }

    /// True when somebody with the licence is on the crew's shift.
    pub(super) fn is_licensed(&self, day: usize, crew: &str) -> bool {
        (0..self.ground.staff.len()).any(|person| {
            self.ground.staff[person].licensed
                && self
                    .on(person, day)
                    .is_some_and(|slot| self.ground.slot(slot).crew.as_deref() == Some(crew))
        })
    }

    fn count_unlicensed(&self, day: usize) -> i64 {
        let licences = self.ground.licences[day].iter();
        licences
            .filter(|licence| !self.is_licensed(day, &licence.crew))
            .count() as i64
    }

    /// Days of the week that the person works in the week of `day`, as bits, with that day.
    pub(super) fn worked(&self, person: usize, day: usize) -> u8 {
        let week = self.ground.week(day);
        let mut bits = 1 << self.ground.weekday(day);
        for other in week {
            if self.on(person, other).is_some() {
                bits |= 1 << self.ground.weekday(other);
            }
        }
        bits
    }

    /// Days of duty one after another if the person works on `day`.
    pub(super) fn row(&self, person: usize, day: usize) -> usize {
        let before = (0..day)
            .rev()
            .take_while(|day| self.on(person, *day).is_some());
        let after = day + 1..self.ground.days;
        let after = after.take_while(|day| self.on(person, *day).is_some());
        before.count() + 1 + after.count()
    }

    /// The duty on a day nearby that leaves no rest before or after the slot.
    pub(super) fn too_near(&self, person: usize, day: usize, slot: usize) -> Option<usize> {
        let ground = self.ground;
        for away in 1..=ground.reach() {
            if let Some(before) = day.checked_sub(away)
                && let Some(earlier) = self.on(person, before)
                && !ground.rested(earlier, slot, away)
            {
                return Some(before);
            }
            let after = day + away;
            if after < ground.days
                && let Some(later) = self.on(person, after)
                && !ground.rested(slot, later, away)
            {
                return Some(after);
            }
        }
        None
    }

    /// Whether the person may have the slot, whatever else they have on that day.
    pub(super) fn may(&self, person: usize, day: usize, slot: usize) -> bool {
        let ground = self.ground;
        ground.able(person, slot)
            && self.pattern[person] & (1 << ground.weekday(day)) != 0
            && ground.week_ok(person, self.worked(person, day))
            && self.row(person, day) <= ground.in_a_row()
            && self.too_near(person, day, slot).is_none()
    }

    /// All duties, by day, slot and person.
    pub(super) fn duties(&self) -> Vec<PersonDuty> {
        let mut duties = Vec::new();
        for day in 0..self.ground.days {
            for slot in self.ground.slots[day].clone() {
                let one = self.ground.slot(slot);
                for (person, who) in self.ground.staff.iter().enumerate() {
                    if self.on(person, day) == Some(slot) {
                        duties.push(PersonDuty {
                            day: one.day,
                            crew: one.crew.clone(),
                            person: who.id.clone(),
                            start_minute: one.start_minute,
                            end_minute: one.end_minute,
                            stays: one.stays,
                            late: self.ground.late[slot],
                        });
                    }
                }
            }
        }
        duties
    }

    /// The sums of every person.
    pub(super) fn totals(&self) -> Vec<PersonTotals> {
        let staff = self.ground.staff.iter().enumerate();
        staff
            .map(|(person, who)| {
                let slots = (0..self.ground.days).filter_map(|day| self.on(person, day));
                let nights = slots
                    .clone()
                    .filter(|slot| self.ground.slot(*slot).crew.is_none());
                let counts = self.counts[person];
                PersonTotals {
                    person: who.id.clone(),
                    days: slots.clone().count() as i64,
                    weekend_days: counts.weekends,
                    late: counts.late,
                    nights: nights.count() as i64,
                    changes: counts.changes,
                }
            })
            .collect()
    }
}
