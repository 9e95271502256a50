//! Checks of dates: soaking, draining, sowing, opening, greening, planting, and the age of the seedlings.

use super::book::{Book, PartSeen, RunSeen, of_part, of_run, say_part};
use super::warmth::{Warmth, latest_soak, may_soak, way};
use super::{Found, Subject};
use crate::calendar::Day;
use crate::growth;
use crate::scenario::{AgeClock, Block, Field, Scenario, Stage};

/// Checks the dates of every run and delivery.
pub(super) fn check(book: &Book, found: &mut Found) {
    for run in book.runs.iter().filter(|run| run.line.is_some()) {
        check_sowing(book, run, found);
        check_soaking(book, run, found);
    }
    let warmth = Warmth::of(book.scenario);
    for part in &book.parts {
        check_opening(book, &warmth, part, found);
        check_greening(book, part, found);
        check_beds(part, found);
        check_planting(book, part, found);
        check_field(book.scenario, part, found);
        check_age(&warmth, part, found);
    }
    check_pins(book, found);
}

fn check_sowing(book: &Book, run: &RunSeen, found: &mut Found) {
    let (id, sow) = (&run.run.id, run.run.sow);
    if !book.scenario.horizon.contains(sow) {
        let what = format!(
            "run `{id}` is sown on {sow}, outside {}",
            book.scenario.horizon
        );
        found.add("A021", of_run(run.run), Some(sow), 0, what);
    } else if !book.scenario.calendars.line.works(sow) {
        let what = format!(
            "run `{id}` is sown on {} {sow}, no day of the line",
            sow.weekday()
        );
        found.add("A020", of_run(run.run), Some(sow), 0, what);
    }
}

fn check_soaking(book: &Book, run: &RunSeen, found: &mut Found) {
    let (id, sow, kind) = (&run.run.id, run.run.sow, run.kind);
    let beds = &book.scenario.calendars.beds;
    let mut sound = true;
    let mut bad = |code, day, amount: i32, what| {
        sound = false;
        found.add(code, of_run(run.run), Some(day), amount.into(), what);
    };
    let (Some(soak), Some(drain)) = (run.run.soak, run.run.drain) else {
        bad(
            "A022",
            sow,
            0,
            format!("run `{id}` has no soak day or no drain day"),
        );
        return;
    };
    let first = book.scenario.horizon.first;
    if !may_soak(book.scenario, kind, soak) {
        if soak < first {
            let what = format!(
                "run `{id}`: seed goes to soak on {soak}, before {first}, and no batch of `{}` soaks since then",
                kind.id
            );
            bad("A024", soak, first.since(soak), what);
        } else {
            let what = format!(
                "run `{id}`: seed goes to soak on {} {soak}, an unstaffed day",
                soak.weekday()
            );
            bad("A023", soak, 0, what);
        }
    }
    let due = soak.plus(growth::soak_days(kind));
    match beds.first_from(due, kind.drain_wait_days) {
        Some(right) if right == drain => {}
        Some(right) => {
            let what = format!(
                "run `{id}`: soaked from {soak}, seed is due on {due} and drained first on {right}, not on {drain}"
            );
            bad("A025", drain, drain.since(right), what);
        }
        None => {
            let what = format!(
                "run `{id}`: soaked from {soak}, seed is due on {due}, but nobody works then or up to {} days later",
                kind.drain_wait_days
            );
            bad("A025", drain, 0, what);
        }
    }
    let ready = drain.plus(kind.sprout_days);
    let held = ready.plus(kind.hold_days);
    if sow < ready {
        let what =
            format!("run `{id}`: drained on {drain}, seed has sprouted on {ready}, sown on {sow}");
        bad("A026", sow, ready.since(sow), what);
    }
    if sow > held {
        let what =
            format!("run `{id}`: drained on {drain}, seed holds until {held}, sown on {sow}");
        bad("A027", sow, sow.since(held), what);
    }
    if let (true, Some((latest, _))) = (sound, latest_soak(book.scenario, kind, sow))
        && latest != soak
    {
        let what = format!(
            "run `{id}`: seed goes to soak on {soak}; for {sow} it need not before {latest}"
        );
        found.add(
            "A028",
            of_run(run.run),
            Some(soak),
            latest.since(soak).into(),
            what,
        );
    }
}

