//! People by week: how many to hire beside the regular staff, and the overtime that is left, at the least cost.
//!
//! Where a crew may hire by the week, or has a weekly limit of hours, its days cannot be priced one by one: a person hired works all
//! working days of the week, and hiring and releasing have prices. For the hours that the decisions ask for, the best number of people
//! is found exactly, by dynamic programming from week to week over all numbers. What goes beyond limits is made least first, money second.

use crate::calendar::IsoWeek;
use crate::nursery::{Nursery, work};
use crate::rules::{Books, Supply, Weekly};
use crate::units::Span;
use std::ops::Range;

/// Going beyond limits stands above money in one number.
const ABOVE_MONEY: u32 = 62;

/// What never changes of a crew that is staffed by week.
#[derive(Clone, Debug)]
struct Desk {
    resource: usize,
    weekly: Weekly,
    weeks: Vec<Week>,
    /// Week of each day.
    of_day: Vec<usize>,
}

/// A week of a crew, cut at the horizon.
#[derive(Clone, Debug)]
pub struct Week {
    name: IsoWeek,
    /// Its days, as indexes in the horizon.
    pub days: Range<usize>,
    /// Days on which a hired person works.
    pub working: i64,
}

impl Week {
    /// Its number in the calendar.
    pub fn name(&self) -> IsoWeek {
        self.name
    }
}

/// The crews that are staffed by week.
#[derive(Clone, Debug, Default)]
pub struct Desks {
    desks: Vec<Desk>,
    of_resource: Vec<Option<usize>>,
}

impl Desks {
    /// Looks for them in the books.
    pub fn new(nursery: &Nursery, books: &Books) -> Desks {
        let mut desks = Desks {
            of_resource: vec![None; books.resources.len()],
            ..Desks::default()
        };
        for (resource, entry) in books.resources.iter().enumerate() {
            let Supply::Weekly { people, .. } = &entry.supply else {
                continue;
            };
            let weeks = weeks(nursery, people);
            desks.of_resource[resource] = Some(desks.desks.len());
            let mut of_day = vec![0; nursery.days];
            for (at, week) in weeks.iter().enumerate() {
                of_day[week.days.clone()].fill(at);
            }
            desks.desks.push(Desk {
                resource,
                weekly: people.clone(),
                weeks,
                of_day,
            });
        }
        desks
    }

    /// A crew's people, and the days of its weeks with the days worked in each, when it is staffed by week.
    pub fn of(&self, resource: usize) -> Option<(&Weekly, &[Week])> {
        let desk = &self.desks[self.of_resource[resource]?];
        Some((&desk.weekly, &desk.weeks))
    }

    /// True when the crew's days are not priced one by one.
    pub fn staffs(&self, resource: usize) -> bool {
        self.of_resource[resource].is_some()
    }
}

fn weeks(nursery: &Nursery, people: &Weekly) -> Vec<Week> {
    let mut weeks: Vec<Week> = Vec::new();
    for day in 0..nursery.days {
        let name = nursery.day(day).iso_week();
        match weeks.last_mut() {
            Some(week) if week.name == name => week.days.end = day + 1,
            _ => weeks.push(Week {
                name,
                days: day..day + 1,
                working: 0,
            }),
        }
        if let Some(week) = weeks.last_mut() {
            week.working += i64::from(people.shift[day] > 0);
        }
    }
    weeks
}

/// What is asked of a crew on a day, and what its regular staff has.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// Person time of all work, ms.
    pub used: i64,
    /// Of the regular staff, ms.
    pub there: i64,
    /// Overtime of the regular staff, or people on a day off, ms.
    pub buyable: i64,
    /// Thousandths an hour of it.
    pub price_per_h: i64,
}

/// Time bought of a crew on a day: whole minutes, their price, and milliseconds that nobody can be asked for.
#[derive(Default)]
struct BoughtOn {
    minutes: i64,
    price: i64,
    too_much: i64,
}

/// People of one crew in one week.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Staffed {
    /// The crew's resource.
    pub resource: usize,
    /// Week.
    pub week: IsoWeek,
    /// People hired beside the regular staff.
    pub casual: i64,
}

/// The present numbers of people and what they cost.
#[derive(Clone, Debug)]
pub struct Staffing {
    crews: Vec<Crew>,
    money: i64,
    beyond: i128,
}

