//! `sowrota plan`: from a scenario to a plan.

use super::{Exit, Failure, plan_file, say};
use crate::audit;
use crate::nursery::Nursery;
use crate::report;
use crate::scenario;
use crate::solve::{self, Budget, Phase, Progress, Start, Watch};
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

/// Plan a nursery: what to soak, sow, stack, move out, deliver and wash on which day
#[derive(clap::Args)]
#[command(after_help = "Example:\n  sowrota plan scenarios/village --out out/village")]
pub struct PlanArguments {
    /// Folder with nursery.json, or the file itself
    scenario: PathBuf,
    /// Folder for plan.json [default: out/ and the scenario's name]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Changes the search may try [default: by the number of orders]
    #[arg(long, value_name = "NUMBER")]
    moves: Option<u64>,
    /// Another number makes other chance choices
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
    /// Relaxations to solve: 0 gives no bound, more than 1 another start
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    relaxations: u32,
    /// Print the plan as JSON for machines instead of the summary
    #[arg(long)]
    json: bool,
    /// Say nothing on the way
    #[arg(long)]
    quiet: bool,
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or written, or nothing can be printed.
pub fn run(arguments: &PlanArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let checked = scenario::read(&arguments.scenario)?;
    let Some(scenario) = checked.scenario.filter(|_| !checked.problems.any_error()) else {
        say(report::check::problems(&checked.problems));
        return Ok(Exit::Unusable);
    };
    if !checked.problems.0.is_empty() && !arguments.quiet {
        say(report::check::problems(&checked.problems));
    }
    let folder = arguments
        .out
        .clone()
        .unwrap_or_else(|| default_folder(&arguments.scenario));
    let earlier = match plan_file::earlier(&folder)? {
        Ok(earlier) => earlier,
        Err(exit) => return Ok(exit),
    };
    let nursery = Nursery::new(&scenario);
    let usual = Budget::for_lots(nursery.lots.len());
    let budget = Budget {
        moves: arguments.moves.unwrap_or(usual.moves),
        relaxations: arguments.relaxations,
        seed: arguments.seed,
    };
    let mut follower = Follower::new(arguments.quiet);
    let mut outcome = solve::plan(&nursery, &Start::default(), &budget, &mut follower);
    follower.clear();
    let audit = audit::audit(&outcome.plan, &scenario);
    plan_file::write(&mut outcome.plan, earlier, &folder)?;
    if arguments.json {
        super::print_json(out, &outcome.plan)?;
    } else {
        let summary = report::plan::text(&outcome.plan, &audit, outcome.list_cost, &folder);
        out.write_all(summary.as_bytes())?;
    }
    let sound = outcome.plan.shortfalls.is_empty() && audit.breaches.is_empty();
    Ok(if sound { Exit::Done } else { Exit::Short })
}

/// `out/` and the name of the scenario's folder, or of its file.
fn default_folder(scenario: &Path) -> PathBuf {
    let whole = std::path::absolute(scenario).unwrap_or_else(|_| scenario.to_path_buf());
    let named = match whole.file_name() {
        Some(name) if name == scenario::FILE => whole.parent().and_then(Path::file_name),
        _ => whole.file_stem(),
    };
    Path::new("out").join(named.unwrap_or("nursery".as_ref()))
}

/// Says on standard error how far the search is: one line that is written over on a terminal, nothing elsewhere.
pub(super) struct Follower {
    shown: bool,
}

impl Follower {
    pub(super) fn new(quiet: bool) -> Follower {
        Follower {
            shown: !quiet && std::io::stderr().is_terminal(),
        }
    }

    pub(super) fn clear(&self) {
        if self.shown {
            say(format_args!("\r{:78}\r", ""));
        }
    }
}

impl Watch for Follower {
    fn progress(&mut self, progress: Progress) {
        if !self.shown {
            return;
        }
        let doing = match progress.phase {
            Phase::List => "first plan",
            Phase::Relaxation => "finding what no plan can beat",
            Phase::Polish => "improving",
        };
        let best = progress.best.map_or(String::new(), |best| {
            format!(
                ", cost so far {}",
                report::text::money(crate::units::Money { 0: best })
            )
        });
        let line = format!(
            "{doing}, {} changes tried{best}",
            report::text::number(progress.moves as i64)
        );
        say(format_args!("\r{line:78}"));
    }

    fn stop(&self) -> bool {
        false
    }
}
