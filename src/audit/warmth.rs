//! What is right: when a stack is ready, how old seedlings are, when soaking begins.

use super::book::PartSeen;
use crate::calendar::Day;
use crate::growth;
use crate::scenario::{
    AgeClock, Bed, Germination, Kind, Method, Scenario, StackClock, Temperature, WeatherDay,
};
use crate::units::Age;
use std::collections::BTreeMap;

/// What a sum of °C·d may fall short of the need by rounding of the last bit.
const HAIR: f64 = 1e-9;
/// No stack takes longer, days.
const LONGEST_STACK: i32 = 1_000;

/// Outdoor temperatures by day.
pub(super) struct Warmth<'a> {
    weather: BTreeMap<Day, &'a WeatherDay>,
}

impl<'a> Warmth<'a> {
    pub(super) fn of(scenario: &'a Scenario) -> Self {
        Warmth {
            weather: scenario.weather.iter().map(|day| (day.date, day)).collect(),
        }
    }

    /// °C·d of one day in a place; none when its temperature is not known.
    fn thermal(&self, kind: &Kind, place: &Temperature, day: Day) -> Option<f64> {
        if kind.growth.method == Method::Days {
            return Some(1.0);
        }
        let (min_c, max_c) = growth::in_place(place, self.weather.get(&day).copied())?;
        Some(growth::thermal_units(&kind.growth, min_c, max_c))
    }

    /// What one day adds to the age of a seedling on that clock; none when its temperature is not known.
    pub(super) fn ages(
        &self,
        kind: &Kind,
        clock: AgeClock,
        place: &Temperature,
        day: Day,
    ) -> Option<f64> {
        match clock {
            AgeClock::Days => Some(1.0),
            AgeClock::Thermal => self.thermal(kind, place, day),
            AgeClock::Leaves => {
                let (min_c, max_c) = growth::in_place(place, self.weather.get(&day).copied())?;
                Some(growth::leaves(&kind.growth, min_c, max_c))
            }
        }
    }

    /// The first day r > `sow` such that the sum over [sow, r) reaches the need.
    ///
    /// # Errors
    /// Why there is none, in words.
    pub(super) fn ready(&self, kind: &Kind, place: &Germination, sow: Day) -> Result<Day, String> {
        let need = kind.stack.need.as_f64();
        let mut sum = 0.0;
        for day in (0..LONGEST_STACK).map(|late| sow.plus(late)) {
            sum += match kind.stack.clock {
                StackClock::Days => 1.0,
                StackClock::Thermal => {
                    let units = self.thermal(kind, &place.warmth_on(day), day);
                    units.ok_or_else(|| {
                        format!("no temperature is known for `{}` on {day}", place.id)
                    })?
                }
            };
            if sum >= need - HAIR {
                return Ok(day.plus(1));
            }
        }
        Err(format!(
            "a stack sown on {sow} in `{}` is not ready within {LONGEST_STACK} days",
            place.id
        ))
    }

    /// Age on the planting day of trays that went this way, on the clock of their kind.
    ///
    /// # Errors
    /// Why it is not known, in words.
    pub(super) fn age(&self, kind: &Kind, way: &Way) -> Result<Age, String> {
        self.age_by(kind, kind.age.clock, way)
    }

    /// The same on any clock.
    ///
    /// # Errors
    /// Why it is not known, in words.
    pub(super) fn age_by(&self, kind: &Kind, clock: AgeClock, way: &Way) -> Result<Age, String> {
        let own = clock == kind.age.clock;
        let mut sum = if own { way.ahead.as_f64() } else { 0.0 };
        let mut day = way.sow;
        while day < way.plant {
            let place = if day < way.open {
                (way.germination.id.as_str(), way.germination.warmth_on(day))
            } else if day < way.harden {
                way.green
            } else if day < way.leaves {
                way.hardening
            } else {
                way.edge
            };
            let aged = self.ages(kind, clock, &place.1, day);
            sum +=
                aged.ok_or_else(|| format!("no temperature is known for `{}` on {day}", place.0))?;
            day = day.plus(1);
        }
        Age::nearest(sum).ok_or_else(|| "the age is beyond all numbers".to_string())
    }
}

