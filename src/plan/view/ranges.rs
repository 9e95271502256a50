//! Numbers that a plan can be worked with: it may have been edited, and nothing after this divides by 0 or overflows.

use super::{PlanError, work_of};
use crate::plan::types::Plan;
use crate::scenario::Scenario;
use crate::scenario::staff::MOST_STAFF;

/// The number, if it lies between the two.
pub(super) fn in_range(
    what: &'static str,
    of: impl FnOnce() -> String,
    found: i64,
    least: i64,
    most: i64,
) -> Result<(), PlanError> {
    if (least..=most).contains(&found) {
        return Ok(());
    }
    Err(PlanError::OutOfRange {
        what,
        of: of(),
        found,
        least,
        most,
    })
}

/// Far above any nursery, and low enough that no product of two overflows.
const MANY: i64 = 100_000_000;
/// Days of a wait.
const LONG: i64 = 1_000;

/// All numbers of a plan and its scenario that the tasks and the day sheet count with.
pub(super) fn numbers_in_range(plan: &Plan) -> Result<(), PlanError> {
    let scenario = &plan.scenario;
    kinds(scenario)?;
    lines(scenario)?;
    places(scenario)?;
    fields(scenario)?;
    people(plan)?;
    counts(plan)
}

fn kinds(s: &Scenario) -> Result<(), PlanError> {
    for kind in &s.kinds {
        let of = || format!("kind `{}`", kind.id);
        in_range("dry seed a tray", of, kind.seed_g_dry_per_tray.0, 0, MANY)?;
        in_range("wet ratio", of, kind.wet_ratio.0, 0, MANY)?;
        in_range("bed soil", of, kind.bed_soil_mm.0, 0, MANY)?;
        in_range("cover soil", of, kind.cover_soil_mm.0, 0, MANY)?;
        in_range("water a tray", of, kind.water_l_per_tray.0, 0, MANY)?;
        in_range("care", of, kind.care_times.0, 0, 100_000)?;
        let bag = kind.bag_kg.map_or(0, |bag| bag.0);
        in_range("weight of a bag", of, bag, 0, MANY)?;
        let dose = kind.treatment.as_ref().map_or(0, |dose| dose.ml_per_kg.0);
        in_range("dose of the treatment", of, dose, 0, MANY)?;
        in_range(
            "degree-days of soaking",
            of,
            kind.soak_degree_days.0,
            0,
            MANY,
        )?;
        let days = [
            kind.sprout_days,
            kind.hold_days,
            kind.drain_wait_days,
            kind.greening_days,
            kind.greening_wait_days,
        ];
        for days in days {
            in_range("a number of days", of, i64::from(days), 0, LONG)?;
        }
    }
    Ok(())
}

fn lines(s: &Scenario) -> Result<(), PlanError> {
    for line in &s.lines {
        let of = || format!("line `{}`", line.id);
        in_range("set rate", of, line.set_trays_per_h.0, 0, MANY)?;
        in_range("share that it runs", of, line.share_run.0, 0, 1_000_000)?;
        in_range("hours a day", of, line.hours_per_day.0, 0, 2_400)?;
        in_range("seed in the hopper", of, line.hopper_g_dry.0, 0, MANY)?;
        for span in &line.spans {
            in_range("hours a day", of, span.hours_per_day.0, 0, 2_400)?;
        }
        for pair in &line.set_up_pairs {
            in_range("trays thrown out", of, pair.throw_out_trays, 0, MANY)?;
        }
        let pairs = line.set_up_pairs.iter().map(|pair| pair.minutes);
        for minutes in pairs.chain([line.first_set_up_minutes, line.set_up_minutes]) {
            in_range("set-up minutes", of, minutes.0, 0, MANY)?;
        }
    }
    Ok(())
}

fn places(s: &Scenario) -> Result<(), PlanError> {
    for place in &s.germination {
        let of = || format!("germination place `{}`", place.id);
        in_range("height", of, place.height, 1, MANY)?;
        in_range("stack places", of, place.stack_places, 0, MANY)?;
        in_range("lid trays", of, place.lid_trays, 0, 1_000)?;
        in_range("base trays", of, place.base_trays, 0, 1_000)?;
        in_range(
            "longest wait",
            of,
            i64::from(place.longest_wait_days),
            0,
            LONG,
        )?;
    }
    for bed in &s.beds {
        in_range(
            "trays a square metre",
            || format!("bed `{}`", bed.id),
            bed.trays_per_m2.0,
            1,
            MANY,
        )?;
    }
    Ok(())
}

