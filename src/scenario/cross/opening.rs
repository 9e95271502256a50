//! What stands on the first day, and pins.

use super::{carried, windows};
use crate::calendar::{Day, DayRange};
use crate::problems::Severity::{Error, Warning};
use crate::scenario::gather::{Gather, nearest};
use crate::scenario::types::{Field, HandOver, OrderState, Scenario, Sown, StackClock, Stage};
use crate::scenario::{Kept, codes, spare, trays};
use crate::units::div_up;
use std::collections::BTreeSet;

/// Trays stand at most so long before the first day; seed soaks at most so long.
const LONGEST_SOWN_DAYS: i32 = 200;
const LONGEST_SOAKED_DAYS: i32 = 60;

pub(super) fn field<'a>(scenario: &'a Scenario, id: &str) -> Option<&'a Field> {
    scenario.fields.iter().find(|field| field.id == id)
}

/// True when the part exists and is grown; else that is told.
pub(super) fn part(
    gather: &mut Gather,
    scenario: &Scenario,
    path: &str,
    id: &str,
    part: u32,
) -> bool {
    let Some(field) = field(scenario, id) else {
        no_spare(gather, scenario, path, id);
        return false;
    };
    if !spare::is_firm(field) {
        not_firm(gather, field, path);
        return false;
    }
    if part <= field.parts {
        return true;
    }
    let message = format!("there is no part {part} of field `{id}`");
    let parts = match field.parts {
        1 => "1 part".to_owned(),
        parts => format!("{parts} parts"),
    };
    gather
        .flag(
            Error,
            codes::PART,
            &[&format!("{path}.part"), &format!("{path}.field"), "fields"],
            message,
        )
        .expected(format!("the field has {parts}"));
    false
}

/// Tells that nothing is grown for an order line.
fn not_firm(gather: &mut Gather, field: &Field, path: &str) {
    let else_do = match path.split('[').next() {
        Some("opening.sown") => "name the field that gets the trays",
        Some("opening.parts") => "take the part out of `opening.parts`",
        Some("told") => "take the day out of `told`",
        _ => "take the pin out",
    };
    let (word, help) = match field.state {
        OrderState::Enquiry => ("an enquiry", format!("write `firm`, or {else_do}")),
        _ => ("cancelled", else_do.to_owned()),
    };
    let message = format!(
        "the order of field `{}` is {word}: nothing is grown for it",
        field.id
    );
    let paths = [&format!("{path}.field"), "fields"];
    gather
        .flag(Error, codes::NOTHING_GROWN, &paths, message)
        .expected("a field whose order is firm")
        .help(help);
}

/// Tells that there is no spare of that name; other names are told where they are read.
fn no_spare(gather: &mut Gather, scenario: &Scenario, path: &str, id: &str) {
    if !id.starts_with(spare::PREFIX) {
        return;
    }
    let spares = scenario.fields.iter().filter(|field| field.spare);
    let ids: Vec<&str> = spares.map(|field| field.id.as_str()).collect();
    let message = format!("there is no spare `{id}`");
    let paths = [&format!("{path}.field"), "fields", "kinds"];
    let problem = gather.flag(Error, codes::UNKNOWN_ID, &paths, message);
    match nearest(id, ids.iter().copied()) {
        Some(near) => problem.help(format!("write `{near}`")),
        None if ids.is_empty() => {
            problem.help("no spare is grown here: `spare_share` of a kind asks for one")
        }
        None => problem.expected(format!("one of {}", ids.join(", "))),
    };
}

