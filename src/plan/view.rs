//! A plan with the names in it looked up in its own scenario.
//!
//! A plan file may have been edited by hand: what it names must exist, and its numbers must be such
//! that they can be counted with. All of that is checked here, once.

mod part;
mod ranges;
mod run;

use super::types::{Delivery, Plan, Run, RunStacks};
use crate::scenario::{
    Bed, Crew, Field, Germination, Kind, Line, PartKnown, PieceTask, Planter, TeamTask, trays,
};
use ranges::{in_range, numbers_in_range};
use std::collections::{BTreeMap, BTreeSet};

/// Why a plan cannot be worked with.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// A name that the scenario in the plan does not have.
    #[error("{by} names {what} `{name}`, which the scenario in the plan does not have")]
    Unknown {
        /// Who names it.
        by: String,
        /// What it should be.
        what: &'static str,
        /// The name.
        name: String,
    },
    /// A place that what is handed over stands in, and that is not named.
    #[error("delivery `{by}` names no {what}; what its field is given stands in one")]
    Missing {
        /// Which delivery.
        by: String,
        /// What it should name.
        what: &'static str,
    },
    /// The same thing twice.
    #[error("{what} `{name}` stands twice in the plan")]
    Twice {
        /// What.
        what: &'static str,
        /// Its name.
        name: String,
    },
    /// A number that nothing can be counted with.
    #[error("{what} of {of} is {found}; it must lie between {least} and {most}")]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// Of what.
        of: String,
        /// In the smallest unit that the plan keeps.
        found: i64,
        /// Least.
        least: i64,
        /// Most.
        most: i64,
    },
}

/// A plan with its names looked up.
#[derive(Clone, Debug)]
pub struct PlanView<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Its runs, in the plan's order.
    pub runs: Vec<RunView<'a>>,
}

/// One run with its kind, line, stacks and parts of fields.
#[derive(Clone, Debug)]
#[allow(missing_docs)]
pub struct RunView<'a> {
    pub run: &'a Run,
    pub kind: &'a Kind,
    pub line: Option<&'a Line>,
    pub stacks: Vec<StackView<'a>>,
    pub parts: Vec<PartView<'a>>,
}

/// Stacks of a run in one place.
#[derive(Clone, Copy, Debug)]
#[allow(missing_docs)]
pub struct StackView<'a> {
    pub stacks: &'a RunStacks,
    pub place: &'a Germination,
}

/// One part of a field in a run.
#[derive(Clone, Copy, Debug)]
#[allow(missing_docs)]
pub struct PartView<'a> {
    pub delivery: &'a Delivery,
    pub field: &'a Field,
    /// Where it is stacked; none for seed that is handed over.
    pub place: Option<&'a Germination>,
    /// Under the first cover; none for what leaves before.
    pub green_bed: Option<&'a Bed>,
    /// Until it leaves; likewise.
    pub harden_bed: Option<&'a Bed>,
    pub planter: Option<&'a Planter>,
    /// Area of the part, m².
    pub area_m2: i64,
}

impl<'a> PlanView<'a> {
    /// Looks up every name of `plan`.
    ///
    /// # Errors
    /// [`PlanError`] for the first name that is missing or doubled and the first number out of range.
    pub fn new(plan: &'a Plan) -> Result<PlanView<'a>, PlanError> {
        numbers_in_range(plan)?;
        let names = Names::new(plan);
        names.crews_of_work(plan)?;
        let mut at = BTreeMap::new();
        let mut runs = Vec::with_capacity(plan.runs.len());
        for run in &plan.runs {
            if at.insert(run.id.as_str(), runs.len()).is_some() {
                return Err(PlanError::Twice {
                    what: "run",
                    name: run.id.clone(),
                });
            }
            runs.push(names.run(run)?);
        }
        let mut seen = BTreeSet::new();
        for delivery in &plan.deliveries {
            let name = format!("{}/{}.{}", delivery.run, delivery.field, delivery.part);
            let run = at
                .get(delivery.run.as_str())
                .ok_or_else(|| PlanError::Unknown {
                    by: format!("delivery `{}.{}`", delivery.field, delivery.part),
                    what: "run",
                    name: delivery.run.clone(),
                })?;
            runs[*run].parts.push(names.part(delivery, &name)?);
            if !seen.insert(name.clone()) {
                return Err(PlanError::Twice {
                    what: "delivery",
                    name,
                });
            }
        }
        Ok(PlanView { plan, runs })
    }

    /// The crew of that short name; the names in `work` are known to exist.
    pub fn crew(&self, id: &str) -> Option<&'a Crew> {
        self.plan.scenario.crews.iter().find(|crew| crew.id == id)
    }
}

/// The things of a scenario by their short names.
struct Names<'a> {
    kinds: BTreeMap<&'a str, &'a Kind>,
    lines: BTreeMap<&'a str, &'a Line>,
    places: BTreeMap<&'a str, &'a Germination>,
    beds: BTreeMap<&'a str, &'a Bed>,
    fields: BTreeMap<&'a str, &'a Field>,
    planters: BTreeMap<&'a str, &'a Planter>,
    crews: BTreeMap<&'a str, &'a Crew>,
    known: &'a [PartKnown],
}

