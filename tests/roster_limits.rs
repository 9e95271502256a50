//! Promise: a roster keeps every limit of duties, and a tiny one is the best that there is.

mod common;
mod rostered;

use common::dice::Dice;
use rostered::{day, demand, person, slot, watch};
use sowrota::calendar::{Day, DayRange};
use sowrota::plan::roster::Missing;
use sowrota::roster::{Budget, Demand, Filled, Licence, Slot, fill};
use sowrota::scenario::{Duty, Person};
use sowrota::units::Hours;

/// 2027-05-03 is a Monday.
const MONDAY: &str = "2027-05-03";

/// No limit that binds.
fn loose() -> Duty {
    Duty {
        days_in_a_row_most: 31,
        rest_hours_least: Hours::whole(0),
        days_a_week_most: 7,
        free_days_together: 0,
        ..Duty::default()
    }
}

fn run(demand: &Demand, staff: &[Person], duty: &Duty) -> Filled {
    let budget = Budget {
        moves: 3_000,
        seed: 1,
    };
    fill(demand, staff, duty, &budget)
}

/// One person for one place on each of these days from a Monday.
fn alone(days: &[i32], duty: &Duty, alter: impl Fn(&mut Person)) -> i64 {
    let slots = days.iter().map(|at| slot(day(MONDAY).plus(*at), "a"));
    let mut one = person("one", &["a"]);
    alter(&mut one);
    run(&demand(MONDAY, 21, slots.collect()), &[one], duty).missing
}

fn as_it_is(_: &mut Person) {}

#[test]
fn days_in_a_row() {
    let duty = Duty {
        days_in_a_row_most: 4,
        ..loose()
    };
    // Saturday to Tuesday: over the turn of the week.
    assert_eq!(alone(&[5, 6, 7], &duty, as_it_is), 0);
    assert_eq!(alone(&[5, 6, 7, 8], &duty, as_it_is), 0);
    assert_eq!(alone(&[5, 6, 7, 8, 9], &duty, as_it_is), 1);
    assert_eq!(alone(&[0, 1, 2, 3, 5, 6, 7, 8], &duty, as_it_is), 0);
}

#[test]
fn days_of_a_week() {
    let duty = Duty {
        days_a_week_most: 3,
        ..loose()
    };
    assert_eq!(alone(&[0, 2], &duty, as_it_is), 0);
    assert_eq!(alone(&[0, 2, 4], &duty, as_it_is), 0);
    assert_eq!(alone(&[0, 2, 4, 6], &duty, as_it_is), 1);
    // The week ends on Sunday.
    assert_eq!(alone(&[4, 5, 6, 7, 8, 9], &duty, as_it_is), 0);
    let own = |most| move |one: &mut Person| one.days_a_week_most = Some(most);
    assert_eq!(alone(&[0, 2, 4, 6], &duty, own(4)), 0);
    assert_eq!(alone(&[0, 2, 4], &duty, own(2)), 1);
}

#[test]
fn free_days_together() {
    let together = |free_days_together| Duty {
        free_days_together,
        ..loose()
    };
    let every_other = [0, 2, 4, 6];
    assert_eq!(alone(&every_other, &together(1), as_it_is), 0);
    assert_eq!(alone(&every_other, &together(2), as_it_is), 1);
    assert_eq!(alone(&[0, 1, 2, 3, 4], &together(2), as_it_is), 0);
    assert_eq!(alone(&[0, 1, 2, 3, 4], &together(3), as_it_is), 1);
    // Sunday and Monday lie in two weeks.
    assert_eq!(alone(&[1, 2, 3, 4, 5], &together(2), as_it_is), 1);
}

