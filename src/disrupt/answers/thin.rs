//! A run that came up thin: what can be done about the trays that it lacks, what each way costs, and until when it can be decided.

use super::ways::{decided_by, money, planting_days_of, whatever_it_takes};
use crate::calendar::Day;
use crate::disrupt::Present;
use crate::disrupt::replan::decisions;
use crate::disrupt::shares::of_run;
use crate::disrupt::spare::spare;
use crate::nursery::{LotId, Nursery, planting_days};
use crate::plan::Plan;
use crate::scenario::Scenario;
use crate::solve::list;
use crate::solve::state::{Ground, State};
use crate::units::Money;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A run, and what it lacks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Thin {
    /// Run.
    pub run: String,
    /// Kind.
    pub kind: String,
    /// Trays of it that can leave.
    pub left: i64,
    /// Trays that it lacks.
    pub missing: i64,
    /// What can be done, side by side.
    pub choices: Vec<Choice>,
}

/// One thing that can be done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// What.
    pub what: ThinWay,
    /// Where the trays come from: a run, a field, a kind, a seller; empty for what is sown again or shared.
    pub from: String,
    /// Trays that it brings; of sharing, that the fields go without.
    pub trays: i64,
    /// What it costs more than going without; of sharing, the price of the trays short; none where it is not known.
    pub cost: Option<Money>,
    /// The last day on which all of it can be decided; none: it is too late.
    pub decide_by: Option<Day>,
    /// First and last planting day that it leaves.
    pub days: Option<(Day, Day)>,
}

/// Ways out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ThinWay {
    /// Soak and sow what is missing.
    SowAgain,
    /// Each field gets its share of what came up.
    Share,
    /// Spare trays of the kind.
    Spare,
    /// Trays of the kind that stand for a field planted later, which then waits for others.
    Younger,
    /// Spare trays of a kind that growers take in its place.
    OtherKind,
    /// Mats bought; outside the plan, which neither counts nor pays them.
    Buy,
}

/// What can be done about a run.
pub(super) fn thin(
    undisturbed: &Present,
    present: &Present,
    run: &str,
    mended: &Plan,
) -> Option<Thin> {
    let scenario = &present.scenario;
    let sown = |present: &Present| -> (i64, BTreeSet<String>) {
        let all = present.scenario.opening.sown.iter();
        let of: Vec<_> = all.filter(|sown| of_run(&sown.run, run)).collect();
        let leaving = |sown: &&crate::scenario::Sown| sown.leaving.unwrap_or(sown.trays);
        let fields = of.iter().map(|sown| sown.field.clone()).collect();
        (of.iter().map(leaving).sum(), fields)
    };
    let ((was, fields), (left, _)) = (sown(undisturbed), sown(present));
    let of = scenario
        .fields
        .iter()
        .find(|one| fields.contains(&one.id))?;
    let kind = of.kind.clone();
    // Days on which the fields that lack trays can be planted.
    let open: BTreeSet<Day> = scenario
        .fields
        .iter()
        .filter(|one| fields.contains(&one.id))
        .flat_map(|one| planting_days(scenario, one))
        .collect();
    let mut choices = vec![
        sow_again(present, mended, &fields),
        share(present, &fields, was - left),
    ];
    choices.extend(standing(present, &kind, &open));
    choices.extend(younger(present, (&kind, &fields), &open));
    choices.extend(buy(scenario, &kind, was - left, &open));
    Some(Thin {
        run: run.to_string(),
        kind,
        left,
        missing: was - left,
        choices,
    })
}

/// Soaked and sown again, beside the rest of the mended plan.
fn sow_again(present: &Present, mended: &Plan, fields: &BTreeSet<String>) -> Choice {
    let nursery = Nursery::new(&whatever_it_takes(&present.scenario));
    let ground = Ground::new(&nursery);
    let mut state = State::of(&ground, &decisions(&nursery, &decided_by(present, mended)));
    let all = (0..nursery.lots.len()).map(LotId);
    let missing: Vec<LotId> = all
        .filter(|lot| {
            let (field, part) = nursery.part_of(*lot);
            let new = present.decided_of(field, part).is_none() && !present.was_short(field, part);
            new && fields.contains(field)
        })
        .collect();
    for lot in &missing {
        state.set(*lot, None);
    }
    let before = money(&mut state);
    let (mut trays, mut last, mut days) = (0, Vec::new(), BTreeSet::new());
    for lot in missing {
        let ways = planting_days_of(&mut state, lot);
        let fit: Vec<_> = ways.iter().filter(|way| way.fits).collect();
        if fit.is_empty() {
            continue;
        }
        trays += nursery.lot(lot).leaving;
        last.extend(fit.iter().map(|way| way.soak.unwrap_or(way.sow)).max());
        days.extend(fit.iter().map(|way| way.day));
        list::insert(&mut state, lot, |_| true);
    }
    Choice {
        what: ThinWay::SowAgain,
        from: String::new(),
        trays,
        cost: (trays > 0).then(|| Money {
            0: money(&mut state) - before,
        }),
        decide_by: last.into_iter().min(),
        days: days.first().copied().zip(days.last().copied()),
    }
}

