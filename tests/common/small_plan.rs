//! A small plan made by hand: two kinds, three fields, two runs, 57 days. Its dates keep every lag.

use sowrota::calendar::{Day, DayRange, WorkCalendar};
use sowrota::plan::types::{
    Bought, BoughtWhat, Cost, Delivery, EndedBy, FORMAT, Plan, Run, RunStacks, Washing,
};
use sowrota::scenario::{
    AgeClock, AgeLimits, Bed, CalendarName, Calendars, Crew, Field, Germination, Growth, Kind,
    Line, MatsPerHectare, Method, Opening, Per, PieceTask, Planter, Prices, Scenario, StackClock,
    StackNeed, Stage, TeamTask, Temperature, Told, Trays, WeatherDay, Whose, Work,
};
use sowrota::units::{Age, Fixed};

/// A day of spring 2027, `"04-19"`.
pub fn day(month_and_day: &str) -> Day {
    Day::parse(&format!("2027-{month_and_day}")).unwrap()
}

fn span(from: &str, to: &str) -> DayRange {
    DayRange {
        first: day(from),
        last: day(to),
    }
}

fn dec<const P: u32>(value: f64) -> Fixed<P> {
    Fixed::nearest(value).unwrap()
}

fn kind(id: &str, name: &str, grams: f64, soak: f64, age: AgeLimits) -> Kind {
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
        id: id.into(),
        name: name.into(),
        seed_g_dry_per_tray: dec(grams),
        wet_ratio: dec(1.25),
        bed_soil_mm: dec(20.0),
        cover_soil_mm: dec(7.0),
        water_l_per_tray: dec(1.2),
        soak_degree_days: dec(soak),
        soak_water_c: dec(12.5),
        sprout_days: 1,
        hold_days: 2,
        drain_wait_days: 1,
        stack: StackNeed {
            clock: StackClock::Days,
            need: dec(3.0),
        },
        greening_days: 2,
        greening_wait_days: 1,
        age,
        growth: Growth {
            method: Method::Days,
            base_c: dec(10.0),
            upper_c: dec(30.0),
            ceiling_c: dec(42.0),
            phyllochron_cd: dec(100.0),
        },
        cost_younger: dec(4.0),
        cost_older: dec(2.0),
    }
}

fn field(
    id: &str,
    grower: &str,
    ha: f64,
    kind: &str,
    window: DayRange,
    parts: u32,
    planter: &str,
) -> Field {
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
        id: id.into(),
        grower: grower.into(),
        area_ha: dec(ha),
        kind: kind.into(),
        season: None,
        window: vec![window],
        preferred: None,
        mats: MatsPerHectare::Given(dec(200.0)),
        reserve: dec(0.1),
        parts,
        planter: Some(planter.into()),
        closed: vec![],
    }
}

fn crew(id: &str, name: &str, people: i64, calendar: CalendarName, start: i64, rest: i64) -> Crew {
    Crew {
        casual: None,
        week_hours_most: None,
        spans: vec![],
        id: id.into(),
        name: name.into(),
        people,
        calendar,
        shift_start_minute: start,
        shift_hours: dec(8.0),
        overtime_hours: dec(2.0),
        overtime_price_per_h: dec(20.0),
        rest_day_people: rest,
        rest_day_price_per_h: dec(25.0),
    }
}

fn piece(crew: &str, minutes: f64, per: Per) -> Option<PieceTask> {
    Some(PieceTask {
        crew: crew.into(),
        person_minutes: dec(minutes),
        per,
    })
}

fn bed(id: &str, name: &str, m2: f64, stages: Vec<Stage>, night: f64, by_day: f64) -> Bed {
    Bed {
        closed: vec![],
        row_trays: None,
        turn_round_days: 0,
        id: id.into(),
        name: name.into(),
        area_m2: dec(m2),
        trays_per_m2: dec(4.6),
        stages,
        temperature: Temperature::Outdoors {
            night_plus_c: dec(night),
            day_plus_c: dec(by_day),
        },
    }
}

fn told((part, on): (u32, &str)) -> Told {
    Told {
        field: "brook".into(),
        part,
        day: day(on),
        promised: true,
    }
}