#[test]
fn fixed_days_off() {
    let duty = Duty {
        days_a_week_most: 5,
        free_days_together: 2,
        ..loose()
    };
    let fixed = |one: &mut Person| one.fixed_days_off = true;
    // Sunday and Monday are next to each other here.
    assert_eq!(alone(&[1, 2, 3, 4, 5], &duty, fixed), 0);
    assert_eq!(
        alone(&[0, 1, 2, 3, 4, 8, 9, 10, 11, 12], &duty, as_it_is),
        1
    );
    assert_eq!(alone(&[0, 1, 2, 3, 4, 8, 9, 10, 11], &duty, fixed), 0);
    // Every day once in two weeks: two of them stay unfilled.
    assert_eq!(alone(&[0, 1, 2, 3, 11, 12, 13], &duty, fixed), 2);
    assert_eq!(alone(&[0, 1, 2, 3, 11, 12, 13], &duty, as_it_is), 0);
}

#[test]
fn rest_between_duties() {
    let duty = Duty {
        rest_hours_least: Hours::whole(11),
        ..loose()
    };
    let monday = day(MONDAY);
    let ends = |minute| {
        let late = Slot {
            end_minute: minute,
            ..slot(monday, "a")
        };
        let early = Slot {
            start_minute: 420,
            ..slot(monday.plus(1), "a")
        };
        let demand = demand(MONDAY, 7, vec![late, early]);
        run(&demand, &[person("one", &["a"])], &duty).missing
    };
    // From 19:59, 20:00 and 20:01 to 7:00.
    assert_eq!([1_199, 1_200, 1_201].map(ends), [0, 0, 1]);
    let after_watch = |days| {
        let demand = demand(MONDAY, 7, vec![watch(monday), slot(monday.plus(days), "a")]);
        let mut one = person("one", &["a"]);
        one.watches = true;
        run(&demand, &[one], &duty).missing
    };
    // A watch until 6:00 on Tuesday, a shift from 8:00.
    assert_eq!([1, 2].map(after_watch), [1, 0]);
}

#[test]
fn only_what_they_can_do_once_a_day_and_not_while_away() {
    let monday = day(MONDAY);
    let both = demand(MONDAY, 7, vec![slot(monday, "a"), slot(monday, "b")]);
    let missing = |staff: &[Person]| run(&both, staff, &loose()).missing;
    assert_eq!(missing(&[person("one", &["a", "b"])]), 1);
    assert_eq!(
        missing(&[person("one", &["a", "b"]), person("two", &["a"])]),
        0
    );
    assert_eq!(missing(&[person("one", &["a"]), person("two", &["a"])]), 1);
    let away = |first: i32, last: i32| {
        move |one: &mut Person| {
            let (first, last) = (day(MONDAY).plus(first), day(MONDAY).plus(last));
            one.away = vec![DayRange { first, last }];
        }
    };
    assert_eq!(alone(&[2], &loose(), away(0, 1)), 0);
    assert_eq!(alone(&[2], &loose(), away(0, 2)), 1);
    assert_eq!(alone(&[2], &loose(), away(2, 4)), 1);
    assert_eq!(alone(&[2], &loose(), away(3, 4)), 0);
    let night = demand(MONDAY, 7, vec![watch(monday)]);
    assert_eq!(run(&night, &[person("one", &["a"])], &loose()).missing, 1);
}

#[test]
fn what_is_unfilled_is_said_with_its_reason() {
    let monday = day(MONDAY);
    let duty = Duty {
        days_in_a_row_most: 1,
        ..loose()
    };
    let slots = vec![
        slot(monday, "a"),
        slot(monday.plus(1), "a"),
        slot(monday.plus(2), "b"),
    ];
    let mut gone = person("gone", &["a"]);
    gone.away = vec![DayRange {
        first: monday,
        last: monday.plus(1),
    }];
    let filled = run(
        &demand(MONDAY, 7, slots),
        &[person("here", &["a"]), gone],
        &duty,
    );
    let said: Vec<(&str, &str)> = filled
        .unfilled
        .iter()
        .map(|one| (one.reason.as_str(), one.help.as_deref().unwrap_or("")))
        .collect();
    assert_eq!(said.len(), 2, "{said:?}");
    assert_eq!(
        said[0].0,
        "GONE is away; HERE would work more than 1 days in a row"
    );
    assert!(
        said[0]
            .1
            .contains("whether somebody can be there after all")
    );
    assert_eq!(
        said[1].0,
        "nobody else on the staff can be asked for the work of `b`"
    );
    assert!(said[1].1.contains("write `b` in their `crews`"));
}

