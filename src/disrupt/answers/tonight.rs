//! A frost or a cut of power: which beds and stacks it reaches, what is to be done there, and who is on call.

use crate::calendar::Day;
use crate::disrupt::event::Event;
use crate::growth;
use crate::plan::Plan;
use crate::plan::day::FROST;
use crate::plan::view::{PlanView, RunView};
use crate::scenario::{Scenario, Temperature, WeatherDay};
use crate::units::{Celsius, Fixed};
use serde::Serialize;
use std::collections::BTreeMap;

/// What a night or some hours come to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Tonight {
    /// The event as it would be written.
    pub what: Hazard,
    /// The day.
    pub on: Day,
    /// Places that it reaches, the coldest first.
    pub places: Vec<Reached>,
    /// Who is on call.
    pub who: OnCall,
}

/// Of what sort.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Hazard {
    Frost,
    Power,
}

/// A place that it reaches.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Reached {
    /// Its local name.
    pub place: String,
    /// Trays in it.
    pub trays: i64,
    /// Stacks in it; 0 in a bed.
    pub stacks: i64,
    /// Kinds in it, by short name.
    pub kinds: Vec<String>,
    /// Rows in it with trays, where it has rows.
    pub rows: Vec<u32>,
    /// Lowest inside in the night, °C; with the power off the mean of the day, if it is at once as cold as outdoors.
    pub inside_c: Celsius,
    /// Held at this otherwise, where it is warmed.
    pub usual_c: Option<Celsius>,
    /// Days by which its stacks open later; none: not later.
    pub opens_later: i32,
}

/// Who comes.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct OnCall {
    /// The crew that looks after beds, by its local name, with the start and end of its shift on the day, minutes after midnight; none: it
    /// is not said who does.
    pub crew: Option<(String, i64, i64)>,
    /// People of it on that day; on a day off those who can be called in.
    pub people: i64,
    /// A day off of that crew.
    pub day_off: bool,
    /// Night watch: people, start in minutes after midnight, hours.
    pub watch: Option<(i64, i64, Fixed<2>)>,
    /// People by name who may be asked for night watches and are not away on that day.
    pub may_watch: Vec<String>,
}

/// What an event comes to with all that was decided left as it is; none for others.
pub(super) fn tonight(
    usual: &Scenario,
    changed: &Scenario,
    event: &Event,
    plan: &Plan,
) -> Option<Tonight> {
    let (what, on) = match event {
        Event::Frost { on, .. } => (Hazard::Frost, *on),
        Event::Power { on, .. } => (Hazard::Power, *on),
        _ => return None,
    };
    let view = PlanView::new(plan).ok()?;
    let weather = changed.weather.iter().find(|row| row.date == on);
    let mut places = match what {
        Hazard::Frost => cold(&view, changed, weather, on),
        Hazard::Power => unheated(&view, usual, changed, on),
    };
    places.sort_by(|one, other| (one.inside_c, &one.place).cmp(&(other.inside_c, &other.place)));
    Some(Tonight {
        what,
        on,
        places,
        who: on_call(changed, on),
    })
}

