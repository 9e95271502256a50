//! The options of a lot: every pair of sow day and planting day, by line and places, that is allowed.

use super::resolve::Timelines;
use super::seed::{self, SeedChain};
use super::timeline::{Broken, Route};
use super::{GrowOption, Lot, LotId, RunId, RunSource};
use crate::calendar::{Day, DayRange};
use crate::scenario::{Field, Kind, Pin, Scenario};
use crate::units::{Age, Money, fit};
use std::collections::BTreeMap;

/// Why a pair of days was left out.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Exclusion {
    /// The line does not run on the sow day.
    LineRests,
    /// Seed cannot have been soaked in time.
    SeedNotReady,
    /// A stack or the first covers would wait too long, since nobody works.
    NobodyThere,
    /// The dates are pinned elsewhere.
    Pinned,
    /// Right by the kind's own clock, but not by one of its further limits.
    FurtherLimit,
    /// Younger than the youngest age.
    TooYoung,
    /// Older than the oldest age.
    TooOld,
}

/// How a lot's days fared: enough to say why it has no option.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LotStory {
    /// Days on which the field can be planted.
    pub planting_days: usize,
    /// Pairs of days left out, by reason. Those before the ages count pairs of the right age only.
    pub excluded: BTreeMap<Exclusion, usize>,
    /// The greatest age among those too young.
    pub nearly_old_enough: Option<Age>,
    /// The least age among those too old.
    pub nearly_young_enough: Option<Age>,
}

/// A run by what makes it one, before it has an index. Trays that already grow sort first.
pub(super) type RunKey = (Day, Option<usize>, usize, usize);

/// An option before its run has an index.
pub(super) struct Draft {
    pub key: RunKey,
    pub source: RunSource,
    pub option: GrowOption,
}

pub(super) struct Enumerator<'a> {
    pub scenario: &'a Scenario,
    pub timelines: &'a mut Timelines,
}

