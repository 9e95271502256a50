//! The clock: gives each job people and time inside the shift of its crew.
//!
//! The line's team is one whole: so many people, from the set-up to the last tray. All other work is
//! done by whole people, as many as are free and useful, in the order of the sheet: load, open and lay
//! out, sow, stack, plant, care, trays, seed, covers. Stacks are opened before sowing begins, by
//! everyone but those who load, and each job is done in one go; when the day does not fit that way, jobs
//! are done in pieces as people come free, or the line begins at once and the rest of the crew
//! opens beside it, if today's stacks find their places without.

mod roster;

use super::jobs::{Need, Todo};
use super::{CrewDay, Job, Misfit, Spell, Work};
use crate::calendar::Day;
use crate::plan::tasks::TaskGraph;
use crate::units::{Span, div_near};
use roster::{Pieces, Roster, Taken};
use std::collections::{BTreeMap, BTreeSet};

/// The day by the clock.
pub struct Laid {
    pub crews: Vec<CrewDay>,
    pub uncounted: Vec<Job>,
    pub misfits: Vec<Misfit>,
}

/// When the line begins.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Order {
    /// After the stacks of its crew, or of the places that it needs, are open.
    OpenFirst,
    /// At once.
    LineFirst,
}

/// How a day is laid out, the tidiest way first.
const WAYS: [(Order, Pieces); 4] = [
    (Order::OpenFirst, Pieces::InOneGo),
    (Order::OpenFirst, Pieces::AsFree),
    (Order::LineFirst, Pieces::InOneGo),
    (Order::LineFirst, Pieces::AsFree),
];

/// People and times of every job, by its index.
struct Times {
    taken: Vec<Vec<Taken>>,
    missing: Vec<i64>,
}

impl Times {
    fn missing_in_all(&self) -> i64 {
        self.missing.iter().sum()
    }
}

/// Gives each job its people and time.
pub fn lay_out(graph: &TaskGraph<'_>, day: Day, todos: Vec<Todo>) -> Laid {
    let crews = &graph.view.plan.scenario.crews;
    let rosters: Vec<Roster> = crews
        .iter()
        .map(|crew| Roster::new(graph.view.plan, crew, day))
        .collect();
    let at: BTreeMap<&str, usize> = crews
        .iter()
        .enumerate()
        .map(|(at, crew)| (crew.id.as_str(), at))
        .collect();
    let clock = Clock {
        todos: &todos,
        at: &at,
        tight: places_needed(graph, day),
    };
    let mut times = clock.times(rosters.clone(), WAYS[0]);
    for way in &WAYS[1..] {
        if times.missing_in_all() == 0 || (way.0 == Order::LineFirst && !clock.tight.is_empty()) {
            break;
        }
        let other = clock.times(rosters.clone(), *way);
        if other.missing_in_all() < times.missing_in_all() {
            times = other;
        }
    }
    let misfits = misfits(graph, &todos, &rosters, &at, &times);
    by_crew(graph, todos, &rosters, &times, misfits)
}

/// Places whose stacks of today do not all fit beside those that are opened today.
fn places_needed(graph: &TaskGraph<'_>, day: Day) -> BTreeSet<String> {
    let mut stacks: BTreeMap<&str, (i64, i64)> = BTreeMap::new();
    for run in &graph.view.runs {
        for stack in &run.stacks {
            let count = stacks
                .entry(&stack.place.id)
                .or_insert((0, stack.place.stack_places));
            if run.run.sow <= day && day <= stack.stacks.open {
                count.0 += stack.stacks.stacks;
            }
        }
    }
    let full = stacks
        .into_iter()
        .filter(|(_, (stacks, places))| stacks > places);
    full.map(|(place, _)| place.to_string()).collect()
}

struct Clock<'a> {
    todos: &'a [Todo],
    at: &'a BTreeMap<&'a str, usize>,
    /// Places that must be opened before the line begins.
    tight: BTreeSet<String>,
}

