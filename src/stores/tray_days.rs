//! The tray stock evening by evening, as the plan's own days leave it: `docs/COUNTING.md`, "Trays".

use crate::calendar::Day;
use crate::plan::Plan;
use crate::plan::view::{PlanError, PlanView};
use std::collections::BTreeMap;

/// Where the trays are on an evening; together they are the stock.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TrayDay {
    /// Clean and at hand.
    pub clean: i64,
    /// With seed or seedlings in stacks and beds, trial trays too.
    pub standing: i64,
    /// Under stacks and on top of them.
    pub around: i64,
    /// At home and not washed.
    pub dirty: i64,
    /// Washed and not dry.
    pub drying: i64,
    /// With growers, on the way or lost.
    pub away: i64,
}

/// What comes to a place, or goes from it if below 0, on a day.
#[derive(Default)]
struct Flow(BTreeMap<Day, i64>);

impl Flow {
    fn add(&mut self, day: Day, trays: i64) {
        *self.0.entry(day).or_default() += trays;
    }

    /// All up to the evening of `day`.
    fn until(&self, day: Day) -> i64 {
        self.0.range(..=day).map(|(_, trays)| trays).sum()
    }
}

/// Every evening of the horizon.
///
/// # Errors
/// [`PlanError`] when the plan names what its scenario does not have.
pub fn tray_days(plan: &Plan) -> Result<Vec<(Day, TrayDay)>, PlanError> {
    let view = PlanView::new(plan)?;
    let s = &plan.scenario;
    let first = s.horizon.first;
    let (mut standing, mut around, mut dirty, mut drying) = (
        Flow::default(),
        Flow::default(),
        Flow::default(),
        Flow::default(),
    );
    dirty.add(first, s.opening.dirty_trays);
    for out in &s.opening.trays_out {
        dirty.add(out.back.max(first), out.trays);
    }
    for batch in &s.opening.drying {
        drying.add(first, batch.trays);
        drying.add(batch.clean.max(first), -batch.trays);
    }
    for sown in &s.opening.sown {
        standing.add(first, sown.trays);
    }
    for run in &view.runs {
        let here = |day: Day| day.max(first);
        for stack in &run.stacks {
            let trays = stack.stacks.stacks * (stack.place.lid_trays + stack.place.base_trays);
            // Stacks that were opened before the first day have none around them.
            if stack.stacks.open >= first {
                around.add(here(run.run.sow), trays);
                around.add(stack.stacks.open, -trays);
            }
        }
        if run.line.is_some() {
            standing.add(run.run.sow, run.run.trial_trays);
            if let Some(stack) = run.stacks.first() {
                standing.add(stack.stacks.open, -run.run.trial_trays);
                dirty.add(stack.stacks.open, run.run.trial_trays);
            }
        }
        for part in run.parts.iter().filter(|part| !part.is_seed()) {
            let d = part.delivery;
            if run.line.is_some() {
                standing.add(run.run.sow, d.sown());
            }
            standing.add(here(d.leaves()), -d.sown());
            for (day, trays) in part.back(s) {
                dirty.add(here(day), trays);
            }
            dirty.add(here(d.leaves().plus(1)), part.lost());
        }
    }
    for washing in &plan.washing {
        dirty.add(washing.day, -washing.trays);
        drying.add(washing.day, washing.trays);
        let dry = s.trays.dry_days_on(washing.day).max(1);
        drying.add(washing.day.plus(dry), -washing.trays);
    }
    // Trays are away from the day on which they leave until they are back.
    let mut away = Flow::default();
    for out in &s.opening.trays_out {
        away.add(first, out.trays);
        away.add(out.back.max(first), -out.trays);
    }
    for run in &view.runs {
        for part in run.parts.iter().filter(|part| !part.is_seed()) {
            let d = part.delivery;
            away.add(d.leaves().max(first), d.sown());
            for (day, trays) in part.back(s) {
                away.add(day.max(first), -trays);
            }
            away.add(d.leaves().plus(1).max(first), -part.lost());
        }
    }
    let days = s.horizon.iter().map(|day| {
        let mut one = TrayDay {
            clean: s.trays.stock,
            standing: standing.until(day),
            around: around.until(day),
            dirty: dirty.until(day),
            drying: drying.until(day),
            away: away.until(day),
        };
        one.clean -= one.standing + one.around + one.dirty + one.drying + one.away;
        (day, one)
    });
    Ok(days.collect())
}
