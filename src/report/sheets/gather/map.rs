//! What stands where on a day: stacks by germination place, trays by bed and row.

use crate::calendar::Day;
use crate::plan::tasks::TaskGraph;
use crate::plan::view::PartView;

/// Every place with something in it on the day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Map {
    /// Germination places, in the scenario's order.
    pub stacks: Vec<StackPlace>,
    /// Beds, in the scenario's order.
    pub beds: Vec<BedPlace>,
}

/// Stacks in one germination place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StackPlace {
    /// Local name.
    pub place: String,
    /// Places for stacks in all.
    pub room: i64,
    /// Sown trays in a full stack.
    pub height: i64,
    /// By run, in the order of opening.
    pub stacks: Vec<Stack>,
}

/// The stacks of one run in one place.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Stack {
    pub run: String,
    pub kind: String,
    pub stacks: i64,
    pub trays: i64,
    pub sown: Day,
    pub open: Day,
}

/// Trays in one bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BedPlace {
    /// Local name.
    pub bed: String,
    /// Rows that it has; none: reached from all sides.
    pub rows: Option<u32>,
    /// What stands in it, by row, then in the order of leaving.
    pub standing: Vec<Standing>,
}

/// Trays of one run that leave on one day; of one part in a bed with rows.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Standing {
    /// Rows, from 1; none where the bed has none or the plan names none.
    pub rows: Vec<u32>,
    pub run: String,
    pub kind: String,
    /// Fields that they stand for; none for the spare.
    pub fields: Vec<String>,
    pub spare: bool,
    /// As sown: nobody has counted what was lost since.
    pub trays: i64,
    pub sown: Day,
    /// Laid out, or moved here.
    pub came: Day,
    /// Leaves this bed.
    pub leaves: Day,
    /// Local name of the bed that they move to then; none: they leave the nursery.
    pub moves_to: Option<String>,
}

/// The map of `day`: what stood there in the morning, and what comes on the day.
pub fn map(graph: &TaskGraph<'_>, day: Day) -> Map {
    let scenario = &graph.view.plan.scenario;
    let stacks = scenario.germination.iter().map(|place| {
        let runs = graph.view.runs.iter().flat_map(|run| {
            let here = run.stacks.iter().filter(|stack| stack.place.id == place.id);
            here.map(move |stack| Stack {
                run: run.run.id.clone(),
                kind: run.kind.name.clone(),
                stacks: stack.stacks.stacks,
                trays: stack.stacks.trays,
                sown: run.run.sow,
                open: stack.stacks.open,
            })
        });
        let mut stacks: Vec<Stack> = runs.filter(|s| s.sown <= day && day <= s.open).collect();
        stacks.sort_by_key(|stack| stack.open);
        StackPlace {
            place: place.name.clone(),
            room: place.stack_places,
            height: place.height,
            stacks,
        }
    });
    let beds = scenario.beds.iter().map(|bed| BedPlace {
        bed: bed.name.clone(),
        rows: bed
            .row_trays
            .map(|row| u32::try_from(bed.trays() / row.max(1)).unwrap_or(u32::MAX)),
        standing: standing(graph, &bed.id, day),
    });
    Map {
        stacks: stacks.filter(|place| !place.stacks.is_empty()).collect(),
        beds: beds.filter(|bed| !bed.standing.is_empty()).collect(),
    }
}

fn standing(graph: &TaskGraph<'_>, bed: &str, day: Day) -> Vec<Standing> {
    let mut found: Vec<Standing> = Vec::new();
    for run in &graph.view.runs {
        for part in &run.parts {
            let Some(at) = at(part, bed, day) else {
                continue;
            };
            let named = |field: &crate::scenario::Field| (!field.spare).then(|| part.name());
            let more = Standing {
                rows: at.rows.to_vec(),
                run: run.run.id.clone(),
                kind: run.kind.name.clone(),
                fields: named(part.field).into_iter().collect(),
                spare: part.field.spare,
                trays: part.delivery.sown(),
                sown: run.run.sow,
                came: at.came,
                leaves: at.leaves,
                moves_to: at.moves_to,
            };
            let same = |other: &&mut Standing| {
                more.rows.is_empty()
                    && other.rows.is_empty()
                    && (&other.run, other.spare, other.came) == (&more.run, more.spare, more.came)
                    && (other.leaves, &other.moves_to) == (more.leaves, &more.moves_to)
            };
            match found.iter_mut().find(same) {
                Some(other) => {
                    other.trays += more.trays;
                    other.fields.extend(more.fields);
                }
                None => found.push(more),
            }
        }
    }
    found.sort_by_key(|one| (one.rows.iter().min().copied(), one.leaves, one.came));
    found
}

struct At<'a> {
    rows: &'a [u32],
    came: Day,
    leaves: Day,
    moves_to: Option<String>,
}

/// How a part stands in that bed on some time of the day.
fn at<'a>(part: &PartView<'a>, bed: &str, day: Day) -> Option<At<'a>> {
    let d = part.delivery;
    let is = |found: Option<(&'a crate::scenario::Bed, &'a [u32])>| {
        found
            .filter(|(found, _)| found.id == bed)
            .map(|(_, rows)| rows)
    };
    let rows = is(part.bed_in_the_morning(day)).or_else(|| is(part.bed_on(day)))?;
    let first = part.moves() && part.green_bed.is_some_and(|green| green.id == bed);
    let second = part.moves() && !first;
    Some(At {
        rows,
        came: if second { d.harden } else { d.open },
        leaves: if first { d.harden } else { d.leaves() },
        moves_to: first
            .then(|| part.harden_bed.map(|bed| bed.name.clone()))
            .flatten(),
    })
}
