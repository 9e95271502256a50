//! `sowrota sheets` and `sowrota notices`: what is printed for the wall and the hand, and for growers.

use super::{Exit, Failure, day::parse_day, plan_file, unusable};
use crate::files;
use crate::plan::tasks::TaskGraph;
use crate::report::sheets::notices::{self, NoticeKind};
use crate::report::sheets::words::{ENGLISH, Words, say};
use crate::report::sheets::{File, SheetKind, sheets, without_names};
use crate::report::{self};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Write what is printed for one day: day sheet, line cards, map, loading lists, labels
#[derive(clap::Args)]
#[command(after_help = "\
Kinds: day, line, map, loading, labels, seed, wash, night. Each is one file
that opens and prints by itself. The folder of the day is made anew each time:
two versions of one day never lie side by side.

Example:
  sowrota sheets out/village --day 2027-05-08")]
pub struct SheetsArguments {
    /// A plan.json, or the folder that holds it
    #[arg(required_unless_present = "print_words")]
    plan: Option<PathBuf>,
    /// The day, like 2027-05-08
    #[arg(long, value_name = "DAY", required_unless_present = "print_words")]
    day: Option<String>,
    /// Folder in which `sheets-DAY` is made [default: the plan's]
    #[arg(long, value_name = "FOLDER")]
    to: Option<PathBuf>,
    /// Only these kinds, with commas between
    #[arg(long, value_name = "KIND", value_delimiter = ',')]
    only: Vec<String>,
    /// Take the words from this table
    #[arg(long, value_name = "FILE")]
    words: Option<PathBuf>,
    /// Print the table of words in English, to begin a translation from
    #[arg(long)]
    print_words: bool,
    /// Put a number in place of each grower's name
    #[arg(long)]
    without_names: bool,
}

/// Write what growers are told on one day, a file for each grower
#[derive(clap::Args)]
#[command(after_help = "\
Kinds: confirmation (up to the first day of the plan, or asked for with
--only), sown, week, tomorrow, delivery. A day that was not told to the grower
is never said as settled.

Example:
  sowrota notices out/village --day 2027-05-08")]
pub struct NoticesArguments {
    /// A plan.json, or the folder that holds it
    plan: PathBuf,
    /// The day, like 2027-05-08
    #[arg(long, value_name = "DAY")]
    day: String,
    /// Folder in which `notices-DAY` is made [default: the plan's]
    #[arg(long, value_name = "FOLDER")]
    to: Option<PathBuf>,
    /// Only these kinds, with commas between
    #[arg(long, value_name = "KIND", value_delimiter = ',')]
    only: Vec<String>,
    /// Take the words from this table
    #[arg(long, value_name = "FILE")]
    words: Option<PathBuf>,
}

/// Runs `sheets`.
///
/// # Errors
/// When a file cannot be read or written, or nothing can be printed.
pub fn run(arguments: &SheetsArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let (Some(path), Some(day), false) = (&arguments.plan, &arguments.day, arguments.print_words)
    else {
        out.write_all(ENGLISH.as_bytes())?;
        return Ok(Exit::Done);
    };
    let names: Vec<&str> = SheetKind::ALL.iter().map(|kind| kind.as_str()).collect();
    let only = match kinds(&arguments.only, &names, SheetKind::parse) {
        Ok(only) => only,
        Err(why) => return Ok(unusable(why)),
    };
    let day = match parse_day(day) {
        Ok(day) => day,
        Err(why) => return Ok(unusable(why)),
    };
    let words = match words_of(arguments.words.as_deref())? {
        Ok(words) => words,
        Err(exit) => return Ok(exit),
    };
    let mut plan = match plan_file::read(path)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    if arguments.without_names {
        plan = without_names(&plan, |n| say!(words, "name.none", n = n));
    }
    let graph = match TaskGraph::new(&plan) {
        Ok(graph) => graph,
        Err(error) => return Ok(unusable(error)),
    };
    if let Some(why) = plan_file::outside(&plan, day) {
        return Ok(unusable(why));
    }
    let files = report::sheets::files(&sheets(&graph, day), &words, &only);
    let folder = arguments
        .to
        .clone()
        .unwrap_or_else(|| plan_file::folder_of(path));
    put(
        &folder.join(format!("sheets-{day}")),
        &files,
        "nothing to print for this day",
        out,
    )
}

