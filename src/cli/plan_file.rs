//! Plans in files, as the commands read and write them.

use super::{Exit, Failure, unusable};
use crate::calendar::Day;
use crate::plan::Plan;
use crate::plan::file::{PlanFileError, load, save};
use crate::report;
use std::path::{Path, PathBuf};

/// The plan of a file or folder; the exit code when what is there cannot be used, which has been said then.
pub(super) fn read(path: &Path) -> Result<Result<Plan, Exit>, Failure> {
    match load(path) {
        Ok(plan) => Ok(Ok(plan)),
        Err(PlanFileError::File(error)) => Err(error.into()),
        Err(error) => Ok(Err(unusable(error))),
    }
}

/// Why a day cannot be asked for: the plan does not have it.
pub(super) fn outside(plan: &Plan, day: Day) -> Option<String> {
    let horizon = plan.scenario.horizon;
    (!horizon.contains(day)).then(|| {
        format!(
            "{day} lies outside the days planned, {} to {}",
            horizon.first, horizon.last
        )
    })
}

/// Where the plan of that number is kept in a folder, once another has taken its place.
pub(super) fn kept(folder: &Path, revision: u32) -> PathBuf {
    folder.join(format!("plan-{revision}.json"))
}

/// The plan that a folder holds already, if it holds one; the exit code when something else stands in its place.
pub(super) fn earlier(folder: &Path) -> Result<Result<Option<Plan>, Exit>, Failure> {
    let file = folder.join("plan.json");
    match load(&file) {
        Ok(earlier) => Ok(Ok(Some(earlier))),
        Err(PlanFileError::File(_)) if !file.exists() => Ok(Ok(None)),
        Err(PlanFileError::File(error)) => Err(error.into()),
        Err(error) => Ok(Err(unusable(format_args!(
            "{error}\n  help: move it away, or name another folder with --out"
        )))),
    }
}

/// Writes the plan and its table into a folder and gives the plan's file; its revision counts on from the earlier plan there, which is kept
/// beside it. A plan that says the same keeps its number.
pub(super) fn write(
    plan: &mut Plan,
    earlier: Option<&Plan>,
    folder: &Path,
) -> Result<PathBuf, Failure> {
    if let Some(earlier) = earlier {
        plan.revision = earlier.revision;
        if plan != earlier {
            keep_beside(earlier, folder)?;
            plan.revision = earlier.revision.saturating_add(1);
        }
    }
    let file = folder.join("plan.json");
    save(plan, &file).map_err(|error| Failure::from_error(&error))?;
    let table = report::plan::csv(plan);
    crate::files::write(&folder.join("plan.csv"), table.as_bytes())?;
    Ok(file)
}

/// Keeps a plan under its revision.
pub(super) fn keep_beside(plan: &Plan, folder: &Path) -> Result<(), Failure> {
    let file = kept(folder, plan.revision);
    save(plan, &file).map_err(|error| Failure::from_error(&error))
}

/// The folder of a plan that was named by its file or folder.
pub(super) fn folder_of(plan: &Path) -> PathBuf {
    if plan.is_dir() {
        plan.to_path_buf()
    } else {
        plan.parent().map(PathBuf::from).unwrap_or_default()
    }
}
