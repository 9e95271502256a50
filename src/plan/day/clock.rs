//! The clock: gives each job people and time inside the shift of its crew.
//!
//! The line's team is one whole: so many people, from the set-up to the last tray. All other work is
//! done by whole people, as many as are free and useful, in the order of the sheet: water and vent, load, open and
//! lay out, sow, stack, plant, trays, seed, covers. Where the crew has other work too, as few water as have done it by
//! nine; when the day does not fit that way, they water after it. Trays are stacked while the line runs, by those who
//! are free, at least once an hour; where nobody is, the sheet says so. The line begins as soon as its team is free and each
//! stack will find a place: one that is free in the morning, or one whose stack was opened before.
//!
//! Planting has its machine's own time, in one go, after the way of the trays, or longer with one person fewer beside it ([`machines`]).
//!
//! When the day does not fit that way, jobs are done in pieces as people come free; else the least number of
//! stacks is opened before loading; else, where those who open are of the line's crew, the line takes its
//! team first and the rest of the crew works beside it. Overtime that the scenario allows and the plan has not bought is offered
//! when nothing else helps, as little as there is a way with.

mod machines;
mod places;
mod roster;
mod verdict;
mod ways;

use super::jobs::{Machine, Need, Todo};
use super::{CrewDay, Job, Misfit, Spell, Stacked, Work};
use crate::calendar::Day;
use crate::plan::tasks::TaskGraph;
use crate::units::{Span, div_near, div_up};
use places::Places;
pub use places::free_in_the_morning;
use roster::{Roster, Taken};
use std::collections::BTreeMap;
use ways::{CareTime, Line, Share, Way};

/// The day by the clock.
pub struct Laid {
    pub crews: Vec<CrewDay>,
    pub uncounted: Vec<Job>,
    pub misfits: Vec<Misfit>,
}

/// People and times of every job, by its index.
struct Times {
    taken: Vec<Vec<Taken>>,
    missing: Vec<i64>,
}

impl Times {
    fn empty(count: usize) -> Times {
        Times {
            taken: vec![Vec::new(); count],
            missing: vec![0; count],
        }
    }

    /// Nothing has a time.
    fn none(todos: &[Todo]) -> Times {
        let missing = todos.iter().map(|todo| todo.need.person_ms());
        Times {
            taken: vec![Vec::new(); todos.len()],
            missing: missing.collect(),
        }
    }

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
        places: Places {
            todos: &todos,
            free: free_in_the_morning(graph, day),
        },
    };
    let (times, way, rosters) = clock.with_overtime(graph, day, rosters);
    let misfits = clock.misfits(graph, day, &rosters, (&times, way));
    let seen: Vec<_> = (0..todos.len())
        .map(|at| {
            let late = stacked_late(&todos, &times, at);
            let helpers = late.then(|| clock.who_could_stack(graph, at, &rosters, &times));
            (late, helpers.flatten(), clock.trays_come(at, &times))
        })
        .collect();
    let jobs = todos.into_iter().zip(seen);
    let jobs = jobs.map(|(mut todo, (late, helpers, come))| {
        todo.job.stacked_late = late;
        todo.job.who_could_stack = helpers;
        todo.job.trays_come = come;
        todo
    });
    by_crew(graph, day, (jobs.collect(), &rosters), &times, misfits)
}

struct Clock<'a> {
    todos: &'a [Todo],
    at: &'a BTreeMap<&'a str, usize>,
    places: Places<'a>,
}

