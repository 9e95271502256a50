//! Jobs of the seed: soaking, draining and changing water.

use super::{Maker, Todo, job, piece, todo};
use crate::plan::day::Work;
use crate::plan::day::quantities::{bags, dose, seed_of_grams, tank_litres};
use crate::plan::tasks::{Task, Verb};
use crate::quantities::person_time;
use crate::scenario::PieceTask;
use crate::units::Fixed;

impl Maker<'_> {
    /// Soaking, draining and changing water, by kind.
    pub(super) fn soaking(&self) -> Vec<Todo> {
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
                        person_time(by, part.delivery.sown(), kind, None, part.area_m2).0
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
            if what == Work::Soak {
                seed_job.bags = bags(kind, Fixed(dry));
                seed_job.dose = dose(&self.graph.view.plan.scenario, kind, Fixed(dry));
            }
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

#[cfg(test)]
mod tests {
    use super::water_is_changed;

    #[test]
    fn water_stands_three_days_and_is_then_changed_every_second_day() {
        let changed: Vec<i32> = (0..10).filter(|days| water_is_changed(*days)).collect();
        assert_eq!(changed, [3, 5, 7, 9]);
    }
}
