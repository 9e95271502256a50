//! What made-up nurseries carry over to their first day: more batches that stand, with the days on which they were opened and hardened, counts
//! of them, names of their runs; parts served or with other trays; days told; people hired before.

use super::dice::Dice;
use super::orders::part_trays;
use super::places::bed_paths;
use sowrota::calendar::DayRange;
use sowrota::scenario::*;
use sowrota::units::{Fixed, div_up};

/// Adds it by chance; stands last, since it looks at what the others made.
pub fn add(scenario: &mut Scenario, dice: &mut Dice) {
    more_batches(scenario, dice);
    for at in 0..scenario.opening.sown.len() {
        batch(scenario, dice, at);
    }
    runs(scenario, dice);
    parts(scenario, dice);
    told(scenario, dice);
    if dice.chance(35) {
        let (trays, days) = (dice.between(5, 40), dice.days(0, 4));
        scenario.opening.drying.push(Drying {
            trays,
            clean: scenario.horizon.first.plus(days),
        });
        scenario.trays.stock += trays;
    }
    let last = scenario.horizon.last.since(scenario.horizon.first);
    for place in &mut scenario.germination {
        if matches!(place.temperature, Temperature::Own(_)) && dice.chance(40) {
            // A day or two without all of its warmth.
            let first = scenario.horizon.first.plus(dice.days(0, last.min(12)));
            place.spans.push(WarmthSpan {
                days: DayRange {
                    first,
                    last: first.plus(dice.days(0, 1)).min(scenario.horizon.last),
                },
                own_c: Fixed(dice.between(1_400, 3_200)),
            });
        }
    }
    for casual in scenario
        .crews
        .iter_mut()
        .filter_map(|crew| crew.casual.as_mut())
    {
        if dice.chance(55) {
            // Sometimes more than can be hired from now on.
            casual.before = dice.between(1, casual.most + 2);
        }
    }
}

fn field_of<'a>(scenario: &'a Scenario, id: &str) -> &'a Field {
    let mut fields = scenario.fields.iter();
    fields.find(|field| field.id == id).expect("a field")
}

fn kind_of<'a>(scenario: &'a Scenario, field: &Field) -> &'a Kind {
    let mut kinds = scenario.kinds.iter();
    kinds.find(|kind| kind.id == field.kind).expect("a kind")
}

/// Fields whose parts can stand already, as far as the rest of the nursery says nothing else of them.
fn free(scenario: &Scenario) -> Vec<usize> {
    let season = scenario.seasons.first().map(|season| &season.id);
    let free = |field: &Field| {
        let named = |id: &String| *id == field.id;
        field.stage != HandOver::SoakedSeed
            && field.ready
            && !field.spare
            && field.season.as_ref() == season
            && !scenario.pins.iter().any(|pin| named(&pin.field))
            && !scenario.opening.sown.iter().any(|sown| named(&sown.field))
    };
    let all = 0..scenario.fields.len();
    all.filter(|at| free(&scenario.fields[*at])).collect()
}

/// Some fields stand from before, all parts of them or the first; their windows come early enough.
fn more_batches(scenario: &mut Scenario, dice: &mut Dice) {
    let open = |bed: usize| scenario.beds[bed].closed.is_empty();
    let paths: Vec<_> = bed_paths(&scenario.beds)
        .into_iter()
        .filter(|(green, harden)| open(*green) && open(*harden))
        .collect();
    if paths.is_empty() || !dice.chance(55) {
        return;
    }
    for _ in 0..dice.between(1, 3) {
        let free = free(scenario);
        if free.is_empty() {
            break;
        }
        let at = *dice.pick(&free);
        let age = dice.days(1, 7);
        let field = &scenario.fields[at];
        let kind = kind_of(scenario, field);
        // Days at an ordinary 20 °C, as the kinds are made.
        let ordinary = [100, 20, 1_000][kind.age.clock as usize];
        let youngest = div_up(kind.age.youngest.0, ordinary) as i32;
        let start = scenario
            .horizon
            .first
            .plus((youngest - age).max(0) + dice.days(0, 1));
        let shift = start.since(field.window[0].first);
        let parts = if dice.chance(60) { field.parts } else { 1 };
        let (green, harden) = *dice.pick(&paths);
        for part in 1..=parts {
            let field = &scenario.fields[at];
            let ordered = part_trays(field, part);
            let sown = Sown {
                field: field.id.clone(),
                part,
                sown: scenario.horizon.first.plus(-age),
                trays: (ordered + dice.between(-2, 8)).max(1),
                germination: dice.pick(&scenario.germination).id.clone(),
                green_bed: scenario.beds[green].id.clone(),
                harden_bed: scenario.beds[harden].id.clone(),
                run: None,
                opened: None,
                hardened: None,
                leaving: None,
                ahead: Fixed(0),
            };
            scenario.opening.sown.push(sown);
        }
        let field = &mut scenario.fields[at];
        let shifted = |span: &DayRange| DayRange {
            first: span.first.plus(shift),
            last: span.last.plus(shift),
        };
        (field.block, field.harvest_before) = (None, None);
        (field.harvest_first_days, field.harvest_last_days) = (0, None);
        field.window = field.window.iter().map(shifted).collect();
        field.closed = field.closed.iter().map(shifted).collect();
        field.preferred = field.preferred.map(|day| day.plus(shift));
    }
    let opening = &scenario.opening;
    let sown: i64 = opening.sown.iter().map(|sown| sown.trays).sum();
    let out: i64 = opening.trays_out.iter().map(|out| out.trays).sum();
    // Closed stacks keep their lids and bases.
    let lids = |sown: &Sown| {
        let mut rooms = scenario.germination.iter();
        let room = rooms
            .find(|room| room.id == sown.germination)
            .expect("a room");
        div_up(sown.trays, room.height) * (room.lid_trays + room.base_trays)
    };
    let lids: i64 = opening.sown.iter().map(lids).sum();
    let used = sown + out + opening.dirty_trays + lids;
    scenario.trays.stock = scenario.trays.stock.max(used + dice.between(10, 100));
}

