//! Trays of parts when a run came up thin, an order is changed or withdrawn, or standing trays are given to another field.

use super::event::EventError;
use crate::scenario::{Field, OrderState, PartKnown, Scenario};
use crate::units::Share;

type Unknown<'a> = &'a dyn Fn(&'static str, &str) -> EventError;

pub(super) fn field<'a>(scenario: &'a Scenario, id: &str) -> Option<&'a Field> {
    scenario.fields.iter().find(|field| field.id == id)
}

pub(super) fn field_mut<'a>(scenario: &'a mut Scenario, id: &str) -> Option<&'a mut Field> {
    scenario.fields.iter_mut().find(|field| field.id == id)
}

/// True of the label of a run or of one of its parts: `R017`, `R017.2`.
pub(super) fn of_run(label: &Option<String>, run: &str) -> bool {
    let label = label.as_deref().unwrap_or_default();
    label == run
        || label
            .strip_prefix(run)
            .is_some_and(|rest| rest.starts_with('.'))
}

/// Of each part in the run so much less can leave; the rest is a further part of its field, to be sown again or given from elsewhere.
pub(super) fn stand(
    scenario: &mut Scenario,
    run: &str,
    share: Share,
    unknown: Unknown<'_>,
) -> Result<(), EventError> {
    if share.0 < 0 || share.0 > Share::ONE {
        return Err(EventError::Number(
            "the share that came up lies between 0 and 1".into(),
        ));
    }
    let of_run = |label: &Option<String>| of_run(label, run);
    let mut missing: Vec<(String, i64)> = Vec::new();
    let mut gone: Vec<(String, u32)> = Vec::new();
    let mut any = false;
    for sown in scenario
        .opening
        .sown
        .iter_mut()
        .filter(|sown| of_run(&sown.run))
    {
        any = true;
        let usual = sown.leaving.unwrap_or(sown.trays);
        let left = usual * share.0 / Share::ONE;
        sown.leaving = Some(left);
        missing.push((sown.field.clone(), usual - left));
        if left == 0 {
            gone.push((sown.field.clone(), sown.part));
        }
    }
    if !any {
        return Err(unknown("run with trays standing", run));
    }
    // What none of came up is thrown away and sown again as the same part.
    let (mut thrown, mut again) = (0, Vec::new());
    scenario.opening.sown.retain(|sown| {
        let nothing = of_run(&sown.run) && sown.leaving == Some(0);
        if nothing {
            thrown += sown.trays;
        }
        !nothing
    });
    scenario.opening.dirty_trays += thrown;
    for (id, trays) in missing.into_iter().filter(|(_, trays)| *trays > 0) {
        let whole = gone.iter().find(|(field, _)| *field == id).cloned();
        if let Some((id, part)) = whole {
            again.push(PartKnown {
                field: id,
                part,
                trays,
            });
            continue;
        }
        if let Some(field) = field_mut(scenario, &id) {
            field.parts += 1;
            again.push(PartKnown {
                part: field.parts,
                field: id,
                trays,
            });
        }
    }
    // A part more makes the usual shares smaller: the others keep what they had.
    for known in again {
        keep_shares(scenario, &known);
        state(scenario, &known.field, known.part, known.trays);
    }
    Ok(())
}

/// States the trays of the other parts of a field as they were before it got a part more.
fn keep_shares(scenario: &mut Scenario, known: &PartKnown) {
    let Some(field) = field(scenario, &known.field) else {
        return;
    };
    let before = Field {
        parts: field.parts.saturating_sub(1).max(1),
        ..field.clone()
    };
    if known.part != field.parts {
        return;
    }
    let shares = crate::scenario::trays::of_field(&before).trays;
    let missing: Vec<PartKnown> = shares
        .into_iter()
        .zip(1..)
        .filter(|(_, part)| {
            let mut stated = scenario.opening.parts.iter();
            !stated.any(|one| one.field == known.field && one.part == *part)
        })
        .map(|(trays, part)| PartKnown {
            field: known.field.clone(),
            part,
            trays,
        })
        .collect();
    scenario.opening.parts.extend(missing);
}