/// The licence is worth as much as a place, and more than fairness.
#[test]
fn somebody_with_the_licence_is_there_when_treated_seed_is_soaked() {
    let saturday = day(MONDAY).plus(5);
    let mut demand = demand(
        MONDAY,
        21,
        (0..3)
            .map(|week| slot(saturday.plus(7 * week), "a"))
            .collect(),
    );
    demand.licences = (0..3)
        .map(|week| Licence {
            day: saturday.plus(7 * week),
            crew: "a".into(),
        })
        .collect();
    let mut licensed = person("lic", &["a"]);
    licensed.licensed = true;
    let filled = run(&demand, &[person("one", &["a"]), licensed], &loose());
    assert_eq!(filled.missing, 0);
    assert!(filled.duties.iter().all(|duty| duty.person == "lic"));
    let without = run(&demand, &[person("one", &["a"])], &loose());
    assert_eq!(without.missing, 3);
    assert!(
        without
            .unfilled
            .iter()
            .all(|one| one.missing == Missing::Licence)
    );
}

#[test]
fn weekends_are_shared_by_those_who_can_be_asked() {
    let slots = (0..28).map(|at| slot(day(MONDAY).plus(at), "a"));
    let demand = demand(MONDAY, 28, slots.collect());
    let staff: Vec<Person> = ["x", "y"].map(|id| person(id, &["a"])).into();
    let weekends = |staff: &[Person]| {
        let filled = run(&demand, staff, &Duty::default());
        assert_eq!(filled.missing, 0);
        filled
            .people
            .iter()
            .map(|one| one.weekend_days)
            .collect::<Vec<_>>()
    };
    assert_eq!(weekends(&staff), [4, 4]);
    // Who is away at every second weekend is judged by the others.
    let mut staff = staff;
    staff[1].away = [5, 19]
        .map(|at| DayRange {
            first: day(MONDAY).plus(at),
            last: day(MONDAY).plus(at + 1),
        })
        .into();
    let shared = weekends(&staff);
    assert!(shared[0] > shared[1] && shared[1] >= 2, "{shared:?}");
}

/// Whether one person may have these slots, one for each day; in words of its own.
fn holds(demand: &Demand, person: &Person, duty: &Duty, had: &[Option<usize>]) -> bool {
    let at: Vec<&Slot> = had
        .iter()
        .flatten()
        .map(|slot| &demand.slots[*slot])
        .collect();
    let can = |slot: &&Slot| {
        let skilled = match &slot.crew {
            Some(crew) => person.crews.contains(crew),
            None => person.watches,
        };
        skilled && !person.away.iter().any(|span| span.contains(slot.day))
    };
    let rested = |pair: &[&Slot]| {
        let days = i64::from(pair[1].day.since(pair[0].day));
        days * 1_440 + pair[1].start_minute - pair[0].end_minute >= duty.rest_hours_least.0 * 6 / 10
    };
    let works = |day: Day| at.iter().any(|slot| slot.day == day);
    let row = |day: Day| (0..=duty.days_in_a_row_most as i32).all(|more| works(day.plus(more)));
    let most = person.days_a_week_most.unwrap_or(duty.days_a_week_most) as usize;
    let free_run = |worked: [bool; 7], around: bool| {
        let (mut best, mut now) = (0, 0);
        for at in 0..if around { 14 } else { 7 } {
            now = if worked[at % 7] { 0 } else { now + 1 };
            best = best.max(now);
        }
        best >= duty.free_days_together
    };
    let weeks = |day: Day| {
        let monday = day.plus(-(day.weekday() as i32));
        std::array::from_fn::<bool, 7, _>(|at| works(monday.plus(at as i32)))
    };
    let count = |worked: [bool; 7]| worked.iter().filter(|works| **works).count();
    let mut general = [false; 7];
    at.iter()
        .for_each(|slot| general[slot.day.weekday() as usize] = true);
    at.iter().all(can)
        && at.windows(2).all(rested)
        && demand.days.iter().all(|day| !row(day))
        && demand.days.iter().all(|day| {
            count(weeks(day)) <= most && (person.fixed_days_off || free_run(weeks(day), false))
        })
        && (!person.fixed_days_off || count(general) <= most && free_run(general, true))
}

