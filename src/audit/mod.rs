//! The independent count: walks a nursery day by day from a plan's data alone, and says what
//! the plan breaks and what it costs.
//!
//! The planner decides with options, ledgers and deltas. This room knows none of them. It takes the
//! plan as a foreman would take a list pinned to the wall: *this run on that day, these trays to
//! that field*. Then it lives through the season: what stands where, which trays are clean, who
//! works how long. Each file does one subject with plain loops over days and deliveries, and
//! follows `docs/COUNTING.md` to the letter. Slow and obvious is what is wanted here: it is the judge.
//!
//! What is taken from the plan and what is worked out:
//! * **Taken** (they are decisions): run, kind, line, soak, drain and sow day, place in the day's order, trays of
//!   each delivery and its places and days, trays washed each day.
//! * **Worked out, then compared with what the plan states**: trays of a run, trial trays, stacks, ages, time
//!   bought, people by week, trays short, each term of the cost, the scenario's hash.
//!
//! The way through: `usable` first refuses a scenario that cannot be counted with (a stack of height
//! 0, numbers so large that sums would overflow); `book` ties runs and deliveries to the scenario and leaves out, with a
//! breach, what names something unknown. The rest walks on what is left: `orders`, `dates` (with `leaving`, `ages` and `warmth`),
//! `line`, `places` (with `rows`), `trays`, `people`, `machines` (with `vehicles`), `stores`, `cost` (with `shortage`, `short_price` and `ways`), `statements`. All amounts are
//! whole numbers in `i128`, so that within the bounds of `usable` no product overflows.
//!
//! [`duties`] counts a roster of the plan in the same way.
//!
//! [`by_hand`] makes a plan from a table that someone wrote, so that it can be judged by the same count.

mod ages;
mod book;
pub mod by_hand;
pub mod codes;
mod cost;
pub mod daily;
mod dates;
pub mod duties;
mod hired;
mod leaving;
mod line;
mod machines;
mod orders;
mod people;
mod places;
mod rows;
#[cfg(test)]
mod samples;
mod short_price;
mod shortage;
mod statements;
mod stores;
mod trays;
mod usable;
mod vehicles;
mod warmth;
mod ways;
mod whole;

pub use by_hand::plan_by_hand;

use crate::calendar::Day;
use crate::plan::types::{Cost, Plan};
use crate::scenario::Scenario;
use daily::{Counted, Load, LoadDay};
use serde::Serialize;

/// What the count found.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Audit {
    /// What the plan breaks, in the order of the count; empty for a sound plan.
    pub breaches: Vec<Breach>,
    /// The cost as counted here, whatever the plan states.
    pub cost: Cost,
    /// The fullest day of each ledger, in the order of the scenario.
    pub fullest: Vec<Fullest>,
}

/// One sentence of the counting rules that the plan breaks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Breach {
    /// Stable code, `A` and three digits, never reused; [`codes::title`] names its rule.
    pub code: &'static str,
    /// In words, with day, place and numbers.
    pub what: String,
    /// The day on which it shows, if it shows on one.
    pub day: Option<Day>,
    /// What it is about.
    pub subject: Subject,
    /// How far off, in the unit of the sentence (trays, stacks, days, ms of work, g of seed, mL, hundredths of a unit of age, thousandths of money, millionths of the fleet's day); 0 when it has no size.
    pub amount: i64,
}

/// What a breach is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "what", rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Subject {
    Plan,
    Scenario,
    Run { id: String },
    Part { field: String, part: u32 },
    Line { id: String },
    Germination { id: String },
    Bed { id: String },
    Trays,
    Crew { id: String },
    Planter { id: String },
    Soaked { kind: String, soaked: Day },
    SeedStore { kind: String },
    SoilStore { id: String },
    AgentStore { id: String },
    Water,
    Tank,
    Vehicles,
    Person { id: String },
}

/// What is counted day by day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ledger {
    /// Line time, ms, against the line's hours of the day.
    LineHours,
    /// Whole stacks against stack places.
    StackPlaces,
    /// Trays against the floor of a bed, with those that have left and whose floor is being cleared.
    BedFloor,
    /// Trays that are not clean and at hand, after the day's sowing, against the stock.
    TraysInUse,
    /// Person time, ms, against the shift (on a day off: against the people who can be called in).
    CrewHours,
    /// Time of a planting machine with its moves, ms, against its hours of the day.
    PlantingMachine,
    /// Dry seed drawn from a batch put to soak before the first day, in tenths of a gram.
    SoakedSeed,
    /// Dry seed of a kind drawn up to the day, against what has come up to it, in tenths of a gram.
    SeedStore,
    /// Soil of a mix drawn up to the day, against what has come up to it, µL.
    SoilStore,
    /// Water of the day, hundredths of a litre.
    Water,
    /// Dry seed in the tank, tenths of a gram.
    Tank,
    /// Trays that leave against what all vehicles bring in a day.
    Vehicles,
    /// The same where round trips differ: millionths of the fleet's day.
    FleetDay,
    /// What seed is treated with, drawn up to the day, against what has come up to it, in hundred-thousandths of a millilitre.
    AgentStore,
}