impl Enumerator<'_> {
    /// All options of `lot`, by sow day, line, route and planting day; and why the others are none.
    pub fn of_lot(&mut self, id: LotId, lot: &Lot) -> (Vec<Draft>, LotStory) {
        let scenario = self.scenario;
        let field = &scenario.fields[lot.field];
        let kind = &scenario.kinds[lot.kind];
        let days = planting_days(scenario, field);
        let mut story = LotStory {
            planting_days: days.len(),
            ..LotStory::default()
        };
        let mut drafts = Vec::new();
        let Some(last) = days.last().copied() else {
            return (drafts, story);
        };
        let pin = scenario
            .pins
            .iter()
            .find(|pin| pin.field == field.id && pin.part == lot.part);
        let starts: Vec<Day> = match lot.standing {
            Some(entry) => vec![scenario.opening.sown[entry].sown],
            None => (0..last.since(scenario.horizon.first).max(0))
                .map(|ahead| scenario.horizon.first.plus(ahead))
                .collect(),
        };
        for sow in starts {
            let chain = seed::chain(scenario, kind, sow);
            for route in self.routes(lot) {
                let timeline = match self.timelines.get(scenario, lot.kind, sow, route) {
                    Ok(timeline) => timeline.clone(),
                    Err(Broken::NeverReady) => continue,
                    Err(_) => {
                        *story.excluded.entry(Exclusion::NobodyThere).or_default() += 1;
                        continue;
                    }
                };
                for plant in days.iter().copied().filter(|day| *day > sow) {
                    let age = match age_on(kind, &timeline, plant) {
                        Ok(age) => age,
                        Err(why) => {
                            story.note_age(why, &timeline, plant);
                            continue;
                        }
                    };
                    let sources = match self.sources(lot, sow, plant, chain, pin) {
                        Ok(sources) => sources,
                        Err(why) => {
                            *story.excluded.entry(why).or_default() += 1;
                            continue;
                        }
                    };
                    for (source, key) in sources {
                        let option = GrowOption {
                            lot: id,
                            run: RunId(usize::MAX),
                            route,
                            open: timeline.open,
                            harden: timeline.harden,
                            plant,
                            collect: self.collect_day(plant),
                            age,
                            age_cost: cost_of(age_rate(kind, age), lot.trays),
                            preferred_cost: cost_of(
                                preferred_rate(scenario, field, plant),
                                lot.trays,
                            ),
                        };
                        drafts.push(Draft {
                            key,
                            source,
                            option,
                        });
                    }
                }
            }
        }
        drafts.sort_by_key(|draft| (draft.key, draft.option.route, draft.option.plant));
        (drafts, story)
    }

    fn routes(&self, lot: &Lot) -> Vec<Route> {
        let Some(entry) = lot.standing else {
            return self.timelines.routes.clone();
        };
        let sown = &self.scenario.opening.sown[entry];
        let bed = |id: &str| self.scenario.beds.iter().position(|bed| bed.id == id);
        let place = self
            .scenario
            .germination
            .iter()
            .position(|place| place.id == sown.germination);
        match (place, bed(&sown.green_bed), bed(&sown.harden_bed)) {
            (Some(germination), Some(green_bed), Some(harden_bed)) => {
                vec![Route {
                    germination,
                    green_bed,
                    harden_bed,
                }]
            }
            _ => Vec::new(),
        }
    }

    /// The runs that could carry the pair of days, or why there is none.
    fn sources(
        &self,
        lot: &Lot,
        sow: Day,
        plant: Day,
        chain: Option<SeedChain>,
        pin: Option<&Pin>,
    ) -> Result<Vec<(RunSource, RunKey)>, Exclusion> {
        let kept = |pinned: Option<Day>, day: Day| pinned.is_none_or(|pinned| pinned == day);
        if pin.is_some_and(|pin| !kept(pin.plant, plant) || !kept(pin.sow, sow)) {
            return Err(Exclusion::Pinned);
        }
        if let Some(entry) = lot.standing {
            return Ok(vec![(
                RunSource::Standing(entry),
                (sow, None, lot.kind, entry),
            )]);
        }
        if !self.scenario.calendars.line.works(sow) {
            return Err(Exclusion::LineRests);
        }
        let SeedChain { soak, drain, batch } = chain.ok_or(Exclusion::SeedNotReady)?;
        Ok((0..self.scenario.lines.len())
            .map(|line| {
                let source = RunSource::Line {
                    line,
                    soak,
                    drain,
                    batch,
                };
                (source, (sow, Some(line), lot.kind, 0))
            })
            .collect())
    }

    fn collect_day(&self, plant: Day) -> Day {
        let back = plant.plus(self.scenario.trays.return_days);
        self.scenario
            .calendars
            .beds
            .first_from(back, 1_000)
            .unwrap_or(back)
    }
}

impl LotStory {
    fn note_age(&mut self, why: Exclusion, timeline: &super::Timeline, plant: Day) {
        *self.excluded.entry(why).or_default() += 1;
        let at = plant.since(timeline.harden);
        match why {
            Exclusion::TooYoung if at >= 0 => {
                let age = timeline.ages.get(at as usize).copied();
                self.nearly_old_enough = self.nearly_old_enough.max(age);
            }
            Exclusion::TooOld => {
                let oldest = timeline.ages.last().copied();
                self.nearly_young_enough = match (self.nearly_young_enough, oldest) {
                    (Some(one), Some(other)) => Some(one.min(other)),
                    (one, other) => one.or(other),
                };
            }
            _ => {}
        }
    }

