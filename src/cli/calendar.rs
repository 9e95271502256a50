//! `sowrota calendar`: a plan for telephones and other calendars.

use super::{Exit, Failure, plan_file, say, unusable};
use crate::plan::Plan;
use crate::plan::file::load;
use crate::plan::tasks::TaskGraph;
use crate::report::calendar_file::{self, By};
use crate::report::text::count;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Write a plan as calendar files, by season, crew or grower, for telephones
#[derive(clap::Args)]
#[command(after_help = "\
A task keeps its identity when its day changes, so that it moves in the
calendar; what an earlier plan had and this one has not is issued as
cancelled. Earlier plans are found beside the plan, as plan-1.json and so on.
A grower's file holds that grower's fields only.

Example:
  sowrota calendar out/village --by grower --to out/village/calendar")]
pub(super) struct CalendarArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// Folder for the files
    #[arg(long, value_name = "DIR")]
    to: PathBuf,
    /// One file for each
    #[arg(long, value_enum, default_value = "season")]
    by: Each,
    /// Only the file of this season, crew or grower
    #[arg(long, value_name = "NAME")]
    only: Option<String>,
    /// A plan whose calendar was given out before; may be repeated [default: those beside the plan]
    #[arg(long, value_name = "PLAN")]
    earlier: Vec<PathBuf>,
}

/// What a file is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Each {
    Season,
    Crew,
    Grower,
}

/// Runs the command.
///
/// # Errors
/// When a plan cannot be read, a file not written, or nothing can be printed.
pub(super) fn run(arguments: &CalendarArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let plan = match plan_file::read(&arguments.plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    let earlier = match earlier(arguments, &plan)? {
        Ok(earlier) => earlier,
        Err(exit) => return Ok(exit),
    };
    let graph = match TaskGraph::new(&plan) {
        Ok(graph) => graph,
        Err(error) => return Ok(unusable(error)),
    };
    let mut before = Vec::with_capacity(earlier.len());
    for plan in &earlier {
        match TaskGraph::new(plan) {
            Ok(graph) => before.push(graph),
            Err(error) => {
                let number = plan.revision;
                return Ok(unusable(format_args!("the earlier plan {number}: {error}")));
            }
        }
    }
    let by = match arguments.by {
        Each::Season => By::Season,
        Each::Crew => By::Crew,
        Each::Grower => By::Grower,
    };
    let mut files = calendar_file::files(&graph, &before, by);
    if let Some(only) = &arguments.only {
        let known: Vec<String> = files.iter().filter_map(|file| file.owner.clone()).collect();
        files.retain(|file| file.owner.as_ref() == Some(only));
        if files.is_empty() {
            return Ok(unusable(format_args!(
                "--only: nothing in the plan is for `{only}`\n  help: write one of {}",
                known.join(", ")
            )));
        }
    }
    let bytes: Vec<(String, Vec<u8>)> = files
        .iter()
        .map(|file| (file.name.clone(), calendar_file::write(file)))
        .collect();
    crate::files::write_all(&arguments.to, &bytes)?;
    for file in &files {
        let gone = file.cancelled();
        let events = count(file.events.len() - gone, "event", "events");
        let gone = match gone {
            0 => String::new(),
            gone => format!(", {gone} cancelled"),
        };
        writeln!(
            out,
            "{}: {events}{gone}",
            arguments.to.join(&file.name).display()
        )?;
    }
    if files.is_empty() {
        writeln!(
            out,
            "nothing is to be done in plan {}: no file",
            plan.revision
        )?;
    }
    Ok(Exit::Done)
}

/// The plans given out before, the oldest first: those named, or those kept beside the plan.
fn earlier(arguments: &CalendarArguments, plan: &Plan) -> Result<Result<Vec<Plan>, Exit>, Failure> {
    let mut plans = Vec::new();
    for path in &arguments.earlier {
        let before = match plan_file::read(path)? {
            Ok(before) => before,
            Err(exit) => return Ok(Err(exit)),
        };
        let name = path.display();
        if before.scenario.name != plan.scenario.name {
            return Ok(Err(unusable(format_args!(
                "--earlier: `{name}` is a plan of `{}`, not of `{}`",
                before.scenario.name, plan.scenario.name
            ))));
        }
        if before.revision >= plan.revision {
            return Ok(Err(unusable(format_args!(
                "--earlier: `{name}` is plan {}, and the calendar is of plan {}\n  help: name a plan with a lower number",
                before.revision, plan.revision
            ))));
        }
        plans.push(before);
    }
    if arguments.earlier.is_empty() {
        for path in beside(&plan_file::folder_of(&arguments.plan), plan.revision) {
            let name = path.display().to_string();
            match load(&path) {
                Ok(before) if before.scenario.name == plan.scenario.name => plans.push(before),
                Ok(_) => say(format_args!(
                    "{name} is of another nursery and passed over\n"
                )),
                Err(error) => {
                    return Ok(Err(unusable(format_args!(
                        "{error}\n  help: move it away, or name the earlier plans with --earlier"
                    ))));
                }
            }
        }
    }
    plans.sort_by_key(|plan| plan.revision);
    Ok(Ok(plans))
}

/// Files `plan-1.json`, … in a folder, with numbers under `revision`.
fn beside(folder: &Path, revision: u32) -> Vec<PathBuf> {
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let numbered = entries.flatten().filter_map(|entry| {
        let name = entry.file_name().into_string().ok()?;
        let number = name.strip_prefix("plan-")?.strip_suffix(".json")?;
        let number: u32 = number.parse().ok()?;
        (number < revision).then(|| (number, entry.path()))
    });
    let mut numbered: Vec<(u32, PathBuf)> = numbered.collect();
    numbered.sort();
    numbered.into_iter().map(|(_, path)| path).collect()
}
