//! `sowrota day`: one day of a plan by the clock.

use super::{Exit, Failure, plan_file, unusable};
use crate::calendar::{Day, DayError};
use crate::plan::day::{day_plan, next_day_with_work};
use crate::plan::tasks::TaskGraph;
use crate::report::{
    self,
    text::{WIDTH, fold},
};
use std::io::Write;
use std::path::PathBuf;

/// Print the sheet of one day: who does what, when, where and with how much
#[derive(clap::Args)]
#[command(after_help = "Example:\n  sowrota day out/village 2027-05-08")]
pub struct DayArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// The day, like 2027-05-08
    date: String,
    /// Print the day as JSON for machines
    #[arg(long)]
    json: bool,
    /// Print how far each task of the day could be moved instead of the sheet
    #[arg(long, conflicts_with = "json")]
    room: bool,
}

/// The day; else what is wrong with it and how it is written, in lines of the page's width.
pub(super) fn parse_day(text: &str) -> Result<Day, String> {
    let why = match Day::parse(text) {
        Ok(day) => return Ok(day),
        Err(why) => why,
    };
    let help = match (&why, meant(text)) {
        (DayError::Shape, Some(day)) => format!("write {day}"),
        _ => "write a day like 2027-05-08".to_string(),
    };
    let told = format!("error: `{text}` cannot be read as a day: {why}\n  {help}");
    let told = fold(&told, WIDTH).join("\n");
    Err(told.trim_start_matches("error: ").to_string())
}

/// The day of `13.5.2027` or `2027-5-13`, three numbers with the year first or last.
fn meant(text: &str) -> Option<Day> {
    let numbers: Vec<&str> = text.split(['.', '-']).map(str::trim).collect();
    let digits = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let (year, month, day) = match numbers[..] {
        [year, month, day] if year.len() == 4 => (year, month, day),
        [day, month, year] if year.len() == 4 => (year, month, day),
        _ => return None,
    };
    if ![year, month, day].iter().all(digits) {
        return None;
    }
    Day::parse(&format!("{year}-{month:0>2}-{day:0>2}")).ok()
}

/// Runs the command.
///
/// # Errors
/// When the plan's file cannot be read or nothing can be printed.
pub fn run(arguments: &DayArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let day = match parse_day(&arguments.date) {
        Ok(day) => day,
        Err(why) => return Ok(unusable(why)),
    };
    let plan = match plan_file::read(&arguments.plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    let graph = match TaskGraph::new(&plan) {
        Ok(graph) => graph,
        Err(error) => return Ok(unusable(error)),
    };
    if let Some(why) = plan_file::outside(&plan, day) {
        return Ok(unusable(why));
    }
    if arguments.room {
        return match graph.room() {
            Ok(room) => {
                out.write_all(report::room::text(&graph, &room, day).as_bytes())?;
                Ok(Exit::Done)
            }
            Err(clash) => {
                writeln!(out, "{clash}")?;
                Ok(Exit::Short)
            }
        };
    }
    let sheet = day_plan(&graph, day);
    if arguments.json {
        let text = report::day::json(&sheet).map_err(|error| Failure::from_error(&error))?;
        out.write_all(text.as_bytes())?;
    } else if sheet.is_idle() {
        let (year, _, _) = day.ymd();
        writeln!(
            out,
            "no work is planned on {} {} {year}",
            day.weekday(),
            day.spoken()
        )?;
        match next_day_with_work(&graph, day) {
            Some(next) => writeln!(
                out,
                "the next work is on {} {}",
                next.weekday(),
                next.spoken()
            )?,
            None => writeln!(out, "nothing follows until {}", plan.scenario.horizon.last)?,
        }
    } else {
        out.write_all(report::day::text(&sheet).as_bytes())?;
    }
    Ok(Exit::Done)
}
