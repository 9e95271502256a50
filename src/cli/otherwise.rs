//! What the commands for when it goes otherwise share: a plan, a day and events.

use super::{Exit, Failure, plan_file, say, unusable};
use crate::calendar::Day;
use crate::disrupt::event::{self, Event, EventError, apply};
use crate::disrupt::happened::present_after;
use crate::disrupt::log::{self, LogError};
use crate::disrupt::replan::{How, usual_budget};
use crate::disrupt::{Present, present};
use crate::plan::Plan;
use crate::report::text::{WIDTH, count, fold};
use crate::solve::Budget;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The kinds of events, for `--help`.
pub(super) const EVENTS: &str = "\
Events, with the days as first/last, both included:
  rain days=.. [fields=A,B | block=B]   nothing is planted there
  warmer days=.. by_c=-2.5              outdoors; below 0: colder
  water block=B on=DAY                  the water comes on another day
  harvest field=F on=DAY                the crop before is off then
  ready field=F ready=false             the field cannot be planted
  line days=.. [line=L] [hours=3]       the line stands, or runs less
  people crew=C days=.. fewer=2         people are missing
  seed_late kind=K by_days=4            seed on order comes later
  seed_weak kind=K share=0.85           it germinates badly
  stand run=R017 share=0.6              a run came up thin
  ahead run=R017|bed=B leaves=0.4       by a count; or days=4, or by=0.4
                                        on the kind's clock
  weather date=DAY min_c=8 max_c=17      forecast, or what it was
  frost on=DAY min_c=-1                 the night to that day: tonight, to
                                        tomorrow
  power on=DAY hours=6                  warmed places are not warmed
What was otherwise before the first day, also as rows of --log:
  not_sown run=R017                     its seed still waits
  opened run=R017 [on=DAY]              left out: still closed
  stays field=F [part=1]                it was to leave and did not
  left field=F [part=1] on=DAY          it left on another day
  washed on=DAY trays=600               not as many as planned
  dirty trays=800                       by a count this morning
  trays_lost trays=200                  empty trays are gone
  trays_late trays=2500 until=DAY       empty trays come later, the next
         [growers=A,B] [fields=F,G]     due of all or of those named, and of
         [home=true]                    those due before that never came
  trays_bought trays=800 on=DAY         new trays, clean on that day
  days_off days=..                      nobody works, but for what must be
  give from=F to=G [part=1] [trays=80]  standing trays go to another field
  cancel field=F                        an order is withdrawn
  firm field=F                          one that is not firm becomes so
  order field=F trays=380               an order is changed
  take kind=K ha=6 days=.. [parts=6]    may we take more, and on which days?
       [planter=P] [mats=210] [grower=G] [field=ASKED]";

/// Events on the command line and in a file.
#[derive(clap::Args)]
pub(super) struct Events {
    /// What happens, such as "rain days=2027-05-13/2027-05-15"; may be repeated
    #[arg(long = "event", value_name = "EVENT")]
    events: Vec<String>,
    /// File with a JSON list of events
    #[arg(long, value_name = "FILE")]
    events_file: Option<PathBuf>,
    /// Table of what was otherwise than on the sheets, with the days that are closed
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
}

/// How the rest is mended.
#[derive(clap::Args)]
pub(super) struct Mending {
    /// By the prices of the scenario, not shortage, promises, days, money in this order
    #[arg(long)]
    priced: bool,
    /// Days in which nothing is moved unasked
    #[arg(long, value_name = "DAYS", default_value_t = 3, value_parser = clap::value_parser!(i32).range(0..=60))]
    held: i32,
    /// Changes the search may try [default: by the number of orders]
    #[arg(long, value_name = "NUMBER")]
    moves: Option<u64>,
}

impl Mending {
    pub(super) fn how(&self) -> How {
        How {
            held_days: self.held,
            priced: self.priced,
        }
    }

    pub(super) fn budget(&self, present: &Present) -> Budget {
        let usual = usual_budget(present.decided.len());
        Budget {
            moves: self.moves.unwrap_or(usual.moves),
            ..usual
        }
    }
}

/// A plan on a day, before and after what happens.
pub(super) struct Situation {
    pub(super) plan: Plan,
    pub(super) undisturbed: Present,
    pub(super) present: Present,
    /// As they would be written on the command line.
    pub(super) events: Vec<String>,
    pub(super) happened: Vec<Event>,
}

