//! Made-up nurseries in which much of what a whole-lot program says besides matters at once: orders of kinds, trial trays in several places,
//! people hired, hours of a week, runs of one field, shares of a shortage, and trays that dry for longer at first.

use crate::common::dice::Dice;
use crate::common::whole;
use sowrota::calendar::DayRange;
use sowrota::nursery::Nursery;
use sowrota::scenario::*;
use sowrota::solve::state::{Ground, State};
use sowrota::units::{Fixed, Span};

/// A tiny nursery with the whole schema, made harder.
pub fn harder(seed: u64) -> Scenario {
    let mut scenario = whole::tiny(seed);
    let mut dice = Dice::new(seed ^ 0x6861_7264);
    kinds(&mut scenario, &mut dice);
    lines(&mut scenario, &mut dice);
    rooms(&mut scenario, &mut dice);
    people(&mut scenario, &mut dice);
    if dice.chance(60) {
        scenario.sharing = Sharing::InProportion;
    }
    if dice.chance(60) {
        washing(&mut scenario, &mut dice);
    }
    parts(&mut scenario, &mut dice);
    scenario
}

/// Up to three kinds, each of a field, and alike in all but their set-ups, so that they can be sown on one day.
fn kinds(scenario: &mut Scenario, dice: &mut Dice) {
    let first = scenario.kinds[0].clone();
    for at in scenario.kinds.len()..3 {
        let kind = Kind {
            id: format!("kind-x{at}"),
            name: format!("Kind X{at}"),
            last_of_day: dice.chance(25),
            ..first.clone()
        };
        scenario.kinds.push(kind);
    }
    let settled = |field: &Field| {
        let pinned = scenario.pins.iter().any(|pin| pin.field == field.id);
        let stands = scenario
            .opening
            .sown
            .iter()
            .any(|sown| sown.field == field.id);
        pinned || stands || field.spare || field.stage != HandOver::Seedlings
    };
    let ids: Vec<String> = scenario.kinds.iter().map(|kind| kind.id.clone()).collect();
    let settled: Vec<bool> = scenario.fields.iter().map(settled).collect();
    for (at, field) in scenario.fields.iter_mut().enumerate() {
        if !settled[at] && dice.chance(80) {
            field.kind = ids[at % ids.len()].clone();
        }
    }
    // Fields that want to be sown on the same days, one of them in two parts.
    let window = scenario
        .fields
        .iter()
        .zip(&settled)
        .find(|(_, settled)| !**settled);
    let window = window.map(|(field, _)| field.window.clone());
    let mut split = dice.chance(60);
    for (at, field) in scenario.fields.iter_mut().enumerate() {
        let free = !settled[at] && field.block.is_none() && field.harvest_before.is_none();
        if let Some(window) = window.as_ref().filter(|_| free && dice.chance(60)) {
            field.window = window.clone();
            field.preferred = None;
        }
        if !settled[at] && field.parts == 1 && std::mem::take(&mut split) {
            field.parts = 2;
        }
    }
}

fn lines(scenario: &mut Scenario, dice: &mut Dice) {
    let ids: Vec<String> = scenario.kinds.iter().map(|kind| kind.id.clone()).collect();
    let by_order = dice.chance(60);
    for line in &mut scenario.lines {
        line.trial_trays = dice.between(0, 6);
        line.first_set_up_minutes = Fixed(dice.between(0, 60) * 100);
        if dice.chance(50) {
            line.hours_per_day = Fixed(line.hours_per_day.0.min(dice.between(250, 700)));
        }
        if !by_order {
            // The same into a kind whatever stood before it, or the same for all.
            line.set_up_pairs.clear();
            let alike = dice.chance(55);
            for to in &ids {
                let minutes = Fixed(dice.between(0, 50) * 100);
                for from in ids.iter().filter(|from| *from != to && !alike) {
                    line.set_up_pairs.push(pair(from, to, minutes, 0, false));
                }
            }
            continue;
        }
        line.set_up_pairs.clear();
        for from in &ids {
            for to in ids.iter().filter(|to| *to != from) {
                let (thrown, never) = (dice.between(0, 4), dice.chance(12));
                let minutes = Fixed(dice.between(0, 70) * 100 + dice.between(0, 99));
                line.set_up_pairs
                    .push(pair(from, to, minutes, thrown, never));
            }
        }
    }
    if !by_order {
        scenario
            .kinds
            .iter_mut()
            .for_each(|kind| kind.last_of_day = false);
    }
}

