//! The planting days of a part: chosen, possible at a price, full, or excluded; and the sow days that could serve each.

use super::Desk;
use super::ledgers::{beyond, candidates, stands};
use super::price::{Tried, try_all};
use super::types::{PlantingDay, SowDay, Verdict, Way};
use super::words::{Teller, no_planting, said};
use crate::calendar::{Day, DayRange};
use crate::nursery::{Exclusion, LeftOut, LotId, NoPlanting, OptionId};
use crate::scenario::{Field, Scenario};
use crate::units::Money;
use std::collections::{BTreeMap, BTreeSet};

/// Days told on either side of what is possible, where the field has no window.
const BESIDE: i32 = 3;
/// Most parts of which it is tried whether taking them out makes room.
const MOST_FREED: usize = 8;

impl Desk<'_, '_> {
    /// Every day of the lot's window, the day planned, and the day asked for.
    pub(super) fn days(
        &mut self,
        lot: LotId,
        asked: Option<Day>,
    ) -> (Option<DayRange>, Vec<PlantingDay>) {
        let planned = self.planned[lot.0].map(|delivery| delivery.day);
        let was = self.state.choice()[lot.0];
        let tried = try_all(&mut self.state, lot);
        let left_out = self.retold.left_out(lot);
        let nursery = self.ground.nursery;
        let field = &nursery.scenario.fields[nursery.lot(lot).field];
        let possible = tried.iter().map(|one| nursery.option(one.option).plant);
        let possible: BTreeSet<Day> = possible.collect();
        let (window, mut days) = window(&nursery.scenario, field, &possible);
        days.extend(planned);
        days.extend(asked);
        let told = days
            .into_iter()
            .map(|day| self.day(lot, day, (planned, was), (&tried, &left_out)))
            .collect();
        self.state.set(lot, was);
        self.state.beyond();
        (window, told)
    }

    fn day(
        &mut self,
        lot: LotId,
        day: Day,
        (planned, was): (Option<Day>, Option<OptionId>),
        (tried, left_out): (&[Tried], &[LeftOut]),
    ) -> PlantingDay {
        let nursery = self.ground.nursery;
        let scenario = &nursery.scenario;
        let here = |one: &&Tried| nursery.option(one.option).plant == day;
        let tried: Vec<Tried> = tried.iter().filter(here).copied().collect();
        let for_it = left_out
            .iter()
            .filter(|one| one.plant.is_none_or(|plant| plant == day) && one.sow < day);
        let mut left_out: Vec<LeftOut> = for_it.copied().collect();
        // Seed is handed over on the day itself.
        left_out.retain(|one| one.sow < day || one.plant == Some(day));
        let chosen = planned == Some(day);
        let mut told = PlantingDay {
            day,
            verdict: if chosen {
                Verdict::Chosen
            } else {
                Verdict::Excluded
            },
            why: None,
            way: None,
            more: None,
            in_the_way: Vec::new(),
            frees: Vec::new(),
            sow_days: Vec::new(),
        };
        let field = &scenario.fields[nursery.lot(lot).field];
        let teller = self.teller(lot);
        if let Some(why) = crate::nursery::no_planting(scenario, field, day) {
            told.why = Some(no_planting(why, scenario, day));
            return told;
        }
        told.sow_days = self.sow_days(&teller, was, (&tried, &left_out), lot);
        let allowed = self.allowed;
        let mut fitting = tried.iter().filter(|one| one.fits(allowed));
        let best = if chosen {
            fitting.find(|one| Some(one.option) == was)
        } else {
            fitting.min_by_key(|one| one.key())
        };
        let nearest = tried.iter().min_by_key(|one| (one.beyond, one.key()));
        match (best, nearest) {
            (Some(best), _) => {
                if !chosen {
                    told.verdict = Verdict::Fits;
                }
                told.way = Some(self.way(best.option));
                let more = || best.reading.more_than(&self.base);
                told.more = self.comparable(lot).then(more);
            }
            (None, _) if chosen => told.way = was.map(|was| self.way(was)),
            (None, Some(nearest)) => {
                told.verdict = Verdict::Full;
                told.way = Some(self.way(nearest.option));
                self.in_the_way(lot, nearest, &mut told);
            }
            (None, None) => told.why = Some(teller.none_serves(&left_out)),
        }
        if chosen {
            self.full_sow_days(lot, &tried, &mut told.sow_days);
        }
        told
    }

