//! What is carried over to the first day beside trays and seed: days of batches, parts served, days told.

use super::opening::{field, part};
use crate::problems::Severity::Error;
use crate::scenario::gather::Gather;
use crate::scenario::types::{HandOver, Scenario, Sown};
use crate::scenario::{codes, spare};
use std::collections::BTreeSet;

/// Days and count of a batch of sown trays.
pub fn batch(gather: &mut Gather, scenario: &Scenario, path: &str, batch: &Sown) {
    let first = scenario.horizon.first;
    let key = |name: &str| format!("{path}.{name}");
    let (sown, opened, hardened) = (key("sown"), key("opened"), key("hardened"));
    let before = format!("before {first}, the first day of the horizon");
    if let Some(day) = batch
        .opened
        .filter(|day| *day <= batch.sown || *day >= first)
    {
        let message = format!("stacks sown on {} were opened on {day}", batch.sown);
        let paths = [opened.as_str(), &sown, "horizon"];
        let problem = gather
            .flag(Error, codes::CARRIED, &paths, message)
            .expected(format!("a day after sowing and {before}"));
        if day >= first {
            problem.help("leave it out while they are closed");
        }
    }
    if let Some(day) = batch.hardened {
        match batch.opened {
            Some(open) if open <= day && day < first => {}
            Some(open) => {
                let message = format!("trays opened on {open} harden from {day}");
                let paths = [hardened.as_str(), &opened, "horizon"];
                let problem = gather
                    .flag(Error, codes::CARRIED, &paths, message)
                    .expected(format!("the day of opening or a later one, {before}"));
                if day >= first {
                    problem.help("leave it out while they stand under the first cover");
                }
            }
            None => {
                let message = format!("trays harden from {day}, and no day of opening is given");
                gather
                    .flag(Error, codes::CARRIED, &[&hardened], message)
                    .help("give `opened` too");
            }
        }
    }
    let sprouted = field(scenario, &batch.field)
        .is_some_and(|field| spare::is_firm(field) && field.stage == HandOver::Sprouted);
    if let Some(day) = batch.opened.filter(|day| sprouted && *day < first) {
        let message = format!(
            "sprouted trays of field `{}` leave on the day their stack is opened, and that was {day}",
            batch.field
        );
        gather
            .flag(Error, codes::CARRIED, &[&opened, "fields", "horizon"], message)
            .help("what has left is no longer sown: take the batch out, and give the part 0 trays in `opening.parts`");
    }
    if let Some(leaving) = batch.leaving.filter(|leaving| *leaving > batch.trays) {
        let message = format!(
            "{leaving} trays can leave of {} that were sown",
            batch.trays
        );
        let (leaving, trays) = (key("leaving"), key("trays"));
        gather
            .flag(Error, codes::CARRIED, &[&leaving, &trays], message)
            .expected("at most as many as were sown");
    }
}

/// Parts of which something is known: each once, and nothing standing for those that have been served.
pub fn parts(gather: &mut Gather, scenario: &Scenario) {
    let mut seen = BTreeSet::new();
    for (index, known) in scenario.opening.parts.iter().enumerate() {
        let path = format!("opening.parts[{index}]");
        if !part(gather, scenario, &path, &known.field, known.part) {
            continue;
        }
        twice(gather, &path, (&known.field, known.part), &mut seen);
        let mut batches = scenario.opening.sown.iter();
        let stands =
            batches.position(|batch| batch.field == known.field && batch.part == known.part);
        if let Some(at) = stands.filter(|_| known.trays == 0) {
            let message = format!(
                "part {} of field `{}` has been served, and trays stand for it",
                known.part, known.field
            );
            let (trays, sown) = (format!("{path}.trays"), format!("opening.sown[{at}]"));
            gather
                .flag(Error, codes::CARRIED, &[&trays, &sown], message)
                .help("say how many trays are still to leave, or take the batch out");
        }
    }
}

/// Days told: each part once.
pub fn told(gather: &mut Gather, scenario: &Scenario) {
    let mut seen = BTreeSet::new();
    for (index, told) in scenario.told.iter().enumerate() {
        let path = format!("told[{index}]");
        if part(gather, scenario, &path, &told.field, told.part) {
            twice(gather, &path, (&told.field, told.part), &mut seen);
        }
    }
}

fn twice<'a>(
    gather: &mut Gather,
    path: &str,
    (field, part): (&'a str, u32),
    seen: &mut BTreeSet<(&'a str, u32)>,
) {
    if !seen.insert((field, part)) {
        let message = format!("part {part} of field `{field}` is named twice");
        gather
            .flag(Error, codes::OPENING_DOUBLE, &[path], message)
            .expected("each part once");
    }
}
