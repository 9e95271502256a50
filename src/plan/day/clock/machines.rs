//! Planting machines through the day: each part takes the machine's own time, in one go, once its trays are there.
//!
//! The machine may move to a field while the trays are on their way. Beside it stand as many of its crew as the person time of the
//! part fills, never nobody: one fewer for the first of it or for the last. Where the day does not fit that way, one fewer from
//! beginning to end, and the machine waits for them.

use super::roster::{Roster, Taken};
use super::ways::{Beside, Planting, Way};
use super::{Clock, Times, field_of};
use crate::plan::day::jobs::{Machine, Need};
use crate::plan::day::{TraysCome, Work};
use crate::units::{Span, div_near, div_up};
use std::collections::BTreeMap;

/// Later than any time of the day.
const NEVER: i64 = i64::MAX / 2;

/// People for so many milliseconds, one after the other.
type Profile = Vec<(i64, i64)>;

impl Clock<'_> {
    fn machine(&self, at: usize) -> Option<&Machine> {
        match &self.todos[at].need {
            Need::Machine(machine) => Some(machine),
            _ => None,
        }
    }

    /// When the trays of a part leave the nursery, by the clock; none when they are not loaded today.
    fn loaded(&self, at: usize, times: &Times) -> Option<i64> {
        let todo = &self.todos[at];
        let of_part = self.todos.iter().enumerate().filter(|(_, load)| {
            let job = &load.job;
            job.work == Work::Load && job.runs == todo.job.runs && field_of(load) == field_of(todo)
        });
        let ends = of_part.filter_map(|(at, _)| times.taken[at].last());
        ends.map(|taken| taken.until).max()
    }

    /// When the trays of a part come to its field, as far as that is known.
    pub(super) fn trays_come(&self, at: usize, times: &Times) -> Option<TraysCome> {
        let machine = self.machine(at)?;
        if machine.is_there {
            return None;
        }
        Some(match (self.loaded(at, times), machine.way_ms) {
            (Some(loaded), Some(way)) => TraysCome::About(div_near(loaded + way, Span::MINUTE)),
            _ => TraysCome::Unknown,
        })
    }

    /// The first time at which the machine may set out to a part. Where nothing is known of the way, its trays are loaded by then.
    fn sets_out(&self, at: usize, start: i64, times: &Times) -> i64 {
        let Some(machine) = self.machine(at).filter(|machine| !machine.is_there) else {
            return start;
        };
        let from = match (self.loaded(at, times), machine.way_ms) {
            (Some(loaded), Some(way)) => loaded + way - machine.move_ms,
            (loaded, _) => loaded.unwrap_or(start),
        };
        from.max(start)
    }

    /// Plants all parts: each time the one that can begin first, or the one of the machine that has most left to do.
    pub(super) fn plant(&self, rosters: &mut [Roster], way: Way, times: &mut Times) {
        let mut left: Vec<usize> = (0..self.todos.len())
            .filter(|at| self.machine(*at).is_some())
            .collect();
        let mut free: BTreeMap<&str, i64> = BTreeMap::new();
        while !left.is_empty() {
            let mut best: Option<((i64, i64), usize, Vec<Taken>)> = None;
            for (nth, at) in left.iter().enumerate() {
                let Some((machine, crew)) = self.machine(*at).zip(self.crew(&self.todos[*at]))
                else {
                    continue;
                };
                let roster = &rosters[crew];
                let free = free.get(machine.id.as_str()).copied().unwrap_or(0);
                let after = self.sets_out(*at, roster.start, times).max(free);
                let spells = profiles(machine, roster.people, way.beside)
                    .iter()
                    .filter_map(|profile| roster.profile(after, profile))
                    .min_by_key(|spells| match way.beside {
                        Beside::SoonestDone => spells.last().map_or(after, |taken| taken.until),
                        _ => spells.first().map_or(after, |taken| taken.from),
                    });
                let from = spells.as_ref().map_or(NEVER, |spells| {
                    spells.first().map_or(after, |taken| taken.from)
                });
                let of_machine = left.iter().filter_map(|at| self.machine(*at));
                let still: i64 = of_machine
                    .filter(|other| other.id == machine.id)
                    .map(|other| other.ms)
                    .sum();
                let key = match way.planting {
                    Planting::FirstToBegin => (from, -still),
                    Planting::MostLeft => (if from == NEVER { 1 } else { -still }, from),
                };
                if best.as_ref().is_none_or(|best| key < best.0) {
                    best = Some((key, nth, spells.unwrap_or_default()));
                }
            }
            let Some((_, nth, spells)) = best else { return };
            let at = left.remove(nth);
            if let Some((machine, crew)) = self.machine(at).zip(self.crew(&self.todos[at])) {
                if spells.is_empty() {
                    times.missing[at] = machine.work_ms.max(1);
                }
                for taken in &spells {
                    rosters[crew].take(*taken);
                    free.insert(&machine.id, taken.until);
                }
                times.taken[at] = spells;
            }
        }
    }
}

/// Ways to spread the people of a part over the time of its machine; of two that are as good the first is taken.
fn profiles(machine: &Machine, people: i64, beside: Beside) -> Vec<Profile> {
    if people <= 0 {
        return Vec::new();
    }
    let long = machine.ms.max(div_up(machine.work_ms, people)).max(1);
    let all_through = machine.work_ms / long;
    if all_through == 0 {
        return vec![vec![(1, long)]];
    }
    let more = machine.work_ms - all_through * long;
    if more == 0 {
        return vec![vec![(all_through, long)]];
    }
    let (fewer, all) = ((all_through, long - more), (all_through + 1, more));
    let (fewer_first, all_first) = (vec![fewer, all], vec![all, fewer]);
    let only_fewer = vec![(all_through, div_up(machine.work_ms, all_through))];
    match beside {
        Beside::FewerFirst => vec![fewer_first, all_first],
        Beside::AllFirst => vec![all_first, fewer_first],
        Beside::Fewer => vec![only_fewer],
        Beside::SoonestDone => vec![fewer_first, all_first, only_fewer],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn machine(ms: i64, work_ms: i64) -> Machine {
        Machine {
            crew: "field".into(),
            id: "north".into(),
            ms,
            move_ms: 0,
            work_ms,
            way_ms: None,
            is_there: false,
        }
    }

    #[test]
    fn people_fill_the_time_of_the_machine_and_it_never_stands_alone() {
        assert_eq!(
            profiles(&machine(100, 160), 3, Beside::FewerFirst),
            [vec![(1, 40), (2, 60)], vec![(2, 60), (1, 40)]]
        );
        assert_eq!(
            profiles(&machine(100, 200), 3, Beside::FewerFirst),
            [vec![(2, 100)]]
        );
        assert_eq!(
            profiles(&machine(100, 30), 3, Beside::FewerFirst),
            [vec![(1, 100)]]
        );
        // Two to the end: the machine waits for the second half of the third.
        assert_eq!(profiles(&machine(100, 250), 3, Beside::Fewer), [[(2, 125)]]);
        assert_eq!(
            profiles(&machine(100, 250), 3, Beside::SoonestDone).len(),
            3
        );
        // Too few people: the machine waits for them.
        assert_eq!(
            profiles(&machine(100, 400), 2, Beside::FewerFirst),
            [vec![(2, 200)]]
        );
        assert!(profiles(&machine(100, 400), 0, Beside::FewerFirst).is_empty());
    }
}
