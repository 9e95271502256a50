//! Line hours by line and day, with the set-ups of the order in which the runs are given.

use super::book::{Book, RunSeen, Sort, of_run};
use super::whole::{fit, hours_ms, minutes_ms, say_hours, say_over, up};
use super::{Found, Ledger, Subject};
use crate::calendar::Day;
use crate::scenario::{Kind, Line, SetUpPair};
use crate::units::Minutes;

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

/// What the line has of its own for two kinds that follow each other.
fn pair<'a>(line: &'a Line, before: &Kind, after: &Kind) -> Option<&'a SetUpPair> {
    let mut pairs = line.set_up_pairs.iter();
    pairs.find(|pair| pair.from == before.id && pair.to == after.id)
}

/// True when the one kind may follow the other on one day.
fn may_follow(line: &Line, before: &Kind, after: &Kind) -> bool {
    !before.last_of_day && pair(line, before, after).is_none_or(|pair| !pair.never)
}

/// First trays of a run that are thrown out because of the kind before.
fn thrown(line: &Line, before: &Kind, after: &Kind) -> i128 {
    pair(line, before, after).map_or(0, |pair| pair.throw_out_trays.into())
}

/// Trays for fields, trial trays, and the trays thrown out at most: after whichever other kind may stand before.
pub(super) fn trays_at_most(book: &Book, run: &RunSeen) -> i128 {
    let (trays, trial) = book.sown(run);
    let others = book.scenario.kinds.iter();
    let others = others.filter(|other| other.id != run.kind.id);
    let thrown = run.line.and_then(|line| {
        let before = others.filter(|other| may_follow(line, other, run.kind));
        before.map(|other| thrown(line, other, run.kind)).max()
    });
    trays + trial + thrown.unwrap_or(0)
}

/// Set-up between two runs, ms, with the time of what is thrown out.
fn between(line: &Line, before: &Kind, after: &Kind) -> i128 {
    let pair = pair(line, before, after);
    let minutes = pair.map_or(line.set_up_minutes, |pair| pair.minutes);
    minutes_ms(minutes) + thrown(line, before, after) * tray_ms(line, &after.id)
}

/// Set-ups of a day with these kinds in this order, ms.
pub(super) fn set_up_ms(line: &Line, kinds: &[&Kind]) -> i128 {
    if kinds.is_empty() {
        return 0;
    }
    let pairs = kinds.windows(2).map(|pair| between(line, pair[0], pair[1]));
    minutes_ms(line.first_set_up_minutes) + pairs.sum::<i128>()
}

/// Trays thrown out before each run of a day with these kinds in this order.
pub(super) fn thrown_in_order(line: &Line, kinds: &[&Kind]) -> Vec<i128> {
    let after = kinds.windows(2).map(|pair| thrown(line, pair[0], pair[1]));
    let first = kinds.iter().take(1).map(|_| 0);
    first.chain(after).collect()
}

/// An order of `kinds` with the least set-up, as places in `kinds`: every set of runs already done with
/// every last run is tried once. None beyond [`MOST_RUNS`], and where kinds that never follow each other leave no order.
pub(super) fn least_order(line: &Line, kinds: &[&Kind]) -> Option<Vec<usize>> {
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
                if !may_follow(line, kinds[last], kinds[next]) {
                    continue;
                }
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
    (order.len() == count).then_some(order)
}

fn kinds_of<'a>(runs: &[&RunSeen<'a>]) -> Vec<&'a Kind> {
    runs.iter().map(|run| run.kind).collect()
}

/// Work of a line on a day, ms: all trays with the trial trays, and the set-ups.
pub(super) fn day_ms(book: &Book, line: &Line, runs: &[&RunSeen]) -> (i128, i128) {
    let sowing = runs.iter().map(|run| {
        let (trays, trial) = book.sown(run);
        (trays + trial) * tray_ms(line, &run.kind.id)
    });
    (sowing.sum(), set_up_ms(line, &kinds_of(runs)))
}

/// Hours that the line may be worked on a day, ms.
fn there(line: &Line, day: Day) -> i128 {
    let span = line.spans.iter().find(|span| span.days.contains(day));
    hours_ms(span.map_or(line.hours_per_day, |span| span.hours_per_day))
}

