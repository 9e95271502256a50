//! The plan as data: what is sown, delivered, washed, bought and left short, and what it costs.
//!
//! A plan embeds the completed scenario that it was made for, so that it can be audited, printed
//! and taken up again from the one file. It holds no time or date of its making.

use crate::calendar::{Day, IsoWeek};
use crate::scenario::Scenario;
use crate::units::{Age, Money, fit};
use serde::{Deserialize, Serialize};

/// The mark that opens every plan file.
pub const FORMAT: &str = "sowrota-plan/1";

/// A day-by-day plan of one nursery.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Always [`FORMAT`].
    pub format: String,
    /// 1 for the first plan in a folder; a new one counts on.
    pub revision: u32,
    /// SHA-256 of the completed scenario's JSON.
    pub scenario_sha256: String,
    /// The completed scenario.
    pub scenario: Scenario,
    /// Runs by sow day, line and place in the day's order.
    pub runs: Vec<Run>,
    /// Deliveries by day, field and part.
    pub deliveries: Vec<Delivery>,
    /// Trays washed, by day; days without washing are left out.
    pub washing: Vec<Washing>,
    /// Time bought, by day and crew; only what is bought.
    pub bought: Vec<Bought>,
    /// People and hours by crew and ISO week.
    pub people: Vec<PeopleWeek>,
    /// What is not grown, by field and part.
    pub shortfalls: Vec<Shortfall>,
    /// Term by term.
    pub cost: Cost,
    /// A proved lower bound on cost with the price of trays short, if there is one.
    pub bound: Option<Money>,
    /// What ended the search.
    pub ended_by: EndedBy,
}

/// One kind sown on one day on one line: one set-up, one trial, its stacks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Run {
    /// `R001`, `R002`, … in the order of the plan.
    pub id: String,
    /// The line; none for trays that were sown before the first day, and for seed that is handed over.
    pub line: Option<String>,
    /// The kind.
    pub kind: String,
    /// Soaking begins; none for trays sown before the first day.
    pub soak: Option<Day>,
    /// Seed is drained and begins to sprout; none likewise.
    pub drain: Option<Day>,
    /// Sow day; of seed that is handed over, the day of handing over.
    pub sow: Day,
    /// Place in the line's order of that day, from 1 (0 for trays sown before the first day).
    pub place_in_day: u32,
    /// Trays for fields.
    pub trays: i64,
    /// Trial trays beside them.
    pub trial_trays: i64,
    /// First trays, thrown out because of the kind before; emptied at once, so that they stand nowhere.
    #[serde(default)]
    pub thrown_trays: i64,
    /// Stacks by place. The trial trays stand in the first place listed.
    pub stacks: Vec<RunStacks>,
}

/// Stacks of one run in one place, all opened on one day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RunStacks {
    /// Germination place.
    pub germination: String,
    /// Sown trays, trial trays included.
    pub trays: i64,
    /// Stacks, the last one perhaps not full.
    pub stacks: i64,
    /// Day on which they are opened.
    pub open: Day,
}

/// Seedlings of one part of one field: where they stand and when they are planted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Delivery {
    /// The run that they are sown in.
    pub run: String,
    /// Field.
    pub field: String,
    /// Part of the field, from 1.
    pub part: u32,
    /// Trays that leave for the field, or the trays that handed-over seed is meant for.
    pub trays: i64,
    /// Trays sown for it, when some are lost on the way; none: as many.
    #[serde(default)]
    pub sown: Option<i64>,
    /// Germination place; none for handed-over seed.
    pub germination: Option<String>,
    /// Bed under the first cover; none for what leaves before.
    pub green_bed: Option<String>,
    /// Bed until planting; the same as `green_bed` when they stay where they are.
    pub harden_bed: Option<String>,
    /// Rows of the green bed, from 1, where it has rows.
    #[serde(default)]
    pub green_rows: Vec<u32>,
    /// Rows of the harden bed when it is another bed.
    #[serde(default)]
    pub harden_rows: Vec<u32>,
    /// Out of the stack, into the green bed or away.
    pub open: Day,
    /// First day of hardening.
    pub harden: Day,
    /// Day on which the trays leave, when they wait at the field's edge; none: on `day`.
    #[serde(default)]
    pub leaves: Option<Day>,
    /// Planted, or handed over for what is not planted by us or from here.
    pub day: Day,
    /// Age on that day on the clock of the kind.
    pub age: Age,
    /// Day told to the grower, once it was told.
    pub promised: Option<Day>,
}

