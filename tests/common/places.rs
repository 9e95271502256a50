//! Made-up lines, places, trays and people: the supply side of a generated nursery, just large
//! enough, or not quite, for its orders where it is meant to be tight.

use super::dice::Dice;
use super::generate::{Outline, Tight};
use super::orders::part_trays;
use sowrota::scenario::*;
use sowrota::units::{Fixed, div_up};

/// Trays of the largest lot and of all lots.
fn sizes(fields: &[Field]) -> (i64, i64) {
    let lots = || {
        fields
            .iter()
            .flat_map(|field| (1..=field.parts).map(|part| part_trays(field, part)))
    };
    (lots().max().unwrap_or(1), lots().sum())
}

/// `least` when it is tight, and up to two thirds more, now and then a little less; else plenty.
fn room_for(dice: &mut Dice, outline: &Outline, what: Tight, least: i64, plenty: i64) -> i64 {
    if outline.is_tight(what) {
        div_up(least * dice.between(95, 165), 100)
    } else {
        plenty
    }
}

/// One or two lines.
pub fn lines(dice: &mut Dice, outline: &Outline, fields: &[Field], kinds: &[Kind]) -> Vec<Line> {
    let (largest, _) = sizes(fields);
    let trial_trays = dice.between(0, 5);
    let mut lines = Vec::new();
    for at in 0..outline.lines {
        let rate = dice.between(100, 400);
        let first_set_up = dice.between(0, 30);
        // Hundredths of an hour for the largest lot at four fifths of the rate.
        let least = div_up((largest + trial_trays) * 125, rate) + div_up(first_set_up * 100, 60);
        let mut line = Line {
            hopper_g_dry: Fixed(0),
            spans: vec![],
            rates: vec![],
            id: format!("line-{at}"),
            name: format!("Line {at}"),
            set_trays_per_h: Fixed(rate * 10),
            share_run: Fixed(800_000),
            hours_per_day: Fixed(room_for(dice, outline, Tight::Line, least, 1_000).min(2_400)),
            first_set_up_minutes: Fixed(first_set_up * 100),
            set_up_minutes: Fixed(dice.between(0, 40) * 100),
            set_up_pairs: Vec::new(),
            trial_trays,
        };
        for (from, to) in [(0, 1), (1, 0), (1, 2)] {
            if to.max(from) < kinds.len() && dice.chance(40) {
                line.set_up_pairs.push(SetUpPair {
                    throw_out_trays: 0,
                    never: false,
                    from: kinds[from].id.clone(),
                    to: kinds[to].id.clone(),
                    minutes: Fixed(dice.between(0, 60) * 100),
                });
            }
        }
        lines.push(line);
    }
    lines
}

/// Places for stacks: a warm room, and perhaps a shed.
pub fn rooms(dice: &mut Dice, outline: &Outline, fields: &[Field]) -> Vec<Germination> {
    let (largest, all) = sizes(fields);
    let warm = Temperature::Own(Fixed(dice.between(2_600, 3_000)));
    let shed = Temperature::Outdoors {
        night_plus_c: Fixed(200),
        day_plus_c: Fixed(400),
    };
    let mut rooms = Vec::new();
    for at in 0..outline.rooms {
        let height = dice.between(5, 15);
        let (least, plenty) = (div_up(largest + 5, height), div_up(2 * all, height) + 10);
        rooms.push(Germination {
            id: format!("room-{at}"),
            name: format!("Room {at}"),
            stack_places: room_for(dice, outline, Tight::Stacks, least, plenty),
            height,
            lid_trays: dice.between(0, 1),
            base_trays: dice.between(0, 1),
            temperature: if at == 0 { warm } else { shed },
            longest_wait_days: dice.days(1, 2),
            spans: Vec::new(),
        });
    }
    rooms
}

/// Beds in the arrangement of the outline.
pub fn beds(dice: &mut Dice, outline: &Outline, fields: &[Field]) -> Vec<Bed> {
    use Stage::{Green, Harden};
    let stages: &[&[Stage]] = match outline.beds {
        0 => &[&[Green, Harden]],
        1 => &[&[Green, Harden], &[Green, Harden]],
        2 => &[&[Green], &[Harden]],
        _ => &[&[Green], &[Harden], &[Green, Harden]],
    };
    let (largest, all) = sizes(fields);
    let mut beds = Vec::new();
    for (at, stages) in stages.iter().enumerate() {
        let per_m2 = *dice.pick(&[278, 463, 500]);
        let trays = room_for(dice, outline, Tight::Floor, largest, 2 * all);
        beds.push(Bed {
            closed: vec![],
            row_trays: None,
            turn_round_days: 0,
            id: format!("bed-{at}"),
            name: format!("Bed {at}"),
            area_m2: Fixed(div_up(trays * 10_000, per_m2)),
            trays_per_m2: Fixed(per_m2),
            stages: stages.to_vec(),
            temperature: Temperature::Outdoors {
                night_plus_c: Fixed(dice.between(0, 3) * 100),
                day_plus_c: Fixed(dice.between(0, 4) * 100),
            },
        });
    }
    beds
}

/// Pairs of beds that a lot may stand in, as positions.
pub fn bed_paths(beds: &[Bed]) -> Vec<(usize, usize)> {
    let takes = |at: usize, stage| beds[at].stages.contains(&stage);
    let mut paths = Vec::new();
    for green in (0..beds.len()).filter(|at| takes(*at, Stage::Green)) {
        match takes(green, Stage::Harden) {
            true => paths.push((green, green)),
            false => paths.extend(
                (0..beds.len())
                    .filter(|at| takes(*at, Stage::Harden))
                    .map(|at| (green, at)),
            ),
        }
    }
    paths
}