/// Slots of one person by day, their unfairness, their changes of crew.
type Way = (Vec<Option<usize>>, i64, i64);

/// Missing, unfairness, changes of the best of all rosters.
fn best(demand: &Demand, staff: &[Person], duty: &Duty) -> (i64, i64, i64) {
    let days: Vec<Day> = demand.days.iter().collect();
    let slots_on = |day: Day| {
        let slots = demand.slots.iter().enumerate();
        slots
            .filter(move |(_, slot)| slot.day == day)
            .map(|(at, _)| at)
    };
    let late =
        |slot: &Slot| slot.crew.is_none() || slot.stays || slot.end_minute >= duty.late_from_minute;
    let weekend = |day: Day| day.weekday() as usize >= 5;
    let mut ways: Vec<Vec<Way>> = Vec::new();
    for person in staff {
        let able = |slot: usize| {
            let mut only = vec![None; days.len()];
            only[demand.slots[slot].day.since(demand.days.first) as usize] = Some(slot);
            let free = Duty {
                days_in_a_row_most: 99,
                days_a_week_most: 7,
                free_days_together: 0,
                ..*duty
            };
            let any = Person {
                days_a_week_most: None,
                ..person.clone()
            };
            holds(demand, &any, &free, &only)
        };
        let asked_weekend = days
            .iter()
            .filter(|day| weekend(**day) && slots_on(**day).any(able));
        let asked_weekend = asked_weekend.count().max(1) as i64;
        let asked_late = days
            .iter()
            .filter(|day| slots_on(**day).any(|slot| late(&demand.slots[slot]) && able(slot)));
        let asked_late = asked_late.count().max(1) as i64;
        let mut all: Vec<Vec<Option<usize>>> = vec![vec![]];
        for day in &days {
            let choices: Vec<Option<usize>> = std::iter::once(None)
                .chain(slots_on(*day).map(Some))
                .collect();
            all = all
                .into_iter()
                .flat_map(|had| choices.iter().map(move |one| [&had[..], &[*one]].concat()))
                .collect();
        }
        all.retain(|had| holds(demand, person, duty, had));
        let weighed = all.into_iter().map(|had| {
            let own: Vec<&Slot> = had
                .iter()
                .flatten()
                .map(|slot| &demand.slots[*slot])
                .collect();
            let weekends = own.iter().filter(|slot| weekend(slot.day)).count() as i64;
            let lates = own.iter().filter(|slot| late(slot)).count() as i64;
            let unfair = weekends * weekends * 1_000_000 / asked_weekend
                + lates * lates * 1_000_000 / asked_late;
            let changes = own.windows(2).filter(|pair| pair[0].crew != pair[1].crew);
            let changes = changes.count() as i64;
            (had, unfair, changes)
        });
        ways.push(weighed.collect());
    }
    let mut least = (i64::MAX, 0, 0);
    let mut chosen: Vec<usize> = Vec::new();
    search(demand, staff, &ways, &mut chosen, &mut least);
    least
}