fn check_opening(book: &Book, warmth: &Warmth, part: &PartSeen, found: &mut Found) {
    let (open, said, place) = (
        part.delivery.open,
        say_part(part.delivery),
        part.germination,
    );
    let mut bad = |code, amount: i32, what| {
        found.add(
            code,
            of_part(part.delivery),
            Some(open),
            amount.into(),
            what,
        );
    };
    let ready = match warmth.ready(part.kind, place, part.sow) {
        Ok(ready) => ready,
        Err(why) => return bad("A034", 0, format!("{said}: {why}")),
    };
    let latest = ready.plus(place.longest_wait_days);
    let beds = &book.scenario.calendars.beds;
    let (staffed, in_time) = (beds.works(open), ready <= open && open <= latest);
    if !staffed {
        bad(
            "A031",
            0,
            format!(
                "{said}: stacks are opened on {} {open}, an unstaffed day",
                open.weekday()
            ),
        );
    }
    if open < ready {
        let what = format!(
            "{said}: stacks in `{}` are opened on {open}, ready on {ready}",
            place.id
        );
        bad("A030", ready.since(open), what);
    }
    if open > latest {
        let what = format!(
            "{said}: stacks in `{}` are ready on {ready} and may wait until {latest}, opened on {open}",
            place.id
        );
        bad("A032", open.since(latest), what);
    }
    let right = beds.first_from(ready, place.longest_wait_days);
    if let (true, true, Some(right)) = (staffed, in_time, right)
        && right != open
    {
        let what = format!("{said}: stacks are opened on {open}, the first staffed day is {right}");
        bad("A033", open.since(right), what);
    }
}

fn check_greening(book: &Book, part: &PartSeen, found: &mut Found) {
    let (harden, said, kind) = (part.delivery.harden, say_part(part.delivery), part.kind);
    let mut bad = |code, amount: i32, what| {
        found.add(
            code,
            of_part(part.delivery),
            Some(harden),
            amount.into(),
            what,
        );
    };
    let due = part.delivery.open.plus(kind.greening_days);
    let latest = due.plus(kind.greening_wait_days);
    let beds = &book.scenario.calendars.beds;
    let (staffed, in_time) = (beds.works(harden), due <= harden && harden <= latest);
    if !staffed {
        let what = format!(
            "{said}: greening ends on {} {harden}, an unstaffed day",
            harden.weekday()
        );
        bad("A036", 0, what);
    }
    if harden < due {
        bad(
            "A035",
            due.since(harden),
            format!("{said}: greening lasts until {due}, ended on {harden}"),
        );
    }
    if harden > latest {
        let what = format!("{said}: greening ends on {latest} at the latest, ended on {harden}");
        bad("A037", harden.since(latest), what);
    }
    let right = beds.first_from(due, kind.greening_wait_days);
    if let (true, true, Some(right)) = (staffed, in_time, right)
        && right != harden
    {
        let what = format!("{said}: greening ends on {harden}, the first staffed day is {right}");
        bad("A038", harden.since(right), what);
    }
}

fn check_beds(part: &PartSeen, found: &mut Found) {
    let (green, harden, said) = (part.green, part.harden, say_part(part.delivery));
    let mut bad = |code, day, what| found.add(code, of_part(part.delivery), Some(day), 0, what);
    let (open, move_day) = (part.delivery.open, part.delivery.harden);
    if !green.stages.contains(&Stage::Green) {
        bad(
            "A039",
            open,
            format!(
                "{said} greens in bed `{}`, which does not take greening",
                green.id
            ),
        );
    }
    let stays = green.id == harden.id;
    if stays && !green.stages.contains(&Stage::Harden) {
        let what = format!(
            "{said} stays in bed `{}`, which does not take hardening",
            green.id
        );
        bad("A041", move_day, what);
    } else if !harden.stages.contains(&Stage::Harden) {
        let what = format!(
            "{said} hardens in bed `{}`, which does not take hardening",
            harden.id
        );
        bad("A039", move_day, what);
    }
    let takes_both = green.stages.contains(&Stage::Green) && green.stages.contains(&Stage::Harden);
    if !stays && takes_both {
        let what = format!(
            "{said} moves from bed `{}`, where it can harden, to `{}`",
            green.id, harden.id
        );
        bad("A040", move_day, what);
    }
}

