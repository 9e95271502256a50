//! Line hours by line and day, with the set-ups of the order in which the runs are given.

use super::book::{Book, RunSeen, of_run};
use super::whole::{hours_ms, minutes_ms, say_hours, say_over, up};
use super::{Found, Ledger, Subject};
use crate::calendar::Day;
use crate::scenario::Line;

/// The most runs of a day whose best order is looked for.
const MOST_RUNS: usize = 12;

/// The longest that a tray is counted with, ms: 1 000 h.
const SLOWEST: i128 = 1_000 * 3_600_000;

/// Line time of one tray of a kind, ms: ceil(3 600 000 ÷ (trays/h × share of the shift run)), at most [`SLOWEST`]; as long on
/// a line that does not run.
fn tray_ms(line: &Line, kind: &str) -> i128 {
    let own = line.rates.iter().find(|rate| rate.kind == kind);
    let set = own.map_or(line.set_trays_per_h, |rate| rate.set_trays_per_h);
    // Tenths of trays an hour × millionths of the shift.
    let rate = i128::from(set.0) * i128::from(line.share_run.0);
    if rate == 0 {
        return SLOWEST;
    }
    up(3_600_000 * 10 * 1_000_000, rate).min(SLOWEST)
}

/// Runs of one line on one day, in the order that the plan gives.
pub(super) fn runs_of<'b, 'a>(book: &'b Book<'a>, line: &Line, day: Day) -> Vec<&'b RunSeen<'a>> {
    let on_line = |run: &&RunSeen| run.line.is_some_and(|other| other.id == line.id);
    let mut runs: Vec<_> = book
        .runs
        .iter()
        .filter(on_line)
        .filter(|run| run.run.sow == day)
        .collect();
    runs.sort_by_key(|run| run.run.place_in_day);
    runs
}

/// Set-up between two runs, ms.
fn between(line: &Line, before: &str, after: &str) -> i128 {
    let pair = line
        .set_up_pairs
        .iter()
        .find(|pair| pair.from == before && pair.to == after);
    minutes_ms(pair.map_or(line.set_up_minutes, |pair| pair.minutes))
}

/// Set-ups of a day with these kinds in this order, ms.
pub(super) fn set_up_ms(line: &Line, kinds: &[&str]) -> i128 {
    if kinds.is_empty() {
        return 0;
    }
    let pairs = kinds.windows(2).map(|pair| between(line, pair[0], pair[1]));
    minutes_ms(line.first_set_up_minutes) + pairs.sum::<i128>()
}

/// An order of `kinds` with the least set-up, as places in `kinds`: every set of runs already done with
/// every last run is tried once. None beyond [`MOST_RUNS`].
pub(super) fn least_order(line: &Line, kinds: &[&str]) -> Option<Vec<usize>> {
    let count = kinds.len();
    if count > MOST_RUNS {
        return None;
    }
    // best[done][last]: least set-up after the runs in `done` (one bit each), the last of them being `last`, and the run before it.
    let mut best = vec![vec![None; count]; 1 << count];
    for last in 0..count {
        best[1 << last][last] = Some((0i128, last));
    }
    for done in 1usize..1 << count {
        for last in 0..count {
            let Some((so_far, _)) = best[done][last] else {
                continue;
            };
            for next in (0..count).filter(|next| done & (1 << next) == 0) {
                let sum = so_far + between(line, kinds[last], kinds[next]);
                let slot = &mut best[done | (1 << next)][next];
                if slot.is_none_or(|(least, _)| sum < least) {
                    *slot = Some((sum, last));
                }
            }
        }
    }
    let mut done = (1usize << count) - 1;
    let ends = (0..count).filter_map(|last| best[done][last].map(|(sum, _)| (sum, last)));
    let mut order = Vec::new();
    let mut at = ends.min().map(|(_, last)| last);
    while let Some(last) = at {
        order.push(last);
        let before = best[done][last].map(|(_, before)| before);
        done &= !(1 << last);
        at = before.filter(|_| done != 0);
    }
    order.reverse();
    Some(order)
}

/// Work of a line on a day, ms: all trays with the trial trays, and the set-ups.
pub(super) fn day_ms(book: &Book, line: &Line, runs: &[&RunSeen]) -> (i128, i128) {
    let sowing = runs.iter().map(|run| {
        let (trays, trial) = book.sown(run);
        (trays + trial) * tray_ms(line, &run.kind.id)
    });
    let kinds: Vec<&str> = runs.iter().map(|run| run.kind.id.as_str()).collect();
    (sowing.sum(), set_up_ms(line, &kinds))
}

