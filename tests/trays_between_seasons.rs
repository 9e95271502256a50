//! Promise: trays of one season are sown again in the next, count by count, and a nursery with too few of them is told in which season
//! they lack, from which day on, and how many more would do.
//!
//! Every tray is followed from the lists of the plan alone, once by sums and once tray by tray, first in first out.

#[path = "common/demos.rs"]
mod demos;

use demos::scenario as demo;
use sowrota::audit::audit;
use sowrota::calendar::Day;
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::plan::types::{Delivery, Run};
use sowrota::scenario::{Field, Scenario};
use sowrota::solve::{self, Budget, Start, Unwatched};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// The plan of a nursery; the audit has nothing to say about it.
fn planned(scenario: &Scenario) -> Plan {
    let nursery = Nursery::new(scenario);
    let budget = Budget {
        moves: 20_000,
        relaxations: 0,
        seed: 1,
    };
    let plan = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan;
    let counted = audit(&plan, scenario);
    assert_eq!(counted.breaches, []);
    assert_eq!(counted.cost, plan.cost);
    plan
}

/// What the sums below rest on: nothing stands, is out or dirty on the first morning, and nothing is lost before it leaves.
fn assert_plain(scenario: &Scenario) {
    let opening = &scenario.opening;
    assert!(opening.sown.is_empty() && opening.trays_out.is_empty() && opening.dirty_trays == 0);
    assert!(scenario.trays.dry_spans.is_empty());
    let kinds = &scenario.kinds;
    assert!(kinds.iter().all(|k| k.losses == Default::default()));
    assert!(scenario.growers.iter().all(|g| g.returns.is_empty()));
    assert!(scenario.fields.iter().all(|f| !f.lifted));
}

/// Trays of so many that never come back: a whole one for a part of one.
fn lost(scenario: &Scenario, trays: i64) -> i64 {
    let millionths = trays * scenario.trays.loss.0;
    millionths / 1_000_000 + i64::from(millionths % 1_000_000 > 0)
}

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

fn leaves(delivery: &Delivery) -> Day {
    delivery.leaves.unwrap_or(delivery.day)
}

fn back(scenario: &Scenario, delivery: &Delivery) -> Day {
    delivery.day.plus(scenario.trays.return_days)
}

/// Lids and bases of a run, by the day on which their stack is opened.
fn lids(scenario: &Scenario, run: &Run) -> Vec<(Day, i64)> {
    let stacks = run.stacks.iter().map(|stack| {
        let mut places = scenario.germination.iter();
        let place = places.find(|place| place.id == stack.germination).unwrap();
        (
            stack.open,
            stack.stacks * (place.lid_trays + place.base_trays),
        )
    });
    stacks.collect()
}

/// Trial trays are in the first place of the run, which is the only one here, and are emptied when it is opened.
fn opened(run: &Run) -> Day {
    assert_eq!(run.stacks.len(), 1);
    run.stacks[0].open
}

/// Where all trays are on the evening of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Yard {
    clean: i64,
    drying: i64,
    dirty: i64,
    /// In stacks and beds, trial trays too.
    standing: i64,
    /// On and under stacks.
    lids: i64,
    out: i64,
    lost: i64,
}

