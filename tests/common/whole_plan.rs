//! A plan made by hand in which all stands that a plan can say: seed and sprouted trays handed over, losses, rows, the spare, trays at the
//! edge of a field, lifted mats, a return curve, travel groups, treatment, bags, a hopper, spans and care times.

use super::small_plan::{self, day};
use sowrota::calendar::DayRange;
use sowrota::plan::Plan;
use sowrota::plan::types::{Delivery, Run, RunStacks};
use sowrota::scenario::{
    AgentStore, CrewSpan, Field, Grower, HandOver, LineSpan, Returned, TravelGroup, Treatment,
};
use sowrota::units::{Fixed, Share};

fn span(from: &str, to: &str) -> DayRange {
    DayRange {
        first: day(from),
        last: day(to),
    }
}

/// A field like `hill`, of another grower and stage.
fn field(hill: &Field, id: &str, grower: &str, stage: HandOver, window: DayRange) -> Field {
    Field {
        id: id.into(),
        grower: grower.into(),
        stage,
        window: vec![window],
        planter: None,
        ..hill.clone()
    }
}

fn delivery(like: &Delivery, run: &str, field: &str, trays: i64, on: &str) -> Delivery {
    Delivery {
        run: run.into(),
        field: field.into(),
        part: 1,
        trays,
        day: day(on),
        ..like.clone()
    }
}

/// R001: 220 + 220 trays for Brook, 172 for Hill, 40 sprouted ones for Toft and 12 of the spare, sown 224, 224, 175, 41 and 13.
/// R002: 318 trays for Lane, all kept. R003: seed for 100 and 60 trays, handed over.
pub fn plan() -> Plan {
    let mut plan = small_plan::plan();
    scenario(&mut plan);
    let (like, hill) = (plan.deliveries[3].clone(), plan.deliveries[3].clone());
    let rows = |from: u32, to: u32| (from..=to).collect::<Vec<u32>>();
    let sown = [224, 224, 318, 175];
    let places = [(1, 4), (5, 8), (13, 18), (9, 11)];
    for ((delivery, sown), (from, to)) in plan.deliveries.iter_mut().zip(sown).zip(places) {
        delivery.sown = (sown != delivery.trays).then_some(sown);
        (delivery.green_rows, delivery.harden_rows) = (rows(from, to), rows(from + 1, to + 1));
    }
    // Lane's mats go a day before they are planted.
    plan.deliveries[2].leaves = Some(day("05-05"));
    let early = &mut plan.runs[0];
    (early.trays, early.stacks[0].trays, early.stacks[0].stacks) = (677, 685, 46);
    plan.runs.push(Run {
        id: "R003".into(),
        line: None,
        soak: Some(day("04-07")),
        drain: Some(day("04-15")),
        sow: day("04-16"),
        place_in_day: 0,
        trays: 160,
        trial_trays: 0,
        stacks: Vec::<RunStacks>::new(),
        ..plan.runs[0].clone()
    });
    plan.deliveries.push(Delivery {
        sown: Some(13),
        green_rows: rows(12, 12),
        harden_rows: rows(13, 13),
        ..delivery(&hill, "R001", "spare-early-18", 12, "05-08")
    });
    plan.deliveries.push(Delivery {
        sown: Some(41),
        green_bed: None,
        harden_bed: None,
        green_rows: vec![],
        harden_rows: vec![],
        harden: day("04-19"),
        ..delivery(&like, "R001", "toft", 40, "04-19")
    });
    for (field, trays) in [("mill", 100), ("weir", 60)] {
        plan.deliveries.push(Delivery {
            germination: None,
            green_bed: None,
            harden_bed: None,
            green_rows: vec![],
            harden_rows: vec![],
            sown: None,
            open: day("04-16"),
            harden: day("04-16"),
            ..delivery(&like, "R003", field, trays, "04-16")
        });
    }
    // Of Hill's trays half are back by then, and all of Lane's.
    plan.washing[4].trays = 150;
    plan
}

fn scenario(plan: &mut Plan) {
    let scenario = &mut plan.scenario;
    let hill = scenario.fields[1].clone();
    let (seed, week) = (HandOver::SoakedSeed, span("05-05", "05-08"));
    let mill = field(&hill, "mill", "Dorothea", seed, span("04-16", "04-17"));
    let weir = field(&hill, "weir", "Emrys", seed, span("04-16", "04-17"));
    let toft = field(
        &hill,
        "toft",
        "Florian",
        HandOver::Sprouted,
        span("04-19", "04-20"),
    );
    let spare = field(&hill, "spare-early-18", "spare", HandOver::Seedlings, week);
    scenario.fields.extend([
        Field {
            collected: true,
            ..mill
        },
        weir,
        toft,
        Field {
            spare: true,
            collected: true,
            lifted: true,
            trays: Some(12),
            ..spare
        },
    ]);
    let [brook, _, lane] = &mut scenario.fields[..3] else {
        panic!("three fields");
    };
    brook.travel_group = Some("south".into());
    lane.travel_group = Some("north".into());
    (lane.edge_days, lane.lifted) = (1, true);
    scenario.travel_groups = [("north", "Over the hill"), ("south", "Down the river")]
        .map(|(id, name)| TravelGroup {
            id: id.into(),
            name: name.into(),
            round_trip_minutes: Fixed(9_000),
        })
        .into();
    let share = |percent: i64| Fixed::<6>(percent * Share::ONE / 100);
    let returns = [(3, 50), (10, 80), (30, 95)];
    scenario.growers.push(Grower {
        member: false,
        id: "Bertram".into(),
        returns: returns
            .map(|(days, percent)| Returned {
                days,
                share: share(percent),
            })
            .into(),
    });
    scenario.agents.push(AgentStore {
        lead_days: 0,
        lot_ml: None,
        id: "dip".into(),
        name: "Clearwater dip".into(),
        ml: Fixed(10_000),
        deliveries: vec![],
    });
    let early = &mut scenario.kinds[0];
    early.treatment = Some(Treatment {
        agent: "dip".into(),
        ml_per_kg: Fixed(50),
    });
    early.bag_kg = Some(Fixed(20_000));
    scenario.kinds[1].care_times = Fixed(150);
    scenario.lines[0].hopper_g_dry = Fixed(15_000);
    scenario.lines[0].spans.push(LineSpan {
        days: span("04-19", "04-19"),
        hours_per_day: Fixed(100),
    });
    scenario
        .beds
        .iter_mut()
        .for_each(|bed| bed.row_trays = Some(60));
    scenario.crews[1].spans.push(CrewSpan {
        days: span("05-06", "05-07"),
        people: Some(5),
        shift_start_minute: Some(360),
        shift_hours: None,
    });
}
