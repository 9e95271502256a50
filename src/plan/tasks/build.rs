//! From a plan to its tasks and lags. The rules are those of `docs/COUNTING.md`.

use super::growth::{age_days, stack_days};
use super::{DAY, Lag, Task, Verb, Why};
use crate::calendar::Day;
use crate::growth::soak_days;
use crate::plan::view::{PartView, PlanView, RunView};
use crate::scenario::Pin;
use crate::units::{Fixed, Hectares, div_near, div_up};

/// Trays that can be washed from a day on, and the task that brings them.
struct Dirty {
    from: Day,
    trays: i64,
    by: Option<usize>,
    lag: i64,
}

struct Builder<'a> {
    view: &'a PlanView<'a>,
    first: Day,
    last: Day,
    tasks: Vec<Task>,
    lags: Vec<Lag>,
    dirty: Vec<Dirty>,
}

/// Tasks and lags of a plan.
pub fn build(view: &PlanView<'_>) -> (Vec<Task>, Vec<Lag>) {
    let horizon = view.plan.scenario.horizon;
    let mut builder = Builder {
        view,
        first: horizon.first,
        last: horizon.last,
        tasks: Vec::new(),
        lags: Vec::new(),
        dirty: Vec::new(),
    };
    for at in 0..view.runs.len() {
        builder.run(at);
    }
    builder.washing();
    (builder.tasks, builder.lags)
}

impl<'a> Builder<'a> {
    /// Adds a task; what is planned before the first day is done and fixed, all else begins on the first day or later.
    fn add(&mut self, task: Task) -> usize {
        let at = self.tasks.len();
        let offset = minutes(task.day.since(self.first));
        let lag = if task.past {
            Lag {
                from: None,
                to: at,
                least: Some(offset),
                greatest: Some(offset),
                why: Why::Done,
            }
        } else {
            Lag {
                from: None,
                to: at,
                least: Some(0),
                greatest: None,
                why: Why::Horizon,
            }
        };
        self.tasks.push(task);
        self.lags.push(lag);
        at
    }

    /// A lag in days, unless both tasks are done.
    fn lag(&mut self, from: usize, to: usize, least: i32, greatest: Option<i32>, why: Why) {
        if self.tasks[from].past && self.tasks[to].past {
            return;
        }
        let (least, greatest) = (Some(minutes(least)), greatest.map(minutes));
        self.lags.push(Lag {
            from: Some(from),
            to,
            least,
            greatest,
            why,
        });
    }

    /// Bounds on the day of a task itself.
    fn between(&mut self, to: usize, least: Option<Day>, greatest: Option<Day>, why: Why) {
        if self.tasks[to].past {
            return;
        }
        let offset = |day: Day| minutes(day.since(self.first));
        let (least, greatest) = (least.map(offset), greatest.map(offset));
        self.lags.push(Lag {
            from: None,
            to,
            least,
            greatest,
            why,
        });
    }

    fn run(&mut self, at: usize) {
        let run: &RunView<'a> = &self.view.runs[at];
        let sow = self.sowing(at, run);
        let opened: Vec<usize> = (0..run.stacks.len())
            .map(|stack| self.stack(at, stack, sow))
            .collect();
        // Trial trays are emptied when the first place is opened.
        if let (Some(open), true) = (opened.first(), run.run.trial_trays > 0) {
            let (by, from) = (Some(*open), self.tasks[*open].day);
            self.dirty.push(Dirty {
                from,
                trays: run.run.trial_trays,
                by,
                lag: 0,
            });
        }
        for part in 0..run.parts.len() {
            let place = &run.parts[part].delivery.germination;
            let stack = run
                .stacks
                .iter()
                .position(|stack| Some(&stack.place.id) == place.as_ref());
            self.part(at, part, sow, stack.map(|stack| opened[stack]));
        }
    }

