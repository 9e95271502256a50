//! Loads put on the trips of the vehicles, round trip by round trip; what does not find a trip is a trip without a vehicle.

use crate::plan::day::{DayPlan, Job, Work};
use crate::plan::tasks::TaskGraph;
use crate::scenario::{Scenario, Vehicle, trays};
use crate::units::{Span, div_near};

/// One trip: stops in the order in which they are reached.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Trip {
    /// Local name of the vehicle; none when the plan knows none, or none has a trip left.
    pub vehicle: Option<String>,
    /// Which trip of that vehicle, from 1.
    pub nth: i64,
    /// Vehicles are known, and none has a trip left.
    pub no_trip_left: bool,
    /// Name of the round trip.
    pub group: Option<String>,
    /// Most trays on its racks.
    pub most_trays: Option<i64>,
    /// Most that it may carry, kg, rounded down.
    pub most_kg: Option<i64>,
    /// Stops.
    pub stops: Vec<Stop>,
    /// Empty trays to bring back.
    pub empties: Vec<Empties>,
}

impl Trip {
    /// Trays on it.
    pub fn trays(&self) -> i64 {
        self.stops.iter().map(|stop| stop.trays).sum()
    }

    /// What they weigh, kg; sprouted trays, which nobody weighed, are not in it.
    pub fn kg(&self) -> i64 {
        self.stops.iter().filter_map(|stop| stop.kg).sum()
    }
}

/// What is unloaded at one field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stop {
    /// The job of loading, of which this may be a part.
    pub job: Job,
    /// Trays on this trip.
    pub trays: i64,
    /// What they weigh, kg; none for sprouted trays.
    pub kg: Option<i64>,
}

/// Empty trays at a field.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Empties {
    pub field: String,
    pub grower: String,
    pub trays: i64,
    /// More should be there by tonight, of so many in all.
    pub by_tonight: Option<i64>,
}

/// A day of one vehicle, in millionths, as the plan counts it.
const FLEET_DAY: i64 = 1_000_000;

/// The trips of a day, by round trip.
pub fn trips(graph: &TaskGraph<'_>, day: &DayPlan) -> Vec<Trip> {
    let scenario = &graph.view.plan.scenario;
    let mut fleet: Vec<Left<'_>> = scenario.vehicles.iter().map(Left::new).collect();
    let mut found: Vec<(Option<String>, Vec<Trip>)> = Vec::new();
    let mut groups: Vec<(Option<String>, Vec<&Job>)> = Vec::new();
    for job in day.jobs().filter(|job| job.work == Work::Load) {
        let group = group_of(graph, job);
        match groups.iter_mut().find(|(known, _)| *known == group) {
            Some((_, jobs)) => jobs.push(job),
            None => groups.push((group, vec![job])),
        }
    }
    for (group, jobs) in groups {
        let trips = of_group(scenario, &mut fleet, group.as_deref(), &jobs);
        found.push((group, trips));
    }
    for job in day.jobs().filter(|job| job.work == Work::Collect) {
        let Some(party) = &job.party else { continue };
        let empties = Empties {
            field: party.field.clone(),
            grower: party.grower.clone(),
            trays: job.trays,
            by_tonight: job.due.map(|due| due.by_now),
        };
        let group = group_of(graph, job);
        let known = found.iter_mut().find(|(known, _)| *known == group);
        match known.and_then(|(_, trips)| trips.last_mut()) {
            Some(trip) => trip.empties.push(empties),
            None => {
                let trip = Trip {
                    group: group.clone(),
                    empties: vec![empties],
                    ..Trip::default()
                };
                found.push((group, vec![trip]));
            }
        }
    }
    found.into_iter().flat_map(|(_, trips)| trips).collect()
}

/// The round trip of a job, whether the day has others or not.
fn group_of(graph: &TaskGraph<'_>, job: &Job) -> Option<String> {
    let task = graph.task(job.tasks.first()?)?;
    let part = graph
        .view
        .runs
        .get(task.at_run?)?
        .parts
        .get(task.at_part?)?;
    let group = part.travel_group(&graph.view.plan.scenario)?;
    Some(group.to_string())
}

