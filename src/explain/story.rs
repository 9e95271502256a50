//! How a part is grown in a plan, against what its kind and its window allow, and what that costs.

use super::Desk;
use super::types::{AgeTold, Costs, Story, Term};
use crate::calendar::DayRange;
use crate::nursery::{GrowOption, LotId, OptionId, no_planting};
use crate::plan::{Delivery, Run};
use crate::units::Money;

impl Desk<'_, '_> {
    /// The story of a lot that is planned.
    pub(super) fn story(&mut self, lot: LotId, window: Option<DayRange>) -> Option<Story> {
        let delivery = self.planned[lot.0]?;
        let run = self.plan.runs.iter().find(|run| run.id == delivery.run)?;
        let nursery = self.ground.nursery;
        let limits = &nursery.scenario.kinds[nursery.lot(lot).kind].age;
        let option = self.state.choice()[lot.0];
        let same_day = self.plan.runs.iter();
        let same_day =
            same_day.filter(|one| one.line.is_some() && one.line == run.line && one.sow == run.sow);
        let open = |days: DayRange| {
            let scenario = &nursery.scenario;
            let field = &scenario.fields[nursery.lot(lot).field];
            let days = days.iter();
            days.filter(|day| no_planting(scenario, field, *day).is_none())
                .count() as i32
        };
        let span = |first, last| DayRange { first, last };
        let before = window.map(|window| {
            let last = delivery.day.plus(-1);
            if window.first > last {
                0
            } else {
                open(span(window.first, last))
            }
        });
        let after = window.map(|window| {
            let first = delivery.day.plus(1);
            if first > window.last {
                0
            } else {
                open(span(first, window.last))
            }
        });
        Some(Story {
            run: run.id.clone(),
            soak: run.soak,
            drain: run.drain,
            sow: run.sow,
            line: run.line.clone(),
            place_in_day: run.place_in_day,
            runs_that_day: same_day.count() as u32,
            run_trays: run.trays,
            germination: delivery.germination.clone(),
            open: delivery.open,
            green_bed: delivery.green_bed.clone(),
            green_rows: delivery.green_rows.clone(),
            harden: delivery.harden,
            harden_bed: delivery.harden_bed.clone(),
            harden_rows: delivery.harden_rows.clone(),
            leave: delivery.leaves(),
            plant: delivery.day,
            age: AgeTold {
                clock: limits.clock,
                age: delivery.age,
                youngest: limits.youngest,
                target: limits.target,
                oldest: limits.oldest,
            },
            spare_before: before,
            spare_after: after,
            as_sown: option.and_then(|id| self.as_sown(lot, id)),
            costs: option.map(|id| self.costs(lot, id, run)),
        })
    }

    /// First and last day on which trays that are sown and kept like that could be planted.
    fn as_sown(&self, lot: LotId, id: OptionId) -> Option<DayRange> {
        let nursery = self.ground.nursery;
        let planned = nursery.option(id);
        let like =
            |option: &&GrowOption| option.run == planned.run && option.route == planned.route;
        let options = nursery.options_of(lot).map(|id| nursery.option(id));
        let days: Vec<_> = options.filter(like).map(|option| option.plant).collect();
        Some(DayRange {
            first: days.iter().min().copied()?,
            last: days.iter().max().copied()?,
        })
    }

    fn costs(&mut self, lot: LotId, id: OptionId, run: &Run) -> Costs {
        let nursery = self.ground.nursery;
        let option = nursery.option(id);
        let own = [
            ("age off its target", option.age_cost),
            ("days off the preferred day", option.preferred_cost),
            ("waiting at the field's edge", option.edge_cost),
            ("moves from bed to bed", option.move_cost),
            ("another day than was told", option.told_cost),
        ];
        let on_a_line = nursery.run(option.run).line().is_some();
        let set_up = if on_a_line {
            nursery.scenario.prices.set_up
        } else {
            Money::ZERO
        };
        let share = i128::from(set_up.0) * i128::from(nursery.lot(lot).trays);
        let share = i64::try_from(share / i128::from(run.trays.max(1))).unwrap_or(set_up.0);
        self.state.set(lot, None);
        self.state.beyond();
        let without = super::price::Reading::of(&self.state).money();
        self.state.set(lot, Some(id));
        self.state.beyond();
        Costs {
            own: own
                .into_iter()
                .filter(|(_, cost)| cost.0 != 0)
                .map(|(what, cost)| Term { what, cost })
                .collect(),
            set_up,
            set_up_share: Money { 0: share },
            without: Money {
                0: self.base.money() - without,
            },
        }
    }

    /// Where what the plan says of a part is not what the rules make of it.
    pub(super) fn differs(&self, lot: LotId, delivery: &Delivery) -> Vec<String> {
        let nursery = self.ground.nursery;
        let Some(id) = self.state.choice()[lot.0] else {
            return vec![
                "no way that the rules allow has its sow day, places and planting day; what it \
                 takes is not counted below, and no difference in cost can be told"
                    .into(),
            ];
        };
        let (option, wanted) = (nursery.option(id), nursery.lot(lot));
        let run = nursery.run(option.run);
        let mut all = Vec::new();
        let mut say = |what: &str, told: String, counted: String| {
            if told != counted {
                all.push(format!(
                    "the plan has {what} {told}; here it is counted as {counted}"
                ));
            }
        };
        say(
            "it out of the stack on",
            delivery.open.to_string(),
            option.open.to_string(),
        );
        say(
            "it hardened from",
            delivery.harden.to_string(),
            option.harden.to_string(),
        );
        let trays = |trays: i64| format!("{trays} trays");
        say("for it", trays(delivery.trays), trays(wanted.leaving));
        say("sown for it", trays(delivery.sown()), trays(wanted.trays));
        let planned = self.plan.runs.iter().find(|run| run.id == delivery.run);
        let soaked = planned.and_then(|run| run.soak);
        if let (Some(told), Some(seed)) = (soaked, run.seed()) {
            say(
                "its seed soaked on",
                told.to_string(),
                seed.soak.to_string(),
            );
        }
        all
    }
}