fn scenario() -> Scenario {
    let horizon = span("04-05", "05-31");
    let weather = horizon.iter().enumerate().map(|(at, date)| {
        let warmer = at as f64 / 10.0;
        WeatherDay {
            date,
            min_c: dec(7.0 + warmer),
            max_c: dec(16.0 + warmer),
        }
    });
    let sundays = WorkCalendar {
        rest_days: [sowrota::calendar::Weekday::Sunday].into(),
        ..WorkCalendar::default()
    };
    Scenario {
        told: [(1, "05-05"), (2, "05-06")].map(told).into(),
        agents: vec![],
        mats_for_sale: Vec::new(),
        travel_groups: vec![],
        sharing: Default::default(),
        edge: Temperature::Outdoors {
            night_plus_c: Fixed(0),
            day_plus_c: Fixed(0),
        },
        not_firm: vec![],
        staff: vec![],
        duty: sowrota::scenario::Duty::default(),
        growers: vec![],
        blocks: vec![],
        seed_stores: vec![],
        soil_stores: vec![],
        water: None,
        tank: None,
        vehicles: vec![],
        format: sowrota::scenario::FORMAT.into(),
        name: "Willow Ford Nursery".into(),
        currency: "coin".into(),
        horizon,
        weather: weather.collect(),
        calendars: Calendars {
            line: sundays.clone(),
            beds: sundays.clone(),
            planting: sundays,
        },
        seasons: vec![],
        kinds: vec![
            kind(
                "early",
                "Early White",
                180.0,
                100.0,
                AgeLimits {
                    clock: AgeClock::Days,
                    youngest: dec(18.0),
                    target: dec(20.0),
                    oldest: dec(24.0),
                },
            ),
            kind(
                "late",
                "Late Amber",
                150.0,
                110.0,
                AgeLimits {
                    clock: AgeClock::Leaves,
                    youngest: dec(2.5),
                    target: dec(3.0),
                    oldest: dec(3.6),
                },
            ),
        ],
        fields: vec![
            field(
                "brook",
                "Adeline",
                2.0,
                "early",
                span("05-03", "05-08"),
                2,
                "six",
            ),
            field(
                "hill",
                "Bertram",
                0.78,
                "early",
                span("05-05", "05-09"),
                1,
                "lent",
            ),
            field(
                "lane",
                "Cosima",
                1.445,
                "late",
                span("05-03", "05-10"),
                1,
                "six",
            ),
        ],
        lines: vec![Line {
            hopper_g_dry: Fixed(0),
            spans: vec![],
            rates: vec![],
            id: "line".into(),
            name: "Barn line".into(),
            set_trays_per_h: dec(400.0),
            share_run: dec(0.8),
            hours_per_day: dec(8.0),
            first_set_up_minutes: dec(30.0),
            set_up_minutes: dec(20.0),
            set_up_pairs: vec![],
            trial_trays: 8,
        }],
        germination: vec![Germination {
            id: "warm".into(),
            name: "Warm room".into(),
            stack_places: 60,
            height: 15,
            lid_trays: 1,
            base_trays: 0,
            temperature: Temperature::Own(dec(30.0)),
            longest_wait_days: 1,
            spans: Vec::new(),
        }],
        beds: vec![
            bed("house", "Long house", 150.0, vec![Stage::Green], 2.0, 5.0),
            bed("yard", "South yard", 300.0, vec![Stage::Harden], 0.0, 0.0),
        ],
        trays: Trays {
            dry_spans: vec![],
            loaded_kg: sowrota::units::Fixed(750),
            stock: 1_500,
            return_days: 5,
            loss: dec(0.02),
            wash_trays_per_h: 300,
            wash_hours_per_day: dec(4.0),
            dry_days: 1,
        },
        crews: vec![
            crew("line", "Line crew", 8, CalendarName::Line, 420, 0),
            crew("beds", "Bed crew", 3, CalendarName::Beds, 390, 2),
            crew("field", "Field crew", 3, CalendarName::Planting, 420, 0),
        ],
        work: Work {
            set_up: Some(TeamTask {
                crew: "line".into(),
                team: 3,
            }),
            sow: Some(TeamTask {
                crew: "line".into(),
                team: 6,
            }),
            soak: piece("beds", 2.0, Per::Kilogram),
            drain: piece("beds", 1.0, Per::Kilogram),
            stack: piece("line", 6.0, Per::HundredTrays),
            unstack: piece("line", 25.0, Per::HundredTrays),
            green: piece("line", 20.0, Per::HundredTrays),
            harden: piece("beds", 2.0, Per::SquareMetre),
            load: piece("field", 30.0, Per::HundredTrays),
            plant: piece("field", 600.0, Per::Hectare),
            collect: piece("beds", 15.0, Per::HundredTrays),
            wash: piece("beds", 40.0, Per::HundredTrays),
            care: piece("beds", 30.0, Per::HundredTrays),
        },
        planters: vec![
            Planter {
                hours_per_day: sowrota::units::Fixed(1_000),
                move_minutes: sowrota::units::Fixed(0),
                id: "six".into(),
                name: "our six-row".into(),
                ha_per_day: dec(3.0),
                whose: Whose::Nursery,
            },
            Planter {
                hours_per_day: sowrota::units::Fixed(1_000),
                move_minutes: sowrota::units::Fixed(0),
                id: "lent".into(),
                name: "Bertram's".into(),
                ha_per_day: dec(2.0),
                whose: Whose::Grower,
            },
        ],
        prices: Prices {
            plan_moved: Default::default(),
            promise_moved: Default::default(),
            bed_move: Default::default(),
            edge_wait: Default::default(),
            split_run: Default::default(),
            set_up: dec(30.0),
            off_preferred: dec(1.0),
            short_per_tray: Some(dec(50.0)),
        },
        opening: Opening::default(),
        pins: vec![],
    }
}

