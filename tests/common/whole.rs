//! Made-up nurseries with the whole schema: those of [`super::generate`], with stores, tank, water, vehicles, blocks, harvests, return
//! curves, clearing days, rates by kind and further limits of age added by chance, each about as scarce as it may be; then what
//! [`super::hand_over`], [`super::grounds`] and [`super::carried`] add.

use super::dice::Dice;
use super::orders::ordered_trays;
use super::{carried, generate, grounds, hand_over};
use sowrota::calendar::Day;
use sowrota::scenario::*;
use sowrota::units::{Age, Fixed, Share};

/// A tiny nursery, widened.
pub fn tiny(seed: u64) -> Scenario {
    widen(generate::tiny(seed), seed, true)
}

/// A medium nursery, widened.
pub fn medium(seed: u64) -> Scenario {
    widen(generate::medium(seed), seed, false)
}

fn widen(mut scenario: Scenario, seed: u64, small: bool) -> Scenario {
    let mut dice = Dice::new(seed ^ 0x77_686f_6c65);
    kinds(&mut scenario, &mut dice);
    fields(&mut scenario, &mut dice);
    growers(&mut scenario, &mut dice);
    stores(&mut scenario, &mut dice);
    day_limits(&mut scenario, &mut dice);
    for bed in &mut scenario.beds {
        if dice.chance(40) {
            bed.turn_round_days = dice.days(1, 2);
        }
    }
    hand_over::add(&mut scenario, &mut Dice::new(seed ^ 0x6861_6e64), small);
    grounds::add(&mut scenario, &mut Dice::new(seed ^ 0x6772_6f75_6e64));
    carried::add(&mut scenario, &mut Dice::new(seed ^ 0x6361_7272));
    scenario
}

/// Trays ordered of a kind.
fn trays_of(scenario: &Scenario, kind: &str) -> i64 {
    let fields = scenario.fields.iter().filter(|field| field.kind == kind);
    fields.map(ordered_trays).sum()
}

fn all_trays(scenario: &Scenario) -> i64 {
    scenario.fields.iter().map(ordered_trays).sum()
}

fn kinds(scenario: &mut Scenario, dice: &mut Dice) {
    for kind in &mut scenario.kinds {
        if dice.chance(40) {
            kind.bag_kg = Some(Fixed(1_000 * dice.between(1, 8)));
        }
        if dice.chance(30) {
            let days = kind.age.clock == AgeClock::Days;
            // A day or a tenth of a leaf inside the kind's own limits, or a limit on the other clock that hardly binds.
            kind.limits.push(AgeLimit {
                clock: if days {
                    AgeClock::Days
                } else {
                    AgeClock::Leaves
                },
                youngest: dice.chance(50).then_some(Fixed(
                    kind.age.youngest.0 + if days { Age::ONE } else { 10 },
                )),
                oldest: Some(kind.age.oldest),
            });
        }
    }
    let ids: Vec<String> = scenario.kinds.iter().map(|kind| kind.id.clone()).collect();
    for line in &mut scenario.lines {
        if dice.chance(40) {
            let kind = dice.pick(&ids).clone();
            let rate = line.set_trays_per_h.0 * dice.between(70, 130) / 100;
            line.rates.push(LineRate {
                kind,
                set_trays_per_h: Fixed(rate),
            });
        }
    }
}

fn fields(scenario: &mut Scenario, dice: &mut Dice) {
    let pinned: Vec<String> = scenario.pins.iter().map(|pin| pin.field.clone()).collect();
    for at in 0..scenario.fields.len() {
        let field = &mut scenario.fields[at];
        field.collected = dice.chance(25);
        field.lifted = dice.chance(15);
        field.ready = !dice.chance(3) || pinned.contains(&field.id);
        if pinned.contains(&field.id) {
            continue;
        }
        let first = field.window[0].first;
        if dice.chance(20) {
            let id = format!("block-{at}");
            scenario.blocks.push(Block {
                id: id.clone(),
                water: first.plus(-2),
                first_days: 2,
                last_days: 2 + dice.days(1, 12),
            });
            field.block = Some(id);
        } else if dice.chance(20) {
            field.harvest_before = Some(first.plus(-4));
            field.harvest_first_days = dice.days(3, 5);
            field.harvest_last_days = dice.chance(50).then(|| dice.days(6, 14));
        }
    }
}

