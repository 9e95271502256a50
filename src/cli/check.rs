//! `check`: what is wrong with a scenario, and what is in it.

use super::{Exit, Failure};
use crate::report::check::{Each, json, text};
use crate::scenario;
use std::io::Write;
use std::path::PathBuf;

/// Read a scenario and say what is wrong or odd, what it holds, and which usual values
/// stand in for what is not written. Writes no file
#[derive(clap::Args)]
#[command(after_help = "Example:\n  sowrota check my-nursery")]
pub struct Check {
    /// Folder with nursery.json, or the file itself
    scenario: PathBuf,
    /// List every usual value alone
    #[arg(long)]
    defaults: bool,
    /// Print JSON for machines
    #[arg(long)]
    json: bool,
}

/// Runs the command.
///
/// # Errors
/// When the scenario's file cannot be read, or nothing can be printed.
pub fn run(arguments: &Check, out: &mut dyn Write) -> Result<Exit, Failure> {
    let checked = scenario::read(&arguments.scenario)?;
    if arguments.json {
        super::print_json(out, &json(&checked))?;
    } else {
        let each = if arguments.defaults {
            Each::Alone
        } else {
            Each::Grouped
        };
        write!(out, "{}", text(&checked, each))?;
    }
    Ok(if checked.problems.any_error() {
        Exit::Unusable
    } else {
        Exit::Done
    })
}
