//! People in the program: who is hired by the week, and what time may be bought.

use super::super::program::{ColumnTag, RowTag, Sense};
use super::super::staffing::Week;
use super::super::state::State;
use super::{Builder, collected};
use crate::units::{Money, Span};
use std::collections::BTreeMap;

impl Builder<'_> {
    /// People hired by week of the crews that are staffed so: columns by resource and day, `None` where nobody can be hired.
    pub(super) fn staff(&mut self) {
        let ground = self.ground;
        for resource in 0..ground.books.resources.len() {
            let Some((people, weeks)) = ground.desks.of(resource) else {
                continue;
            };
            if people.most == 0 && people.before == 0 {
                continue;
            }
            // More may leave before the first week than can be there in any.
            let (most, changed) = (people.most, people.most.max(people.before));
            let money = |thousandths: i64| Self::money(Money { 0: thousandths });
            let mut before = None;
            for (week, Week { days, working, .. }) in weeks.iter().enumerate() {
                let mut column = |tag, most: i64, price: i64| {
                    self.program.column(tag, most as f64, true, money(price))
                };
                let price = people.price_per_day * working;
                let casual = column(ColumnTag::Casual(resource, week), most, price);
                let at_first = if week == 0 { people.before as f64 } else { 0.0 };
                let hired = column(ColumnTag::Hired(resource, week), changed, people.hire);
                let released = column(ColumnTag::Released(resource, week), changed, people.release);
                let mut terms = vec![(casual, 1.0), (hired, -1.0), (released, 1.0)];
                terms.extend(before.map(|before| (before, -1.0)));
                self.program.row(
                    RowTag::Change(resource, week),
                    collected(terms),
                    Sense::Equal,
                    at_first,
                );
                for day in days.clone() {
                    self.hired[resource * ground.nursery.days + day] = Some(casual);
                }
                before = Some(casual);
            }
        }
    }

    /// What may be bought of a slot, and who is hired: further terms of its limit.
    pub(super) fn bought(&mut self, resource: usize, day: usize, terms: &mut Vec<(usize, f64)>) {
        let ground = self.ground;
        let slot = resource * ground.nursery.days + day;
        let scale = self.scale[resource];
        let hired = self.hired[slot].zip(ground.desks.of(resource));
        let (mut shift, mut overtime, mut most) = (0.0, 0.0, 0.0);
        if let Some((_, (people, _))) = &hired {
            shift = people.shift[day] as f64 / scale;
            overtime = people.overtime[day] as f64 / scale;
            most = people.most as f64;
        }
        let buyable = ground.slots.buyable[slot] as f64 / scale;
        let can_buy = buyable + most * overtime;
        if can_buy > 0.0 {
            let an_hour = ground.slots.price_per_h[slot] as f64 / Money::ONE as f64;
            let price = an_hour * scale / Span::HOUR as f64;
            let tag = ColumnTag::Bought(resource, day);
            let bought = self.program.column(tag, can_buy, true, price);
            terms.push((bought, -1.0));
            if let Some((casual, _)) = hired.as_ref().filter(|_| overtime > 0.0) {
                let row = vec![(bought, 1.0), (*casual, -overtime)];
                self.program.row(
                    RowTag::Overtime(resource, day),
                    collected(row),
                    Sense::AtMost,
                    buyable,
                );
            }
        }
        if let Some((casual, _)) = hired.filter(|_| shift > 0.0) {
            terms.push((casual, -shift));
        }
    }
}

/// People hired, by resource and index of the week.
pub(super) fn by_week(state: &State<'_>) -> BTreeMap<(usize, usize), i64> {
    let mut weeks: BTreeMap<usize, usize> = BTreeMap::new();
    let hired = state.hired().into_iter().map(|staffed| {
        let week = weeks.entry(staffed.resource).or_default();
        *week += 1;
        ((staffed.resource, *week - 1), staffed.casual)
    });
    hired.collect()
}
