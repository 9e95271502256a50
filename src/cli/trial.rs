//! `sowrota trial`: weigh, type, get the next setting.

use super::{Exit, Failure, say, unusable};
use crate::calendar::Day;
use crate::files;
use crate::report;
use crate::scenario::exact::exact;
use crate::scenario::{Kind, Line, Scenario};
use crate::trial::advice::{Refusal, advise, start};
use crate::trial::fit::Before;
use crate::trial::log::{self, About, Row, UNDONE, clean, plain};
use crate::trial::reading::{self, Unclear};
use crate::trial::{Dial, Pair, Setting, USUAL_DRY, USUAL_WET_RATIO, Wanted, What, step_typed};
use crate::units::{Fixed, div_near};
use std::io::{BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

/// Weigh trays at the line, type what came out, get the next setting
#[derive(clap::Args)]
#[command(after_help = "\
Without --pair it reads one tray a line, such as 34=172: the setting, then g of
wet seed, mm of soil or L of water a tray (or 8 L/min when the rate is known).
`undo` takes the last tray back, `end` ends. With --log, trays of the same day,
line, kind, rate and part that are in the log already count too.

Examples:
  sowrota trial seed --pair 34=172 --pair 36=181
  sowrota trial seed --scenario scenarios/village --kind mirel \\
    --log trials.csv --from trials.csv --on 2027-04-17")]
pub(super) struct TrialArguments {
    /// What is set: bed, water, seed or cover
    #[arg(value_parser = what)]
    what: What,
    /// A tray: setting=reading; may be repeated
    #[arg(long = "pair", value_name = "PAIR", allow_hyphen_values = true)]
    pairs: Vec<String>,
    /// Nursery that says what a tray of the kind gets and how fast the line runs
    #[arg(long, value_name = "PATH")]
    scenario: Option<PathBuf>,
    /// Kind of seedlings
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    /// Line
    #[arg(long, value_name = "LINE")]
    line: Option<String>,
    /// Rate the line is set to, trays/h [default: the scenario's]
    #[arg(long, value_name = "NUMBER")]
    rate: Option<String>,
    /// What a tray is to get, g wet, mm or L [default: the scenario's, else 180 g dry, 20 mm, 7 mm, 1.2 L]
    #[arg(long, value_name = "NUMBER")]
    target: Option<String>,
    /// Seed a tray, g dry; the scenario's wetting makes it wet
    #[arg(long, value_name = "NUMBER", conflicts_with = "target")]
    dry: Option<String>,
    /// Ends of the dial, such as 0-100 [default: 0 and up]
    #[arg(long, value_name = "LOW-HIGH")]
    range: Option<String>,
    /// From one setting of the dial to the next [default: as settings are typed]
    #[arg(long, value_name = "NUMBER")]
    step: Option<String>,
    /// As much more or less is still right, percent
    #[arg(long, value_name = "NUMBER", default_value = "5")]
    tolerance: String,
    /// Log to start from: the last season's trays of this line and kind
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    /// Log to add each tray to
    #[arg(long, value_name = "FILE", requires = "on")]
    log: Option<PathBuf>,
    /// The day, like 2027-04-17
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    /// A note for the log
    #[arg(long, value_name = "TEXT", requires = "log", default_value = "")]
    note: String,
}

fn what(text: &str) -> Result<What, String> {
    What::named(text).ok_or_else(|| "one of bed, water, seed, cover".to_string())
}

/// What the trial is about, settled before the first tray.
struct Trial<'a> {
    wanted: Wanted,
    /// Where the target comes from, in words.
    from: String,
    about: About,
    low: Setting,
    high: Option<Setting>,
    step: Option<Setting>,
    before: Before,
    day: Option<Day>,
    log: Option<&'a Path>,
    note: String,
}

/// Why a command ends: with an answer about the arguments, or for the machine's sake.
enum Ends {
    Said(String),
    Failed(Failure),
}

impl From<Unclear> for Ends {
    fn from(unclear: Unclear) -> Self {
        Ends::Said(unclear.to_string())
    }
}

impl From<files::FileError> for Ends {
    fn from(error: files::FileError) -> Self {
        Ends::Failed(error.into())
    }
}

