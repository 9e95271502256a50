//! `audit`: what a plan breaks and what it costs, by the independent count.

use super::{Exit, Failure};
use crate::audit::{audit, plan_by_hand};
use crate::files;
use crate::plan::Plan;
use crate::plan::file::{PlanFileError, load};
use crate::report;
use crate::report::audit::{Told, json, text};
use crate::scenario::{self, Scenario};
use clap::Args;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Count a plan again, day by day: what it breaks, what it costs, which days are fullest
#[derive(Args)]
#[command(after_help = "\
A table made by hand has the columns field, part, sow, plant, trays, and if
wanted line, germination, green_bed, harden_bed.

Exit code: 0 no breach and nothing short, 3 breaches or trays short,
2 plan or scenario unusable, 1 error.

Example:
  sowrota audit my_plan.csv --scenario my_nursery")]
pub(super) struct AuditArguments {
    /// A plan.json, a folder that holds one, or a table (.csv) made by hand
    plan: PathBuf,
    /// Count on this scenario, not on the one in the plan; needed for a table
    #[arg(long, value_name = "SCENARIO")]
    scenario: Option<PathBuf>,
    /// Print every breach
    #[arg(long)]
    all: bool,
    /// Print JSON for machines
    #[arg(long)]
    json: bool,
}

/// Runs `audit`.
pub(super) fn run(arguments: &AuditArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let given = match arguments.scenario.as_deref().map(scenario).transpose()? {
        Some(Err(why)) => return Ok(unusable(&why)),
        Some(Ok(scenario)) => Some(scenario),
        None => None,
    };
    let by_hand = arguments
        .plan
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    let plan = match (by_hand, &given) {
        (true, None) => {
            return Ok(unusable(
                "error: a table made by hand is counted on a scenario: give it with --scenario",
            ));
        }
        (true, Some(scenario)) => table(&arguments.plan, scenario)?,
        (false, _) => plan(&arguments.plan)?,
    };
    let plan = match plan {
        Ok(plan) => plan,
        Err(why) => return Ok(unusable(&why)),
    };
    let scenario = given.as_ref().unwrap_or(&plan.scenario);
    let audit = audit(&plan, scenario);
    let file = arguments.plan.display().to_string();
    let told = Told {
        plan: &plan,
        scenario,
        file: &file,
        audit: &audit,
    };
    if arguments.json {
        let page = json(told).map_err(|error| Failure::from_error(&error))?;
        writeln!(out, "{page}")?;
    } else {
        write!(out, "{}", text(told, arguments.all))?;
    }
    if audit.breaches.iter().any(|breach| breach.code == "A001") {
        return Ok(Exit::Unusable);
    }
    let sound = audit.breaches.is_empty() && audit.cost.trays_short == 0;
    Ok(if sound { Exit::Done } else { Exit::Short })
}

fn unusable(why: &str) -> Exit {
    super::say(format_args!("{why}\n"));
    Exit::Unusable
}

/// A completed scenario from its file or folder, or why it cannot be used.
fn scenario(path: &Path) -> Result<Result<Scenario, String>, Failure> {
    let checked = scenario::read(path)?;
    let why = || report::check::problems(&checked.problems);
    Ok(checked.scenario.ok_or_else(why))
}

/// A plan from its file or folder, or why it cannot be used.
fn plan(path: &Path) -> Result<Result<Plan, String>, Failure> {
    match load(path) {
        Ok(plan) => Ok(Ok(plan)),
        Err(PlanFileError::File(error)) => Err(error.into()),
        Err(error) => Ok(Err(format!("error: {error}"))),
    }
}

/// A plan from a table made by hand, or its problems.
fn table(path: &Path, scenario: &Scenario) -> Result<Result<Plan, String>, Failure> {
    let bytes = files::read(path)?;
    let plan = plan_by_hand(scenario, &bytes, &path.display().to_string());
    Ok(plan.map_err(|problems| {
        let said: Vec<String> = problems.0.iter().map(ToString::to_string).collect();
        said.join("\n")
    }))
}