    /// Soak to sow; returns the sowing.
    fn sowing(&mut self, at: usize, run: &RunView<'a>) -> usize {
        let (r, kind) = (run.run, run.kind);
        let all = r.trays + r.trial_trays;
        let seed_dry_kg = Fixed(div_near(all * kind.seed_g_dry_per_tray.0, 10));
        let line = r.line.clone();
        let task = |verb: Verb, day: Day, trays: i64, place: Option<String>| Task {
            seed_dry_kg,
            ..blank(
                format!("{}/{verb}", r.id),
                verb,
                day,
                self.first,
                trays,
                at,
                place,
            )
        };
        let seed = match (r.soak, r.drain) {
            (Some(soak), Some(drain)) => [
                (Verb::Soak, soak),
                (Verb::Drain, drain),
                (Verb::Sprout, drain.plus(kind.sprout_days)),
            ]
            .map(|(verb, day)| task(verb, day, all, None))
            .into(),
            _ => Vec::new(),
        };
        let on_line = [(Verb::SetUp, 0), (Verb::Trial, r.trial_trays)];
        let on_line: Vec<Task> = on_line
            .into_iter()
            .filter(|(verb, trays)| line.is_some() && (*verb == Verb::SetUp || *trays > 0))
            .map(|(verb, trays)| Task {
                seed_dry_kg: Fixed(div_near(trays * kind.seed_g_dry_per_tray.0, 10)),
                ..task(verb, r.sow, trays, line.clone())
            })
            .collect();
        let sow = Task {
            seed_dry_kg: Fixed(div_near(r.trays * kind.seed_g_dry_per_tray.0, 10)),
            ..task(Verb::Sow, r.sow, r.trays, line.clone())
        };
        let seed: Vec<usize> = seed.into_iter().map(|task: Task| self.add(task)).collect();
        let on_line: Vec<usize> = on_line.into_iter().map(|task| self.add(task)).collect();
        let sow = self.add(sow);
        if let [soak, drain, sprout] = seed[..] {
            let days = soak_days(kind);
            self.lag(
                soak,
                drain,
                days,
                Some(days.saturating_add(kind.drain_wait_days)),
                Why::Soaking,
            );
            self.lag(
                drain,
                sprout,
                kind.sprout_days,
                Some(kind.sprout_days),
                Why::Sprouting,
            );
            self.lag(sprout, sow, 0, Some(kind.hold_days), Why::SeedKeeps);
        }
        for pair in on_line
            .iter()
            .copied()
            .chain([sow])
            .collect::<Vec<_>>()
            .windows(2)
        {
            self.lag(pair[0], pair[1], 0, Some(0), Why::SameDay);
        }
        self.between(sow, None, Some(self.last), Why::Horizon);
        sow
    }

    /// Stack, look and open in one place; returns the opening.
    fn stack(&mut self, at: usize, stack: usize, sow: usize) -> usize {
        let run = &self.view.runs[at];
        let one = run.stacks[stack];
        let (r, kind) = (run.run, run.kind);
        let named = |verb: Verb| match run.stacks.len() {
            1 => format!("{}/{verb}", r.id),
            _ => format!("{}/{}/{verb}", r.id, one.place.id),
        };
        let task = |verb: Verb, day: Day| Task {
            stacks: one.stacks.stacks,
            at_stack: Some(stack),
            ..blank(
                named(verb),
                verb,
                day,
                self.first,
                one.stacks.trays,
                at,
                Some(one.place.id.clone()),
            )
        };
        let tasks = [
            task(Verb::Stack, r.sow),
            task(Verb::Look, r.sow.plus(1)),
            task(Verb::Unstack, one.stacks.open),
        ];
        let [stacked, look, open] = tasks.map(|task| self.add(task));
        self.lag(sow, stacked, 0, Some(0), Why::SameDay);
        self.lag(stacked, look, 1, None, Why::FirstLook);
        self.lag(look, open, 0, None, Why::FirstLook);
        if let Some(days) = stack_days(&self.view.plan.scenario, kind, one.place, r.sow) {
            let most = days.saturating_add(one.place.longest_wait_days);
            self.lag(sow, open, days, Some(most), Why::StackReady);
        }
        open
    }