fn growers(scenario: &mut Scenario, dice: &mut Dice) {
    let mut names: Vec<String> = scenario
        .fields
        .iter()
        .map(|field| field.grower.clone())
        .collect();
    names.sort();
    names.dedup();
    for id in names {
        if !dice.chance(40) {
            continue;
        }
        let first = dice.days(1, 4);
        let share = |percent: i64| Fixed::<6>(percent * Share::ONE / 100);
        let returns = vec![
            Returned {
                days: first,
                share: share(dice.between(30, 60)),
            },
            Returned {
                days: first + dice.days(1, 5),
                share: share(dice.between(65, 90)),
            },
            Returned {
                days: first + 8,
                share: share(dice.between(91, 100)),
            },
        ];
        scenario.growers.push(Grower {
            member: false,
            id,
            returns,
        });
    }
}

fn stores(scenario: &mut Scenario, dice: &mut Dice) {
    let later = |dice: &mut Dice, first: Day| first.plus(dice.days(0, 6));
    for at in 0..scenario.kinds.len() {
        let kind = &scenario.kinds[at];
        if dice.chance(35) {
            // Tenths of a gram to grams, with 70 to 120 % of the need, a part of it later.
            let need = trays_of(scenario, &kind.id) * kind.seed_g_dry_per_tray.0 / 10;
            let bag = kind.bag_kg.map_or(0, |bag| bag.0);
            let have = need * dice.between(70, 120) / 100 + 2 * bag;
            let now = have * dice.between(40, 100) / 100;
            let deliveries = vec![SeedDelivery {
                day: later(dice, scenario.horizon.first),
                kg_dry: Fixed(have - now),
            }];
            scenario.seed_stores.push(SeedStore {
                lead_days: 0,
                sample_kg: Fixed(0),
                reserve_share: Fixed(0),
                kind: kind.id.clone(),
                kg_dry: Fixed(now),
                deliveries,
            });
        }
    }
    if dice.chance(40) {
        let trays = all_trays(scenario);
        // About 4.4 L a tray, in hundredths of a litre.
        let have = trays * 440 * dice.between(75, 130) / 100;
        let deliveries = vec![SoilDelivery {
            day: later(dice, scenario.horizon.first.plus(8)),
            litres: Fixed(have / 3),
        }];
        scenario.soil_stores.push(SoilStore {
            lead_days: 0,
            lot_litres: None,
            id: "mix".into(),
            name: "Mix".into(),
            litres: Fixed(have - have / 3),
            deliveries,
        });
        for kind in &mut scenario.kinds {
            kind.bed_soil = dice.chance(90).then(|| "mix".into());
            kind.cover_soil = dice.chance(60).then(|| "mix".into());
        }
    }
}

fn day_limits(scenario: &mut Scenario, dice: &mut Dice) {
    let trays = all_trays(scenario);
    let heaviest = scenario
        .kinds
        .iter()
        .map(|kind| kind.seed_g_dry_per_tray.0)
        .max()
        .unwrap_or(0);
    let bags = scenario
        .kinds
        .iter()
        .filter_map(|kind| kind.bag_kg)
        .map(|bag| bag.0)
        .max()
        .unwrap_or(0);
    if dice.chance(35) {
        let seed = trays * heaviest / 10;
        scenario.tank = Some(Tank {
            kg_dry: Fixed(seed * dice.between(40, 110) / 100 + bags),
        });
    }
    if dice.chance(35) {
        scenario.water = Some(Water {
            litres_per_day: Fixed(trays * 150 * dice.between(50, 130) / 100),
            care_l_per_tray: Fixed(dice.between(50, 120)),
        });
    }
    if dice.chance(40) {
        for at in 0..dice.between(1, 2) {
            scenario.vehicles.push(Vehicle {
                hours_per_day: Fixed(1000),
                id: format!("van-{at}"),
                name: format!("Van {at}"),
                trips_per_day: dice.between(1, 3),
                trays_per_trip: (trays / 6).max(20),
                kg_per_trip: Fixed((trays / 6).max(20) * dice.between(50, 90)),
            });
        }
    }
    for planter in &mut scenario.planters {
        planter.hours_per_day = Fixed(100 * dice.between(6, 10));
        planter.move_minutes = Fixed(100 * dice.between(0, 40));
    }
}
