//! Which rows of a bed each part stands in: the plan's bed map.
//!
//! The floor of a bed with rows is counted in whole rows by part, so that on no day more rows are asked for than there are; whoever comes
//! first takes the lowest that are free, side by side where it can be.

use crate::calendar::Day;
use crate::plan::Delivery;
use crate::scenario::{Bed, Scenario};
use crate::units::div_up;

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

/// Fills in the rows of all deliveries.
pub fn assign(scenario: &Scenario, deliveries: &mut [Delivery]) {
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
        stays.sort_by_key(|stay| (stay.from, stay.delivery));
        // Day from which each row is free.
        let mut free_from: Vec<Option<Day>> = vec![None; count];
        for stay in stays {
            let rows = take(&mut free_from, &stay);
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
    for row in &rows {
        free_from[*row] = Some(stay.until);
    }
    rows.into_iter().map(|row| row as u32 + 1).collect()
}