    /// Why the lot has no option at all, in words.
    pub fn why_none(&self, field: &Field, kind: &Kind) -> String {
        if !field.ready {
            return "the field is not ready; say `ready` when it is".into();
        }
        if self.planting_days == 0 {
            return "no day of its window is open for planting inside the horizon".into();
        }
        let count = |why| self.excluded.get(&why).copied().unwrap_or(0);
        let right_age = [
            (
                Exclusion::Pinned,
                "its dates are pinned to days that do not go together",
            ),
            (
                Exclusion::SeedNotReady,
                "seed would have to be soaked before the first day, or on a day nobody works",
            ),
            (
                Exclusion::LineRests,
                "the line rests on every day on which it would have to be sown",
            ),
            (
                Exclusion::FurtherLimit,
                "a further limit of age of its kind forbids every day of the right age",
            ),
            (
                Exclusion::NobodyThere,
                "nobody works when its stacks or covers would be due",
            ),
        ];
        // Of the reasons that hit dates of the right age, the commonest decides.
        let main = right_age
            .iter()
            .max_by_key(|(why, _)| count(*why))
            .filter(|(why, _)| count(*why) > 0);
        if let Some((_, words)) = main {
            return (*words).into();
        }
        let limits = &kind.age;
        match (count(Exclusion::TooYoung), count(Exclusion::TooOld)) {
            (young, 0) if young > 0 => format!(
                "too young on every day of its window{}; `{}` is planted from age {}",
                self.nearly_old_enough
                    .map_or(String::new(), |age| format!(" (at most {age})")),
                kind.id,
                limits.youngest
            ),
            (0, old) if old > 0 => {
                format!(
                    "too old on every day of its window; `{}` is planted up to age {}",
                    kind.id, limits.oldest
                )
            }
            _ => format!(
                "no sow day gives an age between {} and {} on a day of its window",
                limits.youngest, limits.oldest
            ),
        }
    }
}

/// Days on which the field can be planted, inside the horizon, ascending: all that its window, its block and the crop before it say.
fn planting_days(scenario: &Scenario, field: &Field) -> Vec<Day> {
    let within = |spans: &[DayRange], day: Day| spans.iter().any(|span| span.contains(day));
    let block = field
        .block
        .as_ref()
        .and_then(|id| scenario.blocks.iter().find(|block| block.id == *id));
    let after_water = |day: Day| {
        block.is_none_or(|block| {
            let days = day.since(block.water);
            block.first_days <= days && days <= block.last_days
        })
    };
    let after_harvest = |day: Day| {
        field.harvest_before.is_none_or(|harvest| {
            let days = day.since(harvest);
            days >= field.harvest_first_days
                && field.harvest_last_days.is_none_or(|last| days <= last)
        })
    };
    if !field.ready {
        return Vec::new();
    }
    let days = scenario.horizon.iter();
    days.filter(|day| field.window.is_empty() || within(&field.window, *day))
        .filter(|day| scenario.calendars.planting.works(*day))
        .filter(|day| !within(&field.closed, *day))
        .filter(|day| after_water(*day) && after_harvest(*day))
        .collect()
}

fn age_on(kind: &Kind, timeline: &super::Timeline, plant: Day) -> Result<Age, Exclusion> {
    let at = plant.since(timeline.harden);
    if at < 0 {
        return Err(Exclusion::TooYoung);
    }
    let age = *timeline.ages.get(at as usize).ok_or(Exclusion::TooOld)?;
    if age < kind.age.youngest {
        return Err(Exclusion::TooYoung);
    }
    let further = kind.limits.iter().zip(&timeline.further);
    for (limit, ages) in further {
        let own = ages[at as usize];
        if limit.youngest.is_some_and(|youngest| own < youngest)
            || limit.oldest.is_some_and(|oldest| own > oldest)
        {
            return Err(Exclusion::FurtherLimit);
        }
    }
    Ok(age)
}

/// What a tray costs for being off the target age, in thousandths ÷ 10 000: exact.
pub(super) fn age_rate(kind: &Kind, age: Age) -> i128 {
    let off = age.0 - kind.age.target.0;
    let price = if off < 0 {
        kind.cost_younger
    } else {
        kind.cost_older
    };
    // Hundredths of a unit × price of 100 trays and unit.
    i128::from(off.abs()) * i128::from(price.0)
}

/// What a tray costs for days off the preferred one, in thousandths ÷ 10 000: exact.
pub(super) fn preferred_rate(scenario: &Scenario, field: &Field, plant: Day) -> i128 {
    let off = field
        .preferred
        .map_or(0, |preferred| plant.since(preferred).abs());
    // Days × price of 100 trays and day.
    i128::from(off) * i128::from(scenario.prices.off_preferred.0) * 100
}

/// The cost of `trays` at such a rate, to the nearest thousandth; at most a quarter of what 64 bits hold.
fn cost_of(rate: i128, trays: i64) -> Money {
    let near = (2 * rate * i128::from(trays) + 10_000).div_euclid(20_000);
    Money {
        0: fit(near).min(i64::MAX / 4),
    }
}
