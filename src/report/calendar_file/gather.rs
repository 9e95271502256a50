//! Events of a plan as plain data: the work of the nursery by the clock, and what growers have to know.

use super::{Event, Status};
use crate::calendar::Day;
use crate::plan::day::{CrewDay, Job, Work, day_plan};
use crate::plan::tasks::{Task, TaskGraph, Verb};
use crate::plan::view::{PartView, RunView};
use crate::report::day::words::{job_text, work_verb};
use crate::report::safe::mark_of;
use crate::report::text::trays;
use crate::units::div_near;
use std::collections::BTreeMap;

/// The work of the nursery: one event for each job of each day that belongs to a field or run, and for planting that others do.
pub fn gather(graph: &TaskGraph<'_>) -> Vec<Event> {
    let maker = Maker::new(graph);
    let horizon = graph.view.plan.scenario.horizon;
    let mut days: BTreeMap<Day, ()> = BTreeMap::new();
    let to_come = graph.tasks.iter().filter(|task| horizon.contains(task.day));
    days.extend(to_come.map(|task| (task.day, ())));
    let mut events = Vec::new();
    for day in days.into_keys() {
        let sheet = day_plan(graph, day);
        let mut done: Vec<&str> = Vec::new();
        for crew in &sheet.crews {
            for job in &crew.jobs {
                events.extend(maker.job(day, Some(crew), job));
                done.extend(job.tasks.iter().map(String::as_str));
            }
        }
        for job in &sheet.uncounted {
            events.extend(maker.job(day, None, job));
            done.extend(job.tasks.iter().map(String::as_str));
        }
        let others = graph.on(day).map(|(_, task)| task).filter(|task| {
            task.verb == Verb::Plant && !task.past && !done.contains(&task.id.as_str())
        });
        events.extend(others.filter_map(|task| maker.planted_by_others(task)));
    }
    told_apart(events)
}

/// What the growers have to know: when trays or seed come or are fetched, when they are planted, when empty trays go back.
pub fn grower_events(graph: &TaskGraph<'_>) -> Vec<Event> {
    let maker = Maker::new(graph);
    let horizon = graph.view.plan.scenario.horizon;
    let tasks = graph.tasks.iter();
    let tasks = tasks.filter(|task| !task.past && horizon.contains(task.day));
    told_apart(tasks.filter_map(|task| maker.for_grower(task)).collect())
}

/// Sorted by day, time and identity; where an edited plan has a part twice, the later events get an identity of their own.
fn told_apart(mut events: Vec<Event>) -> Vec<Event> {
    events.sort_by(|one, other| {
        let key = |event: &Event| (event.day, event.time);
        key(one).cmp(&key(other)).then(one.uid.cmp(&other.uid))
    });
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    for event in &mut events {
        let times = seen.entry(event.uid.clone()).or_insert(0);
        *times += 1;
        if *times > 1 {
            event.uid = format!("{times}/{}", event.uid);
        }
    }
    events
}

struct Maker<'a> {
    graph: &'a TaskGraph<'a>,
    by_id: BTreeMap<&'a str, &'a Task>,
    nursery: String,
    sequence: u32,
}