impl<'a> Names<'a> {
    fn new(plan: &'a Plan) -> Self {
        let s = &plan.scenario;
        Names {
            known: &s.opening.parts,
            kinds: s
                .kinds
                .iter()
                .map(|kind| (kind.id.as_str(), kind))
                .collect(),
            lines: s
                .lines
                .iter()
                .map(|line| (line.id.as_str(), line))
                .collect(),
            places: s
                .germination
                .iter()
                .map(|place| (place.id.as_str(), place))
                .collect(),
            beds: s.beds.iter().map(|bed| (bed.id.as_str(), bed)).collect(),
            fields: s
                .fields
                .iter()
                .map(|field| (field.id.as_str(), field))
                .collect(),
            planters: s
                .planters
                .iter()
                .map(|planter| (planter.id.as_str(), planter))
                .collect(),
            crews: s
                .crews
                .iter()
                .map(|crew| (crew.id.as_str(), crew))
                .collect(),
        }
    }

    fn crews_of_work(&self, plan: &Plan) -> Result<(), PlanError> {
        let (teams, pieces) = work_of(plan);
        let teams = teams.into_iter().map(|(name, task)| (name, &task.crew));
        for (name, crew) in teams.chain(pieces.into_iter().map(|(name, task)| (name, &task.crew))) {
            find(&self.crews, crew, "crew", || format!("work `{name}`"))?;
        }
        Ok(())
    }

    fn run(&self, run: &'a Run) -> Result<RunView<'a>, PlanError> {
        let by = || format!("run `{}`", run.id);
        let line = match &run.line {
            Some(line) => Some(find(&self.lines, line, "line", by)?),
            None => None,
        };
        let mut stacks = Vec::with_capacity(run.stacks.len());
        for entry in &run.stacks {
            let place = find(&self.places, &entry.germination, "germination place", by)?;
            if stacks
                .iter()
                .any(|stack: &StackView<'_>| stack.place.id == place.id)
            {
                let name = format!("{}/{}", run.id, place.id);
                return Err(PlanError::Twice {
                    what: "stacks",
                    name,
                });
            }
            stacks.push(StackView {
                stacks: entry,
                place,
            });
        }
        let kind = find(&self.kinds, &run.kind, "kind", by)?;
        Ok(RunView {
            run,
            kind,
            line,
            stacks,
            parts: Vec::new(),
        })
    }

    fn part(&self, delivery: &'a Delivery, name: &str) -> Result<PartView<'a>, PlanError> {
        let by = || format!("delivery `{name}`");
        let field = find(&self.fields, &delivery.field, "field", by)?;
        let planter = match &field.planter {
            Some(planter) => Some(find(&self.planters, planter, "planter", || {
                format!("field `{}`", field.id)
            })?),
            None => None,
        };
        let (part, parts) = (delivery.part, field.parts);
        in_range("part", by, i64::from(part), 1, i64::from(parts))?;
        let optional_bed = |bed: &'a Option<String>| match bed {
            Some(bed) => find(&self.beds, bed, "bed", by).map(Some),
            None => Ok(None),
        };
        let part = PartView {
            delivery,
            field,
            place: match &delivery.germination {
                Some(place) => Some(find(&self.places, place, "germination place", by)?),
                None => None,
            },
            green_bed: optional_bed(&delivery.green_bed)?,
            harden_bed: optional_bed(&delivery.harden_bed)?,
            planter,
            area_m2: trays::m2_of_part(field, self.known, part),
        };
        part.names_its_places(name)?;
        Ok(part)
    }
}

fn find<'a, T>(
    things: &BTreeMap<&'a str, &'a T>,
    name: &str,
    what: &'static str,
    by: impl FnOnce() -> String,
) -> Result<&'a T, PlanError> {
    let found = things.get(name).copied();
    found.ok_or_else(|| PlanError::Unknown {
        by: by(),
        what,
        name: name.to_string(),
    })
}

/// Work in teams and work by the piece, by name.
type WorkOf<'a> = (
    Vec<(&'static str, &'a TeamTask)>,
    Vec<(&'static str, &'a PieceTask)>,
);

fn work_of(plan: &Plan) -> WorkOf<'_> {
    let work = &plan.scenario.work;
    let teams = [("set_up", &work.set_up), ("sow", &work.sow)];
    let pieces = [
        ("soak", &work.soak),
        ("drain", &work.drain),
        ("stack", &work.stack),
        ("unstack", &work.unstack),
        ("green", &work.green),
        ("harden", &work.harden),
        ("load", &work.load),
        ("plant", &work.plant),
        ("collect", &work.collect),
        ("wash", &work.wash),
        ("care", &work.care),
    ];
    (
        teams
            .into_iter()
            .filter_map(|(name, task)| Some((name, task.as_ref()?)))
            .collect(),
        pieces
            .into_iter()
            .filter_map(|(name, task)| Some((name, task.as_ref()?)))
            .collect(),
    )
}