impl Clock<'_> {
    fn crew(&self, todo: &Todo) -> Option<usize> {
        match &todo.need {
            Need::Nothing => None,
            Need::Team { crew, .. } | Need::Piece { crew, .. } => {
                self.at.get(crew.as_str()).copied()
            }
        }
    }

    fn times(&self, mut rosters: Vec<Roster>, way: (Order, Pieces)) -> Times {
        let count = self.todos.len();
        let mut times = Times {
            taken: vec![Vec::new(); count],
            missing: vec![0; count],
        };
        let place = |work: Work| match work {
            Work::SetUp | Work::Trial | Work::Sow if way.0 == Order::LineFirst => 0,
            Work::Load => 1,
            Work::Unstack => 2,
            Work::Green => 3,
            Work::SetUp | Work::Trial | Work::Sow => 4,
            Work::Stack => 5,
            Work::Plant => 6,
            other => 7 + other as usize,
        };
        let mut turn: Vec<usize> = (0..count).collect();
        turn.sort_by_key(|todo| place(self.todos[*todo].job.work));
        let mut line_free: BTreeMap<&str, i64> = BTreeMap::new();
        for todo in turn {
            self.one(todo, &mut rosters, way, &mut line_free, &mut times);
        }
        times
    }

    fn one<'b>(
        &'b self,
        at: usize,
        rosters: &mut [Roster],
        way: (Order, Pieces),
        line_free: &mut BTreeMap<&'b str, i64>,
        times: &mut Times,
    ) {
        let todo = &self.todos[at];
        let Some(crew) = self.crew(todo) else {
            // Nobody's time: the line is taken all the same.
            if let Some(line) = &todo.on_line {
                let begin = rosters.iter().map(|roster| roster.start).min().unwrap_or(0);
                *line_free.entry(&line.line).or_insert(begin) += line.ms;
            }
            return;
        };
        let roster = &mut rosters[crew];
        match &todo.need {
            Need::Team { people, ms, .. } => {
                let mut after = match &todo.on_line {
                    Some(line) => line_free
                        .get(line.line.as_str())
                        .copied()
                        .unwrap_or(roster.start),
                    None => roster.start,
                };
                if way.0 == Order::OpenFirst {
                    after = after.max(self.opened(at, crew, times).unwrap_or(after));
                }
                let taken = roster.team(after, *people, *ms);
                times.missing[at] =
                    people.saturating_mul(ms - taken.map_or(0, |taken| taken.until - taken.from));
                if let Some(line) = &todo.on_line {
                    line_free.insert(&line.line, taken.map_or(after, |taken| taken.until));
                }
                times.taken[at] = taken.into_iter().collect();
            }
            Need::Piece { ms, .. } => {
                let most = self.most_people(todo, crew, roster.people);
                let (after, not_before) = self.bounds(todo, times, roster.start);
                let (taken, missing) = roster.piece((after, not_before), *ms, most, way.1);
                times.taken[at] = taken;
                times.missing[at] = missing;
            }
            Need::Nothing => {}
        }
    }

    /// When the stacks are open that the line must wait for.
    fn opened(&self, at: usize, crew: usize, times: &Times) -> Option<i64> {
        let places = self.todos[at].on_line.as_ref().map(|line| &line.places)?;
        let waits = self.todos.iter().enumerate().filter(|(_, other)| {
            let same_crew = self.crew(other) == Some(crew);
            let needed = other
                .opens
                .as_ref()
                .is_some_and(|place| self.tight.contains(place) && places.contains(place));
            other.job.work == Work::Unstack && (same_crew || needed)
        });
        waits
            .filter_map(|(other, _)| times.taken[other].last().map(|taken| taken.until))
            .max()
    }

    /// Those who load leave the line's team to open stacks, so that the line is not kept waiting.
    fn most_people(&self, todo: &Todo, crew: usize, people: i64) -> i64 {
        let teams = self
            .todos
            .iter()
            .filter(|other| self.crew(other) == Some(crew));
        let team = teams.filter_map(|other| match &other.need {
            Need::Team { people, .. } => Some(*people),
            _ => None,
        });
        match (todo.job.work, team.max()) {
            (Work::Load, Some(team)) => (people - team).max(1),
            _ => people,
        }
    }

    /// Not before `.0`, and not ended before `.1`, both in milliseconds after midnight.
    fn bounds(&self, todo: &Todo, times: &Times, start: i64) -> (i64, i64) {
        let of_run = |work: Work| {
            self.todos
                .iter()
                .enumerate()
                .filter(move |(_, other)| other.job.work == work && other.job.runs == todo.job.runs)
        };
        let begins = |at: usize| times.taken[at].first().map(|taken| taken.from);
        let ends = |at: usize| times.taken[at].last().map(|taken| taken.until);
        match todo.job.work {
            // Trays are laid out as the stacks are opened.
            Work::Green => {
                let opened = of_run(Work::Unstack).filter_map(|(at, _)| begins(at)).min();
                (opened.unwrap_or(start).max(start), start)
            }
            Work::Care if todo.new => {
                let laid = self.todos.iter().enumerate().filter(|(_, other)| {
                    other.job.work == Work::Green && other.job.to_place == todo.job.to_place
                });
                (
                    laid.filter_map(|(at, _)| ends(at))
                        .max()
                        .unwrap_or(start)
                        .max(start),
                    start,
                )
            }
            // Trays are stacked as they come off the line: done when the last one is sown.
            Work::Stack => {
                let sown = of_run(Work::Sow).next().map(|(at, _)| at);
                let from = sown.and_then(begins).unwrap_or(start).max(start);
                (from, sown.and_then(ends).unwrap_or(from))
            }
            Work::Plant => {
                let loaded = of_run(Work::Load)
                    .filter(|(_, load)| load.job.party == todo.job.party)
                    .filter_map(|(at, _)| ends(at))
                    .max();
                (loaded.unwrap_or(start).max(start), start)
            }
            _ => (start, start),
        }
    }
}

