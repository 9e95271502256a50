//! A crew works no longer than its shift and the overtime it may be asked for.

use super::{Posting, Resource, Rule, RuleMeta, Supply, Taking, Unit, Weekly, What};
use crate::calendar::Day;
use crate::nursery::{GrowOption, Nursery, RunCandidate, RunSource, work, work::Task};
use crate::quantities::line_time;
use crate::scenario::{Crew, Whose};
use crate::units::Span;

/// What it holds: on each day, person time of all tasks ≤ people × shift + what is bought. Bought at most people × overtime
/// on a working day; on a day off nothing is there, and rest-day people × shift can be bought. In milliseconds. People are the regular
/// staff, and those hired for the ISO week at a price; a week's hours of a person may have a limit of their own.
///
/// Why: people's hours. The limits are the scenario's; local rules and contracts govern them.
pub(super) struct CrewHours;

static META: RuleMeta = RuleMeta {
    name: super::CREW_HOURS,
    promise: "a crew works no longer than its shift and the overtime it may be asked for",
};

impl Rule for CrewHours {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let crews = nursery.scenario.crews.iter();
        crews
            .map(|crew| Resource {
                rule: 0,
                label: format!("hours of crew `{}`", crew.id),
                unit: Unit::Milliseconds,
                supply: supply(nursery, crew),
                per_tray: Span::MINUTE / 2,
            })
            .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let work = &nursery.scenario.work;
        match what {
            What::Option(option) => of_option(nursery, at, option, out),
            What::Run(id) => {
                let trials = nursery.trial_trays(id);
                out.extend(at_the_line(nursery, at, nursery.run(id), trials));
            }
            What::SetUp(_, day) => {
                if let Some((crew, team)) = work::team(nursery, &work.set_up) {
                    out.push(Posting {
                        resource: at + crew,
                        taking: Taking::Take(day),
                        amount: team,
                    });
                }
            }
            What::Stack(..) | What::Bag(_) | What::TrialIn(..) => {}
        }
    }
}

fn supply(nursery: &Nursery, crew: &Crew) -> Supply {
    let calendar = nursery.scenario.calendars.get(crew.calendar);
    let shift = |day: Day| Span::hours(crew.shift_hours_on(day)).0;
    let by_day = |working: &dyn Fn(Day) -> i64, off: &dyn Fn(Day) -> i64| -> Vec<i64> {
        let days = (0..nursery.days).map(|at| nursery.day(at));
        days.map(|day| {
            if calendar.works(day) {
                working(day)
            } else {
                off(day)
            }
        })
        .collect()
    };
    let overtime = Span::hours(crew.overtime_hours).0;
    let there = by_day(&|day| crew.people_on(day) * shift(day), &|_| 0);
    let buyable = by_day(&|day| crew.people_on(day) * overtime, &|day| {
        crew.rest_day_people * shift(day)
    });
    let price_per_h = by_day(&|_| crew.overtime_price_per_h.0, &|_| {
        crew.rest_day_price_per_h.0
    });
    if crew.casual.is_none() && crew.week_hours_most.is_none() {
        return Supply::Daily {
            there,
            buyable,
            price_per_h,
        };
    }
    let hired = crew.casual.unwrap_or_default();
    Supply::Weekly {
        there,
        buyable,
        price_per_h,
        people: Weekly {
            most: hired.most,
            price_per_day: hired.price_per_day.0,
            hire: hired.hire.0,
            release: hired.release.0,
            before: hired.before,
            people: by_day(&|day| crew.people_on(day), &|_| 0),
            shift: by_day(&shift, &|_| 0),
            overtime: by_day(&|_| overtime, &|_| 0),
            week_ms: crew.week_hours_most.map(|hours| Span::hours(hours).0),
        },
    }
}

/// The team's time at the line while so many trays of a run are sown.
fn at_the_line(nursery: &Nursery, at: usize, run: &RunCandidate, trays: i64) -> Option<Posting> {
    let scenario = &nursery.scenario;
    let line = &scenario.lines[run.line()?];
    let (crew, team) = work::team(nursery, &scenario.work.sow)?;
    let time = line_time(line, &scenario.kinds[run.kind].id, trays, team).0;
    Posting::on(nursery, at + crew, run.sow, Taking::Take, time)
}

fn of_option(nursery: &Nursery, at: usize, option: &GrowOption, out: &mut Vec<Posting>) {
    let scenario = &nursery.scenario;
    let (lot, run) = (nursery.lot(option.lot), nursery.run(option.run));
    let (green, harden) = (option.route.green_bed, option.route.harden_bed);
    let on = |task: Task, day: Day, bed: Option<usize>| {
        let (crew, span) = work::labour(nursery, task, lot, bed)?;
        Posting::on(nursery, at + crew, day, Taking::Take, span.0)
    };
    if let Some(seed) = run.seed() {
        out.extend(on(Task::Soak, seed.soak, green));
        out.extend(on(Task::Drain, seed.drain, green));
    }
    if let RunSource::Handed(_) = run.source {
        return;
    }
    if run.line().is_some() {
        out.extend(on(Task::Stack, run.sow, green));
        out.extend(at_the_line(nursery, at, run, lot.trays));
    }
    out.extend(on(Task::Unstack, option.open, green));
    if green.is_some() {
        out.extend(on(Task::Green, option.open, green));
        out.extend(on(Task::Harden, option.harden, harden));
    }
    let field = &scenario.fields[lot.field];
    if !field.collected {
        out.extend(on(Task::Load, option.leave, harden));
    }
    if lot
        .planter
        .is_some_and(|planter| scenario.planters[planter].whose == Whose::Nursery)
    {
        out.extend(on(Task::Plant, option.plant, harden));
    }
    if !field.lifted {
        out.extend(on(Task::Collect, option.collect, harden));
    }
    for (from, until, bed) in [
        (option.open, option.harden, green),
        (option.harden, option.leave, harden),
    ] {
        if let Some((crew, span)) = work::labour(nursery, Task::Care, lot, bed) {
            out.extend(Posting::hold(nursery, at + crew, from, until, span.0));
        }
    }
}