impl<'a> Maker<'a> {
    fn new(graph: &'a TaskGraph<'a>) -> Maker<'a> {
        let plan = graph.view.plan;
        let tasks = graph.tasks.iter();
        Maker {
            graph,
            by_id: tasks.map(|task| (task.id.as_str(), task)).collect(),
            nursery: mark_of(&plan.scenario.name, 12),
            sequence: plan.revision,
        }
    }

    /// The run and the parts that a task is about: its own part, or those of its run in its place.
    fn parts(&self, task: &Task) -> Vec<(&'a RunView<'a>, &'a PartView<'a>)> {
        let graph = self.graph;
        let Some(run) = task.at_run.and_then(|at| graph.view.runs.get(at)) else {
            return Vec::new();
        };
        if task.run.is_none() {
            return Vec::new();
        }
        let place = task.at_stack.and_then(|at| run.stacks.get(at));
        let own = |at: usize| task.at_part.is_none_or(|part| part == at);
        let here = |part: &PartView<'_>| {
            place.is_none_or(|stack| part.place.is_some_and(|at| at.id == stack.place.id))
        };
        let parts = run.parts.iter().enumerate();
        let parts = parts.filter(|(at, part)| own(*at) && here(part));
        parts.map(|(_, part)| (run, part)).collect()
    }

    /// Work, season, field and part; the season with the year in which it ends, since names of fields come again.
    fn uid(&self, work: &str, part: &PartView<'_>) -> String {
        let (field, d) = (part.field, part.delivery);
        let scenario = &self.graph.view.plan.scenario;
        let season = field.season.as_ref().and_then(|id| {
            let mut seasons = scenario.seasons.iter();
            seasons.find(|season| season.id == *id)
        });
        let last = season.map(|season| season.span.last);
        let last = last.or(field.window.last().map(|span| span.last));
        let year = last.map_or(0, |day| day.ymd().0);
        let name = season.map_or("no-season", |season| season.id.as_str());
        format!(
            "{work}/{name}/{year}/{}/{}@{}.invalid",
            d.field, d.part, self.nursery
        )
    }

    fn job(&self, day: Day, crew: Option<&CrewDay>, job: &Job) -> Option<Event> {
        let tasks: Vec<&Task> = job
            .tasks
            .iter()
            .filter_map(|id| self.by_id.get(id.as_str()).copied())
            .collect();
        let mut parts: Vec<_> = tasks.iter().flat_map(|task| self.parts(task)).collect();
        parts.sort_by_key(|(_, part)| (&part.delivery.field, part.delivery.part));
        let (_, first) = *parts.first()?;
        let from = job.spells.iter().map(|spell| spell.from_minute).min();
        let until = job.spells.iter().map(|spell| spell.until_minute).max();
        let five = |minute: i64| div_near(minute, 5) * 5;
        let text = job_text(job);
        let mut lines = text.lines();
        let summary = spoken(lines.next().unwrap_or_default(), work_verb(job));
        let mut details: Vec<String> = lines.map(str::to_string).collect();
        if let Some(crew) = crew {
            details.push(crew.name.clone());
        }
        let to_field = matches!(job.work, Work::Load | Work::HandOver | Work::Plant);
        Some(Event {
            uid: self.uid(word(job.work), first),
            season: first.field.season.clone(),
            crew: crew.map(|crew| crew.crew.clone()),
            grower: job.party.as_ref().map(|party| party.grower.clone()),
            day,
            after: after(tasks.first().map(|task| task.verb), first),
            time: from
                .zip(until)
                .map(|(from, until)| (five(from), five(until))),
            summary,
            details,
            place: job.to_place.clone().or(job.from_place.clone()),
            status: if to_field {
                told(first)
            } else {
                Status::Confirmed
            },
            sequence: self.sequence,
            trays: job.trays,
            person_minutes: job.person_minutes,
            seed_g: match job.work {
                Work::Soak | Work::HandOver => job.seed.map_or(0, |seed| seed.dry.0),
                _ => 0,
            },
        })
    }

    fn planted_by_others(&self, task: &Task) -> Option<Event> {
        let (run, part) = *self.parts(task).first()?;
        let field = part.name();
        let kind = &run.kind.name;
        Some(Event {
            summary: format!(
                "Planted: {field}, {}, {}",
                part.field.grower,
                trays(task.trays)
            ),
            details: vec![format!("{kind}; not by a crew of the nursery")],
            ..self.of_part("plant", task, part)
        })
    }

    fn of_part(&self, work: &str, task: &Task, part: &PartView<'_>) -> Event {
        Event {
            uid: self.uid(work, part),
            season: part.field.season.clone(),
            crew: None,
            grower: Some(part.field.grower.clone()),
            day: task.day,
            after: after(Some(task.verb), part),
            time: None,
            summary: String::new(),
            details: Vec::new(),
            place: None,
            status: told(part),
            sequence: self.sequence,
            trays: task.trays,
            person_minutes: 0,
            seed_g: 0,
        }
    }

    fn for_grower(&self, task: &Task) -> Option<Event> {
        let (run, part) = *self.parts(task).first()?;
        if part.field.spare {
            return None;
        }
        let d = part.delivery;
        let (field, kind, count) = (part.name(), &run.kind.name, trays(task.trays));
        let mut details = vec![];
        let (work, mut summary) = match task.verb {
            Verb::Load if part.is_planted() && d.leaves() == d.day => return None,
            Verb::Load => {
                details.push("shade, level ground, water".to_string());
                (
                    "grower-comes",
                    format!("{count} of {kind} come for {field}"),
                )
            }
            Verb::HandOver if part.is_seed() => (
                "grower-fetch",
                format!(
                    "Fetch soaked seed of {kind} for {field}, {} kg dry",
                    task.seed_dry_kg
                ),
            ),
            Verb::HandOver if part.is_planted() && d.leaves() == d.day => return None,
            Verb::HandOver => (
                "grower-fetch",
                format!("Fetch {count} of {kind} for {field}"),
            ),
            Verb::Plant => {
                let how = match (d.leaves() == d.day, part.field.collected) {
                    (true, true) => "fetch the trays on this day",
                    (true, false) => "the trays come on this day",
                    (false, _) => "the trays are there",
                };
                details.push(format!("{how}; shade and water until they are planted"));
                details.push("stop the planter's engine before clearing it".into());
                ("grower-plant", format!("Plant {field}: {count} of {kind}"))
            }
            Verb::Collect => (
                "grower-empty",
                format!("Empty trays of {field} go back: {count} went there"),
            ),
            _ => return None,
        };
        let status = match task.verb {
            Verb::Collect => Status::Tentative,
            _ => told(part),
        };
        if status == Status::Tentative {
            // Many calendars show the title alone.
            summary = format!("Not fixed yet: {summary}");
            details.push("the day is planned, not fixed: the nursery tells it".into());
        }
        if run.kind.treatment.is_some() && task.verb != Verb::Collect {
            details.push("the seed is treated: keep to its label; never food or feed".into());
        }
        Some(Event {
            summary,
            details,
            place: Some(field),
            status,
            seed_g: if part.is_seed() {
                task.seed_dry_kg.0
            } else {
                0
            },
            ..self.of_part(work, task, part)
        })
    }
}

