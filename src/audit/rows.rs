//! Rows of beds with one open end: as many as the trays take, and one part in a row at a time.

use super::book::{Book, PartSeen, of_part, say_part};
use super::places::{floor, rows_for, stays_of};
use super::{Found, Subject};
use crate::calendar::{Day, DayRange};
use crate::plan::types::EndedBy;
use crate::scenario::Bed;

/// A part in a bed, with the rows that the plan names.
struct Stay<'a> {
    part: &'a PartSeen<'a>,
    bed: &'a Bed,
    rows: &'a [u32],
    from: Day,
    /// Not included.
    until: Day,
    /// The same with the days of clearing.
    clear: Day,
}

impl Stay<'_> {
    /// True when the row is taken on a day of the horizon.
    fn counts(&self, horizon: DayRange) -> bool {
        let (from, clear) = (self.from.max(horizon.first), self.clear);
        from < clear && from <= horizon.last
    }

    /// True when both take the row on one day of the horizon.
    fn meets(&self, other: &Stay, horizon: DayRange) -> bool {
        let from = self.from.max(other.from).max(horizon.first);
        from < self.clear.min(other.clear) && from <= horizon.last
    }
}

/// The stays of all parts, with the rows named for each.
fn stays<'a>(book: &'a Book) -> Vec<Stay<'a>> {
    let mut all = Vec::new();
    for part in &book.parts {
        let named = [&part.delivery.green_rows, &part.delivery.harden_rows];
        for ((bed, from, until), rows) in stays_of(part).into_iter().zip(named) {
            all.push(Stay {
                part,
                bed,
                rows,
                from,
                until,
                clear: until.plus(bed.turn_round_days),
            });
        }
    }
    all
}

/// Checks the rows that the plan names. A plan by hand may name none.
pub(super) fn check(book: &Book, found: &mut Found) {
    let stays = stays(book);
    let may_leave_out = book.plan.ended_by == EndedBy::ByHand;
    for stay in &stays {
        let counts = stay.counts(book.scenario.horizon);
        if !(stay.rows.is_empty() && (may_leave_out || !counts)) {
            check_named(stay, found);
        }
    }
    for part in &book.parts {
        check_needless(part, found);
    }
    for bed in &book.scenario.beds {
        let here: Vec<&Stay> = stays.iter().filter(|stay| stay.bed.id == bed.id).collect();
        check_bed(bed, &here, book.scenario.horizon, found);
    }
}

/// Rows named for a second bed of trays that stay where they are, or that never stand in a bed.
fn check_needless(part: &PartSeen, found: &mut Found) {
    let one = part.delivery;
    let rows = match stays_of(part).len() {
        0 => one.green_rows.len() + one.harden_rows.len(),
        1 => one.harden_rows.len(),
        _ => 0,
    };
    if rows > 0 {
        let what = format!(
            "{} has {rows} rows named where it does not stand",
            say_part(one)
        );
        found.add("A105", of_part(one), Some(one.day), rows as i128, what);
    }
}

fn check_named(stay: &Stay, found: &mut Found) {
    let (bed, said) = (stay.bed, say_part(stay.part.delivery));
    let mut bad = |amount: i128, what| {
        let subject = of_part(stay.part.delivery);
        found.add("A105", subject, Some(stay.from), amount, what);
    };
    let named = stay.rows.len() as i128;
    let (Some(needed), Some(row)) = (rows_for(bed, stay.part.sown), bed.row_trays) else {
        if named > 0 {
            let what = format!("{said} has rows in bed `{}`, which has none", bed.id);
            bad(named, what);
        }
        return;
    };
    if named != needed {
        let what = format!(
            "{said} has {named} rows of bed `{}`, its {} trays take {needed}",
            bed.id, stay.part.sown
        );
        bad(named - needed, what);
    }
    let there = floor(bed) / i128::from(row.max(1));
    for (at, row) in stay.rows.iter().enumerate() {
        if stay.rows[..at].contains(row) {
            bad(
                0,
                format!("{said} names row {row} of bed `{}` twice", bed.id),
            );
        } else if *row < 1 || i128::from(*row) > there {
            let what = format!(
                "{said} stands in row {row} of bed `{}`, which has {there} rows",
                bed.id
            );
            bad(0, what);
        }
    }
}

/// Every two parts that take the same row on one day.
fn check_bed(bed: &Bed, here: &[&Stay], horizon: DayRange, found: &mut Found) {
    for (at, one) in here.iter().enumerate() {
        for other in &here[at + 1..] {
            let row = one.rows.iter().find(|row| other.rows.contains(row));
            let Some(row) = row.filter(|_| one.meets(other, horizon)) else {
                continue;
            };
            let (first, second) = if one.from <= other.from {
                (one, other)
            } else {
                (other, one)
            };
            let (inner, outer) = (
                say_part(first.part.delivery),
                say_part(second.part.delivery),
            );
            let row = format!("row {row} of bed `{}`", bed.id);
            let day = second.from.max(horizon.first);
            let what = if first.until <= day {
                format!(
                    "rows: {row} is being cleared until {} after {inner}, {outer} takes it on {day}",
                    first.clear
                )
            } else if second.until > first.until {
                format!(
                    "rows: in {row} {outer} stands from {day} until {}, between {inner}, which leaves on {}, and the open end",
                    second.until, first.until
                )
            } else {
                format!(
                    "rows: {row} holds {inner} until {}, and {outer} from {day} until {}",
                    first.until, second.until
                )
            };
            let subject = Subject::Bed { id: bed.id.clone() };
            found.add("A106", subject, Some(day), 0, what);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_rows_are_counted() {
        use crate::units::Fixed;
        let bed = Bed {
            closed: vec![],
            id: "yard".into(),
            name: "yard".into(),
            area_m2: Fixed::whole(20),
            trays_per_m2: Fixed::whole(5),
            stages: vec![],
            turn_round_days: 0,
            row_trays: Some(12),
            temperature: crate::scenario::Temperature::Own(Fixed::whole(20)),
        };
        // 100 trays are 8 rows of 12 and a rest that is none.
        assert_eq!(floor(&bed), 96);
        let rows = |trays| rows_for(&bed, trays);
        assert_eq!((rows(11), rows(12), rows(13)), (Some(1), Some(1), Some(2)));
        assert_eq!(super::super::places::floor_for(&bed, 13), 24);
        let bare = Bed {
            row_trays: None,
            ..bed
        };
        assert_eq!((floor(&bare), rows_for(&bare, 13)), (100, None));
        assert_eq!(super::super::places::floor_for(&bare, 13), 13);
    }
}
