//! Which option a plan decided: from the plan's data back to the nursery's own index.

use crate::calendar::Day;
use crate::nursery::{LotId, Nursery, OptionId};
use crate::plan::Delivery;
use crate::scenario::{Bed, Germination};

/// The option of a lot with the sow day, the line, the places and the days of a delivery; none when no rule allows such a way.
pub fn option_of(
    nursery: &Nursery,
    lot: LotId,
    delivery: &Delivery,
    (sow, line): (Day, Option<&str>),
) -> Option<OptionId> {
    let scenario = &nursery.scenario;
    let place = |id: &Option<String>| {
        let is_it = |place: &Germination| Some(&place.id) == id.as_ref();
        scenario.germination.iter().position(is_it)
    };
    let bed = |id: &Option<String>| {
        let is_it = |bed: &Bed| Some(&bed.id) == id.as_ref();
        scenario.beds.iter().position(is_it)
    };
    let wanted = (
        sow,
        place(&delivery.germination),
        bed(&delivery.green_bed),
        bed(&delivery.harden_bed),
        delivery.leaves(),
        delivery.day,
    );
    nursery.options_of(lot).find(|id| {
        let option = nursery.option(*id);
        let run = nursery.run(option.run);
        let route = option.route;
        let is = (
            run.sow,
            route.germination,
            route.green_bed,
            route.harden_bed,
            option.leave,
            option.plant,
        );
        let its_line = run.line().map(|line| scenario.lines[line].id.as_str());
        is == wanted && its_line == line
    })
}
