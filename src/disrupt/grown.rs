//! How far trays that stand are ahead, on the clock of their kind, when it is said in leaves or in days.

use super::event::EventError;
use crate::calendar::Day;
use crate::nursery::age_gain;
use crate::scenario::{AgeClock, Kind, Scenario, Sown, Temperature};
use crate::units::{Age, Fixed};

/// Most days looked ahead or back.
const MOST_DAYS: i32 = 60;

/// What `by`, `leaves` or `days` says of a batch, on the clock of its kind: leaves and days go by the warmth of the place in which it stands
/// on `day`, from that day on, or before it for less than nothing.
///
/// # Errors
/// [`EventError::Number`]: none or several of them are given, or the temperatures are not known.
pub(super) fn ahead_by(
    scenario: &Scenario,
    sown: &Sown,
    day: Day,
    (by, leaves, days): (Option<Age>, Option<Fixed<2>>, Option<Fixed<1>>),
) -> Result<Age, EventError> {
    let unit = match (by, leaves, days) {
        (Some(by), None, None) => return Ok(by),
        (None, Some(leaves), None) => (AgeClock::Leaves, leaves.as_f64()),
        (None, None, Some(days)) => (AgeClock::Days, days.as_f64()),
        _ => {
            return Err(EventError::Number(
                "trays are ahead by one of `by`, `leaves` and `days`".into(),
            ));
        }
    };
    grown(scenario, sown, day, unit)
        .and_then(Fixed::nearest)
        .ok_or_else(|| {
            EventError::Number(format!(
                "the temperatures around {day} do not say how far that is; give `by`, on the clock of the kind"
            ))
        })
}

/// What the kind's own clock gains while another gains so much.
fn grown(scenario: &Scenario, sown: &Sown, day: Day, unit: (AgeClock, f64)) -> Option<f64> {
    let kind = kind_of(scenario, sown)?;
    let (clock, amount) = unit;
    if clock == kind.age.clock {
        return Some(amount);
    }
    let mut left = amount.abs();
    let mut sum = 0.0;
    for ahead in 0..MOST_DAYS {
        let on = if amount > 0.0 {
            day.plus(ahead)
        } else {
            day.plus(-1 - ahead)
        };
        let warmth = &stands_in(scenario, sown, on)?;
        let gain = age_gain(scenario, kind, clock, warmth, on)?;
        let own = age_gain(scenario, kind, kind.age.clock, warmth, on)?;
        if gain >= left && gain > 0.0 {
            return Some((sum + own * left / gain) * amount.signum());
        }
        left -= gain;
        sum += own;
    }
    None
}

fn kind_of<'a>(scenario: &'a Scenario, sown: &Sown) -> Option<&'a Kind> {
    let mut fields = scenario.fields.iter();
    let field = fields.find(|field| field.id == sown.field)?;
    scenario.kinds.iter().find(|kind| kind.id == field.kind)
}

/// The warmth of the place where a batch stands.
fn stands_in(scenario: &Scenario, sown: &Sown, day: Day) -> Option<Temperature> {
    let bed = |id: &String| {
        let mut beds = scenario.beds.iter();
        beds.find(|bed| bed.id == *id).map(|bed| bed.temperature)
    };
    match (sown.opened, sown.hardened) {
        (None, _) => {
            let mut places = scenario.germination.iter();
            let place = places.find(|place| place.id == sown.germination);
            place.map(|place| place.warmth_on(day))
        }
        (Some(_), None) => bed(&sown.green_bed),
        (Some(_), Some(_)) => bed(&sown.harden_bed),
    }
}
