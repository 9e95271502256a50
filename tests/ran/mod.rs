//! The program, run as its users run it.

use std::path::Path;
use std::process::Command;

/// Runs it in a folder; its exit code, standard output and standard error.
pub fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let ran = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (
        ran.status.code().unwrap(),
        text(ran.stdout),
        text(ran.stderr),
    )
}
