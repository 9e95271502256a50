//! A planting machine works no longer than its hours.

use super::{Posting, Resource, Rule, RuleMeta, Taking, Unit, What, on_days};
use crate::nursery::{Nursery, work};
use crate::units::Span;

/// What it holds: on each day, time for the area of the parts planted with the machine, and to bring it to each ≤ its hours, in ms.
///
/// Why: pace of the machine. Source of the paces: field tests of riding machines, 0.14–0.29 ha an hour of work.
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
                        Span::hours(planter.hours_per_day).0
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