fn pair(from: &str, to: &str, minutes: Fixed<2>, throw_out_trays: i64, never: bool) -> SetUpPair {
    SetUpPair {
        from: from.into(),
        to: to.into(),
        minutes,
        never,
        throw_out_trays,
    }
}

/// Two places at least, not alike.
fn rooms(scenario: &mut Scenario, dice: &mut Dice) {
    if scenario.germination.len() > 1 || dice.chance(30) {
        return;
    }
    let first = &scenario.germination[0];
    let second = Germination {
        id: "loft".into(),
        name: "Loft".into(),
        height: dice.between(4, 14),
        stack_places: dice.between(1, first.stack_places.max(1)),
        lid_trays: dice.between(0, 2),
        temperature: Temperature::Own(Fixed(dice.between(2_000, 3_000))),
        ..first.clone()
    };
    let front = dice.chance(50);
    let at = if front { 0 } else { 1 };
    scenario.germination.insert(at, second);
}

/// Hours to the hundredth, so that time bought is not always whole minutes; few people, who may be hired and whose week is limited.
fn people(scenario: &mut Scenario, dice: &mut Dice) {
    let horizon = scenario.horizon;
    for crew in &mut scenario.crews {
        crew.shift_hours = Fixed((crew.shift_hours.0 * dice.between(60, 100) / 100).max(1));
        if dice.chance(40) {
            crew.people = dice.between(1, 3);
            crew.rest_day_people = crew.people;
        }
        if dice.chance(50) {
            // Whole minutes now and then.
            let fives = dice.chance(50);
            crew.overtime_hours = Fixed(dice.between(1, 30) * if fives { 5 } else { 3 });
        }
        let a_day = crew.shift_hours.0 * crew.overtime_price_per_h.0 / 100;
        if dice.chance(45) {
            crew.casual = Some(Casual {
                before: dice.between(0, 5),
                most: dice.between(1, 4),
                price_per_day: Fixed(a_day * dice.between(5, 110) / 100),
                hire: Fixed(a_day * dice.between(0, 60) / 100),
                release: Fixed(a_day * dice.between(0, 60) / 100),
            });
        }
        if dice.chance(45) {
            let shifts = crew.shift_hours.0 * 7;
            let longest = shifts + crew.overtime_hours.0 * 5;
            crew.week_hours_most = Some(Fixed(dice.between(shifts * 6 / 10, longest + 10).max(1)));
        }
        if dice.chance(25) {
            // More on some days than on others of a week.
            let first = horizon.first.plus(dice.days(8, 14));
            let last = first.plus(dice.days(2, 12)).min(horizon.last);
            crew.spans = vec![CrewSpan {
                days: DayRange { first, last },
                people: Some(crew.people + dice.between(1, 3)),
                shift_start_minute: None,
                shift_hours: None,
            }];
            let shifts = crew.shift_hours.0 * 7;
            crew.week_hours_most = Some(Fixed(dice.between(shifts * 7 / 10, shifts).max(1)));
        }
    }
}

/// Few trays, a slow washer whose crew also sets up the line, and trays that dry for longer at first.
fn washing(scenario: &mut Scenario, dice: &mut Dice) {
    let horizon = scenario.horizon;
    let ends = horizon.first.plus(dice.days(3, 14));
    let trays = &mut scenario.trays;
    trays.dry_spans = vec![DrySpan {
        days: DayRange {
            first: horizon.first,
            last: ends,
        },
        dry_days: dice.days(3, 6),
    }];
    trays.dry_days = 1;
    trays.wash_trays_per_h = *dice.pick(&[2, 5, 10, 25, 400]);
    trays.wash_hours_per_day = Fixed(100);
    let waits = trays.stock / 3;
    scenario.opening.dirty_trays = dice.between(waits / 3, waits.max(1));
    if let Some(set_up) = &scenario.work.set_up {
        let minutes = Fixed(dice.between(20, 900) * 100);
        scenario.work.wash = Some(PieceTask {
            crew: set_up.crew.clone(),
            person_minutes: minutes,
            per: Per::HundredTrays,
        });
    }
}

/// A field of several parts, whose runs have a price.
fn parts(scenario: &mut Scenario, dice: &mut Dice) {
    if scenario.fields.iter().any(|field| field.parts > 1) {
        scenario.prices.split_run = Fixed::whole(dice.between(1, 40));
    }
}

