//! An order that is asked for, as a field of the scenario.

use super::event::{Event, EventError};
use super::shares::field;
use crate::calendar::DayRange;
use crate::scenario::trays::of_field;
use crate::scenario::{Field, HandOver, MatsPerHectare, OrderState, Scenario, is_id};
use crate::units::{Fixed, Share, div_up};

/// Most parts of a field.
const MOST_PARTS: i64 = 50;

/// Adds the field that an [`Event::Take`] asks for.
pub(super) fn take(
    scenario: &mut Scenario,
    event: &Event,
    unknown: &dyn Fn(&'static str, &str) -> EventError,
) -> Result<(), EventError> {
    let Event::Take {
        kind,
        ha,
        days,
        grower,
        field: id,
        mats,
        parts,
        planter,
    } = event
    else {
        return Ok(());
    };
    let known = scenario.kinds.iter().any(|one| one.id == *kind);
    known.then_some(()).ok_or_else(|| unknown("kind", kind))?;
    if let Some(id) = planter {
        let known = scenario.planters.iter().any(|one| one.id == *id);
        known.then_some(()).ok_or_else(|| unknown("planter", id))?;
    }
    let wrong = |why: String| Err(EventError::Number(why));
    if !is_id(id) {
        return wrong(format!(
            "`{id}` cannot name a field: letters, digits, `-`, `_` and `.`, at most 40"
        ));
    }
    if field(scenario, id).is_some() || scenario.not_firm.iter().any(|one| one.id == *id) {
        return wrong(format!(
            "there is a field `{id}` already: give another name with `field=`"
        ));
    }
    if ha.0 < 1 || ha.0 > 1_000 * 10_000 {
        return wrong(format!(
            "{ha} ha: an order is for more than 0 and up to 1000 ha"
        ));
    }
    let rest = scenario.horizon;
    if days.last < rest.first || days.last > rest.last {
        return Err(EventError::Past { days: *days, rest });
    }
    let days = &DayRange {
        first: days.first.max(rest.first),
        ..*days
    };
    let per_ha = match mats {
        Some(mats) => Some(mats.0),
        None => usual(scenario, kind),
    };
    let Some(per_ha) = per_ha.filter(|mats| (1..=100_000).contains(mats)) else {
        return wrong(format!(
            "nothing says how many trays of `{kind}` a hectare takes: give `mats=`, more than 0 and up to 1000"
        ));
    };
    // Hectares count in square metres, trays a hectare in hundredths.
    let trays = div_up(ha.0 * per_ha, 10_000 * 100);
    let usual_parts = div_up(ha.0, 10_000).min(MOST_PARTS);
    let parts = i64::from(parts.unwrap_or(usual_parts as u32));
    if !(1..=MOST_PARTS).contains(&parts) || trays < parts {
        return wrong(format!(
            "{trays} trays cannot be grown in {parts} parts: 1 to {MOST_PARTS}, of a tray or more each"
        ));
    }
    let mut seasons = scenario.seasons.iter();
    let season = seasons
        .find(|season| season.span.contains(days.first) && season.span.contains(days.last))
        .map(|season| season.id.clone());
    let order = Field {
        id: id.clone(),
        grower: grower.clone(),
        area_ha: *ha,
        kind: kind.clone(),
        season,
        window: vec![*days],
        preferred: None,
        mats: MatsPerHectare::Given(Fixed(per_ha)),
        reserve: Share { 0: 0 },
        parts: parts as u32,
        planter: planter.clone(),
        closed: Vec::new(),
        block: None,
        harvest_before: None,
        harvest_first_days: 0,
        harvest_last_days: None,
        ready: true,
        collected: false,
        lifted: false,
        trays: Some(trays),
        state: OrderState::Firm,
        ordered: Some(scenario.horizon.first),
        stage: HandOver::Seedlings,
        edge_days: 0,
        travel_group: None,
        spare: false,
    };
    let at = scenario.fields.partition_point(|one| one.id < order.id);
    scenario.fields.insert(at, order);
    Ok(())
}

/// The middle of the trays a hectare that are ordered of a kind, margin included, hundredths.
fn usual(scenario: &Scenario, kind: &str) -> Option<i64> {
    let fields = scenario.fields.iter().chain(&scenario.not_firm);
    let of_kind = fields.filter(|one| one.kind == kind && one.area_ha.0 > 0 && !one.spare);
    let mut all: Vec<i64> = of_kind
        .map(|one| div_up(of_field(one).total * 10_000 * 100, one.area_ha.0))
        .collect();
    all.sort_unstable();
    all.get(all.len() / 2).copied()
}
