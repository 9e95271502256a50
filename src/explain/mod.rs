//! Why a plan is as it is, part by part: how each is grown, which other days it could have and at what price, what excludes the rest.
//!
//! [`all`] and [`one`] take a plan's data back to the decisions behind it, build the books of the planner once, and try every allowed way
//! of a part beside all the rest as it stands: what costs more is the difference of the books, what does not fit names the limit, the day
//! and who stands there. A plan made by hand may decide what no rule allows; that is said and left out of what stands beside the others.
//!
//! [`which`] finds the part that somebody names; [`types`] is what comes out; [`words`] says why days are excluded.

mod days;
mod ledgers;
mod price;
mod story;
pub mod types;
mod which;
pub mod words;

pub use types::*;
pub use which::{NoSuchPart, which};

use crate::calendar::Day;
use crate::nursery::RunId;
use crate::nursery::{LotId, Nursery, Retold};
use crate::plan::view::{PlanError, PlanView};
use crate::plan::{Delivery, Plan};
use crate::solve::decided::option_of;
use crate::solve::polish::Choice;
use crate::solve::state::{Ground, State};
use ledgers::Occupied;
use price::Reading;
use std::collections::BTreeMap;
use words::Teller;

/// Every part of every field, in the order of fields and parts.
///
/// # Errors
/// [`PlanError`] when the plan contradicts its own scenario.
pub fn all(plan: &Plan) -> Result<Vec<Explained>, PlanError> {
    let mut told = Vec::new();
    each(plan, |one| told.push(one))?;
    Ok(told)
}

/// The same one by one, for who keeps only some of it: where much stands in the way, a part is told at length.
///
/// # Errors
/// [`PlanError`] when the plan contradicts its own scenario.
pub fn each(plan: &Plan, mut take: impl FnMut(Explained)) -> Result<(), PlanError> {
    at_desk(plan, |desk| {
        let lots = (0..desk.planned.len()).map(LotId);
        lots.for_each(|lot| take(desk.explain(lot, None)));
    })
}

/// One part of one field, with the day asked for among its days; none when the plan has no such part.
///
/// # Errors
/// [`PlanError`] when the plan contradicts its own scenario.
pub fn one(
    plan: &Plan,
    (field, part): (&str, u32),
    asked: Option<Day>,
) -> Result<Option<Explained>, PlanError> {
    at_desk(plan, |desk| {
        let lot = desk.ground.nursery.lot_of(field, part)?;
        Some(desk.explain(lot, asked))
    })
}

/// What is built once for all parts.
struct Desk<'p, 'g> {
    plan: &'p Plan,
    ground: &'g Ground<'g>,
    /// The plan's decisions, between one question and the next.
    state: State<'g>,
    /// What the plan costs, and the price of what it goes beyond limits: nothing but in plans made by hand.
    base: Reading,
    allowed: i64,
    /// What it goes beyond, by resource and day.
    over: BTreeMap<(usize, usize), i64>,
    occupied: Occupied,
    retold: Retold<'g>,
    /// By lot: what the plan says of it.
    planned: Vec<Option<&'p Delivery>>,
    /// The plan's name of each run that it has.
    runs: BTreeMap<RunId, String>,
    /// Lots that the plan grows in a way that is no option.
    strange: Vec<LotId>,
}

fn at_desk<T>(plan: &Plan, ask: impl FnOnce(&mut Desk<'_, '_>) -> T) -> Result<T, PlanError> {
    PlanView::new(plan)?;
    let nursery = Nursery::new(&plan.scenario);
    let ground = Ground::new(&nursery);
    let (planned, choice) = decisions(&nursery, plan);
    let mut state = State::of(&ground, &choice);
    let mut runs = BTreeMap::new();
    let mut strange = Vec::new();
    for (lot, delivery) in planned.iter().enumerate() {
        match (delivery, choice[lot]) {
            (Some(delivery), Some(id)) => {
                runs.insert(nursery.option(id).run, delivery.run.clone());
            }
            (Some(_), None) => strange.push(LotId(lot)),
            (None, _) => {}
        }
    }
    let allowed = state.beyond();
    let mut desk = Desk {
        plan,
        ground: &ground,
        base: Reading::of(&state),
        allowed,
        over: ledgers::over(&mut state),
        occupied: Occupied::new(&state),
        retold: Retold::new(&nursery),
        state,
        planned,
        runs,
        strange,
    };
    Ok(ask(&mut desk))
}

