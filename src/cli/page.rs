//! `sowrota page`: the plan as one file for a browser.

use super::{Exit, Failure, plan_file, say, unusable};
use crate::calendar::Day;
use crate::disrupt::sweep::Cell;
use crate::explain;
use crate::plan::Plan;
use crate::plan::file::load;
use crate::plan::view::PlanError;
use crate::report;
use crate::report::page::{Given, Why, gather, html};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Write the plan as one page for a browser: today, calls, every lot, loads, stocks, fields
#[derive(clap::Args)]
#[command(after_help = "\
The page is one file that needs no network. When the folder of the plan keeps
the plan before it, the page says what changed.

Example:
  sowrota page out/village --today 2027-05-08 --to village.html")]
pub(super) struct PageArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// The day from which it is seen [default: the plan's first]
    #[arg(long, value_name = "DAY")]
    today: Option<String>,
    /// The file to write [default: page.html beside the plan]
    #[arg(long, value_name = "FILE")]
    to: Option<PathBuf>,
    /// Another plan of the nursery, to show what is otherwise in this one
    #[arg(long, value_name = "OTHER_PLAN")]
    beside: Option<PathBuf>,
    /// Leave out of each lot what its other days would cost: quicker for some thousand lots
    #[arg(long)]
    brief: bool,
    /// What `sowrota sweep --json` printed, to show it as a map
    #[arg(long, value_name = "FILE")]
    sweep: Option<PathBuf>,
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or written.
pub(super) fn run(arguments: &PageArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let plan = match plan_file::read(&arguments.plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    let today = match arguments.today.as_deref().map(Day::parse).transpose() {
        Ok(day) => day.unwrap_or(plan.scenario.horizon.first),
        Err(error) => return Ok(unusable(format_args!("--today: {error}"))),
    };
    if let Some(why) = plan_file::outside(&plan, today) {
        return Ok(unusable(format_args!("--today: {why}")));
    }
    let other = match arguments
        .beside
        .as_deref()
        .map(plan_file::read)
        .transpose()?
    {
        Some(Err(exit)) => return Ok(exit),
        Some(Ok(other)) => Some(other),
        None => None,
    };
    let sweep = match arguments.sweep.as_deref().map(cells).transpose()? {
        Some(Err(why)) => return Ok(unusable(why)),
        Some(Ok(cells)) => cells,
        None => Vec::new(),
    };
    let folder = plan_file::folder_of(&arguments.plan);
    let earlier = before(&plan, &folder);
    let name = arguments.beside.as_deref().map(called);
    let why = if arguments.brief {
        BTreeMap::new()
    } else {
        match other_days(&plan) {
            Ok(why) => why,
            Err(error) => return Ok(unusable(error)),
        }
    };
    let data = gather(Given {
        plan: &plan,
        today,
        earlier: earlier.as_ref(),
        beside: other.as_ref().zip(name.as_deref()),
        sweep: &sweep,
        why: &why,
    });
    let data = match data {
        Ok(data) => data,
        Err(error) => return Ok(unusable(error)),
    };
    let file = arguments
        .to
        .clone()
        .unwrap_or_else(|| folder.join("page.html"));
    crate::files::write(&file, html(&data).as_bytes())?;
    writeln!(out, "wrote {}", file.display())?;
    Ok(Exit::Done)
}

/// What the other days of each part would cost, or what is in their way.
fn other_days(plan: &Plan) -> Result<BTreeMap<(String, u32), Why>, PlanError> {
    let mut why = BTreeMap::new();
    explain::each(plan, |told| {
        let lines = report::why::lines(&told);
        why.insert((told.field, told.part), Why { lines });
    })?;
    Ok(why)
}

/// The name of a file, or of a folder, as it is called on the page.
fn called(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.to_string_lossy().into_owned()
}

/// The plan before, when it is kept; one that cannot be read is said and left out.
fn before(plan: &Plan, folder: &Path) -> Option<Plan> {
    let file = plan_file::kept(folder, plan.revision.checked_sub(1)?);
    if !file.exists() {
        return None;
    }
    match load(&file) {
        Ok(earlier) => Some(earlier),
        Err(why) => {
            say(format_args!("note: the plan before is left out: {why}\n"));
            None
        }
    }
}

/// Most cells of a sweep: two years of days and rain of a month.
const MOST_CELLS: usize = 20_000;

/// The cells that a sweep printed, or why they cannot be used.
fn cells(path: &Path) -> Result<Result<Vec<Cell>, String>, Failure> {
    let bytes = crate::files::read(path)?;
    let cells: Vec<Cell> = match serde_json::from_slice(&bytes) {
        Ok(cells) => cells,
        Err(error) => {
            let shown = path.display();
            return Ok(Err(format!(
                "`{shown}` is not what a sweep prints: {error}\n  help: make it with `sowrota sweep … --json`"
            )));
        }
    };
    let usable =
        |cell: &Cell| (1..=60).contains(&cell.days) && cell.at_risk >= 0 && cell.short >= 0;
    if cells.len() > MOST_CELLS || !cells.iter().all(usable) {
        let shown = path.display();
        return Ok(Err(format!(
            "`{shown}` holds rain that no sweep tries: at most {MOST_CELLS} cells, 1 to 60 days each, no trays below 0\n  \
             help: make it with `sowrota sweep … --json`"
        )));
    }
    Ok(Ok(cells))
}
