//! Events sorted into files, with what an earlier plan had and this one has not.

use super::{CalendarFile, Event, Status, gather, grower_events, stamp};
use crate::plan::tasks::TaskGraph;
use crate::report::safe::file_names;
use std::collections::{BTreeMap, BTreeSet};

/// What one file is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// All work for the fields of a season.
    Season,
    /// All work of a crew.
    Crew,
    /// What a grower has to know, and of nobody else.
    Grower,
}

/// The files of a plan, by name.
///
/// # Arguments
/// * `graph`: the plan.
/// * `earlier`: plans before it, the oldest first. What the newest of them that has an event sets on or after the first day of this plan, and
///   this plan has not, is issued as cancelled, unless its trays have left before.
/// * `by`: what a file is for.
pub fn files(graph: &TaskGraph<'_>, earlier: &[TaskGraph<'_>], by: By) -> Vec<CalendarFile> {
    let plan = graph.view.plan;
    let now = by_owner(graph, by);
    let mut before: BTreeMap<Owner, BTreeMap<String, Event>> = BTreeMap::new();
    for graph in earlier {
        for (owner, events) in by_owner(graph, by) {
            let known = before.entry(owner).or_default();
            known.extend(events.into_iter().map(|event| (event.uid.clone(), event)));
        }
    }
    let owners: BTreeSet<Owner> = now.keys().chain(before.keys()).cloned().collect();
    let ids: Vec<&str> = owners.iter().flatten().map(String::as_str).collect();
    let names = file_names(&ids).into_iter();
    let mut names = names.map(|name| format!("{}-{name}.ics", word(by)));
    let files = owners.iter().map(|owner| {
        let name = owner.as_ref().and_then(|_| names.next());
        let mut events = now.get(owner).cloned().unwrap_or_default();
        let there: BTreeSet<String> = events.iter().map(|event| event.uid.clone()).collect();
        let dropped = before.get(owner).into_iter().flat_map(BTreeMap::values);
        let dropped = dropped.filter(|event| {
            let first = plan.scenario.horizon.first;
            let to_come = event.day >= first && event.after.is_none_or(|left| left >= first);
            to_come && !there.contains(&event.uid)
        });
        events.extend(dropped.map(|event| Event {
            status: Status::Cancelled,
            sequence: plan.revision,
            ..event.clone()
        }));
        events.sort_by(|one, other| {
            let key = |event: &Event| (event.day, event.time);
            key(one).cmp(&key(other)).then(one.uid.cmp(&other.uid))
        });
        CalendarFile {
            name: name.unwrap_or_else(|| format!("{}.ics", word(by))),
            owner: owner.clone(),
            title: format!(
                "{}: {}",
                plan.scenario.name,
                title(graph, by, owner.as_deref())
            ),
            nursery: plan.scenario.name.clone(),
            stamp: stamp(plan),
            events,
        }
    });
    files.collect()
}

/// The season, crew or grower; none for what belongs to none.
type Owner = Option<String>;

fn by_owner(graph: &TaskGraph<'_>, by: By) -> BTreeMap<Owner, Vec<Event>> {
    let events = match by {
        By::Grower => grower_events(graph),
        By::Season | By::Crew => gather(graph),
    };
    let mut owners: BTreeMap<Owner, Vec<Event>> = BTreeMap::new();
    for event in events {
        let owner = match by {
            By::Season => event.season.clone(),
            By::Crew => event.crew.clone(),
            By::Grower => event.grower.clone(),
        };
        owners.entry(owner).or_default().push(event);
    }
    owners
}

fn word(by: By) -> &'static str {
    match by {
        By::Season => "season",
        By::Crew => "crew",
        By::Grower => "grower",
    }
}

fn title(graph: &TaskGraph<'_>, by: By, owner: Option<&str>) -> String {
    let scenario = &graph.view.plan.scenario;
    let Some(id) = owner else {
        let none = match by {
            By::Season => "all work",
            By::Crew => "work of no crew",
            By::Grower => "no grower",
        };
        return none.to_string();
    };
    let name = match by {
        By::Season => {
            let mut seasons = scenario.seasons.iter();
            seasons.find(|one| one.id == id).map(|one| &one.name)
        }
        By::Crew => {
            let mut crews = scenario.crews.iter();
            crews.find(|one| one.id == id).map(|one| &one.name)
        }
        By::Grower => None,
    };
    name.map_or_else(|| id.to_string(), Clone::clone)
}
