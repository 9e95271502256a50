//! Which limits could be gone beyond at all: only these need a row in the program.

use super::super::compiled::Bundle;
use super::super::state::Ground;
use crate::nursery::{LotId, RunId, work};

/// By slot, whether everything that could be decided would be more than there is.
pub(super) fn slots(ground: &Ground<'_>) -> Vec<bool> {
    let mut most = Most {
        ground,
        by_slot: vec![0; ground.slots.there.len()],
    };
    most.lots();
    most.runs();
    most.washing();
    let there = most.by_slot.iter().zip(&ground.slots.there);
    there.map(|(most, there)| most > there).collect()
}

/// The most that could be asked of each slot. Every run counts with all lots of its kind, so that large orders with many sow days come
/// to more than 64 bits hold: sums stop at the largest number, which is more than there is of anything.
struct Most<'g> {
    ground: &'g Ground<'g>,
    by_slot: Vec<i64>,
}

impl Most<'_> {
    fn add(&mut self, bundle: &Bundle, times: i64) {
        for stretch in &bundle.stretches {
            let amount = stretch.amount.saturating_mul(times);
            for most in &mut self.by_slot[stretch.from as usize..stretch.until as usize] {
                *most = most.saturating_add(amount);
            }
        }
    }

    /// Of each lot the greatest that one of its options takes, all its tasks of a day together.
    fn lots(&mut self) {
        let (nursery, compiled) = (self.ground.nursery, &self.ground.compiled);
        let mut of_lot = vec![0i64; self.by_slot.len()];
        let mut of_option = vec![0i64; self.by_slot.len()];
        for lot in (0..nursery.lots.len()).map(LotId) {
            let mut seen = Vec::new();
            for option in nursery.options_of(lot) {
                let stretches = &compiled.option(option).stretches;
                let slots = || {
                    let each = stretches.iter();
                    each.flat_map(|stretch| {
                        let slots = stretch.from as usize..stretch.until as usize;
                        slots.map(|slot| (slot, stretch.amount))
                    })
                };
                for (slot, amount) in slots() {
                    of_option[slot] += amount;
                }
                for (slot, _) in slots() {
                    let own = std::mem::take(&mut of_option[slot]);
                    if own > of_lot[slot] {
                        seen.push(slot);
                        of_lot[slot] = own;
                    }
                }
            }
            for at in seen {
                let most = &mut self.by_slot[at];
                *most = most.saturating_add(std::mem::take(&mut of_lot[at]));
            }
        }
    }

    /// Trial trays, seed, stacks and the longest set-up of each run, were all lots of its kind in it.
    fn runs(&mut self) {
        let (nursery, compiled) = (self.ground.nursery, &self.ground.compiled);
        let mut sown_of = vec![0i64; nursery.scenario.kinds.len()];
        for lot in &nursery.lots {
            sown_of[lot.kind] += lot.trays;
        }
        for (run, candidate) in nursery.runs.iter().enumerate() {
            self.add(&compiled.runs[run], 1);
            let sown = sown_of[candidate.kind];
            let seed = nursery.seed_of_run(RunId(run), sown);
            let bags = seed / work::bag(&nursery.scenario, candidate.kind) + 1;
            self.add(&compiled.bags[run], bags);
            for (place, germination) in nursery.scenario.germination.iter().enumerate() {
                let standing = sown + nursery.trial_trays(RunId(run));
                let stacks = standing / germination.height.max(1) + 2;
                self.add(&compiled.stacks[run * compiled.places + place], stacks);
                self.add(&compiled.trials[run * compiled.places + place], 1);
            }
            if let (Some(line), Some(day)) = (candidate.line(), nursery.index(candidate.sow)) {
                let set_ups = &nursery.set_ups[line];
                let before = (0..nursery.scenario.kinds.len()).map(Some).chain([None]);
                let times = before.map(|before| set_ups.between(before, candidate.kind).0);
                let bundle = &compiled.set_ups[line * nursery.days + day];
                self.add(bundle, times.max().unwrap_or(0));
            }
        }
    }

    /// Washing takes a crew's time too.
    fn washing(&mut self) {
        let (days, supply) = (self.ground.nursery.days, self.ground.trays());
        if let Some((crew, ms)) = supply.labour {
            for (most, washed) in self.by_slot[crew * days..].iter_mut().zip(&supply.wash) {
                *most = most.saturating_add(washed.saturating_mul(ms));
            }
        }
    }
}
