//! Names become indexes, orders become lots, and options get their runs.

use super::cost::{age_rate, edge_rate, move_rate, preferred_rate};
use super::options::{Draft, Enumerator, RunKey};
use super::timeline::{self, Timelines};
use super::{GrowOption, Lot, LotId, Nursery, RunCandidate, RunId, RunSource, SetUps};
use crate::scenario::{HandOver, Kept, Scenario, Sown, trays};
use crate::units::{Money, div_up, fit};
use std::collections::BTreeMap;

pub(super) fn resolve(scenario: &Scenario) -> Nursery {
    let lots = lots(scenario);
    let mut timelines = Timelines::new(scenario);
    let mut enumerator = Enumerator {
        scenario,
        timelines: &mut timelines,
    };
    let mut by_lot: Vec<Vec<Draft>> = Vec::with_capacity(lots.len());
    let mut stories = Vec::with_capacity(lots.len());
    for (at, lot) in lots.iter().enumerate() {
        let (drafts, story) = enumerator.of_lot(LotId(at), lot);
        by_lot.push(drafts);
        stories.push(story);
    }
    let (runs, index) = runs(scenario, &by_lot);
    let mut options: Vec<GrowOption> = Vec::new();
    let mut of_lot = Vec::with_capacity(lots.len());
    for drafts in by_lot {
        let from = options.len();
        options.extend(drafts.into_iter().map(|draft| GrowOption {
            run: index[&draft.key],
            ..draft.option
        }));
        of_lot.push(from..options.len());
    }
    let short_per_tray = short_price(scenario, &lots, &options);
    Nursery {
        first: scenario.horizon.first,
        days: scenario.horizon.days(),
        set_ups: scenario
            .lines
            .iter()
            .map(|line| SetUps::new(scenario, line))
            .collect(),
        scenario: scenario.clone(),
        lots,
        runs,
        options,
        of_lot,
        stories,
        short_per_tray,
    }
}

fn lots(scenario: &Scenario) -> Vec<Lot> {
    let mut lots = Vec::new();
    for (at, field) in scenario.fields.iter().enumerate() {
        let Some(kind) = scenario.kinds.iter().position(|kind| kind.id == field.kind) else {
            continue;
        };
        // What is handed over before it is a seedling is not planted from here.
        let grown = field.stage == HandOver::Seedlings;
        let planter = field.planter.as_ref().filter(|_| grown).and_then(|id| {
            let mut planters = scenario.planters.iter();
            planters.position(|planter| planter.id == *id)
        });
        let ordered = trays::of_field_known(field, &scenario.opening.parts);
        let kept = Kept::of(&scenario.kinds[kind].losses, field.stage);
        for (trays, (area_m2, part)) in ordered
            .trays
            .into_iter()
            .zip(ordered.m2.into_iter().zip(1..))
        {
            // It has been served.
            if trays == 0 {
                continue;
            }
            let is_this = |sown: &Sown| sown.field == field.id && sown.part == part;
            let standing = scenario.opening.sown.iter().position(is_this);
            let batch = standing.map(|entry| &scenario.opening.sown[entry]);
            lots.push(Lot {
                field: at,
                part,
                kind,
                trays: batch.map_or_else(|| kept.sown(trays), |sown| sown.trays),
                leaving: batch.map_or(trays, |sown| {
                    sown.leaving.unwrap_or_else(|| kept.leaving(sown.trays))
                }),
                area_m2,
                planter,
                standing,
            });
        }
    }
    lots
}

/// The runs that some option uses, in the order of their keys, and the index of each key.
fn runs(
    scenario: &Scenario,
    by_lot: &[Vec<Draft>],
) -> (Vec<RunCandidate>, BTreeMap<RunKey, RunId>) {
    let sources: BTreeMap<RunKey, RunSource> = by_lot
        .iter()
        .flatten()
        .map(|draft| (draft.key, draft.source))
        .collect();
    let mut index = BTreeMap::new();
    let mut runs = Vec::with_capacity(sources.len());
    for (key, source) in sources {
        let (sow, _, kind, _) = key;
        index.insert(key, RunId(runs.len()));
        let handed = matches!(source, RunSource::Handed(_));
        let opens = (0..scenario.germination.len())
            .map(|place| {
                let open = match source {
                    RunSource::Standing(entry) => {
                        timeline::open_standing(scenario, (entry, &scenario.kinds[kind]), place)
                    }
                    _ => timeline::open_day(scenario, &scenario.kinds[kind], sow, place).ok(),
                };
                open.filter(|_| !handed)
            })
            .collect();
        runs.push(RunCandidate {
            kind,
            sow,
            source,
            opens,
        });
    }
    (runs, index)
}

/// The price of a tray not grown: as given, or by the rule in `docs/COUNTING.md`. The cost of a tray is taken exactly, and only the
/// price is rounded.
fn short_price(scenario: &Scenario, lots: &[Lot], options: &[GrowOption]) -> Money {
    if let Some(given) = scenario.prices.short_per_tray {
        return given;
    }
    let per_tray = |option: &GrowOption| {
        let lot = &lots[option.lot.0];
        let field = &scenario.fields[lot.field];
        age_rate(&scenario.kinds[lot.kind], field.stage, option.age)
            + preferred_rate(scenario, field, option.plant)
            + edge_rate(scenario, option.leave, option.plant)
            + move_rate(scenario, option.route)
    };
    let dearest = options.iter().map(per_tray).max().unwrap_or(0);
    // Ten times thousandths ÷ 10 000 are whole money ÷ 1 000 000.
    let whole = Money::whole(div_up(fit(dearest), 1_000_000));
    let above_set_up = scenario.prices.set_up.0 + Money::ONE;
    whole.max(Money { 0: above_set_up })
}
