//! Orders: trays of each part of each field, against what is delivered and what is listed as short;
//! what is sown so that they leave; and the sums of each run.

use super::book::{Book, PartSeen, RunSeen, Sort, of_part, of_run, say_part};
use super::usable::MOST_TRAYS;
use super::whole::up;
use super::{Found, Subject};
use crate::scenario::{Field, HandOver, Kind, MatsPerHectare, PartKnown, Scenario, Sown};
use std::collections::BTreeMap;

/// A part of a field of which trays are ordered and not delivered.
pub(super) struct Short<'a> {
    pub(super) field: &'a Field,
    pub(super) part: u32,
    pub(super) trays: i128,
}

/// Trays of a whole field, rounded up once; a field that orders trays gets that number.
pub(super) fn trays_of_field(field: &Field) -> i128 {
    if let Some(trays) = field.trays {
        return trays.into();
    }
    let area_m2 = i128::from(field.area_ha.0);
    let million_and_reserve = 1_000_000 + i128::from(field.reserve.0);
    match field.mats {
        // m² ÷ 10 000 × (hundredths of mats ÷ 100) × (millionths ÷ 1 000 000)
        MatsPerHectare::Given(mats) => up(
            area_m2 * i128::from(mats.0) * million_and_reserve,
            10_000 * 100 * 1_000_000,
        ),
        // hills/ha = 10¹⁰ mm² ÷ (row × hill in mm); mats/ha = hills/ha × (feed ÷ 100) ÷ (580 × picks)
        MatsPerHectare::Spacing {
            row_cm,
            hill_cm,
            picks,
            feed_mm,
        } => {
            let above = area_m2 * 10_000_000_000 * i128::from(feed_mm.0) * million_and_reserve;
            let mats = i128::from(row_cm.0) * i128::from(hill_cm.0) * 580 * i128::from(picks);
            up(above, 10_000 * 100 * 1_000_000 * mats)
        }
    }
}

/// Share of `whole` that falls to `part` of `parts`.
fn share(whole: i128, part: u32, parts: u32) -> i128 {
    let (part, parts) = (i128::from(part), i128::from(parts));
    whole * part / parts - whole * (part - 1) / parts
}

/// Millionths that one stage leaves of a tray.
const WHOLE: i128 = 1_000_000;

/// What is left of a sown tray when it is handed over at that stage, as a fraction: above, below.
fn kept(kind: &Kind, stage: HandOver) -> (i128, i128) {
    let left = |loss: crate::units::Share| WHOLE - i128::from(loss.0);
    let (line, stack) = (left(kind.losses.line), left(kind.losses.stack));
    match stage {
        HandOver::SoakedSeed => (1, 1),
        HandOver::Sprouted => (line * stack, WHOLE * WHOLE),
        HandOver::Seedlings => (line * stack * left(kind.losses.bed), WHOLE * WHOLE * WHOLE),
    }
}

/// Trays to sow so that `trays` leave.
pub(super) fn sown_for(kind: &Kind, stage: HandOver, trays: i128) -> i128 {
    let (above, below) = kept(kind, stage);
    up(trays * below, above)
}

/// Trays that leave of those that were sown.
pub(super) fn leaving(kind: &Kind, stage: HandOver, sown: i128) -> i128 {
    let (above, below) = kept(kind, stage);
    (sown * above).div_euclid(below)
}

/// Trays that leave of a batch that stands: those counted, else those that the losses leave.
fn leaving_of(kind: &Kind, stage: HandOver, sown: &Sown) -> i128 {
    match sown.leaving {
        Some(counted) => counted.into(),
        None => leaving(kind, stage, sown.trays.into()),
    }
}

/// What the scenario knows of a part beside the order: trays still to leave for it.
fn known(parts: &[PartKnown], field: &Field, part: u32) -> Option<i128> {
    let mut parts = parts.iter();
    let known = parts.find(|known| known.field == field.id && known.part == part);
    known.map(|known| known.trays.into())
}

