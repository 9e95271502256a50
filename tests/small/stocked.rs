//! The small nursery with stores, tank, water, vehicles, blocks, harvests, return curves and further
//! limits, each of them just enough for the same plan. The figures are worked out in
//! `stores_and_limits.rs`.

use super::{TABLE, day};
use sowrota::audit::plan_by_hand;
use sowrota::plan::types::Plan;
use sowrota::scenario::{
    AgeClock, AgeLimit, Block, Field, Grower, LineRate, Returned, Scenario, SeedDelivery,
    SeedStore, SoilDelivery, SoilStore, Tank, Vehicle, Water,
};
use sowrota::units::Fixed;

pub fn scenario() -> Scenario {
    let mut scenario = super::scenario();
    kinds(&mut scenario);
    stores(&mut scenario);
    fields(&mut scenario);
    scenario.lines[0].rates = vec![LineRate {
        kind: "late".into(),
        set_trays_per_h: Fixed::whole(500),
    }];
    // F4's 40 leave the house on 10 April: it is clear on the 16th, when it holds 195 of 200.
    scenario.beds[0].turn_round_days = 6;
    scenario.planters[0].move_minutes = Fixed::whole(200);
    // 52 trays by weight on the cart, 53 on the lorry: the 105 of a part of F1.
    scenario.vehicles = vec![
        vehicle("cart", 2, 30, 2_000),
        vehicle("lorry", 1, 80, 3_975),
    ];
    scenario
}

pub fn plan() -> Plan {
    plan_by_hand(&scenario(), TABLE.as_bytes(), "by_hand.csv").unwrap()
}

fn kinds(scenario: &mut Scenario) {
    let (early, late) = (0, 1);
    scenario.kinds[early].bag_kg = Some(Fixed::whole(5));
    scenario.kinds[early].limits = vec![AgeLimit {
        clock: AgeClock::Leaves,
        youngest: Some(Fixed(450)),
        oldest: Some(Fixed(450)),
    }];
    scenario.kinds[late].limits = vec![AgeLimit {
        clock: AgeClock::Days,
        youngest: Some(Fixed(1_400)),
        oldest: Some(Fixed(1_400)),
    }];
    for kind in &mut scenario.kinds {
        // 4.06 L of bed soil a tray.
        kind.bed_soil_mm = Fixed::whole(25);
        kind.bed_soil = Some("loam".into());
        kind.cover_soil = Some("sand".into());
    }
}

fn stores(scenario: &mut Scenario) {
    let delivery = |text, kg| SeedDelivery {
        day: day(text),
        kg_dry: Fixed::whole(kg),
    };
    scenario.seed_stores = vec![
        SeedStore {
            lead_days: 0,
            sample_kg: Fixed(0),
            reserve_share: Fixed(0),
            kind: "early".into(),
            kg_dry: Fixed::whole(15),
            deliveries: vec![delivery("2027-04-07", 25), delivery("2027-04-20", 50)],
        },
        SeedStore {
            lead_days: 0,
            sample_kg: Fixed(0),
            reserve_share: Fixed(0),
            kind: "late".into(),
            kg_dry: Fixed(11_160),
            deliveries: vec![],
        },
    ];
    scenario.tank = Some(Tank {
        kg_dry: Fixed(51_160),
    });
    let soil = |id: &str, litres, deliveries| SoilStore {
        lead_days: 0,
        lot_litres: None,
        id: id.into(),
        name: id.into(),
        litres: Fixed(litres),
        deliveries,
    };
    let loam = SoilDelivery {
        day: day("2027-04-13"),
        litres: Fixed(121_694),
    };
    scenario.soil_stores = vec![
        soil("loam", 20_000, vec![loam]),
        soil("sand", 39_675, vec![]),
    ];
    scenario.water = Some(Water {
        litres_per_day: Fixed(41_720),
        care_l_per_tray: Fixed(50),
    });
}

fn fields(scenario: &mut Scenario) {
    let at = |id: &str, fields: &[Field]| fields.iter().position(|field| field.id == id);
    let (f1, f2) = (
        at("F1", &scenario.fields).unwrap(),
        at("F2", &scenario.fields).unwrap(),
    );
    // Planted on 3 and 4 May.
    scenario.fields[f1].harvest_before = Some(day("2027-04-28"));
    scenario.fields[f1].harvest_first_days = 5;
    scenario.fields[f1].harvest_last_days = Some(6);
    // Planted on 27 April.
    scenario.fields[f2].block = Some("low".into());
    scenario.blocks = vec![Block {
        id: "low".into(),
        water: day("2027-04-25"),
        first_days: 2,
        last_days: 2,
    }];
    let point = |days, share| Returned {
        days,
        share: Fixed(share),
    };
    scenario.growers = vec![Grower {
        member: false,
        id: "Ode".into(),
        returns: vec![point(3, 500_000), point(8, 950_000)],
    }];
    scenario.fields[f2].lifted = true;
}

fn vehicle(id: &str, trips: i64, trays: i64, tenths_of_kg: i64) -> Vehicle {
    Vehicle {
        hours_per_day: Fixed(1000),
        id: id.into(),
        name: id.into(),
        trips_per_day: trips,
        trays_per_trip: trays,
        kg_per_trip: Fixed(tenths_of_kg),
    }
}
