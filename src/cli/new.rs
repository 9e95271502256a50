//! `new`: a small nursery to start from.

use super::{Exit, Failure};
use crate::{files, scenario::starter};
use std::io::Write;
use std::path::PathBuf;

/// Write a small invented nursery that runs as it is, with a page that explains every key.
/// Existing files are never overwritten
#[derive(clap::Args)]
#[command(after_help = "Example:\n  sowrota new my-nursery")]
pub struct New {
    /// Folder to write into; made if it is not there
    folder: PathBuf,
}

/// Runs the command.
///
/// # Errors
/// When a file of one of the names is there already (then nothing is written), or cannot be written.
pub fn run(arguments: &New, out: &mut dyn Write) -> Result<Exit, Failure> {
    let folder = &arguments.folder;
    let files = starter::files();
    let there = files.iter().find(|(name, _)| folder.join(name).exists());
    if let Some((name, _)) = there {
        let path = folder.join(name);
        return Err(Failure(format!(
            "`{}` is there already; nothing was written: choose another folder",
            path.display()
        )));
    }
    for (name, text) in &files {
        files::write(&folder.join(name), text.as_bytes())?;
    }
    writeln!(out, "Wrote {}:", folder.display())?;
    for (name, what) in [
        ("nursery.json", "the nursery: kinds, line, places, people"),
        ("fields.csv", "the orders, one row a field"),
        ("weather.csv", "lowest and highest temperature of each day"),
        (
            "KEYS.md",
            "what every key means, and what is taken when it is left out",
        ),
    ] {
        writeln!(out, "  {name:<14}{what}")?;
    }
    writeln!(out, "\nNext: sowrota check {}", folder.display())?;
    Ok(Exit::Done)
}
