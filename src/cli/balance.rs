//! `sowrota balance`: what more even weeks of people cost.

use super::follow::Follower;
use super::{Exit, Failure, unusable};
use crate::audit;
use crate::nursery::Nursery;
use crate::report;
use crate::scenario;
use crate::scenario::exact::exact;
use crate::solve::Budget;
use crate::solve::levelling::levels;
use crate::units::Fixed;
use std::io::Write;
use std::path::PathBuf;

/// Most that the prices may be multiplied by, in hundredths.
const MOST: i64 = 100_000;

/// Show what more even weeks cost: plan at several prices on hiring and releasing people
#[derive(clap::Args)]
#[command(after_help = "\
The nursery is planned once for each number of `--times`: the prices `hire` and
`release` of every crew's `casual`, so many times what the scenario says.

Example:
  sowrota balance scenarios/cooperative --times 0,1,3")]
pub(super) struct BalanceArguments {
    /// Folder with nursery.json, or the file itself
    scenario: PathBuf,
    /// What to multiply the prices by, up to 1000
    #[arg(long, value_name = "NUMBERS", value_delimiter = ',', default_value = "0,1,3", value_parser = times)]
    times: Vec<Fixed<2>>,
    /// Changes each search may try [default: by the number of orders]
    #[arg(long, value_name = "NUMBER")]
    moves: Option<u64>,
    /// Another number makes other chance choices
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
    /// Print the levels as JSON for machines
    #[arg(long)]
    json: bool,
    /// Say nothing on the way
    #[arg(long)]
    quiet: bool,
}

fn times(text: &str) -> Result<Fixed<2>, String> {
    match exact(text, 2) {
        Ok(hundredths @ 0..=MOST) => Ok(Fixed(hundredths)),
        _ => Err("a number from 0 to 1000 with at most two decimals, such as 1.5".to_string()),
    }
}

/// Runs the command.
///
/// # Errors
/// When a file cannot be read or nothing can be printed.
pub(super) fn run(arguments: &BalanceArguments, out: &mut dyn Write) -> Result<Exit, Failure> {
    let scenario = match super::scenario_of(&arguments.scenario, true)? {
        Ok(scenario) => scenario,
        Err(exit) => return Ok(exit),
    };
    let priced = |crew: &scenario::Crew| {
        crew.casual
            .is_some_and(|casual| casual.most > 0 && casual.hire.0 + casual.release.0 > 0)
    };
    if !scenario.crews.iter().any(priced) {
        return Ok(unusable(
            "no crew has a price on hiring or releasing people\n  help: give a crew `casual` with `most`, `price_per_day`, `hire` and `release`",
        ));
    }
    let usual = Budget::for_lots(Nursery::new(&scenario).lots.len());
    let budget = Budget {
        moves: arguments.moves.unwrap_or(usual.moves),
        seed: arguments.seed,
        ..usual
    };
    let mut follower = Follower::of_plan(arguments.quiet, None);
    let levels = levels(&scenario, &arguments.times, &budget, &mut follower);
    follower.clear();
    if arguments.json {
        super::print_json(out, &report::balance::of(&levels))?;
    } else {
        out.write_all(report::balance::text(&levels).as_bytes())?;
    }
    let sound = levels.iter().all(|level| {
        level.plan.shortfalls.is_empty()
            && audit::audit(&level.plan, &level.plan.scenario)
                .breaches
                .is_empty()
    });
    Ok(if sound { Exit::Done } else { Exit::Short })
}
