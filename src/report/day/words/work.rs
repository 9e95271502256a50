//! Cautions, in few words, for the work of the day. All defer to labels, the machine's manual and local rules.

use crate::plan::day::{Job, Night, Work};
use crate::units::Celsius;

/// From this high on the heat line stands on the sheet (common practice, no source).
const HOT: Celsius = Celsius::whole(30);

/// The cautions that belong to `works`, in the order of the sheet.
pub fn cautions(jobs: &[&Job], high: Option<Celsius>, night: Option<&Night>) -> Vec<&'static str> {
    let any = |of: &[Work]| jobs.iter().any(|job| of.contains(&job.work));
    let mut lines = Vec::new();
    if high.is_some_and(|high| high >= HOT) && !jobs.is_empty() {
        lines.push("Heat: drink, rest in shade, nobody works alone.");
    }
    if any(&[Work::Load]) {
        lines.push("Vehicle: kilograms against its limit, racks strapped, ramps, someone to guide; licensed drivers.");
    }
    let trays_given = |job: &Job| job.work == Work::HandOver && job.seed.is_none();
    let lifts = [Work::Load, Work::Unstack, Work::Green, Work::Stack];
    if any(&lifts) || jobs.iter().any(|job| trays_given(job)) {
        lines.push("Lifting: from the floor one tray at a time; two light ones only from a table at the waist; change jobs within the hour; `sowrota check` has the limits.");
    }
    if any(&[Work::Unstack, Work::Stack]) {
        lines
            .push("Stacks: level; 20 trays are 120 kg, never reach under; mind the weight on top.");
    }
    if any(&[Work::SetUp, Work::Sow, Work::Trial]) {
        lines.push("Line: guards on; isolate it before clearing a jam or a brush; dry hands and a dry way to the stop.");
    }
    if any(&[Work::SetUp, Work::Sow, Work::Wash]) {
        lines.push("Wet floor: earthing is a qualified electrician's work.");
    }
    let seed_given = |job: &Job| job.work == Work::HandOver && job.seed.is_some();
    let with_seed = [
        Work::Sow,
        Work::Trial,
        Work::Soak,
        Work::Drain,
        Work::ChangeWater,
    ];
    if any(&with_seed) || jobs.iter().any(|job| seed_given(job)) {
        lines.push("Seed: treated seed is never food or feed; gloves and mask; no dip into ditches; lids on tanks; two to a wet bag.");
    }
    if jobs.iter().any(|job| job.dose.is_some()) {
        lines.push("Treating: dose, water, time and what is worn stand on the label; never stronger; air; nobody eats or smokes; empty packs by the label.");
    }
    if any(&[Work::Wash]) {
        lines.push("Washing: hypochlorite never with acid or other chlorine; air, gloves, rinse; spent dip is held back.");
    }
    if night.is_some() {
        lines.push("Night: no repairs alone; a burner in a closed room needs a carbon-monoxide alarm and air.");
    }
    lines
}
