//! Why a lot is not grown, in words, and what would help.

use super::state::State;
use crate::nursery::{LotId, OptionId};
use crate::plan::Shortfall;
use crate::rules::Unit;
use crate::units::{Span, div_up};
use std::collections::BTreeMap;

/// Every lot that is not grown, by field and part, with its reason.
pub fn all(state: &mut State<'_>) -> Vec<Shortfall> {
    let nursery = state.ground().nursery;
    let short = (0..nursery.lots.len())
        .map(LotId)
        .filter(|lot| state.choice()[lot.0].is_none());
    let short: Vec<LotId> = short.collect();
    short
        .into_iter()
        .map(|id| {
            let (reason, help) = why(state, id);
            let lot = nursery.lot(id);
            let field = nursery.scenario.fields[lot.field].id.clone();
            Shortfall {
                field,
                part: lot.part,
                trays: lot.trays,
                reason,
                help,
                decide_by: None,
            }
        })
        .collect()
}

/// The reason, and what would help.
fn why(state: &mut State<'_>, lot: LotId) -> (String, Option<String>) {
    let nursery = state.ground().nursery;
    if nursery.of_lot[lot.0].is_empty() {
        let kind = &nursery.scenario.kinds[nursery.lot(lot).kind];
        let field = &nursery.scenario.fields[nursery.lot(lot).field];
        return (nursery.stories[lot.0].why_none(field, kind), None);
    }
    let ground = state.ground();
    let alone = survey(&mut State::new(ground), lot);
    if alone.lack.is_some() {
        let reason = format!("it never fits, whatever else is planned: {}", alone.words);
        return (reason, alone.lack);
    }
    let beside = survey(state, lot);
    if beside.lack.is_none() {
        let reason = "growing it would cost more than the price of the trays short";
        return (reason.into(), None);
    }
    (
        format!("beside the rest of the plan {}", beside.words),
        beside.lack,
    )
}

/// How a lot's options fare in a state.
struct Survey {
    /// What its options overfill, in words.
    words: String,
    /// What the nearest option lacks; none when some option fits.
    lack: Option<String>,
}

/// Tries every option of a lot that is not grown in `state`, and leaves the state as it was.
fn survey(state: &mut State<'_>, lot: LotId) -> Survey {
    let ground = state.ground();
    let mut by_resource: BTreeMap<usize, usize> = BTreeMap::new();
    let mut nearest: Option<(i64, OptionId)> = None;
    let options: Vec<OptionId> = ground.nursery.options_of(lot).collect();
    for option in options.iter().copied() {
        state.set(lot, Some(option));
        let beyond = state.beyond();
        for (resource, ..) in state.overfull() {
            *by_resource.entry(resource).or_default() += 1;
        }
        if nearest.is_none_or(|(least, _)| beyond < least) {
            nearest = Some((beyond, option));
        }
    }
    let lack = nearest
        .filter(|(beyond, _)| *beyond > 0)
        .map(|(_, option)| {
            state.set(lot, Some(option));
            help(state, option)
        });
    state.set(lot, None);
    state.beyond();
    let mut full: Vec<(usize, usize)> = by_resource.into_iter().collect();
    full.sort_by_key(|(resource, count)| (std::cmp::Reverse(*count), *resource));
    let resources = &ground.books.resources;
    let names: Vec<String> = full
        .iter()
        .take(3)
        .map(|(resource, count)| match options.len() {
            1 => resources[*resource].label.clone(),
            _ => format!("{} (in {count})", resources[*resource].label),
        })
        .collect();
    let ways = match options.len() {
        1 => "its only possible way overfills something".to_string(),
        many => format!("each of its {many} possible ways overfills something"),
    };
    Survey {
        words: format!("{ways}: {}", names.join(", ")),
        lack,
    }
}

/// What the nearest option lacks.
fn help(state: &mut State<'_>, option: OptionId) -> String {
    let ground = state.ground();
    let nursery = ground.nursery;
    let option = nursery.option(option);
    let lacks: Vec<String> = state
        .overfull()
        .into_iter()
        .map(|(resource, day, over)| {
            let resource = &ground.books.resources[resource];
            let day = nursery.day(day);
            format!(
                "{} more of {} from {day}",
                amount(resource.unit, over),
                resource.label
            )
        })
        .collect();
    format!(
        "sown {} and planted {} it needs {}",
        nursery.run(option.run).sow,
        option.plant,
        lacks.join(" and ")
    )
}

/// An amount of a resource in the unit that people use.
pub fn amount(unit: Unit, amount: i64) -> String {
    match unit {
        Unit::Milliseconds => {
            let minutes = Span(amount).minutes_up();
            format!("{} h {:02} min", minutes / 60, minutes % 60)
        }
        Unit::Stacks => format!("{amount} stacks"),
        Unit::Trays => format!("{amount} trays"),
        Unit::LitreHundredths => format!("{} L", div_up(amount, 100)),
        Unit::Microlitres => format!("{} L", div_up(amount, 1_000_000)),
        Unit::SeedTenths => format!("{} kg", div_up(amount, 10_000)),
    }
}
