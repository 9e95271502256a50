//! What does not fit on the clock, and the overtime that would make it fit.

use super::roster::{Roster, Taken};
use super::ways::Way;
use super::{Clock, Times};
use crate::calendar::Day;
use crate::plan::day::jobs::Need;
use crate::plan::day::{Misfit, Work};
use crate::plan::tasks::TaskGraph;
use crate::units::{Span, div_near};

impl Clock<'_> {
    /// The best way; when something has no time in it, the best with the overtime that the scenario allows to the crews it is of.
    pub(super) fn with_overtime(
        &self,
        graph: &TaskGraph<'_>,
        day: Day,
        rosters: Vec<Roster>,
    ) -> (Times, Option<Way>, Vec<Roster>) {
        let (times, way) = self.best(&rosters);
        if times.missing_in_all() == 0 {
            return (times, way, rosters);
        }
        let short = |crew: usize| {
            let missing = self.todos.iter().zip(&times.missing);
            missing
                .filter(|(_, missing)| **missing > 0)
                .any(|(todo, _)| self.crew(todo) == Some(crew))
        };
        let crews = graph.view.plan.scenario.crews.iter();
        let longer: Vec<Roster> = crews
            .zip(&rosters)
            .enumerate()
            .map(|(at, (crew, roster))| match short(at) {
                true => roster.with_allowed(graph.view.plan, crew, day),
                false => roster.clone(),
            })
            .collect();
        let (more, more_way) = self.best(&longer);
        if more.missing_in_all() < times.missing_in_all() {
            (more, more_way, longer)
        } else {
            (times, way, rosters)
        }
    }

    /// Person-milliseconds beyond the shifts that nobody has bought.
    pub(super) fn offered(&self, rosters: &[Roster], times: &Times) -> i64 {
        let mut beyond = vec![0; rosters.len()];
        for (at, todo) in self.todos.iter().enumerate() {
            if let Some(crew) = self.crew(todo) {
                let spells = times.taken[at].iter();
                beyond[crew] += spells.map(|taken| rosters[crew].beyond(taken)).sum::<i64>();
            }
        }
        let all = beyond.iter().zip(rosters);
        all.map(|(beyond, roster)| (beyond - roster.bought_ms()).max(0))
            .sum()
    }

    /// Another crew that has somebody free at every time while the line of a stacking job runs.
    pub(super) fn who_could_stack(
        &self,
        graph: &TaskGraph<'_>,
        at: usize,
        rosters: &[Roster],
        times: &Times,
    ) -> Option<String> {
        let own = self.crew(&self.todos[at]);
        let sown = self.todos.iter().zip(&times.taken).find(|(other, _)| {
            other.job.work == Work::Sow && other.job.runs == self.todos[at].job.runs
        })?;
        let (from, until) = (sown.1.first()?.from, sown.1.last()?.until);
        let crews = graph.view.plan.scenario.crews.iter().zip(rosters);
        let mut others = crews
            .enumerate()
            .filter(|(crew, _)| Some(*crew) != own)
            .filter(|(_, (_, roster))| roster.start <= from && until <= roster.shift_end);
        let is_free = |crew: usize, people: i64| {
            let of_crew = self.todos.iter().zip(&times.taken);
            let spells: Vec<&Taken> = of_crew
                .filter(|(todo, _)| self.crew(todo) == Some(crew))
                .flat_map(|(_, taken)| taken)
                .collect();
            let begins = spells.iter().map(|spell| spell.from);
            let seen = begins.filter(|time| from < *time && *time < until);
            seen.chain([from]).all(|time| {
                let busy = spells.iter().filter(|s| s.from <= time && time < s.until);
                busy.map(|spell| spell.people).sum::<i64>() < people
            })
        };
        others
            .find(|(crew, (_, roster))| is_free(*crew, roster.people))
            .map(|(_, (crew, _))| crew.name.clone())
    }

    /// Jobs without time, teams without people, lines beyond their hours.
    pub(super) fn misfits(
        &self,
        graph: &TaskGraph<'_>,
        day: Day,
        rosters: &[Roster],
        (times, way): (&Times, Option<Way>),
    ) -> Vec<Misfit> {
        let endless: Vec<Roster> = rosters.iter().map(Roster::without_end).collect();
        // Only where something is left over is it worth to know when it would end.
        let stayed = (times.missing_in_all() > 0)
            .then(|| way.map(|way| self.times(endless, way)))
            .flatten();
        let crews = &graph.view.plan.scenario.crews;
        let mut found = Vec::new();
        for (at, (todo, missing)) in self.todos.iter().zip(&times.missing).enumerate() {
            let Some(crew) = self.crew(todo).filter(|_| *missing > 0) else {
                continue;
            };
            let (name, people) = (crews[crew].name.clone(), rosters[crew].people);
            let (work, runs) = (todo.job.work, todo.job.runs.clone());
            let ends = stayed.as_ref().and_then(|stayed| stayed.taken[at].last());
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
                    field: todo
                        .job
                        .party
                        .as_ref()
                        .map(|party| format!("{}, {}", party.field, party.grower)),
                    crew: name,
                    person_minutes: Span(*missing).minutes_up(),
                    hours_suffice: self.hours_of(crew) <= rosters[crew].hours(),
                    would_end: ends.map(|taken| div_near(taken.until, Span::MINUTE)),
                },
            });
        }
        found.extend(self.lines_too_long(graph, day));
        found
    }

    /// Person-milliseconds of all work of a crew.
    fn hours_of(&self, crew: usize) -> i64 {
        let todos = self.todos.iter();
        let own = todos.filter(|todo| self.crew(todo) == Some(crew));
        own.map(|todo| todo.need.person_ms()).sum()
    }

    fn lines_too_long(&self, graph: &TaskGraph<'_>, day: Day) -> Vec<Misfit> {
        let mut found = Vec::new();
        for line in &graph.view.plan.scenario.lines {
            let on_it = self.todos.iter().filter_map(|todo| todo.on_line.as_ref());
            let ms: i64 = on_it.filter(|on| on.line == line.id).map(|on| on.ms).sum();
            let allowed = Span::hours(line.hours_on(day));
            if ms > allowed.0 {
                found.push(Misfit::Line {
                    line: line.name.clone(),
                    minutes: Span(ms).minutes_up(),
                    allowed: allowed.minutes_up(),
                });
            }
        }
        found
    }
}
