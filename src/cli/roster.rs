//! `sowrota roster`: named people on the shifts of a plan.

use super::{Exit, Failure, plan_file, print_json, unusable};
use crate::audit::duties;
use crate::calendar::IsoWeek;
use crate::plan::roster;
use crate::report::roster::{Told, person_text, text};
use crate::roster::{Budget, make};
use std::io::Write;
use std::path::PathBuf;

/// Put named people on the shifts of a plan, fair in weekends and late shifts
#[derive(clap::Args)]
#[command(after_help = "\
The people stand in `staff` of the scenario, the limits of their duties in
`duty`. Local rules and contracts govern; no law is built in.

Exit code: 0 every place filled, 3 places unfilled or limits broken,
2 plan or arguments unusable, 1 error.

Example:
  sowrota roster out/cooperative --week 2027-W18")]
pub struct RosterArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// Print only this week, like 2027-W18
    #[arg(long, value_name = "WEEK")]
    week: Option<String>,
    /// Print the duties of one person of the staff
    #[arg(long, value_name = "ID")]
    person: Option<String>,
    /// Tell every place that nobody fills
    #[arg(long)]
    all: bool,
    /// Print the roster as JSON for machines
    #[arg(long, conflicts_with_all = ["week", "person"])]
    json: bool,
    /// Write the roster to this file, as JSON
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Take this roster, perhaps altered by hand, and make none
    #[arg(long, value_name = "FILE", conflicts_with_all = ["moves", "seed"])]
    from: Option<PathBuf>,
    /// Changes the search may try [default: 20000]
    #[arg(long, value_name = "NUMBER")]
    moves: Option<u64>,
    /// Another number makes other chance choices
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or written, or nothing can be printed.
pub fn run(arguments: &RosterArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let plan = match plan_file::read(&arguments.plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    let scenario = &plan.scenario;
    if scenario.staff.is_empty() {
        return Ok(unusable(
            "the scenario of this plan has no `staff`\n  \
             help: list the people in nursery.json, each with an `id` and the `crews`\n  \
             whose work they can do, or name a table, \"staff\": \"staff.csv\", with these\n  \
             columns; then plan again: the plan stays the same",
        ));
    }
    let week = match arguments
        .week
        .as_deref()
        .map(|week| (week, IsoWeek::parse(week)))
    {
        None => None,
        Some((_, Some(week))) => Some(week),
        Some((text, None)) => {
            return Ok(unusable(format_args!(
                "`{text}` is no week: write one like 2027-W18"
            )));
        }
    };
    let (first, last) = (scenario.horizon.first, scenario.horizon.last);
    if let Some(week) = week
        && (week < first.iso_week() || last.iso_week() < week)
    {
        return Ok(unusable(format_args!(
            "{week} lies outside the days planned, {first} to {last}"
        )));
    }
    let person = match &arguments.person {
        None => None,
        Some(id) => match scenario.person(id) {
            Some(person) => Some(person),
            None => {
                let known: Vec<&str> = scenario.staff.iter().map(|one| one.id.as_str()).collect();
                return Ok(unusable(format_args!(
                    "there is no person `{id}` on the staff\n  help: one of {}",
                    known.join(", ")
                )));
            }
        },
    };
    let usual = Budget::default();
    let budget = Budget {
        moves: arguments.moves.unwrap_or(usual.moves),
        seed: arguments.seed,
    };
    let roster = match &arguments.from {
        Some(path) => match roster::load(path) {
            Ok(roster) => roster,
            Err(roster::RosterFileError::File(error)) => return Err(Failure::from_error(&error)),
            Err(error) => return Ok(unusable(error)),
        },
        None => match make(&plan, &budget) {
            Ok(roster) => roster,
            Err(error) => return Ok(unusable(error)),
        },
    };
    let breaches = duties::audit(&roster, &plan);
    if let Some(path) = &arguments.out {
        roster::save(&roster, path).map_err(|error| Failure::from_error(&error))?;
    }
    let told = Told {
        plan: &plan,
        roster: &roster,
        breaches: &breaches,
    };
    match person {
        _ if arguments.json => print_json(out, &roster)?,
        Some(person) => out.write_all(person_text(told, person, week).as_bytes())?,
        None => out.write_all(text(told, week, arguments.all).as_bytes())?,
    }
    let sound = breaches.is_empty() && roster.unfilled.is_empty();
    Ok(if sound { Exit::Done } else { Exit::Short })
}
