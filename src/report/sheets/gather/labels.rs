//! Labels of the five hand-overs: hopper, stack, bed row, vehicle, drop point.

use super::{Card, Trip};
use crate::plan::day::{DayPlan, Job, SeedKg, Work};
use crate::plan::tasks::TaskGraph;

/// Where a label goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Point {
    Hopper,
    Stack,
    BedRow,
    Vehicle,
    DropPoint,
}

impl Point {
    /// In the order in which a tray meets them.
    pub const ALL: [Point; 5] = [
        Point::Hopper,
        Point::Stack,
        Point::BedRow,
        Point::Vehicle,
        Point::DropPoint,
    ];

    /// As in the table of words.
    pub const fn as_str(self) -> &'static str {
        match self {
            Point::Hopper => "hopper",
            Point::Stack => "stack",
            Point::BedRow => "bed_row",
            Point::Vehicle => "vehicle",
            Point::DropPoint => "drop_point",
        }
    }
}

/// One label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Where it goes.
    pub point: Point,
    /// Name of the kind.
    pub kind: String,
    /// What the seed is treated with.
    pub treatment: Option<String>,
    /// Run.
    pub run: String,
    /// Trays.
    pub trays: i64,
    /// Which of how many, where a run has several.
    pub nth: Option<(i64, i64)>,
    /// Line, germination place, bed or vehicle by local name.
    pub place: Option<String>,
    /// Rows of the bed.
    pub rows: Vec<u32>,
    /// Field and grower.
    pub party: Option<(String, String)>,
    /// Seed in place of trays, or for the hopper.
    pub seed: Option<SeedKg>,
    /// They are the spare.
    pub spare: bool,
}

/// The labels that are wanted on a day, point by point.
pub fn labels(graph: &TaskGraph<'_>, day: &DayPlan, cards: &[Card], trips: &[Trip]) -> Vec<Label> {
    let mut labels = Vec::new();
    for card in cards {
        labels.push(Label {
            point: Point::Hopper,
            kind: card.kind.clone(),
            treatment: card.treatment.clone(),
            run: card.run.clone(),
            trays: card.counter(),
            nth: None,
            place: Some(card.line.clone()),
            rows: Vec::new(),
            party: None,
            seed: Some(card.seed),
            spare: false,
        });
    }
    for job in day.jobs() {
        match job.work {
            Work::Stack => labels.extend(of_stacks(graph, job)),
            Work::Green => labels.push(of_job(graph, job, Point::BedRow, job.trays)),
            Work::Harden if job.from_place != job.to_place => {
                labels.push(of_job(graph, job, Point::BedRow, job.trays));
            }
            Work::HandOver => labels.push(of_job(graph, job, Point::DropPoint, job.trays)),
            _ => {}
        }
    }
    for trip in trips {
        for stop in &trip.stops {
            let on_it = of_job(graph, &stop.job, Point::Vehicle, stop.trays);
            labels.push(Label {
                place: trip.vehicle.clone(),
                rows: Vec::new(),
                ..on_it
            });
            labels.push(of_job(graph, &stop.job, Point::DropPoint, stop.trays));
        }
    }
    labels.sort_by_key(|label| label.point);
    labels
}

fn of_job(graph: &TaskGraph<'_>, job: &Job, point: Point, trays: i64) -> Label {
    let run = job.runs.first().cloned().unwrap_or_default();
    let view = graph.view.runs.iter().find(|view| view.run.id == run);
    let scenario = &graph.view.plan.scenario;
    let agent = view.and_then(|view| view.kind.treatment.as_ref());
    let party = job.party.as_ref();
    let bed = point == Point::BedRow;
    Label {
        point,
        kind: job.kind.clone().unwrap_or_default(),
        treatment: agent.map(|treatment| {
            let known = scenario
                .agents
                .iter()
                .find(|agent| agent.id == treatment.agent);
            known.map_or(&treatment.agent, |agent| &agent.name).clone()
        }),
        run,
        trays,
        nth: None,
        place: if bed { job.to_place.clone() } else { None },
        rows: if bed { job.rows.clone() } else { Vec::new() },
        party: party.map(|party| (party.field.clone(), party.grower.clone())),
        seed: if job.work == Work::HandOver {
            job.seed
        } else {
            None
        },
        spare: job.spare,
    }
}

/// One for each stack.
fn of_stacks(graph: &TaskGraph<'_>, job: &Job) -> Vec<Label> {
    let Some(stacked) = job.stacked else {
        return Vec::new();
    };
    let full = (0..stacked.full).map(|_| stacked.height);
    let rest = (stacked.rest > 0).then_some(stacked.rest);
    let heights: Vec<i64> = full.chain(rest).collect();
    let of = heights.len() as i64;
    let label = |(at, trays): (usize, &i64)| Label {
        nth: Some((at as i64 + 1, of)),
        place: job.to_place.clone(),
        ..of_job(graph, job, Point::Stack, *trays)
    };
    heights.iter().enumerate().map(label).collect()
}
