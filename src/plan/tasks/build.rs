//! From a plan to its tasks and lags. The rules are those of `docs/COUNTING.md`.

use super::growth::{age_days, stack_days};
use super::{DAY, Lag, Task, Verb, Why};
use crate::calendar::Day;
use crate::growth::soak_days;
use crate::plan::view::{PartView, PlanView, RunView};
use crate::scenario::Pin;
use crate::units::{Fixed, Hectares, div_near};

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
        if run.is_handed_over() {
            return self.handed_over(at);
        }
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

    /// Seed that is handed over: soaked, drained, sprouted, and given away.
    fn handed_over(&mut self, at: usize) {
        let run = &self.view.runs[at];
        let sprout = self.seed(at, run);
        for part in 0..run.parts.len() {
            let one = run.parts[part];
            let grams = one.delivery.trays * run.kind.seed_g_dry_per_tray.0;
            let task = Task {
                seed_dry_kg: Fixed(div_near(grams, 10)),
                ..self.of_part(at, part, Verb::HandOver, one.delivery.day, None)
            };
            let given = self.add(task);
            if let Some(sprout) = sprout {
                self.lag(sprout, given, 0, Some(run.kind.hold_days), Why::SeedKeeps);
            }
            self.ends(given, &one, None);
        }
    }

    /// Soak, drain and sprout; returns the sprouting, if the seed was not sown before the first day.
    fn seed(&mut self, at: usize, run: &RunView<'a>) -> Option<usize> {
        let (r, kind) = (run.run, run.kind);
        let (Some(soak), Some(drain)) = (r.soak, r.drain) else {
            return None;
        };
        let seed_dry_kg = run.soaked_kg(&self.view.plan.scenario);
        let [soak, drain, sprout] = [
            (Verb::Soak, soak),
            (Verb::Drain, drain),
            (Verb::Sprout, drain.plus(kind.sprout_days)),
        ]
        .map(|(verb, day)| {
            let id = format!("{}/{verb}", r.id);
            let trays = run.over_the_line();
            let task = blank(id, verb, day, self.first, trays, at, None);
            self.add(Task {
                seed_dry_kg,
                ..task
            })
        });
        let days = soak_days(kind);
        let most = days.saturating_add(kind.drain_wait_days);
        self.lag(soak, drain, days, Some(most), Why::Soaking);
        let days = kind.sprout_days;
        self.lag(drain, sprout, days, Some(days), Why::Sprouting);
        Some(sprout)
    }

    /// Soak to sow; returns the sowing.
    fn sowing(&mut self, at: usize, run: &RunView<'a>) -> usize {
        let (r, kind) = (run.run, run.kind);
        let sprout = self.seed(at, run);
        let line = r.line.clone();
        let mut before = None;
        for (verb, trays) in [
            (Verb::SetUp, 0),
            (Verb::Trial, r.trial_trays),
            (Verb::Sow, r.trays),
        ] {
            let there = match verb {
                Verb::SetUp => line.is_some(),
                Verb::Trial => line.is_some() && trays > 0,
                _ => true,
            };
            if !there {
                continue;
            }
            let id = format!("{}/{verb}", r.id);
            let task = Task {
                seed_dry_kg: Fixed(div_near(trays * kind.seed_g_dry_per_tray.0, 10)),
                ..blank(id, verb, r.sow, self.first, trays, at, line.clone())
            };
            let task = self.add(task);
            if let Some(before) = before {
                self.lag(before, task, 0, Some(0), Why::SameDay);
            }
            before = Some(task);
        }
        let sow = self.tasks.len() - 1;
        if let Some(sprout) = sprout {
            self.lag(sprout, sow, 0, Some(kind.hold_days), Why::SeedKeeps);
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

    /// A task of one part: sown trays up to the bed, leaving trays from then on.
    fn of_part(
        &self,
        at: usize,
        part: usize,
        verb: Verb,
        day: Day,
        place: Option<&String>,
    ) -> Task {
        let run = &self.view.runs[at];
        let one = &run.parts[part];
        let d = one.delivery;
        let in_bed = matches!(verb, Verb::Green | Verb::Harden);
        let trays = if in_bed { d.sown() } else { d.trays };
        let id = format!("{}/{}.{}/{verb}", run.run.id, d.field, d.part);
        Task {
            field: Some(d.field.clone()),
            part: Some(d.part),
            area_ha: Fixed(one.area_m2),
            at_part: Some(part),
            ..blank(id, verb, day, self.first, trays, at, place.cloned())
        }
    }

    /// Laying out to collecting of one part of a field.
    fn part(&mut self, at: usize, part: usize, sow: usize, open: Option<usize>) {
        let run = &self.view.runs[at];
        let (one, kind): (PartView<'a>, _) = (run.parts[part], run.kind);
        let d = one.delivery;
        let scenario = &self.view.plan.scenario;
        let hardened = (one.green_bed.is_some() || one.harden_bed.is_some()).then(|| {
            let green = self.of_part(at, part, Verb::Green, d.open, d.green_bed.as_ref());
            let green = self.add(green);
            let harden = self.of_part(at, part, Verb::Harden, d.harden, d.harden_bed.as_ref());
            let harden = self.add(harden);
            if let Some(open) = open {
                self.lag(open, green, 0, Some(0), Why::SameDay);
            }
            let most = kind.greening_days.saturating_add(kind.greening_wait_days);
            self.lag(green, harden, kind.greening_days, Some(most), Why::Greening);
            harden
        });
        let verb = if one.is_loaded() {
            Verb::Load
        } else {
            Verb::HandOver
        };
        let from = d.harden_bed.as_ref().or(d.germination.as_ref());
        let left = self.of_part(at, part, verb, d.leaves(), from);
        let left = self.add(left);
        match (hardened, open) {
            (Some(harden), _) => self.lag(harden, left, 0, None, Why::AfterHardening),
            (None, Some(open)) => self.lag(open, left, 0, Some(0), Why::SameDay),
            (None, None) => {}
        }
        let end = if one.is_planted() {
            let plant = self.of_part(at, part, Verb::Plant, d.day, None);
            let plant = self.add(plant);
            let edge = one.field.edge_days;
            // Where it is planted on the day on which it leaves, nothing waits at an edge.
            let waits = edge > 0 && d.leaves() != d.day;
            let why = if waits { Why::Edge } else { Why::SameDay };
            self.lag(left, plant, 0, Some(edge), why);
            self.tasks[left].in_window = edge == 0;
            plant
        } else {
            left
        };
        if !one.is_sprouted() {
            let (youngest, oldest) = age_days(scenario, kind, &one, run.run.sow);
            if youngest.is_some() || oldest.is_some() {
                self.lag(sow, end, youngest.unwrap_or(0), oldest, Why::Age);
            }
        }
        self.ends(end, &one, Some(sow));
        self.come_back(at, part, (left, end));
    }

    /// The days on which a part may be planted or handed over, and what is pinned.
    fn ends(&mut self, end: usize, one: &PartView<'a>, sow: Option<usize>) {
        let scenario = &self.view.plan.scenario;
        self.tasks[end].in_window = true;
        let (opens, closes) = one.days(scenario);
        if opens.is_some() || closes.is_some() {
            self.between(end, opens, closes, Why::Window);
        }
        self.between(end, None, Some(self.last), Why::Horizon);
        let d = one.delivery;
        let pinned = |pin: &&Pin| pin.field == d.field && pin.part == d.part;
        for pin in scenario.pins.iter().filter(pinned) {
            for (task, day) in [(sow, pin.sow), (Some(end), pin.plant)] {
                if let (Some(task), Some(_)) = (task, day) {
                    self.between(task, day, day, Why::Pinned);
                }
            }
        }
    }

    /// Collecting, and the trays that can be washed afterwards.
    fn come_back(&mut self, at: usize, part: usize, (left, end): (usize, usize)) {
        let one = self.view.runs[at].parts[part];
        let d = one.delivery;
        let scenario = &self.view.plan.scenario;
        if one.fetched() {
            let return_days = scenario.trays.return_days;
            let back = d.day.plus(return_days);
            let collect = scenario.calendars.beds.first_from(back, 366);
            let day = collect.unwrap_or(back);
            let collect = self.of_part(at, part, Verb::Collect, day, None);
            let collect = self.add(collect);
            self.lag(end, collect, return_days, None, Why::TraysReturn);
        }
        let stays_here = one.field.lifted || one.field.spare;
        let (by, day) = if stays_here {
            (left, d.leaves())
        } else {
            (end, d.day)
        };
        let mut back: Vec<(usize, Day, Day, i64)> = one
            .back(scenario)
            .into_iter()
            .map(|(from, trays)| (by, day, from, trays))
            .collect();
        back.push((left, d.leaves(), d.leaves().plus(1), one.lost()));
        for (by, day, from, trays) in back {
            self.dirty.push(Dirty {
                from,
                trays,
                by: Some(by),
                lag: minutes(from.since(day)),
            });
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
        in_window: false,
        at_run: Some(run),
        at_part: None,
        at_stack: None,
    }
}