fn check_planting(book: &Book, part: &PartSeen, found: &mut Found) {
    let (day, said, field) = (part.delivery.day, say_part(part.delivery), part.field);
    let mut bad = |code, what| found.add(code, of_part(part.delivery), Some(day), 0, what);
    if !book.scenario.horizon.contains(day) {
        bad(
            "A048",
            format!(
                "{said} is planted on {day}, outside {}",
                book.scenario.horizon
            ),
        );
    } else if !book.scenario.calendars.planting.works(day) {
        bad(
            "A047",
            format!(
                "{said} is planted on {} {day}, no day of planting",
                day.weekday()
            ),
        );
    }
    if !in_window(field, day) {
        let windows: Vec<String> = field.window.iter().map(ToString::to_string).collect();
        bad(
            "A045",
            format!(
                "{said} is planted on {day}, outside its window {}",
                windows.join(", ")
            ),
        );
    }
    if field.closed.iter().any(|closed| closed.contains(day)) {
        bad(
            "A046",
            format!("{said} is planted on {day}, on which the field is closed"),
        );
    }
    if day < part.delivery.harden {
        let what = format!(
            "{said} is planted on {day}, before hardening begins on {}",
            part.delivery.harden
        );
        bad("A049", what);
    }
}

/// True when the day lies in the field's window, or the field has none.
fn in_window(field: &Field, day: Day) -> bool {
    field.window.is_empty() || field.window.iter().any(|window| window.contains(day))
}

/// The field's block with the first and the last planting day that its water leaves; none without a block.
fn block_days<'a>(scenario: &'a Scenario, field: &Field) -> Option<(&'a Block, Day, Day)> {
    let id = field.block.as_ref()?;
    let block = scenario.blocks.iter().find(|block| block.id == *id)?;
    let first = block.water.plus(block.first_days);
    Some((block, first, block.water.plus(block.last_days)))
}

/// The day of the harvest before, and the first and the last planting day that follow from it; none where no crop is named.
fn harvest_days(field: &Field) -> Option<(Day, Day, Option<Day>)> {
    let harvest = field.harvest_before?;
    let last = field.harvest_last_days.map(|days| harvest.plus(days));
    Some((harvest, harvest.plus(field.harvest_first_days), last))
}

/// True when the field can be planted on that day: it is ready and open, and window, block and harvest before allow the day.
pub(super) fn field_takes(scenario: &Scenario, field: &Field, day: Day) -> bool {
    let water = block_days(scenario, field);
    let harvest = harvest_days(field);
    field.ready
        && in_window(field, day)
        && !field.closed.iter().any(|closed| closed.contains(day))
        && water.is_none_or(|(_, first, last)| first <= day && day <= last)
        && harvest
            .is_none_or(|(_, first, last)| first <= day && last.is_none_or(|last| day <= last))
}

/// Is the field ready; and do the water of its block and the crop before it allow the day?
fn check_field(scenario: &Scenario, part: &PartSeen, found: &mut Found) {
    let (day, said, field) = (part.delivery.day, say_part(part.delivery), part.field);
    let mut bad = |code, amount: i32, what| {
        found.add(code, of_part(part.delivery), Some(day), amount.into(), what);
    };
    if !field.ready {
        let what = format!("{said} is planted on {day}, but the field is not ready");
        bad("A042", 0, what);
    }
    if let Some((block, first, last)) = block_days(scenario, field)
        && !(first <= day && day <= last)
    {
        let what = format!(
            "{said} is planted on {day}; water comes to block `{}` on {}, so it may be from {first} to {last}",
            block.id, block.water
        );
        let off = if day < first {
            first.since(day)
        } else {
            day.since(last)
        };
        bad("A043", off, what);
    }
    let Some((harvest, first, last)) = harvest_days(field) else {
        return;
    };
    if day < first {
        let what = format!(
            "{said} is planted on {day}; the crop before is off on {harvest}, so it may be from {first} on"
        );
        bad("A044", first.since(day), what);
    }
    if let Some(last) = last.filter(|last| day > *last) {
        let what = format!(
            "{said} is planted on {day}; the crop before is off on {harvest}, so it may be until {last}"
        );
        bad("A044", day.since(last), what);
    }
}

