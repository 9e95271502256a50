//! Trays that are away: later than they were due, or others bought in their place; when they are short, whom to chase and how many to buy.

use super::Present;
use super::event::EventError;
use super::replan::decisions;
use crate::calendar::Day;
use crate::nursery::Nursery;
use crate::scenario::{Drying, Scenario, TraysOut};
use crate::solve::state::{Ground, State};
use serde::Serialize;
use std::collections::BTreeMap;

/// What is known of the tray stock when trays are not there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Empties {
    /// When nothing else is changed, the first day on which clean trays are short; none: they suffice.
    pub short_from: Option<Short>,
    /// Who has trays: those who bring most of them late first, then those who have the most, of equals those whose were due first.
    pub away: Vec<Away>,
}

/// Clean trays that are short.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Short {
    /// The first day.
    pub day: Day,
    /// Trays short on it.
    pub trays: i64,
    /// The day on which most are short.
    pub worst_day: Day,
    /// Trays short on that.
    pub worst: i64,
    /// So many trays bought, clean on the morning of `day`, and all that was decided can be done; none when that does not mend it.
    pub buy: Option<i64>,
    /// Or as many of those away back by this day, to be washed; none when no day of those to come is early enough.
    pub back_by: Option<Day>,
}

/// Trays that one grower has of one field.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Away {
    /// Who; empty where that is not noted.
    pub grower: String,
    /// Field; empty likewise.
    pub field: String,
    /// How many.
    pub trays: i64,
    /// Since this day, where it is noted.
    pub since: Option<Day>,
    /// The first were due on this day.
    pub due: Day,
    /// So many come later than they were due.
    pub late: i64,
    /// The last are counted on for this day.
    pub back: Day,
}

