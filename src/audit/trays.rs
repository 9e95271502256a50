//! The tray stock: clean, in use, away, dirty, washed and drying, day after day.

use super::book::{Book, PartSeen};
use super::warmth::Warmth;
use super::whole::{Daily, up};
use super::{Found, Ledger, Subject};
use crate::calendar::Day;
use crate::scenario::{Scenario, Trays};
use std::collections::BTreeMap;

/// The yard where trays are kept, and what is known to come and go.
pub(super) struct Yard {
    /// Clean and at hand.
    pub(super) clean: i128,
    /// At home and not washed.
    pub(super) dirty: i128,
    /// Taken for sowing: trays, trial trays, lids and bases.
    taken: Daily,
    /// Clean again this morning: lids, bases, and trays that were washed and have dried.
    clean_again: Daily,
    /// Dirty this morning: trial trays, trays that came back.
    dirty_again: Daily,
}

impl Yard {
    /// The evening before the first day.
    pub(super) fn open(book: &Book) -> Yard {
        let scenario = book.scenario;
        let horizon = scenario.horizon;
        let (opening, trays) = (&scenario.opening, &scenario.trays);
        let mut yard = Yard {
            clean: i128::from(trays.stock) - i128::from(opening.dirty_trays),
            dirty: opening.dirty_trays.into(),
            taken: Daily::new(horizon),
            clean_again: Daily::new(horizon),
            dirty_again: Daily::new(horizon),
        };
        for out in &opening.trays_out {
            yard.clean -= i128::from(out.trays);
            yard.dirty_again
                .add(out.back.max(horizon.first), out.trays.into());
        }
        for drying in &opening.drying {
            yard.clean -= i128::from(drying.trays);
            yard.clean_again
                .add(drying.clean.max(horizon.first), drying.trays.into());
        }
        yard.open_standing(book);
        for run in book.runs.iter().filter(|run| run.line.is_some()) {
            let (sown, trial) = book.sown(run);
            yard.taken.add(run.run.sow, sown + trial);
            for stack in book.stacks(run) {
                let around = stack.germination.lid_trays + stack.germination.base_trays;
                yard.taken
                    .add(run.run.sow, stack.stacks * i128::from(around));
                yard.clean_again
                    .add(stack.open, stack.stacks * i128::from(around));
                yard.dirty_again.add(stack.open, stack.trial);
            }
        }
        for part in book.parts.iter().filter(|part| part.has_trays()) {
            for (day, back) in back(scenario, part) {
                yard.dirty_again.add(day, back);
            }
        }
        yard
    }

    /// Trays sown before the first day, and the lids and bases of stacks that are not open yet.
    fn open_standing(&mut self, book: &Book) {
        let scenario: &Scenario = book.scenario;
        let warmth = Warmth::of(scenario);
        let mut labelled: BTreeMap<(&str, Day, Option<Day>, &str), i128> = BTreeMap::new();
        for sown in &scenario.opening.sown {
            self.clean -= i128::from(sown.trays);
            let place = scenario
                .germination
                .iter()
                .find(|place| place.id == sown.germination);
            let field = scenario.fields.iter().find(|field| field.id == sown.field);
            let kind =
                field.and_then(|field| scenario.kinds.iter().find(|kind| kind.id == field.kind));
            let (Some(place), Some(kind)) = (place, kind) else {
                continue;
            };
            // The plan says when it is opened; what the plan leaves out is opened when it is due.
            let mut planned = book.parts.iter().filter(|part| {
                part.opening && part.field.id == sown.field && part.delivery.part == sown.part
            });
            let due = || {
                if sown.opened.is_some() {
                    return sown.opened;
                }
                let ready = warmth.ready(kind, place, sown.sown).ok()?;
                scenario
                    .calendars
                    .beds
                    .first_from(ready, place.longest_wait_days)
            };
            let open = planned.next().map(|part| part.delivery.open).or_else(due);
            let stacks = |trays: i128| up(trays, place.height.into());
            // Batches with one label stand in the same stacks.
            let label = sown.run.as_deref().filter(|_| sown.trays > 0);
            let stacks = match label {
                None => stacks(sown.trays.into()),
                Some(label) => {
                    let key = (label, sown.sown, sown.opened, sown.germination.as_str());
                    let with = labelled.entry(key).or_insert(0);
                    let before = *with;
                    *with += i128::from(sown.trays);
                    stacks(*with) - stacks(before)
                }
            };
            let around = stacks * i128::from(place.lid_trays + place.base_trays);
            match open {
                Some(open) if open < scenario.horizon.first => {}
                Some(open) => {
                    self.clean -= around;
                    self.clean_again.add(open, around);
                }
                None => self.clean -= around,
            }
        }
    }

