//! `sowrota replan`: a plan of the rest of the season, with the least upheaval.

use super::follow::Follower;
use super::otherwise::{EVENTS, Events, Mending, situation};
use super::{Exit, Failure, plan_file, say};
use crate::audit;
use crate::disrupt::difference::between;
use crate::disrupt::replan::replan;
use crate::disrupt::what_if::as_decided;
use crate::report;
use std::io::Write;
use std::path::PathBuf;

/// Plan the rest of the season again from a day on, with the least upheaval
#[derive(clap::Args)]
#[command(after_help = EVENTS)]
pub(super) struct ReplanArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// First day that can still be changed
    #[arg(long, value_name = "DAY")]
    on: String,
    #[command(flatten)]
    events: Events,
    /// Folder for the new plan.json [default: the plan's own; the earlier one is kept beside it]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    mending: Mending,
    /// Print the plan as JSON for machines
    #[arg(long)]
    json: bool,
    /// Say nothing on the way
    #[arg(long)]
    quiet: bool,
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or written, or nothing can be printed.
pub(super) fn run(arguments: &ReplanArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let now = match situation(&arguments.plan, Some(&arguments.on), &arguments.events)? {
        Ok(now) => now,
        Err(exit) => return Ok(exit),
    };
    let budget = arguments.mending.budget(&now.present);
    let mut follower = Follower::of_mending(arguments.quiet);
    let mut found = replan(
        &now.present,
        arguments.mending.how(),
        &budget,
        &mut follower,
    );
    follower.clear();
    let before = as_decided(&now.undisturbed);
    let changes = between(&before, &found.plan, now.present.day);
    let folder = arguments.out.clone();
    let folder = folder.unwrap_or_else(|| plan_file::folder_of(&arguments.plan));
    let audit = audit::audit(&found.plan, &found.plan.scenario);
    let earlier = match plan_file::earlier(&folder)? {
        Ok(earlier) => earlier,
        Err(exit) => return Ok(exit),
    };
    found.plan.revision = now.plan.revision.saturating_add(1);
    let file = plan_file::write(&mut found.plan, earlier.as_ref(), &folder)?;
    if arguments.json {
        super::print_json(out, &found.plan)?;
    } else {
        let text = report::otherwise::replanned(&before, &found, &changes, &now.events);
        out.write_all(text.as_bytes())?;
        writeln!(out, "\nplan {}: {}", found.plan.revision, file.display())?;
    }
    for breach in &audit.breaches {
        say(format_args!(
            "fault of the program: {} {}\n",
            breach.code, breach.what
        ));
    }
    let sound = found.plan.shortfalls.is_empty() && audit.breaches.is_empty();
    Ok(if sound { Exit::Done } else { Exit::Short })
}
