//! From the sow day back to the soaking: `docs/COUNTING.md`, dates 1.

use crate::calendar::Day;
use crate::growth::soak_days;
use crate::scenario::{Kind, Scenario};

/// When the seed of a run is soaked and drained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SeedChain {
    /// Soaking begins.
    pub soak: Day,
    /// Drained; sprouting begins.
    pub drain: Day,
    /// Index into `opening.soaked` when soaking began before the horizon.
    pub batch: Option<usize>,
}

/// The latest soaking from which the seed is ready, and not past its hold, on the sow day.
pub fn chain(scenario: &Scenario, kind: &Kind, sow: Day) -> Option<SeedChain> {
    let beds = &scenario.calendars.beds;
    let soaking = soak_days(kind);
    let latest = sow.plus(-(soaking + kind.sprout_days));
    let slack = kind.drain_wait_days + kind.hold_days;
    (0..=slack)
        .map(|early| latest.plus(-early))
        .find_map(|soak| {
            let batch = if soak >= scenario.horizon.first {
                beds.works(soak).then_some(None)?
            } else {
                let of_kind =
                    |batch: &crate::scenario::Soaked| batch.kind == kind.id && batch.soaked == soak;
                Some(scenario.opening.soaked.iter().position(of_kind)?)
            };
            let drain = beds.first_from(soak.plus(soaking), kind.drain_wait_days)?;
            let ready = drain.plus(kind.sprout_days);
            (ready <= sow && sow <= ready.plus(kind.hold_days)).then_some(SeedChain {
                soak,
                drain,
                batch,
            })
        })
}
