//! Why dates of a lot were left out, and why a lot has no way at all.

use super::options::Enumerator;
use super::timeline::Timelines;
use super::{LotId, Nursery};
use crate::calendar::Day;
use crate::scenario::{Field, Kind};
use crate::units::Age;
use std::collections::BTreeMap;

/// Why a pair of days was left out.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Exclusion {
    /// The line does not run on the sow day.
    LineRests,
    /// Seed cannot have been soaked in time.
    SeedNotReady,
    /// A stack or the first covers would wait too long, since nobody works.
    NobodyThere,
    /// The dates are pinned elsewhere.
    Pinned,
    /// Right by the kind's own clock, but not by one of its further limits.
    FurtherLimit,
    /// Younger than the youngest age.
    TooYoung,
    /// Older than the oldest age.
    TooOld,
}

/// Why a field cannot be planted on a day, whatever grows.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum NoPlanting {
    /// Nobody has said that it is ready.
    NotReady,
    /// The day is not one of the days planned.
    OutsideHorizon,
    /// Outside the window of its order.
    OutsideWindow,
    /// Too soon or too late after the water.
    Water,
    /// Too soon or too late after the crop before it.
    Harvest,
    /// One of the field's closed days.
    FieldClosed,
    /// A day on which no planting is done.
    NobodyPlants,
}

/// A pair of days that is left out, on some way through places and lines.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct LeftOut {
    /// Sow day.
    pub sow: Day,
    /// Planting day; none: whatever the planting day.
    pub plant: Option<Day>,
    /// Why.
    pub why: Exclusion,
    /// Age on the planting day, where it was reached.
    pub age: Option<Age>,
}

/// Tells of each pair of days of a lot why it is left out. Follows every kind, sow day and route once, whoever asks.
pub struct Retold<'a> {
    nursery: &'a Nursery,
    timelines: Timelines,
}

impl<'a> Retold<'a> {
    /// Nothing followed yet.
    pub fn new(nursery: &'a Nursery) -> Retold<'a> {
        Retold {
            nursery,
            timelines: Timelines::new(&nursery.scenario),
        }
    }

    /// Every pair of days that was left out, in the order in which they were looked at.
    pub fn left_out(&mut self, lot: LotId) -> Vec<LeftOut> {
        let mut enumerator = Enumerator {
            scenario: &self.nursery.scenario,
            timelines: &mut self.timelines,
        };
        enumerator.left_out(lot, self.nursery.lot(lot))
    }
}

/// How a lot's days fared: enough to say why it has no option.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LotStory {
    /// Days on which the field can be planted.
    pub planting_days: usize,
    /// Pairs of days left out, by reason. Those before the ages count pairs of the right age only.
    pub excluded: BTreeMap<Exclusion, usize>,
    /// The greatest age among those too young.
    pub nearly_old_enough: Option<Age>,
}

impl LotStory {
    /// Notes a pair of days left out, and how nearly those too young are old enough.
    pub(super) fn note_age(&mut self, why: Exclusion, age: Option<Age>) {
        *self.excluded.entry(why).or_default() += 1;
        if why == Exclusion::TooYoung {
            self.nearly_old_enough = self.nearly_old_enough.max(age);
        }
    }

    /// Why the lot has no option at all, in words.
    pub fn why_none(&self, field: &Field, kind: &Kind) -> String {
        if !field.ready {
            return "the field is not ready; say `ready` when it is".into();
        }
        if self.planting_days == 0 {
            return "no day of its window is open for planting inside the horizon".into();
        }
        let count = |why| self.excluded.get(&why).copied().unwrap_or(0);
        let right_age = [
            (
                Exclusion::Pinned,
                "its dates are pinned to days that do not go together",
            ),
            (
                Exclusion::SeedNotReady,
                "seed would have to be soaked before the first day, or on a day nobody works",
            ),
            (
                Exclusion::LineRests,
                "the line rests on every day on which it would have to be sown",
            ),
            (
                Exclusion::FurtherLimit,
                "a further limit of age of its kind forbids every day of the right age",
            ),
            (
                Exclusion::NobodyThere,
                "nobody works when its stacks or covers would be due",
            ),
        ];
        // Of the reasons that hit dates of the right age, the commonest decides.
        let main = right_age
            .iter()
            .max_by_key(|(why, _)| count(*why))
            .filter(|(why, _)| count(*why) > 0);
        if let Some((_, words)) = main {
            return (*words).into();
        }
        let limits = &kind.age;
        match (count(Exclusion::TooYoung), count(Exclusion::TooOld)) {
            (young, 0) if young > 0 => format!(
                "too young on every day of its window{}; `{}` is planted from age {}",
                self.nearly_old_enough
                    .map_or(String::new(), |age| format!(" (at most {age})")),
                kind.id,
                limits.youngest
            ),
            (0, old) if old > 0 => {
                format!(
                    "too old on every day of its window; `{}` is planted up to age {}",
                    kind.id, limits.oldest
                )
            }
            _ => format!(
                "no sow day gives an age between {} and {} on a day of its window",
                limits.youngest, limits.oldest
            ),
        }
    }
}
