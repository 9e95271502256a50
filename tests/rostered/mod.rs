//! Plans with a staff, for tests of rosters: the cooperative's, and demands made by hand.
#![allow(dead_code)]

use sowrota::calendar::{Day, DayRange};
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::roster::{Demand, Slot};
use sowrota::scenario::{Person, Scenario};
use sowrota::solve::{self, Budget, Start, Unwatched};
use std::path::Path;

/// The cooperative as it is written.
pub fn cooperative() -> Scenario {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/cooperative");
    sowrota::scenario::read(&folder).unwrap().scenario.unwrap()
}

/// A plan with few moves.
pub fn plan(scenario: &Scenario, moves: u64) -> Plan {
    let nursery = Nursery::new(scenario);
    let budget = Budget {
        moves,
        relaxations: 0,
        seed: 1,
    };
    solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan
}

pub fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// Somebody who can do the work of these crews.
pub fn person(id: &str, crews: &[&str]) -> Person {
    Person {
        id: id.into(),
        name: id.to_uppercase(),
        crews: crews.iter().map(|crew| (*crew).to_owned()).collect(),
        away: vec![],
        days_a_week_most: None,
        licensed: false,
        watches: false,
        fixed_days_off: false,
    }
}

/// One place on the shift of a crew, from 8 to 16 o'clock.
pub fn slot(day: Day, crew: &str) -> Slot {
    Slot {
        day,
        crew: Some(crew.into()),
        start_minute: 480,
        end_minute: 960,
        stays: false,
        places: 1,
    }
}

/// One person on watch from 20 o'clock for ten hours.
pub fn watch(day: Day) -> Slot {
    Slot {
        crew: None,
        start_minute: 1_200,
        end_minute: 1_800,
        ..slot(day, "")
    }
}

/// A demand of these slots, which are sorted by day.
pub fn demand(first: &str, days: i32, mut slots: Vec<Slot>) -> Demand {
    slots.sort_by_key(|slot| slot.day);
    let first = day(first);
    let last = first.plus(days - 1);
    Demand {
        days: DayRange { first, last },
        slots,
        licences: vec![],
        hired: vec![],
    }
}
