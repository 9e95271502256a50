//! Made-up orders of every form: trays or hectares, stages, days of order, members, waiting at the edge, losses, spare, round trips, and how a
//! shortage is shared.

use super::generate::MOST_COMBINATIONS;
use super::orders::{most_ages, ordered_trays};
use super::places::bed_paths;
use sowrota::scenario::*;
use sowrota::units::{Fixed, Hours};

use super::dice::Dice;

/// Adds to a nursery what an order line may say besides its field. In a `small` one trays wait at the edge only where all plans can still be
/// tried.
pub fn add(scenario: &mut Scenario, dice: &mut Dice, small: bool) {
    losses(scenario, dice);
    stages(scenario, dice);
    spare(scenario, dice);
    edge(scenario, dice, small);
    round_trips(scenario, dice);
    sharing(scenario, dice);
}

/// True of fields whose trays or dates are given already: they stay seedlings for a field.
fn is_settled(scenario: &Scenario, field: &Field) -> bool {
    scenario.pins.iter().any(|pin| pin.field == field.id)
        || scenario
            .opening
            .sown
            .iter()
            .any(|sown| sown.field == field.id)
}

fn losses(scenario: &mut Scenario, dice: &mut Dice) {
    for kind in &mut scenario.kinds {
        if dice.chance(35) {
            let mut share = |most: i64| Fixed::<6>(dice.between(0, most) * 1_000);
            kind.losses = Losses {
                line: share(20),
                stack: share(30),
                bed: share(40),
            };
        }
    }
}

/// Orders of trays, and what is handed over before it is a seedling.
fn stages(scenario: &mut Scenario, dice: &mut Dice) {
    for at in 0..scenario.fields.len() {
        let settled = is_settled(scenario, &scenario.fields[at]);
        let field = &mut scenario.fields[at];
        if dice.chance(20) {
            // About as many as its hectares would want.
            let trays = ordered_trays(field) * dice.between(80, 120) / 100;
            field.trays = Some(trays.max(i64::from(field.parts)));
        }
        if settled {
            continue;
        }
        field.stage = match dice.between(1, 100) {
            1..=12 => HandOver::Sprouted,
            13..=24 => HandOver::SoakedSeed,
            _ => HandOver::Seedlings,
        };
        if field.stage != HandOver::Seedlings {
            // They come up where they go; now and then a machine is named all the same.
            field.planter = field.planter.take().filter(|_| dice.chance(50));
            field.lifted = false;
        }
    }
}

/// The last field becomes the pooled spare of its kind, so that there are no more lots than before.
fn spare(scenario: &mut Scenario, dice: &mut Dice) {
    let Some(last) = scenario.fields.last() else {
        return;
    };
    if scenario.fields.len() < 2 || is_settled(scenario, last) || !dice.chance(30) {
        return;
    }
    let kind = last.kind.clone();
    let mut of_kind = scenario.kinds.iter_mut().filter(|one| one.id == kind);
    if let Some(kind) = of_kind.next() {
        kind.spare_share = Fixed(dice.between(3, 8) * 10_000);
    }
    let trays = (ordered_trays(last) * dice.between(10, 60) / 100).max(1);
    let mut spare = last.clone();
    spare.id = format!("spare-{kind}");
    spare.grower = "spare".into();
    (spare.area_ha, spare.reserve) = (Fixed(0), Fixed(0));
    spare.mats = MatsPerHectare::Given(Fixed(0));
    (spare.spare, spare.collected, spare.lifted) = (true, true, true);
    (spare.trays, spare.parts, spare.stage) = (Some(trays), 1, HandOver::Seedlings);
    (spare.planter, spare.preferred, spare.block) = (None, None, None);
    (spare.harvest_before, spare.harvest_last_days) = (None, None);
    (spare.harvest_first_days, spare.ready) = (0, true);
    spare.closed.clear();
    if let Some(last) = scenario.fields.last_mut() {
        *last = spare;
    }
}

