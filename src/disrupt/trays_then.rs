//! The tray stock on a morning in the season, as the plan's own days leave it.

use crate::calendar::Day;
use crate::plan::view::PlanView;
use crate::scenario::{Drying, HandOver, Scenario, TraysOut};
use std::collections::BTreeMap;

/// Writes into `scenario` what of the tray stock is dirty, away, drying or lost on the morning of `day`.
pub(super) fn carry(scenario: &mut Scenario, view: &PlanView<'_>, day: Day) {
    let old = &view.plan.scenario;
    let mut coming: BTreeMap<Day, i64> = BTreeMap::new();
    let mut dirty = old.opening.dirty_trays;
    let mut lost = 0;
    for out in &old.opening.trays_out {
        *coming.entry(out.back).or_default() += out.trays;
    }
    for run in &view.runs {
        // Trial trays stand in the first place listed, and are emptied when it is opened.
        let sown = run.run.sow < day;
        if let Some(open) = run.stacks.first().map(|stack| stack.stacks.open)
            && sown
            && run.run.trial_trays > 0
        {
            *coming.entry(open).or_default() += run.run.trial_trays;
        }
        for part in &run.parts {
            let gone = part.delivery.leaves() < day && part.field.stage != HandOver::SoakedSeed;
            if gone {
                let one = part.delivery;
                // What was sown and did not leave is emptied when the others are gone.
                let emptied = (one.leaves().plus(1), one.sown() - one.trays);
                let back = part.back(old);
                lost += one.trays - back.iter().map(|(_, trays)| trays).sum::<i64>();
                for (on, trays) in back.into_iter().chain([emptied]) {
                    *coming.entry(on).or_default() += trays;
                }
            }
        }
    }
    let later = coming.split_off(&day);
    dirty += coming.values().sum::<i64>();
    let mut drying: BTreeMap<Day, i64> = BTreeMap::new();
    for on in &old.opening.drying {
        if on.clean >= day {
            *drying.entry(on.clean).or_default() += on.trays;
        }
    }
    for washing in view.plan.washing.iter().filter(|w| w.day < day) {
        dirty -= washing.trays;
        let clean = washing.day.plus(old.trays.dry_days_on(washing.day).max(1));
        if clean >= day {
            *drying.entry(clean).or_default() += washing.trays;
        }
    }
    let opening = &mut scenario.opening;
    opening.dirty_trays = dirty.max(0);
    let out = later.into_iter().filter(|(_, trays)| *trays > 0);
    opening.trays_out = out.map(|(back, trays)| TraysOut { trays, back }).collect();
    opening.drying = drying
        .into_iter()
        .map(|(clean, trays)| Drying { trays, clean })
        .collect();
    scenario.trays.stock -= lost;
}
