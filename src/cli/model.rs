//! `sowrota model`: the program as a file for a solver, and a solver's answer as a plan.

use super::{Exit, Failure, plan_file, say, unusable};
use crate::nursery::Nursery;
use crate::report;
use crate::report::model::Which;
use crate::solve::relax::Relaxation;
use crate::solve::relax::whole::{Links, Whole};
use crate::solve::state::Ground;
use crate::solve::{given, list, mps, names};
use crate::units::Money;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Write the program that is solved as an MPS file, or make a plan of a solver's answer
#[derive(clap::Args)]
#[command(after_help = "\
Without `--whole` it is the relaxation: shares of lots, no plan can cost less.
With it, each point in whole numbers is a plan at its cost. An answer has a line
for each column that is not 0: its name, a blank, its value.

Example:
  sowrota model scenarios/village --whole --mps village.mps
  sowrota model scenarios/village --solution answer.txt --out out/village")]
pub(super) struct ModelArguments {
    /// Folder with nursery.json, or the file itself
    scenario: PathBuf,
    /// File to write the program to
    #[arg(long, value_name = "FILE", required_unless_present = "solution")]
    mps: Option<PathBuf>,
    /// Write the program of whole lots, not the relaxation
    #[arg(long, requires = "mps")]
    whole: bool,
    /// How it says that a lot is sown only in a run that is there
    #[arg(long, value_enum, requires = "whole", default_value_t = LinkRows::Both)]
    links: LinkRows,
    /// File with a solver's answer: make a plan of it
    #[arg(long, value_name = "FILE", conflicts_with = "mps")]
    solution: Option<PathBuf>,
    /// Folder for plan.json [default: out/ and the scenario's name]
    #[arg(long, value_name = "DIR", requires = "solution")]
    out: Option<PathBuf>,
    /// Print the plan as JSON for machines instead of the summary
    #[arg(long, requires = "solution")]
    json: bool,
}

/// Rows that link lots to runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum LinkRows {
    /// One for each lot and run
    Lots,
    /// One for each run
    Runs,
    /// Both
    Both,
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or written, or nothing can be printed.
pub(super) fn run(arguments: &ModelArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let scenario = match super::scenario_of(&arguments.scenario, true)? {
        Ok(scenario) => scenario,
        Err(exit) => return Ok(exit),
    };
    let nursery = Nursery::new(&scenario);
    let ground = Ground::new(&nursery);
    match (&arguments.mps, &arguments.solution) {
        (Some(file), _) => write(arguments, &ground, file, out),
        (None, Some(answer)) => answered(arguments, &ground, answer, out),
        (None, None) => Ok(unusable("name a file with --mps or --solution")),
    }
}

/// Writes the program.
fn write(
    arguments: &ModelArguments,
    ground: &Ground<'_>,
    file: &Path,
    out: &mut dyn Write,
) -> Result<Exit, Failure> {
    let (which, program) = if arguments.whole {
        let links = match arguments.links {
            LinkRows::Lots => Links::ByLot,
            LinkRows::Runs => Links::Summed,
            LinkRows::Both => Links::Both,
        };
        (Which::Whole, Whole::new(ground, links).program().clone())
    } else {
        (Which::Relaxation, Relaxation::new(ground).program)
    };
    let text = mps::text(
        &program,
        mps::Named {
            name: &names::escaped(&ground.nursery.scenario.name),
            columns: &names::columns(ground, &program),
            rows: &names::rows(ground, &program),
            whole: arguments.whole,
        },
    );
    crate::files::write(file, text.as_bytes())?;
    write!(out, "{}", report::model::text(&program, which, file))?;
    Ok(Exit::Done)
}

/// Makes a plan of an answer.
fn answered(
    arguments: &ModelArguments,
    ground: &Ground<'_>,
    answer: &Path,
    out: &mut dyn Write,
) -> Result<Exit, Failure> {
    let folder = arguments
        .out
        .clone()
        .unwrap_or_else(|| super::plan::default_folder(&arguments.scenario));
    let earlier = match plan_file::earlier(&folder)? {
        Ok(earlier) => earlier,
        Err(exit) => return Ok(exit),
    };
    let bytes = crate::files::read(answer)?;
    let program = Whole::new(ground, Links::default());
    let named = answer.display().to_string();
    let choice = match given::read(ground, program.program(), &bytes, &named) {
        Ok(choice) => choice,
        Err(problems) => {
            say(report::check::problems(&problems));
            return Ok(Exit::Unusable);
        }
    };
    let mut plan = match given::plan(ground, &choice) {
        Ok(plan) => plan,
        Err(lacks) => {
            say(report::model::refused(&lacks));
            return Ok(Exit::Unusable);
        }
    };
    let listed = Money {
        0: list::list(ground).objective(),
    };
    super::plan::keep(&mut plan, earlier, listed, &folder, arguments.json, out)
}
