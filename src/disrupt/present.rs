//! The nursery on a morning in the season: what a plan, carried out up to then, has left to do.

use super::{stores_then, trays_then};
use crate::calendar::Day;
use crate::plan::view::{PlanError, PlanView};
use crate::plan::{Delivery, Plan, Run};
use crate::scenario::{Casual, PartKnown, Scenario, Soaked, Sown, Told, TraysOut};
use crate::solve::rows::Standing;
use crate::units::{Fixed, div_up};
use std::collections::{BTreeMap, BTreeSet};

/// The nursery from a morning on.
#[derive(Clone, Debug)]
pub struct Present {
    /// The first day that is still to come.
    pub day: Day,
    /// The scenario from that day on: the rest of the horizon, with what stands, soaks and is away on its first morning. Fields that have
    /// been served in full are gone.
    pub scenario: Scenario,
    /// What the plan had decided of what is still to leave.
    pub decided: Vec<Decided>,
    /// Parts that the plan had left short: nothing is decided of them, and nobody waits for it.
    pub left_short: BTreeSet<(String, u32)>,
    /// Trays that growers were to have brought back before that morning.
    pub came: Vec<TraysOut>,
}

impl Present {
    /// What was decided of a part.
    pub fn decided_of(&self, field: &str, part: u32) -> Option<&Decided> {
        let is_it = |one: &&Decided| one.delivery.field == field && one.delivery.part == part;
        self.decided.iter().find(is_it)
    }

    /// The rows in which parts stand on that morning, as the plan has named them: those of the bed in which they are by then.
    pub fn standing_rows(&self) -> Standing {
        let mut all = Standing::new();
        for one in self.decided.iter().map(|one| &one.delivery) {
            let moved = one.harden_bed != one.green_bed && one.harden < self.day;
            let (bed, rows) = if moved {
                (&one.harden_bed, &one.harden_rows)
            } else {
                (&one.green_bed, &one.green_rows)
            };
            if let Some(bed) = bed.as_ref().filter(|_| one.open < self.day) {
                let key = (one.field.clone(), one.part, bed.clone());
                all.insert(key, rows.clone());
            }
        }
        all.retain(|_, rows| !rows.is_empty());
        all
    }

    /// True of a part that the plan had left short.
    pub fn was_short(&self, field: &str, part: u32) -> bool {
        self.left_short.contains(&(field.to_string(), part))
    }
}

/// What was decided of a part that has not left yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decided {
    /// The part, as the plan delivers it.
    pub delivery: Delivery,
    /// Sow day.
    pub sow: Day,
    /// Line; none for what stands or is handed over as seed.
    pub line: Option<String>,
    /// First day of soaking; none for what stands.
    pub soak: Option<Day>,
    /// The run's name.
    pub run: String,
}

/// Why a plan has no present on a day.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PresentError {
    /// The day is not one of the plan's.
    #[error("{day} is not a day of the plan, which goes from {first} to {last}")]
    OutsideHorizon {
        /// The day asked for.
        day: Day,
        /// First of the plan.
        first: Day,
        /// Last of the plan.
        last: Day,
    },
    /// The plan contradicts its own scenario.
    #[error(transparent)]
    Plan(#[from] PlanError),
}

