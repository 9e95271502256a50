//! The tray stock on a morning in the season, as the plan's own days leave it.

use crate::calendar::Day;
use crate::plan::view::PlanView;
use crate::scenario::{Drying, HandOver, Scenario, TraysOut};
use std::collections::BTreeMap;

/// The day on which trays are back, who has them, the field that they went to, since when, and when they were due.
type Away = (
    Day,
    Option<String>,
    Option<String>,
    Option<Day>,
    Option<Day>,
);

/// Writes into `scenario` what of the tray stock is dirty, away, drying or lost on the morning of `day`; gives the trays that growers were
/// to have brought back before it.
pub(super) fn carry(scenario: &mut Scenario, view: &PlanView<'_>, day: Day) -> Vec<TraysOut> {
    let old = &view.plan.scenario;
    let mut coming: BTreeMap<Away, i64> = BTreeMap::new();
    let home = |on: Day| (on, None, None, None, None);
    let mut dirty = old.opening.dirty_trays;
    let mut lost = 0;
    for out in &old.opening.trays_out {
        let (grower, field) = (out.grower.clone(), out.field.clone());
        let away = (out.back, grower, field, out.since, out.due);
        *coming.entry(away).or_default() += out.trays;
    }
    for run in &view.runs {
        // Trial trays stand in the first place listed, and are emptied when it is opened.
        let sown = run.run.sow < day;
        if let Some(open) = run.stacks.first().map(|stack| stack.stacks.open)
            && sown
            && run.run.trial_trays > 0
        {
            *coming.entry(home(open)).or_default() += run.run.trial_trays;
        }
        for part in &run.parts {
            let gone = part.delivery.leaves() < day && part.field.stage != HandOver::SoakedSeed;
            if gone {
                let one = part.delivery;
                // What was sown and did not leave is emptied when the others are gone.
                let emptied = home(one.leaves().plus(1));
                *coming.entry(emptied).or_default() += one.sown() - one.trays;
                let back = part.back(old);
                lost += one.trays - back.iter().map(|(_, trays)| trays).sum::<i64>();
                for (on, trays) in back {
                    let grower = Some(part.field.grower.clone());
                    let away = (
                        on,
                        grower,
                        Some(one.field.clone()),
                        Some(one.leaves()),
                        None,
                    );
                    *coming.entry(away).or_default() += trays;
                }
            }
        }
    }
    let later = coming.split_off(&home(day));
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
    opening.trays_out = noted(later);
    opening.drying = drying
        .into_iter()
        .map(|(clean, trays)| Drying { trays, clean })
        .collect();
    scenario.trays.stock -= lost;
    let mut came = noted(coming);
    came.retain(|came| came.grower.is_some());
    came
}

fn noted(away: BTreeMap<Away, i64>) -> Vec<TraysOut> {
    let some = away.into_iter().filter(|(_, trays)| *trays > 0);
    some.map(|((back, grower, field, since, due), trays)| TraysOut {
        trays,
        back,
        grower,
        field,
        since,
        due,
    })
    .collect()
}
