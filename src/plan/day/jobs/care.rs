//! Daily care of the beds.

use super::{Maker, Todo, job, piece, todo};
use crate::plan::day::{Job, Work};
use crate::plan::view::{PartView, RunView};
use crate::quantities::{care_times, person_time};
use crate::scenario::Bed;

/// Trays of a part in the bed in which they are cared for.
struct Cared<'a> {
    run: &'a RunView<'a>,
    part: &'a PartView<'a>,
    /// The bed by which its floor is counted.
    counted: &'a Bed,
    rows: &'a [u32],
}

impl<'a> Maker<'a> {
    /// Water, vent and look at every bed with trays in it, rest days too: first what stands there in the
    /// morning, then what is laid out today. Trays that move today are cared for before they do.
    pub(super) fn care(&self) -> Vec<Todo> {
        let care = self.graph.view.plan.scenario.work.care.as_ref();
        let mut todos = Vec::new();
        for bed in &self.graph.view.plan.scenario.beds {
            for new in [false, true] {
                let (mut trays, mut ms) = (0, 0);
                let mut runs: Vec<String> = Vec::new();
                let mut rows: Vec<u32> = Vec::new();
                for cared in self.in_bed(&bed.id, new) {
                    let (kind, sown) = (cared.run.kind, cared.part.delivery.sown());
                    let (bed, m2) = (Some(cared.counted), cared.part.area_m2);
                    trays += sown;
                    rows.extend(cared.rows);
                    ms += care.map_or(0, |care| {
                        care_times(person_time(care, sown, kind, bed, m2).0, kind)
                    });
                    if runs.last() != Some(&cared.run.run.id) {
                        runs.push(cared.run.run.id.clone());
                    }
                }
                if trays > 0 {
                    let job = Job {
                        runs,
                        rows,
                        to_place: Some(bed.name.clone()),
                        laid_out_today: new,
                        ..job(Work::Care, trays)
                    };
                    todos.push(todo(job, piece(care, |_| ms)));
                }
            }
        }
        todos
    }

    /// Parts that are cared for in a bed: those laid out today or those that stood there before.
    fn in_bed(&self, bed: &str, new: bool) -> Vec<Cared<'a>> {
        let day = self.day;
        let runs = self.graph.view.runs.iter();
        let parts = runs.flat_map(|run| run.parts.iter().map(move |part| (run, part)));
        let mut found = Vec::new();
        for (run, part) in parts {
            let d = part.delivery;
            let Some((counted, _)) = part.bed_on(day).filter(|_| (d.open == day) == new) else {
                continue;
            };
            let stands = match part.bed_in_the_morning(day) {
                Some(stands) if !new => Some(stands),
                _ => part.bed_on(day),
            };
            if let Some((_, rows)) = stands.filter(|(stands, _)| stands.id == bed) {
                found.push(Cared {
                    run,
                    part,
                    counted,
                    rows,
                });
            }
        }
        found
    }
}