/// By sums over the lists of the plan.
fn yard(plan: &Plan, day: Day) -> Yard {
    let scenario = &plan.scenario;
    let sum = |numbers: &mut dyn Iterator<Item = i64>| -> i64 { numbers.sum() };
    let sown = || plan.runs.iter().filter(move |run| run.sow <= day);
    let gone = || plan.deliveries.iter().filter(move |d| leaves(d) <= day);
    let home = || {
        plan.deliveries
            .iter()
            .filter(move |d| back(scenario, d) <= day)
    };
    let washed = |dried: i32| {
        let washed = plan.washing.iter();
        washed
            .filter(|w| w.day.plus(dried) <= day)
            .map(|w| w.trays)
            .sum::<i64>()
    };
    let (washed, dried) = (washed(0), washed(scenario.trays.dry_days.max(1)));
    let all_lids: i64 = sown()
        .flat_map(|run| lids(scenario, run))
        .map(|l| l.1)
        .sum();
    let closed: i64 = sown()
        .flat_map(|run| lids(scenario, run))
        .filter(|lid| day < lid.0)
        .map(|lid| lid.1)
        .sum();
    let in_runs = sum(&mut sown().map(|run| run.trays));
    let trials = sum(&mut sown().map(|run| run.trial_trays));
    let emptied = sum(&mut sown().filter(|r| opened(r) <= day).map(|r| r.trial_trays));
    let left = sum(&mut gone().map(|d| d.trays));
    let lost = sum(&mut home().map(|d| lost(scenario, d.trays)));
    let came = sum(&mut home().map(|d| d.trays)) - lost;
    Yard {
        clean: scenario.trays.stock - in_runs - trials - all_lids + (all_lids - closed) + dried,
        drying: washed - dried,
        dirty: came + emptied - washed,
        standing: in_runs - left + trials - emptied,
        lids: closed,
        out: left - came - lost,
        lost,
    }
}

/// Some trays of the same past: the last season in which they were sown, none if never.
type Pile = VecDeque<(i64, Option<usize>)>;

fn take(from: &mut Pile, mut trays: i64) -> Vec<(i64, Option<usize>)> {
    let mut taken = Vec::new();
    while trays > 0 {
        let (there, past) = from.pop_front().expect("as many trays as are taken");
        let now = there.min(trays);
        if there > now {
            from.push_front((there - now, past));
        }
        taken.push((now, past));
        trays -= now;
    }
    taken
}

fn in_all(pile: &Pile) -> i64 {
    pile.iter().map(|trays| trays.0).sum()
}

/// Trays sown, trial trays too, by season and by the season in which they were sown before.
type Uses = BTreeMap<(usize, Option<usize>), i64>;

fn field<'a>(scenario: &'a Scenario, id: &str) -> &'a Field {
    let mut fields = scenario.fields.iter();
    fields.find(|field| field.id == id).unwrap()
}

/// The season of a run, by its first field, from 0.
fn season(plan: &Plan, run: &str) -> usize {
    let mut of_run = plan.deliveries.iter().filter(|d| d.run == run);
    let id = &field(&plan.scenario, &of_run.next().unwrap().field).season;
    let mut seasons = plan.scenario.seasons.iter();
    seasons
        .position(|season| Some(&season.id) == id.as_ref())
        .unwrap()
}

/// Follows every tray through the plan, first in first out, and holds each evening against the sums.
fn follow(plan: &Plan) -> Uses {
    let scenario = &plan.scenario;
    assert_plain(scenario);
    let mut uses = Uses::new();
    let mut clean = Pile::from([(scenario.trays.stock, None)]);
    let (mut dirty, mut drying, mut on_stacks) = (Pile::new(), Pile::new(), Vec::new());
    for day in scenario.horizon.iter() {
        // The morning: what has dried, lids, trial trays, what came back.
        let dried = plan
            .washing
            .iter()
            .filter(|w| w.day.plus(scenario.trays.dry_days.max(1)) == day);
        for washed in dried {
            clean.extend(take(&mut drying, washed.trays));
        }
        on_stacks.retain(|(open, lids): &(Day, Vec<_>)| {
            if *open == day {
                clean.extend(lids.iter().copied());
            }
            *open != day
        });
        for run in plan.runs.iter().filter(|run| opened(run) == day) {
            dirty.push_back((run.trial_trays, Some(season(plan, &run.id))));
        }
        for delivery in plan.deliveries.iter().filter(|d| back(scenario, d) == day) {
            let whole = delivery.trays - lost(scenario, delivery.trays);
            dirty.push_back((whole, Some(season(plan, &delivery.run))));
        }
        // Sowing, then washing.
        for run in plan.runs.iter().filter(|run| run.sow == day) {
            let now = season(plan, &run.id);
            for (trays, past) in take(&mut clean, run.trays + run.trial_trays) {
                *uses.entry((now, past)).or_default() += trays;
            }
            for (open, trays) in lids(scenario, run) {
                on_stacks.push((open, take(&mut clean, trays)));
            }
        }
        for washed in plan.washing.iter().filter(|w| w.day == day) {
            drying.extend(take(&mut dirty, washed.trays));
        }
        let yard = yard(plan, day);
        assert_eq!(in_all(&clean), yard.clean, "{day} {yard:?}");
        assert_eq!(in_all(&dirty), yard.dirty, "{day} {yard:?}");
        assert_eq!(in_all(&drying), yard.drying, "{day} {yard:?}");
        let Yard {
            clean,
            drying,
            dirty,
            standing,
            lids,
            out,
            lost,
        } = yard;
        let all = [clean, drying, dirty, standing, lids, out, lost];
        assert!(all.iter().all(|trays| *trays >= 0), "{day} {yard:?}");
        assert_eq!(all.iter().sum::<i64>(), scenario.trays.stock, "{day}");
    }
    uses
}