impl Delivery {
    /// Trays sown for it.
    pub fn sown(&self) -> i64 {
        self.sown.unwrap_or(self.trays)
    }

    /// Day on which the trays leave the nursery.
    pub fn leaves(&self) -> Day {
        self.leaves.unwrap_or(self.day)
    }
}

/// Trays washed on a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)]
pub struct Washing {
    pub day: Day,
    pub trays: i64,
}

/// What can be bought in this version: people's time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BoughtWhat {
    /// Beyond the shift on a working day.
    Overtime,
    /// People called in on a day off.
    RestDay,
}

/// Time bought for one crew on one day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bought {
    /// Day.
    pub day: Day,
    /// Crew.
    pub crew: String,
    /// What.
    pub what: BoughtWhat,
    /// Whole person-minutes.
    pub minutes: i64,
    /// Price of them.
    pub cost: Money,
}

/// One crew in one ISO week, cut at the horizon.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PeopleWeek {
    /// Crew.
    pub crew: String,
    /// Week.
    pub week: IsoWeek,
    /// Regular staff on its working days, the most on any.
    pub people: i64,
    /// People hired for the week beside them.
    #[serde(default)]
    pub casual: i64,
    /// Person-minutes of work, washing included, rounded up over the week.
    pub needed_minutes: i64,
    /// Person-minutes of the shifts, of people hired too.
    pub shift_minutes: i64,
    /// Person-minutes bought, overtime and days off.
    pub bought_minutes: i64,
}

/// Trays of a part of a field that the plan does not grow.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shortfall {
    /// Field.
    pub field: String,
    /// Part, from 1.
    pub part: u32,
    /// Trays.
    pub trays: i64,
    /// Why, in words.
    pub reason: String,
    /// What would help, in words, when something is known.
    pub help: Option<String>,
    /// Last day on which it can still be decided to grow it: the latest soaking, or the day itself for what grows already; none when no
    /// day would do.
    #[serde(default)]
    pub decide_by: Option<Day>,
}

/// Cost term by term; `total` is money without trays short.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cost {
    /// Age off the target.
    pub age: Money,
    /// Days off the preferred day.
    pub off_preferred: Money,
    /// Waiting at the edges of fields.
    #[serde(default)]
    pub edge: Money,
    /// Moves from bed to bed.
    #[serde(default)]
    pub moves: Money,
    /// Parts of one field from several runs.
    #[serde(default)]
    pub splits: Money,
    /// Set-ups of the lines.
    pub set_ups: Money,
    /// Overtime.
    pub overtime: Money,
    /// Days off worked.
    pub rest_days: Money,
    /// People hired by the week.
    #[serde(default)]
    pub casuals: Money,
    /// Changes of the number of people hired.
    #[serde(default)]
    pub changes: Money,
    /// Planting days moved that had been promised or planned.
    #[serde(default)]
    pub moved: Money,
    /// The sum of the terms above.
    pub total: Money,
    /// Trays not grown.
    pub trays_short: i64,
    /// Price that the search put on each of them, before `sharing` weighs them.
    pub short_per_tray: Money,
    /// Price of all trays short as `sharing` weighs them; none: trays short × the price.
    #[serde(default)]
    pub shortage: Option<Money>,
}

impl Cost {
    /// What the search minimises: money and the price of trays short.
    pub fn with_shortage(&self) -> Money {
        let plain = i128::from(self.trays_short) * i128::from(self.short_per_tray.0);
        let shortage = self.shortage.map_or(plain, |money| i128::from(money.0));
        Money {
            0: fit(i128::from(self.total.0) + shortage),
        }
    }
}

/// What ended the search.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EndedBy {
    /// All moves of the budget were tried.
    Moves,
    /// The plan costs no more than the bound.
    Bound,
    /// There was nothing to decide.
    NothingToDecide,
    /// Stopped by the user or a limit of time: the best plan so far.
    Stopped,
    /// Not searched: the plan was made by hand.
    ByHand,
    /// Not searched: what was decided before holds.
    Kept,
    /// Not searched: the decisions are the answer of another program.
    Given,
}