/// Days, stages and tray balance of the opening.
pub fn opening(gather: &mut Gather, scenario: &Scenario) {
    sown(gather, scenario);
    let first = scenario.horizon.first;
    let before = format!("a day before the first day of the horizon, {first}");
    for (index, batch) in scenario.opening.soaked.iter().enumerate() {
        let path = format!("opening.soaked[{index}].soaked");
        let ahead = first.since(batch.soaked);
        if !(1..=LONGEST_SOAKED_DAYS).contains(&ahead) {
            let message = format!("seed soaked on {}", batch.soaked);
            gather
                .flag(Error, codes::OPENING_DAY, &[&path, "horizon"], message)
                .expected(format!(
                    "{before}, at most {LONGEST_SOAKED_DAYS} days ahead"
                ));
        }
    }
    for (index, out) in scenario.opening.trays_out.iter().enumerate() {
        if out.back < first {
            let path = format!("opening.trays_out[{index}].back");
            gather
                .flag(
                    Error,
                    codes::OPENING_DAY,
                    &[&path, "horizon"],
                    format!("trays back on {}", out.back),
                )
                .expected(format!("{first}, the first day of the horizon, or later"))
                .help("trays that are back already belong to `dirty_trays`");
        }
    }
    for (index, drying) in scenario.opening.drying.iter().enumerate() {
        if drying.clean < first {
            let path = format!("opening.drying[{index}].clean");
            gather
                .flag(
                    Error,
                    codes::OPENING_DAY,
                    &[&path, "horizon"],
                    format!("trays clean on {}", drying.clean),
                )
                .expected(format!("{first}, the first day of the horizon, or later"))
                .help("trays that are clean already are named nowhere");
        }
    }
    carried::parts(gather, scenario);
    carried::told(gather, scenario);
    balance(gather, scenario);
}

fn balance(gather: &mut Gather, scenario: &Scenario) {
    let opening = &scenario.opening;
    let sown: i64 = opening.sown.iter().map(|batch| batch.trays).sum();
    let out: i64 = opening.trays_out.iter().map(|out| out.trays).sum();
    let drying: i64 = opening.drying.iter().map(|drying| drying.trays).sum();
    let used = sown + out + opening.dirty_trays + drying;
    if used > scenario.trays.stock {
        let message = format!(
            "{used} trays are in use on the first day ({sown} sown, {out} away, {} dirty{}), {} are owned",
            opening.dirty_trays,
            if drying > 0 {
                format!(", {drying} drying")
            } else {
                String::new()
            },
            scenario.trays.stock
        );
        gather
            .flag(
                Error,
                codes::TRAYS_BELOW_ZERO,
                &["trays.stock", "opening"],
                message,
            )
            .expected("at least as many trays as are in use");
    }
}

fn sown(gather: &mut Gather, scenario: &Scenario) {
    let first = scenario.horizon.first;
    let mut seen = BTreeSet::new();
    for (index, batch) in scenario.opening.sown.iter().enumerate() {
        let path = format!("opening.sown[{index}]");
        let ahead = first.since(batch.sown);
        if !(1..=LONGEST_SOWN_DAYS).contains(&ahead) {
            let message = format!("trays sown on {}", batch.sown);
            gather
                .flag(Error, codes::OPENING_DAY, &[&format!("{path}.sown"), "horizon"], message)
                .expected(format!(
                    "a day before the first day of the horizon, {first}, at most {LONGEST_SOWN_DAYS} days ahead"
                ));
        }
        if part(gather, scenario, &path, &batch.field, batch.part) {
            against_order(gather, scenario, &path, batch);
            in_closed_bed(gather, scenario, &path, batch);
        }
        carried::batch(gather, scenario, &path, batch);
        if !seen.insert((&batch.field, batch.part)) {
            let message = format!(
                "part {} of field `{}` is sown twice",
                batch.part, batch.field
            );
            gather
                .flag(Error, codes::OPENING_DOUBLE, &[&path], message)
                .expected("one entry for each part");
        }
        for (key, id, stage, word) in [
            ("green_bed", &batch.green_bed, Stage::Green, "green"),
            ("harden_bed", &batch.harden_bed, Stage::Harden, "harden"),
        ] {
            let bed = scenario.beds.iter().find(|bed| bed.id == *id);
            if bed.is_some_and(|bed| !bed.stages.contains(&stage)) {
                let message = format!("the bed `{id}` does not take the stage `{word}`");
                gather
                    .flag(
                        Error,
                        codes::OPENING_STAGE,
                        &[&format!("{path}.{key}"), "beds"],
                        message,
                    )
                    .help(format!("name a bed with `{word}` among its `stages`"));
            }
        }
        let green = scenario.beds.iter().find(|bed| bed.id == batch.green_bed);
        let stays = green.is_some_and(|bed| {
            bed.stages.contains(&Stage::Green) && bed.stages.contains(&Stage::Harden)
        });
        let known = scenario.beds.iter().any(|bed| bed.id == batch.harden_bed);
        if stays && known && batch.green_bed != batch.harden_bed {
            let message = format!("trays that green in `{}` stay there", batch.green_bed);
            let paths = [
                format!("{path}.harden_bed"),
                format!("{path}.green_bed"),
                "beds".to_owned(),
            ];
            gather
                .flag(
                    Error,
                    codes::OPENING_STAGE,
                    &paths.each_ref().map(String::as_str),
                    message,
                )
                .help(format!(
                    "write `{}` for both, since it takes both stages",
                    batch.green_bed
                ));
        }
    }
}