#[derive(Clone, Debug)]
struct Crew {
    /// By week and level: what the week costs with so many hired.
    stage: Vec<i128>,
    /// By week and level: the least cost up to the end of the week.
    forward: Vec<i128>,
    /// Weeks whose hours changed.
    stale: Vec<bool>,
    /// First week that changed.
    from: usize,
    total: i128,
}

impl Staffing {
    /// Nobody hired, nothing asked for; all weeks are to be looked at.
    pub fn new(desks: &Desks) -> Staffing {
        let crews = desks.desks.iter().map(|desk| {
            let size = desk.weeks.len() * desk.levels();
            Crew {
                stage: vec![0; size],
                forward: vec![0; size],
                stale: vec![true; desk.weeks.len()],
                from: 0,
                total: 0,
            }
        });
        Staffing {
            crews: crews.collect(),
            money: 0,
            beyond: 0,
        }
    }

    /// Says that the hours of a crew changed on the days from `from` up to `last`.
    pub fn touch(&mut self, desks: &Desks, resource: usize, from: usize, last: usize) {
        let Some(at) = desks.of_resource[resource] else {
            return;
        };
        let desk = &desks.desks[at];
        let crew = &mut self.crews[at];
        crew.from = crew.from.min(desk.of_day[from]);
        crew.stale[desk.of_day[from]..=desk.of_day[last]].fill(true);
    }

    /// Finds the best numbers again where hours changed. `asked` tells a crew's day; `beyond` prices milliseconds beyond limits.
    pub fn settle(
        &mut self,
        desks: &Desks,
        asked: impl Fn(usize, usize) -> Asked,
        beyond: impl Fn(usize, i64) -> i128,
    ) {
        let mut changed = false;
        for (desk, crew) in desks.desks.iter().zip(&mut self.crews) {
            if crew.from >= desk.weeks.len() {
                continue;
            }
            changed = true;
            let levels = desk.levels();
            let mut last = crew.from;
            for week in crew.from..desk.weeks.len() {
                if std::mem::take(&mut crew.stale[week]) {
                    last = week;
                    for level in 0..levels {
                        let cost = desk.week_cost(week, level as i64, &asked, &beyond);
                        crew.stage[week * levels + level] = cost;
                    }
                }
            }
            crew.walk(desk, crew.from, last);
            crew.from = desk.weeks.len();
        }
        if changed {
            let total: i128 = self.crews.iter().map(|crew| crew.total).sum();
            self.beyond = total >> ABOVE_MONEY;
            self.money = (total - (self.beyond << ABOVE_MONEY)) as i64;
        }
    }

    /// Price of people hired, of changes of their number and of time bought, thousandths, as settled.
    pub fn money(&self) -> i64 {
        self.money
    }

    /// Price of what goes beyond limits, as settled.
    pub fn beyond(&self) -> i128 {
        self.beyond
    }

    /// Price of people hired and of changes of their number, thousandths, as settled.
    pub fn prices(&self, desks: &Desks) -> (i64, i64) {
        let (mut hired, mut changes) = (0, 0);
        for (desk, crew) in desks.desks.iter().zip(&self.crews) {
            let mut before = desk.weekly.before;
            for (week, level) in desk.weeks.iter().zip(crew.levels_by_week(desk)) {
                let casual = level as i64;
                hired += desk.weekly.price_per_day * casual * week.working;
                changes += desk.changing(before, casual) as i64;
                before = casual;
            }
        }
        (hired, changes)
    }

    /// Weeks in which more is bought than a person's week allows, as settled: the crew's resource, the week's first day and milliseconds.
    pub fn too_long(
        &self,
        desks: &Desks,
        asked: impl Fn(usize, usize) -> Asked,
    ) -> Vec<(usize, usize, i64)> {
        let mut all = Vec::new();
        for (desk, crew) in desks.desks.iter().zip(&self.crews) {
            for (week, level) in desk.weeks.iter().zip(crew.levels_by_week(desk)) {
                let casual = level as i64;
                let Some(allowed) = desk.weekly.bought_minutes(week.days.clone(), casual) else {
                    continue;
                };
                let days = week.days.clone();
                let minutes: i64 = days
                    .map(|day| desk.bought(day, casual, &asked).minutes)
                    .sum();
                if minutes > allowed {
                    let over = (minutes - allowed) * Span::MINUTE;
                    all.push((desk.resource, week.days.start, over));
                }
            }
        }
        all
    }

