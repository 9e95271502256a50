//! `sowrota export`: a plan as tables for spreadsheets and other programs.

use super::{Exit, Failure, plan_file, unusable};
use crate::calendar::Day;
use crate::plan::tasks::TaskGraph;
use crate::report::calendar_file::stamp;
use crate::report::tables::{self, Sheet};
use crate::report::text::count;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Write the tables of a plan as CSV or as one workbook for spreadsheets
#[derive(clap::Args)]
#[command(after_help = "\
Tables: runs, deliveries, work, people, stores, trays, short, cost. In CSV an
apostrophe stands before words that a spreadsheet would take for a formula
(= + - @, tab), and before an apostrophe: take one away to have the word.

Example:
  sowrota export out/village --to out/village/tables --xlsx")]
pub(super) struct ExportArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// Folder for the files
    #[arg(long, value_name = "DIR")]
    to: PathBuf,
    /// One workbook, plan.xlsx, in place of CSV
    #[arg(long)]
    xlsx: bool,
    /// Without growers' names and without money; ids stay as they are
    #[arg(long)]
    without_names: bool,
}

/// Runs the command.
///
/// # Errors
/// When the plan cannot be read, a file not written, or nothing can be printed.
pub(super) fn run(arguments: &ExportArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let plan = match plan_file::read(&arguments.plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    let graph = match TaskGraph::new(&plan) {
        Ok(graph) => graph,
        Err(error) => return Ok(unusable(error)),
    };
    let sheets = match tables::gather(&graph, !arguments.without_names) {
        Ok(sheets) => sheets,
        Err(error) => return Ok(unusable(error)),
    };
    let names = FileNames {
        workbook: arguments.xlsx.then_some("plan.xlsx"),
        title: "sowrota plan",
        before: "",
    };
    write_tables(&sheets, &names, Some(stamp(&plan)), &arguments.to, out)?;
    Ok(Exit::Done)
}

/// What the files of tables are called.
pub(super) struct FileNames {
    /// The one workbook; none: each table is a file of CSV.
    pub workbook: Option<&'static str>,
    /// Title of the workbook.
    pub title: &'static str,
    /// Stands before the name of each table in the name of its CSV, so that two commands can write into one folder.
    pub before: &'static str,
}

/// Writes tables as CSV, or as one workbook, and says which files there are.
pub(super) fn write_tables(
    sheets: &[Sheet],
    names: &FileNames,
    made: Option<(Day, u32)>,
    to: &Path,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let mut files = Vec::with_capacity(sheets.len());
    if let Some(name) = names.workbook {
        // A table without a day of its own has the first day that there is.
        let made = made.or(Day::from_ymd(2000, 1, 1).ok().map(|day| (day, 0)));
        let made = made.ok_or_else(|| Failure("no day for the workbook".into()))?;
        let bytes = tables::titled(names.title, sheets, made)
            .map_err(|error| Failure::from_error(&error))?;
        files.push((name.to_string(), bytes));
    } else {
        for sheet in sheets {
            files.push((
                format!("{}{}.csv", names.before, sheet.name),
                tables::csv(sheet).map_err(Failure)?,
            ));
        }
    }
    crate::files::write_all(to, &files)?;
    for (name, _) in &files {
        writeln!(out, "{}", to.join(name).display())?;
    }
    let rows: usize = sheets.iter().map(|sheet| sheet.rows.len()).sum();
    writeln!(
        out,
        "{} in {} tables",
        count(rows, "row", "rows"),
        sheets.len()
    )?;
    Ok(())
}