fn misfits(
    graph: &TaskGraph<'_>,
    todos: &[Todo],
    rosters: &[Roster],
    at: &BTreeMap<&str, usize>,
    times: &Times,
) -> Vec<Misfit> {
    let crews = &graph.view.plan.scenario.crews;
    let mut found = Vec::new();
    for (todo, missing) in todos.iter().zip(&times.missing) {
        if *missing == 0 {
            continue;
        }
        let (Need::Team { crew, .. } | Need::Piece { crew, .. }) = &todo.need else {
            continue;
        };
        let Some(crew) = at.get(crew.as_str()) else {
            continue;
        };
        let (name, people) = (crews[*crew].name.clone(), rosters[*crew].people);
        let (work, runs) = (todo.job.work, todo.job.runs.clone());
        found.push(match &todo.need {
            Need::Team { people: needed, .. } if *needed > people => Misfit::Team {
                work,
                runs,
                crew: name,
                needed: *needed,
                people,
            },
            _ => Misfit::Time {
                work,
                runs,
                place: todo
                    .job
                    .to_place
                    .clone()
                    .or_else(|| todo.job.from_place.clone()),
                crew: name,
                person_minutes: Span(*missing).minutes_up(),
            },
        });
    }
    for line in &graph.view.plan.scenario.lines {
        let on_it = todos.iter().filter_map(|todo| todo.on_line.as_ref());
        let ms: i64 = on_it.filter(|on| on.line == line.id).map(|on| on.ms).sum();
        if ms > Span::hours(line.hours_per_day).0 {
            found.push(Misfit::Line {
                line: line.name.clone(),
                minutes: Span(ms).minutes_up(),
                allowed: Span::hours(line.hours_per_day).minutes_up(),
            });
        }
    }
    found
}

fn by_crew(
    graph: &TaskGraph<'_>,
    todos: Vec<Todo>,
    rosters: &[Roster],
    times: &Times,
    misfits: Vec<Misfit>,
) -> Laid {
    let minute = |ms: i64| div_near(ms, Span::MINUTE);
    let mut jobs: BTreeMap<String, Vec<Job>> = BTreeMap::new();
    let mut uncounted = Vec::new();
    for (todo, taken) in todos.into_iter().zip(&times.taken) {
        let mut job = todo.job;
        let spell = |taken: &Taken| Spell {
            people: taken.people,
            from_minute: minute(taken.from),
            until_minute: minute(taken.until),
        };
        job.spells = taken.iter().map(spell).collect();
        match todo.need {
            Need::Nothing => uncounted.push(job),
            Need::Team { crew, .. } | Need::Piece { crew, .. } => {
                jobs.entry(crew).or_default().push(job);
            }
        }
    }
    let mut crews = Vec::new();
    for (crew, roster) in graph.view.plan.scenario.crews.iter().zip(rosters) {
        let Some(mut jobs) = jobs.remove(&crew.id) else {
            continue;
        };
        // What has no time at all comes last, beside what it could not join.
        jobs.sort_by_key(|job| {
            let from = job.spells.first().map(|spell| spell.from_minute);
            (from.is_none(), from)
        });
        let shift = crew.shift_start_minute;
        crews.push(CrewDay {
            crew: crew.id.clone(),
            name: crew.name.clone(),
            people: roster.people,
            from_minute: shift,
            until_minute: shift + div_near(Span::hours(crew.shift_hours).0, Span::MINUTE),
            latest_minute: minute(roster.last_end),
            day_off: roster.day_off,
            bought_minutes: roster.bought_minutes,
            jobs,
        });
    }
    Laid {
        crews,
        uncounted,
        misfits,
    }
}