/// Days that trays may wait at the edge of a field, how warm it is there, and what a day costs.
fn edge(scenario: &mut Scenario, dice: &mut Dice, small: bool) {
    scenario.prices.edge_wait = Fixed(dice.between(0, 8_000));
    if dice.chance(30) {
        scenario.edge = Temperature::Own(Fixed(dice.between(1_600, 2_600)));
    } else if dice.chance(40) {
        scenario.edge = Temperature::Outdoors {
            night_plus_c: Fixed(dice.between(-200, 100)),
            day_plus_c: Fixed(dice.between(0, 300)),
        };
    }
    for at in 0..scenario.fields.len() {
        let field = &mut scenario.fields[at];
        if field.stage != HandOver::Seedlings || field.spare || !dice.chance(40) {
            continue;
        }
        field.edge_days = dice.days(1, 3);
        while small
            && scenario.fields[at].edge_days > 0
            && combinations(scenario) > MOST_COMBINATIONS
        {
            scenario.fields[at].edge_days -= 1;
        }
    }
}

/// At most so many plans, "not grown" among the options of each lot.
pub fn combinations(scenario: &Scenario) -> i64 {
    let ways = scenario.lines.len() * scenario.germination.len() * bed_paths(&scenario.beds).len();
    let of_field = |field: &Field| {
        let mut kinds = scenario.kinds.iter().filter(|kind| kind.id == field.kind);
        let ages = kinds.next().map_or(1, most_ages);
        let days: usize = field.window.iter().map(|span| span.days()).sum();
        let waits = i64::from(field.edge_days) + 1;
        (days as i64 * ages * ways as i64 * waits + 1).pow(field.parts)
    };
    let fields = scenario.fields.iter().map(of_field);
    fields.fold(1, |all, one| all.saturating_mul(one))
}

fn round_trips(scenario: &mut Scenario, dice: &mut Dice) {
    if !dice.chance(35) {
        return;
    }
    for at in 0..dice.between(1, 2) {
        scenario.travel_groups.push(TravelGroup {
            id: format!("way-{at}"),
            name: format!("Way {at}"),
            round_trip_minutes: Fixed(dice.between(30, 150) * 100),
        });
    }
    let largest = scenario.fields.iter().map(ordered_trays).max().unwrap_or(1);
    if scenario.vehicles.is_empty() {
        scenario.vehicles.push(Vehicle {
            id: "van".into(),
            name: "Van".into(),
            trips_per_day: dice.between(1, 3),
            trays_per_trip: (largest / 2).max(10),
            kg_per_trip: Fixed((largest / 2).max(10) * 75),
            hours_per_day: Hours::whole(10),
        });
    }
    for vehicle in &mut scenario.vehicles {
        vehicle.hours_per_day = Fixed(dice.between(150, 900));
    }
    for field in &mut scenario.fields {
        if !field.spare && dice.chance(70) {
            field.travel_group = Some(dice.pick(&scenario.travel_groups).id.clone());
        }
    }
}

/// Days of order, members, and the four ways to share.
fn sharing(scenario: &mut Scenario, dice: &mut Dice) {
    scenario.sharing = *dice.pick(&[
        Sharing::FewestTrays,
        Sharing::OrderDate,
        Sharing::MembersFirst,
        Sharing::InProportion,
    ]);
    let dated = if dice.chance(85) { 60 } else { 0 };
    for field in scenario.fields.iter_mut().filter(|field| !field.spare) {
        if dice.chance(dated) {
            field.ordered = Some(scenario.horizon.first.plus(-dice.days(1, 6) * 10));
        }
    }
    for grower in &mut scenario.growers {
        grower.member = dice.chance(50);
    }
    // Members without a way of their own to bring trays back.
    for id in ["Orsa", "Tembel", "Garlo", "Wenna"] {
        let known = scenario.growers.iter().any(|grower| grower.id == id);
        let asks = scenario.fields.iter().any(|field| field.grower == id);
        if asks && !known && dice.chance(30) {
            scenario.growers.push(Grower {
                id: id.into(),
                member: true,
                returns: vec![],
            });
        }
    }
}