/// Where trays stand from sowing to planting: places by name and warmth, and the days of changing.
pub(super) struct Way<'a> {
    pub(super) sow: Day,
    pub(super) open: Day,
    pub(super) harden: Day,
    pub(super) leaves: Day,
    pub(super) plant: Day,
    pub(super) germination: &'a Germination,
    pub(super) green: Place<'a>,
    pub(super) hardening: Place<'a>,
    /// Where they wait from the day they leave.
    pub(super) edge: Place<'a>,
    /// How far a count found them ahead, on the clock of their kind.
    pub(super) ahead: Age,
}

/// A place by its name and warmth.
pub(super) type Place<'a> = (&'a str, Temperature);

impl<'a> Way<'a> {
    /// The way through these places on these days: sown, opened, hardened, gone, planted. Trays without beds are gone once they are opened.
    pub(super) fn new(
        scenario: &Scenario,
        place: &'a Germination,
        beds: Option<(&'a Bed, &'a Bed)>,
        [sow, open, harden, leaves, plant]: [Day; 5],
    ) -> Way<'a> {
        let edge = ("the field's edge", scenario.edge);
        let bed = |bed: &'a Bed| (bed.id.as_str(), bed.temperature);
        let (green, hardening) =
            beds.map_or((edge, edge), |(green, harden)| (bed(green), bed(harden)));
        Way {
            sow,
            open,
            harden,
            leaves,
            plant,
            germination: place,
            green,
            hardening,
            edge,
            ahead: Age::ZERO,
        }
    }
}

/// The way of a delivery as the plan has it; none for seed, which stands nowhere.
pub(super) fn way<'a>(scenario: &Scenario, part: &PartSeen<'a>) -> Option<Way<'a>> {
    let one = part.delivery;
    let ahead = part.batch(scenario).map(|batch| batch.ahead);
    let days = [part.sow, one.open, one.harden, part.leaves, one.day];
    let way = Way::new(scenario, part.germination?, part.beds, days);
    Some(Way {
        ahead: ahead.unwrap_or_default(),
        ..way
    })
}

/// True when seed of `kind` may begin to soak on `day`: staffed and inside the horizon, or in a batch that soaks since then.
pub(super) fn may_soak(scenario: &Scenario, kind: &Kind, day: Day) -> bool {
    let fresh = day >= scenario.horizon.first && scenario.calendars.beds.works(day);
    fresh
        || scenario
            .opening
            .soaked
            .iter()
            .any(|batch| batch.kind == kind.id && batch.soaked == day)
}

/// Of the days to begin soaking from which `sow` can be reached, the latest, with its drain day.
pub(super) fn latest_soak(scenario: &Scenario, kind: &Kind, sow: Day) -> Option<(Day, Day)> {
    latest_of(scenario, kind, sow, |day| may_soak(scenario, kind, day))
}

/// The same, when soaking could begin on any day, staffed or not, inside the horizon or before: what a table made by hand may mean.
pub(super) fn plausible_soak(scenario: &Scenario, kind: &Kind, sow: Day) -> (Day, Day) {
    latest_of(scenario, kind, sow, |_| true).unwrap_or_else(|| {
        let drain = sow.plus(-kind.sprout_days);
        (drain.plus(-growth::soak_days(kind)), drain)
    })
}