impl Clock<'_> {
    fn crew(&self, todo: &Todo) -> Option<usize> {
        let crew = todo.need.crew()?;
        self.at.get(crew.as_str()).copied()
    }

    /// The tidiest way in which all fits; if none does, the one that leaves the least undone. Of those with overtime that
    /// nobody has bought, the one with the least of it.
    fn best(&self, rosters: &[Roster]) -> (Times, Option<Way>) {
        let mut best: Option<((i64, i64), Times, Way)> = None;
        for way in self.ways(rosters) {
            let times = self.times(rosters.to_vec(), way);
            let undone = (times.missing_in_all(), self.offered(rosters, &times));
            let better = best.as_ref().is_none_or(|best| undone < best.0);
            if better && self.places.hold(&times) {
                best = Some((undone, times, way));
            }
            if best.as_ref().is_some_and(|best| best.0 == (0, 0)) {
                break;
            }
        }
        best.map_or_else(
            || (Times::none(self.todos), None),
            |(_, times, way)| (times, Some(way)),
        )
    }

    fn times(&self, mut rosters: Vec<Roster>, way: Way) -> Times {
        let mut times = Times::empty(self.todos.len());
        let mut line_free: BTreeMap<&str, i64> = BTreeMap::new();
        let mut planted = false;
        for (todo, share) in self.turn(way) {
            if !matches!(self.todos[todo].need, Need::Machine(_)) {
                self.one((todo, share), &mut rosters, way, &mut line_free, &mut times);
            } else if !planted {
                planted = true;
                self.plant(&mut rosters, way, &mut times);
            }
        }
        times.taken.iter_mut().for_each(tidy);
        times
    }

    fn one<'b>(
        &'b self,
        (at, share): (usize, Share),
        rosters: &mut [Roster],
        way: Way,
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
                after = match way.line {
                    Line::AfterOpening => after.max(self.places.not_before(at, times)),
                    Line::From(from) => after.max(from),
                };
                let taken = roster.team(after, *people, *ms);
                times.missing[at] =
                    people.saturating_mul(ms - taken.map_or(0, |taken| taken.until - taken.from));
                if let Some(line) = &todo.on_line {
                    line_free.insert(&line.line, taken.map_or(after, |taken| taken.until));
                }
                times.taken[at] = taken.into_iter().collect();
            }
            Need::Piece { ms, .. } => {
                let ms = match share {
                    Share::All => *ms,
                    Share::First(first) => first,
                    Share::Rest(first) => ms - first,
                };
                let most = self.most_people(todo, crew, roster, way);
                let Some(bounds) = self.bounds((at, todo), times, roster.start, way) else {
                    times.missing[at] += ms;
                    return;
                };
                for (bounds, ms) in portions(todo.job.work, bounds, ms) {
                    let (taken, missing) = roster.piece(bounds, ms, most, way.pieces);
                    times.taken[at].extend(taken);
                    times.missing[at] += missing;
                }
            }
            Need::Nothing | Need::Machine(_) => {}
        }
    }

    /// Those who load leave the line's team to open stacks, so that the line is not kept waiting; as few water early
    /// as have done it by nine, when their crew has other work too.
    fn most_people(&self, todo: &Todo, crew: usize, roster: &Roster, way: Way) -> i64 {
        let people = roster.people;
        let of_crew = || {
            let todos = self.todos.iter();
            todos.filter(move |other| self.crew(other) == Some(crew))
        };
        let team = of_crew().filter_map(|other| match &other.need {
            Need::Team { people, .. } => Some(*people),
            _ => None,
        });
        let waits = |todo: &Todo| {
            let early = matches!(todo.job.work, Work::Load | Work::Unstack | Work::Green);
            early || todo.on_line.is_some()
        };
        match (todo.job.work, team.max()) {
            (Work::Load, Some(team)) => (people - team).max(1),
            (Work::Care, _) if is_early(todo, way) && of_crew().any(waits) => {
                let care = of_crew().filter(|other| is_early(other, way));
                let ms: i64 = care.map(|other| piece_ms(&other.need)).sum();
                let until_nine = NINE - roster.start;
                if until_nine <= 0 {
                    return people;
                }
                div_up(ms, until_nine).clamp(1, people.max(1))
            }
            _ => people,
        }
    }

    /// Not before `.0`, and not ended before `.1`, both in milliseconds after midnight; none when what it follows
    /// has no time.
    fn bounds(
        &self,
        (at, todo): (usize, &Todo),
        times: &Times,
        start: i64,
        way: Way,
    ) -> Option<(i64, i64)> {
        let of_run = |work: Work| {
            self.todos
                .iter()
                .enumerate()
                .filter(move |(_, other)| other.job.work == work && other.job.runs == todo.job.runs)
        };
        let begins = |at: usize| times.taken[at].first().map(|taken| taken.from);
        let ends = |at: usize| times.taken[at].last().map(|taken| taken.until);
        Some(match todo.job.work {
            // Trays are laid out as the stacks are opened.
            Work::Green => {
                let opened = of_run(Work::Unstack).filter_map(|(at, _)| begins(at)).min();
                (opened.unwrap_or(start).max(start), start)
            }
            // One bed after the other.
            Work::Care if is_early(todo, way) => {
                let before = (0..at).filter(|other| {
                    is_early(&self.todos[*other], way)
                        && self.crew(&self.todos[*other]) == self.crew(todo)
                });
                let until = before.filter_map(ends).max();
                (until.unwrap_or(start).max(start), start)
            }
            Work::Load if todo.is_sprouted() => {
                let opened = of_run(Work::Unstack)
                    .filter(|(_, open)| open.job.from_place == todo.job.from_place)
                    .filter_map(|(at, _)| ends(at))
                    .max();
                (opened.unwrap_or(start).max(start), start)
            }
            Work::Care if todo.job.laid_out_today => {
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
                if sown.is_some_and(|at| times.missing[at] > 0 && times.taken[at].is_empty()) {
                    return None;
                }
                let from = sown.and_then(begins).unwrap_or(start).max(start);
                (from, sown.and_then(ends).unwrap_or(from))
            }
            // Trays come off the stacks, or back from the fields, before they are washed.
            Work::Wash => {
                let of = |job: &Job| job.work == Work::Unstack && job.trial_trays > 0;
                let emptied = self.todos.iter().enumerate();
                let emptied = emptied.filter(|(_, other)| of(&other.job));
                let emptied = emptied.filter_map(|(at, _)| ends(at)).max();
                let fetched = self.todos.iter().enumerate();
                let fetched = fetched.filter(|(_, other)| other.job.work == Work::Collect);
                let fetched = fetched.filter_map(|(at, _)| ends(at)).min();
                (emptied.max(fetched).unwrap_or(start).max(start), start)
            }
            _ => (start, start),
        })
    }
}

