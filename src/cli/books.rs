//! `sowrota books`: rows for the book-keeper from the log of what happened.

use super::export::{FileNames, write_tables};
use super::{Exit, Failure, say, unusable};
use crate::disrupt::books::books;
use crate::report::books::sheets;
use crate::report::text::count;
use std::io::Write;
use std::path::PathBuf;

/// Write what was done as tables for the book-keeper, from logs alone
#[derive(clap::Args)]
#[command(after_help = "\
A log is a table with the columns date,event. For the books it has rows such as
  delivered field=V02 [part=1] trays=260 [kg=1950] signed=J.K [lifted=true]
  trays_back field=V02 trays=180
  hours person=corvan task=wash hours=3.5
  seed_in kind=mirel kg=200             seed_out kind=mirel kg=45 for=soak
each with a note= where a day has two of the same; and order, take, firm,
cancel, give, washed, trays_bought and trays_lost. Days without `close` are left out. A row's number
follows from its own words: rows added later do not change it.

Tables: books-orders.csv, books-deliveries.csv, books-trays.csv,
books-hours.csv, books-seed.csv, books-balance.csv.

Example:
  sowrota books log.csv --to books")]
pub(super) struct BooksArguments {
    /// Logs of what happened, one or several
    #[arg(required = true, value_name = "LOG")]
    logs: Vec<PathBuf>,
    /// Folder for the files
    #[arg(long, value_name = "DIR")]
    to: PathBuf,
    /// One workbook, books.xlsx, in place of CSV
    #[arg(long)]
    xlsx: bool,
}

/// Runs the command.
///
/// # Errors
/// When a log cannot be read, a file not written, or nothing can be printed.
pub(super) fn run(arguments: &BooksArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut logs = Vec::with_capacity(arguments.logs.len());
    for path in &arguments.logs {
        logs.push((path.display().to_string(), crate::files::read(path)?));
    }
    let books = match books(&logs) {
        Ok(books) => books,
        Err(faults) => {
            let faults: Vec<String> = faults
                .iter()
                .map(|(name, error)| format!("`{name}`: {error}"))
                .collect();
            return Ok(unusable(faults.join("\n")));
        }
    };
    for (day, rows) in &books.open {
        let rows = count(rows, "row", "rows");
        say(format_args!("{day} is not closed: {rows} left out\n"));
    }
    // The last day in them stands for the time of making.
    let made = books.entries.last().map(|entry| (entry.date, 0));
    let names = FileNames {
        workbook: arguments.xlsx.then_some("books.xlsx"),
        title: "sowrota books",
        before: "books-",
    };
    write_tables(&sheets(&books), &names, made, &arguments.to, out)?;
    Ok(Exit::Done)
}
