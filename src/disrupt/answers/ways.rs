//! On which days a part could be planted beside all that is planned, at what cost, and what is in the way on the others.

use crate::calendar::Day;
use crate::disrupt::Present;
use crate::disrupt::present::Decided;
use crate::nursery::{LotId, OptionId};
use crate::plan::{Plan, Run};
use crate::scenario::Scenario;
use crate::solve::state::State;
use crate::units::Money;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// One planting day of a part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PlantingDay {
    /// The day.
    pub day: Day,
    /// True when it goes beside all that is planned.
    pub fits: bool,
    /// What is in the way, when it does not.
    pub in_the_way: Vec<String>,
    /// Money more than without the part; less when it makes something cheaper.
    pub cost: Money,
    /// Last day on which seed can be put to soak for it; none for what grows or soaks already.
    pub soak: Option<Day>,
    /// Sow day of that way.
    pub sow: Day,
}

/// The planting days of a lot that its window, its water, its age and the calendars leave, each with the best way to it; the state is left as
/// it was. A later soaking counts when it fits too.
pub(super) fn planting_days_of(state: &mut State<'_>, lot: LotId) -> Vec<PlantingDay> {
    let nursery = state.ground().nursery;
    let was = state.choice()[lot.0];
    state.set(lot, None);
    let (beyond, money) = (state.beyond(), money(state));
    let mut best: BTreeMap<Day, (i64, i64, OptionId)> = BTreeMap::new();
    let mut last_soak: BTreeMap<Day, Day> = BTreeMap::new();
    for id in nursery.options_of(lot) {
        let option = nursery.option(id);
        state.set(lot, Some(id));
        let over = (state.beyond() - beyond).max(0);
        let found = (over, self::money(state) - money, id);
        let kept = best.entry(option.plant).or_insert(found);
        *kept = found.min(*kept);
        let seed = nursery.run(option.run).seed();
        let soak = seed.filter(|seed| seed.batch.is_none() && over == 0);
        if let Some(seed) = soak {
            let last = last_soak.entry(option.plant).or_insert(seed.soak);
            *last = seed.soak.max(*last);
        }
    }
    let days: Vec<PlantingDay> = best
        .into_iter()
        .map(|(day, (over, cost, id))| {
            state.set(lot, Some(id));
            let run = nursery.run(nursery.option(id).run);
            PlantingDay {
                day,
                fits: over == 0,
                in_the_way: if over == 0 {
                    Vec::new()
                } else {
                    in_the_way(state)
                },
                cost: Money { 0: cost },
                soak: last_soak.get(&day).copied(),
                sow: run.sow,
            }
        })
        .collect();
    state.set(lot, was);
    days
}

/// The scenario at a price of trays short above which nothing else is dear: people are hired for what else would go beyond their hours.
pub(super) fn whatever_it_takes(scenario: &Scenario) -> Scenario {
    let mut scenario = scenario.clone();
    scenario.prices.short_per_tray = Some(Money::whole(10_000));
    scenario
}

/// Money without the price of trays short.
pub(super) fn money(state: &mut State<'_>) -> i64 {
    state.beyond();
    state.money() - state.terms().shortage
}

/// What is overfull, by its local name.
pub(super) fn in_the_way(state: &mut State<'_>) -> Vec<String> {
    let over = state.overfull();
    let books = &state.ground().books;
    let labels = over
        .into_iter()
        .map(|(at, ..)| books.resources[at].label.clone());
    let mut labels: Vec<String> = labels.collect::<BTreeSet<_>>().into_iter().collect();
    if !state.small_runs().is_empty() {
        labels.push("the least run of the kind".into());
    }
    labels
}

/// The same morning, with what a plan of the rest has decided.
pub(super) fn decided_by(present: &Present, plan: &Plan) -> Present {
    let runs: BTreeMap<&str, &Run> = plan.runs.iter().map(|run| (run.id.as_str(), run)).collect();
    let deliveries = plan.deliveries.iter();
    let decided = deliveries.filter_map(|one| {
        let run = runs.get(one.run.as_str())?;
        Some(Decided {
            delivery: one.clone(),
            sow: run.sow,
            line: run.line.clone(),
            soak: run.soak,
            run: run.id.clone(),
        })
    });
    Present {
        decided: decided.collect(),
        ..present.clone()
    }
}

/// Grower of a field, and whether it is the pooled spare.
pub(super) fn grower(scenario: &Scenario, field: &str) -> (String, bool) {
    let mut fields = scenario.fields.iter();
    fields
        .find(|one| one.id == field)
        .map_or((String::new(), false), |one| {
            (one.grower.clone(), one.spare)
        })
}
