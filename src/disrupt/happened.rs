//! What really happened: the plan as it was carried out up to a day, from events of the past.

use super::event::{Event, EventError};
use super::present::{Present, PresentError, present};
use crate::calendar::Day;
use crate::plan::{Delivery, Plan, Run, Washing};
use std::collections::BTreeSet;

/// Why there is no present.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HappenedError {
    /// No present of the plan on that day.
    #[error(transparent)]
    Present(#[from] PresentError),
    /// An event that contradicts the plan.
    #[error(transparent)]
    Event(#[from] EventError),
}

/// The present on the morning of `day`, when the plan was carried out but for the events of the past among `events`; what is still to come
/// of them is applied by [`super::event::apply`].
///
/// # Errors
/// [`HappenedError`]: a day outside the plan, or an event that contradicts it.
pub fn present_after(plan: &Plan, day: Day, events: &[Event]) -> Result<Present, HappenedError> {
    let mut was = plan.clone();
    let mut open: BTreeSet<(String, u32)> = BTreeSet::new();
    for event in events {
        take(&mut was, day, event, &mut open)?;
    }
    let mut now = present(&was, day)?;
    let is_open = |field: &String, part: u32| open.contains(&(field.clone(), part));
    let decided = &mut now.decided;
    decided.retain(|one| !is_open(&one.delivery.field, one.delivery.part));
    let told = &mut now.scenario.told;
    // The day that the plan had is what was told or planned, not the one made up for it here.
    for told in told
        .iter_mut()
        .filter(|told| is_open(&told.field, told.part) && !told.promised)
    {
        let mut had = plan.deliveries.iter();
        let had = had.find(|one| one.field == told.field && one.part == told.part);
        told.day = had.map_or(told.day, |one| one.day);
    }
    Ok(now)
}

fn take(
    plan: &mut Plan,
    day: Day,
    event: &Event,
    open: &mut BTreeSet<(String, u32)>,
) -> Result<(), EventError> {
    match event {
        Event::NotSown { run } => not_sown(plan, day, run, open),
        Event::Opened { run, on } => opened(plan, day, run, *on),
        Event::Stays { field, part } => {
            let one = delivery(plan, day, field, *part)?;
            if one.leaves() >= day {
                return Err(EventError::Number(format!(
                    "field `{field}`, part {part} was not to leave before {day}: it stays as it is"
                )));
            }
            (one.leaves, one.day) = (None, day);
            open.insert((field.clone(), *part));
            Ok(())
        }
        Event::Left { field, part, on } => {
            let one = delivery(plan, day, field, *part)?;
            if *on >= day || *on < one.open {
                return Err(EventError::Number(format!(
                    "field `{field}`, part {part} cannot have left on {on}: its stacks are opened on {}, and {day} is still to come",
                    one.open
                )));
            }
            (one.leaves, one.day) = (None, *on);
            Ok(())
        }
        Event::Washed { on, trays } => {
            if *on >= day || !plan.scenario.horizon.contains(*on) || *trays < 0 {
                return Err(EventError::Number(format!(
                    "{trays} trays cannot have been washed on {on}: a day of the plan before {day}, and 0 trays or more"
                )));
            }
            plan.washing.retain(|washing| washing.day != *on);
            if *trays > 0 {
                plan.washing.push(Washing {
                    day: *on,
                    trays: *trays,
                });
            }
            Ok(())
        }
        _ => Ok(()),
    }
}

fn run<'a>(plan: &'a mut Plan, day: Day, id: &str) -> Result<&'a mut Run, EventError> {
    let mut runs = plan.runs.iter_mut();
    runs.find(|run| run.id == id)
        .ok_or_else(|| EventError::Unknown {
            what: "run",
            name: id.to_string(),
            day,
        })
}

fn delivery<'a>(
    plan: &'a mut Plan,
    day: Day,
    field: &str,
    part: u32,
) -> Result<&'a mut Delivery, EventError> {
    let mut deliveries = plan.deliveries.iter_mut();
    deliveries
        .find(|one| one.field == field && one.part == part)
        .ok_or_else(|| EventError::Unknown {
            what: "delivery for field",
            name: format!("{field}, part {part}"),
            day,
        })
}

/// The run is still to come; its parts are open again.
fn not_sown(
    plan: &mut Plan,
    day: Day,
    id: &str,
    open: &mut BTreeSet<(String, u32)>,
) -> Result<(), EventError> {
    let one = run(plan, day, id)?;
    if one.line.is_none() || one.sow >= day {
        return Err(EventError::Number(format!(
            "run `{id}` was not to be sown before {day}"
        )));
    }
    one.sow = day;
    for delivery in plan.deliveries.iter().filter(|one| one.run == id) {
        open.insert((delivery.field.clone(), delivery.part));
    }
    Ok(())
}

/// The stacks were opened on that day, or are closed on the morning of `day`; covers are changed no sooner than greening lasts.
fn opened(plan: &mut Plan, day: Day, id: &str, on: Option<Day>) -> Result<(), EventError> {
    let one = run(plan, day, id)?;
    let sow = one.sow;
    let open = on.unwrap_or(day);
    if open <= sow || open > day || (open == day && on.is_some()) {
        return Err(EventError::Number(format!(
            "the stacks of run `{id}`, sown on {sow}, cannot have been opened on {open}: a day after it and before {day}"
        )));
    }
    for stacks in &mut one.stacks {
        stacks.open = open;
    }
    let kind = one.kind.clone();
    let mut kinds = plan.scenario.kinds.iter();
    let greening = kinds
        .find(|one| one.id == kind)
        .map_or(0, |kind| kind.greening_days);
    for one in plan.deliveries.iter_mut().filter(|one| one.run == id) {
        one.open = open;
        one.harden = one.harden.max(open.plus(greening));
    }
    Ok(())
}
