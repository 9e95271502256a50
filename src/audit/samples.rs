//! A kind and a field for the unit tests of the audit.

use crate::scenario::{
    AgeClock, AgeLimits, Field, Growth, Kind, MatsPerHectare, Method, StackClock, StackNeed,
};
use crate::units::Fixed;

/// A kind that needs nothing but days.
pub(super) fn kind() -> Kind {
    Kind {
        losses: Default::default(),
        spare_share: Fixed(0),
        least_run_trays: 0,
        last_of_day: false,
        treatment: None,
        care_times: Fixed(100),
        in_its_place: Vec::new(),
        limits: vec![],
        bag_kg: None,
        bed_soil: None,
        cover_soil: None,
        id: "k".into(),
        name: "k".into(),
        seed_g_dry_per_tray: Fixed::whole(180),
        wet_ratio: Fixed::whole(1),
        bed_soil_mm: Fixed::whole(20),
        cover_soil_mm: Fixed::whole(7),
        water_l_per_tray: Fixed::whole(1),
        soak_degree_days: Fixed::whole(100),
        soak_water_c: Fixed::whole(20),
        sprout_days: 1,
        hold_days: 0,
        drain_wait_days: 0,
        stack: StackNeed {
            clock: StackClock::Days,
            need: Fixed(25),
        },
        greening_days: 2,
        greening_wait_days: 0,
        age: AgeLimits {
            clock: AgeClock::Days,
            youngest: Fixed::whole(1),
            target: Fixed::whole(2),
            oldest: Fixed::whole(3),
        },
        growth: Growth {
            method: Method::Days,
            base_c: Fixed::whole(8),
            upper_c: Fixed::whole(30),
            ceiling_c: Fixed::whole(42),
            phyllochron_cd: Fixed::whole(100),
        },
        cost_younger: Fixed::ZERO,
        cost_older: Fixed::ZERO,
    }
}

/// A hectare for 200 trays of that kind.
pub(super) fn field() -> Field {
    Field {
        trays: None,
        state: Default::default(),
        ordered: None,
        stage: Default::default(),
        edge_days: 0,
        travel_group: None,
        spare: false,
        block: None,
        harvest_before: None,
        harvest_first_days: 0,
        harvest_last_days: None,
        ready: true,
        collected: false,
        lifted: false,
        id: "f".into(),
        grower: "g".into(),
        area_ha: Fixed::whole(1),
        kind: "k".into(),
        season: None,
        window: vec![],
        preferred: None,
        mats: MatsPerHectare::Given(Fixed::whole(200)),
        reserve: Fixed(0),
        parts: 1,
        planter: None,
        closed: vec![],
    }
}
