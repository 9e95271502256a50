//! `sowrota why`: why a part of a field is grown as it is, and what another day would cost.

use super::day::parse_day;
use super::{Exit, Failure, plan_file, unusable};
use crate::explain;
use crate::report;
use std::io::Write;
use std::path::PathBuf;

/// Tell why a part of a field is grown as it is, and what another day would cost
#[derive(clap::Args)]
#[command(after_help = "\
Every planting day is priced with all the rest of the plan as it stands. What
does not fit names the limit, the day and the parts that stand there.

Examples:
  sowrota why out/village KA1
  sowrota why out/village KA1 --day 2027-05-12")]
pub(super) struct WhyArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// The field
    field: String,
    /// Which part of it; needed when it has several
    #[arg(long, value_name = "N")]
    part: Option<u32>,
    /// Only what this planting day would cost, or why it is none
    #[arg(long, value_name = "DAY")]
    day: Option<String>,
    /// Print it as JSON for machines
    #[arg(long)]
    json: bool,
}

/// Runs the command.
///
/// # Errors
/// When the plan's file cannot be read or nothing can be printed.
pub(super) fn run(arguments: &WhyArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let day = match arguments.day.as_deref().map(parse_day).transpose() {
        Ok(day) => day,
        Err(why) => return Ok(unusable(why)),
    };
    let plan = match plan_file::read(&arguments.plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    let part = match explain::which(&plan, &arguments.field, arguments.part) {
        Ok(part) => part,
        Err(why) => return Ok(unusable(why)),
    };
    if let Some(why) = day.and_then(|day| plan_file::outside(&plan, day)) {
        return Ok(unusable(why));
    }
    let told = match explain::one(&plan, (&arguments.field, part), day) {
        Ok(Some(told)) => told,
        Ok(None) => {
            return Ok(unusable(format_args!(
                "the kind of `{}` is not in the plan's scenario",
                arguments.field
            )));
        }
        Err(error) => return Ok(unusable(error)),
    };
    let the_day = day.and_then(|day| told.days.iter().find(|one| one.day == day));
    match (arguments.json, the_day) {
        (true, Some(day)) => super::print_json(out, day)?,
        (true, None) => super::print_json(out, &told)?,
        (false, Some(day)) => out.write_all(report::why::day(&told, day).as_bytes())?,
        (false, None) => out.write_all(report::why::text(&told).as_bytes())?,
    }
    Ok(Exit::Done)
}
