//! Reading and writing `plan.json`.

use super::types::{FORMAT, Plan};
use crate::files::{self, FileError};
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// What every plan's format begins with, whatever its version.
const MARK: &str = "sowrota-plan/";

/// A plan could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum PlanFileError {
    /// The file itself.
    #[error(transparent)]
    File(#[from] FileError),
    /// Not JSON at all.
    #[error("`{}` is not JSON: {fault}", path.display())]
    NotJson {
        /// The file.
        path: PathBuf,
        /// What and where, by the parser.
        fault: serde_json::Error,
    },
    /// A nursery's folder, without a plan in it.
    #[error("`{}` holds a nursery, not its plan: `sowrota plan {}` makes one and says where", path.display(), path.display())]
    Nursery {
        /// The folder.
        path: PathBuf,
    },
    /// JSON, but not a plan.
    #[error("`{}` is not a plan: {found}; a plan begins with `\"format\": \"{FORMAT}\"`", path.display())]
    NotAPlan {
        /// The file.
        path: PathBuf,
        /// What stands there instead.
        found: String,
    },
    /// A plan of another version.
    #[error("`{}` has format `{found}`; this program reads `{FORMAT}`: make the plan again, or use the version that wrote it", path.display())]
    Version {
        /// The file.
        path: PathBuf,
        /// Its format.
        found: String,
    },
    /// The right mark, but a key or value that a plan does not have.
    #[error("`{}` is marked as a plan, but cannot be read as one: {fault}", path.display())]
    Shape {
        /// The file.
        path: PathBuf,
        /// What and where, by the parser.
        fault: serde_json::Error,
    },
}

/// Only the mark of a file; all else is passed over.
#[derive(Deserialize)]
struct Marked {
    format: Option<serde_json::Value>,
}

/// The plan in `path`, which is a file or a folder with a `plan.json` in it.
///
/// # Errors
/// [`PlanFileError`]: no such file, not JSON, not a plan, a plan of another version, or a plan that was damaged.
pub fn load(path: &Path) -> Result<Plan, PlanFileError> {
    if path.join(crate::scenario::FILE).is_file() && !path.join("plan.json").exists() {
        let path = path.to_path_buf();
        return Err(PlanFileError::Nursery { path });
    }
    let path = if path.is_dir() {
        path.join("plan.json")
    } else {
        path.to_path_buf()
    };
    let bytes = files::read(&path)?;
    let marked: Marked = match serde_json::from_slice(&bytes) {
        Ok(marked) => marked,
        Err(fault) if fault.is_data() => {
            return Err(PlanFileError::NotAPlan {
                path,
                found: "its top level is not an object".into(),
            });
        }
        Err(fault) => return Err(PlanFileError::NotJson { path, fault }),
    };
    match marked.format {
        Some(serde_json::Value::String(found)) if found == FORMAT => {}
        Some(serde_json::Value::String(found)) if found.starts_with(MARK) => {
            return Err(PlanFileError::Version { path, found });
        }
        Some(other) => {
            return Err(PlanFileError::NotAPlan {
                path,
                found: format!("its `format` is {other}"),
            });
        }
        None => {
            return Err(PlanFileError::NotAPlan {
                path,
                found: "it has no `format`".into(),
            });
        }
    }
    serde_json::from_slice(&bytes).map_err(|fault| PlanFileError::Shape { path, fault })
}

/// Writes `plan` to `path` as JSON that people can read, the whole file or nothing.
///
/// # Errors
/// [`PlanFileError::File`] when the file cannot be written.
pub fn save(plan: &Plan, path: &Path) -> Result<(), PlanFileError> {
    let mut text = serde_json::to_string_pretty(plan).map_err(|fault| PlanFileError::Shape {
        path: path.to_path_buf(),
        fault,
    })?;
    text.push('\n');
    Ok(files::write(path, text.as_bytes())?)
}