fn search(
    demand: &Demand,
    staff: &[Person],
    ways: &[Vec<Way>],
    chosen: &mut Vec<usize>,
    least: &mut (i64, i64, i64),
) {
    if let Some(person) = ways.get(chosen.len()) {
        for way in 0..person.len() {
            chosen.push(way);
            search(demand, staff, ways, chosen, least);
            chosen.pop();
        }
        return;
    }
    let mut open: Vec<i64> = demand.slots.iter().map(|slot| slot.places).collect();
    let (mut unfair, mut changes) = (0, 0);
    for (person, way) in chosen.iter().enumerate() {
        let (had, more, turns) = &ways[person][*way];
        had.iter().flatten().for_each(|slot| open[*slot] -= 1);
        (unfair, changes) = (unfair + more, changes + turns);
    }
    if open.iter().any(|open| *open < 0) {
        return;
    }
    let lacks = |licence: &&Licence| {
        let at = licence.day.since(demand.days.first) as usize;
        !chosen.iter().enumerate().any(|(person, way)| {
            let slot = ways[person][*way].0[at].map(|slot| &demand.slots[slot]);
            staff[person].licensed
                && slot.is_some_and(|slot| slot.crew.as_ref() == Some(&licence.crew))
        })
    };
    let lacking = demand.licences.iter().filter(lacks).count() as i64;
    *least = (*least).min((open.iter().sum::<i64>() + lacking, unfair, changes));
}

fn tiny(dice: &mut Dice) -> (Demand, Vec<Person>, Duty) {
    let days = dice.days(3, 5);
    let first = day(MONDAY).plus(dice.days(2, 6));
    let mut slots = Vec::new();
    let mut licences = Vec::new();
    for at in 0..days {
        let day = first.plus(at);
        if dice.chance(80) {
            slots.push(Slot {
                places: dice.between(1, 2),
                end_minute: if dice.chance(30) { 1_140 } else { 960 },
                ..slot(day, "a")
            });
            if dice.chance(20) {
                let crew = "a".into();
                licences.push(Licence { day, crew });
            }
        }
        match dice.between(0, 3) {
            0 => slots.push(slot(day, "b")),
            1 => slots.push(watch(day)),
            _ => {}
        }
    }
    let people = if days > 4 { 2 } else { 3 };
    let staff = (0..people).map(|at| {
        let crews = dice.pick(&["a", "b", "a b", "a b"]);
        let crews: Vec<&str> = crews.split(' ').collect();
        let mut one = person(&format!("p{at}"), &crews);
        one.watches = dice.chance(50);
        one.licensed = dice.chance(40);
        one.fixed_days_off = dice.chance(25);
        if dice.chance(30) {
            let first = first.plus(dice.days(0, days - 1));
            one.away = vec![DayRange { first, last: first }];
        }
        if dice.chance(20) {
            one.days_a_week_most = Some(dice.between(1, 3));
        }
        one
    });
    let staff = staff.collect();
    let duty = Duty {
        days_in_a_row_most: dice.between(1, 4),
        rest_hours_least: Hours::whole(dice.between(8, 16)),
        days_a_week_most: dice.between(2, 6),
        free_days_together: dice.between(0, 3),
        ..Duty::default()
    };
    let last = first.plus(days - 1);
    let demand = Demand {
        days: DayRange { first, last },
        slots,
        licences,
        hired: vec![],
    };
    (demand, staff, duty)
}

/// All rosters of two or three people are tried: none leaves fewer places unfilled, is fairer at that, or changes crews less often at that.
#[test]
fn no_tiny_roster_is_better() {
    let (mut short, mut unlicensed, mut unfair) = (0, 0, 0);
    for seed in 0..150 {
        let (demand, staff, duty) = tiny(&mut Dice::new(seed));
        let filled = run(&demand, &staff, &duty);
        let found = (filled.missing, filled.unfairness, filled.changes);
        assert_eq!(found, best(&demand, &staff, &duty), "seed {seed}");
        let lacks = |what| filled.unfilled.iter().any(|one| one.missing == what);
        short += usize::from(lacks(Missing::Person));
        unlicensed += usize::from(lacks(Missing::Licence));
        unfair += usize::from(found.1 > 0);
    }
    assert!(
        short > 30 && unlicensed > 5 && unfair > 50,
        "{short} {unlicensed} {unfair}"
    );
}

#[test]
fn the_same_seed_gives_the_same_roster() {
    let (demand, staff, duty) = tiny(&mut Dice::new(7));
    assert_eq!(run(&demand, &staff, &duty), run(&demand, &staff, &duty));
}
