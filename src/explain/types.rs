//! What is told of a part of a field, as plain data: its story, its days with their prices, what binds it.

use crate::calendar::{Day, DayRange};
use crate::plan::Shortfall;
use crate::rules::Unit;
use crate::scenario::{AgeClock, HandOver};
use crate::units::{Age, Money};
use serde::Serialize;

/// A part of a field, explained. Money is in thousandths of the scenario's currency inside, a plain number in JSON.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Explained {
    /// Field.
    pub field: String,
    /// Part of it, from 1.
    pub part: u32,
    /// `Q03`, or `Q03 part 2` when the field has several parts.
    pub name: String,
    /// Whose field.
    pub grower: String,
    /// Kind.
    pub kind: String,
    /// What is handed over.
    pub stage: HandOver,
    /// Trays that leave, or would.
    pub trays: i64,
    /// How it is grown; none: the plan leaves it short.
    pub story: Option<Story>,
    /// What the plan says of a part that it leaves short.
    pub short: Option<Shortfall>,
    /// What has to be known to read the rest: decisions that no rule allows, limits that the plan itself goes beyond.
    pub remarks: Vec<String>,
    /// First and last day that window, water and the crop before leave, inside the horizon; none: they leave none or set no bounds.
    pub window: Option<DayRange>,
    /// Every day of it, ascending, and the day planned.
    pub days: Vec<PlantingDay>,
    /// Every limit that it takes from, the fullest first.
    pub binds: Vec<Bind>,
}

/// How a part is grown in the plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Story {
    /// The run's name.
    pub run: String,
    /// Soaking begins; none of what grew before the first day.
    pub soak: Option<Day>,
    /// Drained.
    pub drain: Option<Day>,
    /// Sown; of seed the day of handing over.
    pub sow: Day,
    /// Line; none of what grew before the first day, and of seed.
    pub line: Option<String>,
    /// Place among the line's runs of that day, from 1.
    pub place_in_day: u32,
    /// Runs of the line on that day.
    pub runs_that_day: u32,
    /// Trays of the run for fields.
    pub run_trays: i64,
    /// Where its stacks stand.
    pub germination: Option<String>,
    /// Out of the stack.
    pub open: Day,
    /// Bed under the first cover, and its rows.
    pub green_bed: Option<String>,
    /// Rows there, where the bed has rows.
    pub green_rows: Vec<u32>,
    /// First day of hardening.
    pub harden: Day,
    /// Bed until it leaves.
    pub harden_bed: Option<String>,
    /// Rows there, when it is another bed.
    pub harden_rows: Vec<u32>,
    /// Leaves the nursery.
    pub leave: Day,
    /// Planted, or handed over.
    pub plant: Day,
    /// Age on that day, and what the kind wants.
    pub age: AgeTold,
    /// Days open for planting before and after the day planned, first and last of the window; none without a window.
    pub spare_before: Option<i32>,
    /// Likewise after it.
    pub spare_after: Option<i32>,
    /// Sown and kept as it is, first and last day on which it could be planted, crews and places apart.
    pub as_sown: Option<DayRange>,
    /// What it costs.
    pub costs: Option<Costs>,
}

/// An age against what the kind wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct AgeTold {
    /// What it is counted in.
    pub clock: AgeClock,
    /// On the planting day.
    pub age: Age,
    /// Youngest.
    pub youngest: Age,
    /// Best.
    pub target: Age,
    /// Oldest.
    pub oldest: Age,
}

/// What a part costs, as it is planned.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Costs {
    /// What it costs by itself; terms that are nothing are left out.
    pub own: Vec<Term>,
    /// Price of its run's set-up.
    pub set_up: Money,
    /// Its share of that, by trays: a way to look at it, since the set-up is paid once.
    pub set_up_share: Money,
    /// How much less the plan would cost without this part, the price of its trays short apart: time and people bought are in it.
    pub without: Money,
}

/// One term of a cost, or of a difference.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Term {
    /// Which.
    pub what: &'static str,
    /// How much, or how much more.
    pub cost: Money,
}

/// How a day stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The plan's.
    Chosen,
    /// Possible beside all the rest of the plan.
    Fits,
    /// Possible by growth and calendars, but beside the rest of the plan it goes beyond a limit.
    Full,
    /// Not possible, whatever else is planned.
    Excluded,
}

/// A day on which the part could be planted, or why not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PlantingDay {
    /// The day.
    pub day: Day,
    /// How it stands.
    pub verdict: Verdict,
    /// Why it is excluded.
    pub why: Option<String>,
    /// The way that is planned, costs least, or goes least beyond a limit.
    pub way: Option<Way>,
    /// What the plan would cost more, all else left as it is; none of a day that does not fit, or where it cannot be told.
    pub more: Option<More>,
    /// What is in the way of a day that does not fit.
    pub in_the_way: Vec<InTheWay>,
    /// Parts any one of which, taken out alone, would make room; those that stand in the way most are tried.
    pub frees: Vec<Stands>,
    /// Sow days that could serve it, and the nearest that could not.
    pub sow_days: Vec<SowDay>,
}

/// What a change costs more.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct More {
    /// Money.
    pub money: Money,
    /// Term by term; terms that stay are left out.
    pub terms: Vec<Term>,
    /// Price of trays short that it saves: of a part that is short.
    pub shortage_saved: Money,
}

/// One way to grow a part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Way {
    /// Sow day.
    pub sow: Day,
    /// The plan's run that it would be sown in; none: one of its own.
    pub run: Option<String>,
    /// Line.
    pub line: Option<String>,
    /// Germination place.
    pub germination: Option<String>,
    /// Green bed.
    pub green_bed: Option<String>,
    /// Harden bed.
    pub harden_bed: Option<String>,
    /// Leaves the nursery.
    pub leave: Day,
    /// Planted.
    pub plant: Day,
    /// Age then.
    pub age: Age,
}

/// A limit that a way goes beyond, beside the rest of the plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct InTheWay {
    /// The limit.
    pub limit: String,
    /// The day on which it is worst.
    pub day: Day,
    /// First day beyond it.
    pub first: Day,
    /// Last day beyond it.
    pub last: Day,
    /// By how much on the worst day, in `unit`.
    pub over: i64,
    /// Its unit.
    pub unit: Unit,
    /// By how much, in words: `over by 35 min`, `12 trays missing`.
    pub words: String,
    /// Parts that take from it on the worst day, those that take most first.
    pub stands: Vec<Stands>,
}

/// Another part of the plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Stands {
    /// Field.
    pub field: String,
    /// Part of it.
    pub part: u32,
    /// As it is called.
    pub name: String,
    /// Trays that leave.
    pub trays: i64,
    /// Its planting day.
    pub plant: Day,
}

/// A sow day for a planting day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SowDay {
    /// The day.
    pub day: Day,
    /// How it stands.
    pub verdict: Verdict,
    /// Why it is excluded; for the day planned also what it goes beyond most where it does not fit.
    pub why: Option<String>,
    /// Age on the planting day, where it is known: of the best way.
    pub age: Option<Age>,
    /// What the plan would cost more with the best way from it; none of a day that does not fit.
    pub more: Option<Money>,
}

/// A limit that the part takes from, on its fullest day while it does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Bind {
    /// The limit.
    pub limit: String,
    /// That day.
    pub day: Day,
    /// Used by the whole plan, in `unit`.
    pub used: i64,
    /// There and can be bought.
    pub of: i64,
    /// Its unit.
    pub unit: Unit,
    /// How full, thousandths.
    pub full: i64,
    /// In words: `7 h 25 min of 8 h 00 min`.
    pub words: String,
}
