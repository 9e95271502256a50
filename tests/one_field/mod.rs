//! A plain nursery in which every date can be counted on the fingers: two kinds that come up in two days and are twelve days old when they are
//! planted on 1 May, fields of 100 trays, a line that takes ten seconds a tray, and enough of everything.

use sowrota::audit::audit;
use sowrota::calendar::{Day, DayRange};
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::scenario::*;
use sowrota::solve::{self, Budget, Start, Unwatched};
use sowrota::units::Fixed;

const NURSERY: &str = include_str!("nursery.json");

pub fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

pub fn order(first: &str, last: &str) -> DayRange {
    DayRange {
        first: day(first),
        last: day(last),
    }
}

/// With fields `F1` to `F<count>` of growers `G1` to `G<count>`.
pub fn nursery(count: usize) -> Scenario {
    let no_tables = |_: &str| Err("no tables here".to_string());
    let checked = read_bytes("nursery.json", NURSERY.as_bytes(), &no_tables);
    assert!(!checked.problems.any_error(), "{:#?}", checked.problems);
    let mut scenario = checked.scenario.unwrap();
    let first = scenario.fields.remove(0);
    scenario.fields = (1..=count).map(|at| field(&first, at)).collect();
    scenario
}

/// The field `F<at>`, like `first`.
pub fn field(first: &Field, at: usize) -> Field {
    Field {
        id: format!("F{at}"),
        grower: format!("G{at}"),
        ..first.clone()
    }
}

/// Spare trays of kind `a`.
pub fn spare(trays: i64) -> Field {
    let first = nursery(1).fields.remove(0);
    Field {
        id: "spare-a-2027-W17".into(),
        grower: "spare".into(),
        area_ha: Fixed(0),
        mats: MatsPerHectare::Given(Fixed(0)),
        trays: Some(trays),
        spare: true,
        collected: true,
        lifted: true,
        ..first
    }
}

/// Sowing of a part on that day.
pub fn pin(scenario: &mut Scenario, field: &str, part: u32, sow: &str) {
    scenario.pins.push(Pin {
        field: field.into(),
        part,
        sow: Some(day(sow)),
        plant: None,
    });
}

pub fn vehicle(trips_per_day: i64, trays_per_trip: i64) -> Vehicle {
    Vehicle {
        id: "van".into(),
        name: "van".into(),
        trips_per_day,
        trays_per_trip,
        kg_per_trip: Fixed::whole(10_000),
        hours_per_day: Fixed::whole(10),
    }
}

pub fn group(id: &str, minutes: i64) -> TravelGroup {
    TravelGroup {
        id: id.into(),
        name: id.into(),
        round_trip_minutes: Fixed::whole(minutes),
    }
}

/// The plan, in which the second count finds nothing.
pub fn plan(scenario: &Scenario) -> Plan {
    let nursery = Nursery::new(scenario);
    let budget = Budget {
        moves: 5_000,
        relaxations: 1,
        seed: 1,
    };
    let plan = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan;
    let found = audit(&plan, scenario);
    assert!(found.breaches.is_empty(), "{:#?}", found.breaches);
    assert_eq!(found.cost, plan.cost);
    plan
}

/// Trays that leave.
pub fn grown(plan: &Plan) -> i64 {
    plan.deliveries.iter().map(|one| one.trays).sum()
}
