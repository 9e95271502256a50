//! `sowrota whatif`: what an event does to a plan.

use super::follow::Follower;
use super::otherwise::{EVENTS, Events, Mending, situation};
use super::{Exit, Failure};
use crate::audit;
use crate::disrupt::answers::answers;
use crate::disrupt::what_if::what_if;
use crate::report;
use crate::solve::Budget;
use serde::Serialize;
use std::io::Write;
use std::path::PathBuf;

/// Try an event on a plan: what breaks, whom to call, what it costs; nothing is written
#[derive(clap::Args)]
#[command(after_help = EVENTS)]
pub(super) struct WhatIfArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// First day that can still be changed [default: the plan's first]
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    events: Events,
    /// Also make the plan anew, whatever was told
    #[arg(long)]
    anew: bool,
    #[command(flatten)]
    mending: Mending,
    /// Print it as JSON for machines
    #[arg(long)]
    json: bool,
    /// Say nothing on the way
    #[arg(long)]
    quiet: bool,
}

#[derive(Serialize)]
struct Page<'a> {
    events: &'a [String],
    left_as_it_is: &'a crate::disrupt::what_if::Unchanged,
    mended: &'a crate::plan::Plan,
    difference: &'a crate::disrupt::difference::Difference,
    spare: &'a [crate::disrupt::spare::Spare],
    anew: Option<&'a crate::plan::Plan>,
    answers: &'a crate::disrupt::answers::Answers,
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or nothing can be printed.
pub(super) fn run(arguments: &WhatIfArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let now = match situation(&arguments.plan, arguments.on.as_deref(), &arguments.events)? {
        Ok(now) => now,
        Err(exit) => return Ok(exit),
    };
    let budget = arguments.mending.budget(&now.present);
    let anew = Budget {
        relaxations: 0,
        ..Budget::for_lots(now.present.decided.len())
    };
    let mut follower = Follower::of_mending(arguments.quiet);
    let found = what_if(
        &now.undisturbed,
        &now.present,
        arguments.mending.how(),
        (&budget, arguments.anew.then_some(&anew)),
        &mut follower,
    );
    let answers = answers(&now.undisturbed, &now.present, &now.happened, &found);
    follower.clear();
    if arguments.json {
        let page = Page {
            events: &now.events,
            left_as_it_is: &found.unchanged,
            mended: &found.repaired.plan,
            difference: &found.difference,
            spare: &found.spare,
            anew: found.anew.as_ref().map(|(plan, _)| plan),
            answers: &answers,
        };
        super::print_json(out, &page)?;
    } else {
        let text = report::otherwise::what_if(&found, &answers, &now.events);
        out.write_all(text.as_bytes())?;
    }
    let plan = &found.repaired.plan;
    let sound = audit::audit(plan, &plan.scenario).breaches.is_empty();
    Ok(if sound && plan.shortfalls.is_empty() {
        Exit::Done
    } else {
        Exit::Short
    })
}