/// Trays that stand against what is ordered.
fn against_order(gather: &mut Gather, scenario: &Scenario, path: &str, batch: &Sown) {
    let Some(field) = field(scenario, &batch.field) else {
        return;
    };
    if field.stage == HandOver::SoakedSeed {
        let message = format!(
            "field `{}` gets seed, and trays stand sown for it",
            field.id
        );
        let paths = [&format!("{path}.field"), "fields"];
        gather
            .flag(Error, codes::NOTHING_GROWN, &paths, message)
            .expected("a field whose `stage` is `seedlings` or `sprouted`");
        return;
    }
    let at = batch.part.saturating_sub(1) as usize;
    let known = &scenario.opening.parts;
    let ordered = trays::of_field_known(field, known).trays.get(at).copied();
    let kind = scenario.kinds.iter().find(|kind| kind.id == field.kind);
    let (Some(ordered), Some(kind)) = (ordered, kind) else {
        return;
    };
    let leave = batch
        .leaving
        .unwrap_or_else(|| Kept::of(&kind.losses, field.stage).leaving(batch.trays));
    if ordered <= leave {
        return;
    }
    let lost = if leave < batch.trays {
        format!(" and {leave} of them will leave")
    } else {
        String::new()
    };
    let message = format!(
        "{} trays stand sown for field `{}`{lost}, {ordered} are ordered",
        batch.trays, batch.field
    );
    let paths = [&format!("{path}.trays"), "fields", "kinds"];
    gather
        .flag(Warning, codes::FEWER_SOWN, &paths, message)
        .help("the rest is not planned: give it a part or a field of its own");
}

/// Trays that must stand in a bed on a day on which it is closed, whatever is decided of them. Only stacks counted in days tell
/// here when they are opened; of others the plan says what cannot be grown.
fn in_closed_bed(gather: &mut Gather, scenario: &Scenario, path: &str, batch: &Sown) {
    for (key, id, from, until) in stays(scenario, batch).into_iter().flatten() {
        let first = from.max(scenario.horizon.first);
        let last = until.plus(-1).min(scenario.horizon.last);
        let Some(index) = scenario.beds.iter().position(|bed| bed.id == id) else {
            continue;
        };
        let closed = &scenario.beds[index].closed;
        let meets = |span: &DayRange| span.first <= last && first <= span.last && first <= last;
        let Some(at) = closed.iter().position(meets) else {
            continue;
        };
        let message = format!(
            "trays for field `{}` stand in the bed `{id}` from {first} to {last} at least, and it is closed on {}",
            batch.field, closed[at]
        );
        let names = [
            format!("{path}.{key}"),
            format!("beds[{index}].closed[{at}]"),
            format!("{path}.sown"),
        ];
        let mut paths: Vec<&str> = names.iter().map(String::as_str).collect();
        paths.extend([
            "horizon",
            "fields",
            "kinds",
            "germination",
            "calendars",
            "blocks",
        ]);
        gather
            .flag(Error, codes::BED_CLOSED, &paths, message)
            .expected("a bed that is open while they stand in it")
            .help(format!(
                "name another bed, or shorten `beds[{index}].closed[{at}]`"
            ));
        return;
    }
}

/// Key of the bed, its id, the day on which trays come there, and the earliest on which they can be gone; by calendars and days alone.
type Stay<'a> = (&'static str, &'a str, Day, Day);

