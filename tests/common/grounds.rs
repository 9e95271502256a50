//! Made-up further limits of line, seed, beds, trays and people: least runs, what may follow what, treated seed, rows, care, and days on which
//! something else holds.

use super::dice::Dice;
use super::orders::ordered_trays;
use sowrota::calendar::{Day, DayRange};
use sowrota::scenario::*;
use sowrota::units::{Fixed, div_up};

/// Adds them by chance, each about as scarce as it may be.
pub fn add(scenario: &mut Scenario, dice: &mut Dice) {
    kinds(scenario, dice);
    agents(scenario, dice);
    lines(scenario, dice);
    beds(scenario, dice);
    people_and_trays(scenario, dice);
    if scenario.fields.iter().any(|field| field.parts > 1) && dice.chance(70) {
        scenario.prices.split_run = Fixed::whole(dice.between(1, 40));
    }
    weeks(scenario, dice);
    closed_beds(scenario, dice);
}

/// Some days of the horizon.
fn span(scenario: &Scenario, dice: &mut Dice) -> DayRange {
    let all = scenario.horizon;
    let days = all.last.since(all.first);
    let first: Day = all.first.plus(dice.days(0, days * 2 / 3));
    let last = first.plus(dice.days(1, days / 2)).min(all.last);
    DayRange { first, last }
}

fn kinds(scenario: &mut Scenario, dice: &mut Dice) {
    let trays = |kind: &Kind| -> i64 {
        let of_kind = scenario.fields.iter().filter(|field| field.kind == kind.id);
        of_kind.map(ordered_trays).max().unwrap_or(0)
    };
    let largest: Vec<i64> = scenario.kinds.iter().map(trays).collect();
    for (kind, largest) in scenario.kinds.iter_mut().zip(largest) {
        if dice.chance(20) {
            // Less than its largest field, or more, so that fields must share a run.
            kind.least_run_trays = largest * dice.between(30, 130) / 100;
        }
        kind.last_of_day = dice.chance(20);
        if dice.chance(35) {
            kind.care_times = Fixed(dice.between(50, 300));
        }
        if dice.chance(30) {
            kind.treatment = Some(Treatment {
                agent: "dressing".into(),
                ml_per_kg: Fixed(dice.between(10, 80)),
            });
        }
    }
}

/// An agent in store, with 60 to 130 % of what the orders take, a part of it later; now and then it is not counted.
fn agents(scenario: &mut Scenario, dice: &mut Dice) {
    let mut need = 0;
    for kind in &scenario.kinds {
        let Some(treatment) = &kind.treatment else {
            continue;
        };
        let fields = scenario.fields.iter().filter(|field| field.kind == kind.id);
        let trays: i64 = fields.map(ordered_trays).sum();
        // Tenths of a gram × tenths of a millilitre a kilogram.
        need += div_up(
            trays * kind.seed_g_dry_per_tray.0 * treatment.ml_per_kg.0,
            100_000,
        );
    }
    if need == 0 || dice.chance(10) {
        return;
    }
    let have = need * dice.between(60, 130) / 100 + dice.between(5, 100);
    let now = have * dice.between(30, 100) / 100;
    scenario.agents.push(AgentStore {
        lead_days: 0,
        lot_ml: None,
        id: "dressing".into(),
        name: "Dressing".into(),
        ml: Fixed(now),
        deliveries: vec![AgentDelivery {
            day: scenario.horizon.first.plus(dice.days(1, 8)),
            ml: Fixed(have - now),
        }],
    });
}

fn lines(scenario: &mut Scenario, dice: &mut Dice) {
    let span = span(scenario, dice);
    let asked = |kind: &&Kind| scenario.fields.iter().any(|field| field.kind == kind.id);
    let asked: Vec<String> = scenario
        .kinds
        .iter()
        .filter(asked)
        .map(|kind| kind.id.clone())
        .collect();
    for line in &mut scenario.lines {
        let free = |pair: (&str, &str)| {
            line.set_up_pairs
                .iter()
                .all(|one| pair != (&one.from[..], &one.to[..]))
        };
        if let [.., from, to] = &asked[..]
            && free((from, to))
            && dice.chance(70)
        {
            line.set_up_pairs.push(SetUpPair {
                from: from.clone(),
                to: to.clone(),
                minutes: line.set_up_minutes,
                throw_out_trays: 0,
                never: false,
            });
        }
        if dice.chance(40) {
            line.hopper_g_dry = Fixed(dice.between(100, 20_000));
        }
        if dice.chance(30) {
            let hours = line.hours_per_day.0 * dice.between(50, 130) / 100;
            line.spans.push(LineSpan {
                days: span,
                hours_per_day: Fixed(hours.min(2_400)),
            });
        }
        for pair in &mut line.set_up_pairs {
            if dice.chance(60) {
                pair.throw_out_trays = dice.between(1, 5);
            }
            pair.never = dice.chance(40);
        }
    }
}

