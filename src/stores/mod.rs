//! What a plan takes of each store day by day, and what must be bought: how much, and by when at the latest.
//!
//! It follows from the plan alone. Seed and agents are taken when seed goes to soak, soil when it is sown, as `docs/COUNTING.md` counts
//! stores: whole bags, what stays in the hopper, trial trays, and trays thrown out at most. That is *set aside*. What
//! the day sheets put on the line, with the trays really thrown out and without what is left of a bag, is *used*. Batches of
//! `opening.soaked` come out of no store.
//!
//! What is missing is ordered month by month, since nobody likes to store it twice and nobody orders every day: one order for
//! each month, in whole lots, here on the first day that lacks something. A thing without a store has none on the first morning
//! and nothing on order: all of it is bought.

mod amount;
mod curve;
mod goods;
mod takes;
pub mod tray_days;

pub use amount::{Amount, Unit};

use crate::calendar::Day;
use crate::plan::Plan;
use crate::plan::view::{PlanError, PlanView};
use curve::{Curve, Dated};
use goods::Good;
use serde::Serialize;
use std::collections::BTreeMap;

/// Days from the beginning of a germination test to the first soaking: three weeks, so that seed can still be changed. *Source*: from memory.
pub const TEST_AHEAD: i32 = 21;

/// Days after which a germination test is read at the latest. *Source*: from memory.
pub const TEST_DAYS: i32 = 14;

/// What a plan needs of each thing in store, and when.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Needs {
    /// Seed by kind, soil by mix, agents, in the order of the scenario.
    pub items: Vec<Item>,
    /// Of the kinds of which seed goes to soak.
    pub germination_tests: Vec<GerminationTest>,
}

/// A thing that comes out of a store.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "of", rename_all = "snake_case")]
pub enum What {
    /// Dry seed.
    Seed {
        /// Of this kind.
        kind: String,
    },
    /// Soil of a mix, as bed soil, cover soil or both.
    Soil {
        /// Its store, or the name that stands in a kind.
        mix: String,
    },
    /// Bed soil of kinds that name no mix.
    BedSoil,
    /// Cover soil of kinds that name no mix.
    CoverSoil,
    /// An agent for treating seed.
    Agent {
        /// Its store, or the name that stands in a kind.
        agent: String,
    },
}

impl What {
    /// What it is measured in.
    pub fn unit(&self) -> Unit {
        match self {
            What::Seed { .. } => Unit::Kilograms,
            What::Agent { .. } => Unit::Millilitres,
            _ => Unit::Litres,
        }
    }
}

/// One thing: what there is, what is taken, what is bought. Amounts are in `unit`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Item {
    /// What.
    pub what: What,
    /// Local name.
    pub name: String,
    /// Unit of all amounts.
    pub unit: Unit,
    /// The scenario has a store of it.
    pub has_store: bool,
    /// Days from ordering to being here.
    pub lead_days: i32,
    /// Bought in lots of so much; none: in any amount.
    pub lot: Option<Amount>,
    /// On the first morning.
    pub in_store: Amount,
    /// Comes inside the horizon without being ordered again.
    pub on_order: Amount,
    /// Run by run, in the order of the plan.
    pub uses: Vec<Use>,
    /// Sum of what is set aside.
    pub set_aside: Amount,
    /// Sum of what is used.
    pub used: Amount,
    /// Samples and reserves of seed, by season.
    pub kept: Vec<Kept>,
    /// From which day on the plan takes more than has come; none: never.
    pub runs_dry: Option<RunsDry>,
    /// What to buy, by month.
    pub orders: Vec<Order>,
    /// After the last day, with all that is ordered here.
    pub left: Amount,
    /// What the trays not grown would take, for whatever reason they are not.
    pub not_grown: Option<NotGrown>,
}

/// What one run takes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Use {
    /// Run.
    pub run: String,
    /// Soak day of seed and agents, sow day of soil.
    pub day: Day,
    /// As stores are counted.
    pub set_aside: Amount,
    /// As the day sheets say it.
    pub used: Amount,
}

/// What seed is kept for beside the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum KeptFor {
    /// Kept until harvest, to be looked into if something goes wrong.
    Sample,
    /// To sow again.
    Reserve,
}

/// Seed of a season that is not sown by the plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Kept {
    /// What for.
    pub kept_for: KeptFor,
    /// Local name of the season; none where fields name none.
    pub season: Option<String>,
    /// From the first soaking of the season on.
    pub day: Day,
    /// How much.
    pub amount: Amount,
}

/// A store that is too small for the plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RunsDry {
    /// The first day that lacks something.
    pub from: Day,
    /// The most that is missing on any day.
    pub missing: Amount,
}

/// One purchase.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Order {
    /// The latest day to order.
    pub by: Day,
    /// The day on which it is first missing.
    pub needed: Day,
    /// Missing for the plan.
    pub for_plan: Amount,
    /// Missing for samples and reserves.
    pub for_besides: Amount,
    /// Whole lots; none: sold in any amount.
    pub lots: Option<i64>,
    /// What is bought.
    pub amount: Amount,
}

/// What trays that are not grown would take, without trial trays, whole bags and what stays in a hopper.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotGrown {
    /// Trays that would leave.
    pub trays: i64,
    /// What they would take.
    pub amount: Amount,
    /// Of it, what is not there even when all that is left is given to them.
    pub missing: Amount,
}

