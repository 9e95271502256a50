//! An order that is asked for on top of all others: on which days it could be planted, how much of it, and at what cost.

use super::ways::{money, whatever_it_takes};
use crate::calendar::Day;
use crate::disrupt::Present;
use crate::disrupt::replan::decisions;
use crate::nursery::{LotId, Nursery, OptionId};
use crate::plan::Plan;
use crate::solve::list;
use crate::solve::state::{Ground, State};
use crate::units::{Hectares, Money};
use serde::Serialize;
use std::collections::BTreeSet;

/// An order asked for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Asked {
    /// Field.
    pub field: String,
    /// Kind.
    pub kind: String,
    /// Area, ha.
    pub ha: Hectares,
    /// Trays.
    pub trays: i64,
    /// In so many parts.
    pub parts: u32,
    /// Every day on which it could be planted at all, with nothing else moved.
    pub days: Vec<AskedDay>,
    /// Trays that the mended plan grows for it.
    pub mended: i64,
    /// Its planting days there.
    pub mended_days: Vec<Day>,
}

/// One day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AskedDay {
    /// The day.
    pub day: Day,
    /// Parts of it that go on that day beside all that is decided.
    pub parts: u32,
    /// Their area, ha.
    pub ha: Hectares,
    /// Their trays.
    pub trays: i64,
    /// What they cost more.
    pub cost: Money,
    /// Last day on which seed for one part can be put to soak.
    pub soak_by: Option<Day>,
    /// What the next part would overfill; empty when all of it goes.
    pub in_the_way: Vec<String>,
}

/// The days of a field, with what is decided left as it is.
pub(super) fn asked(present: &Present, field: &str, mended: &Plan) -> Option<Asked> {
    let scenario = &present.scenario;
    let order = scenario.fields.iter().find(|one| one.id == field)?;
    let nursery = Nursery::new(&whatever_it_takes(scenario));
    let ground = Ground::new(&nursery);
    let start = decisions(&nursery, present);
    let mut state = State::of(&ground, &start);
    let all = (0..nursery.lots.len()).map(LotId);
    let lots: Vec<LotId> = all.filter(|lot| nursery.part_of(*lot).0 == field).collect();
    let options = lots.iter().flat_map(|lot| nursery.options_of(*lot));
    let days: BTreeSet<Day> = options.map(|id| nursery.option(id).plant).collect();
    let days = days
        .into_iter()
        .map(|day| on_day(&mut state, &lots, day))
        .collect();
    let planned = mended.deliveries.iter().filter(|one| one.field == field);
    let days_then: BTreeSet<Day> = planned.clone().map(|one| one.day).collect();
    Some(Asked {
        field: field.to_string(),
        kind: order.kind.clone(),
        ha: order.area_ha,
        trays: lots.iter().map(|lot| nursery.lot(*lot).leaving).sum(),
        parts: order.parts,
        days,
        mended: planned.map(|one| one.trays).sum(),
        mended_days: days_then.into_iter().collect(),
    })
}

/// As many parts as go on that day; the state is left as it was.
fn on_day(state: &mut State<'_>, lots: &[LotId], day: Day) -> AskedDay {
    let nursery = state.ground().nursery;
    let (before, beyond) = (money(state), state.beyond());
    let mut found = AskedDay {
        day,
        parts: 0,
        ha: Hectares { 0: 0 },
        trays: 0,
        cost: Money::ZERO,
        soak_by: None,
        in_the_way: Vec::new(),
    };
    for lot in lots {
        let options: Vec<OptionId> = nursery
            .options_of(*lot)
            .filter(|id| nursery.option(*id).plant == day)
            .collect();
        let over = |state: &mut State<'_>, id: OptionId| {
            state.set(*lot, Some(id));
            let over = (state.beyond() - beyond).max(0);
            state.set(*lot, None);
            over
        };
        let fits: Vec<OptionId> = options
            .iter()
            .copied()
            .filter(|id| over(state, *id) == 0)
            .collect();
        if fits.is_empty() {
            let nearest = options.iter().min_by_key(|id| over(state, **id));
            if let Some(id) = nearest {
                state.set(*lot, Some(*id));
                found.in_the_way = super::ways::in_the_way(state);
                state.set(*lot, None);
            }
            break;
        }
        let soaks = fits.iter().filter_map(|id| {
            let seed = nursery.run(nursery.option(*id).run).seed()?;
            seed.batch.is_none().then_some(seed.soak)
        });
        found.soak_by = found.soak_by.max(soaks.max());
        // Where nothing is overfull already, the cheapest way; else the first that adds nothing to it.
        if !list::insert(state, *lot, |id| fits.contains(&id)) {
            state.set(*lot, fits.first().copied());
        }
        let one = nursery.lot(*lot);
        found.parts += 1;
        found.trays += one.leaving;
        found.ha.0 += one.area_m2;
    }
    found.cost = Money {
        0: money(state) - before,
    };
    for lot in lots {
        state.set(*lot, None);
    }
    found
}
