//! Trays in the program: clean, dirty and washed, from day to day.

use super::super::program::{ColumnTag, RowTag, Sense};
use super::{Builder, collected};

impl Builder<'_> {
    pub(super) fn trays(&mut self) {
        let ground = self.ground;
        let supply = ground.trays();
        let nursery = ground.nursery;
        let standing = nursery
            .lots
            .iter()
            .filter(|lot| lot.standing.is_some())
            .map(|lot| lot.trays);
        let back: i64 = supply.back_dirty.iter().chain(&supply.back_clean).sum();
        let all = (supply.clean + supply.dirty + back + standing.sum::<i64>()).max(0) as f64;
        let mut columns: Vec<[usize; 3]> = Vec::with_capacity(nursery.days);
        for day in 0..nursery.days {
            columns.push([
                self.program.column(ColumnTag::Clean(day), all, false, 0.0),
                self.program.column(ColumnTag::Dirty(day), all, false, 0.0),
                self.program
                    .column(ColumnTag::Washed(day), supply.wash[day] as f64, true, 0.0),
            ]);
            if let Some((crew, ms)) = supply.labour.filter(|_| self.whole.is_none()) {
                self.limits[crew * nursery.days + day]
                    .push((columns[day][2], ms as f64 / self.scale[crew]));
            }
        }
        for day in 0..nursery.days {
            let [clean, dirty, washed] = columns[day];
            let negated = |terms: &[(usize, f64)]| -> Vec<(usize, f64)> {
                terms
                    .iter()
                    .map(|(column, amount)| (*column, -amount))
                    .collect()
            };
            let mut carry_clean = self.flows[0][day].clone();
            carry_clean.extend(negated(&self.flows[1][day]));
            carry_clean.push((clean, 1.0));
            let mut carry_dirty = negated(&self.flows[2][day]);
            carry_dirty.extend([(dirty, 1.0), (washed, 1.0)]);
            let (mut clean_rhs, mut dirty_rhs) =
                (supply.back_clean[day] as f64, supply.back_dirty[day] as f64);
            match day.checked_sub(1) {
                Some(before) => {
                    carry_clean.push((columns[before][0], -1.0));
                    carry_dirty.push((columns[before][1], -1.0));
                }
                None => {
                    clean_rhs += supply.clean as f64;
                    dirty_rhs += supply.dirty as f64;
                }
            }
            let dried = (0..day).filter(|washed| washed + supply.dry_days[*washed] == day);
            carry_clean.extend(dried.map(|washed| (columns[washed][2], -1.0)));
            self.program.row(
                RowTag::CarryClean(day),
                collected(carry_clean),
                Sense::Equal,
                clean_rhs,
            );
            self.program.row(
                RowTag::CarryDirty(day),
                collected(carry_dirty),
                Sense::Equal,
                dirty_rhs,
            );
        }
        self.tray_columns = columns;
    }
}