/// Places without warmth of their own, with trays in them on that morning, where it is as cold as beds are covered for.
fn cold(
    view: &PlanView<'_>,
    scenario: &Scenario,
    weather: Option<&WeatherDay>,
    on: Day,
) -> Vec<Reached> {
    let mut all: BTreeMap<&str, Reached> = BTreeMap::new();
    let mut reach = |id,
                     name: &str,
                     temperature: &Temperature,
                     kind: &str,
                     (trays, stacks): (i64, i64),
                     rows: &[u32]| {
        let inside =
            growth::in_place(temperature, weather).and_then(|(min, _)| Fixed::nearest(min));
        let Some(inside) = inside.filter(|inside| *inside <= FROST) else {
            return;
        };
        let one = all.entry(id).or_insert_with(|| Reached {
            place: name.to_string(),
            trays: 0,
            stacks: 0,
            kinds: Vec::new(),
            rows: Vec::new(),
            inside_c: inside,
            usual_c: None,
            opens_later: 0,
        });
        one.trays += trays;
        one.stacks += stacks;
        one.rows.extend(rows);
        if !one.kinds.iter().any(|known| known == kind) {
            one.kinds.push(kind.to_string());
        }
    };
    for run in &view.runs {
        for part in &run.parts {
            if let Some((bed, rows)) = part.bed_in_the_morning(on) {
                let trays = (part.delivery.sown(), 0);
                reach(
                    bed.id.as_str(),
                    &bed.name,
                    &bed.temperature,
                    &run.kind.id,
                    trays,
                    rows,
                );
            }
            let one = part.delivery;
            if one.leaves() < on && on <= one.day && part.is_planted() {
                let name = "edge of the field";
                let trays = (one.trays, 0);
                reach("", name, &scenario.edge, &run.kind.id, trays, &[]);
            }
        }
        for stack in closed_stacks(run, on) {
            let place = stack.place;
            let trays = (stack.stacks.trays, stack.stacks.stacks);
            let warmth = place.warmth_on(on);
            reach(
                place.id.as_str(),
                &place.name,
                &warmth,
                &run.kind.id,
                trays,
                &[],
            );
        }
    }
    all.into_values().collect()
}

/// Stacks of a run that stand closed on that morning.
fn closed_stacks<'a, 'b>(
    run: &'b RunView<'a>,
    on: Day,
) -> impl Iterator<Item = &'b crate::plan::view::StackView<'a>> {
    let sow = run.run.sow;
    run.stacks
        .iter()
        .filter(move |stack| sow < on && on <= stack.stacks.open)
}

/// Places that are warmed and are not on that day.
fn unheated(view: &PlanView<'_>, usual: &Scenario, changed: &Scenario, on: Day) -> Vec<Reached> {
    let mut all = Vec::new();
    for (was, is) in usual.germination.iter().zip(&changed.germination) {
        let (Temperature::Own(held), Temperature::Own(now)) = (was.warmth_on(on), is.warmth_on(on))
        else {
            continue;
        };
        if now >= held {
            continue;
        }
        let mut one = Reached {
            place: is.name.clone(),
            trays: 0,
            stacks: 0,
            kinds: Vec::new(),
            rows: Vec::new(),
            inside_c: now,
            usual_c: Some(held),
            opens_later: 0,
        };
        let at = changed
            .germination
            .iter()
            .position(|place| place.id == is.id);
        for run in &view.runs {
            let here = closed_stacks(run, on).filter(|stack| stack.place.id == is.id);
            for stack in here {
                one.trays += stack.stacks.trays;
                one.stacks += stack.stacks.stacks;
                if !one.kinds.contains(&run.kind.id) {
                    one.kinds.push(run.kind.id.clone());
                }
                let opens = |scenario| {
                    let at = at?;
                    crate::nursery::open_day(scenario, run.kind, run.run.sow, at).ok()
                };
                if let (Some(then), Some(now)) = (opens(usual), opens(changed)) {
                    one.opens_later = one.opens_later.max(now.since(then));
                }
            }
        }
        if one.trays > 0 {
            all.push(one);
        }
    }
    all
}

/// Who has that day, and that night.
fn on_call(scenario: &Scenario, on: Day) -> OnCall {
    let care = scenario.work.care.as_ref();
    let crew = care.and_then(|care| scenario.crews.iter().find(|crew| crew.id == care.crew));
    let works = crew.is_some_and(|crew| scenario.calendars.get(crew.calendar).works(on));
    let watch = scenario.duty.night_watch;
    let may_watch = scenario.staff.iter();
    let may_watch = may_watch.filter(|person| person.watches && !person.is_away(on));
    OnCall {
        crew: crew.map(|crew| {
            let start = crew.shift_start_on(on);
            let end = start + crew.shift_hours_on(on).0 * 60 / 100;
            (crew.name.clone(), start, end)
        }),
        people: crew.map_or(0, |crew| {
            if works {
                crew.people_on(on)
            } else {
                crew.rest_day_people
            }
        }),
        day_off: crew.is_some() && !works,
        watch: watch.map(|watch| (watch.people, watch.start_minute, watch.hours)),
        may_watch: may_watch.map(|person| person.name.clone()).collect(),
    }
}
