//! The tray stock day by day: clean trays, the queue of dirty ones, and what is washed in the time left over.

use super::compiled::{Flow, FlowKind};
use crate::rules::TraySupply;

/// Trays through the horizon for the present decisions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Queue {
    days: Vec<TrayDay>,
    /// Clean and dirty before the first day.
    at_first: (i64, i64),
    labour: Option<(usize, i64)>,
    /// Days whose washed trays are clean on a morning: one after the other, and by day where its own end.
    dried: Vec<u32>,
    dried_ends: Vec<u32>,
    /// Most days from washing to use.
    longest: usize,
    /// Sum over days of trays missing.
    missing: i64,
    /// Days whose flows or spare time changed since the last settling.
    touched: Option<(usize, usize)>,
}

/// One day: side by side, since a walk over the days reads all of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct TrayDay {
    out: i64,
    back_clean: i64,
    back_dirty: i64,
    /// Most trays washed.
    wash: i64,
    /// Clean after the day's sowing; below zero where trays are missing.
    clean: i64,
    /// Dirty after the day's washing.
    dirty: i64,
    /// Washed on the day.
    washed: i64,
}

impl Queue {
    /// The stock with nothing decided.
    pub fn new(supply: &TraySupply) -> Queue {
        let days = supply.wash.len();
        let mut on_day = vec![Vec::new(); days];
        for (washed, rest) in supply.dry_days.iter().enumerate() {
            if let Some(dried) = on_day.get_mut(washed + rest) {
                dried.push(washed as u32);
            }
        }
        let mut dried_ends = Vec::with_capacity(days);
        let mut dried = Vec::new();
        for own in on_day {
            dried.extend(own);
            dried_ends.push(dried.len() as u32);
        }
        let day = |day: usize| TrayDay {
            back_clean: supply.back_clean[day],
            back_dirty: supply.back_dirty[day],
            wash: supply.wash[day],
            ..TrayDay::default()
        };
        Queue {
            days: (0..days).map(day).collect(),
            at_first: (supply.clean, supply.dirty),
            labour: supply.labour,
            dried,
            dried_ends,
            longest: supply.dry_days.iter().copied().max().unwrap_or(1),
            missing: 0,
            touched: days.checked_sub(1).map(|last| (0, last)),
        }
    }

    /// The crew's resource that washing takes time from.
    pub fn crew(&self) -> Option<usize> {
        self.labour.map(|(crew, _)| crew)
    }

    /// Trays washed by day, as settled.
    pub fn washed(&self) -> impl Iterator<Item = i64> {
        self.days.iter().map(|day| day.washed)
    }

    /// Trays washed on a day, as settled.
    pub fn washed_on(&self, day: usize) -> i64 {
        self.days[day].washed
    }

    /// Clean trays after each day's sowing, as settled.
    pub fn clean(&self) -> impl Iterator<Item = i64> {
        self.days.iter().map(|day| day.clean)
    }

    /// Clean trays after a day's sowing, as settled.
    pub fn clean_on(&self, day: usize) -> i64 {
        self.days[day].clean
    }

    /// Dirty trays after a day's washing, as settled.
    pub fn dirty_on(&self, day: usize) -> i64 {
        self.days[day].dirty
    }

    /// Sum over days of trays missing, as settled.
    pub fn missing(&self) -> i64 {
        self.missing
    }

    /// Adds a flow `times` times (negative: takes it away).
    pub fn add(&mut self, flow: &Flow, times: i64) {
        let at = flow.day as usize;
        let day = &mut self.days[at];
        let book = match flow.kind {
            FlowKind::Out => &mut day.out,
            FlowKind::BackClean => &mut day.back_clean,
            FlowKind::BackDirty => &mut day.back_dirty,
        };
        *book += flow.trays * times;
        self.touch(at, at);
    }

    /// Says that the crew's spare time changed on some days.
    pub fn touch(&mut self, from: usize, last: usize) {
        self.touched = Some(match self.touched {
            Some((first, end)) => (first.min(from), end.max(last)),
            None => (from, last),
        });
    }