/// Days on which a batch was opened and hardened, not always those of growth and calendars, and what a count of it found.
fn batch(scenario: &mut Scenario, dice: &mut Dice, at: usize) {
    let first = scenario.horizon.first;
    let sown = &scenario.opening.sown[at];
    let field = field_of(scenario, &sown.field);
    let kind = kind_of(scenario, field);
    let sprouted = field.stage == HandOver::Sprouted;
    let step = [100, 20, 1_000][kind.age.clock as usize];
    let (greening, age) = (kind.greening_days, first.since(sown.sown));
    let sown = &mut scenario.opening.sown[at];
    if !sprouted && age > 1 && dice.chance(70) {
        let opened = sown.sown.plus(dice.days(1, (age - 1).min(4)));
        sown.opened = Some(opened);
        let due = opened.plus(greening + dice.days(0, 1));
        if due < first && dice.chance(80) {
            sown.hardened = Some(due);
        }
    }
    if dice.chance(40) {
        sown.leaving = Some(dice.between((sown.trays * 6 / 10).max(1), sown.trays));
    }
    if dice.chance(50) {
        let off = *dice.pick(&[-150, -60, -10, 5, 40, 100]);
        sown.ahead = Fixed(off * step / 100);
    }
}

/// Names of runs as they stand on the stacks: one for each batch, one for several, some that no plan of ours would give.
fn runs(scenario: &mut Scenario, dice: &mut Dice) {
    let mut last = String::new();
    for sown in &mut scenario.opening.sown {
        if !last.is_empty() && dice.chance(85) {
            sown.run = Some(last.clone());
        } else if dice.chance(90) {
            let number = dice.between(1, 40);
            last = match dice.between(1, 10) {
                1 => "late barn".into(),
                2 => format!("R{number:03}.1"),
                _ => format!("R{number:03}"),
            };
            sown.run = Some(last.clone());
        }
    }
}

/// Parts that have been served, and parts with more or fewer trays than were ordered; one part is always left to be grown.
fn parts(scenario: &mut Scenario, dice: &mut Dice) {
    if !dice.chance(45) {
        return;
    }
    let all: i64 = scenario
        .fields
        .iter()
        .map(|field| i64::from(field.parts))
        .sum();
    let mut served = 0;
    for field in &scenario.fields {
        for part in 1..=field.parts {
            if !dice.chance(25) {
                continue;
            }
            let mut sown = scenario.opening.sown.iter();
            let stands = sown.any(|sown| sown.field == field.id && sown.part == part);
            let pinned = scenario.pins.iter().any(|pin| pin.field == field.id);
            let serve = !stands && !pinned && served + 1 < all && dice.chance(50);
            served += i64::from(serve);
            let other = part_trays(field, part) * dice.between(40, 120) / 100;
            scenario.opening.parts.push(PartKnown {
                field: field.id.clone(),
                part,
                trays: if serve { 0 } else { other.max(1) },
            });
        }
    }
}

/// Days told or planned, in the window or a little beside it, and what another day costs.
fn told(scenario: &mut Scenario, dice: &mut Dice) {
    if !dice.chance(50) {
        return;
    }
    let prices = &mut scenario.prices;
    prices.promise_moved = Fixed::whole(dice.between(0, 60));
    prices.plan_moved = Fixed(dice.between(0, 15_000));
    for field in &scenario.fields {
        let (first, last) = (
            field.window[0].first,
            field.window[field.window.len() - 1].last,
        );
        for part in 1..=field.parts {
            if dice.chance(55) {
                scenario.told.push(Told {
                    field: field.id.clone(),
                    part,
                    day: first.plus(dice.days(-1, last.since(first) + 1)),
                    promised: dice.chance(60),
                });
            }
        }
    }
}
