//! The program: one file per command. A command reads its arguments, calls the library and
//! chooses a renderer; it computes nothing itself. Exit codes live here and nowhere else.

mod audit;
mod balance;
mod books;
mod buy;
mod calendar;
mod check;
mod compare;
mod day;
mod export;
mod follow;
mod model;
mod new;
mod otherwise;
mod page;
mod plan;
mod plan_file;
mod promise;
mod replan;
mod roster;
mod schema;
mod sheets;
mod sweep;
mod trial;
mod whatif;
mod why;

use crate::report;
use crate::scenario::{self, Scenario};
use clap::{Parser, Subcommand};
use std::ffi::OsString;
use std::io::Write;
use std::path::Path;

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
    Sheets(sheets::SheetsArguments),
    Notices(sheets::NoticesArguments),
    Page(page::PageArguments),
    Buy(buy::BuyArguments),
    Calendar(calendar::CalendarArguments),
    Export(export::ExportArguments),
    Books(books::BooksArguments),
    Balance(balance::BalanceArguments),
    #[command(name = "whatif")]
    WhatIf(whatif::WhatIfArguments),
    Sweep(sweep::SweepArguments),
    Replan(replan::ReplanArguments),
    Promise(promise::PromiseArguments),
    Compare(compare::CompareArguments),
    Why(why::WhyArguments),
    Roster(roster::RosterArguments),
    Trial(trial::TrialArguments),
    Audit(audit::AuditArguments),
    Model(model::ModelArguments),
    Schema(schema::Schema),
}

/// Standard output for someone who may stop reading: what comes after that is not printed, and the command still ends
/// with its own exit code.
struct Patient<W>(W);

impl<W: Write> Write for Patient<W> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        unless_closed(self.0.write(bytes), bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        unless_closed(self.0.flush(), ())
    }
}

fn unless_closed<T>(done: std::io::Result<T>, instead: T) -> std::io::Result<T> {
    match done {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(instead),
        done => done,
    }
}

/// Says something on standard error; when nobody listens there either, that is no reason to fail.
fn say(words: impl std::fmt::Display) {
    let _ = write!(
        anstream::AutoStream::auto(std::io::stderr().lock()),
        "{words}"
    );
}

/// Says why the arguments or a file cannot be used.
fn unusable(why: impl std::fmt::Display) -> Exit {
    say(format_args!("error: {why}\n"));
    Exit::Unusable
}

/// The scenario of a folder or file; the exit code when it cannot be used, which has been said then. Warnings are said unless `quiet`.
fn scenario_of(path: &Path, quiet: bool) -> Result<Result<Scenario, Exit>, Failure> {
    let checked = scenario::read(path)?;
    if checked.scenario.is_none() || (!quiet && !checked.problems.0.is_empty()) {
        say(report::check::problems(&checked.problems));
    }
    Ok(checked.scenario.ok_or(Exit::Unusable))
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
    let mut out = Patient(anstream::AutoStream::auto(std::io::stdout().lock()));
    let ended =
        dispatch(arguments.command, &mut out).and_then(|exit| Ok(out.flush().map(|()| exit)?));
    match ended {
        Ok(exit) => exit as i32,
        Err(failure) => {
            say(format_args!("error: {failure}\n"));
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
        Command::Sheets(arguments) => sheets::run(&arguments, out),
        Command::Notices(arguments) => sheets::run_notices(&arguments, out),
        Command::Page(arguments) => page::run(&arguments, out),
        Command::Buy(arguments) => buy::run(&arguments, out),
        Command::Books(arguments) => books::run(&arguments, out),
        Command::Export(arguments) => export::run(&arguments, out),
        Command::Calendar(arguments) => calendar::run(&arguments, out),
        Command::Balance(arguments) => balance::run(&arguments, out),
        Command::WhatIf(arguments) => whatif::run(&arguments, out),
        Command::Sweep(arguments) => sweep::run(&arguments, out),
        Command::Replan(arguments) => replan::run(&arguments, out),
        Command::Promise(arguments) => promise::run(&arguments, out),
        Command::Compare(arguments) => compare::run(&arguments, out),
        Command::Why(arguments) => why::run(&arguments, out),
        Command::Roster(arguments) => roster::run(&arguments, out),
        Command::Trial(arguments) => trial::run(&arguments, out),
        Command::Audit(arguments) => audit::run(&arguments, out),
        Command::Model(arguments) => model::run(&arguments, out),
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Takes a few bytes, then fails as told.
    struct Full(usize, std::io::ErrorKind);

    impl Write for Full {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            let taken = bytes.len().min(self.0);
            self.0 -= taken;
            if taken == 0 {
                return Err(self.1.into());
            }
            Ok(taken)
        }

        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_reader_who_leaves_is_no_error_and_a_full_disk_is() {
        use std::io::ErrorKind::{BrokenPipe, StorageFull};
        assert!(writeln!(Patient(Full(3, BrokenPipe)), "612 trays").is_ok());
        assert!(writeln!(Patient(Full(3, StorageFull)), "612 trays").is_err());
    }

    #[test]
    fn every_help_says_what_the_command_does_in_80_columns() {
        use clap::CommandFactory;
        let mut program = Arguments::command();
        program.build();
        for command in program.get_subcommands_mut() {
            let help = command.render_long_help().to_string();
            let first = help.lines().next().unwrap_or_default();
            assert!(first.len() > 20 && !first.contains('`'), "{first}");
            assert!(
                help.lines().all(|line| line.chars().count() <= 80),
                "{help}"
            );
        }
    }
}