type Unknown<'a> = &'a dyn Fn(&'static str, &str) -> EventError;

/// The next that are due, of all growers or of those named, come on `until`; with `home` also of those that were to be at home
/// already, the last to have come first.
pub(super) fn late(
    scenario: &mut Scenario,
    came: &[TraysOut],
    (trays, until, home): (Option<i64>, Day, bool),
    (growers, fields): (&[String], &[String]),
    unknown: Unknown<'_>,
) -> Result<(), EventError> {
    let known = |has: &dyn Fn(&TraysOut) -> bool| {
        let mut all = scenario.opening.trays_out.iter().chain(came);
        all.any(has)
    };
    for id in growers {
        known(&|out| out.grower.as_ref() == Some(id))
            .then_some(())
            .ok_or_else(|| unknown("grower with trays away", id))?;
    }
    for id in fields {
        known(&|out| out.field.as_ref() == Some(id))
            .then_some(())
            .ok_or_else(|| unknown("field with trays away", id))?;
    }
    let named =
        |list: &[String], id: &Option<String>| id.as_ref().is_some_and(|id| list.contains(id));
    let all = growers.is_empty() && fields.is_empty();
    let is_meant = |out: &&TraysOut| {
        let of = all || named(growers, &out.grower) || named(fields, &out.field);
        of && out.back < until
    };
    let sum = |out: &[TraysOut]| -> i64 { out.iter().filter(is_meant).map(|out| out.trays).sum() };
    let due = sum(&scenario.opening.trays_out);
    let there = at_home(scenario);
    let came_home = if all { there } else { sum(came).min(there) };
    let most = due + if home { came_home } else { 0 };
    let wanted = trays.unwrap_or(most);
    if wanted < 1 || wanted > most {
        return Err(EventError::Number(format!(
            "{wanted} trays cannot come late: {due} are away and due before {until}; {came_home} were to be at home by now, and count with `home=true`"
        )));
    }
    let mut left = wanted;
    let mut later = Vec::new();
    let mut take = |out: &mut TraysOut| {
        let some = if is_meant(&&*out) {
            left.min(out.trays)
        } else {
            0
        };
        out.trays -= some;
        left -= some;
        let due = out.due.or(Some(out.back));
        later.push(TraysOut {
            trays: some,
            back: until,
            due,
            ..out.clone()
        });
    };
    let opening = &mut scenario.opening;
    opening.trays_out.sort_by_key(|out| out.back);
    opening.trays_out.iter_mut().for_each(&mut take);
    let mut came = came.to_vec();
    came.sort_by_key(|out| std::cmp::Reverse(out.back));
    came.iter_mut().for_each(&mut take);
    if left > 0 {
        // Nobody knows since when.
        later.push(TraysOut {
            trays: left,
            back: until,
            grower: None,
            field: None,
            since: None,
            due: Some(scenario.horizon.first),
        });
    }
    // What is not at home is not washed either.
    let missing = (wanted - due).max(0);
    opening.dirty_trays -= missing.min(opening.dirty_trays);
    opening.trays_out.extend(later);
    opening.trays_out.retain(|out| out.trays > 0);
    Ok(())
}

/// Trays at home, dirty or clean, but for those that are sown, dry, or lie under and on stacks.
fn at_home(scenario: &Scenario) -> i64 {
    let nursery = Nursery::new(scenario);
    let ground = Ground::new(&nursery);
    let trays = ground.trays();
    trays.clean.max(0) + trays.dirty
}

/// New trays, clean on that morning; on the first, when they came before.
pub(super) fn bought(scenario: &mut Scenario, trays: i64, on: Day) -> Result<(), EventError> {
    if !(1..=1_000_000).contains(&trays) {
        return Err(EventError::Number(
            "1 to 1,000,000 trays are bought at once".into(),
        ));
    }
    if on > scenario.horizon.last {
        return Err(EventError::Number(format!(
            "trays bought on {on} are there on no day of {}",
            scenario.horizon
        )));
    }
    scenario.trays.stock += trays;
    if on > scenario.horizon.first {
        scenario.opening.drying.push(Drying { trays, clean: on });
    }
    Ok(())
}

/// When clean trays are short with all that was decided left as it is, and who has others.
pub(super) fn empties(present: &Present) -> Empties {
    Empties {
        short_from: short(present),
        away: away(&present.scenario.opening.trays_out),
    }
}

fn short(present: &Present) -> Option<Short> {
    let clean = clean_days(present, &present.scenario);
    let first = clean.iter().position(|clean| *clean < 0)?;
    let least = clean.iter().min().copied()?;
    let at = clean.iter().position(|clean| *clean == least)?;
    let day = |at: usize| present.scenario.horizon.first.plus(at as i32);
    let suffices = |scenario: &Scenario| {
        clean_days(present, scenario)
            .iter()
            .all(|clean| *clean >= 0)
    };
    let mut richer = present.scenario.clone();
    let buys = bought(&mut richer, -least, day(first)).is_ok() && suffices(&richer);
    let mut back = (0..first as i32).map(|ago| day(first).plus(-ago));
    let back_by = back.find(|on| {
        sooner(&present.scenario, -least, *on).is_some_and(|scenario| suffices(&scenario))
    });
    Some(Short {
        day: day(first),
        trays: -clean[first],
        worst_day: day(at),
        worst: -least,
        buy: buys.then_some(-least),
        back_by,
    })
}

/// Clean trays left on each day when all that was decided is done.
fn clean_days(present: &Present, scenario: &Scenario) -> Vec<i64> {
    let nursery = Nursery::new(scenario);
    let choice = decisions(&nursery, present);
    let ground = Ground::new(&nursery);
    let mut state = State::of(&ground, &choice);
    state.beyond();
    state.queue().clean().collect()
}

/// So many of those that come last are back on that day; none when so many are not away.
fn sooner(scenario: &Scenario, trays: i64, on: Day) -> Option<Scenario> {
    let mut scenario = scenario.clone();
    let out = &mut scenario.opening.trays_out;
    out.sort_by_key(|out| out.back);
    let mut left = trays;
    for one in out.iter_mut().rev().filter(|one| one.back > on) {
        let some = left.min(one.trays);
        one.trays -= some;
        left -= some;
    }
    out.retain(|out| out.trays > 0);
    out.push(TraysOut {
        trays,
        back: on,
        grower: None,
        field: None,
        since: None,
        due: None,
    });
    (left == 0).then_some(scenario)
}

/// By grower and field.
fn away(out: &[TraysOut]) -> Vec<Away> {
    let mut all: BTreeMap<(&str, &str), Away> = BTreeMap::new();
    // What nobody is known to have, and is not late, is at home and to be emptied.
    let away = out
        .iter()
        .filter(|out| out.grower.is_some() || out.due.is_some());
    for out in away {
        let grower = out.grower.as_deref().unwrap_or_default();
        let field = out.field.as_deref().unwrap_or_default();
        let due = out.due.unwrap_or(out.back);
        let one = all.entry((grower, field)).or_insert_with(|| Away {
            grower: grower.to_string(),
            field: field.to_string(),
            trays: 0,
            since: out.since,
            due,
            late: 0,
            back: out.back,
        });
        one.trays += out.trays;
        one.since = one.since.into_iter().chain(out.since).min();
        one.due = one.due.min(due);
        one.late += if out.due.is_some() { out.trays } else { 0 };
        one.back = one.back.max(out.back);
    }
    let mut all: Vec<Away> = all.into_values().collect();
    // What nobody is known to have stands last: nobody can be called for it.
    all.sort_by_key(|one| (one.grower.is_empty(), -one.late, -one.trays, one.due));
    all
}
