//! Planting machines by the hectare, and seed drawn from batches that soak since before the first day.

use super::book::Book;
use super::orders::area_m2;
use super::whole::{Daily, fit};
use super::{Found, Ledger, Subject};
use crate::units::{Fixed, Hectares};
use std::collections::BTreeMap;

/// Checks hectares and soaked seed.
pub(super) fn check(book: &Book, found: &mut Found) {
    check_hectares(book, found);
    check_soaked(book, found);
}

fn check_hectares(book: &Book, found: &mut Found) {
    for planter in &book.scenario.planters {
        let there = i128::from(planter.ha_per_day.0);
        let mut planted = Daily::new(book.scenario.horizon);
        for part in &book.parts {
            if part.field.planter.as_ref() == Some(&planter.id) {
                planted.add(part.delivery.day, area_m2(part.field, part.delivery.part));
            }
        }
        let hectares = |m2: i128| Hectares { 0: fit(m2) };
        for (day, m2) in planted.days().filter(|(_, m2)| *m2 > there) {
            let what = format!(
                "planting: `{}` plants {} ha on {day}, {} ha fit",
                planter.id,
                hectares(m2),
                hectares(there)
            );
            let subject = Subject::Planter {
                id: planter.id.clone(),
            };
            found.add("A075", subject, Some(day), m2 - there, what);
        }
        let days = planted.days().map(|(day, m2)| (day, m2, there));
        found.fullest(Ledger::PlantingMachine, &planter.id, days);
    }
}

fn check_soaked(book: &Book, found: &mut Found) {
    // Grams there, by kind and day; two entries of one kind and day are one batch.
    let mut batches: BTreeMap<_, i128> = BTreeMap::new();
    for batch in &book.scenario.opening.soaked {
        *batches.entry((&batch.kind, batch.soaked)).or_default() += i128::from(batch.kg_dry.0);
    }
    for ((kind, soaked), grams) in batches {
        // In tenths of a gram, like the seed of a tray.
        let there = grams * 10;
        let mut drawn = 0;
        for run in book
            .runs
            .iter()
            .filter(|run| run.kind.id == *kind && run.run.soak == Some(soaked))
        {
            // From the first day on, seed that begins to soak is fresh.
            if soaked < book.scenario.horizon.first || !book.scenario.calendars.beds.works(soaked) {
                let (trays, trial) = book.sown(run);
                drawn += (trays + trial) * i128::from(run.kind.seed_g_dry_per_tray.0);
            }
        }
        let kilos = |tenths: i128| Fixed::<4>(fit(tenths));
        if drawn > there {
            let what = format!(
                "seed: {} kg of `{kind}` soak since {soaked}, the runs draw {} kg",
                kilos(there),
                kilos(drawn)
            );
            let subject = Subject::Soaked {
                kind: kind.clone(),
                soaked,
            };
            found.add("A076", subject, Some(soaked), (drawn - there) / 10, what);
        }
        found.fullest(Ledger::SoakedSeed, kind, [(soaked, drawn, there)]);
    }
}