/// Trays ordered for a part.
fn trays_ordered(field: &Field, part: u32) -> i128 {
    share(trays_of_field(field), part, field.parts)
}

/// Square metres of a part; 0 for a part that was not ordered.
pub(super) fn area_m2(parts: &[PartKnown], field: &Field, part: u32) -> i128 {
    if part < 1 || part > field.parts {
        return 0;
    }
    if let Some(trays) = known(parts, field, part) {
        let all = trays_of_field(field).max(1);
        return i128::from(field.area_ha.0) * trays / all;
    }
    share(field.area_ha.0.into(), part, field.parts)
}

/// Every part of every field with the trays that are to leave: of those sown before the first day, if it stands already, else those ordered.
pub(super) fn ordered(scenario: &Scenario) -> Vec<(&Field, u32, i128)> {
    let mut standing: BTreeMap<(&str, u32), Vec<&Sown>> = BTreeMap::new();
    for sown in &scenario.opening.sown {
        let entries = standing.entry((&sown.field, sown.part)).or_default();
        entries.push(sown);
    }
    let kinds: BTreeMap<&str, &Kind> = scenario
        .kinds
        .iter()
        .rev()
        .map(|kind| (kind.id.as_str(), kind))
        .collect();
    let mut all = Vec::new();
    for field in &scenario.fields {
        let kind = kinds.get(field.kind.as_str());
        for part in 1..=field.parts {
            let known = known(&scenario.opening.parts, field, part);
            if known == Some(0) {
                // It has been served.
                continue;
            }
            let sown = standing.get(&(field.id.as_str(), part));
            let trays = match (sown, kind) {
                (Some(sown), Some(kind)) => sown
                    .iter()
                    .map(|sown| leaving_of(kind, field.stage, sown))
                    .sum(),
                _ => known.unwrap_or_else(|| trays_ordered(field, part)),
            };
            all.push((field, part, trays));
        }
    }
    all
}

/// Counts deliveries against orders, and runs against their deliveries; gives what is short.
pub(super) fn check<'a>(book: &Book<'a>, found: &mut Found) -> Vec<Short<'a>> {
    for run in &book.runs {
        check_run(book, run, found);
    }
    check_same_run(book, found);
    for part in &book.parts {
        check_part(book, part, found);
    }
    check_sums(book, found)
}

fn check_run(book: &Book, run: &RunSeen, found: &mut Found) {
    let (trays, trial) = book.sown(run);
    let stated = run.run;
    if i128::from(stated.trays) != trays || trays == 0 {
        let what = format!(
            "run `{}` states {} trays, its deliveries take {trays}",
            stated.id, stated.trays
        );
        found.add(
            "A006",
            of_run(stated),
            Some(stated.sow),
            i128::from(stated.trays) - trays,
            what,
        );
    }
    if i128::from(stated.trial_trays) != trial {
        let what = format!(
            "run `{}` states {} trial trays, not {trial}",
            stated.id, stated.trial_trays
        );
        let off = i128::from(stated.trial_trays) - trial;
        found.add("A007", of_run(stated), Some(stated.sow), off, what);
    }
    let least = i128::from(run.kind.least_run_trays);
    if run.sort == Sort::Sown && trays < least {
        let what = format!(
            "run `{}` sows {trays} trays for fields; a run of `{}` has at least {least}",
            stated.id, run.kind.id
        );
        let (day, amount) = (Some(stated.sow), least - trays);
        found.add("A102", of_run(stated), day, amount, what);
    }
    if run.sort == Sort::Standing
        && (stated.place_in_day != 0 || stated.sow >= book.scenario.horizon.first)
    {
        let what = format!(
            "run `{}` has no line and no soaking, as only trays sown before {} have; it is sown on {}",
            stated.id, book.scenario.horizon.first, stated.sow
        );
        found.add("A014", of_run(stated), Some(stated.sow), 0, what);
    }
}

