//! Trays are sown only when they are clean and at home.

use super::{Posting, Resource, Rule, RuleMeta, Supply, Taking, TraySupply, Unit, What};
use crate::calendar::Day;
use crate::nursery::{GrowOption, Lot, Nursery, opens_standing, work};
use crate::quantities::Stacked;
use crate::units::{Share, div_up};
use std::collections::BTreeMap;

/// What it holds: on each day, clean trays after sowing ≥ 0, where trays come back dirty after planting and are washed
/// earliest first, at most so many a day, in time that the crew has left.
///
/// Why: a nursery owns so many trays, and the second season waits for those of the first. Source: turn-round of trays
/// as a stock balance: common practice, no source.
pub(super) struct TrayStock;

static META: RuleMeta = RuleMeta {
    name: "tray stock",
    promise: "trays are sown only when they are clean and at home",
};

impl Rule for TrayStock {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, earlier: &[Resource]) -> Vec<Resource> {
        vec![Resource {
            rule: 0,
            label: "tray stock".into(),
            unit: Unit::Trays,
            supply: Supply::Trays(supply(nursery, earlier)),
            // Trays missing are summed over days: each day alone weighs a fifth.
            per_tray: 5,
        }]
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        match what {
            What::Option(option) => {
                let (lot, run) = (nursery.lot(option.lot), nursery.run(option.run));
                if run.line().is_some() {
                    out.extend(Posting::on(nursery, at, run.sow, Taking::Out, lot.trays));
                }
                if option.route.germination.is_none() {
                    return;
                }
                for (back, trays) in coming_back(nursery, lot, option) {
                    out.extend(Posting::on(nursery, at, back, Taking::BackDirty, trays));
                }
            }
            What::Run(id) => {
                let (sow, trials) = (nursery.run(id).sow, nursery.trial_trays(id));
                out.extend(Posting::on(nursery, at, sow, Taking::Out, trials));
            }
            What::TrialIn(id, place) => {
                if let Some(open) = nursery.run(id).opens[place] {
                    let trials = nursery.trial_trays(id);
                    out.extend(Posting::on(nursery, at, open, Taking::BackDirty, trials));
                }
            }
            What::Stack(id, place) => {
                let run = nursery.run(id);
                let closing = closing_trays(nursery, place);
                if let (Some(_), Some(open)) = (run.line(), run.opens[place]) {
                    out.extend(Posting::on(nursery, at, run.sow, Taking::Out, closing));
                    out.extend(Posting::on(nursery, at, open, Taking::BackClean, closing));
                }
            }
            What::SetUp(..) | What::Bag(_) => {}
        }
    }
}

/// On which days trays of a lot are back and dirty, and how many each time. What does not leave is emptied at home on the next day.
fn coming_back(nursery: &Nursery, lot: &Lot, option: &GrowOption) -> Vec<(Day, i64)> {
    let scenario = &nursery.scenario;
    let field = &scenario.fields[lot.field];
    let emptied = option.leave.plus(1);
    if field.lifted {
        return vec![(emptied, lot.trays)];
    }
    let mut back = vec![(emptied, lot.trays - lot.leaving)];
    let curve = scenario
        .growers
        .iter()
        .find(|grower| grower.id == field.grower && !grower.returns.is_empty());
    let Some(curve) = curve else {
        let whole = lot.leaving - lost(lot.leaving, scenario.trays.loss);
        back.push((option.plant.plus(scenario.trays.return_days), whole));
        return back;
    };
    let mut before = 0;
    for point in &curve.returns {
        let by_then = lot.leaving * point.share.0 / Share::ONE;
        let more = by_then - std::mem::replace(&mut before, by_then);
        back.push((option.plant.plus(point.days), more));
    }
    back
}

/// Trays of a delivery that never come back whole, rounded up.
fn lost(trays: i64, loss: Share) -> i64 {
    div_up(trays * loss.0, Share::ONE)
}

/// Lid and base trays of one stack.
fn closing_trays(nursery: &Nursery, place: usize) -> i64 {
    let place = &nursery.scenario.germination[place];
    place.lid_trays + place.base_trays
}

fn supply(nursery: &Nursery, earlier: &[Resource]) -> TraySupply {
    let scenario = &nursery.scenario;
    let (trays, opening) = (&scenario.trays, &scenario.opening);
    let mut back_dirty = vec![0; nursery.days];
    let mut back_clean = vec![0; nursery.days];
    let mut clean = trays.stock - opening.dirty_trays;
    for out in &opening.trays_out {
        clean -= out.trays;
        if let Some(day) = nursery.index(out.back) {
            back_dirty[day] += out.trays;
        }
    }
    for drying in &opening.drying {
        clean -= drying.trays;
        if let Some(day) = nursery.index(drying.clean) {
            back_clean[day] += drying.trays;
        }
    }
    // Trays so far of each run in each place: batches of one run stand in the same stacks.
    let mut standing: BTreeMap<(usize, usize), i64> = BTreeMap::new();
    for (entry, sown) in opening.sown.iter().enumerate() {
        clean -= sown.trays;
        let place = scenario
            .germination
            .iter()
            .position(|place| place.id == sown.germination);
        let Some(place) = place else { continue };
        // A stack that nobody could open in time keeps its lids and bases.
        let open = opens_standing(scenario, sown);
        if open.is_none_or(|open| open >= nursery.first) {
            let height = scenario.germination[place].height;
            let stacks = |trays: i64| Stacked::of(trays, height).stacks();
            let with = standing.entry((opening.run_of(entry), place)).or_insert(0);
            let before = stacks(*with);
            *with += sown.trays;
            let stacks = stacks(*with) - before;
            let closing = stacks * closing_trays(nursery, place);
            clean -= closing;
            if let Some(day) = open.and_then(|open| nursery.index(open)) {
                back_clean[day] += closing;
            }
        }
    }
    let calendar = &scenario.calendars.beds;
    let washed = trays.washed_per_day();
    let first_crew = earlier
        .iter()
        .position(|resource| super::RULES[resource.rule].meta().name == super::CREW_HOURS);
    TraySupply {
        clean,
        dirty: opening.dirty_trays,
        back_dirty,
        back_clean,
        wash: (0..nursery.days)
            .map(|at| {
                if calendar.works(nursery.day(at)) {
                    washed
                } else {
                    0
                }
            })
            .collect(),
        dry_days: (0..nursery.days)
            .map(|at| trays.dry_days_on(nursery.day(at)).max(1) as usize)
            .collect(),
        labour: work::washing(nursery)
            .filter(|(_, ms)| *ms > 0)
            .and_then(|(crew, ms)| Some((first_crew? + crew, ms))),
    }
}