impl From<std::io::Error> for Ends {
    fn from(error: std::io::Error) -> Self {
        Ends::Failed(error.into())
    }
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or written, or nothing can be printed.
pub(super) fn run(arguments: &TrialArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    match trial(arguments, out) {
        Ok(exit) => Ok(exit),
        Err(Ends::Said(why)) => Ok(unusable(why)),
        Err(Ends::Failed(failure)) => Err(failure),
    }
}

fn trial(arguments: &TrialArguments, out: &mut dyn Write) -> Result<Exit, Ends> {
    let scenario = match &arguments.scenario {
        None => None,
        Some(path) => match super::scenario_of(path, true).map_err(Ends::Failed)? {
            Ok(scenario) => Some(scenario),
            Err(exit) => return Ok(exit),
        },
    };
    let mut trial = settle(arguments, scenario.as_ref())?;
    let mut pairs = match (trial.log, trial.day) {
        (Some(file), Some(day)) => log::of_day(&rows(file)?, &trial.about, day),
        _ => Vec::new(),
    };
    let mut start = None;
    if let Some(file) = &arguments.from {
        let rows = log::read(&files::read(file)?).map_err(|error| in_file(file, &error))?;
        start = from_earlier(&mut trial, &rows);
    }
    if arguments.pairs.is_empty() {
        typed(&trial, pairs, start, out)?;
        return Ok(Exit::Done);
    }
    let mut new = Vec::new();
    for text in &arguments.pairs {
        new.push(reading::pair(text, trial.wanted.what, trial.about.rate)?);
    }
    pairs.extend(&new);
    let answer = trial.answer(&pairs).map_err(Ends::Said)?;
    for pair in new {
        trial.keep(pair, &trial.note)?;
    }
    out.write_all(answer.as_bytes())?;
    Ok(Exit::Done)
}

impl Trial<'_> {
    fn dial(&self, pairs: &[Pair]) -> Dial {
        Dial {
            low: self.low,
            high: self.high,
            step: self
                .step
                .unwrap_or_else(|| step_typed(pairs.iter().map(|pair| pair.setting))),
        }
    }

    /// The answer in words; else why there is none.
    fn answer(&self, pairs: &[Pair]) -> Result<String, String> {
        match advise(pairs, self.before, self.dial(pairs), &self.wanted) {
            Ok(advice) => Ok(report::trial::answer(&advice, &self.wanted, &self.from)),
            Err(refusal) => Err(report::trial::refusal(&refusal, &self.wanted)),
        }
    }

    /// Adds a tray to the log, if there is one: the file is read anew, so that what others added stays.
    fn keep(&self, pair: Pair, note: &str) -> Result<(), Ends> {
        let (Some(file), Some(date)) = (self.log, self.day) else {
            return Ok(());
        };
        let row = Row {
            date,
            about: self.about.clone(),
            pair,
            note: note.to_string(),
        };
        let whole = log::with_row(&bytes(file)?, &row).map_err(|error| in_file(file, &error))?;
        Ok(files::write(file, &whole)?)
    }
}

/// Trays typed one a line, until the end.
fn typed(
    trial: &Trial,
    mut pairs: Vec<Pair>,
    start: Option<String>,
    out: &mut dyn Write,
) -> Result<(), Ends> {
    let answer = match &start {
        _ if !pairs.is_empty() => trial.answer(&pairs).unwrap_or_else(|why| why + "\n"),
        Some(start) => start.clone(),
        None => report::trial::no_start(trial.wanted.what),
    };
    out.write_all(answer.as_bytes())?;
    if pairs.is_empty() {
        out.write_all(report::trial::before_start(&trial.wanted, &trial.from).as_bytes())?;
    }
    let mut input = std::io::stdin().lock();
    let asks = input.is_terminal();
    loop {
        out.flush()?;
        if asks {
            say(format_args!("\nsetting={} > ", trial.wanted.what.unit()));
        }
        let mut line = Vec::new();
        let read = input.read_until(b'\n', &mut line).map_err(|error| {
            Ends::Failed(Failure(format!("cannot read what is typed: {error}")))
        })?;
        let text = String::from_utf8_lossy(&line);
        match text.trim() {
            _ if read == 0 => return Ok(()),
            "" => continue,
            "end" | "quit" | "exit" => return Ok(()),
            "undo" => {
                let Some(last) = pairs.pop() else {
                    say("error: there is no tray to take back\n");
                    continue;
                };
                trial.keep(last, UNDONE)?;
                writeln!(out, "\n{}={} is taken back", last.setting, last.reading)?;
                continue;
            }
            text => {
                let pair = match reading::pair(text, trial.wanted.what, trial.about.rate) {
                    Ok(pair) => pair,
                    Err(unclear) => {
                        say(format_args!("error: {unclear}\n"));
                        continue;
                    }
                };
                // A tray that cannot be is not kept; trays that don't fit together are.
                if let Err(
                    refusal @ (Refusal::OffTheDial(_) | Refusal::Nothing(_) | Refusal::Unit(_)),
                ) = advise(&[pair], trial.before, trial.dial(&[pair]), &trial.wanted)
                {
                    let why = report::trial::refusal(&refusal, &trial.wanted);
                    say(format_args!("error: {why}\n"));
                    continue;
                }
                pairs.push(pair);
                trial.keep(pair, &trial.note)?;
                writeln!(out)?;
                match trial.answer(&pairs) {
                    Ok(answer) => out.write_all(answer.as_bytes())?,
                    Err(why) => writeln!(out, "NO SETTING: {why}")?,
                }
            }
        }
    }
}