/// The fullest day of one ledger of one thing: the highest share of what is there, the earliest of equals.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fullest {
    /// Which ledger; it also tells the unit.
    pub ledger: Ledger,
    /// Id of the line, place, bed, crew, machine, mix or agent; the kind of seed; `trays`, `water`, `tank`, `vehicles`.
    pub id: String,
    /// The day.
    pub day: Day,
    /// Used on it.
    pub used: i64,
    /// There on it.
    pub there: i64,
}

/// Counts `plan` again, on `scenario`: the one embedded in the plan, or another one.
///
/// Never panics, however broken the plan: what cannot be counted is a breach and left out of the rest.
pub fn audit(plan: &Plan, scenario: &Scenario) -> Audit {
    walk(plan, scenario).audit
}

/// The whole count, with what it saw on the way.
fn walk(plan: &Plan, scenario: &Scenario) -> Counted {
    let mut found = Found::default();
    for flaw in usable::flaws(scenario) {
        found.add("A001", Subject::Scenario, None, 0, flaw);
    }
    if !found.breaches.is_empty() {
        return Counted {
            audit: Audit {
                breaches: found.breaches,
                cost: Cost::default(),
                fullest: Vec::new(),
            },
            loads: Vec::new(),
            parts: Vec::new(),
        };
    }
    let book = book::Book::open(plan, scenario, &mut found);
    let short = orders::check(&book, &mut found);
    shortage::check(plan, scenario, &short, &mut found);
    dates::check(&book, &mut found);
    line::check(&book, &mut found);
    places::check(&book, &mut found);
    rows::check(&book, &mut found);
    trays::check(&book, &mut found);
    let hired = hired::Hired::stated(&book);
    let bought = people::check(&book, &hired, &mut found);
    machines::check(&book, &mut found);
    stores::check(&book, &mut found);
    let cost = cost::count(&book, &bought, &hired, &short);
    let cost = cost::check(plan, cost, &mut found);
    statements::check(plan, &mut found);
    Counted {
        audit: Audit {
            breaches: found.breaches,
            cost,
            fullest: found.fullest,
        },
        loads: found.loads,
        parts: cost::of_parts(&book),
    }
}

/// Breaches and fullest days, gathered.
#[derive(Default)]
struct Found {
    breaches: Vec<Breach>,
    fullest: Vec<Fullest>,
    loads: Vec<Load>,
}

impl Found {
    fn add(
        &mut self,
        code: &'static str,
        subject: Subject,
        day: Option<Day>,
        amount: i128,
        what: String,
    ) {
        self.breaches.push(Breach {
            code,
            what,
            day,
            subject,
            amount: whole::fit(amount),
        });
    }

    /// Notes `days` (day, used, there) and the fullest of them; a ledger that is never used is left out.
    fn fullest(
        &mut self,
        ledger: Ledger,
        id: &str,
        days: impl IntoIterator<Item = (Day, i128, i128)>,
    ) {
        let mut best: Option<(Day, i128, i128)> = None;
        let mut seen = Vec::new();
        for (day, used, there) in days {
            seen.push(LoadDay {
                day,
                used: whole::fit(used),
                there: whole::fit(there),
            });
            // used ÷ there > best used ÷ best there, without dividing; nothing there counts as a tiny bit.
            let fuller = match best {
                None => used > 0,
                Some((_, most, of)) => {
                    used.saturating_mul(of.max(1)) > most.saturating_mul(there.max(1))
                }
            };
            if fuller {
                best = Some((day, used, there));
            }
        }
        if let Some((day, used, there)) = best {
            let (used, there) = (whole::fit(used), whole::fit(there));
            self.fullest.push(Fullest {
                ledger,
                id: id.to_string(),
                day,
                used,
                there,
            });
            self.loads.push(Load {
                ledger,
                id: id.to_string(),
                days: seen,
            });
        }
    }
}
