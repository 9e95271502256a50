//! `sowrota compare`: what is otherwise in one plan than in another.

use super::{Exit, Failure, plan_file, unusable};
use crate::calendar::Day;
use crate::disrupt::difference::between;
use crate::report;
use std::io::Write;
use std::path::PathBuf;

/// Compare two plans of one nursery: whom to call, and what changes day by day
#[derive(clap::Args)]
#[command(after_help = "\
Example:
  sowrota compare out/village/plan-1.json out/village/plan.json")]
pub(super) struct CompareArguments {
    /// The earlier plan
    old: PathBuf,
    /// The later one
    new: PathBuf,
    /// From this day on [default: the later first day of the two]
    #[arg(long, value_name = "DAY")]
    from: Option<String>,
    /// Print it as JSON for machines
    #[arg(long)]
    json: bool,
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or nothing can be printed.
pub(super) fn run(arguments: &CompareArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let (old, new) = match (
        plan_file::read(&arguments.old)?,
        plan_file::read(&arguments.new)?,
    ) {
        (Ok(old), Ok(new)) => (old, new),
        (Err(exit), _) | (_, Err(exit)) => return Ok(exit),
    };
    let later = old.scenario.horizon.first.max(new.scenario.horizon.first);
    let from = match arguments.from.as_deref().map(Day::parse).transpose() {
        Ok(from) => from.unwrap_or(later),
        Err(error) => return Ok(unusable(format_args!("--from: {error}"))),
    };
    let changes = between(&old, &new, from);
    if arguments.json {
        super::print_json(out, &changes)?;
    } else {
        out.write_all(report::otherwise::difference(&changes, &new).as_bytes())?;
    }
    Ok(Exit::Done)
}