fn check_same_run(book: &Book, found: &mut Found) {
    let mut first: BTreeMap<_, &str> = BTreeMap::new();
    for run in book.runs.iter().filter(|run| run.sort != Sort::Standing) {
        let key = (&run.run.line, &run.run.kind, run.run.sow);
        let Some(other) = first.get(&key) else {
            first.insert(key, &run.run.id);
            continue;
        };
        let what = match run.sort {
            Sort::Seed => format!(
                "runs `{other}` and `{}` hand over seed of the same kind on the same day, {}",
                run.run.id, run.run.sow
            ),
            _ => format!(
                "runs `{other}` and `{}` sow the same kind on the same line and day, {}",
                run.run.id, run.run.sow
            ),
        };
        found.add("A004", of_run(run.run), Some(run.run.sow), 0, what);
    }
}

/// Trays sown for a part against those that its trays need.
fn check_sown(part: &PartSeen, found: &mut Found) {
    let needed = sown_for(part.kind, part.field.stage, part.trays);
    if part.sown != needed {
        let what = format!(
            "{} has {} trays sown; {needed} are, so that {} leave",
            say_part(part.delivery),
            part.sown,
            part.trays
        );
        let day = Some(part.delivery.day);
        let amount = part.sown - needed;
        found.add("A098", of_part(part.delivery), day, amount, what);
    }
}

fn check_part(book: &Book, part: &PartSeen, found: &mut Found) {
    let delivery = part.delivery;
    let (said, day) = (say_part(delivery), Some(delivery.day));
    if part.field.kind != part.kind.id {
        let what = format!(
            "{said} ordered kind `{}` and gets `{}` from run `{}`",
            part.field.kind, part.kind.id, delivery.run
        );
        found.add("A009", of_part(delivery), day, 0, what);
    }
    if delivery.part < 1 || delivery.part > part.field.parts {
        let what = format!(
            "{said} was not ordered: the field has {} parts",
            part.field.parts
        );
        found.add("A010", of_part(delivery), day, 0, what);
    } else if known(&book.scenario.opening.parts, part.field, delivery.part) == Some(0) {
        let what =
            format!("{said} has been served before the first day: nothing is ordered for it");
        found.add("A010", of_part(delivery), day, 0, what);
    }
    let mut entries = book.scenario.opening.sown.iter();
    let entries = entries
        .by_ref()
        .filter(|e| e.field == delivery.field && e.part == delivery.part);
    let entries: Vec<_> = entries.collect();
    if !part.opening {
        check_sown(part, found);
    }
    if entries.is_empty() && !part.opening {
        return;
    }
    let same = entries.iter().any(|entry| {
        // What leaves before it comes into a bed is asked for none.
        let beds = part.beds.map(|(green, harden)| (&green.id, &harden.id));
        entry.sown == part.sow
            && i128::from(entry.trays) == part.sown
            && leaving_of(part.kind, part.field.stage, entry) == part.trays
            && Some(&entry.germination) == delivery.germination.as_ref()
            && beds.is_none_or(|beds| beds == (&entry.green_bed, &entry.harden_bed))
    });
    if entries.is_empty() {
        let what = format!(
            "{said} comes from run `{}` without a line, but nothing was sown for it before {}",
            delivery.run, book.scenario.horizon.first
        );
        found.add("A014", of_part(delivery), day, 0, what);
    } else if !part.opening {
        let what = format!(
            "{said} was sown before {}, yet run `{}` sows it again on {}",
            book.scenario.horizon.first, delivery.run, part.sow
        );
        found.add("A014", of_part(delivery), day, 0, what);
    } else if !same {
        let what = format!(
            "{said}: trays, sow day or places are not those of the trays sown before {}",
            book.scenario.horizon.first
        );
        found.add("A014", of_part(delivery), day, 0, what);
    }
}

