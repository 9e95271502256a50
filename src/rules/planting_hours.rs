//! A planting machine works no longer than its hours, and not without its crew.

use super::{Posting, Resource, Rule, RuleMeta, Taking, Unit, What, on_days};
use crate::calendar::Day;
use crate::nursery::{Nursery, work};
use crate::scenario::{HandOver, Planter, Scenario, Whose};
use crate::units::Span;

/// What it holds: on each day, time for the area of the parts planted with the machine, and to bring it to each ≤ its hours, in ms;
/// of a machine of ours also ≤ shift and overtime of its crew, less the longest way of its first trays.
///
/// Why: pace of the machine; nobody is there after the overtime. Source of the paces: field tests of riding machines, 0.14–0.29 ha an hour of work.
pub(super) struct PlantingHours;

static META: RuleMeta = RuleMeta {
    name: "planting hours",
    promise: "a planting machine works no longer than its hours",
};

impl Rule for PlantingHours {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let calendar = &nursery.scenario.calendars.planting;
        let planters = nursery.scenario.planters.iter().enumerate();
        planters
            .map(|(at, planter)| Resource {
                rule: 0,
                label: format!("planting machine `{}`", planter.id),
                unit: Unit::Milliseconds,
                supply: on_days(nursery, |day| {
                    if calendar.works(day) {
                        hours(&nursery.scenario, planter, day)
                    } else {
                        0
                    }
                }),
                // About 200 trays a hectare: 50 m² each.
                per_tray: work::planting(&nursery.scenario, at, 50).max(1),
            })
            .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let What::Option(option) = what else { return };
        let lot = nursery.lot(option.lot);
        if let Some(planter) = lot.planter {
            out.extend(Posting::on(
                nursery,
                at + planter,
                option.plant,
                Taking::Take,
                work::planting(&nursery.scenario, planter, lot.area_m2),
            ));
        }
    }
}

/// Hours of a machine on a day of planting, ms.
fn hours(scenario: &Scenario, planter: &Planter, day: Day) -> i64 {
    let own = Span::hours(planter.hours_per_day).0;
    if planter.whose != Whose::Nursery {
        return own;
    }
    let mut crews = scenario.crews.iter();
    let crew =
        (scenario.work.plant.as_ref()).and_then(|work| crews.find(|crew| crew.id == work.crew));
    let Some(crew) = crew else { return own };
    let shift = Span::hours(crew.shift_hours_on(day)).0;
    let works = scenario.calendars.get(crew.calendar).works(day);
    let present = match (works, crew.rest_day_people) {
        (true, _) => shift + Span::hours(crew.overtime_hours).0,
        (false, 1..) => shift,
        _ => 0,
    };
    own.min((present - waits(scenario, planter)).max(0))
}

/// How long a machine that has set out waits for the first trays of its day at most, ms: the longest way there, without its move.
fn waits(scenario: &Scenario, planter: &Planter) -> i64 {
    let ways = scenario.fields.iter().filter_map(|field| {
        let id = field.travel_group.as_ref()?;
        let brought = field.stage == HandOver::Seedlings && !field.collected;
        if !brought || field.planter.as_ref() != Some(&planter.id) {
            return None;
        }
        let group = scenario
            .travel_groups
            .iter()
            .find(|group| group.id == *id)?;
        Some(Span::minutes(group.round_trip_minutes).0 / 2)
    });
    (ways.max().unwrap_or(0) - Span::minutes(planter.move_minutes).0).max(0)
}