/// What is left of a vehicle's day.
struct Left<'a> {
    vehicle: &'a Vehicle,
    share: i64,
    trips: i64,
}

impl<'a> Left<'a> {
    fn new(vehicle: &'a Vehicle) -> Self {
        Left {
            vehicle,
            share: FLEET_DAY,
            trips: 0,
        }
    }

    /// What a round trip takes of its day; none when it makes none.
    fn takes(&self, scenario: &Scenario, group: Option<&str>) -> Option<i64> {
        let known = group.and_then(|name| scenario.travel_groups.iter().find(|g| g.name == name));
        let trips = match known {
            Some(group) => {
                let round = Span::minutes(group.round_trip_minutes).0.max(1);
                Span::hours(self.vehicle.hours_per_day).0 / round
            }
            None => self.vehicle.trips_per_day,
        };
        (trips > 0).then(|| FLEET_DAY / trips)
    }
}

fn of_group(
    scenario: &Scenario,
    fleet: &mut [Left<'_>],
    group: Option<&str>,
    jobs: &[&Job],
) -> Vec<Trip> {
    let loaded = scenario.trays.loaded_kg;
    let mut trips: Vec<Trip> = Vec::new();
    let mut room = 0;
    let mut rest: i64 = jobs.iter().map(|job| job.trays).sum();
    for job in jobs {
        let mut done = 0;
        while done < job.trays {
            if room == 0 {
                let (trip, takes) = next_trip(scenario, fleet, group, rest, |vehicle| {
                    trays::of_trip(vehicle, loaded)
                });
                trips.push(trip);
                // Without vehicles nobody knows what goes together: each load is a list of its own, in the order of the clock.
                room = if scenario.vehicles.is_empty() {
                    job.trays - done
                } else {
                    takes.max(1)
                };
            }
            let on_it = (job.trays - done).min(room);
            // Parts of a load are weighed so that they add up to it.
            let up_to = |trays: i64| job.load_kg.map(|kg| div_near(kg * trays, job.trays.max(1)));
            let kg = up_to(done + on_it)
                .zip(up_to(done))
                .map(|(to, from)| to - from);
            if let Some(trip) = trips.last_mut() {
                trip.stops.push(Stop {
                    job: (*job).clone(),
                    trays: on_it,
                    kg,
                });
            }
            (done, room, rest) = (done + on_it, room - on_it, rest - on_it);
        }
    }
    trips
}

/// The smallest vehicle with a trip left that takes all that is left, else the largest; how many trays it takes.
fn next_trip(
    scenario: &Scenario,
    fleet: &mut [Left<'_>],
    group: Option<&str>,
    rest: i64,
    takes: impl Fn(&Vehicle) -> i64,
) -> (Trip, i64) {
    let group_name = group.map(str::to_string);
    let free = fleet.iter_mut().filter_map(|left| {
        let share = left.takes(scenario, group)?;
        let takes = takes(left.vehicle);
        (takes > 0 && share <= left.share).then_some((left, share, takes))
    });
    let best = free.min_by_key(|(_, _, takes)| {
        let all = *takes >= rest;
        (!all, if all { *takes } else { -*takes })
    });
    let Some((left, share, takes)) = best else {
        let trip = Trip {
            no_trip_left: !scenario.vehicles.is_empty(),
            group: group_name,
            ..Trip::default()
        };
        return (trip, rest);
    };
    left.share -= share;
    left.trips += 1;
    let trip = Trip {
        vehicle: Some(left.vehicle.name.clone()),
        nth: left.trips,
        group: group_name,
        most_trays: Some(left.vehicle.trays_per_trip),
        most_kg: Some(left.vehicle.kg_per_trip.0.div_euclid(10)),
        ..Trip::default()
    };
    (trip, takes)
}