fn check_sums<'a>(book: &Book<'a>, found: &mut Found) -> Vec<Short<'a>> {
    let mut delivered: BTreeMap<(&str, u32), (usize, i128)> = BTreeMap::new();
    for delivery in &book.plan.deliveries {
        if (1..=MOST_TRAYS).contains(&delivery.trays) {
            let entry = delivered
                .entry((&delivery.field, delivery.part))
                .or_default();
            *entry = (entry.0 + 1, entry.1 + i128::from(delivery.trays));
        }
    }
    let mut listed: BTreeMap<(&str, u32), i128> = BTreeMap::new();
    for short in &book.plan.shortfalls {
        *listed.entry((&short.field, short.part)).or_default() += i128::from(short.trays);
    }
    let mut all_short = Vec::new();
    for (field, part, trays) in ordered(book.scenario) {
        let key = (field.id.as_str(), part);
        let subject = || Subject::Part {
            field: field.id.clone(),
            part,
        };
        let said = format!("field `{}`, part {part}", field.id);
        let (times, sent) = delivered.get(&key).copied().unwrap_or_default();
        let entries = book.scenario.opening.sown.iter();
        let entries = entries
            .filter(|entry| entry.field == field.id && entry.part == part)
            .count();
        if times > entries.max(1) {
            let what = format!("{said} is delivered {times} times");
            found.add("A011", subject(), None, times as i128, what);
        }
        if sent > trays {
            let what = format!("{said} gets {sent} trays, {trays} are ordered");
            found.add("A012", subject(), None, sent - trays, what);
        }
        let short = (trays - sent).max(0);
        let stated = listed.remove(&key).unwrap_or(0);
        if stated != short {
            let what = format!(
                "{said}: {trays} trays ordered, {sent} delivered, so {short} short; {stated} are listed"
            );
            found.add("A013", subject(), None, stated - short, what);
        }
        if short > 0 {
            all_short.push(Short {
                field,
                part,
                trays: short,
            });
        }
    }
    for ((field, part), trays) in listed {
        let what = format!(
            "field `{field}`, part {part} is listed {trays} trays short, but was not ordered"
        );
        let subject = Subject::Part {
            field: field.to_string(),
            part,
        };
        found.add("A013", subject, None, trays, what);
    }
    all_short
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Fixed;

    fn field(area_m2: i64, mats: MatsPerHectare, reserve: i64, parts: u32) -> Field {
        Field {
            area_ha: Fixed(area_m2),
            mats,
            reserve: Fixed(reserve),
            parts,
            ..super::super::samples::field()
        }
    }

    #[test]
    fn trays_are_exact_and_rounded_up_once() {
        // 0.5 ha × 200 × 1.1 = 110, not 111.
        let half = field(5_000, MatsPerHectare::Given(Fixed(20_000)), 100_000, 4);
        assert_eq!(trays_of_field(&half), 110);
        // Four parts: floor(27.5), floor(55) − 27, floor(82.5) − 55, 110 − 82.
        let parts: Vec<i128> = (1..=4).map(|part| trays_ordered(&half, part)).collect();
        assert_eq!(parts, [27, 28, 27, 28]);
        let area = |known: &[PartKnown], part| area_m2(known, &half, part);
        assert_eq!((area(&[], 1), area(&[], 5), area(&[], 0)), (1_250, 0, 0));
        // 44 of 110 trays: 2 000 m².
        let known = PartKnown {
            field: half.id.clone(),
            part: 2,
            trays: 44,
        };
        assert_eq!(area(&[known], 2), 2_000);
    }

    #[test]
    fn trays_by_spacing() {
        // Rows 30 cm, hills 12 cm, 20 picks, feed 12 mm: 277 778 hills/ha × 12 ÷ 11 600 = 287.36
        // mats/ha, so 1 ha takes 288 (arithmetic of the counting rules, by hand).
        let mats = MatsPerHectare::Spacing {
            row_cm: Fixed(300),
            hill_cm: Fixed(120),
            picks: 20,
            feed_mm: Fixed(1_200),
        };
        assert_eq!(trays_of_field(&field(10_000, mats, 0, 1)), 288);
        // 10 ha: 2 873.56, so 2 874, not 2 880.
        assert_eq!(trays_of_field(&field(100_000, mats, 0, 1)), 2_874);
    }
}