/// The nursery with one thing so scarce that the decisions just fit, or just do not: the hours of the line on the day of its most runs, the
/// trays, places for stacks, or overtime; or with trays that are ready in time only when they are washed later than they can be.
pub fn sharpened(
    scenario: &Scenario,
    choice: &[Option<sowrota::nursery::OptionId>],
    dice: &mut Dice,
) -> Scenario {
    let mut sharp = scenario.clone();
    let nursery = Nursery::new(scenario);
    let ground = Ground::new(&nursery);
    let mut state = State::of(&ground, choice);
    state.beyond();
    let fits = i64::from(dice.chance(50));
    match dice.between(1, 5) {
        1 => {
            let clean = state.queue().clean().min().unwrap_or(0);
            sharp.trays.stock -= clean + 1 - fits;
        }
        2 => stack_places(&mut sharp, &state, fits, dice),
        3 => overtime(&mut sharp, &state, fits),
        4 => slow_drying(&mut sharp, &state),
        _ => line_hours(&mut sharp, &state, fits),
    }
    sharp
}

fn line_hours(sharp: &mut Scenario, state: &State<'_>, fits: i64) {
    let (ground, nursery) = (state.ground(), state.ground().nursery);
    let days = |line| (0..nursery.days).map(move |day| (line, day));
    let places = (0..sharp.lines.len()).flat_map(days);
    let kinds = |(line, day): &(usize, usize)| state.kinds_on(*line, *day).len();
    let Some((line, day)) = places.max_by_key(kinds) else {
        return;
    };
    let lines = ground.books.of_rule(sowrota::rules::LINE_HOURS);
    let used = state.used()[(lines.start + line) * nursery.days + day];
    let hundredth = Span::HOUR / 100;
    let up = i64::from(used % hundredth > 0);
    sharp.lines[line].spans.clear();
    sharp.lines[line].hours_per_day = Fixed((used / hundredth + fits * up).clamp(1, 2_400));
}

fn stack_places(sharp: &mut Scenario, state: &State<'_>, fits: i64, dice: &mut Dice) {
    let (ground, nursery) = (state.ground(), state.ground().nursery);
    let stacks = ground.books.of_rule("stack places");
    let place = dice.between(0, sharp.germination.len() as i64 - 1) as usize;
    let slots = (stacks.start + place) * nursery.days..(stacks.start + place + 1) * nursery.days;
    let most = state.used()[slots].iter().max().copied().unwrap_or(0);
    sharp.germination[place].stack_places = (most - 1 + fits).max(1);
}

/// Overtime of the crew that needs most of it beside its shift, in whole minutes.
fn overtime(sharp: &mut Scenario, state: &State<'_>, fits: i64) {
    let (ground, days) = (state.ground(), state.ground().nursery.days);
    let crews = ground.books.of_rule(sowrota::rules::CREW_HOURS);
    let over = |slot: &usize| state.used()[*slot] - ground.slots.there[*slot];
    let slots = crews.start * days..crews.end * days;
    let working = slots.filter(|slot| ground.slots.there[*slot] > 0);
    let Some(slot) = working.max_by_key(over) else {
        return;
    };
    let crew = &mut sharp.crews[slot / days - crews.start];
    // Three minutes are five hundredths of an hour.
    let threes = over(&slot).max(0) / crew.people.max(1) / (3 * Span::MINUTE);
    crew.overtime_hours = Fixed((5 * (threes + fits)).clamp(0, 1_200));
}

/// All trays are dirty on the first morning. Washed at once they dry for too long, washed two days before the first sowing they would not.
fn slow_drying(sharp: &mut Scenario, state: &State<'_>) {
    let nursery = state.ground().nursery;
    let supply = state.ground().trays();
    let runs = nursery.runs.iter().enumerate();
    let sown = runs.filter(|(at, run)| state.lots_in_run(*at) > 0 && run.line().is_some());
    let Some(first) = sown.map(|(_, run)| run.sow).min() else {
        return;
    };
    sharp.opening.dirty_trays += supply.clean.max(0);
    sharp.trays.wash_trays_per_h = 400;
    sharp.trays.wash_hours_per_day = Fixed(100);
    sharp.trays.dry_days = 1;
    sharp.trays.dry_spans = vec![DrySpan {
        days: DayRange {
            first: sharp.horizon.first,
            last: first.plus(-3),
        },
        dry_days: 30,
    }];
}