/// Trays of the orders of each season, as they are to leave.
fn ordered(scenario: &Scenario) -> Vec<i64> {
    let fields = |season: &str| -> i64 {
        let own = scenario.fields.iter();
        let own = own.filter(|field| field.season.as_deref() == Some(season));
        own.map(|field| sowrota::scenario::trays::of_field(field).total)
            .sum()
    };
    let seasons = scenario.seasons.iter();
    seasons.map(|season| fields(&season.id)).collect()
}

/// Uses of a season: never sown before, and sown in each season before.
fn of_season(uses: &Uses, season: usize) -> (i64, BTreeMap<usize, i64>) {
    let of = uses.iter().filter(|(key, _)| key.0 == season);
    let never = uses.get(&(season, None)).copied().unwrap_or(0);
    let again = of.filter_map(|((_, past), trays)| Some(((*past)?, *trays)));
    (never, again.collect())
}

#[test]
fn the_late_crop_of_two_season_stands_in_trays_of_the_early_one() {
    let scenario = demo("two-season");
    let plan = planned(&scenario);
    assert_eq!(plan.shortfalls, []);
    let uses = follow(&plan);
    let (never, again) = of_season(&uses, 0);
    let trials = |season: usize| -> i64 {
        let runs = plan.runs.iter();
        let own = runs.filter(|run| self::season(&plan, &run.id) == season);
        own.map(|run| run.trial_trays).sum()
    };
    let orders = ordered(&scenario);
    assert_eq!(orders, [13_482, 13_940]);
    // The early crop is sown before any tray is back: nothing of it is sown twice, but lids and trial trays stay those of the season.
    assert_eq!(never + again.values().sum::<i64>(), orders[0] + trials(0));
    let (new, again) = of_season(&uses, 1);
    let all = new + again.values().sum::<i64>();
    assert_eq!(all, orders[1] + trials(1));
    // Of 15 600 those that the early crop took are not new. What it left comes first, but for some that lie on and under stacks, and is not
    // enough: all else are trays of the early crop, but for a few trial trays of the late crop itself.
    let left = scenario.trays.stock - never;
    assert!(left < orders[1], "{left}");
    let late = plan.runs.iter().filter(|run| season(&plan, &run.id) == 1);
    let on_stacks: i64 = late.flat_map(|run| lids(&scenario, run)).map(|l| l.1).sum();
    assert!((left - on_stacks..=left).contains(&new), "{new} of {left}");
    let own = again.get(&1).copied().unwrap_or(0);
    assert_eq!(again[&0], all - new - own);
    assert!(own <= trials(1) && again[&0] > 11_000, "{uses:?}");
}