/// What the plan says of each lot, and the option that it is.
fn decisions<'p>(nursery: &Nursery, plan: &'p Plan) -> (Vec<Option<&'p Delivery>>, Choice) {
    let runs: BTreeMap<&str, _> = plan.runs.iter().map(|run| (run.id.as_str(), run)).collect();
    let mut planned: Vec<Option<&Delivery>> = vec![None; nursery.lots.len()];
    let mut choice: Choice = vec![None; nursery.lots.len()];
    let lots = (0..nursery.lots.len()).map(LotId);
    let of_part: BTreeMap<(&str, u32), LotId> =
        lots.map(|lot| (nursery.part_of(lot), lot)).collect();
    for delivery in &plan.deliveries {
        let Some(lot) = of_part.get(&(delivery.field.as_str(), delivery.part)) else {
            continue;
        };
        // A part from two runs is no option either.
        let is_second = planned[lot.0].replace(delivery).is_some();
        choice[lot.0] = None;
        if let (false, Some(run)) = (is_second, runs.get(delivery.run.as_str())) {
            let sown = (run.sow, run.line.as_deref());
            choice[lot.0] = option_of(nursery, *lot, delivery, sown);
        }
    }
    (planned, choice)
}

impl Desk<'_, '_> {
    fn explain(&mut self, lot: LotId, asked: Option<Day>) -> Explained {
        let nursery = self.ground.nursery;
        let wanted = nursery.lot(lot);
        let field = &nursery.scenario.fields[wanted.field];
        let short = self.plan.shortfalls.iter();
        let (window, days) = self.days(lot, asked);
        Explained {
            field: field.id.clone(),
            part: wanted.part,
            name: ledgers::name(nursery, lot),
            grower: field.grower.clone(),
            kind: field.kind.clone(),
            stage: field.stage,
            trays: wanted.leaving,
            story: self.story(lot, window),
            short: short
                .filter(|short| short.field == field.id && short.part == wanted.part)
                .find(|_| self.planned[lot.0].is_none())
                .cloned(),
            remarks: self.remarks(lot),
            window,
            days,
            binds: self.occupied.binds(&self.state, lot),
        }
    }

    /// True when the plan's books hold the lot, so that differences can be told.
    fn comparable(&self, lot: LotId) -> bool {
        !self.strange.contains(&lot)
    }

    fn remarks(&self, lot: LotId) -> Vec<String> {
        let mut all = match self.planned[lot.0] {
            Some(delivery) => self.differs(lot, delivery),
            None => Vec::new(),
        };
        let others = self.strange.iter().filter(|other| **other != lot).count();
        if others > 0 {
            let parts = match others {
                1 => "1 other part is grown".to_string(),
                many => format!("{many} other parts are grown"),
            };
            all.push(format!(
                "{parts} in a way that no rule allows, and not counted beside it; `audit` says more"
            ));
        }
        if self.allowed > 0 {
            all.push(
                "the plan itself goes beyond limits: a day fits here if it makes that no worse; \
                 `audit` says more"
                    .into(),
            );
        }
        all
    }

    fn teller<'s>(&self, lot: LotId) -> Teller<'s>
    where
        Self: 's,
    {
        let nursery = self.ground.nursery;
        let scenario = &nursery.scenario;
        let wanted = nursery.lot(lot);
        let field = &scenario.fields[wanted.field];
        let mut pins = scenario.pins.iter();
        Teller {
            scenario,
            field,
            kind: &scenario.kinds[wanted.kind],
            pin: pins.find(|pin| pin.field == field.id && pin.part == wanted.part),
        }
    }
}