/// The field is gone; what stands for it is free and is emptied.
pub(super) fn cancel(scenario: &mut Scenario, id: &str) -> Option<()> {
    let at = scenario.fields.iter().position(|field| field.id == id)?;
    let mut field = scenario.fields.remove(at);
    field.state = OrderState::Cancelled;
    scenario.not_firm.push(field);
    let mut freed = 0;
    scenario.opening.sown.retain(|sown| {
        let its = sown.field == id;
        freed += if its { sown.trays } else { 0 };
        !its
    });
    scenario.opening.dirty_trays += freed;
    scenario.opening.parts.retain(|part| part.field != id);
    scenario.told.retain(|told| told.field != id);
    scenario.pins.retain(|pin| pin.field != id);
    Some(())
}

/// What was put aside is wanted now.
pub(super) fn firm(scenario: &mut Scenario, id: &str) -> Option<()> {
    let at = scenario.not_firm.iter().position(|field| field.id == id)?;
    let mut field = scenario.not_firm.remove(at);
    field.state = OrderState::Firm;
    let after = |one: &Field| one.id > field.id;
    let place = scenario.fields.iter().position(after);
    let place = place.unwrap_or(scenario.fields.len());
    scenario.fields.insert(place, field);
    Some(())
}

/// The order is for so many trays in all: parts that stand or have been served keep theirs, the others share the rest.
pub(super) fn order(
    scenario: &mut Scenario,
    id: &str,
    trays: i64,
    unknown: Unknown<'_>,
) -> Result<(), EventError> {
    let known = field(scenario, id).ok_or_else(|| unknown("field", id))?;
    let before = crate::scenario::trays::of_field_known(known, &scenario.opening.parts).trays;
    let stands = |part: u32| {
        let mut sown = scenario.opening.sown.iter();
        let batch = sown.find(|sown| sown.field == id && sown.part == part);
        batch.map(|sown| sown.leaving.unwrap_or(sown.trays))
    };
    let kept: Vec<Option<i64>> = before
        .iter()
        .zip(1..)
        .map(|(trays, part)| stands(part).or(Some(*trays).filter(|trays| *trays == 0)))
        .collect();
    let fixed: i64 = kept.iter().flatten().sum();
    let open = kept.iter().filter(|kept| kept.is_none()).count() as i64;
    let rest = trays - fixed;
    if trays < 1 {
        return Err(EventError::Number(format!(
            "an order is for 1 tray or more; `cancel field={id}` withdraws it"
        )));
    }
    if rest < open {
        fewer(scenario, id, (fixed - trays).max(0), before.len());
        return Ok(());
    }
    if open == 0 && rest > 0 {
        // Nothing is left that could grow: a further part.
        let parts = {
            let field = field_mut(scenario, id).ok_or_else(|| unknown("field", id))?;
            field.parts += 1;
            field.parts
        };
        let more = PartKnown {
            field: id.to_string(),
            part: parts,
            trays: rest,
        };
        keep_shares(scenario, &more);
        scenario.opening.parts.push(more);
        return Ok(());
    }
    scenario.opening.parts.retain(|part| part.field != id);
    let mut nth = 0;
    for (kept, part) in kept.into_iter().zip(1..) {
        let trays = kept.unwrap_or_else(|| {
            nth += 1;
            rest * nth / open - rest * (nth - 1) / open
        });
        scenario.opening.parts.push(PartKnown {
            field: id.to_string(),
            part,
            trays,
        });
    }
    Ok(())
}

/// Of what stands for a field so many trays fewer leave, of the last parts first; nothing is grown for the parts that do not stand.
fn fewer(scenario: &mut Scenario, id: &str, mut trays: i64, parts: usize) {
    let mut freed = 0;
    for part in (1..=parts as u32).rev() {
        let mut sown = scenario.opening.sown.iter_mut();
        let left = match sown.find(|sown| sown.field == id && sown.part == part) {
            Some(sown) => {
                let usual = sown.leaving.unwrap_or(sown.trays);
                let less = usual.min(trays);
                trays -= less;
                sown.leaving = Some(usual - less);
                if usual == less {
                    freed += sown.trays;
                }
                usual - less
            }
            None => 0,
        };
        state(scenario, id, part, left);
    }
    let emptied = |sown: &crate::scenario::Sown| sown.field == id && sown.leaving == Some(0);
    scenario.opening.sown.retain(|sown| !emptied(sown));
    scenario.opening.dirty_trays += freed;
}