/// The nursery on the morning of `day`, when all that the plan has on days before it was done as planned.
///
/// Trays that wait at the edge of a field on that morning count as gone: their planting is not planned again.
///
/// # Errors
/// [`PresentError`]: a day outside the horizon, or a plan that names what its scenario does not have.
pub fn present(plan: &Plan, day: Day) -> Result<Present, PresentError> {
    let horizon = plan.scenario.horizon;
    if !horizon.contains(day) {
        return Err(PresentError::OutsideHorizon {
            day,
            first: horizon.first,
            last: horizon.last,
        });
    }
    let view = PlanView::new(plan)?;
    let mut scenario = plan.scenario.clone();
    let runs: BTreeMap<&str, &Run> = plan.runs.iter().map(|run| (run.id.as_str(), run)).collect();
    let mut then = Then {
        day,
        old: &plan.scenario,
        sown: Vec::new(),
        decided: Vec::new(),
        served: BTreeSet::new(),
    };
    for delivery in &plan.deliveries {
        then.take(delivery, runs[delivery.run.as_str()]);
    }
    then.keep_what_is_short(plan);
    let came = trays_then::carry(&mut scenario, &view, day);
    stores_then::carry(&mut scenario, plan, day)?;
    scenario.opening.soaked = soaked(&view, day);
    before(&mut scenario, plan, day);
    let Then {
        sown,
        decided,
        served,
        ..
    } = then;
    scenario.opening.sown = sown;
    scenario.horizon.first = day;
    scenario.told = told(plan, &decided);
    serve(&mut scenario, &served);
    scenario.pins.retain(|pin| {
        let key = (pin.field.clone(), pin.part);
        !served.contains(&key)
    });
    // A pin of the sow day has been kept once it is sown.
    let standing: BTreeSet<(String, u32)> = scenario
        .opening
        .sown
        .iter()
        .map(|sown| (sown.field.clone(), sown.part))
        .collect();
    for pin in &mut scenario.pins {
        if standing.contains(&(pin.field.clone(), pin.part)) {
            pin.sow = None;
        }
    }
    scenario
        .pins
        .retain(|pin| pin.sow.is_some() || pin.plant.is_some());
    let short = plan.shortfalls.iter();
    let left_short = short
        .map(|short| (short.field.clone(), short.part))
        .collect();
    Ok(Present {
        day,
        scenario,
        decided,
        left_short,
        came,
    })
}

/// What is gathered while the deliveries are walked.
struct Then<'a> {
    day: Day,
    old: &'a Scenario,
    sown: Vec<Sown>,
    decided: Vec<Decided>,
    served: BTreeSet<(String, u32)>,
}

impl Then<'_> {
    fn take(&mut self, delivery: &Delivery, run: &Run) {
        let key = (delivery.field.clone(), delivery.part);
        if delivery.leaves() < self.day {
            self.served.insert(key);
            return;
        }
        let stands = run.sow < self.day && delivery.germination.is_some();
        if stands {
            self.sown.push(self.batch(delivery, run));
        }
        self.decided.push(Decided {
            delivery: delivery.clone(),
            sow: run.sow,
            line: run.line.clone().filter(|_| !stands),
            soak: run.soak.filter(|_| !stands),
            run: run.id.clone(),
        });
    }

    /// The trays of a delivery that stand on that morning.
    fn batch(&self, delivery: &Delivery, run: &Run) -> Sown {
        let earlier = self.earlier(&delivery.field, delivery.part);
        let before = |day: Day| Some(day).filter(|day| *day < self.day);
        // What leaves from the stack is asked for no bed; any will do.
        let bed = |bed: &Option<String>| bed.clone().unwrap_or_else(|| self.any_bed());
        let in_beds = delivery.green_bed.is_some();
        Sown {
            field: delivery.field.clone(),
            part: delivery.part,
            sown: run.sow,
            trays: delivery.sown(),
            germination: delivery.germination.clone().unwrap_or_default(),
            green_bed: bed(&delivery.green_bed),
            harden_bed: bed(&delivery.harden_bed),
            run: Some(run.id.clone()),
            opened: before(delivery.open),
            hardened: before(delivery.harden).filter(|_| in_beds),
            leaving: Some(delivery.trays),
            ahead: earlier.map_or_else(Default::default, |sown| sown.ahead),
        }
    }

    fn any_bed(&self) -> String {
        let bed = self.old.beds.first();
        bed.map(|bed| bed.id.clone()).unwrap_or_default()
    }

    fn earlier(&self, field: &str, part: u32) -> Option<&Sown> {
        let mut sown = self.old.opening.sown.iter();
        sown.find(|sown| sown.field == field && sown.part == part)
    }

    /// Trays that stood already and that the plan could give to nobody stand on.
    fn keep_what_is_short(&mut self, plan: &Plan) {
        for short in &plan.shortfalls {
            let key = (short.field.clone(), short.part);
            let gone = self.served.contains(&key)
                || self
                    .sown
                    .iter()
                    .any(|sown| sown.field == key.0 && sown.part == key.1);
            if let Some(sown) = self.earlier(&key.0, key.1).filter(|_| !gone) {
                self.sown.push(sown.clone());
            }
        }
    }
}