fn beds(scenario: &mut Scenario, dice: &mut Dice) {
    for bed in &mut scenario.beds {
        if dice.chance(35) {
            bed.row_trays = Some(dice.between(5, 30));
        }
    }
    let moves = scenario.beds.iter().any(|bed| bed.stages == [Stage::Green]);
    if moves && dice.chance(70) {
        scenario.prices.bed_move = Fixed(dice.between(500, 12_000));
    }
}

fn people_and_trays(scenario: &mut Scenario, dice: &mut Dice) {
    if dice.chance(35) {
        let days = span(scenario, dice);
        for crew in &mut scenario.crews {
            if !dice.chance(60) {
                continue;
            }
            let people = crew.people * dice.between(60, 140) / 100;
            crew.spans.push(CrewSpan {
                days,
                people: dice.chance(60).then_some(people.max(1)),
                shift_start_minute: dice.chance(60).then_some(5 * 60),
                shift_hours: dice
                    .chance(60)
                    .then_some(Fixed(crew.shift_hours.0 * dice.between(70, 120) / 100)),
            });
        }
    }
    if dice.chance(30) {
        let days = span(scenario, dice);
        scenario.trays.dry_spans.push(DrySpan {
            days,
            dry_days: dice.days(0, 5),
        });
    }
}

/// People who can be hired by the week, cheap or dear against overtime, and changes of their number between nothing and more than a week's
/// pay; and hours of a week from a little below the shifts to beyond all overtime.
fn weeks(scenario: &mut Scenario, dice: &mut Dice) {
    for crew in &mut scenario.crews {
        let a_day = Fixed::<3>(crew.shift_hours.0 * crew.overtime_price_per_h.0 / 100);
        if dice.chance(30) {
            let few = crew.people <= 3;
            crew.casual = Some(Casual {
                before: 0,
                most: dice.between(1, if few { 4 } else { 10 }),
                price_per_day: Fixed(a_day.0 * dice.between(2, 120) / 100 + dice.between(0, 9)),
                hire: Fixed(dice.pick(&[0, 1, 10, 700]) * a_day.0 / 100),
                release: Fixed(dice.pick(&[0, 1, 10, 700]) * a_day.0 / 100),
            });
            if dice.chance(60) {
                // So that somebody is needed.
                crew.people = (crew.people * dice.between(30, 90) / 100).max(1);
                crew.rest_day_people = crew.people;
            }
        }
        if dice.chance(30) {
            let shifts = crew.shift_hours.0 * 7;
            let longest = shifts + crew.overtime_hours.0 * 7;
            crew.week_hours_most = Some(Fixed(dice.between(shifts * 9 / 10, longest + 10).max(1)));
        }
    }
}

/// Beds are closed at the end, at the beginning, or for a few days now and then. Where trays stand from before, none is.
fn closed_beds(scenario: &mut Scenario, dice: &mut Dice) {
    let horizon = scenario.horizon;
    for bed in &mut scenario.beds {
        let stands = scenario.opening.sown.iter();
        let mut beds = stands.flat_map(|sown| [&sown.green_bed, &sown.harden_bed]);
        if !dice.chance(35) || beds.any(|id| *id == bed.id) {
            continue;
        }
        let days = horizon.last.since(horizon.first);
        let first = horizon.first.plus(dice.days(0, 6));
        let (early, late) = (dice.days(0, 8), dice.days(0, days / 4));
        let middle = horizon.first.plus(dice.days(9, days - 2));
        let all = [
            DayRange {
                first,
                last: first.plus(early),
            },
            DayRange {
                first: middle,
                last: middle.plus(dice.days(0, 1)),
            },
            DayRange {
                first: horizon.last.plus(-late),
                last: horizon.last,
            },
        ];
        let some: Vec<DayRange> = all.into_iter().filter(|_| dice.chance(60)).collect();
        for span in some {
            let free = |other: &DayRange| span.last < other.first || other.last < span.first;
            if bed.closed.iter().all(free) {
                bed.closed.push(span);
            }
        }
    }
}
