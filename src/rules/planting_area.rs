//! A planting machine plants no more than its hectares a day.

use super::{Posting, Resource, Rule, RuleMeta, Taking, Unit, What, on_days};
use crate::nursery::Nursery;

/// What it holds: on each day, area of the parts planted with the machine ≤ its area a day, in m².
///
/// Why: pace of the machine. Source of the paces: field tests of riding machines, 0.14–0.29 ha an hour of work.
pub(super) struct PlantingArea;

static META: RuleMeta = RuleMeta {
    name: "planting area",
    promise: "a planting machine plants no more than its hectares a day",
};

impl Rule for PlantingArea {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let calendar = &nursery.scenario.calendars.planting;
        let planters = nursery.scenario.planters.iter();
        planters
            .map(|planter| Resource {
                rule: 0,
                label: format!("planting machine `{}`", planter.id),
                unit: Unit::SquareMetres,
                supply: on_days(nursery, |day| {
                    if calendar.works(day) {
                        planter.ha_per_day.0
                    } else {
                        0
                    }
                }),
                // About 200 trays a hectare.
                per_tray: 50,
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
                lot.area_m2,
            ));
        }
    }
}
