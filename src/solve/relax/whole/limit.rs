//! What a day has of a resource where every point is to be a plan: time bought in whole minutes, hours of a week, and washing, which takes
//! regular hours that are left and nothing else.

use super::super::super::program::{ColumnTag, RowTag, Sense};
use super::super::super::state::Ground;
use super::super::{Builder, collected};
use super::money;
use crate::units::{Span, div_up};

/// Time that a crew has on a day beside its regular hours, ms.
#[derive(Clone, Copy)]
struct Beside {
    buyable: i64,
    /// Of each person hired.
    shift: i64,
    overtime: i64,
    /// Most people hired.
    most: i64,
    price_per_h: i64,
}

impl Beside {
    fn all(self) -> i64 {
        self.most_bought() + self.most * self.shift
    }

    fn most_bought(self) -> i64 {
        self.buyable + self.most * self.overtime
    }
}

impl Builder<'_> {
    /// The limit of a resource on a day, all that takes of it but washing and buying given.
    pub(in super::super) fn limit_whole(
        &mut self,
        resource: usize,
        day: usize,
        used: Vec<(usize, f64)>,
    ) {
        let ground = self.ground;
        let slot = resource * ground.nursery.days + day;
        let used = collected(used);
        let there = ground.slots.there[slot];
        let hired = self.hired[slot].zip(ground.desks.of(resource));
        let beside = Beside {
            buyable: ground.slots.buyable[slot],
            shift: hired.map_or(0, |(_, (people, _))| people.shift[day]),
            overtime: hired.map_or(0, |(_, (people, _))| people.overtime[day]),
            most: hired.map_or(0, |(_, (people, _))| people.most),
            price_per_h: ground.slots.price_per_h[slot],
        };
        let casual = hired.map(|(casual, _)| casual);
        let supply = ground.trays();
        let washing = supply
            .labour
            .filter(|(crew, _)| *crew == resource && supply.wash[day] > 0);
        let mut regular = used.clone();
        if let Some((_, ms)) = washing {
            regular.push((self.tray_columns[day][2], self.amount(resource, ms)));
            if self.further().wash_first[day] {
                self.no_time(day, regular.clone(), (there, ms));
            }
        }
        if beside.all() == 0 {
            let limit = self.amount(resource, there);
            let tag = RowTag::Limit(resource, day);
            self.program
                .row(tag, collected(regular), Sense::AtMost, limit);
            return;
        }
        if washing.is_some() {
            self.wash_in_regular_hours(resource, day, regular, (there, beside));
        }
        self.with_bought(resource, day, used, (there, beside, casual));
    }

    /// An amount of a resource in the program's unit.
    fn amount(&self, resource: usize, amount: i64) -> f64 {
        amount as f64 / self.scale[resource]
    }

    /// What goes beyond regular hours is bought, or people are hired for it.
    fn with_bought(
        &mut self,
        resource: usize,
        day: usize,
        used: Vec<(usize, f64)>,
        (there, beside, casual): (i64, Beside, Option<usize>),
    ) {
        let slot = resource * self.ground.nursery.days + day;
        let mut limit = used.clone();
        if let Some(casual) = casual.filter(|_| beside.shift > 0) {
            limit.push((casual, -self.amount(resource, beside.shift)));
        }
        if beside.most_bought() > 0 {
            let minutes = div_up(beside.most_bought(), Span::MINUTE) as f64;
            let price = money(beside.price_per_h) / 60.0;
            let tag = ColumnTag::Bought(resource, day);
            let bought = self.program.column(tag, minutes, true, price);
            self.program.columns[bought].whole = true;
            self.further().bought[slot] = Some(bought);
            limit.push((bought, -self.amount(resource, Span::MINUTE)));
            self.most_bought(resource, day, (used, bought), (there, beside, casual));
        }
        let there = self.amount(resource, there);
        let tag = RowTag::Limit(resource, day);
        self.program
            .row(tag, collected(limit), Sense::AtMost, there);
    }

    /// No more is bought than those who are there may be asked for: in minutes, or to the millisecond where that is not whole minutes.
    fn most_bought(
        &mut self,
        resource: usize,
        day: usize,
        (used, bought): (Vec<(usize, f64)>, usize),
        (there, beside, casual): (i64, Beside, Option<usize>),
    ) {
        let whole = |ms: i64| ms % Span::MINUTE == 0;
        if whole(beside.buyable) && whole(beside.overtime) {
            if let Some(casual) = casual.filter(|_| beside.overtime > 0) {
                let terms = vec![
                    (bought, 1.0),
                    (casual, -((beside.overtime / Span::MINUTE) as f64)),
                ];
                let most = (beside.buyable / Span::MINUTE) as f64;
                let tag = RowTag::Overtime(resource, day);
                self.program.row(tag, collected(terms), Sense::AtMost, most);
            }
            return;
        }
        let mut terms = used;
        if let Some(casual) = casual {
            let a_person = beside.shift + beside.overtime;
            terms.push((casual, -self.amount(resource, a_person)));
        }
        let most = self.amount(resource, there + beside.buyable);
        let tag = RowTag::MostBought(resource, day);
        self.program.row(tag, collected(terms), Sense::AtMost, most);
    }

    /// Washing takes only what is left of regular hours: nothing when all are used, whatever is bought.
    fn wash_in_regular_hours(
        &mut self,
        resource: usize,
        day: usize,
        mut regular: Vec<(usize, f64)>,
        (there, beside): (i64, Beside),
    ) {
        let washed = self.tray_columns[day][2];
        let most = self.ground.trays().wash[day] as f64;
        let tag = ColumnTag::Regular(day);
        let left = self.program.column(tag, 1.0, true, 0.0);
        let beyond = self.amount(resource, beside.all());
        regular.push((left, beyond));
        let limit = self.amount(resource, there) + beyond;
        let tag = RowTag::WashRegular(day);
        self.program
            .row(tag, collected(regular), Sense::AtMost, limit);
        let terms = collected(vec![(washed, 1.0), (left, -most)]);
        let tag = RowTag::WashOn(day);
        self.program.row(tag, terms, Sense::AtMost, 0.0);
    }

    /// A column that may be 1 only when there is no time to wash one tray more, `regular` being all that is done in regular hours.
    fn no_time(&mut self, day: usize, mut regular: Vec<(usize, f64)>, (there, ms): (i64, i64)) {
        // From so many milliseconds on there is less left than a tray takes.
        let enough = there - ms + 1;
        if enough <= 0 {
            // Nothing can be washed at all.
            self.further().wash_first[day] = false;
            return;
        }
        let tag = ColumnTag::WashTime(day);
        let none = self.program.column(tag, 1.0, true, 0.0);
        self.further().wash_time[day] = Some(none);
        regular.push((none, -(enough as f64) / Span::MINUTE as f64));
        let tag = RowTag::WashTime(day);
        self.program
            .row(tag, collected(regular), Sense::AtLeast, 0.0);
    }

    /// Where trays washed later would be ready sooner, as much is washed as can be, as the plan does it.
    pub(super) fn washing(&mut self) {
        let days = self.ground.nursery.days;
        for day in 0..days {
            if !self.further().wash_first[day] {
                continue;
            }
            let [_, dirty, washed] = self.tray_columns[day];
            let all = self.program.columns[dirty].upper;
            let most = self.ground.trays().wash[day] as f64;
            let mut column = |tag| self.program.column(tag, 1.0, true, 0.0);
            let (left, full) = (
                column(ColumnTag::Left(day)),
                column(ColumnTag::WashFull(day)),
            );
            let mut row = |tag, terms| self.program.row(tag, terms, Sense::AtMost, 0.0);
            row(
                RowTag::Left(day),
                collected(vec![(dirty, 1.0), (left, -all)]),
            );
            row(
                RowTag::WashFull(day),
                collected(vec![(full, most), (washed, -1.0)]),
            );
            let mut why = vec![(left, 1.0), (full, -1.0)];
            if let Some(none) = self.further().wash_time[day] {
                why.push((none, -1.0));
            }
            let tag = RowTag::WashAll(day);
            self.program.row(tag, collected(why), Sense::AtMost, 0.0);
        }
    }

    /// Hours of a week: what is bought in it.
    pub(super) fn weeks(&mut self) {
        let ground = self.ground;
        let days = ground.nursery.days;
        for resource in 0..ground.books.resources.len() {
            let Some((people, weeks)) = ground.desks.of(resource) else {
                continue;
            };
            for (week, span) in weeks.iter().enumerate() {
                let slots = resource * days + span.days.start..resource * days + span.days.end;
                let bought: Vec<(usize, f64)> = slots
                    .clone()
                    .filter_map(|slot| self.further().bought[slot])
                    .map(|column| (column, 1.0))
                    .collect();
                let casual = self.hired[slots.start];
                let most = casual.map_or(0, |_| people.most);
                let left = |casual: i64| people.left_of_week(span.days.clone(), casual);
                let (Some(with_none), Some(with_all)) = (left(0), left(most)) else {
                    continue;
                };
                if bought.is_empty() {
                    continue;
                }
                let in_minutes = |ms: i64| ms as f64 / Span::MINUTE as f64;
                let mut terms = bought;
                let mut limit = 0.0;
                if with_none.min(with_all) >= 0 {
                    // The same for each person more; whole minutes follow, since those bought are whole.
                    limit = in_minutes(with_none);
                    if let Some(casual) = casual.filter(|_| most > 0) {
                        let each = in_minutes(with_all - with_none) / most as f64;
                        terms.push((casual, -each));
                    }
                } else if let Some(casual) = casual.filter(|_| with_none.max(with_all) > 0) {
                    let minutes = |people_hired: i64| {
                        let minutes = people.bought_minutes(span.days.clone(), people_hired);
                        minutes.unwrap_or(0) as f64
                    };
                    terms.extend(self.levels(resource, week, (casual, most), minutes));
                }
                let tag = RowTag::WeekBought(resource, week);
                self.program
                    .row(tag, collected(terms), Sense::AtMost, limit);
            }
        }
    }

    /// Columns that say how many are hired in a week, each with the minutes that may be bought then, taken away.
    fn levels(
        &mut self,
        resource: usize,
        week: usize,
        (casual, most): (usize, i64),
        minutes: impl Fn(i64) -> f64,
    ) -> Vec<(usize, f64)> {
        let (mut one, mut sum, mut allowed) = (Vec::new(), vec![(casual, -1.0)], Vec::new());
        for people in 0..=most {
            let tag = ColumnTag::Level(resource, week, people as usize);
            let level = self.program.column(tag, 1.0, true, 0.0);
            one.push((level, 1.0));
            sum.push((level, people as f64));
            allowed.push((level, -minutes(people)));
        }
        self.program
            .row(RowTag::OneLevel(resource, week), one, Sense::Equal, 1.0);
        self.program.row(
            RowTag::Levels(resource, week),
            collected(sum),
            Sense::Equal,
            0.0,
        );
        allowed
    }
}

/// Days on which as much must be washed as can be: trays washed on some later day would be ready before those of this one.
pub(super) fn wash_first(ground: &Ground<'_>) -> Vec<bool> {
    let supply = ground.trays();
    let days = ground.nursery.days;
    let ready = |day: usize| day + supply.dry_days[day];
    let mut soonest = days;
    let mut first = vec![false; days];
    for day in (0..days).rev().filter(|day| supply.wash[*day] > 0) {
        first[day] = soonest < ready(day);
        soonest = soonest.min(ready(day));
    }
    first
}