/// Of the trays that stand for a part so many are for a further part of another field from now on; what that field still lacks is less.
pub(super) fn give(
    scenario: &mut Scenario,
    (from, part): (&str, u32),
    to: &str,
    trays: Option<i64>,
    unknown: Unknown<'_>,
) -> Result<(), EventError> {
    let giver = field(scenario, from).ok_or_else(|| unknown("field", from))?;
    let taker = field(scenario, to).ok_or_else(|| unknown("field", to))?;
    if giver.kind != taker.kind || taker.stage == crate::scenario::HandOver::SoakedSeed {
        return Err(EventError::Number(format!(
            "field `{to}` takes `{}`, and `{}` stands for `{from}`",
            taker.kind, giver.kind
        )));
    }
    let is_from = |sown: &crate::scenario::Sown| sown.field == from && sown.part == part;
    let at = scenario.opening.sown.iter().position(is_from);
    let at = at.ok_or_else(|| unknown("trays standing for field", from))?;
    let batch = &scenario.opening.sown[at];
    let usual = batch.leaving.unwrap_or(batch.trays);
    let given = trays.unwrap_or(usual);
    if given < 1 || given > usual {
        return Err(EventError::Number(format!(
            "{usual} trays stand for field `{from}` and can leave: 1 to {usual} can be given"
        )));
    }
    let sown = batch.trays * given / usual.max(1);
    let mut handed = batch.clone();
    let (kept, left) = (batch.trays - sown, usual - given);
    // What the field lacks: parts that do not stand, the last first.
    let known = crate::scenario::trays::of_field_known(taker, &scenario.opening.parts).trays;
    let parts = known.len() as u32;
    let mut rest = given;
    let mut lacking = Vec::new();
    for (trays, of_part) in known.into_iter().zip(1..parts + 1).rev() {
        let mut batches = scenario.opening.sown.iter();
        let stands = batches.any(|sown| sown.field == to && sown.part == of_part);
        let less = if stands { 0 } else { trays.min(rest) };
        rest -= less;
        if less > 0 {
            lacking.push((of_part, trays - less));
        }
    }
    // A part that lacks all of it takes it over; else it is a part more.
    let whole = lacking.iter().find(|(_, left)| *left == 0);
    handed.part = whole.map_or(parts + 1, |(part, _)| *part);
    handed.field = to.to_string();
    (handed.trays, handed.leaving) = (sown.max(given), Some(given));
    let more = PartKnown {
        field: to.to_string(),
        part: handed.part,
        trays: given,
    };
    if handed.part > parts {
        if let Some(field) = field_mut(scenario, to) {
            field.parts += 1;
        }
        keep_shares(scenario, &more);
    }
    for (part, trays) in lacking.into_iter().filter(|(part, _)| *part != handed.part) {
        state(scenario, to, part, trays);
    }
    state(scenario, to, handed.part, given);
    state(scenario, from, part, left);
    if left == 0 {
        scenario.opening.sown.remove(at);
    } else {
        let batch = &mut scenario.opening.sown[at];
        (batch.trays, batch.leaving) = (kept.max(left), Some(left));
    }
    scenario.opening.sown.push(handed);
    Ok(())
}

/// States the trays of a part, the shares of the others being as they are.
fn state(scenario: &mut Scenario, field: &str, part: u32, trays: i64) {
    let is_it = |one: &PartKnown| one.field == field && one.part == part;
    scenario.opening.parts.retain(|one| !is_it(one));
    scenario.opening.parts.push(PartKnown {
        field: field.to_string(),
        part,
        trays,
    });
}