    /// People hired by crew and week, as settled: the fewest among equals, from the last week back.
    pub fn people(&self, desks: &Desks) -> Vec<Staffed> {
        let mut all = Vec::new();
        for (desk, crew) in desks.desks.iter().zip(&self.crews) {
            let levels = crew.levels_by_week(desk);
            let named = desk.weeks.iter().zip(levels);
            all.extend(named.map(|(week, casual)| Staffed {
                resource: desk.resource,
                week: week.name,
                casual: casual as i64,
            }));
        }
        all
    }
}

impl Crew {
    /// Carries the least cost on from week to week: from the first week that changed, over all up to `last` that may have changed, and on
    /// until it makes no difference any more.
    fn walk(&mut self, desk: &Desk, from: usize, last: usize) {
        let levels = desk.levels();
        let mut least: Vec<i128> = match from.checked_sub(1) {
            Some(before) => self.forward[before * levels..from * levels].to_vec(),
            None => desk.at_first(),
        };
        for week in from..desk.weeks.len() {
            let at = week * levels;
            desk.change(&mut least);
            let mut same = true;
            for (level, least) in least.iter_mut().enumerate() {
                *least += self.stage[at + level];
                same &= self.forward[at + level] == *least;
                self.forward[at + level] = *least;
            }
            if same && week >= last {
                break;
            }
        }
        let last = self.forward.len().saturating_sub(levels);
        self.total = self.forward[last..].iter().copied().min().unwrap_or(0);
    }

    fn levels_by_week(&self, desk: &Desk) -> Vec<usize> {
        let levels = desk.levels();
        let mut chosen = vec![0; desk.weeks.len()];
        let mut after: Option<usize> = None;
        for week in (0..desk.weeks.len()).rev() {
            let cost = |level: usize| {
                let on = after.map_or(0, |after| desk.changing(level as i64, after as i64));
                self.forward[week * levels + level] + on
            };
            let best = (0..levels)
                .min_by_key(|level| (cost(*level), *level))
                .unwrap_or(0);
            chosen[week] = best;
            after = Some(best);
        }
        chosen
    }
}

impl Desk {
    fn levels(&self) -> usize {
        self.weekly.most.max(0) as usize + 1
    }

    /// Before the first week so many are hired; those beyond the most are released.
    fn at_first(&self) -> Vec<i128> {
        let mut least = vec![i128::MAX / 4; self.levels()];
        let most = self.weekly.most.max(0);
        let kept = self.weekly.before.min(most);
        least[kept as usize] = self.changing(self.weekly.before, kept);
        least
    }

    /// From the least cost of each number to that of having changed to each number: one person at a time, up and then down.
    fn change(&self, least: &mut [i128]) {
        for level in 1..least.len() {
            least[level] = least[level].min(least[level - 1] + i128::from(self.weekly.hire));
        }
        for level in (1..least.len()).rev() {
            least[level - 1] = least[level - 1].min(least[level] + i128::from(self.weekly.release));
        }
    }

    fn changing(&self, before: i64, after: i64) -> i128 {
        let price = if after > before {
            self.weekly.hire
        } else {
            self.weekly.release
        };
        i128::from((after - before).abs()) * i128::from(price)
    }

    /// What must be bought on a day with `casual` people hired.
    fn bought(&self, day: usize, casual: i64, asked: &impl Fn(usize, usize) -> Asked) -> BoughtOn {
        let Asked {
            used,
            there,
            buyable,
            price_per_h,
        } = asked(self.resource, day);
        let over = used - there - casual * self.weekly.shift[day];
        if over <= 0 {
            return BoughtOn::default();
        }
        let bought = over.min(buyable + casual * self.weekly.overtime[day]);
        let minutes = Span(bought).minutes_up();
        BoughtOn {
            minutes,
            price: work::price_of_minutes(minutes, price_per_h),
            too_much: over - bought,
        }
    }

