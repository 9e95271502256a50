//! `sowrota plan`: from a scenario to a plan.

use super::follow::Follower;
use super::{Exit, Failure, plan_file};
use crate::audit;
use crate::nursery::Nursery;
use crate::plan::Plan;
use crate::report;
use crate::scenario;
use crate::solve::{self, Budget, Start};
use crate::units::Money;
use std::io::Write;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Plan a nursery: what to soak, sow, stack, move out, deliver and wash on which day
#[derive(clap::Args)]
#[command(after_help = "Example:\n  sowrota plan scenarios/village --out out/village")]
pub struct PlanArguments {
    /// Folder with nursery.json, or the file itself
    scenario: PathBuf,
    /// Folder for plan.json [default: out/ and the scenario's name]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// How long to search
    #[arg(long, value_enum, default_value_t = Effort::Usual)]
    effort: Effort,
    /// Changes the search may try [default: by the number of orders, the effort and the time]
    #[arg(long, value_name = "NUMBER")]
    moves: Option<u64>,
    /// Take so many seconds: as many changes as a modest machine tries in them, and a bound if there is time; ends with the best plan so far
    #[arg(long, value_name = "SECONDS", value_parser = clap::value_parser!(u32).range(1..=86_400))]
    time: Option<u32>,
    /// Another number makes other chance choices
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
    /// Effort on the bound: 0 gives none, 1 one with some cuts, more a better one [default: by the effort]
    #[arg(long, value_name = "NUMBER")]
    relaxations: Option<u32>,
    /// Threads to run on: 1, or up to 3; the plan does not depend on them [default: as many as the machine has]
    #[arg(long, value_name = "NUMBER")]
    threads: Option<NonZeroUsize>,
    /// Print the plan as JSON for machines instead of the summary
    #[arg(long)]
    json: bool,
    /// Say nothing on the way
    #[arg(long)]
    quiet: bool,
}

/// Relaxations of the thorough effort.
const THOROUGH: u32 = 60;

/// How long to search: in changes tried, so that it gives the same plan on every machine.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Effort {
    /// An eighth of the usual changes, and no bound
    Quick,
    /// Some seconds
    Usual,
    /// Eight times the usual changes, then a better bound
    Thorough,
}

impl Effort {
    fn budget(self, lots: usize) -> Budget {
        let usual = Budget::for_lots(lots);
        match self {
            Effort::Quick => Budget {
                moves: usual.moves / 8,
                relaxations: 0,
                ..usual
            },
            Effort::Usual => usual,
            Effort::Thorough => Budget {
                moves: usual.moves * 8,
                relaxations: THOROUGH,
                ..usual
            },
        }
    }
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or written, or nothing can be printed.
pub fn run(arguments: &PlanArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let scenario = match super::scenario_of(&arguments.scenario, arguments.quiet)? {
        Ok(scenario) => scenario,
        Err(exit) => return Ok(exit),
    };
    let folder = arguments
        .out
        .clone()
        .unwrap_or_else(|| default_folder(&arguments.scenario));
    let earlier = match plan_file::earlier(&folder)? {
        Ok(earlier) => earlier,
        Err(exit) => return Ok(exit),
    };
    let nursery = Nursery::new(&scenario);
    let lots = nursery.lots.len();
    let usual = arguments.effort.budget(lots);
    let usual = arguments
        .time
        .map_or(usual, |seconds| usual.for_seconds(seconds, lots));
    let budget = Budget {
        moves: arguments.moves.unwrap_or(usual.moves),
        relaxations: arguments.relaxations.unwrap_or(usual.relaxations),
        seed: arguments.seed,
    };
    let start = Start {
        threads: arguments.threads,
        ..Start::default()
    };
    let mut follower = Follower::of_plan(
        arguments.quiet,
        arguments
            .time
            .map(|seconds| Duration::from_secs(seconds.into())),
    );
    let mut outcome = solve::plan(&nursery, &start, &budget, &mut follower);
    follower.clear();
    let plan = &mut outcome.plan;
    keep(
        plan,
        earlier,
        outcome.list_cost,
        &folder,
        arguments.json,
        out,
    )
}

/// Audits a plan, writes it into its folder beside an earlier one, and prints it.
pub(super) fn keep(
    plan: &mut Plan,
    earlier: Option<Plan>,
    list_cost: Money,
    folder: &Path,
    json: bool,
    out: &mut dyn Write,
) -> Result<Exit, Failure> {
    let audit = audit::audit(plan, &plan.scenario);
    plan_file::write(plan, earlier.as_ref(), folder)?;
    if json {
        super::print_json(out, plan)?;
    } else {
        let summary = report::plan::text(plan, &audit, list_cost, folder);
        out.write_all(summary.as_bytes())?;
        if let Some(earlier) = earlier.filter(|earlier| earlier.revision != plan.revision) {
            let kept = plan_file::kept(folder, earlier.revision);
            let words = report::plan::against_earlier(plan, &earlier, &kept);
            out.write_all(words.as_bytes())?;
        }
    }
    let sound = plan.shortfalls.is_empty() && audit.breaches.is_empty();
    Ok(if sound { Exit::Done } else { Exit::Short })
}

/// `out/` and the name of the scenario's folder, or of its file.
pub(super) fn default_folder(scenario: &Path) -> PathBuf {
    let whole = std::path::absolute(scenario).unwrap_or_else(|_| scenario.to_path_buf());
    let named = match whole.file_name() {
        Some(name) if name == scenario::FILE => whole.parent().and_then(Path::file_name),
        _ => whole.file_stem(),
    };
    Path::new("out").join(named.unwrap_or("nursery".as_ref()))
}
