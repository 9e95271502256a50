//! Days off: what was to be done on them, what must be done all the same and who does it, and what that leaves for the days beside them.

use crate::calendar::{Day, DayRange};
use crate::plan::Plan;
use crate::plan::day::{DayPlan, Work, day_plan};
use crate::plan::tasks::TaskGraph;
use crate::units::Money;
use serde::Serialize;

/// Days beside days off that are looked at, before and after.
const BESIDE: i32 = 2;

/// What days off come to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DaysOff {
    /// The days.
    pub days: DayRange,
    /// What was to be done on them, by day.
    pub given_up: Vec<Piece>,
    /// What is done all the same, by day.
    pub still: Vec<Piece>,
    /// Crews on the days off and on those beside them whose hours are others than before, or that are called in.
    pub hours: Vec<CrewHours>,
    /// What it all costs more; below 0: less.
    pub price: Money,
}

/// Work of one sort on one day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Piece {
    /// The day.
    pub day: Day,
    /// Crew, by its local name; empty when nobody's time is counted.
    pub crew: String,
    /// What.
    pub work: Work,
    /// Trays.
    pub trays: i64,
    /// Person-minutes.
    pub minutes: i64,
}

/// A crew's work on one day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CrewHours {
    /// The day.
    pub day: Day,
    /// Crew, by its local name.
    pub crew: String,
    /// Person-minutes of work before.
    pub before: i64,
    /// Now.
    pub now: i64,
    /// Paid besides, as overtime or for a day off worked, before.
    pub bought_before: Money,
    /// Now.
    pub bought: Money,
}

/// What days off come to in the mended plan, beside the plan before.
pub fn days_off(days: DayRange, before: &Plan, now: &Plan) -> DaysOff {
    let sheets = |plan: &Plan| -> Vec<DayPlan> {
        let Ok(graph) = TaskGraph::new(plan) else {
            return Vec::new();
        };
        let from = days.first.plus(-BESIDE).max(plan.scenario.horizon.first);
        let to = days.last.plus(BESIDE).min(plan.scenario.horizon.last);
        let all = 0..=to.since(from).max(-1);
        all.map(|ahead| day_plan(&graph, from.plus(ahead)))
            .collect()
    };
    let (then, is) = (sheets(before), sheets(now));
    let on = |sheets: &[DayPlan]| -> Vec<Piece> {
        let on = sheets.iter().filter(|sheet| days.contains(sheet.day));
        on.flat_map(pieces).collect()
    };
    let still = on(&is);
    let given_up = on(&then).into_iter().filter(|piece| {
        let same = |other: &Piece| {
            (other.day, &other.crew, other.work) == (piece.day, &piece.crew, piece.work)
        };
        piece.work != Work::Care && !still.iter().any(same)
    });
    let mut hours = Vec::new();
    for (then, is) in then.iter().zip(&is) {
        for crew in &now.scenario.crews {
            let one = CrewHours {
                day: is.day,
                crew: crew.name.clone(),
                before: minutes(then, &crew.id),
                now: minutes(is, &crew.id),
                bought_before: paid(before, is.day, &crew.id),
                bought: paid(now, is.day, &crew.id),
            };
            let differs = (one.before, one.bought_before) != (one.now, one.bought);
            if differs || (days.contains(is.day) && one.now > 0) {
                hours.push(one);
            }
        }
    }
    let cost = |plan: &Plan| plan.cost.total.0 - plan.cost.moved.0;
    DaysOff {
        days,
        given_up: given_up.collect(),
        still,
        hours,
        price: Money {
            0: cost(now) - cost(before),
        },
    }
}

/// The work of a day by crew and sort.
fn pieces(sheet: &DayPlan) -> Vec<Piece> {
    let crews = sheet.crews.iter();
    let counted = crews.flat_map(|crew| crew.jobs.iter().map(|job| (crew.name.clone(), job)));
    let uncounted = sheet.uncounted.iter().map(|job| (String::new(), job));
    let mut all: Vec<Piece> = Vec::new();
    for (crew, job) in counted.chain(uncounted) {
        let same = |piece: &&mut Piece| piece.work == job.work && piece.crew == crew;
        match all.iter_mut().find(same) {
            Some(piece) => {
                piece.trays += job.trays;
                piece.minutes += job.person_minutes;
            }
            None => all.push(Piece {
                day: sheet.day,
                crew,
                work: job.work,
                trays: job.trays,
                minutes: job.person_minutes,
            }),
        }
    }
    all
}

fn minutes(sheet: &DayPlan, crew: &str) -> i64 {
    let crews = sheet.crews.iter().filter(|one| one.crew == crew);
    let jobs = crews.flat_map(|crew| &crew.jobs);
    jobs.map(|job| job.person_minutes).sum()
}

fn paid(plan: &Plan, day: Day, crew: &str) -> Money {
    let bought = plan.bought.iter();
    let on = bought.filter(|one| one.day == day && one.crew == crew);
    Money {
        0: on.map(|one| one.cost.0).sum(),
    }
}