/// Beds are watered by this time where people allow (common practice, no source).
const NINE: i64 = 9 * Span::HOUR;

/// Sown trays wait no longer than this for those who stack (common practice, no source: jobs change within the hour).
const LONGEST_PORTION: i64 = Span::HOUR;

fn is_early(todo: &Todo, way: Way) -> bool {
    way.care == CareTime::Early && todo.job.work == Work::Care && !todo.job.laid_out_today
}

fn piece_ms(need: &Need) -> i64 {
    match need {
        Need::Piece { ms, .. } => *ms,
        _ => 0,
    }
}

fn field_of(todo: &Todo) -> Option<&String> {
    todo.job.party.as_ref().map(|party| &party.field)
}

/// Stacking in equal portions of the time that the line runs; all other work in one.
fn portions(work: Work, (from, until): (i64, i64), ms: i64) -> Vec<((i64, i64), i64)> {
    let count = match work {
        Work::Stack => div_up(until - from, LONGEST_PORTION).max(1),
        _ => 1,
    };
    if count == 1 {
        return vec![((from, until), ms)];
    }
    let at = |nth: i64| from + (until - from) * nth / count;
    let done = |nth: i64| ms * nth / count;
    (0..count)
        .map(|nth| ((at(nth), at(nth + 1)), done(nth + 1) - done(nth)))
        .collect()
}

/// Stacking that follows the last tray for longer than this is said on the sheet.
const AFTER_THE_LINE: i64 = 10 * Span::MINUTE;

/// True of stacking for which nobody of the crew is free at any time while the line runs.
fn stacked_late(todos: &[Todo], times: &Times, at: usize) -> bool {
    let job = &todos[at].job;
    if job.work != Work::Stack {
        return false;
    }
    let mut sown = todos.iter().zip(&times.taken);
    let sown = sown.find(|(other, _)| other.job.work == Work::Sow && other.job.runs == job.runs);
    let until = sown.and_then(|(_, taken)| Some(taken.last()?.until));
    until.is_some_and(|until| {
        let spells = &times.taken[at];
        let work = spells.iter().map(|s| s.people * (s.until - s.from));
        let after = spells.iter().all(|spell| spell.from >= until);
        after && work.sum::<i64>() > AFTER_THE_LINE
    })
}

/// Spells by time; those that follow one another with the same people become one.
fn tidy(taken: &mut Vec<Taken>) {
    taken.sort_by_key(|taken| (taken.from, taken.until));
    taken.dedup_by(|next, last| {
        let goes_on = last.people == next.people && last.until == next.from;
        if goes_on {
            last.until = next.until;
        }
        goes_on
    });
}

/// Whole stacks of the first spell, when something else comes before the others.
fn stacks_first(stacked: Option<Stacked>, taken: &[Taken]) -> Option<i64> {
    let gap = taken
        .windows(2)
        .position(|two| two[0].until < two[1].from)?;
    let work = |taken: &Taken| taken.people * (taken.until - taken.from);
    let all: i64 = taken.iter().map(work).sum();
    let first: i64 = taken[..=gap].iter().map(work).sum();
    Some(stacked?.stacks() * first / all.max(1))
}

fn by_crew(
    graph: &TaskGraph<'_>,
    day: Day,
    (todos, rosters): (Vec<Todo>, &[Roster]),
    times: &Times,
    misfits: Vec<Misfit>,
) -> Laid {
    let minute = |ms: i64| div_near(ms, Span::MINUTE);
    let mut beyond: BTreeMap<String, i64> = BTreeMap::new();
    for (at, todo) in todos.iter().enumerate() {
        if let Some(crew) = todo.need.crew() {
            let roster = graph.view.plan.scenario.crews.iter().zip(rosters);
            let roster = roster.into_iter().find(|(own, _)| own.id == *crew);
            let spells = times.taken[at].iter();
            *beyond.entry(crew.clone()).or_default() += roster.map_or(0, |(_, roster)| {
                spells.map(|taken| roster.beyond(taken)).sum()
            });
        }
    }
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
        if job.work == Work::Unstack {
            job.stacks_first = stacks_first(job.stacked, taken);
        }
        match todo.need {
            Need::Nothing => uncounted.push(job),
            Need::Team { crew, .. }
            | Need::Piece { crew, .. }
            | Need::Machine(Machine { crew, .. }) => {
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
        let shift = crew.shift_start_on(day);
        crews.push(CrewDay {
            crew: crew.id.clone(),
            name: crew.name.clone(),
            people: roster.people,
            from_minute: shift,
            until_minute: shift + div_near(Span::hours(crew.shift_hours_on(day)).0, Span::MINUTE),
            latest_minute: minute(roster.last_end),
            day_off: roster.day_off,
            offered_minutes: Span(
                (beyond.get(&crew.id).copied().unwrap_or(0) - roster.bought_ms()).max(0),
            )
            .minutes_up(),
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