/// A test of how much of the seed germinates, before any goes to soak.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct GerminationTest {
    /// Kind.
    pub kind: String,
    /// Local name of the kind.
    pub name: String,
    /// Begun at the latest.
    pub begin: Day,
    /// Read at the latest, when it is begun on that day.
    pub read: Day,
    /// The first soaking.
    pub first_soaking: Day,
}

/// What `plan` needs of each thing in store, and what must be bought beyond what is there and on order.
///
/// # Errors
/// [`PlanError`] when a name or a number in the plan cannot be worked with.
///
/// ```
/// use sowrota::{plan::file::load, stores};
/// use std::path::Path;
///
/// # fn print() -> Result<(), Box<dyn std::error::Error>> {
/// for item in stores::needs(&load(Path::new("out/village"))?)?.items {
///     for order in item.orders {
///         println!("{}: {} {} by {}", item.name, order.amount, item.unit.sign(), order.by);
///     }
/// }
/// # Ok(())
/// # }
/// ```
pub fn needs(plan: &Plan) -> Result<Needs, PlanError> {
    let view = PlanView::new(plan)?;
    let goods = goods::all(&view);
    let items = goods.into_iter().map(|good| item(&view, good));
    let items =
        items.filter(|item| item.has_store || !item.uses.is_empty() || item.not_grown.is_some());
    Ok(Needs {
        items: items.collect(),
        germination_tests: germination_tests(&view),
    })
}

fn item(view: &PlanView<'_>, good: Good) -> Item {
    let (horizon, unit) = (view.plan.scenario.horizon, good.what.unit());
    let of = |parts| Amount { unit, parts };
    let uses = takes::of_plan(view, &good.what);
    let kept = kept(view, &good, &uses);
    let came: Vec<Dated> = [(horizon.first, good.in_store)]
        .into_iter()
        .chain(good.deliveries.iter().copied())
        .collect();
    let taken: Vec<Dated> = uses
        .iter()
        .map(|one| (one.day, one.set_aside.parts))
        .collect();
    let besides: Vec<Dated> = kept.iter().map(|one| (one.day, one.amount.parts)).collect();
    let curve = Curve::new(unit, horizon, &came, &taken, &besides);
    let orders = curve.orders(good.lot, good.lead_days);
    let left = curve.left(&orders);
    let in_time = good
        .deliveries
        .iter()
        .filter(|(day, _)| *day <= horizon.last);
    let (trays, amount) = takes::of_shortfalls(view, &good.what);
    Item {
        unit,
        name: good.name,
        has_store: good.has_store,
        lead_days: good.lead_days,
        lot: good.lot.map(of),
        in_store: of(good.in_store),
        on_order: of(in_time.map(|(_, parts)| parts).sum()),
        set_aside: of(uses.iter().map(|one| one.set_aside.parts).sum()),
        used: of(uses.iter().map(|one| one.used.parts).sum()),
        uses,
        kept,
        runs_dry: curve.dry().map(|dry| RunsDry {
            from: dry.from,
            missing: of(dry.missing),
        }),
        orders,
        left: of(left),
        not_grown: (trays > 0).then(|| NotGrown {
            trays,
            amount: of(amount),
            missing: of((amount - left).max(0)),
        }),
        what: good.what,
    }
}

/// Sample and reserve of each season, from its first soaking on. A run counts to the season of its first part.
fn kept(view: &PlanView<'_>, good: &Good, uses: &[Use]) -> Vec<Kept> {
    let scenario = &view.plan.scenario;
    let mut seasons: BTreeMap<Option<&str>, (Day, i128)> = BTreeMap::new();
    for one in uses {
        let run = view.runs.iter().find(|run| run.run.id == one.run);
        let part = run.and_then(|run| run.parts.first());
        let season = part.and_then(|part| part.field.season.as_deref());
        let (day, parts) = seasons.entry(season).or_insert((one.day, 0));
        *day = one.day.min(*day);
        *parts += one.set_aside.parts;
    }
    let mut seasons: Vec<_> = seasons.into_iter().collect();
    seasons.sort_by_key(|(_, (day, _))| *day);
    let mut all = Vec::new();
    for (season, (day, parts)) in seasons {
        let named = season.map(|id| {
            let mut known = scenario.seasons.iter();
            known
                .find(|season| season.id == id)
                .map_or(id, |season| &season.name)
                .to_string()
        });
        let share = parts * i128::from(good.reserve_share.0);
        for (kept_for, parts) in [
            (KeptFor::Sample, good.sample),
            (KeptFor::Reserve, amount::up(share, 1_000_000)),
        ] {
            if parts > 0 {
                let unit = good.what.unit();
                all.push(Kept {
                    kept_for,
                    season: named.clone(),
                    day,
                    amount: Amount { unit, parts },
                });
            }
        }
    }
    all
}

fn germination_tests(view: &PlanView<'_>) -> Vec<GerminationTest> {
    let scenario = &view.plan.scenario;
    let test = |kind: &crate::scenario::Kind| {
        let runs = view.runs.iter().filter(|run| run.kind.id == kind.id);
        let days = runs.filter_map(|run| takes::fresh_from(scenario, run));
        let first_soaking = days.min()?;
        let begin = first_soaking.plus(-TEST_AHEAD);
        Some(GerminationTest {
            kind: kind.id.clone(),
            name: kind.name.clone(),
            begin,
            read: begin.plus(TEST_DAYS),
            first_soaking,
        })
    };
    scenario.kinds.iter().filter_map(test).collect()
}