#[test]
fn trays_of_three_years_are_sown_every_season_again() {
    let scenario = demo("three-years");
    let plan = planned(&scenario);
    assert_eq!(plan.shortfalls, []);
    let uses = follow(&plan);
    let orders = ordered(&scenario);
    assert_eq!(orders, [13_482, 13_940, 12_192, 12_506, 13_419]);
    for season in 1..orders.len() {
        let (new, again) = of_season(&uses, season);
        let all = new + again.values().sum::<i64>();
        assert!(all >= orders[season], "{season}: {all}");
        // What was never sown is used up by and by; most of a season was sown in the season before.
        let before = again[&(season - 1)];
        assert!(before > all / 2, "{season}: {uses:?}");
    }
    // Never more new trays than there are.
    let new: i64 = (0..orders.len()).map(|at| of_season(&uses, at).0).sum();
    assert!(new <= scenario.trays.stock);
    assert!(orders.iter().sum::<i64>() > 4 * scenario.trays.stock - 1_000);
}

/// A nursery of one run a season, all by hand: 100 trays planted on 3 May, ten of them never come back, 90 are back on 13 May, and 50 are
/// washed a day, clean on the next. Then two parts of 60 trays, sown `fortnight` before their only day.
fn by_hand(stock: i64, second: &str) -> Scenario {
    let nursery = serde_json::json!({
        "format": "sowrota-scenario/1",
        "name": "Two Oaks nursery",
        "horizon": "2027-03-29/2027-06-12",
        "calendars": {
            "line": { "rest_days": [] }, "beds": { "rest_days": [] }, "planting": { "rest_days": [] }
        },
        "seasons": [
            { "id": "one", "name": "First", "span": "2027-05-01/2027-05-09" },
            { "id": "two", "name": "Second", "span": "2027-05-24/2027-06-06" }
        ],
        "kinds": [{
            "id": "oak", "stack": { "clock": "days", "need": 3 }, "greening_days": 2,
            "age": { "clock": "days", "youngest": 14, "target": 14, "oldest": 14 }
        }],
        "fields": [
            { "id": "a", "area_ha": 0.5, "trays": 100, "kind": "oak", "season": "one", "window": "2027-05-03" },
            { "id": "b", "area_ha": 0.6, "trays": 120, "kind": "oak", "season": "two", "window": second, "parts": 2 }
        ],
        "lines": [{ "id": "line", "trial_trays": 0 }],
        "germination": [{ "id": "room", "stack_places": 30, "lid_trays": 0, "base_trays": 0 }],
        "beds": [{ "id": "house", "area_m2": 500 }],
        "trays": {
            "stock": stock, "return_days": 10, "loss": 0.1, "wash_trays_per_h": 50, "wash_hours_per_day": 1,
            "dry_days": 1
        },
        "crews": [{ "id": "all", "people": 9, "rest_day_people": 9 }]
    });
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("nursery.json");
    std::fs::write(&file, nursery.to_string()).unwrap();
    let read = sowrota::scenario::read(&file).unwrap();
    read.scenario
        .unwrap_or_else(|| panic!("{:#?}", read.problems))
}

/// What is short: field, trays, and how many more clean trays from when on.
fn short(plan: &Plan) -> Vec<(&str, i64, i64, Day)> {
    let shortfalls = plan.shortfalls.iter();
    shortfalls
        .map(|short| {
            assert!(short.reason.contains("clean trays"), "{}", short.reason);
            let help = short.help.as_deref().unwrap();
            let (before, after) = help.split_once(" more clean tray").expect(help);
            let more = before.rsplit(' ').next().unwrap().parse().unwrap();
            let day = after.split_once("from ").unwrap().1;
            let day = self::day(day.strip_suffix(" on").unwrap());
            (short.field.as_str(), short.trays, more, day)
        })
        .collect()
}

