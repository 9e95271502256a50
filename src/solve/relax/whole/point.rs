//! A plan as a point of the whole-lot program.

use super::super::super::program::ColumnTag;
use super::super::super::state::State;
use super::super::people;
use super::Whole;
use crate::nursery::{LotId, Nursery, RunId};
use std::collections::BTreeMap;

impl Whole {
    /// The plan in `state` as a point of the program. Settle the state first, as [`State::beyond`] does; what breaks a limit has no point.
    pub fn point(&self, state: &State<'_>) -> Vec<f64> {
        let plan = Plan::of(state);
        let values = self.base.point(state);
        let columns = self.base.program.columns.iter();
        columns
            .zip(values)
            .map(|(column, value)| plan.value(column.tag).unwrap_or(value))
            .collect()
    }
}

/// What is looked up once.
struct Plan<'s, 'g> {
    state: &'s State<'g>,
    nursery: &'g Nursery,
    /// Minutes bought by resource and day.
    bought: BTreeMap<(usize, usize), i64>,
    /// People hired by resource and week.
    hired: BTreeMap<(usize, usize), i64>,
    /// Where in its line's day each run is sown, from 0, and how many are.
    turns: BTreeMap<RunId, (usize, usize)>,
}

impl<'s, 'g> Plan<'s, 'g> {
    fn of(state: &'s State<'g>) -> Plan<'s, 'g> {
        let nursery = state.ground().nursery;
        let bought = state.bought().into_iter();
        let mut turns = BTreeMap::new();
        for (at, run) in nursery.runs.iter().enumerate() {
            let Some((line, day)) = run.line().zip(nursery.index(run.sow)) else {
                continue;
            };
            if state.lots_in_run(at) > 0 {
                let (order, _) = nursery.set_ups[line].order(state.kinds_on(line, day));
                if let Some(turn) = order.iter().position(|kind| *kind == run.kind) {
                    turns.insert(RunId(at), (turn, order.len()));
                }
            }
        }
        Plan {
            state,
            nursery,
            bought: bought
                .map(|(resource, day, minutes, _)| ((resource, day), minutes))
                .collect(),
            hired: people::by_week(state),
            turns,
        }
    }

    /// The value of what the relaxation does not have, or has otherwise.
    fn value(&self, tag: ColumnTag) -> Option<f64> {
        let state = self.state;
        let is = |true_or_false: bool| Some(f64::from(u8::from(true_or_false)));
        let turn = |run: RunId| self.turns.get(&run).map(|(turn, _)| *turn);
        match tag {
            ColumnTag::Bought(resource, day) => {
                let minutes = self.bought.get(&(resource, day));
                Some(minutes.copied().unwrap_or(0) as f64)
            }
            ColumnTag::Dirty(day) => Some(state.queue().dirty_on(day) as f64),
            ColumnTag::Sows(line, day) => is(!state.kinds_on(line, day).is_empty()),
            ColumnTag::First(run) => is(turn(run) == Some(0)),
            ColumnTag::Next(run, next) => {
                is(turn(run).is_some_and(|turn_of| turn(next) == Some(turn_of + 1)))
            }
            // One that is not sown stands anywhere.
            ColumnTag::Turn(run) => Some(turn(run).map_or(1.0, |turn| turn as f64 + 1.0)),
            ColumnTag::Trial(run, place) => is(state.trial_place(run.0) == Some(place)),
            ColumnTag::Band(grower, band) => Some(self.band(grower, band)),
            ColumnTag::Draws(group, run) => is(self.runs_of(group).contains(&run)),
            ColumnTag::Split(group) => Some(self.runs_of(group).len().saturating_sub(1) as f64),
            ColumnTag::Regular(day) => is(state.queue().washed_on(day) > 0),
            ColumnTag::Left(day) => is(state.queue().dirty_on(day) > 0),
            ColumnTag::WashFull(day) => {
                is(state.queue().washed_on(day) == state.ground().trays().wash[day])
            }
            ColumnTag::WashTime(day) => is(self.no_time(day)),
            ColumnTag::Level(resource, week, people) => {
                is(self.hired.get(&(resource, week)) == Some(&(people as i64)))
            }
            _ => None,
        }
    }

    fn band(&self, grower: usize, band: usize) -> f64 {
        let shares = &self.state.ground().shares;
        let lots = self.nursery.lots.iter().enumerate();
        let short: i64 = lots
            .filter(|(at, _)| {
                shares.grower(LotId(*at)) == Some(grower) && self.state.choice()[*at].is_none()
            })
            .map(|(_, lot)| lot.leaving)
            .sum();
        let range = shares.bands(grower).nth(band).map(|band| band.0);
        range.map_or(0, |range| (short.min(range.end) - range.start).max(0)) as f64
    }

    /// Runs that the lots of a field come from, each once.
    fn runs_of(&self, group: usize) -> Vec<RunId> {
        let lots = self.state.ground().split_group(group).iter();
        let chosen = lots.filter_map(|lot| self.state.choice()[lot.0]);
        let mut runs: Vec<RunId> = chosen.map(|id| self.nursery.option(id).run).collect();
        runs.sort();
        runs.dedup();
        runs
    }

    /// True when the washing crew has no time for one tray more.
    fn no_time(&self, day: usize) -> bool {
        let ground = self.state.ground();
        let Some((crew, ms)) = ground.trays().labour else {
            return false;
        };
        let slot = crew * self.nursery.days + day;
        let washing = self.state.queue().washed_on(day) * ms;
        ground.slots.there[slot] - self.state.used()[slot] - washing < ms
    }
}
