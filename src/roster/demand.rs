//! How many places each shift and each night of a plan has.

use crate::calendar::{Day, DayRange};
use crate::plan::day::day_plan;
use crate::plan::roster::HiredPlaces;
use crate::plan::tasks::TaskGraph;
use crate::plan::view::PlanError;
use crate::plan::{BoughtWhat, Plan};
use crate::scenario::{Crew, NightWatch};
use crate::units::{Hours, div_up};

/// The places to be filled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Demand {
    /// First and last day.
    pub days: DayRange,
    /// Places by day, in the order in which duties are listed.
    pub slots: Vec<Slot>,
    /// Shifts that need somebody with the licence.
    pub licences: Vec<Licence>,
    /// Places that hired people take: the staff is not asked for them.
    pub hired: Vec<HiredPlaces>,
}

/// Like places on one day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slot {
    /// Day on which the duty begins.
    pub day: Day,
    /// With which crew; none: the night watch.
    pub crew: Option<String>,
    /// Beginning, minutes after midnight.
    pub start_minute: i64,
    /// End, minutes after the same midnight.
    pub end_minute: i64,
    /// They stay for overtime.
    pub stays: bool,
    /// How many.
    pub places: i64,
}

/// A shift on which treated seed is put to soak.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Licence {
    /// Day.
    pub day: Day,
    /// Crew that soaks.
    pub crew: String,
}

impl Demand {
    /// The places of `plan`.
    ///
    /// # Errors
    /// [`PlanError`] when the plan cannot be worked with.
    pub fn of(plan: &Plan) -> Result<Demand, PlanError> {
        let graph = TaskGraph::new(plan)?;
        let mut demand = Demand {
            days: plan.scenario.horizon,
            slots: Vec::new(),
            licences: Vec::new(),
            hired: Vec::new(),
        };
        for day in plan.scenario.horizon.iter() {
            let sheet = day_plan(&graph, day);
            for crew in &plan.scenario.crews {
                let of_crew = sheet.crews.iter().find(|one| one.crew == crew.id);
                let works =
                    of_crew.is_some_and(|crew| crew.jobs.iter().any(|job| job.person_minutes > 0));
                if plan.scenario.calendars.get(crew.calendar).works(day) {
                    if works {
                        demand.shift(plan, crew, day);
                    }
                } else {
                    demand.day_off(plan, crew, day);
                }
            }
            if let Some(watch) = plan.scenario.duty.night_watch
                && watched(plan, &watch, day)
            {
                demand.slots.push(Slot {
                    day,
                    crew: None,
                    start_minute: watch.start_minute,
                    end_minute: watch.start_minute + minutes(watch.hours),
                    stays: false,
                    places: watch.people,
                });
            }
            demand.licence(plan, day);
        }
        demand.slots.retain(|slot| slot.places > 0);
        Ok(demand)
    }

    /// The shift of a working day: regular staff by name, hired people beside them, and who of them stays.
    fn shift(&mut self, plan: &Plan, crew: &Crew, day: Day) {
        let people = crew.people_on(day).max(0);
        let week = day.iso_week();
        let mut weeks = plan.people.iter();
        let week = weeks.find(|one| one.crew == crew.id && one.week == week);
        let hired = week.map_or(0, |week| week.casual.max(0));
        let bought = bought(plan, crew, day, BoughtWhat::Overtime);
        let most = (crew.overtime_hours.0 * 3 / 5).max(1);
        let stay = div_up(bought, most).min(people + hired);
        let longer = if stay > 0 { div_up(bought, stay) } else { 0 };
        let stay_of_us = stay.min(people);
        let start = crew.shift_start_on(day);
        let end = start + minutes(crew.shift_hours_on(day));
        self.push(crew, day, (start, end + longer), true, stay_of_us);
        self.push(crew, day, (start, end), false, people - stay_of_us);
        if hired > 0 {
            self.hired.push(HiredPlaces {
                day,
                crew: crew.id.clone(),
                people: hired,
                stay: stay - stay_of_us,
            });
        }
    }

    /// Who is called in on a day off.
    fn day_off(&mut self, plan: &Plan, crew: &Crew, day: Day) {
        let bought = bought(plan, crew, day, BoughtWhat::RestDay);
        let shift = minutes(crew.shift_hours_on(day)).max(1);
        let people = div_up(bought, shift).min(crew.rest_day_people).max(0);
        if people > 0 {
            let start = crew.shift_start_on(day);
            let end = start + div_up(bought, people).min(shift);
            self.push(crew, day, (start, end), false, people);
        }
    }

    fn push(&mut self, crew: &Crew, day: Day, (start, end): (i64, i64), stays: bool, places: i64) {
        self.slots.push(Slot {
            day,
            crew: Some(crew.id.clone()),
            start_minute: start,
            end_minute: end,
            stays,
            places,
        });
    }

    /// Treated seed that goes to soak on that day wants the licence.
    fn licence(&mut self, plan: &Plan, day: Day) {
        let Some(soak) = &plan.scenario.work.soak else {
            return;
        };
        let treated = |kind: &str| {
            let mut kinds = plan.scenario.kinds.iter();
            kinds.any(|one| one.id == kind && one.treatment.is_some())
        };
        let mut runs = plan.runs.iter();
        if runs.any(|run| run.soak == Some(day) && treated(&run.kind)) {
            let crew = soak.crew.clone();
            self.licences.push(Licence { day, crew });
        }
    }
}

/// Whole minutes, rounded up.
fn minutes(hours: Hours) -> i64 {
    div_up(hours.0 * 3, 5)
}

fn bought(plan: &Plan, crew: &Crew, day: Day, what: BoughtWhat) -> i64 {
    let of_day = plan.bought.iter();
    let of_day = of_day.filter(|one| one.day == day && one.crew == crew.id && one.what == what);
    of_day.map(|one| one.minutes).sum()
}

/// True of a night, from that day to the next, on which somebody watches.
fn watched(plan: &Plan, watch: &NightWatch, day: Day) -> bool {
    let stacks = || {
        plan.runs
            .iter()
            .any(|run| run.sow <= day && run.stacks.iter().any(|stack| day < stack.open))
    };
    let in_beds = || {
        plan.deliveries
            .iter()
            .any(|one| one.green_bed.is_some() && one.open <= day && day < one.leaves())
    };
    let cold = |below| {
        let mut weather = plan.scenario.weather.iter();
        weather.any(|row| row.date == day.plus(1) && row.min_c < below)
    };
    watch.stacks && stacks() || watch.below_c.is_some_and(|below| cold(below) && in_beds())
}