#[test]
fn one_run_a_season_by_hand() {
    let (first, friday, saturday) = (day("2027-04-19"), day("2027-05-14"), day("2027-05-15"));
    // Sown on 15 May all 90 are clean again: stock − 100 + 90 for 120 trays.
    let in_time = |stock| planned(&by_hand(stock, "2027-05-29"));
    // Sown on 14 May only the 50 of the first day of washing are: stock − 100 + 50.
    let in_haste = |stock| planned(&by_hand(stock, "2027-05-28"));
    for (plan, expected) in [
        (in_time(130), vec![]),
        (in_time(129), vec![("b", 60, 1, saturday)]),
        (in_time(100), vec![("b", 60, 30, saturday)]),
        // The first season has not enough either, so 99 are clean for the second.
        (
            in_time(99),
            vec![("a", 100, 1, first), ("b", 60, 21, saturday)],
        ),
        (in_haste(170), vec![]),
        (in_haste(169), vec![("b", 60, 1, friday)]),
        (in_haste(130), vec![("b", 60, 40, friday)]),
        // 59 are clean: neither part.
        (
            in_haste(109),
            vec![("b", 60, 1, friday), ("b", 60, 1, friday)],
        ),
    ] {
        let stock = plan.scenario.trays.stock;
        assert_eq!(short(&plan), expected, "{stock}");
        let uses = follow(&plan);
        if let [("b", 60, more, _)] = expected[..] {
            let (new, again) = of_season(&uses, 1);
            let again = again.get(&0).copied().unwrap_or(0);
            let never = (stock - 100).min(60);
            assert_eq!((new, again), (never, 60 - never), "{stock}");
            // So many more make it whole.
            let window = plan.scenario.fields[1].window[0].first.to_string();
            assert_eq!(planned(&by_hand(stock + more, &window)).shortfalls, []);
        }
    }
    // Friday's run takes the 30 that were never sown and 30 of the 50.
    let plan = in_haste(170);
    assert_eq!(
        follow(&plan),
        Uses::from([((0, None), 100), ((1, None), 70), ((1, Some(0)), 50)])
    );
    let help = in_time(129).shortfalls[0].help.clone().unwrap();
    let told =
        "sown 2027-05-15 and planted 2027-05-29 it needs 1 more clean tray from 2027-05-15 on";
    assert!(help.ends_with(told), "{help}");
}

/// The demo with fewer trays: its plan, and trays short.
fn with_stock(scenario: &Scenario, stock: i64) -> Plan {
    let mut fewer = scenario.clone();
    fewer.trays.stock = stock;
    planned(&fewer)
}

/// The least sum of some of these numbers that is no less than `least`.
fn least_sum(numbers: &[i64], least: i64) -> i64 {
    let mut sums = BTreeSet::from([0]);
    for number in numbers {
        let more: Vec<i64> = sums.iter().map(|sum| sum + number).collect();
        sums.extend(more);
    }
    sums.range(least..).next().copied().unwrap()
}