/// Reads the plan and the events; the exit code when they cannot be used.
pub(super) fn situation(
    plan: &Path,
    on: Option<&str>,
    events: &Events,
) -> Result<Result<Situation, Exit>, Failure> {
    let plan = match plan_file::read(plan)? {
        Ok(plan) => plan,
        Err(exit) => return Ok(Err(exit)),
    };
    let day = match on.map(Day::parse) {
        None => plan.scenario.horizon.first,
        Some(Ok(day)) => day,
        Some(Err(error)) => {
            return Ok(Err(unusable(format_args!(
                "--on: {error}\n  help: write a day of the plan, such as {}",
                plan.scenario.horizon.first
            ))));
        }
    };
    let undisturbed = match present(&plan, day) {
        Ok(present) => present,
        Err(error) => {
            return Ok(Err(unusable(format_args!(
                "--on: {error}\n  help: write one of these days"
            ))));
        }
    };
    let mut all: Vec<Event> = Vec::new();
    if let Some(file) = &events.log {
        match log::read(&crate::files::read(file)?, &plan, day) {
            Ok(logged) => {
                if logged.passed > 0 {
                    say(format_args!(
                        "note: {} of days before {} are passed over, since the plan was made from that day on\n",
                        count(logged.passed, "row", "rows"),
                        plan.scenario.horizon.first
                    ));
                }
                all.extend(logged.events);
            }
            Err(error) => {
                let help = match error {
                    LogError::Open(_) => {
                        "\n  help: add a row `close` for each day that went as on its sheet but for the other rows, or plan from the first open day"
                    }
                    LogError::Rows(_) => "",
                };
                let name = file.display();
                return Ok(Err(unusable(format_args!("`{name}`: {error}{help}"))));
            }
        }
    }
    let from_log = all.len();
    if let Some(file) = &events.events_file {
        let bytes = crate::files::read(file)?;
        match event::parse_file(&bytes, &file.display().to_string()) {
            Ok(events) => all.extend(events),
            Err(error) => {
                return Ok(Err(unusable(format_args!(
                    "{error}\n  help: write a list such as [{{\"event\": \"trays_lost\", \"trays\": 200}}]"
                ))));
            }
        }
    }
    for text in &events.events {
        match event::parse(text) {
            Ok(event) => all.push(event),
            Err(error) => {
                return Ok(Err(unusable(format_args!(
                    "{error}\n  help: `sowrota whatif --help` lists the events"
                ))));
            }
        }
    }
    let mut present = match present_after(&plan, day, &all) {
        Ok(present) => present,
        Err(error) => return Ok(Err(unusable(error))),
    };
    for (at, event) in all.iter().enumerate() {
        let done = match apply(&mut present, event) {
            // What the log tells of days that are over by now has no more to change.
            Err(EventError::Past { days, rest }) if at < from_log && days.last < rest.first => {
                Ok(())
            }
            done => done,
        };
        if let Err(error) = done {
            let help = help(&error, &present);
            return Ok(Err(unusable(format_args!(
                "{error}\n  in: {}{help}",
                event::say(event)
            ))));
        }
    }
    let said = all.iter().map(event::say).collect();
    Ok(Ok(Situation {
        plan,
        undisturbed,
        present,
        events: said,
        happened: all,
    }))
}

/// Names that could have been meant.
fn help(error: &EventError, present: &Present) -> String {
    let EventError::Unknown { what, .. } = error else {
        return String::new();
    };
    let scenario = &present.scenario;
    if *what == "weather of" {
        return format!("\n  help: write one of the days {}", scenario.horizon);
    }
    let standing = scenario.opening.sown.iter();
    type Of = fn(&crate::scenario::TraysOut) -> &Option<String>;
    let away = &scenario.opening.trays_out;
    let out = |of: Of| {
        away.iter()
            .chain(&present.came)
            .filter_map(|out| of(out).as_ref())
            .collect()
    };
    let names: Vec<&String> = match *what {
        "field" => scenario.fields.iter().map(|one| &one.id).collect(),
        "block" => scenario.blocks.iter().map(|one| &one.id).collect(),
        "line" => scenario.lines.iter().map(|one| &one.id).collect(),
        "planter" => scenario.planters.iter().map(|one| &one.id).collect(),
        "crew" => scenario.crews.iter().map(|one| &one.id).collect(),
        "kind" => scenario.kinds.iter().map(|one| &one.id).collect(),
        "seed store of kind" => scenario.seed_stores.iter().map(|one| &one.kind).collect(),
        "order that is not firm" => scenario.not_firm.iter().map(|one| &one.id).collect(),
        "grower with trays away" => out(|out| &out.grower),
        "field with trays away" => out(|out| &out.field),
        "trays standing for field" => standing.map(|one| &one.field).collect(),
        _ => standing.filter_map(|one| one.run.as_ref()).collect(),
    };
    let names: BTreeSet<&str> = names.into_iter().map(String::as_str).collect();
    if names.is_empty() {
        return format!("\n  help: there is none on {}", present.day);
    }
    let names: Vec<&str> = names.into_iter().collect();
    let lines = fold(&format!("help: one of {}", names.join(", ")), WIDTH - 4);
    format!("\n  {}", lines.join("\n    "))
}
