//! The price of a tray that is not grown, when the scenario leaves it out: ten times the dearest
//! tray over all legal options, found by trying every legal way of every part.

use super::dates::field_takes;
use super::orders::ordered;
use super::warmth::{Warmth, latest_soak};
use super::whole::up;
use crate::calendar::Day;
use crate::scenario::{Bed, Field, Germination, Kind, Pin, Scenario, Stage, Temperature};
use crate::units::Age;

/// Price of a tray short, thousandths: the scenario's own, or ten times the dearest tray (age and preferred day) rounded up
/// to whole money, at least 1 more than the set-up price.
///
/// The cost of one tray of an option is taken exactly, as a fraction, and only the price is rounded. An
/// option that a pin rules out is not legal.
pub(super) fn per_tray(scenario: &Scenario, warmth: &Warmth) -> i128 {
    if let Some(price) = scenario.prices.short_per_tray {
        return price.0.into();
    }
    let mut dearest = 0;
    for kind in &scenario.kinds {
        let parts = ordered(scenario);
        let parts: Vec<_> = parts
            .into_iter()
            .filter(|(field, _, _)| field.kind == kind.id)
            .collect();
        if parts.is_empty() {
            continue;
        }
        for way in ways(scenario, kind) {
            let Some((open, harden)) = dates(scenario, warmth, kind, &way) else {
                continue;
            };
            let mut each = |plant: Day, age: Age| {
                for (field, part, _) in &parts {
                    if may_go(scenario, field, *part, &way, plant) {
                        dearest = dearest.max(cost(scenario, kind, field, plant, age));
                    }
                }
            };
            plantings(scenario, warmth, kind, &way, (open, harden), &mut each);
        }
    }
    // `dearest` is in thousandths ÷ 10 000 a tray; whole money is 1 000 thousandths.
    let price = up(dearest * 10, 10_000 * 1_000) * 1_000;
    price.max(i128::from(scenario.prices.set_up.0) + 1_000)
}

/// Sow day and places; `standing` is the part that stands there since before the first day.
struct Sowing<'a> {
    sow: Day,
    place: &'a Germination,
    green: &'a Bed,
    harden: &'a Bed,
    standing: Option<(&'a str, u32)>,
}

/// Every legal sow day with every legal choice of places, and the trays that stand already.
fn ways<'a>(scenario: &'a Scenario, kind: &Kind) -> Vec<Sowing<'a>> {
    let mut all = Vec::new();
    for sown in &scenario.opening.sown {
        let place = scenario
            .germination
            .iter()
            .find(|place| place.id == sown.germination);
        let bed = |id: &str| scenario.beds.iter().find(|bed| bed.id == id);
        let (green, harden) = (bed(&sown.green_bed), bed(&sown.harden_bed));
        if let (Some(place), Some(green), Some(harden)) = (place, green, harden) {
            let standing = Some((sown.field.as_str(), sown.part));
            all.push(Sowing {
                sow: sown.sown,
                place,
                green,
                harden,
                standing,
            });
        }
    }
    let line_works = |day: &Day| scenario.calendars.line.works(*day);
    let lines = !scenario.lines.is_empty();
    for sow in scenario.horizon.iter().filter(line_works).filter(|_| lines) {
        if latest_soak(scenario, kind, sow).is_none() {
            continue;
        }
        for place in &scenario.germination {
            for green in &scenario.beds {
                for harden in &scenario.beds {
                    if may_follow(green, harden) {
                        all.push(Sowing {
                            sow,
                            place,
                            green,
                            harden,
                            standing: None,
                        });
                    }
                }
            }
        }
    }
    all
}

/// True when trays may green in the one bed and harden in the other.
pub(super) fn may_follow(green: &Bed, harden: &Bed) -> bool {
    let greens = green.stages.contains(&Stage::Green);
    let stays = green.stages.contains(&Stage::Harden);
    greens && harden.stages.contains(&Stage::Harden) && stays == (green.id == harden.id)
}

/// Open and harden day, when there are legal ones.
fn dates(scenario: &Scenario, warmth: &Warmth, kind: &Kind, way: &Sowing) -> Option<(Day, Day)> {
    let ready = warmth.ready(kind, way.place, way.sow).ok()?;
    let beds = &scenario.calendars.beds;
    let open = beds.first_from(ready, way.place.longest_wait_days)?;
    let harden = beds.first_from(open.plus(kind.greening_days), kind.greening_wait_days)?;
    Some((open, harden))
}

/// Every planting day of the horizon at an age that all limits allow, with the age on the kind's own clock.
fn plantings(
    scenario: &Scenario,
    warmth: &Warmth,
    kind: &Kind,
    way: &Sowing,
    (open, harden): (Day, Day),
    each: &mut impl FnMut(Day, Age),
) {
    let warm = |day: Day| -> &Temperature {
        if day < open {
            &way.place.temperature
        } else if day < harden {
            &way.green.temperature
        } else {
            &way.harden.temperature
        }
    };
    let (mut sum, mut day) = (0.0, way.sow);
    let mut sums = vec![0.0; kind.limits.len()];
    while day <= scenario.horizon.last {
        let Some(age) = Age::nearest(sum) else { return };
        if age > kind.age.oldest {
            return;
        }
        let mut old_enough = age >= kind.age.youngest;
        for (limit, sum) in kind.limits.iter().zip(&sums) {
            let Some(age) = Age::nearest(*sum) else {
                return;
            };
            if limit.oldest.is_some_and(|oldest| age > oldest) {
                return;
            }
            old_enough &= limit.youngest.is_none_or(|youngest| age >= youngest);
        }
        let planted =
            day >= harden.max(scenario.horizon.first) && scenario.calendars.planting.works(day);
        if planted && old_enough {
            each(day, age);
        }
        let clocks = kind.limits.iter().map(|limit| limit.clock);
        for (clock, sum) in clocks.zip(&mut sums).chain([(kind.age.clock, &mut sum)]) {
            let Some(aged) = warmth.ages(kind, clock, warm(day), day) else {
                return;
            };
            *sum += aged;
        }
        day = day.plus(1);
    }
}

/// True when the part may be sown so and planted then.
fn may_go(scenario: &Scenario, field: &Field, part: u32, way: &Sowing, plant: Day) -> bool {
    let stands = |sown: &crate::scenario::Sown| sown.field == field.id && sown.part == part;
    let its_own = match way.standing {
        Some(standing) => standing == (field.id.as_str(), part),
        None => !scenario.opening.sown.iter().any(stands),
    };
    let kept = |pin: &Pin| {
        pin.sow.is_none_or(|sow| sow == way.sow) && pin.plant.is_none_or(|day| day == plant)
    };
    let mut pins = scenario
        .pins
        .iter()
        .filter(|pin| pin.field == field.id && pin.part == part);
    its_own && field_takes(scenario, field, plant) && pins.all(kept)
}

/// Cost of one tray, in thousandths of money ÷ 10 000.
fn cost(scenario: &Scenario, kind: &Kind, field: &Field, plant: Day, age: Age) -> i128 {
    let off = i128::from(age.0) - i128::from(kind.age.target.0);
    let price = if off < 0 {
        kind.cost_younger
    } else {
        kind.cost_older
    };
    let days = field
        .preferred
        .map_or(0, |day| i128::from(plant.since(day).abs()));
    i128::from(price.0) * off.abs() + i128::from(scenario.prices.off_preferred.0) * days * 100
}
