//! Why a lot is not grown, in words, and what would help.

use super::state::State;
use crate::calendar::Day;
use crate::nursery::{GrowOption, LotId, NEVER, OptionId};
use crate::plan::Shortfall;
use crate::rules::{LINE_HOURS, Unit};
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
                trays: lot.leaving,
                reason,
                help,
                decide_by: decide_by(state, id),
            }
        })
        .collect()
}

/// The latest day on which seed for the lot could still be put to soak; of seed that soaks already the latest sow day, of trays that grow
/// already the latest day to plant them.
fn decide_by(state: &State<'_>, lot: LotId) -> Option<Day> {
    let nursery = state.ground().nursery;
    let options = nursery.options_of(lot).map(|id| nursery.option(id));
    let decided = |option: &GrowOption| {
        let run = nursery.run(option.run);
        match run.seed() {
            Some(seed) if seed.batch.is_none() => seed.soak,
            Some(_) => run.sow,
            None => option.plant,
        }
    };
    options.map(decided).max()
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
    let mut in_the_way: BTreeMap<String, usize> = BTreeMap::new();
    let mut nearest: Option<(i64, OptionId)> = None;
    let options: Vec<OptionId> = state.ground().nursery.options_of(lot).collect();
    for option in options.iter().copied() {
        state.set(lot, Some(option));
        let beyond = state.beyond();
        for broken in broken(state) {
            *in_the_way.entry(broken.limit).or_default() += 1;
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
    let mut full: Vec<(String, usize)> = in_the_way.into_iter().collect();
    full.sort_by_key(|(limit, count)| (std::cmp::Reverse(*count), limit.clone()));
    let names: Vec<String> = full
        .into_iter()
        .take(3)
        .map(|(limit, count)| match options.len() {
            1 => limit,
            _ => format!("{limit} (in {count})"),
        })
        .collect();
    let ways = match options.len() {
        1 => "its only possible way goes beyond a limit".to_string(),
        many => format!("each of its {many} possible ways goes beyond a limit"),
    };
    Survey {
        words: format!("{ways}: {}", names.join(", ")),
        lack,
    }
}

/// A limit that the present decisions go beyond.
struct Broken {
    /// Its name.
    limit: String,
    /// What would have to be there.
    needs: String,
}

/// Every limit that the decisions in `state` go beyond.
fn broken(state: &mut State<'_>) -> Vec<Broken> {
    let ground = state.ground();
    let nursery = ground.nursery;
    let mut all = Vec::new();
    for (at, day, over) in state.overfull() {
        let (resource, day) = (&ground.books.resources[at], nursery.day(day));
        all.push(if at == ground.tray_stock {
            let trays = if over == 1 { "tray" } else { "trays" };
            Broken {
                limit: "clean trays".into(),
                needs: format!("{over} more clean {trays} from {day} on"),
            }
        } else if ground.books.of_rule(LINE_HOURS).contains(&at) && over > NEVER.0 / 2 {
            Broken {
                limit: format!("the order of kinds on {}", resource.label),
                needs: format!(
                    "{day} without a kind that may not stand beside it on {}",
                    resource.label
                ),
            }
        } else {
            Broken {
                limit: resource.label.clone(),
                needs: format!(
                    "{} more of {} from {day}",
                    amount(resource.unit, over),
                    resource.label
                ),
            }
        });
    }
    for (run, missing) in state.small_runs() {
        let run = nursery.run(run);
        let kind = &nursery.scenario.kinds[run.kind].id;
        all.push(Broken {
            limit: format!("the least run of `{kind}`"),
            needs: format!("{missing} more trays of `{kind}` sown on {}", run.sow),
        });
    }
    all
}

/// What the decisions in `state` lack, each limit that they go beyond in words.
pub(super) fn beyond(state: &mut State<'_>) -> Vec<String> {
    let broken = broken(state).into_iter();
    broken.map(|broken| broken.needs).collect()
}

/// What the nearest option lacks.
fn help(state: &mut State<'_>, option: OptionId) -> String {
    let nursery = state.ground().nursery;
    let lacks: Vec<String> = broken(state)
        .into_iter()
        .map(|broken| broken.needs)
        .collect();
    let option = nursery.option(option);
    let sow = nursery.run(option.run).sow;
    if sow == option.plant {
        return format!("handed over {sow} it needs {}", lacks.join(" and "));
    }
    let soaked = match nursery.run(option.run).seed() {
        Some(seed) if seed.batch.is_none() => format!("soaked {}, ", seed.soak),
        _ => String::new(),
    };
    format!(
        "{soaked}sown {sow} and planted {} it needs {}",
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
        Unit::Stacks if amount == 1 => "1 stack".into(),
        Unit::Stacks => format!("{amount} stacks"),
        Unit::Trays if amount == 1 => "1 tray".into(),
        Unit::Trays => format!("{amount} trays"),
        Unit::LitreHundredths => format!("{} L", div_up(amount, 100)),
        Unit::Microlitres => format!("{} L", div_up(amount, 1_000_000)),
        Unit::SeedTenths => format!("{} kg", div_up(amount, 10_000)),
        Unit::AgentParts => format!("{} mL", div_up(amount, 100_000)),
        Unit::FleetMillionths => format!("{} % of a day", div_up(amount, 10_000)),
    }
}