// No tray of the late crop is back before the last of it is sown, and all of the early crop are back before the first is: the late crop
// needs all of its 13 940 at once, of what the early crop has left of the stock, a stock less one tray in forty of each part. The early crop needs its
// 13 482 at once of the whole stock. So with 13 940 + those lost − m, and m so small that more than 13 482 are owned, the early crop can be grown, and
// m trays of the late crop cannot. Parts are whole, so that no less than the least sum of parts from m on is short; and if trial trays, lids
// and bases that are not clean on the last day of sowing are as many as in the plan with all trays, no more than the least sum from m and those on.
#[test]
fn with_fewer_trays_the_late_crop_of_two_season_is_short() {
    let scenario = demo("two-season");
    let whole = planned(&scenario);
    let is_late = |id: &str| field(&scenario, id).season.as_deref() == Some("late");
    let (late, early): (Vec<&Delivery>, Vec<&Delivery>) =
        whole.deliveries.iter().partition(|d| is_late(&d.field));
    let all_lost: i64 = early.iter().map(|d| lost(&scenario, d.trays)).sum();
    let late_runs = || whole.runs.iter().filter(|run| season(&whole, &run.id) == 1);
    let first_sown = late_runs().map(|run| run.sow).min().unwrap();
    let last_sown = late_runs().map(|run| run.sow).max().unwrap();
    assert!(early.iter().all(|d| back(&scenario, d) < first_sown));
    assert!(late.iter().all(|d| back(&scenario, d) > last_sown));
    let evening = yard(&whole, last_sown);
    // In use for something else on that evening: all but clean trays and those of the crop.
    let besides = scenario.trays.stock - all_lost - 13_940 - evening.clean;
    assert!((1..300).contains(&besides), "{besides}");
    let parts: Vec<i64> = late.iter().map(|d| d.trays).collect();
    assert_eq!(parts.iter().sum::<i64>(), 13_940);
    for m in [100, 250, 400] {
        let stock = 13_940 + all_lost - m;
        assert!(stock > 13_482 + besides, "{stock}");
        let plan = with_stock(&scenario, stock);
        let lacks = short(&plan);
        assert!(lacks.iter().all(|lack| is_late(lack.0)), "{lacks:?}");
        let all_short = plan.cost.trays_short;
        let expected = least_sum(&parts, m)..=least_sum(&parts, m + besides);
        assert!(expected.contains(&all_short), "{all_short} {expected:?}");
        for (_, trays, more, day) in &lacks {
            assert!((first_sown..=last_sown.plus(7)).contains(day), "{lacks:?}");
            assert!(*more > 0 && *more <= trays + besides, "{lacks:?}");
        }
        follow(&plan);
        // With one part short its own number makes it whole, and that is no less than m.
        if let [(_, _, more, _)] = lacks[..] {
            assert!(more >= m, "{lacks:?}");
            assert_eq!(with_stock(&scenario, stock + more).shortfalls, []);
        } else {
            assert!(m > 100, "{lacks:?}");
        }
    }
    // Fewer than the early crop takes at once: it is short as well.
    let plan = with_stock(&scenario, 13_482 - 100);
    let early_short: i64 = (short(&plan).iter())
        .filter(|lack| !is_late(lack.0))
        .map(|lack| lack.1)
        .sum();
    assert!(early_short >= 100, "{early_short}");
}

// By the same count the year that lacks first of the three is the last: 13 419 trays of what four seasons have left, one in forty lost in each.
#[test]
fn with_fewer_trays_the_last_crop_of_three_years_is_short() {
    let scenario = demo("three-years");
    let whole = planned(&scenario);
    let orders = ordered(&scenario);
    let lost_in = |at: usize| -> i64 {
        let own = whole
            .deliveries
            .iter()
            .filter(|d| season(&whole, &d.run) == at);
        own.map(|d| lost(&scenario, d.trays)).sum()
    };
    let needs: Vec<i64> = (0..orders.len())
        .map(|at| orders[at] + (0..at).map(lost_in).sum::<i64>())
        .collect();
    let most = *needs.iter().max().unwrap();
    assert_eq!(most, needs[4]);
    assert!(needs[..4].iter().all(|one| *one < most - 400), "{needs:?}");
    let plan = with_stock(&scenario, most - 150);
    let lacks = short(&plan);
    let last = |id: &str| field(&scenario, id).season.as_deref() == Some("early-2029");
    assert!(lacks.iter().all(|lack| last(lack.0)), "{lacks:?}");
    let last_sown = whole.runs.iter().map(|run| run.sow).max().unwrap();
    let evening = yard(&whole, last_sown);
    let besides = scenario.trays.stock - evening.lost - orders[4] - evening.clean;
    assert_eq!(evening.lost, needs[4] - orders[4]);
    let own = whole
        .deliveries
        .iter()
        .filter(|d| season(&whole, &d.run) == 4);
    let parts: Vec<i64> = own.map(|d| d.trays).collect();
    let expected = least_sum(&parts, 150)..=least_sum(&parts, 150 + besides);
    let all_short = plan.cost.trays_short;
    assert!(expected.contains(&all_short), "{all_short} {expected:?}");
    follow(&plan);
}
