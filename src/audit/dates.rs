//! Checks of dates: soaking, draining, sowing, opening, greening, and what is pinned.

use super::book::{Book, PartSeen, RunSeen, Sort, of_part, of_run, say_part};
use super::warmth::{Warmth, latest_soak, may_soak};
use super::{Found, Subject, ages, leaving};
use crate::calendar::Day;
use crate::growth;
use crate::scenario::{Bed, Germination, HandOver, Stage};

/// Checks the dates of every run and delivery.
pub(super) fn check(book: &Book, found: &mut Found) {
    for run in &book.runs {
        if run.sort == Sort::Sown {
            check_sowing(book, run, found);
        }
        if run.sort != Sort::Standing {
            check_soaking(book, run, found);
        }
    }
    let warmth = Warmth::of(book.scenario);
    for part in &book.parts {
        let batch = part.batch(book.scenario);
        let stated = |day: Option<Day>, planned: Day, doing: &str, found: &mut Found| -> bool {
            let Some(day) = day else { return false };
            if day != planned {
                let what = format!(
                    "{}: {doing} on {day} before the first day, the plan says {planned}",
                    say_part(part.delivery)
                );
                let off = i128::from(planned.number()) - i128::from(day.number());
                found.add("A141", of_part(part.delivery), Some(planned), off, what);
            }
            true
        };
        if let Some(place) = part.germination {
            let opened = batch.and_then(|batch| batch.opened);
            if !stated(opened, part.delivery.open, "opened", found) {
                check_opening(book, &warmth, part, place, found);
            }
        }
        if let Some(beds) = part.beds {
            let hardened = batch.and_then(|batch| batch.hardened);
            if !stated(hardened, part.delivery.harden, "hardened", found) {
                check_greening(book, part, found);
            }
            check_beds(part, beds, found);
        }
        check_promised(book, part, found);
        check_handing_over(part, found);
        leaving::check(book.scenario, part, found);
        ages::check(book.scenario, &warmth, part, found);
    }
    check_pins(book, found);
}

/// What is handed over before it comes into a bed goes on one day: seed on that of its run, sprouted trays when their stack is opened.
fn check_handing_over(part: &PartSeen, found: &mut Found) {
    let (one, said) = (part.delivery, say_part(part.delivery));
    let mut bad = |code, what| found.add(code, of_part(one), Some(one.day), 0, what);
    match part.field.stage {
        HandOver::Seedlings => {}
        HandOver::SoakedSeed => {
            if one.day != part.sow || part.leaves != one.day {
                let what = format!(
                    "{said}: seed is handed over on {}, run `{}` is for {}",
                    one.day, one.run, part.sow
                );
                bad("A096", what);
            }
        }
        HandOver::Sprouted => {
            let days = [one.harden, part.leaves, one.day];
            if let Some(other) = days.into_iter().find(|day| *day != one.open) {
                let what = format!(
                    "{said} goes sprouted, on the day its stack is opened, {}, not on {other}",
                    one.open
                );
                bad("A097", what);
            }
        }
    }
}

/// The day promised is the one that the scenario states, and no other; a plan that states none is not judged.
fn check_promised(book: &Book, part: &PartSeen, found: &mut Found) {
    let one = part.delivery;
    let Some(promised) = one.promised else {
        return;
    };
    let mut told = book.scenario.told.iter().filter(|told| told.promised);
    let told = told.find(|told| told.field == one.field && told.part == one.part);
    if told.is_none_or(|told| told.day != promised) {
        let what = format!(
            "{} is stated to be promised for {promised}, the scenario says {}",
            say_part(one),
            told.map_or("nothing".to_string(), |told| told.day.to_string())
        );
        found.add("A142", of_part(one), Some(one.day), 0, what);
    }
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

fn check_opening(
    book: &Book,
    warmth: &Warmth,
    part: &PartSeen,
    place: &Germination,
    found: &mut Found,
) {
    let (open, said) = (part.delivery.open, say_part(part.delivery));
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

fn check_beds(part: &PartSeen, (green, harden): (&Bed, &Bed), found: &mut Found) {
    let said = say_part(part.delivery);
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