/// Lids and bases under and over the stacks of `trays` trays.
fn lids(room: &Germination, trays: i64) -> i64 {
    div_up(trays, room.height) * (room.lid_trays + room.base_trays)
}

/// The tray stock.
pub fn trays(
    dice: &mut Dice,
    outline: &Outline,
    fields: &[Field],
    opening: &Opening,
    rooms: &[Germination],
    trial_trays: i64,
) -> Trays {
    let (largest, all) = sizes(fields);
    let lids_of = |trays| {
        rooms
            .iter()
            .map(|room| lids(room, trays))
            .max()
            .unwrap_or(0)
    };
    let most_lids = lids_of(largest + trial_trays);
    // What the first morning takes off the stock.
    let sown: i64 = opening
        .sown
        .iter()
        .map(|sown| sown.trays + lids_of(sown.trays))
        .sum();
    let away: i64 = opening.trays_out.iter().map(|out| out.trays).sum();
    let least = (all * dice.between(50, 90) / 100).max(largest + trial_trays) + most_lids;
    let free = if outline.is_tight(Tight::Trays) {
        least
    } else {
        2 * all + 20 * (trial_trays + most_lids)
    };
    Trays {
        dry_spans: vec![],
        loaded_kg: sowrota::units::Fixed(750),
        stock: free + sown + away + opening.dirty_trays,
        return_days: dice.days(1, 3),
        loss: Fixed(dice.between(0, 30) * 1_000),
        wash_trays_per_h: dice.between(100, 300),
        wash_hours_per_day: Fixed(dice.between(50, 300)),
        dry_days: dice.days(0, 1),
    }
}

/// Three crews; when they are tight, hardly enough for the largest lot.
pub fn crews(dice: &mut Dice, outline: &Outline, fields: &[Field], lines: &[Line]) -> Vec<Crew> {
    let (largest, _) = sizes(fields);
    let tight = outline.is_tight(Tight::Crew);
    // Hundredths of an hour, for a team of three: the longest sowing that a line can be asked for.
    let sowing = lines
        .iter()
        .map(|line| line.hours_per_day.0)
        .max()
        .unwrap_or(0);
    // Hundredths of an hour, for one person: opening the stacks of the largest lot, or loading it.
    let laying_out = (largest * 40 / 60).max(20);
    let mut crew = |name: &str, calendar, people: i64, hours: i64, tight: bool| Crew {
        casual: None,
        week_hours_most: None,
        spans: vec![],
        id: name.into(),
        name: name.into(),
        people,
        calendar,
        shift_start_minute: 7 * 60,
        shift_hours: Fixed(hours.min(1_200)),
        overtime_hours: Fixed(if tight {
            dice.between(20, 100)
        } else {
            dice.between(0, 200)
        }),
        overtime_price_per_h: Fixed::whole(dice.between(8, 25)),
        rest_day_people: people,
        rest_day_price_per_h: Fixed::whole(dice.between(10, 30)),
    };
    if tight {
        vec![
            crew("line", CalendarName::Line, 3, sowing * 7 / 10 + 1, true),
            crew("yard", CalendarName::Beds, 1, laying_out, true),
            crew("field", CalendarName::Planting, 2, 400, true),
        ]
    } else {
        vec![
            crew(
                "line",
                CalendarName::Line,
                3 * lines.len() as i64,
                1_000,
                false,
            ),
            crew("yard", CalendarName::Beds, 20, 900, false),
            crew("field", CalendarName::Planting, 20, 900, false),
        ]
    }
}

/// Most tasks take time in most nurseries.
pub fn work(dice: &mut Dice) -> Work {
    let mut piece = |crew: &str, least: i64, most: i64, per| {
        let task = PieceTask {
            crew: crew.into(),
            person_minutes: Fixed(dice.between(least * 100, most * 100)),
            per,
        };
        dice.chance(85).then_some(task)
    };
    use Per::{Hectare, HundredTrays, Kilogram, SquareMetre};
    Work {
        set_up: Some(TeamTask {
            crew: "line".into(),
            team: 2,
        }),
        sow: Some(TeamTask {
            crew: "line".into(),
            team: 3,
        }),
        soak: piece("yard", 0, 1, Kilogram),
        drain: piece("yard", 0, 1, Kilogram),
        stack: piece("line", 1, 6, HundredTrays),
        unstack: piece("yard", 10, 30, HundredTrays),
        green: piece("yard", 0, 1, SquareMetre),
        harden: piece("yard", 0, 1, SquareMetre),
        load: piece("yard", 10, 30, HundredTrays),
        plant: piece("field", 300, 600, Hectare),
        collect: piece("yard", 5, 12, HundredTrays),
        wash: piece("yard", 10, 40, HundredTrays),
        care: piece("yard", 1, 5, HundredTrays),
    }
}

/// Planting machines.
pub fn planters(dice: &mut Dice, outline: &Outline, fields: &[Field]) -> Vec<Planter> {
    let part_area = |field: &Field| div_up(field.area_ha.0, field.parts.into());
    let largest = fields.iter().map(part_area).max().unwrap_or(1);
    let mut planters = Vec::new();
    for (at, id) in outline.planters.iter().enumerate() {
        planters.push(Planter {
            hours_per_day: sowrota::units::Fixed(1_000),
            move_minutes: sowrota::units::Fixed(0),
            id: id.clone(),
            name: format!("Machine {at}"),
            ha_per_day: Fixed(room_for(dice, outline, Tight::Planter, largest, 50_000)),
            whose: *dice.pick(&[Whose::Nursery, Whose::Grower]),
        });
    }
    planters
}