/// The stays of a batch in its beds; none where the days cannot be told.
fn stays<'a>(scenario: &Scenario, batch: &'a Sown) -> [Option<Stay<'a>>; 2] {
    let green = || {
        let field = field(scenario, &batch.field)?;
        let kind = scenario.kinds.iter().find(|kind| kind.id == field.kind)?;
        let mut places = scenario.germination.iter();
        let place = places.find(|place| place.id == batch.germination)?;
        if field.stage != HandOver::Seedlings || kind.stack.clock != StackClock::Days {
            return None;
        }
        let need = i32::try_from(div_up(kind.stack.need.0, 10)).ok()?;
        let ready = batch.sown.plus(need.max(1));
        let beds = &scenario.calendars.beds;
        let due = || beds.first_from(ready, place.longest_wait_days);
        let open = batch.opened.or_else(due)?;
        let due = || beds.first_from(open.plus(kind.greening_days), kind.greening_wait_days);
        let cover = batch.hardened.or_else(due)?;
        Some((field, open, cover))
    };
    let Some((field, open, cover)) = green() else {
        return [None, None];
    };
    let planting = &scenario.calendars.planting;
    let days = windows::days(scenario, field);
    let days = days.iter().flat_map(|span| span.iter());
    let plantable = days.filter(|day| {
        *day >= cover
            && scenario.horizon.contains(*day)
            && planting.works(*day)
            && !field.closed.iter().any(|span| span.contains(*day))
    });
    let gone = plantable
        .min()
        .map(|plant| cover.max(plant.plus(-field.edge_days)));
    [
        Some(("green_bed", batch.green_bed.as_str(), open, cover)),
        gone.map(|gone| ("harden_bed", batch.harden_bed.as_str(), cover, gone)),
    ]
}

/// That pins can hold.
pub fn pins(gather: &mut Gather, scenario: &Scenario) {
    let mut seen = BTreeSet::new();
    for (index, pin) in scenario.pins.iter().enumerate() {
        let path = format!("pins[{index}]");
        let (sow, plant) = (format!("{path}.sow"), format!("{path}.plant"));
        if pin.sow.is_none() && pin.plant.is_none() {
            gather
                .flag(Error, codes::PIN, &[&path], "the pin holds no day")
                .expected("`sow`, `plant` or both");
        }
        if let (Some(sown), Some(planted)) = (pin.sow, pin.plant)
            && planted <= sown
        {
            let message = format!("planting on {planted} comes before sowing on {sown}");
            gather
                .flag(Error, codes::PIN, &[&plant, &sow], message)
                .expected("sowing first");
        }
        if !part(gather, scenario, &path, &pin.field, pin.part) {
            continue;
        }
        if !seen.insert((&pin.field, pin.part)) {
            let message = format!("part {} of field `{}` is pinned twice", pin.part, pin.field);
            gather
                .flag(Error, codes::OPENING_DOUBLE, &[&path], message)
                .expected("one pin for each part");
        }
        let gets_seed =
            field(scenario, &pin.field).is_some_and(|field| field.stage == HandOver::SoakedSeed);
        if gets_seed && pin.sow.is_some() {
            let message = format!("field `{}` gets seed: nothing is sown for it", pin.field);
            gather
                .flag(Error, codes::NOTHING_GROWN, &[&sow, "fields"], message)
                .help("take `sow` out of the pin; `plant` is the day on which the seed is handed over");
            continue;
        }
        let stands = scenario
            .opening
            .sown
            .iter()
            .any(|batch| batch.field == pin.field && batch.part == pin.part);
        if stands && pin.sow.is_some() {
            let message = format!("part {} of field `{}` is sown already", pin.part, pin.field);
            gather
                .flag(Error, codes::PIN, &[&sow, "opening"], message)
                .help("take `sow` out of the pin");
        } else if let Some(day) = pin.sow.filter(|day| !scenario.horizon.contains(*day)) {
            let message = format!("{day} lies outside the horizon");
            gather
                .flag(Error, codes::PIN, &[&sow, "horizon"], message)
                .expected(format!("a day inside {}", scenario.horizon));
        }
        plantable(gather, scenario, &plant, pin.plant, &pin.field);
    }
}

fn plantable(gather: &mut Gather, scenario: &Scenario, path: &str, plant: Option<Day>, id: &str) {
    let (Some(day), Some(field)) = (plant, field(scenario, id)) else {
        return;
    };
    let within = |spans: &[DayRange]| spans.iter().any(|span| span.contains(day));
    let fault = if !scenario.horizon.contains(day) {
        format!("{day} lies outside the horizon {}", scenario.horizon)
    } else if !within(&windows::days(scenario, field)) {
        let of = windows::words(field);
        format!("{day} is not a day of {of} of field `{id}`")
    } else if within(&field.closed) {
        format!("the field `{id}` is closed on {day}")
    } else {
        return;
    };
    gather
        .flag(
            Error,
            codes::PIN,
            &[path, "horizon", "fields", "blocks"],
            fault,
        )
        .help("choose another day, or change the field's window");
}
