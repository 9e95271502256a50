//! Which rows of a bed each part stands in: the plan's bed map.
//!
//! The floor of a bed with rows is counted in whole rows by part, so that on no day more rows are asked for than there are; whoever comes
//! first takes the lowest that are free, side by side where it can be.

use crate::calendar::Day;
use crate::plan::Delivery;
use crate::scenario::{Bed, Scenario};
use crate::units::div_up;
use std::collections::BTreeMap;

/// A part's stay in a bed, the days of clearing it afterwards included.
struct Stay {
    from: Day,
    until: Day,
    /// Index of the delivery.
    delivery: usize,
    /// True when it is the bed that the trays move to.
    moved_to: bool,
    rows: usize,
}

/// Rows in which parts stand already, by field, part and bed.
pub type Standing = BTreeMap<(String, u32, String), Vec<u32>>;

/// Fills in the rows of all deliveries.
pub fn assign(scenario: &Scenario, deliveries: &mut [Delivery]) {
    assign_around(scenario, deliveries, &Standing::new());
}

/// Fills in the rows of all deliveries; what stands on the first day stays in the rows in which it stands.
pub fn assign_around(scenario: &Scenario, deliveries: &mut [Delivery], standing: &Standing) {
    for bed in &scenario.beds {
        let Some(row) = bed.row_trays.filter(|row| *row > 0) else {
            continue;
        };
        let count = (bed.trays() / row).max(0) as usize;
        let mut stays = stays(bed, row, deliveries);
        // What was gone before the first day is in nobody's way, and what stands from before began on the first day as far as floor is
        // counted.
        for stay in &mut stays {
            stay.from = stay.from.max(scenario.horizon.first);
        }
        stays.retain(|stay| stay.from < stay.until);
        let kept = |stay: &Stay| {
            let one: &Delivery = &deliveries[stay.delivery];
            let rows = standing.get(&(one.field.clone(), one.part, bed.id.clone()))?;
            let there = rows
                .iter()
                .all(|row| (1..=count).contains(&(*row as usize)));
            let here = stay.from == scenario.horizon.first && there && rows.len() == stay.rows;
            here.then(|| rows.clone())
        };
        let mut stays: Vec<(Stay, Option<Vec<u32>>)> = stays
            .into_iter()
            .map(|stay| {
                let kept = kept(&stay);
                (stay, kept)
            })
            .collect();
        // Those that stand somewhere come before those that may stand anywhere.
        stays.sort_by_key(|(stay, kept)| (stay.from, kept.is_none(), stay.delivery));
        // Day from which each row is free.
        let mut free_from: Vec<Option<Day>> = vec![None; count];
        for (stay, kept) in stays {
            let rows = match kept.filter(|rows| free(&free_from, rows, stay.from)) {
                Some(rows) => hold(&mut free_from, rows, stay.until),
                None => take(&mut free_from, &stay),
            };
            let delivery = &mut deliveries[stay.delivery];
            if stay.moved_to {
                delivery.harden_rows = rows;
            } else {
                delivery.green_rows = rows;
            }
        }
    }
}

fn stays(bed: &Bed, row: i64, deliveries: &[Delivery]) -> Vec<Stay> {
    let mut stays = Vec::new();
    for (at, delivery) in deliveries.iter().enumerate() {
        let here = |id: &Option<String>| id.as_deref() == Some(bed.id.as_str());
        let (green, harden) = (here(&delivery.green_bed), here(&delivery.harden_bed));
        let stay = |from: Day, until: Day, moved_to: bool| Stay {
            from,
            until: until.plus(bed.turn_round_days),
            delivery: at,
            moved_to,
            rows: div_up(delivery.sown(), row) as usize,
        };
        match (green, harden) {
            (true, true) => stays.push(stay(delivery.open, delivery.leaves(), false)),
            (true, false) => stays.push(stay(delivery.open, delivery.harden, false)),
            (false, true) => stays.push(stay(delivery.harden, delivery.leaves(), true)),
            (false, false) => {}
        }
    }
    stays
}

/// Takes rows for a stay, from 1: the lowest free ones that lie side by side, or else the lowest.
fn take(free_from: &mut [Option<Day>], stay: &Stay) -> Vec<u32> {
    let is_free = |row: &Option<Day>| row.is_none_or(|day| day <= stay.from);
    let together = free_from
        .windows(stay.rows.max(1))
        .position(|rows| rows.iter().all(is_free));
    let rows: Vec<usize> = match together {
        Some(first) => (first..first + stay.rows).collect(),
        None => {
            let free = (0..free_from.len()).filter(|row| is_free(&free_from[*row]));
            free.take(stay.rows).collect()
        }
    };
    let rows = rows.into_iter().map(|row| row as u32 + 1).collect();
    hold(free_from, rows, stay.until)
}

/// True when all of those rows, from 1, are free on a day.
fn free(free_from: &[Option<Day>], rows: &[u32], day: Day) -> bool {
    let mut rows = rows.iter();
    rows.all(|row| free_from[*row as usize - 1].is_none_or(|free| free <= day))
}

/// Takes those rows, from 1, until a day.
fn hold(free_from: &mut [Option<Day>], rows: Vec<u32>, until: Day) -> Vec<u32> {
    for row in &rows {
        free_from[*row as usize - 1] = Some(until);
    }
    rows
}
