//! The program: one file per command. A command reads its arguments, calls the library and
//! chooses a renderer; it computes nothing itself. Exit codes live here and nowhere else.

mod audit;
mod check;
mod day;
mod new;
mod plan;
mod schema;

use clap::{Parser, Subcommand};
use std::ffi::OsString;
use std::io::Write;

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Planned in full, no breach, nothing wrong.
    Done = 0,
    /// The program could not do what was asked.
    Failed = 1,
    /// Arguments or scenario unusable.
    Unusable = 2,
    /// Planned with shortfalls, or breaches found.
    Short = 3,
}

/// An error that ends a command with [`Exit::Failed`], already in words.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct Failure(pub String);

impl Failure {
    /// From any error, with the errors below it on the same line.
    pub fn from_error(error: &dyn std::error::Error) -> Self {
        Failure(error.to_string())
    }
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        Failure(format!("cannot print: {error}"))
    }
}

impl From<crate::files::FileError> for Failure {
    fn from(error: crate::files::FileError) -> Self {
        Failure(error.to_string())
    }
}

#[derive(Parser)]
#[command(name = "sowrota", version, about, max_term_width = 80)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    New(new::New),
    Check(check::Check),
    Plan(plan::PlanArguments),
    Day(day::DayArguments),
    Audit(audit::AuditArguments),
    Schema(schema::Schema),
}

/// Runs the program with its arguments, the first being its own name; returns the exit code.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> i32 {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version are no error; clap prints either to the right stream.
            let _ = error.print();
            return if error.use_stderr() {
                Exit::Unusable as i32
            } else {
                Exit::Done as i32
            };
        }
    };
    let mut out = anstream::AutoStream::auto(std::io::stdout().lock());
    let ended = dispatch(arguments.command, &mut out);
    let _ = out.flush();
    match ended {
        Ok(exit) => exit as i32,
        Err(failure) => {
            eprintln!("error: {failure}");
            Exit::Failed as i32
        }
    }
}

fn dispatch(command: Command, out: &mut dyn Write) -> Result<Exit, Failure> {
    match command {
        Command::New(arguments) => new::run(&arguments, out),
        Command::Check(arguments) => check::run(&arguments, out),
        Command::Plan(arguments) => plan::run(&arguments, out),
        Command::Day(arguments) => day::run(&arguments, out),
        Command::Audit(arguments) => audit::run(&arguments, out),
        Command::Schema(arguments) => schema::run(&arguments, out),
    }
}

/// Prints a value as JSON over several lines.
fn print_json(out: &mut dyn Write, value: &impl serde::Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| Failure(format!("cannot print JSON: {error}")))?;
    writeln!(out, "{text}")?;
    Ok(())
}
