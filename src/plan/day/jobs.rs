//! The jobs of one day with their quantities, not yet by the clock.

use super::quantities::{
    person_ms, seed, seed_of_grams, soil, stacked, tank_litres, tray_ms, wet_grams,
};
use super::{Job, Party, Sowing, Totals, Work};
use crate::calendar::Day;
use crate::plan::tasks::{Task, TaskGraph, Verb};
use crate::plan::view::{PartView, RunView};
use crate::scenario::{Line, PieceTask, TeamTask};
use crate::units::{Fixed, Span, div_up};
use std::collections::BTreeMap;

/// Whose time a job takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Need {
    /// Nobody's.
    Nothing,
    /// So many people of a crew at once, for so many milliseconds.
    Team { crew: String, people: i64, ms: i64 },
    /// Person-milliseconds of a crew.
    Piece { crew: String, ms: i64 },
}

/// Where on a line a job stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnLine {
    pub line: String,
    /// Milliseconds that the line is taken.
    pub ms: i64,
    /// Germination places of the run.
    pub places: Vec<String>,
}

/// A job and what the clock must know about it.
#[derive(Clone, Debug)]
pub struct Todo {
    pub job: Job,
    pub need: Need,
    pub on_line: Option<OnLine>,
    /// Germination place that is opened.
    pub opens: Option<String>,
}

/// Every job of `day`, in the order of the sheet.
pub fn collect(graph: &TaskGraph<'_>, day: Day) -> Vec<Todo> {
    let maker = Maker { graph, day };
    let mut todos: Vec<Todo> = maker.by_part();
    todos.extend(maker.lines());
    todos.extend(maker.care());
    todos.extend(maker.washing());
    todos.extend(maker.soaking());
    todos.sort_by_key(|todo| section(todo.job.work));
    todos
}

/// The four jobs of a line stay together, run after run; all other work is sorted by what it is.
fn section(work: Work) -> Work {
    match work {
        Work::SetUp | Work::Trial | Work::Sow => Work::SetUp,
        other => other,
    }
}

/// Sums over the jobs of a day.
pub fn totals(todos: &[Todo]) -> Totals {
    let mut totals = Totals::default();
    for job in todos.iter().map(|todo| &todo.job) {
        match job.work {
            Work::Sow => totals.sown += job.trays,
            Work::Trial => totals.trial += job.trays,
            Work::Unstack => totals.opened += job.trays,
            Work::Wash => totals.washed += job.trays,
            Work::Load => {
                totals.loaded += job.trays;
                totals.area_ha.0 += job.party.as_ref().map_or(0, |party| party.area_ha.0);
            }
            Work::Soak => totals.soaked_dry_kg.0 += job.seed.map_or(0, |seed| seed.dry.0),
            _ => {}
        }
    }
    totals
}

fn job(work: Work, trays: i64) -> Job {
    Job {
        work,
        tasks: Vec::new(),
        runs: Vec::new(),
        kind: None,
        trays,
        stacked: None,
        seed: None,
        water_l: None,
        from_place: None,
        to_place: None,
        party: None,
        sowing: None,
        person_minutes: 0,
        spells: Vec::new(),
    }
}

fn piece(task: Option<&PieceTask>, ms: impl FnOnce(&PieceTask) -> i64) -> Need {
    task.map_or(Need::Nothing, |task| Need::Piece {
        crew: task.crew.clone(),
        ms: ms(task),
    })
}

fn team(task: Option<&TeamTask>, ms: i64) -> Need {
    task.map_or(Need::Nothing, |task| Need::Team {
        crew: task.crew.clone(),
        people: task.team,
        ms,
    })
}

fn todo(mut job: Job, need: Need) -> Todo {
    job.person_minutes = match &need {
        Need::Nothing => 0,
        Need::Team { people, ms, .. } => Span(people.saturating_mul(*ms)).minutes_up(),
        Need::Piece { ms, .. } => Span(*ms).minutes_up(),
    };
    Todo {
        job,
        need,
        on_line: None,
        opens: None,
    }
}

struct Maker<'a> {
    graph: &'a TaskGraph<'a>,
    day: Day,
}