/// Each field of the run goes without its part of what is missing.
fn share(present: &Present, fields: &BTreeSet<String>, missing: i64) -> Choice {
    let nursery = Nursery::new(&present.scenario);
    let of = present.decided.iter();
    let of: Vec<_> = of
        .filter(|one| fields.contains(&one.delivery.field))
        .collect();
    let days = of.iter().map(|one| one.delivery.day);
    Choice {
        what: ThinWay::Share,
        from: String::new(),
        trays: missing,
        cost: Some(Money {
            0: missing * nursery.short_per_tray.0,
        }),
        decide_by: of.iter().map(|one| one.delivery.leaves()).min(),
        days: days.clone().min().zip(days.max()),
    }
}

/// Spare trays that stand, of the kind or of one that growers take in its place.
fn standing(present: &Present, kind: &str, open: &BTreeSet<Day>) -> Vec<Choice> {
    let scenario = &present.scenario;
    let mut kinds = scenario.kinds.iter();
    let own = kinds.find(|one| one.id == kind);
    let other = own.map_or(Vec::new(), |kind| kind.in_its_place.clone());
    let all = spare(present).into_iter().filter_map(|one| {
        let (first, last) = one.days?;
        let what = if one.kind == kind {
            ThinWay::Spare
        } else if other.contains(&one.kind) {
            ThinWay::OtherKind
        } else {
            return None;
        };
        let days = open.range(first..=last);
        let days = days.clone().next().copied().zip(days.last().copied())?;
        Some(Choice {
            what,
            from: one.field,
            trays: one.trays,
            cost: Some(Money::ZERO),
            decide_by: Some(days.1),
            days: Some(days),
        })
    });
    all.collect()
}

/// Trays that stand for a field: its planting day, how many, and the first and last day on which they would do.
type Donor<'a> = (&'a str, (Day, i64, Day, Day));

/// Most fields named that could wait for others.
const MOST_YOUNGER: usize = 3;

/// Trays of the kind in other runs, those that are planted last first.
fn younger(
    present: &Present,
    (kind, fields): (&str, &BTreeSet<String>),
    open: &BTreeSet<Day>,
) -> Vec<Choice> {
    let scenario = &present.scenario;
    let mut by_field: BTreeMap<&str, (Day, i64, Day, Day)> = BTreeMap::new();
    for one in &present.decided {
        let id = &one.delivery.field;
        let field = scenario.fields.iter().find(|field| field.id == *id);
        let Some(field) = field.filter(|field| field.kind == kind && !field.spare) else {
            continue;
        };
        let own = scenario.kinds.iter().find(|one| one.id == field.kind);
        if fields.contains(id) || one.line.is_some() || one.soak.is_some() {
            continue;
        }
        let right = own
            .and_then(|own| super::waits::days_of_right_age(scenario, own, one.sow, &one.delivery));
        let right: Vec<Day> = right.unwrap_or_default();
        let mut days = right.into_iter().filter(|day| open.contains(day));
        let Some(first) = days.next() else { continue };
        let last = days.next_back().unwrap_or(first);
        let entry = by_field
            .entry(id)
            .or_insert((one.delivery.day, 0, first, last));
        entry.1 += one.delivery.trays;
    }
    let mut all: Vec<Donor<'_>> = by_field.into_iter().collect();
    all.sort_by_key(|(id, (day, ..))| (std::cmp::Reverse(*day), *id));
    all.truncate(MOST_YOUNGER);
    let choice = |(id, (_, trays, first, last)): Donor<'_>| Choice {
        what: ThinWay::Younger,
        from: id.to_string(),
        trays,
        cost: None,
        decide_by: Some(last),
        days: Some((first, last)),
    };
    all.into_iter().map(choice).collect()
}

/// Mats that can be bought in time.
fn buy(scenario: &Scenario, kind: &str, missing: i64, open: &BTreeSet<Day>) -> Vec<Choice> {
    let own = scenario.kinds.iter().find(|one| one.id == kind);
    let takes =
        |other: &String| other == kind || own.is_some_and(|kind| kind.in_its_place.contains(other));
    let offers = scenario.mats_for_sale.iter();
    offers
        .filter(|offer| takes(&offer.kind))
        .map(|offer| {
            let trays = offer.most_trays.unwrap_or(missing).min(missing);
            let first = scenario.horizon.first.plus(offer.notice_days);
            let mut days = open.range(first..);
            let first = days.next().copied();
            let last = days.last().copied().or(first);
            Choice {
                what: ThinWay::Buy,
                from: format!("{}, {}", offer.seller, offer.kind),
                trays,
                cost: Some(Money {
                    0: trays * offer.price_per_tray.0,
                }),
                decide_by: last.map(|last| last.plus(-offer.notice_days)),
                days: first.zip(last),
            }
        })
        .collect()
}