    /// What a week costs with `casual` people hired.
    fn week_cost(
        &self,
        week: usize,
        casual: i64,
        asked: &impl Fn(usize, usize) -> Asked,
        beyond: &impl Fn(usize, i64) -> i128,
    ) -> i128 {
        let Week { days, working, .. } = &self.weeks[week];
        let mut money = self.weekly.price_per_day * casual * working;
        let mut over_limits = 0;
        let mut bought_minutes = 0;
        for day in days.clone() {
            let bought = self.bought(day, casual, asked);
            money += bought.price;
            bought_minutes += bought.minutes;
            over_limits += beyond(self.resource, bought.too_much);
        }
        if let Some(allowed) = self.weekly.bought_minutes(days.clone(), casual) {
            let too_long = (bought_minutes - allowed).max(0) * Span::MINUTE;
            over_limits += beyond(self.resource, too_long);
        }
        (over_limits << ABOVE_MONEY) + i128::from(money)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn desk(hire: i64, release: i64) -> Desk {
        let days = 6;
        let name = IsoWeek {
            year: 2027,
            week: 1,
        };
        let week = |from: usize| Week {
            name,
            days: from..from + 2,
            working: 2,
        };
        Desk {
            resource: 0,
            weekly: Weekly {
                before: 0,
                most: 3,
                price_per_day: 10,
                hire,
                release,
                people: vec![0; days],
                shift: vec![Span::HOUR; days],
                overtime: vec![0; days],
                week_ms: None,
            },
            weeks: vec![week(0), week(2), week(4)],
            of_day: vec![0, 0, 1, 1, 2, 2],
        }
    }

    fn asked(hours: [i64; 6]) -> impl Fn(usize, usize) -> Asked {
        move |_, day| Asked {
            used: hours[day] * Span::HOUR,
            there: Span::HOUR,
            buyable: Span::HOUR,
            price_per_h: 15,
        }
    }

    /// The least over all numbers in all weeks, tried one after the other.
    fn tried(desk: &Desk, hours: [i64; 6]) -> i128 {
        let mut least = i128::MAX;
        for levels in 0..64usize {
            let level = [levels % 4, levels / 4 % 4, levels / 16];
            let mut cost = 0;
            let mut before = 0;
            for (week, level) in level.iter().enumerate() {
                let level = *level as i64;
                cost += desk.changing(before, level);
                cost += desk.week_cost(week, level, &asked(hours), &|_, ms| i128::from(ms.max(0)));
                before = level;
            }
            least = least.min(cost);
        }
        least
    }

    #[test]
    fn as_good_as_all_numbers_tried() {
        for (hire, release) in [(0, 0), (7, 0), (0, 9), (25, 25), (300, 300)] {
            for hours in [
                [1, 2, 3, 4, 0, 1],
                [4, 4, 0, 0, 4, 4],
                [9, 0, 0, 3, 3, 3],
                [0; 6],
            ] {
                let desks = Desks {
                    desks: vec![desk(hire, release)],
                    of_resource: vec![Some(0)],
                };
                let mut staffing = Staffing::new(&desks);
                staffing.settle(&desks, asked(hours), |_, ms| i128::from(ms.max(0)));
                let found = (staffing.beyond() << ABOVE_MONEY) + i128::from(staffing.money());
                assert_eq!(
                    found,
                    tried(&desks.desks[0], hours),
                    "{hire} {release} {hours:?}"
                );
                // The numbers told cost what was found.
                let mut before = 0;
                let mut cost = 0;
                for (week, staffed) in staffing.people(&desks).iter().enumerate() {
                    let desk = &desks.desks[0];
                    cost += desk.changing(before, staffed.casual);
                    cost += desk.week_cost(week, staffed.casual, &asked(hours), &|_, ms| {
                        i128::from(ms.max(0))
                    });
                    before = staffed.casual;
                }
                assert_eq!(cost, found);
            }
        }
    }

    #[test]
    fn people_stay_when_changing_is_dear() {
        let desks = |price| Desks {
            desks: vec![desk(price, price)],
            of_resource: vec![Some(0)],
        };
        let numbers = |price| -> Vec<i64> {
            let desks = desks(price);
            let mut staffing = Staffing::new(&desks);
            staffing.settle(&desks, asked([4, 4, 1, 1, 4, 4]), |_, ms| {
                i128::from(ms.max(0))
            });
            staffing
                .people(&desks)
                .iter()
                .map(|staffed| staffed.casual)
                .collect()
        };
        assert_eq!(numbers(0), [3, 0, 3]);
        assert_eq!(numbers(40), [2, 2, 2]);
    }
}
