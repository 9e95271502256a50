//! `sowrota promise`: notes which planting days growers have been told.

use super::{Exit, Failure, plan_file, unusable};
use crate::calendar::Day;
use crate::disrupt::promise::{Which, promise};
use crate::plan::file::save;
use std::io::Write;
use std::path::PathBuf;

/// Note in a plan which days growers have been told; replanning then moves them last
#[derive(clap::Args)]
#[command(after_help = "\
Without --until and --field all days of the plan are noted as told.

Example:
  sowrota promise out/village --until 2027-05-20")]
pub(super) struct PromiseArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// Only what leaves up to this day
    #[arg(long, value_name = "DAY")]
    until: Option<String>,
    /// Only this field; may be repeated
    #[arg(long = "field", value_name = "FIELD")]
    fields: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or written, or nothing can be printed.
pub(super) fn run(arguments: &PromiseArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut plan = match plan_file::read(&arguments.plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    let until = match arguments.until.as_deref().map(Day::parse).transpose() {
        Ok(until) => until,
        Err(error) => return Ok(unusable(format_args!("--until: {error}"))),
    };
    let unknown = |id: &&String| !plan.scenario.fields.iter().any(|field| field.id == **id);
    if let Some(id) = arguments.fields.iter().find(unknown) {
        return Ok(unusable(format_args!("the plan has no field `{id}`")));
    }
    let file = if arguments.plan.is_dir() {
        arguments.plan.join("plan.json")
    } else {
        arguments.plan.clone()
    };
    let earlier = plan.clone();
    let which = Which {
        until,
        fields: arguments.fields.clone(),
    };
    let new = promise(&mut plan, &which);
    if new.is_empty() {
        writeln!(out, "nothing new to note")?;
        return Ok(Exit::Done);
    }
    plan_file::keep_beside(&earlier, &plan_file::folder_of(&arguments.plan))?;
    save(&plan, &file).map_err(|error| Failure::from_error(&error))?;
    for (field, part, day) in &new {
        writeln!(out, "{day} {} {field} part {part}", day.weekday())?;
    }
    writeln!(out, "plan {}: {}", plan.revision, file.display())?;
    Ok(Exit::Done)
}
