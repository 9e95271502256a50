//! A peer to measure against: the plan that a careful person makes by hand. Orders in the order in which their windows close, each where it
//! costs least now without breaking anything, nothing changed afterwards.
//!
//! `greedy SCENARIO OUT` writes `plan.json` and `plan.csv` into the folder `OUT`, in place of any that are there.
#![forbid(unsafe_code)]

use sowrota::nursery::Nursery;
use sowrota::plan::{EndedBy, file};
use sowrota::solve::state::Ground;
use sowrota::solve::{assemble, list};
use sowrota::{files, report, scenario};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments: Vec<PathBuf> = std::env::args_os().skip(1).map(PathBuf::from).collect();
    let [scenario, out] = arguments.as_slice() else {
        eprintln!("error: two arguments are needed: a scenario's folder and a folder for the plan");
        return ExitCode::from(2);
    };
    match write_plan(scenario, out) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(2)
        }
    }
}

/// Reads, plans and writes, or says why not.
fn write_plan(path: &Path, out: &Path) -> Result<(), String> {
    let failed = |error: &dyn std::error::Error| format!("error: {error}");
    let checked = scenario::read(path).map_err(|error| failed(&error))?;
    let usable = checked
        .scenario
        .ok_or_else(|| report::check::problems(&checked.problems))?;
    let nursery = Nursery::new(&usable);
    let ground = Ground::new(&nursery);
    let mut state = list::list(&ground);
    let plan = assemble::assemble(&mut state, None, EndedBy::ByHand);
    file::save(&plan, &out.join("plan.json")).map_err(|error| failed(&error))?;
    let table = report::plan::csv(&plan);
    files::write(&out.join("plan.csv"), table.as_bytes()).map_err(|error| failed(&error))
}