    /// Walks the days again from the first that changed. `spare` is the time that the washing crew has left on a day, ms.
    pub fn settle(&mut self, spare: impl Fn(usize) -> i64) {
        let Some((from, last)) = self.touched.take() else {
            return;
        };
        let before = from.checked_sub(1);
        let (mut clean, mut dirty) = before.map_or(self.at_first, |before| {
            (self.days[before].clean, self.days[before].dirty)
        });
        let mut dried = before.map_or(0, |before| self.dried_ends[before] as usize);
        let mut unchanged = 0;
        for at in from..self.days.len() {
            let dried_end = self.dried_ends[at] as usize;
            for washed in &self.dried[dried..dried_end] {
                clean += self.days[*washed as usize].washed;
            }
            dried = dried_end;
            let day = &mut self.days[at];
            clean += day.back_clean - day.out;
            dirty += day.back_dirty;
            let mut washed = dirty.min(day.wash).max(0);
            if let Some((_, ms)) = self.labour.filter(|_| washed > 0) {
                let spare = spare(at).max(0);
                // Dividing is dear and mostly there is time enough.
                if spare < washed.saturating_mul(ms) {
                    washed = spare / ms;
                }
            }
            dirty -= washed;
            let same = (clean, dirty, washed) == (day.clean, day.dirty, day.washed);
            unchanged = if same { unchanged + 1 } else { 0 };
            self.missing += (-clean).max(0) - (-day.clean).max(0);
            (day.clean, day.dirty, day.washed) = (clean, dirty, washed);
            if at >= last && unchanged >= self.longest {
                break;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn supply() -> TraySupply {
        TraySupply {
            clean: 10,
            dirty: 0,
            back_dirty: vec![0; 8],
            back_clean: vec![0; 8],
            wash: vec![4; 8],
            dry_days: vec![1; 8],
            labour: Some((0, 10)),
        }
    }

    #[test]
    fn trays_come_back_through_washing_and_drying() {
        let mut queue = Queue::new(&supply());
        queue.add(
            &Flow {
                kind: FlowKind::Out,
                day: 1,
                trays: 10,
            },
            1,
        );
        queue.add(
            &Flow {
                kind: FlowKind::BackDirty,
                day: 3,
                trays: 9,
            },
            1,
        );
        queue.settle(|day| if day == 4 { 25 } else { 1_000 });
        // Day 3 washes 4 of 9; day 4 has time for 2 only; days 5 and 6 wash the other 3.
        assert!(queue.washed().eq([0, 0, 0, 4, 2, 3, 0, 0]));
        assert!(queue.clean().eq([10, 0, 0, 0, 4, 6, 9, 9]));
        assert_eq!(queue.missing(), 0);
    }

    #[test]
    fn trays_that_rest_longer_come_later() {
        let mut supply = supply();
        (supply.clean, supply.dirty, supply.labour) = (0, 8, None);
        supply.dry_days = vec![3, 1, 1, 1, 1, 1, 1, 1];
        let mut queue = Queue::new(&supply);
        queue.settle(|_| 0);
        // Four washed on day 0 rest until day 3; four on day 1 are there on day 2.
        assert!(queue.clean().eq([0, 0, 4, 8, 8, 8, 8, 8]));
    }

    #[test]
    fn settling_in_steps_equals_settling_at_once() {
        let mut steps = Queue::new(&supply());
        steps.settle(|_| 100);
        for (day, trays) in [(2, 7), (0, 5), (5, 3)] {
            steps.add(
                &Flow {
                    kind: FlowKind::Out,
                    day,
                    trays,
                },
                1,
            );
            steps.settle(|_| 100);
            steps.add(
                &Flow {
                    kind: FlowKind::BackDirty,
                    day: day + 2,
                    trays,
                },
                1,
            );
            steps.settle(|_| 100);
        }
        let mut once = steps.clone();
        once.touch(0, 7);
        once.settle(|_| 100);
        assert_eq!(steps, once);
        // 10 − 5, then − 7 before more than 4 are washed: two missing on some day.
        assert!(steps.missing() > 0);
    }
}