/// Runs `notices`.
///
/// # Errors
/// When a file cannot be read or written, or nothing can be printed.
pub fn run_notices(arguments: &NoticesArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let names: Vec<&str> = NoticeKind::ALL.iter().map(|kind| kind.as_str()).collect();
    let only = match kinds(&arguments.only, &names, NoticeKind::parse) {
        Ok(only) => only,
        Err(why) => return Ok(unusable(why)),
    };
    let day = match parse_day(&arguments.day) {
        Ok(day) => day,
        Err(why) => return Ok(unusable(why)),
    };
    let words = match words_of(arguments.words.as_deref())? {
        Ok(words) => words,
        Err(exit) => return Ok(exit),
    };
    let plan = match plan_file::read(&arguments.plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(exit),
    };
    let graph = match TaskGraph::new(&plan) {
        Ok(graph) => graph,
        Err(error) => return Ok(unusable(error)),
    };
    let last = plan.scenario.horizon.last;
    if day > last {
        return Ok(unusable(format_args!(
            "{day} lies after the days planned, which end {last}"
        )));
    }
    let due = notices::notices(&graph, day, &only);
    let files = notices::files(&graph, day, &due, &words);
    let folder = arguments
        .to
        .clone()
        .unwrap_or_else(|| plan_file::folder_of(&arguments.plan));
    put(
        &folder.join(format!("notices-{day}")),
        &files,
        "no notice is due on this day",
        out,
    )
}

/// The kinds asked for; else what is wrong with one.
fn kinds<T>(
    asked: &[String],
    known: &[&str],
    parse: impl Fn(&str) -> Option<T>,
) -> Result<Vec<T>, String> {
    let one = |name: &String| {
        let kind = parse(name.trim());
        kind.ok_or_else(|| {
            format!(
                "there is no kind `{name}`\n  help: one of {}",
                known.join(", ")
            )
        })
    };
    asked.iter().map(one).collect()
}

/// The words of a file, else English; the exit code when they cannot be used, which has been said then.
fn words_of(path: Option<&Path>) -> Result<Result<Words, Exit>, Failure> {
    let Some(path) = path else {
        return Ok(Ok(Words::english()));
    };
    let bytes = files::read(path)?;
    let Ok(text) = String::from_utf8(bytes) else {
        return Ok(Err(unusable(format_args!(
            "`{}` is not written in UTF-8",
            path.display()
        ))));
    };
    Ok(Words::read(&text).map_err(|error| {
        let faults: Vec<String> = error.0.iter().map(|fault| format!("  {fault}")).collect();
        unusable(format_args!(
            "`{}` cannot be used as a table of words\n{}\n  help: `sowrota sheets --print-words` prints the whole table",
            path.display(),
            faults.join("\n")
        ))
    }))
}

/// Makes the folder anew with those files, and says which.
fn put(folder: &Path, made: &[File], nothing: &str, out: &mut dyn Write) -> Result<Exit, Failure> {
    let all: Vec<(&str, &[u8])> = made
        .iter()
        .map(|file| (file.name.as_str(), file.text.as_bytes()))
        .collect();
    match files::write_folder(folder, &all, "html")? {
        Ok(()) => {}
        Err(strange) => {
            return Ok(unusable(format_args!(
                "`{}` holds `{strange}`, which is no sheet; nothing was written\n  help: move it away, or name another folder with --to",
                folder.display()
            )));
        }
    }
    if made.is_empty() {
        writeln!(out, "{nothing}")?;
    }
    for file in made {
        writeln!(out, "wrote {}", folder.join(&file.name).display())?;
    }
    Ok(Exit::Done)
}