    /// Laying out to collecting of one part of a field.
    fn part(&mut self, at: usize, part: usize, sow: usize, open: Option<usize>) {
        let run = &self.view.runs[at];
        let (one, kind): (PartView<'a>, _) = (run.parts[part], run.kind);
        let d = one.delivery;
        let scenario = &self.view.plan.scenario;
        let back = d.day.plus(scenario.trays.return_days);
        let collect = scenario
            .calendars
            .beds
            .first_from(back, 366)
            .unwrap_or(back);
        let task = |verb: Verb, day: Day, place: Option<&String>| {
            let id = format!("{}/{}.{}/{verb}", run.run.id, d.field, d.part);
            Task {
                field: Some(d.field.clone()),
                part: Some(d.part),
                area_ha: Fixed(one.area_m2),
                at_part: Some(part),
                ..blank(id, verb, day, self.first, d.trays, at, place.cloned())
            }
        };
        let tasks = [
            task(Verb::Green, d.open, d.green_bed.as_ref()),
            task(Verb::Harden, d.harden, d.harden_bed.as_ref()),
            task(Verb::Load, d.day, d.harden_bed.as_ref()),
            task(Verb::Plant, d.day, None),
            task(Verb::Collect, collect, None),
        ];
        let [green, harden, load, plant, collected] = tasks.map(|task| self.add(task));
        if let Some(open) = open {
            self.lag(open, green, 0, Some(0), Why::SameDay);
        }
        let most = kind.greening_days.saturating_add(kind.greening_wait_days);
        self.lag(green, harden, kind.greening_days, Some(most), Why::Greening);
        self.lag(harden, load, 0, None, Why::AfterHardening);
        self.lag(load, plant, 0, Some(0), Why::SameDay);
        let (youngest, oldest) = age_days(scenario, kind, &one, run.run.sow);
        if youngest.is_some() || oldest.is_some() {
            self.lag(sow, plant, youngest.unwrap_or(0), oldest, Why::Age);
        }
        let window = &one.field.window;
        let opens = window.iter().map(|span| span.first).min();
        let closes = window.iter().map(|span| span.last).max();
        self.between(plant, opens, closes, Why::Window);
        self.between(plant, None, Some(self.last), Why::Horizon);
        let return_days = scenario.trays.return_days;
        self.lag(plant, collected, return_days, None, Why::TraysReturn);
        let lost = div_up(d.trays * scenario.trays.loss.0, 1_000_000);
        let lag = minutes(return_days);
        self.dirty.push(Dirty {
            from: back,
            trays: d.trays - lost,
            by: Some(plant),
            lag,
        });
        let pinned = |pin: &&Pin| pin.field == d.field && pin.part == d.part;
        for pin in scenario.pins.iter().filter(pinned) {
            for (task, day) in [(sow, pin.sow), (plant, pin.plant)] {
                if day.is_some() {
                    self.between(task, day, day, Why::Pinned);
                }
            }
        }
    }

    /// Washing takes the trays that came first; each wash follows what brought its trays home.
    fn washing(&mut self) {
        let opening = &self.view.plan.scenario.opening;
        let mut dirty = std::mem::take(&mut self.dirty);
        dirty.push(Dirty {
            from: self.first,
            trays: opening.dirty_trays,
            by: None,
            lag: 0,
        });
        for out in &opening.trays_out {
            let lag = minutes(out.back.since(self.first));
            dirty.push(Dirty {
                from: out.back,
                trays: out.trays,
                by: None,
                lag,
            });
        }
        dirty.retain(|dirty| dirty.trays > 0);
        dirty.sort_by_key(|dirty| dirty.from);
        let mut washing: Vec<_> = self.view.plan.washing.iter().collect();
        washing.sort_by_key(|washing| washing.day);
        let mut next = dirty.into_iter().peekable();
        for washing in washing {
            let id = format!("wash/{}", washing.day);
            let wash = self.add(Task {
                at_run: None,
                run: None,
                ..blank(
                    id,
                    Verb::Wash,
                    washing.day,
                    self.first,
                    washing.trays,
                    0,
                    None,
                )
            });
            let mut open = washing.trays;
            while let (true, Some(from)) = (open > 0, next.peek_mut()) {
                let taken = open.min(from.trays);
                let why = if from.by.is_some() {
                    Why::TraysReturn
                } else {
                    Why::TraysAtHome
                };
                let least = Some(from.lag);
                self.lags.push(Lag {
                    from: from.by,
                    to: wash,
                    least,
                    greatest: None,
                    why,
                });
                open -= taken;
                from.trays -= taken;
                if from.trays == 0 {
                    next.next();
                }
            }
        }
        self.name_runs();
    }

    fn name_runs(&mut self) {
        for task in &mut self.tasks {
            task.run = task.at_run.map(|at| self.view.runs[at].run.id.clone());
        }
    }
}

fn minutes(days: i32) -> i64 {
    i64::from(days) * DAY
}

fn blank(
    id: String,
    verb: Verb,
    day: Day,
    first: Day,
    trays: i64,
    run: usize,
    place: Option<String>,
) -> Task {
    Task {
        id,
        verb,
        run: None,
        field: None,
        part: None,
        place,
        day,
        past: day < first,
        trays,
        stacks: 0,
        seed_dry_kg: Fixed::ZERO,
        area_ha: Hectares::ZERO,
        at_run: Some(run),
        at_part: None,
        at_stack: None,
    }
}
