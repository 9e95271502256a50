//! `schema`: JSON Schema of the files.

use super::{Exit, Failure};
use crate::{plan, scenario};
use std::io::Write;

/// Print the JSON Schema (draft 2020-12) of a file, for editors and other programs
#[derive(clap::Args)]
#[command(after_help = "Example:\n  sowrota schema scenario > scenario.schema.json")]
pub struct Schema {
    /// Which file
    #[arg(default_value = "scenario")]
    of: Of,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum Of {
    /// The scenario as written: nursery.json
    Scenario,
    /// A plan: plan.json
    Plan,
}

/// Runs the command.
///
/// # Errors
/// When nothing can be printed.
pub fn run(arguments: &Schema, out: &mut dyn Write) -> Result<Exit, Failure> {
    let schema = match arguments.of {
        Of::Scenario => scenario::schema::scenario(),
        Of::Plan => plan::schema::plan(),
    };
    super::print_json(out, &schema)?;
    Ok(Exit::Done)
}