fn fields(s: &Scenario) -> Result<(), PlanError> {
    for field in &s.fields {
        let of = || format!("field `{}`", field.id);
        let waits = [
            field.edge_days,
            field.harvest_first_days,
            field.harvest_last_days.unwrap_or(0),
        ];
        for days in waits {
            in_range("a number of days", of, i64::from(days), -LONG, LONG)?;
        }
        in_range("area", of, field.area_ha.0, 0, MANY)?;
        in_range("number of parts", of, i64::from(field.parts), 1, 1_000)?;
    }
    returns(s)?;
    for planter in &s.planters {
        let of = || format!("planter `{}`", planter.id);
        in_range("hectares a day", of, planter.ha_per_day.0, 0, MANY)?;
        in_range("hours a day", of, planter.hours_per_day.0, 0, 2_400)?;
        in_range("minutes of a move", of, planter.move_minutes.0, 0, MANY)?;
    }
    for group in &s.travel_groups {
        let of = || format!("travel group `{}`", group.id);
        let minutes = group.round_trip_minutes.0;
        in_range("minutes of a round trip", of, minutes, 0, MANY)?;
    }
    let wash = s.trays.wash_trays_per_h;
    in_range("washing rate", || "trays".into(), wash, 0, MANY)?;
    let kg = s.trays.loaded_kg.0;
    in_range("weight of a tray", || "trays".into(), kg, 0, MANY)?;
    in_range(
        "return days",
        || "trays".into(),
        i64::from(s.trays.return_days),
        0,
        LONG,
    )?;
    in_range("loss", || "trays".into(), s.trays.loss.0, 0, 1_000_000)
}

fn returns(s: &Scenario) -> Result<(), PlanError> {
    for grower in &s.growers {
        let of = || format!("grower `{}`", grower.id);
        for point in &grower.returns {
            in_range("days of return", of, i64::from(point.days), 0, LONG)?;
            in_range("share back", of, point.share.0, 0, 1_000_000)?;
        }
    }
    for block in &s.blocks {
        let of = || format!("block `{}`", block.id);
        for days in [block.first_days, block.last_days] {
            in_range("a number of days", of, i64::from(days), -LONG, LONG)?;
        }
    }
    Ok(())
}

fn counts(plan: &Plan) -> Result<(), PlanError> {
    let counts = plan
        .runs
        .iter()
        .flat_map(|run| {
            let stacks = run
                .stacks
                .iter()
                .flat_map(|stack| [stack.trays, stack.stacks]);
            stacks
                .chain([run.trays, run.trial_trays, run.thrown_trays])
                .map(|count| (count, &run.id))
        })
        .chain(
            plan.deliveries
                .iter()
                .flat_map(|d| [(d.trays, &d.run), (d.sown(), &d.run)]),
        );
    for (count, run) in counts {
        in_range(
            "a number of trays or stacks",
            || format!("run `{run}`"),
            count,
            0,
            MANY,
        )?;
    }
    for washing in &plan.washing {
        in_range(
            "trays washed",
            || washing.day.to_string(),
            washing.trays,
            0,
            MANY,
        )?;
    }
    Ok(())
}

fn duty(scenario: &Scenario) -> Result<(), PlanError> {
    let (duty, of) = (&scenario.duty, || "duty".to_owned());
    let count = i64::try_from(scenario.staff.len()).unwrap_or(i64::MAX);
    in_range("people on the staff", of, count, 0, MOST_STAFF as i64)?;
    in_range("days in a row", of, duty.days_in_a_row_most, 1, LONG)?;
    in_range("hours of rest", of, duty.rest_hours_least.0, 0, 4_800)?;
    in_range("days of a week", of, duty.days_a_week_most, 0, 7)?;
    in_range("free days together", of, duty.free_days_together, 0, 7)?;
    in_range("late hour", of, duty.late_from_minute, 0, 1_440)?;
    for person in &scenario.staff {
        let days = person.days_a_week_most.unwrap_or(0);
        let of = || format!("person `{}`", person.id);
        in_range("days of a week", of, days, 0, 7)?;
    }
    if let Some(watch) = duty.night_watch {
        in_range("people of a watch", of, watch.people, 0, 1_000)?;
        in_range("start of a watch", of, watch.start_minute, 0, 1_439)?;
        in_range("hours of a watch", of, watch.hours.0, 0, 2_400)?;
    }
    Ok(())
}

fn people(plan: &Plan) -> Result<(), PlanError> {
    for crew in &plan.scenario.crews {
        let of = || format!("crew `{}`", crew.id);
        in_range("people", of, crew.people, 0, 100_000)?;
        in_range("people on a day off", of, crew.rest_day_people, 0, 100_000)?;
        in_range("start of the shift", of, crew.shift_start_minute, 0, 1_439)?;
        in_range("hours of the shift", of, crew.shift_hours.0, 0, 2_400)?;
        for span in &crew.spans {
            let people = span.people.unwrap_or(0);
            in_range("people", of, people, 0, 100_000)?;
            let start = span.shift_start_minute.unwrap_or(0);
            in_range("start of the shift", of, start, 0, 1_439)?;
            let hours = span.shift_hours.map_or(0, |hours| hours.0);
            in_range("hours of the shift", of, hours, 0, 2_400)?;
        }
        in_range("hours of overtime", of, crew.overtime_hours.0, 0, 2_400)?;
    }
    duty(&plan.scenario)?;
    let (teams, pieces) = work_of(plan);
    for (name, task) in teams {
        in_range("team", || format!("work `{name}`"), task.team, 0, 100_000)?;
    }
    for (name, task) in pieces {
        in_range(
            "person-minutes",
            || format!("work `{name}`"),
            task.person_minutes.0,
            0,
            MANY,
        )?;
    }
    for bought in &plan.bought {
        in_range(
            "minutes bought",
            || bought.day.to_string(),
            bought.minutes,
            0,
            MANY,
        )?;
    }
    Ok(())
}
