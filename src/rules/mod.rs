//! What limits a nursery: one file a rule, and the one list of them.
//!
//! A rule tells what there is day by day ([`Rule::resources`]), what a decision posts on it
//! ([`Rule::postings`]), and how a breach reads in words ([`Resource::label`], [`Rule::meta`]). The
//! relaxation, the search and the words of shortfalls all work from that alone; the audit does not, it
//! counts again by walking. To add a rule: write `src/rules/<name>.rs`, add one line to [`RULES`],
//! and add its count to the audit.

mod agent_store;
mod bed_floor;
mod crew_hours;
mod line_hours;
mod planting_hours;
mod seed_store;
mod soaked_seed;
mod soaking_tank;
mod soil_store;
mod stack_places;
mod tray_stock;
mod vehicles;
mod water;

use crate::calendar::Day;
use crate::nursery::{GrowOption, Nursery, RunId};
use crate::units::Span;

/// What a rule is called and what it promises.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RuleMeta {
    /// Stable short name.
    pub name: &'static str,
    /// One sentence for people.
    pub promise: &'static str,
}

/// A decision, as far as rules see it. Each variant is posted once for each such thing in the plan.
#[derive(Clone, Copy, Debug)]
pub enum What<'a> {
    /// A whole lot grown by this option.
    Option(&'a GrowOption),
    /// The run exists: its trial trays, the trays thrown out at most, what stays in the hopper.
    Run(RunId),
    /// One whole stack of the run in this germination place.
    Stack(RunId, usize),
    /// One millisecond of set-up of this line on this day (index in the horizon).
    SetUp(usize, usize),
    /// One bag of the run's seed ([`crate::nursery::work::bag`]).
    Bag(RunId),
    /// The trial trays of the run stand in this germination place.
    TrialIn(RunId, usize),
}

/// How a posting takes from its resource. Days are indexes in the horizon; what lies outside is cut off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taking {
    /// On every day of the half-open interval.
    Hold(usize, usize),
    /// On one day.
    Take(usize),
    /// Trays leave the clean stock for sowing on this day.
    Out(usize),
    /// Trays are clean again on this morning.
    BackClean(usize),
    /// Trays are back and dirty on this morning.
    BackDirty(usize),
}

/// An amount taken from one of the rule's resources.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Posting {
    /// Index among all resources, see [`Books`].
    pub resource: usize,
    /// When.
    pub taking: Taking,
    /// How much, in the resource's unit.
    pub amount: i64,
}

/// The unit that a resource is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// Milliseconds of line or person time.
    Milliseconds,
    /// Stacks.
    Stacks,
    /// Trays.
    Trays,
    /// Hundredths of a litre of water.
    LitreHundredths,
    /// Microlitres of soil.
    Microlitres,
    /// Tenths of a gram of dry seed.
    SeedTenths,
    /// Hundred-thousandths of a millilitre of an agent.
    AgentParts,
    /// Millionths of a day of all vehicles together.
    FleetMillionths,
}

/// What there is of a resource.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Supply {
    /// An amount for each day.
    Daily {
        /// There, by day of the horizon.
        there: Vec<i64>,
        /// Can be bought besides, by day.
        buyable: Vec<i64>,
        /// Price of a bought hour in thousandths, by day (time only).
        price_per_h: Vec<i64>,
    },
    /// A crew whose number is decided by ISO week: an amount for each day as above, and what a person hired adds.
    Weekly {
        /// There with the regular staff, by day of the horizon.
        there: Vec<i64>,
        /// Can be bought of the regular staff, by day.
        buyable: Vec<i64>,
        /// Price of a bought hour in thousandths, by day.
        price_per_h: Vec<i64>,
        /// People.
        people: Weekly,
    },
    /// One amount for the whole horizon; postings are [`Taking::Take`] on day 0.
    Once(i64),
    /// The tray stock: clean trays, and a queue of dirty ones to be washed.
    Trays(TraySupply),
}

impl Supply {
    /// A store: what is there on the first morning and what has come by each day, `unit` to one of either. Postings hold from
    /// their day to the end of the horizon.
    fn store(
        nursery: &Nursery,
        first: i64,
        deliveries: impl Iterator<Item = (Day, i64)>,
        unit: i64,
    ) -> Supply {
        let deliveries: Vec<(Day, i64)> = deliveries.collect();
        on_days(nursery, |day| {
            let by_then = deliveries.iter().filter(|(came, _)| *came <= day);
            (first + by_then.map(|(_, amount)| amount).sum::<i64>()) * unit
        })
    }
}

/// People of a crew by week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Weekly {
    /// Most people hired at once beside the regular staff.
    pub most: i64,
    /// Thousandths for a person hired and working day.
    pub price_per_day: i64,
    /// Thousandths for each person more than in the week before.
    pub hire: i64,
    /// Thousandths for each person fewer.
    pub release: i64,
    /// Hired already in the week before the first day.
    pub before: i64,
    /// Regular staff, by day of the horizon; 0 on days off.
    pub people: Vec<i64>,
    /// Milliseconds that a person works, by day; 0 on days off.
    pub shift: Vec<i64>,
    /// Milliseconds of overtime that a person hired may be asked for, by day; 0 on days off.
    pub overtime: Vec<i64>,
    /// Most milliseconds a person and week, overtime included.
    pub week_ms: Option<i64>,
}

impl Weekly {
    /// Minutes that may be bought of the crew in a week of those days with `casual` people hired; `None` without a limit.
    pub fn bought_minutes(&self, days: std::ops::Range<usize>, casual: i64) -> Option<i64> {
        Some(self.left_of_week(days, casual)?.max(0) / Span::MINUTE)
    }