#[allow(clippy::too_many_arguments)]
fn run(
    id: &str,
    kind: &str,
    soak: &str,
    drain: &str,
    sow: &str,
    open: &str,
    trays: i64,
    stacks: i64,
) -> Run {
    Run {
        thrown_trays: 0,
        id: id.into(),
        line: Some("line".into()),
        kind: kind.into(),
        soak: Some(day(soak)),
        drain: Some(day(drain)),
        sow: day(sow),
        place_in_day: 1,
        trays,
        trial_trays: 8,
        stacks: vec![RunStacks {
            germination: "warm".into(),
            trays: trays + 8,
            stacks,
            open: day(open),
        }],
    }
}

fn delivery(
    run: &Run,
    field: &str,
    part: u32,
    trays: i64,
    harden: &str,
    on: &str,
    age: f64,
) -> Delivery {
    Delivery {
        sown: None,
        green_rows: vec![],
        harden_rows: vec![],
        leaves: None,
        run: run.id.clone(),
        field: field.into(),
        part,
        trays,
        germination: Some("warm".into()),
        green_bed: Some("house".into()),
        harden_bed: Some("yard".into()),
        open: run.stacks[0].open,
        harden: day(harden),
        day: day(on),
        age: Age::nearest(age).unwrap(),
        promised: None,
    }
}

/// The plan. Washing: trial trays on the day after their stack is opened, field trays as they come back.
pub fn plan() -> Plan {
    let early = run("R001", "early", "04-06", "04-14", "04-16", "04-19", 612, 42);
    let late = run("R002", "late", "04-08", "04-17", "04-19", "04-22", 318, 22);
    let mut deliveries = vec![
        delivery(&early, "brook", 1, 220, "04-21", "05-05", 19.0),
        delivery(&early, "brook", 2, 220, "04-21", "05-06", 20.0),
        delivery(&late, "lane", 1, 318, "04-24", "05-06", 2.92),
        delivery(&early, "hill", 1, 172, "04-21", "05-07", 21.0),
    ];
    deliveries[0].promised = Some(day("05-05"));
    deliveries[1].promised = Some(day("05-06"));
    let washing = [
        ("04-20", 8),
        ("04-23", 8),
        ("05-10", 215),
        ("05-11", 526),
        ("05-12", 168),
    ];
    let bought = |on: &str, crew: &str, what, minutes| Bought {
        day: day(on),
        crew: crew.into(),
        what,
        minutes,
        cost: Fixed(0),
    };
    Plan {
        format: FORMAT.into(),
        revision: 2,
        scenario_sha256: String::new(),
        scenario: scenario(),
        runs: vec![early, late],
        deliveries,
        washing: washing
            .map(|(on, trays)| Washing {
                day: day(on),
                trays,
            })
            .into(),
        bought: vec![
            bought("04-25", "beds", BoughtWhat::RestDay, 279),
            bought("05-02", "beds", BoughtWhat::RestDay, 279),
            // 538 trays for our six-row: 2.445 ha take 24 h 27 min, three people have 24 h.
            bought("05-06", "field", BoughtWhat::Overtime, 190),
        ],
        people: vec![],
        shortfalls: vec![],
        cost: Cost::default(),
        bound: None,
        ended_by: EndedBy::ByHand,
    }
}