/// Planting and fetching empty trays follow from leaving.
fn after(verb: Option<Verb>, part: &PartView<'_>) -> Option<Day> {
    matches!(verb, Some(Verb::Plant | Verb::Collect)).then(|| part.delivery.leaves())
}

/// A day that was told stands; another is only planned.
fn told(part: &PartView<'_>) -> Status {
    if part.delivery.promised == Some(part.delivery.day) {
        Status::Confirmed
    } else {
        Status::Tentative
    }
}

/// The first line of a job with its verb as people write it: `Lay out Mirel, 296 trays`.
fn spoken(line: &str, verb: &str) -> String {
    let lower = verb.to_lowercase();
    let mut signs = lower.chars();
    let first: String = signs
        .next()
        .map(|sign| sign.to_uppercase().collect())
        .unwrap_or_default();
    match line.strip_prefix(verb) {
        Some(rest) => format!("{first}{}{rest}", signs.as_str()),
        None => line.to_string(),
    }
}

/// The work in an identity: never changed, or calendars show it twice.
fn word(work: Work) -> &'static str {
    match work {
        Work::Care => "care",
        Work::Load => "load",
        Work::HandOver => "hand-over",
        Work::Plant => "plant",
        Work::Unstack => "open",
        Work::Green => "lay-out",
        Work::SetUp => "set-up",
        Work::Trial => "trial",
        Work::Sow => "sow",
        Work::Stack => "stack",
        Work::TraysBack => "trays-back",
        Work::Collect => "fetch",
        Work::Wash => "wash",
        Work::Soak => "soak",
        Work::Drain => "drain",
        Work::ChangeWater => "change-water",
        Work::Harden => "harden",
        Work::Spare => "spare",
    }
}