/// Days told: those that were promised, and those that were planned of what is still to leave.
fn told(plan: &Plan, decided: &[Decided]) -> Vec<Told> {
    let promised = |field: &str, part: u32| {
        let mut told = plan.scenario.told.iter();
        told.find(|told| told.promised && told.field == field && told.part == part)
    };
    let told = decided.iter().map(|decided| {
        let one = &decided.delivery;
        let promised = promised(&one.field, one.part);
        Told {
            field: one.field.clone(),
            part: one.part,
            day: promised.map_or(one.day, |told| told.day),
            promised: promised.is_some(),
        }
    });
    told.collect()
}

/// Parts that have been served are no parts any more; fields without a part left are gone.
fn serve(scenario: &mut Scenario, served: &BTreeSet<(String, u32)>) {
    let known = std::mem::take(&mut scenario.opening.parts);
    let mut parts: Vec<PartKnown> = known
        .into_iter()
        .filter(|known| !served.contains(&(known.field.clone(), known.part)))
        .collect();
    for (field, part) in served {
        parts.push(PartKnown {
            field: field.clone(),
            part: *part,
            trays: 0,
        });
    }
    scenario.fields.retain(|field| {
        let done = |part: u32| {
            parts
                .iter()
                .any(|known| known.field == field.id && known.part == part && known.trays == 0)
        };
        !(1..=field.parts).all(done)
    });
    let fields: BTreeSet<&str> = scenario
        .fields
        .iter()
        .map(|field| field.id.as_str())
        .collect();
    parts.retain(|known| fields.contains(known.field.as_str()));
    parts.sort_by(|one, other| (&one.field, one.part).cmp(&(&other.field, other.part)));
    scenario.opening.parts = parts;
}

/// Seed in the tank or sprouting, by kind and the day on which it went to soak; what is not sown by then.
fn soaked(view: &PlanView<'_>, day: Day) -> Vec<Soaked> {
    let scenario = &view.plan.scenario;
    let mut batches: BTreeMap<(&str, Day), i64> = BTreeMap::new();
    for batch in &scenario.opening.soaked {
        let entry = batches.entry((&batch.kind, batch.soaked));
        *entry.or_default() += batch.kg_dry.0 * 10;
    }
    let first = scenario.horizon.first;
    for run in &view.runs {
        let Some(soak) = run.run.soak.filter(|soak| *soak < day) else {
            continue;
        };
        let tenths = run.soaked_tenths(scenario);
        let batch = batches.entry((&run.kind.id, soak)).or_default();
        match (soak < first, run.run.sow < day) {
            // Out of a batch that was there before: what is sown is gone from it.
            (true, true) => *batch -= tenths,
            (true, false) | (false, true) => {}
            (false, false) => *batch += tenths,
        }
    }
    let batches = batches.into_iter().filter(|(_, tenths)| *tenths > 0);
    batches
        .map(|((kind, soaked), tenths)| Soaked {
            kind: kind.to_string(),
            kg_dry: Fixed(div_up(tenths, 10)),
            soaked,
        })
        .collect()
}

/// People hired in the week before.
fn before(scenario: &mut Scenario, plan: &Plan, day: Day) {
    if day == plan.scenario.horizon.first {
        return;
    }
    let week = day.plus(-1).iso_week();
    for crew in &mut scenario.crews {
        let mut weeks = plan.people.iter();
        let hired = weeks.find(|people| people.crew == crew.id && people.week == week);
        if let (Some(casual), Some(hired)) = (&mut crew.casual, hired) {
            *casual = Casual {
                before: hired.casual,
                ..*casual
            };
        }
    }
}