    /// What a way goes beyond, and which part taken out would make room for it.
    fn in_the_way(&mut self, lot: LotId, nearest: &Tried, told: &mut PlantingDay) {
        let allowed = self.allowed;
        self.state.set(lot, Some(nearest.option));
        let found = beyond(&mut self.state, &self.occupied, &self.over, lot);
        for other in candidates(&found).into_iter().take(MOST_FREED) {
            let was = self.state.choice()[other.0];
            let named = stands(&self.state, other);
            self.state.set(other, None);
            if self.state.beyond() <= allowed {
                told.frees.extend(named);
            }
            self.state.set(other, was);
        }
        self.state.set(lot, None);
        told.in_the_way = found.into_iter().map(|one| one.told).collect();
    }

    /// What the nearest way from each sow day that does not fit goes beyond most.
    fn full_sow_days(&mut self, lot: LotId, tried: &[Tried], sow_days: &mut [SowDay]) {
        let nursery = self.ground.nursery;
        for sow in sow_days
            .iter_mut()
            .filter(|sow| sow.verdict == Verdict::Full)
        {
            let from_it = tried.iter().filter(|one| {
                let run = nursery.option(one.option).run;
                nursery.run(run).sow == sow.day
            });
            let Some(nearest) = from_it.min_by_key(|one| (one.beyond, one.key())) else {
                continue;
            };
            self.state.set(lot, Some(nearest.option));
            let found = beyond(&mut self.state, &self.occupied, &self.over, lot);
            sow.why = found.first().map(|one| {
                let told = &one.told;
                format!("{} on {} {}", told.limit, said(told.day), told.words)
            });
            self.state.set(lot, None);
        }
    }

    /// A way in words of the plan.
    pub(super) fn way(&self, id: OptionId) -> Way {
        let nursery = self.ground.nursery;
        let scenario = &nursery.scenario;
        let option = nursery.option(id);
        let run = nursery.run(option.run);
        let bed = |bed: Option<usize>| bed.map(|bed| scenario.beds[bed].id.clone());
        let germination = option.route.germination;
        Way {
            sow: run.sow,
            run: self.runs.get(&option.run).cloned(),
            line: run.line().map(|line| scenario.lines[line].id.clone()),
            germination: germination.map(|place| scenario.germination[place].id.clone()),
            green_bed: bed(option.route.green_bed),
            harden_bed: bed(option.route.harden_bed),
            leave: option.leave,
            plant: option.plant,
            age: option.age,
        }
    }

