//! The tray stock day by day: clean trays, the queue of dirty ones, and what is washed in the time left over.

use super::compiled::{Flow, FlowKind};
use crate::rules::TraySupply;

/// Trays through the horizon for the present decisions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Queue {
    supply: TraySupply,
    /// Days whose washed trays are clean on a day's morning.
    dried: Vec<Vec<usize>>,
    /// Most days from washing to use.
    longest: usize,
    out: Vec<i64>,
    back_clean: Vec<i64>,
    back_dirty: Vec<i64>,
    /// Clean after the day's sowing; below zero where trays are missing.
    clean: Vec<i64>,
    /// Dirty after the day's washing.
    dirty: Vec<i64>,
    /// Washed on the day.
    washed: Vec<i64>,
    /// Sum over days of trays missing.
    missing: i64,
    /// Days whose flows or spare time changed since the last settling.
    touched: Option<(usize, usize)>,
}

impl Queue {
    /// The stock with nothing decided.
    pub fn new(supply: &TraySupply) -> Queue {
        let days = supply.wash.len();
        let mut dried = vec![Vec::new(); days];
        for (washed, rest) in supply.dry_days.iter().enumerate() {
            if let Some(dried) = dried.get_mut(washed + rest) {
                dried.push(washed);
            }
        }
        Queue {
            dried,
            longest: supply.dry_days.iter().copied().max().unwrap_or(1),
            out: vec![0; days],
            back_clean: supply.back_clean.clone(),
            back_dirty: supply.back_dirty.clone(),
            clean: vec![0; days],
            dirty: vec![0; days],
            washed: vec![0; days],
            missing: 0,
            touched: days.checked_sub(1).map(|last| (0, last)),
            supply: supply.clone(),
        }
    }

    /// The crew's resource that washing takes time from.
    pub fn crew(&self) -> Option<usize> {
        self.supply.labour.map(|(crew, _)| crew)
    }

    /// Trays washed by day, as settled.
    pub fn washed(&self) -> &[i64] {
        &self.washed
    }

    /// Clean trays after each day's sowing, as settled.
    pub fn clean(&self) -> &[i64] {
        &self.clean
    }

    /// Dirty trays after each day's washing, as settled.
    pub fn dirty(&self) -> &[i64] {
        &self.dirty
    }

    /// Sum over days of trays missing, as settled.
    pub fn missing(&self) -> i64 {
        self.missing
    }

    /// Adds a flow `times` times (negative: takes it away).
    pub fn add(&mut self, flow: &Flow, times: i64) {
        let day = flow.day as usize;
        let book = match flow.kind {
            FlowKind::Out => &mut self.out,
            FlowKind::BackClean => &mut self.back_clean,
            FlowKind::BackDirty => &mut self.back_dirty,
        };
        book[day] += flow.trays * times;
        self.touch(day, day);
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
        let supply = &self.supply;
        let (mut clean, mut dirty) = match from.checked_sub(1) {
            Some(before) => (self.clean[before], self.dirty[before]),
            None => (supply.clean, supply.dirty),
        };
        let mut unchanged = 0;
        for day in from..self.out.len() {
            clean += self.back_clean[day] - self.out[day];
            for dried in &self.dried[day] {
                clean += self.washed[*dried];
            }
            dirty += self.back_dirty[day];
            let mut washed = dirty.min(supply.wash[day]).max(0);
            if let Some((_, ms)) = supply.labour.filter(|_| washed > 0) {
                washed = washed.min(spare(day).max(0) / ms);
            }
            dirty -= washed;
            let same =
                (clean, dirty, washed) == (self.clean[day], self.dirty[day], self.washed[day]);
            unchanged = if same { unchanged + 1 } else { 0 };
            self.missing += (-clean).max(0) - (-self.clean[day]).max(0);
            (self.clean[day], self.dirty[day], self.washed[day]) = (clean, dirty, washed);
            if day >= last && unchanged >= self.longest {
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
        assert_eq!(queue.washed(), [0, 0, 0, 4, 2, 3, 0, 0]);
        assert_eq!(queue.clean(), [10, 0, 0, 0, 4, 6, 9, 9]);
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
        assert_eq!(queue.clean(), [0, 0, 4, 8, 8, 8, 8, 8]);
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
