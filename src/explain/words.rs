//! Why days are excluded, in plain words.

use crate::calendar::Day;
use crate::growth::soak_days;
use crate::nursery::{Exclusion, LeftOut, NoPlanting};
use crate::scenario::{AgeClock, Field, Kind, Pin, Scenario};
use crate::units::Age;

/// `Tue 20 Apr`.
pub(super) fn said(day: Day) -> String {
    let weekday: String = day.weekday().to_string().chars().take(3).collect();
    format!("{weekday} {}", day.spoken())
}

/// `24 days`, `3.1 leaves`, `310 °C·d`.
pub fn age(clock: AgeClock, age: Age) -> String {
    match clock {
        AgeClock::Days if age.0 == Age::ONE => format!("{age} day"),
        AgeClock::Days => format!("{age} days"),
        AgeClock::Leaves => format!("{age} leaves"),
        AgeClock::Thermal => format!("{age} °C·d"),
    }
}

/// Why a field cannot be planted on a day.
pub(super) fn no_planting(why: NoPlanting, scenario: &Scenario, day: Day) -> String {
    match why {
        NoPlanting::NotReady => "the field is not ready; say `ready` when it is".into(),
        NoPlanting::OutsideHorizon => format!(
            "outside the days planned, {} to {}",
            scenario.horizon.first, scenario.horizon.last
        ),
        NoPlanting::OutsideWindow => "outside the window of the order".into(),
        NoPlanting::Water => "too soon or too late after the water of its block".into(),
        NoPlanting::Harvest => "too soon or too late after the crop before it".into(),
        NoPlanting::FieldClosed => "the field is closed on that day".into(),
        NoPlanting::NobodyPlants => {
            let calendar = &scenario.calendars.planting;
            if calendar.closed.iter().any(|span| span.contains(day)) {
                "closed in the calendar of planting".into()
            } else {
                format!("nobody plants on a {}", day.weekday())
            }
        }
    }
}

/// What the words of one part need to know.
pub(super) struct Teller<'a> {
    pub scenario: &'a Scenario,
    pub field: &'a Field,
    pub kind: &'a Kind,
    pub pin: Option<&'a Pin>,
}

impl Teller<'_> {
    /// Why a sow day does not serve a planting day.
    pub fn left_out(&self, one: &LeftOut) -> String {
        let limits = &self.kind.age;
        let told = |age_then: Age| age(limits.clock, age_then);
        match one.why {
            Exclusion::LineRests => {
                let calendar = &self.scenario.calendars.line;
                if calendar.closed.iter().any(|span| span.contains(one.sow)) {
                    "the line is closed in its calendar".into()
                } else {
                    format!("the line rests on a {}", one.sow.weekday())
                }
            }
            Exclusion::SeedNotReady => self.no_seed(one.sow),
            Exclusion::NobodyThere => "nobody works when its stacks or covers are due".into(),
            Exclusion::Pinned => self.pinned(),
            Exclusion::FurtherLimit => "a further limit of age of its kind forbids it".into(),
            Exclusion::TooYoung => match one.age {
                Some(age) => format!("too young, {}; from {}", told(age), limits.youngest),
                None => "too young, not yet hardening".into(),
            },
            Exclusion::TooOld => match one.age {
                Some(age) => format!("too old, {}; up to {}", told(age), limits.oldest),
                None => format!("too old, above {}", told(limits.oldest)),
            },
        }
    }

    fn pinned(&self) -> String {
        let Some(pin) = self.pin else {
            return "its dates are pinned".into();
        };
        let days = [("sown", pin.sow), ("planted", pin.plant)];
        let days: Vec<String> = days
            .into_iter()
            .filter_map(|(what, day)| Some(format!("{what} {}", said(day?))))
            .collect();
        format!("it is pinned to be {}", days.join(" and "))
    }

    fn no_seed(&self, sow: Day) -> String {
        let latest = sow.plus(-(soak_days(self.kind) + self.kind.sprout_days));
        if latest < self.scenario.horizon.first {
            format!(
                "its seed should have gone to soak on {}, before the plan begins",
                said(latest)
            )
        } else {
            "nobody works when its seed would be soaked or drained".into()
        }
    }

    /// Why no sow day at all serves a planting day, from those that were left out for it.
    pub fn none_serves(&self, left_out: &[LeftOut]) -> String {
        const RIGHT_AGE: [Exclusion; 5] = [
            Exclusion::Pinned,
            Exclusion::SeedNotReady,
            Exclusion::LineRests,
            Exclusion::FurtherLimit,
            Exclusion::NobodyThere,
        ];
        let of = |why: Exclusion| left_out.iter().filter(move |one| one.why == why);
        // Of the reasons that hit the right age, the commonest decides.
        let main = RIGHT_AGE
            .into_iter()
            .map(|why| (of(why).count(), why))
            .filter(|(count, why)| *count > 0 && *why != Exclusion::NobodyThere)
            .max_by_key(|(count, why)| (*count, std::cmp::Reverse(*why)));
        let limits = &self.kind.age;
        let oldest_young = of(Exclusion::TooYoung).filter_map(|one| one.age).max();
        let (young, old) = (of(Exclusion::TooYoung).next(), of(Exclusion::TooOld).next());
        match (main, young, old) {
            (Some((_, Exclusion::Pinned)), ..) => self.pinned(),
            (Some((_, why)), ..) => {
                // The latest such day needs least notice.
                let last = of(why).max_by_key(|one| one.sow);
                last.map_or(String::new(), |one| {
                    let sown = if why == Exclusion::FurtherLimit {
                        String::new()
                    } else {
                        format!("sown {}: ", said(one.sow))
                    };
                    format!("{sown}{}", self.left_out(one))
                })
            }
            (None, Some(_), None) => format!(
                "too young{}; from {}",
                oldest_young.map_or(String::new(), |then| {
                    format!(", at most {}", age(limits.clock, then))
                }),
                age(limits.clock, limits.youngest)
            ),
            (None, None, Some(_)) => {
                format!("too old; up to {}", age(limits.clock, limits.oldest))
            }
            (None, _, _) if of(Exclusion::NobodyThere).next().is_some() => {
                "nobody works when its stacks or covers would be due".into()
            }
            (None, Some(_), Some(_)) => format!(
                "no sow day gives an age between {} and {}",
                limits.youngest,
                age(limits.clock, limits.oldest)
            ),
            (None, None, None) => self.no_way(),
        }
    }

    fn no_way(&self) -> String {
        use crate::scenario::{HandOver, Stage};
        let beds = &self.scenario.beds;
        let takes = |stage| beds.iter().any(|bed| bed.stages.contains(&stage));
        match self.field.stage {
            HandOver::Seedlings if !takes(Stage::Green) || !takes(Stage::Harden) => {
                "no bed takes it: there must be one for greening and one for hardening".into()
            }
            HandOver::Sprouted => "no stack is due to be opened on that day".into(),
            _ => "there is no day before it on which it could be sown".into(),
        }
    }
}
