//! `sowrota replan`: a plan of the rest of the season, with the least upheaval.

use super::otherwise::{EVENTS, Events, situation};
use super::plan::Follower;
use super::{Exit, Failure, say, unusable};
use crate::audit;
use crate::disrupt::difference::between;
use crate::disrupt::replan::{How, replan};
use crate::disrupt::what_if::{as_decided, budget_for};
use crate::plan::file::{PlanFileError, load, save};
use crate::report;
use crate::solve::Budget;
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
    /// By the prices of the scenario, not shortage, promises, days, money in this order
    #[arg(long)]
    priced: bool,
    /// Days in which nothing is moved unasked
    #[arg(long, value_name = "DAYS", default_value_t = 3, value_parser = clap::value_parser!(i32).range(0..=60))]
    held: i32,
    /// Changes the search may try [default: by the number of orders]
    #[arg(long, value_name = "NUMBER")]
    moves: Option<u64>,
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
    let usual = budget_for(&now.present);
    let budget = Budget {
        moves: arguments.moves.unwrap_or(usual.moves),
        ..usual
    };
    let how = How {
        held_days: arguments.held,
        priced: arguments.priced,
    };
    let mut follower = Follower::new(arguments.quiet);
    let mut found = replan(&now.present, how, &budget, &mut follower);
    follower.clear();
    let before = as_decided(&now.undisturbed);
    let changes = between(&before, &found.plan, now.present.day);
    let folder = arguments.out.clone().unwrap_or_else(|| {
        let plan = &arguments.plan;
        let parent = plan.parent().map(PathBuf::from).unwrap_or_default();
        if plan.is_dir() { plan.clone() } else { parent }
    });
    let audit = audit::audit(&found.plan, &found.plan.scenario);
    let file = folder.join("plan.json");
    let earlier = match load(&file) {
        Ok(earlier) => Some(earlier),
        Err(PlanFileError::File(_)) if !file.exists() => None,
        Err(PlanFileError::File(error)) => return Err(error.into()),
        Err(error) => {
            return Ok(unusable(format_args!(
                "{error}\n  help: move it away, or name another folder with --out"
            )));
        }
    };
    found.plan.revision = now.plan.revision.saturating_add(1);
    super::plan::keep_earlier(&mut found.plan, earlier, &folder)?;
    save(&found.plan, &file).map_err(|error| Failure::from_error(&error))?;
    let table = report::plan::csv(&found.plan);
    crate::files::write(&folder.join("plan.csv"), table.as_bytes())?;
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