    /// What the night and the morning bring.
    pub(super) fn morning(&mut self, day: Day) {
        self.clean += self.clean_again.on(day);
        self.dirty += self.dirty_again.on(day);
    }

    /// The day's sowing.
    pub(super) fn sow(&mut self, day: Day) {
        self.clean -= self.taken.on(day);
    }

    /// The day's washing.
    pub(super) fn wash(&mut self, scenario: &Scenario, day: Day, trays: i128) {
        self.dirty -= trays;
        let dried = day.plus(dry_days(&scenario.trays, day).max(1));
        self.clean_again.add(dried, trays);
    }
}

/// Days from washing on that day to use, as written.
fn dry_days(trays: &Trays, day: Day) -> i32 {
    let mut spans = trays.dry_spans.iter();
    let span = spans.find(|span| span.days.contains(day));
    span.map_or(trays.dry_days, |span| span.dry_days)
}

/// How many trays of a delivery are there to be washed, on which mornings; the rest never comes.
fn back(scenario: &Scenario, part: &PartSeen) -> Vec<(Day, i128)> {
    let (day, trays) = (part.delivery.day, part.trays);
    if part.field.lifted {
        return vec![(part.leaves.plus(1), part.sown)];
    }
    // What was sown and does not leave is emptied when the others are gone.
    let mut all = vec![(part.leaves.plus(1), part.sown - trays)];
    let growers = scenario.growers.iter();
    let mut curves = growers.filter(|grower| !grower.returns.is_empty());
    let Some(grower) = curves.find(|grower| grower.id == part.field.grower) else {
        // Trays × millionths lost, rounded up.
        let lost = up(trays * i128::from(scenario.trays.loss.0), 1_000_000);
        all.push((day.plus(scenario.trays.return_days), trays - lost));
        return all;
    };
    let mut before = 0;
    for point in &grower.returns {
        let by_then = trays * i128::from(point.share.0) / 1_000_000;
        all.push((day.plus(point.days), by_then - before));
        before = by_then;
    }
    all
}

/// Most trays washed in a day, rounded down.
pub(super) fn washed_per_day(scenario: &Scenario) -> i128 {
    let trays = &scenario.trays;
    i128::from(trays.wash_trays_per_h) * i128::from(trays.wash_hours_per_day.0) / 100
}

/// Trays that the plan washes, by day; less than nothing counts as nothing.
pub(super) fn planned_washing(book: &Book) -> Daily {
    let mut washing = Daily::new(book.scenario.horizon);
    for entry in &book.plan.washing {
        washing.add(entry.day, entry.trays.max(0).into());
    }
    washing
}

/// Walks the yard through the horizon with the washing of the plan.
pub(super) fn check(book: &Book, found: &mut Found) {
    check_list(book, found);
    let (washing, rate) = (planned_washing(book), washed_per_day(book.scenario));
    let stock = i128::from(book.scenario.trays.stock);
    let mut yard = Yard::open(book);
    let mut days = Vec::new();
    for (day, washed) in washing.days() {
        yard.morning(day);
        yard.sow(day);
        days.push((day, stock - yard.clean, stock));
        let mut bad = |code, amount, what| found.add(code, Subject::Trays, Some(day), amount, what);
        if yard.clean < 0 {
            bad(
                "A065",
                -yard.clean,
                format!("trays: {} clean ones are missing on {day}", -yard.clean),
            );
        }
        if washed > yard.dirty {
            let dirty = yard.dirty.max(0);
            bad(
                "A066",
                washed - dirty,
                format!("trays: {washed} are washed on {day}, {dirty} are dirty"),
            );
        }
        if washed > rate {
            let what = format!("trays: {washed} are washed on {day}, {rate} can be in a day");
            bad("A067", washed - rate, what);
        }
        if washed > 0 && !book.scenario.calendars.beds.works(day) {
            let what = format!(
                "trays: {washed} are washed on {} {day}, an unstaffed day",
                day.weekday()
            );
            bad("A068", washed, what);
        }
        // Only what is there can be washed.
        yard.wash(book.scenario, day, washed.min(yard.dirty.max(0)));
    }
    found.fullest(Ledger::TraysInUse, "trays", days);
}

fn check_list(book: &Book, found: &mut Found) {
    let mut days = std::collections::BTreeSet::new();
    for entry in &book.plan.washing {
        let why = if !book.scenario.horizon.contains(entry.day) {
            "outside the horizon"
        } else if entry.trays < 1 {
            "no washing"
        } else if !days.insert(entry.day) {
            "a day listed before"
        } else {
            continue;
        };
        let what = format!("trays: washing {} on {}, {why}", entry.trays, entry.day);
        found.add(
            "A069",
            Subject::Trays,
            Some(entry.day),
            entry.trays.into(),
            what,
        );
    }
}
