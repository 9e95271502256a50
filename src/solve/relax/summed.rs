//! The second kind of link: all trays of a run together are no more than its line can sow in a day, if the run is there.

use super::super::program::{RowTag, Sense};
use super::{Builder, Stretch};
use crate::nursery::{LotId, OptionId, RunId};
use crate::rules::LINE_HOURS;
use crate::units::Span;
use std::collections::BTreeMap;

impl Builder<'_> {
    /// Options by run.
    pub(super) fn of_runs(&self) -> Vec<Vec<OptionId>> {
        let nursery = self.ground.nursery;
        let mut of_run = vec![Vec::new(); nursery.runs.len()];
        for (at, option) in nursery.options.iter().enumerate() {
            of_run[option.run.0].push(OptionId(at));
        }
        of_run
    }

    /// A run has no more trays than its line can sow, in minutes of the line. Where it could sow all lots that may be in the run, the links of single
    /// lots say more: such rows are left out unless `all` are wanted.
    pub(super) fn summed(&mut self, grow: &[usize], run: &[Option<usize>], all: bool) {
        let ground = self.ground;
        let nursery = ground.nursery;
        let lines = ground.books.of_rule(LINE_HOURS);
        for (at, options) in self.of_runs().into_iter().enumerate() {
            let Some(column) = run[at] else { continue };
            let candidate = &nursery.runs[at];
            let (Some(line), Some(day)) = (candidate.line(), nursery.index(candidate.sow)) else {
                continue;
            };
            let slot = (lines.start + line) * nursery.days + day;
            let on_line = |stretches: &[Stretch]| -> i64 {
                let own = stretches.iter().filter(|stretch| {
                    (stretch.from as usize..stretch.until as usize).contains(&slot)
                });
                own.map(|stretch| stretch.amount).sum()
            };
            // Another kind may be sown before, and the set-up be shorter for it.
            let set_up = nursery.set_ups[line].least_into(candidate.kind).0;
            let trial = on_line(&ground.compiled.runs[at].stretches);
            let there = ground.slots.there[slot] + ground.slots.buyable[slot];
            let room = (there - set_up - trial).max(0);
            // By time, as the line counts it: lots of one kind may differ in their trays only.
            let mut most: BTreeMap<LotId, i64> = BTreeMap::new();
            let mut terms = Vec::new();
            for id in &options {
                let time = on_line(&ground.compiled.option(*id).stretches);
                let own = most.entry(nursery.option(*id).lot).or_default();
                *own = (*own).max(time);
                terms.push((grow[id.0], time as f64 / Span::MINUTE as f64));
            }
            let asked = most.values().sum();
            if room >= asked && !all {
                continue;
            }
            let room = room.min(asked);
            terms.push((column, -(room as f64) / Span::MINUTE as f64));
            let tag = RowTag::Summed(RunId(at));
            self.program.row(tag, terms, Sense::AtMost, 0.0);
        }
    }
}
