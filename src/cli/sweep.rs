//! `sowrota sweep`: rain of every length on every day.

use super::follow::Follower;
use super::otherwise::{Events, situation};
use super::{Exit, Failure, say, unusable};
use crate::calendar::DayRange;
use crate::disrupt::sweep::sweep;
use crate::report;
use crate::solve::Watch;
use std::io::{IsTerminal, Write};
use std::path::PathBuf;

/// Try rain of 1 day and more from each day on: which trays it touches, and what mending costs
#[derive(clap::Args)]
#[command(after_help = "\
Example:
  sowrota sweep out/cooperative --days 2027-05-01/2027-05-30 --longest 10")]
pub(super) struct SweepArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// First days of rain, first/last
    #[arg(long, value_name = "DAYS")]
    days: String,
    /// Longest rain, days
    #[arg(long, value_name = "DAYS", default_value_t = 10, value_parser = clap::value_parser!(u32).range(1..=60))]
    longest: u32,
    /// First day that can still be changed [default: the plan's first]
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    events: Events,
    /// Changes that each search may try
    #[arg(long, value_name = "NUMBER", default_value_t = 3_000)]
    moves: u64,
    /// Print the cells as JSON for machines
    #[arg(long)]
    json: bool,
    /// Say nothing on the way
    #[arg(long)]
    quiet: bool,
}

/// Where no terminal shows how far it is, so many lines say it.
const TENTHS: usize = 10;

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or nothing can be printed.
pub(super) fn run(arguments: &SweepArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let now = match situation(&arguments.plan, arguments.on.as_deref(), &arguments.events)? {
        Ok(now) => now,
        Err(exit) => return Ok(exit),
    };
    let horizon = now.present.scenario.horizon;
    let span = match DayRange::parse(&arguments.days) {
        Ok(span) if horizon.contains(span.first) && horizon.contains(span.last) => span,
        Ok(_) => {
            return Ok(unusable(format_args!(
                "--days {} lies outside what is still to come, {horizon}",
                arguments.days
            )));
        }
        Err(error) => return Ok(unusable(format_args!("--days: {error}"))),
    };
    let follower = Follower::of_mending(arguments.quiet);
    let shown = !arguments.quiet;
    let live = std::io::stderr().is_terminal();
    let all = span.days() * arguments.longest as usize;
    let cells = sweep(
        &now.present,
        span,
        arguments.longest,
        arguments.moves,
        &mut |done| {
            let told = format!("{done} of {all} rains tried");
            if shown && live {
                say(format_args!("\r{told:78}"));
            } else if shown && done * TENTHS / all > (done - 1) * TENTHS / all {
                say(format_args!("{told}\n"));
            }
            !follower.stop()
        },
    );
    follower.clear();
    let cells = match cells {
        Ok(cells) => cells,
        Err(error) => return Ok(unusable(error)),
    };
    if cells.len() < all {
        say(format_args!(
            "ended early: {} of {all} rains are shown\n",
            cells.len()
        ));
    }
    if arguments.json {
        super::print_json(out, &cells)?;
    } else if !cells.is_empty() {
        let text = report::otherwise::sweep(&cells, &now.present.scenario);
        out.write_all(text.as_bytes())?;
    }
    Ok(Exit::Done)
}
