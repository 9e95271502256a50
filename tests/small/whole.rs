//! The small nursery with losses, seed and sprouted trays handed over, waiting at the field's edge, rows of beds, throw-out,
//! an agent, spans of days, travel groups and sharing, each of them just enough for the plan of `whole.csv`. The
//! figures are worked out in `whole_nursery_by_hand.rs`.

use super::day;
use sowrota::audit::plan_by_hand;
use sowrota::calendar::DayRange;
use sowrota::plan::types::Plan;
use sowrota::scenario::{
    AgentDelivery, AgentStore, CrewSpan, DrySpan, Field, HandOver, LineSpan, Losses, Scenario,
    SeedDelivery, SeedStore, Sharing, Tank, Temperature, TravelGroup, Treatment, Vehicle, Water,
};
use sowrota::units::{Fixed, Money};

pub const TABLE: &str = include_str!("whole.csv");

pub fn plan() -> Plan {
    plan_by_hand(&scenario(), TABLE.as_bytes(), "whole.csv").unwrap()
}

fn days(from: &str, to: &str) -> DayRange {
    DayRange {
        first: day(from),
        last: day(to),
    }
}

pub fn scenario() -> Scenario {
    let mut scenario = super::scenario();
    fields(&mut scenario.fields);
    kinds(&mut scenario);
    places(&mut scenario);
    stores(&mut scenario);
    carrying(&mut scenario);
    scenario.prices.bed_move = Money::whole(2);
    scenario.prices.edge_wait = Money::whole(4);
    scenario.prices.split_run = Money::whole(7);
    scenario.sharing = Sharing::OrderDate;
    scenario
}

fn fields(fields: &mut Vec<Field>) {
    let bare = Field {
        window: vec![],
        planter: None,
        closed: vec![],
        ..fields[1].clone()
    };
    // F1 and F2 were ordered on two days, the others on none.
    fields[0].ordered = Some(day("2027-01-10"));
    fields[0].edge_days = 3;
    fields[0].travel_group = Some("near".into());
    fields[1].ordered = Some(day("2027-01-20"));
    fields[1].edge_days = 1;
    fields.push(Field {
        id: "F5".into(),
        kind: "early".into(),
        trays: Some(50),
        stage: HandOver::SoakedSeed,
        ..bare.clone()
    });
    fields.push(Field {
        id: "F6".into(),
        trays: Some(30),
        stage: HandOver::Sprouted,
        ..bare.clone()
    });
    fields.push(Field {
        id: "spare-late-2027-W18".into(),
        grower: "spare".into(),
        trays: Some(10),
        spare: true,
        collected: true,
        lifted: true,
        window: vec![days("2027-05-02", "2027-05-05")],
        ..bare
    });
}

fn kinds(scenario: &mut Scenario) {
    let (early, late) = (0, 1);
    let kind = &mut scenario.kinds[early];
    kind.losses = Losses {
        line: Fixed(10_000),
        stack: Fixed(20_000),
        bed: Fixed(30_000),
    };
    kind.last_of_day = true;
    kind.least_run_trays = 43;
    kind.bag_kg = Some(Fixed::whole(5));
    kind.treatment = Some(Treatment {
        agent: "brine".into(),
        ml_per_kg: Fixed(24),
    });
    scenario.kinds[late].care_times = Fixed(150);
    let line = &mut scenario.lines[0];
    line.hopper_g_dry = Fixed::whole(400);
    line.set_up_pairs[0].throw_out_trays = 2;
    line.spans = vec![LineSpan {
        days: days("2027-04-13", "2027-04-13"),
        hours_per_day: Fixed(160),
    }];
    scenario.crews[0].spans = vec![CrewSpan {
        days: days("2027-04-12", "2027-04-14"),
        people: Some(5),
        shift_start_minute: None,
        shift_hours: None,
    }];
    scenario.opening.soaked[0].kg_dry = Fixed(9_040);
}

fn places(scenario: &mut Scenario) {
    scenario.edge = Temperature::Own(Fixed::whole(10));
    // The house takes 112 and 90 trays at once, the yard 11 rows of 50.
    scenario.beds[0].area_m2 = Fixed::whole(41);
    scenario.beds[1].row_trays = Some(50);
    scenario.trays.dry_spans = vec![DrySpan {
        days: days("2027-04-01", "2027-04-05"),
        dry_days: 20,
    }];
}

fn stores(scenario: &mut Scenario) {
    scenario.seed_stores = vec![SeedStore {
        lead_days: 0,
        sample_kg: Fixed(0),
        reserve_share: Fixed(0),
        kind: "early".into(),
        kg_dry: Fixed::whole(45),
        deliveries: vec![SeedDelivery {
            day: day("2027-04-14"),
            kg_dry: Fixed::whole(10),
        }],
    }];
    scenario.agents = vec![AgentStore {
        lead_days: 0,
        lot_ml: None,
        id: "brine".into(),
        name: "brine".into(),
        ml: Fixed(108),
        deliveries: vec![AgentDelivery {
            day: day("2027-04-14"),
            ml: Fixed(24),
        }],
    }];
    scenario.tank = Some(Tank {
        kg_dry: Fixed(60_160),
    });
    scenario.water = Some(Water {
        litres_per_day: Fixed(47_390),
        care_l_per_tray: Fixed(50),
    });
}

fn carrying(scenario: &mut Scenario) {
    scenario.travel_groups = vec![TravelGroup {
        id: "near".into(),
        name: "near".into(),
        round_trip_minutes: Fixed::whole(170),
    }];
    // 35 trays at once: by trips 105 a day, and in 8.5 h three round trips of 170 min, 105 as well.
    scenario.vehicles = vec![Vehicle {
        id: "cart".into(),
        name: "cart".into(),
        trips_per_day: 3,
        trays_per_trip: 35,
        kg_per_trip: Fixed(10_000),
        hours_per_day: Fixed(850),
    }];
}