fn latest_of(
    scenario: &Scenario,
    kind: &Kind,
    sow: Day,
    may_soak: impl Fn(Day) -> bool,
) -> Option<(Day, Day)> {
    let soak_days = growth::soak_days(kind);
    let latest = sow.plus(-(soak_days + kind.sprout_days));
    for earlier in 0..=kind.hold_days + kind.drain_wait_days {
        let soak = latest.plus(-earlier);
        if !may_soak(soak) {
            continue;
        }
        let drain = scenario
            .calendars
            .beds
            .first_from(soak.plus(soak_days), kind.drain_wait_days);
        let Some(drain) = drain else { continue };
        let ready = drain.plus(kind.sprout_days);
        if ready <= sow && sow <= ready.plus(kind.hold_days) {
            return Some((soak, drain));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Fixed;

    fn kind(clock: AgeClock) -> Kind {
        let mut kind = super::super::samples::kind();
        kind.age.clock = clock;
        kind
    }

    fn day(number: i32) -> Day {
        Day::parse("2027-04-01").unwrap().plus(number)
    }

    fn warm(weather: &[WeatherDay]) -> Warmth<'_> {
        Warmth {
            weather: weather.iter().map(|day| (day.date, day)).collect(),
        }
    }

    #[test]
    fn leaves_follow_the_place_of_each_day() {
        // Outdoors 10 and 20 °C; the house adds 2 by night and 6 by day: mean 19. The yard adds nothing: mean 15.
        let weather: Vec<WeatherDay> = (0..8)
            .map(|n| WeatherDay {
                date: day(n),
                min_c: Fixed(1_000),
                max_c: Fixed(2_000),
            })
            .collect();
        let outdoors = |night, day| Temperature::Outdoors {
            night_plus_c: Fixed::whole(night),
            day_plus_c: Fixed::whole(day),
        };
        let warm_shed = shed(Vec::new());
        let way = Way {
            sow: day(0),
            open: day(3),
            harden: day(5),
            leaves: day(8),
            plant: day(8),
            germination: &warm_shed,
            green: ("house", outdoors(2, 6)),
            hardening: ("yard", outdoors(0, 0)),
            ahead: Age::ZERO,
            edge: ("the field's edge", outdoors(0, -6)),
        };
        // 3 × 30 + 2 × 19 + 3 × 15 = 173 °C·d, at 100 a leaf.
        assert_eq!(
            warm(&weather).age(&kind(AgeClock::Leaves), &way),
            Ok(Age { 0: 173 })
        );
        assert_eq!(
            warm(&weather).age(&kind(AgeClock::Days), &way),
            Ok(Age { 0: 800 })
        );
        // The second day at 20 °C instead of 30: 10 less, and only on the clocks that warmth drives.
        let cold_shed = shed(vec![crate::scenario::WarmthSpan {
            days: crate::calendar::DayRange {
                first: day(1),
                last: day(1),
            },
            own_c: Fixed::whole(20),
        }]);
        let cooler = Way {
            germination: &cold_shed,
            ..way
        };
        assert_eq!(
            warm(&weather).age(&kind(AgeClock::Leaves), &cooler),
            Ok(Age { 0: 163 })
        );
        let way = Way {
            germination: &warm_shed,
            ..cooler
        };
        // Two of the last three days at the field's edge, mean 12: 6 less.
        let waits = Way {
            leaves: day(6),
            ..way
        };
        assert_eq!(
            warm(&weather).age(&kind(AgeClock::Leaves), &waits),
            Ok(Age { 0: 167 })
        );
        let way = Way {
            leaves: day(8),
            ..waits
        };
        // By the clock of another limit: the same way is 8 days old, whatever the kind's own clock.
        assert_eq!(
            warm(&weather).age_by(&kind(AgeClock::Leaves), AgeClock::Days, &way),
            Ok(Age { 0: 800 })
        );
        // Without the last day's weather the age is not known; days need none.
        let short = warm(&weather[..7]);
        let why = short.age(&kind(AgeClock::Leaves), &way).unwrap_err();
        assert_eq!(why, "no temperature is known for `yard` on 2027-04-08");
        assert_eq!(short.age(&kind(AgeClock::Days), &way), Ok(Age { 0: 800 }));
    }

    fn shed(spans: Vec<crate::scenario::WarmthSpan>) -> Germination {
        Germination {
            id: "shed".into(),
            name: "shed".into(),
            stack_places: 1,
            height: 1,
            lid_trays: 0,
            base_trays: 0,
            temperature: Temperature::Own(Fixed::whole(30)),
            longest_wait_days: 0,
            spans,
        }
    }

    #[test]
    fn a_stack_is_ready_when_the_sum_reaches_the_need() {
        let place = shed(Vec::new());
        let mut kind = kind(AgeClock::Days);
        // 2.5 days are reached on the third; nothing needed is ready on the next day.
        assert_eq!(warm(&[]).ready(&kind, &place, day(0)), Ok(day(3)));
        kind.stack.need = Fixed::whole(3);
        assert_eq!(warm(&[]).ready(&kind, &place, day(0)), Ok(day(3)));
        kind.stack.need = Fixed::ZERO;
        assert_eq!(warm(&[]).ready(&kind, &place, day(0)), Ok(day(1)));
    }
}