/// Takes what an earlier season says of the machine; the first setting in words.
fn from_earlier(trial: &mut Trial, rows: &[Row]) -> Option<String> {
    let earlier = log::earlier(rows, &trial.about, trial.day)?;
    let (before, set) = start(&earlier.pairs, trial.dial(&earlier.pairs), &trial.wanted)?;
    let same_rate = earlier.rate == trial.about.rate;
    if same_rate {
        trial.before = before;
    }
    Some(report::trial::start(
        trial.wanted.what,
        set,
        &earlier,
        same_rate,
    ))
}

fn settle<'a>(
    arguments: &'a TrialArguments,
    scenario: Option<&Scenario>,
) -> Result<Trial<'a>, Ends> {
    let what = arguments.what;
    let number = |text: &String, name: &str| reading::number(text, name, "a number such as 12.5");
    let above_0 = |value: Fixed<2>, name: &str| match value {
        Fixed(1..) => Ok(value),
        _ => Err(Ends::Said(format!("the {name} must be more than 0"))),
    };
    let kind = match scenario {
        Some(scenario) => Some(kind_of(scenario, arguments.kind.as_deref())?),
        None => None,
    };
    let line = match scenario {
        Some(scenario) => Some(line_of(scenario, arguments.line.as_deref())?),
        None => None,
    };
    let rate = match (&arguments.rate, line, kind) {
        (Some(text), ..) => match exact(text, 1) {
            Ok(tenths @ 1..=1_000_000) => Some(Fixed(tenths)),
            _ => {
                return Err(Ends::Said(format!(
                    "--rate: `{}` is no rate\n  help: trays/h with at most one decimal, such as 400",
                    plain(text)
                )));
            }
        },
        (None, Some(line), Some(kind)) => {
            let own = line.rates.iter().find(|rate| rate.kind == kind.id);
            Some(own.map_or(line.set_trays_per_h, |own| own.set_trays_per_h))
        }
        _ => None,
    };
    let (target, from) = target(arguments, kind)?;
    let (low, high) = match &arguments.range {
        None => (Fixed::ZERO, None),
        Some(text) => {
            let ends = text.split_once("..").or_else(|| text.split_once('-'));
            let Some((low, high)) = ends else {
                return Err(Ends::Said(
                    "--range needs two numbers, such as 0-100".to_string(),
                ));
            };
            let ends = (
                number(&low.trim().to_string(), "low end")?,
                number(&high.trim().to_string(), "high end")?,
            );
            if ends.0 >= ends.1 {
                return Err(Ends::Said(
                    "--range ends below where it begins\n  help: write it as 0-100".to_string(),
                ));
            }
            (ends.0, Some(ends.1))
        }
    };
    let step = match &arguments.step {
        None => None,
        Some(text) => Some(above_0(number(text, "step")?, "step")?),
    };
    let tolerance = above_0(number(&arguments.tolerance, "tolerance")?, "tolerance")?;
    if tolerance.0 % 10 != 0 || tolerance.0 > 5_000 {
        return Err(Ends::Said(
            "the tolerance is 0.1 to 50 percent, with at most one decimal".to_string(),
        ));
    }
    if clean(&arguments.note) == UNDONE {
        let why = "the note `undone` is kept for trays that are taken back";
        return Err(Ends::Said(why.to_string()));
    }
    let day = match arguments.on.as_deref().map(Day::parse).transpose() {
        Ok(day) => day,
        Err(error) => return Err(Ends::Said(format!("--on: {error}"))),
    };
    let named = |given: &Option<String>, id: Option<&String>| {
        clean(id.or(given.as_ref()).map_or("", String::as_str))
    };
    Ok(Trial {
        wanted: Wanted {
            what,
            target: above_0(target, "target")?,
            tolerance: Fixed(tolerance.0 / 10),
        },
        from,
        about: About {
            line: named(&arguments.line, line.map(|line| &line.id)),
            kind: named(&arguments.kind, kind.map(|kind| &kind.id)),
            rate,
            what,
        },
        low,
        high,
        step,
        before: Before::UNKNOWN,
        day,
        log: arguments.log.as_deref(),
        note: clean(&arguments.note),
    })
}