/// Checks line hours, the order of runs, and what is thrown out.
pub(super) fn check(book: &Book, found: &mut Found) {
    for run in book.runs.iter().filter(|run| run.sort != Sort::Sown) {
        check_thrown(run, 0, found);
    }
    for line in &book.scenario.lines {
        let mut days = Vec::new();
        for day in book.scenario.horizon.iter() {
            let runs = runs_of(book, line, day);
            if runs.is_empty() {
                continue;
            }
            check_order(line, day, &runs, found);
            for (run, thrown) in runs.iter().zip(thrown_in_order(line, &kinds_of(&runs))) {
                check_thrown(run, thrown, found);
            }
            let (sowing, set_up) = day_ms(book, line, &runs);
            let (used, there) = (sowing + set_up, there(line, day));
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
    let kinds = kinds_of(runs);
    let mut legal = true;
    for (pair, run) in kinds.windows(2).zip(&runs[1..]) {
        let (before, after) = (&pair[0], &pair[1]);
        if may_follow(line, before, after) {
            continue;
        }
        legal = false;
        let why = if before.last_of_day {
            format!("nothing follows `{}` on one day", before.id)
        } else {
            format!("`{}` never follows `{}` on one day", after.id, before.id)
        };
        let what = format!(
            "order of runs: `{}` sows `{}` after `{}` on {day}; {why}",
            line.id, after.id, before.id
        );
        found.add("A104", of_run(run.run), Some(day), 0, what);
    }
    let Some(order) = least_order(line, &kinds).filter(|_| legal) else {
        return;
    };
    let best: Vec<&Kind> = order.iter().map(|place| kinds[*place]).collect();
    let (given, least) = (set_up_ms(line, &kinds), set_up_ms(line, &best));
    if given > least {
        let minutes = |ms: i128| Minutes { 0: fit(ms / 600) };
        let names: Vec<String> = best.iter().map(|kind| format!("`{}`", kind.id)).collect();
        let what = format!(
            "order of runs: `{}` on {day} sets up for {} min, {} min with {}",
            line.id,
            minutes(given),
            minutes(least),
            names.join(", ")
        );
        let subject = Subject::Line {
            id: line.id.clone(),
        };
        found.add("A062", subject, Some(day), given - least, what);
    }
}

/// The trays thrown out that a run states against those of the kind before it.
fn check_thrown(run: &RunSeen, thrown: i128, found: &mut Found) {
    let stated = run.run;
    if i128::from(stated.thrown_trays) != thrown {
        let what = format!(
            "run `{}` states {} trays thrown out, {thrown} are because of the kind before",
            stated.id, stated.thrown_trays
        );
        let off = i128::from(stated.thrown_trays) - thrown;
        found.add("A103", of_run(stated), Some(stated.sow), off, what);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::DayRange;
    use crate::scenario::{LineRate, LineSpan};
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

    /// Kinds `a`, `b`, `c`.
    fn kinds() -> [Kind; 3] {
        ["a", "b", "c"].map(|id| Kind {
            id: id.into(),
            ..super::super::samples::kind()
        })
    }

    #[test]
    fn the_least_order_is_found() {
        // b, a, c: 20 + 5 + 10 = 35 min; a, b, c: 20 + 30 + 30 = 80 min.
        let (line, kinds) = (line(), kinds());
        let kinds: Vec<&Kind> = kinds.iter().collect();
        let (a, b, c) = (kinds[0], kinds[1], kinds[2]);
        assert_eq!(set_up_ms(&line, &kinds), 80 * 60_000);
        assert_eq!(least_order(&line, &kinds), Some(vec![1, 0, 2]));
        assert_eq!(set_up_ms(&line, &[b, a, c]), 35 * 60_000);
        assert_eq!(least_order(&line, &[]), Some(vec![]));
        assert_eq!(least_order(&line, &[a]), Some(vec![0]));
        assert_eq!(least_order(&line, &[a; 13]), None);
    }

    #[test]
    fn what_is_thrown_out_is_part_of_the_set_up() {
        let (mut line, kinds) = (line(), kinds());
        let kinds: Vec<&Kind> = kinds.iter().collect();
        let (a, b, c) = (kinds[0], kinds[1], kinds[2]);
        // From b to a: 5 min and 200 trays of 11.25 s, 37.5 min.
        line.set_up_pairs[0].throw_out_trays = 200;
        assert_eq!(set_up_ms(&line, &[b, a]), 20 * 60_000 + 2_550_000);
        assert_eq!(thrown_in_order(&line, &[b, a, c]), [0, 200, 0]);
        assert!(thrown_in_order(&line, &[]).is_empty());
        // Now a before b, with 30 min, is less than 42.5; a, c, b is 20 + 10 + 30 and the least of all.
        assert_eq!(least_order(&line, &[b, a]), Some(vec![1, 0]));
        assert_eq!(least_order(&line, &kinds), Some(vec![0, 2, 1]));
    }

    #[test]
    fn what_never_follows_stands_in_no_order() {
        let (mut line, mut kinds) = (line(), kinds());
        line.set_up_pairs[1].never = true;
        let order = |line: &Line, kinds: &[Kind; 3]| {
            let kinds: Vec<&Kind> = kinds.iter().collect();
            least_order(line, &kinds)
        };
        // Never a, c: c, b, a is 20 + 30 + 5.
        assert_eq!(order(&line, &kinds), Some(vec![2, 1, 0]));
        // Nothing after c: b, c cannot be followed by a; a, b, c is left.
        kinds[2].last_of_day = true;
        assert_eq!(order(&line, &kinds), Some(vec![0, 1, 2]));
        // Nothing after b either: no order.
        kinds[1].last_of_day = true;
        assert_eq!(order(&line, &kinds), None);
    }

    #[test]
    fn a_span_of_days_has_its_own_hours() {
        let mut line = line();
        let day = |text: &str| Day::parse(text).unwrap();
        let span = |from: &str, to: &str, hours| LineSpan {
            days: DayRange {
                first: day(from),
                last: day(to),
            },
            hours_per_day: Fixed::whole(hours),
        };
        line.spans = vec![
            span("2027-04-05", "2027-04-06", 10),
            span("2027-04-06", "2027-04-07", 0),
        ];
        let hours = |text| there(&line, day(text)) / 3_600_000;
        assert_eq!(hours("2027-04-04"), 8);
        assert_eq!((hours("2027-04-05"), hours("2027-04-06")), (10, 10));
        assert_eq!((hours("2027-04-07"), hours("2027-04-08")), (0, 8));
    }
}
