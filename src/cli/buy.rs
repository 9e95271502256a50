//! `sowrota buy`: what a plan needs of seed, soil and agents, and what to order by when.

use super::{Exit, Failure, plan_file, unusable};
use crate::report;
use crate::stores::needs;
use std::io::Write;
use std::path::PathBuf;

/// List what to buy for a plan: how much of which seed, soil and agent, and by when at the latest
#[derive(clap::Args)]
#[command(after_help = "\
The days from ordering to being here stand in the scenario, as `lead_days` of
`seed_stores`, `soil_stores` and `agents`; without them an order is due on the
day on which it is needed.

Example:
  sowrota buy out/village")]
pub(super) struct BuyArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// Print the list as JSON for machines, with what each run takes
    #[arg(long)]
    json: bool,
}

/// Runs the command.
///
/// # Errors
/// When the plan's file cannot be read or nothing can be printed.
pub(super) fn run(arguments: &BuyArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let plan = match plan_file::read(&arguments.plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    let needs = match needs(&plan) {
        Ok(needs) => needs,
        Err(error) => return Ok(unusable(error)),
    };
    if arguments.json {
        let page = report::buy::json(&plan, &needs).map_err(|error| Failure::from_error(&error))?;
        writeln!(out, "{page}")?;
    } else {
        out.write_all(report::buy::text(&plan, &needs).as_bytes())?;
    }
    Ok(Exit::Done)
}