impl<'a> Maker<'a> {
    fn tasks(&self, verb: Verb) -> impl Iterator<Item = &'a Task> {
        self.graph
            .on(self.day)
            .map(|(_, task)| task)
            .filter(move |task| task.verb == verb)
    }

    fn run(&self, task: &Task) -> Option<&'a RunView<'a>> {
        self.graph.view.runs.get(task.at_run?)
    }

    fn part(&self, task: &Task) -> Option<(&'a RunView<'a>, &'a PartView<'a>)> {
        let run = self.run(task)?;
        Some((run, run.parts.get(task.at_part?)?))
    }

    fn party(&self, run: &RunView<'_>, part: &PartView<'_>) -> Party {
        Party {
            field: part.name(),
            grower: part.field.grower.clone(),
            area_ha: Fixed(part.area_m2),
            age_days: part.delivery.day.since(run.run.sow),
            told: part.delivery.promised == Some(part.delivery.day),
        }
    }

    /// Loading, planting, opening, laying out, hardening and collecting.
    fn by_part(&self) -> Vec<Todo> {
        let work = &self.graph.view.plan.scenario.work;
        let mut todos = Vec::new();
        for task in self.tasks(Verb::Load) {
            let Some((run, part)) = self.part(task) else {
                continue;
            };
            let base = Job {
                tasks: vec![task.id.clone()],
                runs: vec![run.run.id.clone()],
                kind: Some(run.kind.name.clone()),
                from_place: Some(part.harden_bed.name.clone()),
                party: Some(self.party(run, part)),
                ..job(Work::Load, task.trays)
            };
            let bed = Some(part.harden_bed);
            let ms = |piece: &PieceTask| person_ms(piece, task.trays, run.kind, bed, part.area_m2);
            todos.push(todo(base.clone(), piece(work.load.as_ref(), ms)));
            let ours = part
                .planter
                .is_some_and(|p| p.whose == crate::scenario::Whose::Nursery);
            if let (true, Some(planter)) = (ours, part.planter) {
                let plant = Job {
                    work: Work::Plant,
                    tasks: vec![task.id.replace("/load", "/plant")],
                    from_place: None,
                    to_place: Some(planter.name.clone()),
                    ..base
                };
                todos.push(todo(plant, piece(work.plant.as_ref(), ms)));
            }
        }
        for task in self.tasks(Verb::Unstack) {
            todos.extend(self.opening(task));
        }
        todos.extend(self.laying_out(Verb::Green, Work::Green, work.green.as_ref()));
        todos.extend(self.laying_out(Verb::Harden, Work::Harden, work.harden.as_ref()));
        for task in self.tasks(Verb::Collect) {
            let Some((run, part)) = self.part(task) else {
                continue;
            };
            let lost = div_up(
                task.trays * self.graph.view.plan.scenario.trays.loss.0,
                1_000_000,
            );
            let collect = Job {
                tasks: vec![task.id.clone()],
                runs: vec![run.run.id.clone()],
                party: Some(self.party(run, part)),
                ..job(Work::Collect, task.trays - lost)
            };
            let bed = Some(part.harden_bed);
            let ms = |piece: &PieceTask| person_ms(piece, task.trays, run.kind, bed, part.area_m2);
            todos.push(todo(collect, piece(work.collect.as_ref(), ms)));
        }
        todos
    }

    fn opening(&self, task: &Task) -> Option<Todo> {
        let run = self.run(task)?;
        let stack = run.stacks.get(task.at_stack?)?;
        let work = self.graph.view.plan.scenario.work.unstack.as_ref();
        let here = run
            .parts
            .iter()
            .filter(|part| part.place.id == stack.place.id);
        let need = piece(work, |piece| {
            here.map(|part| {
                person_ms(
                    piece,
                    part.delivery.trays,
                    run.kind,
                    Some(part.green_bed),
                    part.area_m2,
                )
            })
            .sum()
        });
        let open = Job {
            tasks: vec![task.id.clone()],
            runs: vec![run.run.id.clone()],
            kind: Some(run.kind.name.clone()),
            stacked: Some(stacked(task.trays, stack.place.height)),
            from_place: Some(stack.place.name.clone()),
            ..job(Work::Unstack, task.trays)
        };
        Some(Todo {
            opens: Some(stack.place.id.clone()),
            ..todo(open, need)
        })
    }

    /// Parts of a run that go into the same bed on the same day are one job.
    fn laying_out(&self, verb: Verb, work: Work, by: Option<&PieceTask>) -> Vec<Todo> {
        let mut todos: Vec<Todo> = Vec::new();
        let mut at: BTreeMap<(&str, &str, &str), usize> = BTreeMap::new();
        for task in self.tasks(verb) {
            let Some((run, part)) = self.part(task) else {
                continue;
            };
            let (from, to) = match verb {
                Verb::Green => (&part.place.name, part.green_bed),
                _ => (&part.green_bed.name, part.harden_bed),
            };
            let ms = by.map_or(0, |by| {
                person_ms(by, task.trays, run.kind, Some(to), part.area_m2)
            });
            let key = (run.run.id.as_str(), from.as_str(), to.id.as_str());
            if let Some(at) = at.get(&key) {
                let found = &mut todos[*at];
                found.job.tasks.push(task.id.clone());
                found.job.trays += task.trays;
                if let Need::Piece { ms: sum, .. } = &mut found.need {
                    *sum += ms;
                    found.job.person_minutes = Span(*sum).minutes_up();
                }
                continue;
            }
            at.insert(key, todos.len());
            let lay = Job {
                tasks: vec![task.id.clone()],
                runs: vec![run.run.id.clone()],
                kind: Some(run.kind.name.clone()),
                from_place: Some(from.clone()),
                to_place: Some(to.name.clone()),
                ..job(work, task.trays)
            };
            todos.push(todo(lay, piece(by, |_| ms)));
        }
        todos
    }

    /// Set-up, trial, sowing and stacking, in the order of the runs on each line.
    fn lines(&self) -> Vec<Todo> {
        let mut todos = Vec::new();
        for line in &self.graph.view.plan.scenario.lines {
            let mut runs: Vec<&RunView<'_>> = self.graph.view.runs.iter().collect();
            runs.retain(|run| {
                run.run.sow == self.day && run.line.is_some_and(|own| own.id == line.id)
            });
            runs.sort_by_key(|run| run.run.place_in_day);
            let mut before: Option<&str> = None;
            for (at, run) in runs.iter().enumerate() {
                let set_up = set_up_ms(line, before, &run.kind.id);
                todos.extend(self.on_line(line, run, set_up, (at + 1, runs.len())));
                before = Some(&run.kind.id);
            }
        }
        todos
    }

    fn on_line(
        &self,
        line: &Line,
        run: &RunView<'_>,
        set_up_ms: i64,
        (order, of): (usize, usize),
    ) -> Vec<Todo> {
        let work = &self.graph.view.plan.scenario.work;
        let (r, kind) = (run.run, run.kind);
        let all = r.trays + r.trial_trays;
        let each = tray_ms(line);
        let base = |work: Work, verb: Verb, trays: i64| Job {
            tasks: vec![format!("{}/{verb}", r.id)],
            runs: vec![r.id.clone()],
            kind: Some(kind.name.clone()),
            to_place: Some(line.name.clone()),
            ..job(work, trays)
        };
        let places: Vec<String> = run
            .stacks
            .iter()
            .map(|stack| stack.place.id.clone())
            .collect();
        let on_line = |todo: Todo, ms: i64| Todo {
            on_line: Some(OnLine {
                line: line.id.clone(),
                ms,
                places: places.clone(),
            }),
            ..todo
        };
        let sowing = Sowing {
            order,
            of,
            line_minutes: Span(set_up_ms + all * each).minutes_up(),
            trial_trays: r.trial_trays,
            seed: seed(kind, all),
            grams: wet_grams(kind),
            soil: soil(kind, all),
        };
        let sow = Job {
            sowing: Some(sowing),
            ..base(Work::Sow, Verb::Sow, r.trays)
        };
        let (trial_ms, sow_ms) = (r.trial_trays * each, r.trays * each);
        let set_up = base(Work::SetUp, Verb::SetUp, 0);
        let mut todos = vec![on_line(
            todo(set_up, team(work.set_up.as_ref(), set_up_ms)),
            set_up_ms,
        )];
        if r.trial_trays > 0 {
            let trial = base(Work::Trial, Verb::Trial, r.trial_trays);
            todos.push(on_line(
                todo(trial, team(work.sow.as_ref(), trial_ms)),
                trial_ms,
            ));
        }
        todos.push(on_line(todo(sow, team(work.sow.as_ref(), sow_ms)), sow_ms));
        for (at, stack) in run.stacks.iter().enumerate() {
            let here = run
                .parts
                .iter()
                .filter(|part| part.place.id == stack.place.id);
            let need = piece(work.stack.as_ref(), |piece| {
                here.map(|part| {
                    person_ms(
                        piece,
                        part.delivery.trays,
                        kind,
                        Some(part.green_bed),
                        part.area_m2,
                    )
                })
                .sum()
            });
            let task = self
                .tasks(Verb::Stack)
                .find(|task| task.run.as_ref() == Some(&r.id) && task.at_stack == Some(at));
            let stack = Job {
                tasks: task.map(|task| task.id.clone()).into_iter().collect(),
                stacked: Some(stacked(stack.stacks.trays, stack.place.height)),
                from_place: Some(line.name.clone()),
                to_place: Some(stack.place.name.clone()),
                ..base(Work::Stack, Verb::Stack, stack.stacks.trays)
            };
            todos.push(todo(stack, need));
        }
        todos
    }

    /// Water, vent and look at every bed with trays in it, rest days too.
    fn care(&self) -> Vec<Todo> {
        let care = self.graph.view.plan.scenario.work.care.as_ref();
        let mut todos = Vec::new();
        for bed in &self.graph.view.plan.scenario.beds {
            let (mut trays, mut ms) = (0, 0);
            let mut runs: Vec<String> = Vec::new();
            for run in &self.graph.view.runs {
                for part in &run.parts {
                    let d = part.delivery;
                    let green =
                        d.open <= self.day && self.day < d.harden && part.green_bed.id == bed.id;
                    let harden =
                        d.harden <= self.day && self.day < d.day && part.harden_bed.id == bed.id;
                    if !green && !harden {
                        continue;
                    }
                    trays += d.trays;
                    ms += care.map_or(0, |care| {
                        person_ms(care, d.trays, run.kind, Some(bed), part.area_m2)
                    });
                    if runs.last() != Some(&run.run.id) {
                        runs.push(run.run.id.clone());
                    }
                }
            }
            if trays > 0 {
                let job = Job {
                    runs,
                    to_place: Some(bed.name.clone()),
                    ..job(Work::Care, trays)
                };
                todos.push(todo(job, piece(care, |_| ms)));
            }
        }
        todos
    }

    fn washing(&self) -> Vec<Todo> {
        let wash = self.graph.view.plan.scenario.work.wash.as_ref();
        let todos = self.tasks(Verb::Wash).map(|task| {
            let need = piece(wash, |wash| {
                let unit = i128::from(Span::minutes(wash.person_minutes).0);
                let ms = -(-(unit * i128::from(task.trays))).div_euclid(100);
                i64::try_from(ms).unwrap_or(i64::MAX / 4)
            });
            todo(
                Job {
                    tasks: vec![task.id.clone()],
                    ..job(Work::Wash, task.trays)
                },
                need,
            )
        });
        todos.collect()
    }

    /// Soaking, draining and changing water, by kind.
    fn soaking(&self) -> Vec<Todo> {
        let work = &self.graph.view.plan.scenario.work;
        let mut todos = Vec::new();
        for (verb, what, by) in [
            (Verb::Soak, Work::Soak, work.soak.as_ref()),
            (Verb::Drain, Work::Drain, work.drain.as_ref()),
        ] {
            let tasks: Vec<&Task> = self.tasks(verb).collect();
            todos.extend(self.seed_jobs(what, by, &tasks));
        }
        let changing: Vec<&Task> = self
            .graph
            .tasks
            .iter()
            .filter(|task| {
                let drain = self.run(task).and_then(|run| run.run.drain);
                task.verb == Verb::Soak
                    && water_is_changed(self.day.since(task.day))
                    && drain.is_some_and(|drain| self.day < drain)
            })
            .collect();
        todos.extend(self.seed_jobs(Work::ChangeWater, None, &changing));
        todos
    }

    fn seed_jobs(&self, what: Work, by: Option<&PieceTask>, tasks: &[&Task]) -> Vec<Todo> {
        let mut todos = Vec::new();
        for kind in &self.graph.view.plan.scenario.kinds {
            let (mut dry, mut ms) = (0, 0);
            let mut seed_job = job(what, 0);
            for task in tasks {
                let Some(run) = self.run(task).filter(|run| run.kind.id == kind.id) else {
                    continue;
                };
                dry += task.seed_dry_kg.0;
                for part in &run.parts {
                    ms += by.map_or(0, |by| {
                        person_ms(by, part.delivery.trays, kind, None, part.area_m2)
                    });
                }
                seed_job.runs.push(run.run.id.clone());
                if what != Work::ChangeWater {
                    seed_job.tasks.push(task.id.clone());
                }
            }
            if seed_job.runs.is_empty() {
                continue;
            }
            seed_job.kind = Some(kind.name.clone());
            seed_job.seed = Some(seed_of_grams(kind, dry));
            if what != Work::Drain {
                seed_job.water_l = Some(tank_litres(Fixed(dry)));
            }
            todos.push(todo(seed_job, piece(by, |_| ms)));
        }
        todos
    }
}

/// No change for the first three days, then every second day.
///
/// Source: cooperative leaflet "Soaking and sprouting disinfected rice seed", undated; Fukui farm cooperative, "Good rice
/// starts with sound seedlings", undated.
fn water_is_changed(days: i32) -> bool {
    days >= 3 && (days - 3) % 2 == 0
}

fn set_up_ms(line: &Line, before: Option<&str>, kind: &str) -> i64 {
    let minutes = match before {
        None => line.first_set_up_minutes,
        Some(before) => line
            .set_up_pairs
            .iter()
            .find(|pair| pair.from == before && pair.to == kind)
            .map_or(line.set_up_minutes, |pair| pair.minutes),
    };
    Span::minutes(minutes).0
}

#[cfg(test)]
mod tests {
    use super::water_is_changed;

    #[test]
    fn water_stands_three_days_and_is_then_changed_every_second_day() {
        let changed: Vec<i32> = (0..10).filter(|days| water_is_changed(*days)).collect();
        assert_eq!(changed, [3, 5, 7, 9]);
    }
}