    /// Milliseconds that are left for buying in a week of those days with `casual` people hired, below 0 where the shifts alone are too long;
    /// `None` without a limit. Each person more adds the same.
    pub fn left_of_week(&self, days: std::ops::Range<usize>, casual: i64) -> Option<i64> {
        let a_person = self.week_ms?;
        let regular = self.people[days.clone()].iter().max().copied().unwrap_or(0);
        let present: i64 = days
            .map(|day| (self.people[day] + casual) * self.shift[day])
            .sum();
        Some((regular + casual) * a_person - present)
    }
}

/// Trays on the first morning, and how they get clean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TraySupply {
    /// Clean on the first morning.
    pub clean: i64,
    /// Dirty on the first morning.
    pub dirty: i64,
    /// Dirty trays that come back whatever is decided, by day.
    pub back_dirty: Vec<i64>,
    /// Clean trays (lids and bases) that come back whatever is decided, by day.
    pub back_clean: Vec<i64>,
    /// Most trays washed, by day.
    pub wash: Vec<i64>,
    /// Days from washing to use, at least 1, by day of washing.
    pub dry_days: Vec<usize>,
    /// The crew's resource that washing takes time from, and milliseconds a tray.
    pub labour: Option<(usize, i64)>,
}

/// One limited thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Resource {
    /// Index into [`RULES`].
    pub rule: usize,
    /// Its local name: "bed `yard`".
    pub label: String,
    /// Unit of all its amounts.
    pub unit: Unit,
    /// What there is.
    pub supply: Supply,
    /// About how much of it one tray takes: only guides the search, at least 1.
    pub per_tray: i64,
}

/// A limit of a nursery.
pub trait Rule: Sync {
    /// Name and promise.
    fn meta(&self) -> &'static RuleMeta;
    /// Its resources, in the scenario's order. `earlier` holds the resources of the rules listed before.
    fn resources(&self, nursery: &Nursery, earlier: &[Resource]) -> Vec<Resource>;
    /// What `what` takes. `at` is the index of the rule's first resource; others follow in the order of `resources`.
    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>);
}

/// Name of the rule that holds set-ups, and with them the order of kinds.
pub const LINE_HOURS: &str = "line hours";
/// Name of the rule whose resources washing takes time from.
pub const CREW_HOURS: &str = "crew hours";

/// All rules, in the order of reports. Crew hours stand before the tray stock, which takes time from them.
pub static RULES: [&dyn Rule; 13] = [
    &line_hours::LineHours,
    &stack_places::StackPlaces,
    &bed_floor::BedFloor,
    &crew_hours::CrewHours,
    &tray_stock::TrayStock,
    &planting_hours::PlantingHours,
    &vehicles::Vehicles,
    &soaked_seed::SoakedSeed,
    &seed_store::SeedStore,
    &agent_store::AgentStore,
    &soaking_tank::SoakingTank,
    &soil_store::SoilStore,
    &water::Water,
];

/// The resources of all rules for one nursery.
#[derive(Clone, Debug)]
pub struct Books {
    /// Resources, rule after rule.
    pub resources: Vec<Resource>,
    /// Index of the first resource of each rule.
    starts: Vec<usize>,
}

impl Books {
    /// Opens the books of a nursery.
    pub fn open(nursery: &Nursery) -> Books {
        let mut resources: Vec<Resource> = Vec::new();
        let mut starts = Vec::with_capacity(RULES.len());
        for (at, rule) in RULES.iter().enumerate() {
            starts.push(resources.len());
            let own = rule.resources(nursery, &resources);
            resources.extend(own.into_iter().map(|resource| Resource {
                rule: at,
                ..resource
            }));
        }
        Books { resources, starts }
    }

    /// The resources of the rule of that name: empty when there is none.
    pub fn of_rule(&self, name: &str) -> std::ops::Range<usize> {
        let Some(at) = RULES.iter().position(|rule| rule.meta().name == name) else {
            return 0..0;
        };
        let end = self
            .starts
            .get(at + 1)
            .copied()
            .unwrap_or(self.resources.len());
        self.starts[at]..end
    }

    /// Everything that `what` takes, of all rules. Amounts are never zero.
    pub fn postings(&self, nursery: &Nursery, what: What<'_>) -> Vec<Posting> {
        let mut out = Vec::new();
        for (rule, at) in RULES.iter().zip(&self.starts) {
            rule.postings(nursery, *at, what, &mut out);
        }
        out.retain(|posting| posting.amount != 0);
        out
    }
}

/// How rules post: days outside the horizon are cut off.
impl Posting {
    fn hold(
        nursery: &Nursery,
        resource: usize,
        from: Day,
        until: Day,
        amount: i64,
    ) -> Option<Posting> {
        let inside = |day: Day| day.since(nursery.first).clamp(0, nursery.days as i32) as usize;
        let (from, until) = (inside(from), inside(until));
        (from < until).then_some(Posting {
            resource,
            taking: Taking::Hold(from, until),
            amount,
        })
    }

    fn on(
        nursery: &Nursery,
        resource: usize,
        day: Day,
        taking: fn(usize) -> Taking,
        amount: i64,
    ) -> Option<Posting> {
        nursery.index(day).map(|day| Posting {
            resource,
            taking: taking(day),
            amount,
        })
    }
}

/// A supply of so much on each day, of which no more can be bought.
fn on_days(nursery: &Nursery, there: impl Fn(Day) -> i64) -> Supply {
    Supply::Daily {
        there: (0..nursery.days).map(|at| there(nursery.day(at))).collect(),
        buyable: vec![0; nursery.days],
        price_per_h: vec![0; nursery.days],
    }
}