fn check_age(warmth: &Warmth, part: &PartSeen, found: &mut Found) {
    let (day, said, limits) = (part.delivery.day, say_part(part.delivery), part.kind.age);
    let mut bad = |code, amount: i64, what| {
        found.add(code, of_part(part.delivery), Some(day), amount.into(), what);
    };
    let age = match warmth.age(part.kind, &way(part)) {
        Ok(age) => age,
        Err(why) => return bad("A034", 0, format!("{said}: {why}")),
    };
    let unit = unit(limits.clock);
    if age < limits.youngest {
        let what = format!(
            "{said} is {age} {unit} old on {day}, at least {} are needed",
            limits.youngest
        );
        bad("A050", limits.youngest.0 - age.0, what);
    }
    if age > limits.oldest {
        let what = format!(
            "{said} is {age} {unit} old on {day}, at most {} are allowed",
            limits.oldest
        );
        bad("A051", age.0 - limits.oldest.0, what);
    }
    let stated = part.delivery.age;
    if stated != age {
        let off = stated.0.saturating_sub(age.0);
        bad(
            "A052",
            off,
            format!("{said} is stated to be {stated} {unit} old on {day}, it is {age}"),
        );
    }
    check_limits(warmth, part, found);
}

/// The kind's further limits, each on its own clock.
fn check_limits(warmth: &Warmth, part: &PartSeen, found: &mut Found) {
    let (day, said) = (part.delivery.day, say_part(part.delivery));
    let mut bad = |code, amount: i64, what| {
        found.add(code, of_part(part.delivery), Some(day), amount.into(), what);
    };
    for limit in &part.kind.limits {
        let age = match warmth.age_by(part.kind, limit.clock, &way(part)) {
            Ok(age) => age,
            Err(why) => return bad("A034", 0, format!("{said}: {why}")),
        };
        let unit = unit(limit.clock);
        if let Some(youngest) = limit.youngest.filter(|youngest| age < *youngest) {
            let what = format!(
                "{said} is {age} {unit} old on {day}, a further limit wants at least {youngest}"
            );
            bad("A054", youngest.0 - age.0, what);
        }
        if let Some(oldest) = limit.oldest.filter(|oldest| age > *oldest) {
            let what = format!(
                "{said} is {age} {unit} old on {day}, a further limit allows at most {oldest}"
            );
            bad("A055", age.0 - oldest.0, what);
        }
    }
}

/// The unit of age on a clock.
fn unit(clock: AgeClock) -> &'static str {
    match clock {
        AgeClock::Days => "days",
        AgeClock::Leaves => "leaves",
        AgeClock::Thermal => "°C·d",
    }
}

fn check_pins(book: &Book, found: &mut Found) {
    for pin in &book.scenario.pins {
        let pinned = book.parts.iter();
        for part in pinned.filter(|p| p.field.id == pin.field && p.delivery.part == pin.part) {
            let said = say_part(part.delivery);
            let subject = || Subject::Part {
                field: pin.field.clone(),
                part: pin.part,
            };
            for (doing, wanted, day) in [
                ("sown", pin.sow, part.sow),
                ("planted", pin.plant, part.delivery.day),
            ] {
                if let Some(wanted) = wanted.filter(|wanted| *wanted != day) {
                    let what = format!("{said} is {doing} on {day}, pinned to {wanted}");
                    let off = i128::from(day.number()) - i128::from(wanted.number());
                    found.add("A053", subject(), Some(day), off, what);
                }
            }
        }
    }
}