    /// Sow days that could serve a planting day by age, and the nearest on either side that could not.
    fn sow_days(
        &self,
        teller: &Teller<'_>,
        was: Option<OptionId>,
        (tried, left_out): (&[Tried], &[LeftOut]),
        lot: LotId,
    ) -> Vec<SowDay> {
        let nursery = self.ground.nursery;
        let sow = |id: OptionId| nursery.run(nursery.option(id).run).sow;
        let mut ways: BTreeMap<Day, Vec<&Tried>> = BTreeMap::new();
        for one in tried {
            ways.entry(sow(one.option)).or_default().push(one);
        }
        let mut reasons: BTreeMap<Day, &LeftOut> = BTreeMap::new();
        for one in left_out.iter().filter(|one| !ways.contains_key(&one.sow)) {
            let kept = reasons.entry(one.sow).or_insert(one);
            if (rank(one.why), -one.age.map_or(0, |age| age.0))
                < (rank(kept.why), -kept.age.map_or(0, |age| age.0))
            {
                *kept = one;
            }
        }
        let shown = shown(&ways, &reasons);
        let allowed = self.allowed;
        let mut all = Vec::new();
        for (day, tried) in ways {
            let is_planned = |one: &&&Tried| Some(one.option) == was;
            let fitting = tried.iter().filter(|one| one.fits(allowed));
            let planned = tried.iter().find(is_planned);
            let best = planned.or_else(|| fitting.min_by_key(|one| one.key()));
            let nearest = tried.iter().min_by_key(|one| (one.beyond, one.key()));
            let age = best.or(nearest).map(|one| nursery.option(one.option).age);
            all.push(SowDay {
                day,
                verdict: match (planned, best) {
                    (Some(_), _) => Verdict::Chosen,
                    (None, Some(_)) => Verdict::Fits,
                    (None, None) => Verdict::Full,
                },
                why: None,
                age,
                more: best.filter(|_| self.comparable(lot)).map(|one| Money {
                    0: one.reading.money() - self.base.money(),
                }),
            });
        }
        let reasons = reasons
            .into_iter()
            .filter(|(day, _)| shown.is_some_and(|shown| shown.contains(*day)));
        all.extend(reasons.map(|(day, one)| SowDay {
            day,
            verdict: Verdict::Excluded,
            why: Some(teller.left_out(one)),
            age: one.age,
            more: None,
        }));
        all.sort_by_key(|one| one.day);
        all
    }
}

/// What hits the right age comes first.
fn rank(why: Exclusion) -> u8 {
    match why {
        Exclusion::TooYoung | Exclusion::TooOld => 2,
        Exclusion::NobodyThere => 1,
        _ => 0,
    }
}

/// The sow days from the nearest that is too old to the nearest that is too young; none without any.
fn shown(ways: &BTreeMap<Day, Vec<&Tried>>, reasons: &BTreeMap<Day, &LeftOut>) -> Option<DayRange> {
    let right = reasons.iter().filter(|(_, one)| rank(one.why) == 0);
    let right = right.map(|(day, _)| *day).chain(ways.keys().copied());
    let right: BTreeSet<Day> = right.collect();
    let of = |why: Exclusion| {
        let all = reasons.iter().filter(move |(_, one)| one.why == why);
        all.map(|(day, _)| *day)
    };
    let (old, young) = (of(Exclusion::TooOld), of(Exclusion::TooYoung));
    let (Some(first), Some(last)) = (right.first(), right.last()) else {
        let (old, young) = (old.max(), young.min());
        return Some(DayRange {
            first: old.or(young)?,
            last: young.or(old)?,
        });
    };
    Some(DayRange {
        first: old.filter(|day| day < first).max().unwrap_or(*first),
        last: young.filter(|day| day > last).min().unwrap_or(*last),
    })
}

/// First and last day of all that window, water and the crop before leave, and the days to tell of.
fn window(
    scenario: &Scenario,
    field: &Field,
    possible: &BTreeSet<Day>,
) -> (Option<DayRange>, BTreeSet<Day>) {
    let open = |day: &Day| {
        !matches!(
            crate::nursery::no_planting(scenario, field, *day),
            Some(
                NoPlanting::OutsideHorizon
                    | NoPlanting::OutsideWindow
                    | NoPlanting::Water
                    | NoPlanting::Harvest
            )
        )
    };
    let days: Vec<Day> = scenario.horizon.iter().filter(open).collect();
    let (Some(first), Some(last)) = (days.first().copied(), days.last().copied()) else {
        return (None, BTreeSet::new());
    };
    let bounded = !field.window.is_empty() || field.block.is_some();
    let span = DayRange { first, last };
    if bounded || (field.harvest_before.is_some() && field.harvest_last_days.is_some()) {
        return (Some(span), span.iter().collect());
    }
    // Without a last day, or any: what is possible, and a little on either side.
    let near = match (possible.first(), possible.last()) {
        (Some(from), Some(until)) => DayRange {
            first: first.max(from.plus(-BESIDE)),
            last: last.min(until.plus(BESIDE)),
        },
        _ => DayRange {
            first,
            last: last.min(first.plus(10 * BESIDE)),
        },
    };
    let window = field.harvest_before.map(|_| span);
    (window, near.iter().collect())
}