/// Checks line hours and the order of runs.
pub(super) fn check(book: &Book, found: &mut Found) {
    for line in &book.scenario.lines {
        let there = hours_ms(line.hours_per_day);
        let mut days = Vec::new();
        for day in book.scenario.horizon.iter() {
            let runs = runs_of(book, line, day);
            if runs.is_empty() {
                continue;
            }
            check_order(line, day, &runs, found);
            let (sowing, set_up) = day_ms(book, line, &runs);
            let used = sowing + set_up;
            days.push((day, used, there));
            // A day without the line's work is named once, with its run.
            if used > there && book.scenario.calendars.line.works(day) {
                let what = format!(
                    "line hours: `{}` needs {} on {day}, {} of it for set-ups; {} fit{}",
                    line.id,
                    say_hours(used),
                    say_hours(set_up),
                    say_hours(there),
                    say_over(used, there)
                );
                let subject = Subject::Line {
                    id: line.id.clone(),
                };
                found.add("A060", subject, Some(day), used - there, what);
            }
        }
        found.fullest(Ledger::LineHours, &line.id, days);
    }
}

fn check_order(line: &Line, day: Day, runs: &[&RunSeen], found: &mut Found) {
    let places: Vec<u32> = runs.iter().map(|run| run.run.place_in_day).collect();
    if !places.iter().copied().eq(1..=runs.len() as u32) {
        let said: Vec<String> = places.iter().map(ToString::to_string).collect();
        let what = format!(
            "places of the {} runs of `{}` on {day} are {}, not 1 to {}",
            runs.len(),
            line.id,
            said.join(", "),
            runs.len()
        );
        found.add("A061", of_run(runs[0].run), Some(day), 0, what);
    }
    let kinds: Vec<&str> = runs.iter().map(|run| run.kind.id.as_str()).collect();
    let Some(order) = least_order(line, &kinds) else {
        return;
    };
    let best: Vec<&str> = order.iter().map(|place| kinds[*place]).collect();
    let (given, least) = (set_up_ms(line, &kinds), set_up_ms(line, &best));
    if given > least {
        let what = format!(
            "order of runs: `{}` on {day} sets up for {} min, {} min with {}",
            line.id,
            crate::units::Minutes {
                0: super::whole::fit(given / 600)
            },
            crate::units::Minutes {
                0: super::whole::fit(least / 600)
            },
            best.iter()
                .map(|kind| format!("`{kind}`"))
                .collect::<Vec<_>>()
                .join(", ")
        );
        let subject = Subject::Line {
            id: line.id.clone(),
        };
        found.add("A062", subject, Some(day), given - least, what);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::{LineRate, SetUpPair};
    use crate::units::Fixed;

    fn line() -> Line {
        let pair = |from: &str, to: &str, minutes| SetUpPair {
            throw_out_trays: 0,
            never: false,
            from: from.into(),
            to: to.into(),
            minutes: Fixed::whole(minutes),
        };
        Line {
            hopper_g_dry: Fixed(0),
            spans: vec![],
            rates: vec![],
            id: "l".into(),
            name: "l".into(),
            set_trays_per_h: Fixed::whole(400),
            share_run: Fixed(800_000),
            hours_per_day: Fixed::whole(8),
            first_set_up_minutes: Fixed::whole(20),
            set_up_minutes: Fixed::whole(30),
            set_up_pairs: vec![pair("b", "a", 5), pair("a", "c", 10)],
            trial_trays: 3,
        }
    }

    #[test]
    fn a_tray_takes_its_share_of_the_hour() {
        // 3 600 000 ÷ (400 × 0.8) = 11 250 ms.
        assert_eq!(tray_ms(&line(), "a"), 11_250);
        // 400 × 0.85 = 340 trays/h: 10 588.2 ms, rounded up.
        let mut slow = line();
        slow.share_run = Fixed(850_000);
        assert_eq!(tray_ms(&slow, "a"), 10_589);
        // One kind at a rate of its own: 3 600 000 ÷ (300 × 0.85) = 14 117.6 ms.
        slow.rates.push(LineRate {
            kind: "b".into(),
            set_trays_per_h: Fixed::whole(300),
        });
        assert_eq!((tray_ms(&slow, "a"), tray_ms(&slow, "b")), (10_589, 14_118));
    }

    #[test]
    fn the_least_order_is_found() {
        // b, a, c: 20 + 5 + 10 = 35 min; a, b, c: 20 + 30 + 30 = 80 min.
        let (line, kinds) = (line(), ["a", "b", "c"]);
        assert_eq!(set_up_ms(&line, &kinds), 80 * 60_000);
        assert_eq!(least_order(&line, &kinds), Some(vec![1, 0, 2]));
        assert_eq!(set_up_ms(&line, &["b", "a", "c"]), 35 * 60_000);
        assert_eq!(least_order(&line, &[]), Some(vec![]));
        assert_eq!(least_order(&line, &["a"]), Some(vec![0]));
        assert_eq!(least_order(&line, &["a"; 13]), None);
    }
}