/// What a tray is to get, and on whose word.
fn target(arguments: &TrialArguments, kind: Option<&Kind>) -> Result<(Fixed<2>, String), Ends> {
    let what = arguments.what;
    if let Some(text) = &arguments.target {
        let how = format!("{} a tray, such as {}", what.unit(), what.usual());
        return Ok((reading::number(text, "target", &how)?, String::new()));
    }
    let ratio = kind.map_or(USUAL_WET_RATIO, |kind| kind.wet_ratio);
    if let Some(text) = &arguments.dry {
        if what != What::Seed {
            return Err(Ends::Said(
                "--dry is for seed\n  help: give --target".to_string(),
            ));
        }
        let dry = reading::number(text, "dry seed", "g dry a tray, such as 180")?;
        let wet = Fixed(div_near(dry.0 * ratio.0, 10_000) * 10);
        return Ok((wet, format!("{dry} g dry x {ratio}")));
    }
    let dry = kind.map_or(USUAL_DRY, |kind| kind.seed_g_dry_per_tray);
    let whose = match (what, kind) {
        (What::Seed, Some(_)) => format!("{dry} g dry x {ratio}"),
        (What::Seed, None) => format!("{dry} g dry x {ratio}, common practice"),
        (_, Some(_)) => String::new(),
        (_, None) => "common practice".to_string(),
    };
    Ok((kind.map_or(what.usual(), |kind| what.target(kind)), whose))
}

fn kind_of<'a>(scenario: &'a Scenario, id: Option<&str>) -> Result<&'a Kind, Ends> {
    let ids: Vec<&str> = scenario.kinds.iter().map(|kind| &kind.id[..]).collect();
    let found = match id {
        Some(id) => scenario.kinds.iter().find(|kind| kind.id == id),
        None => scenario.kinds.first().filter(|_| ids.len() == 1),
    };
    found.ok_or_else(|| Ends::Said(not_there("kind", id, &ids)))
}

fn line_of<'a>(scenario: &'a Scenario, id: Option<&str>) -> Result<&'a Line, Ends> {
    let ids: Vec<&str> = scenario.lines.iter().map(|line| &line.id[..]).collect();
    let found = match id {
        Some(id) => scenario.lines.iter().find(|line| line.id == id),
        None => scenario.lines.first().filter(|_| ids.len() == 1),
    };
    found.ok_or_else(|| Ends::Said(not_there("line", id, &ids)))
}

fn not_there(name: &str, id: Option<&str>, ids: &[&str]) -> String {
    let why = match id {
        Some(id) => format!("the scenario has no {name} `{}`", plain(id)),
        None => format!("which {name} is it?"),
    };
    format!("{why}\n  help: give --{name}, one of {}", ids.join(", "))
}

/// The log as it is; empty when it is not there yet.
fn bytes(file: &Path) -> Result<Vec<u8>, Ends> {
    if file.exists() {
        Ok(files::read(file)?)
    } else {
        Ok(Vec::new())
    }
}

fn rows(file: &Path) -> Result<Vec<Row>, Ends> {
    let bytes = bytes(file)?;
    if bytes.is_empty() {
        return Ok(Vec::new());
    }
    log::read(&bytes).map_err(|error| in_file(file, &error))
}

fn in_file(file: &Path, error: &log::LogError) -> Ends {
    Ends::Said(format!(
        "`{}` is no log of trials: {error}\n  help: mend the rows, or name another file",
        file.display()
    ))
}
