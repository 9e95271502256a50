//! What the runs of a plan take of seed, soil and agents, and what trays that it does not grow would take.

use super::{Amount, Unit, Use, What};
use crate::calendar::Day;
use crate::plan::view::{PlanView, RunView};
use crate::quantities::MAT_MM2;
use crate::scenario::{Field, HandOver, Kept, Kind, Scenario};
use std::collections::BTreeSet;

/// Soil of one tray for each hundredth of a millimetre of depth, µL.
const MICROLITRES: i128 = MAT_MM2 as i128 / 100;

/// What the plan takes of it, run after run in the order of the plan; bed soil and cover soil of one mix apart.
pub(super) fn of_plan(view: &PlanView<'_>, what: &What) -> Vec<Use> {
    let scenario = &view.plan.scenario;
    let mut uses = Vec::new();
    for run in &view.runs {
        let fresh = fresh_from(scenario, run);
        let soaked = i128::from(run.soaked_tenths(scenario));
        match what {
            What::Seed { kind } if run.kind.id == *kind => {
                let used = i128::from(run.hopper_tenths());
                uses.extend(fresh.map(|day| taken(run, day, what.unit(), soaked, used)));
            }
            What::Agent { agent } => {
                let treatment = run.kind.treatment.as_ref();
                let treatment = treatment.filter(|treatment| treatment.agent == *agent);
                if let (Some(day), Some(treatment)) = (fresh, treatment) {
                    let dose = soaked * i128::from(treatment.ml_per_kg.0);
                    uses.push(taken(run, day, what.unit(), dose, dose));
                }
            }
            What::Soil { .. } | What::BedSoil | What::CoverSoil if run.line.is_some() => {
                for depth in depths(run.kind, what) {
                    let soil = |trays: i64| i128::from(trays) * depth * MICROLITRES;
                    let (aside, used) = (run.trays_at_most(scenario), run.over_the_line());
                    let day = run.run.sow;
                    uses.push(taken(run, day, what.unit(), soil(aside), soil(used)));
                }
            }
            _ => {}
        }
    }
    uses
}

fn taken(run: &RunView<'_>, day: Day, unit: Unit, set_aside: i128, used: i128) -> Use {
    let of = |parts| Amount { unit, parts };
    Use {
        run: run.run.id.clone(),
        day,
        set_aside: of(set_aside),
        used: of(used),
    }
}

/// The day on which seed of the run goes to soak out of the store; none for trays sown before the first day, and for a batch that
/// soaks since before it. Seed without a soak day is gone when it is sown.
pub(super) fn fresh_from(scenario: &Scenario, run: &RunView<'_>) -> Option<Day> {
    let Some(soak) = run.run.soak else {
        return run.line.map(|_| run.run.sow);
    };
    // From the first day on, what goes to soak on a staffed day is fresh.
    let old = soak < scenario.horizon.first || !scenario.calendars.beds.works(soak);
    let mut batches = scenario.opening.soaked.iter();
    let from_batch = old && batches.any(|batch| batch.kind == run.kind.id && batch.soaked == soak);
    (!from_batch).then_some(soak)
}

/// Depths of the layers that are of this soil, hundredths of a millimetre.
fn depths(kind: &Kind, what: &What) -> Vec<i128> {
    let layers = [
        (&kind.bed_soil, What::BedSoil, kind.bed_soil_mm),
        (&kind.cover_soil, What::CoverSoil, kind.cover_soil_mm),
    ];
    let of_it = layers.into_iter().filter(|(mix, unnamed, _)| match what {
        What::Soil { mix: wanted } => mix.as_ref() == Some(wanted),
        _ => mix.is_none() && unnamed == what,
    });
    of_it.map(|(_, _, depth)| i128::from(depth.0)).collect()
}

/// Trays that the plan does not grow and what they would take, without trial trays, bags and what stays in a hopper.
pub(super) fn of_shortfalls(view: &PlanView<'_>, what: &What) -> (i64, i128) {
    let scenario = &view.plan.scenario;
    let standing = scenario.opening.sown.iter();
    let standing: BTreeSet<_> = standing.map(|sown| (&sown.field, sown.part)).collect();
    let (mut trays, mut amount) = (0, 0);
    for short in &view.plan.shortfalls {
        let field = scenario.fields.iter().find(|field| field.id == short.field);
        let kind = field.and_then(|field| {
            let mut kinds = scenario.kinds.iter();
            kinds.find(|kind| kind.id == field.kind)
        });
        let (Some(field), Some(kind)) = (field, kind) else {
            continue;
        };
        if standing.contains(&(&short.field, short.part)) {
            continue;
        }
        let sown = Kept::of(&kind.losses, field.stage).sown(short.trays);
        let takes = i128::from(sown) * of_tray(kind, field, what);
        if takes > 0 {
            trays += short.trays;
            amount += takes;
        }
    }
    (trays, amount)
}

/// What one tray takes.
fn of_tray(kind: &Kind, field: &Field, what: &What) -> i128 {
    let seed = i128::from(kind.seed_g_dry_per_tray.0);
    match what {
        What::Seed { kind: wanted } if kind.id == *wanted => seed,
        What::Seed { .. } => 0,
        What::Agent { agent } => {
            let treatment = kind.treatment.iter();
            let mut treatment = treatment.filter(|treatment| treatment.agent == *agent);
            treatment
                .next()
                .map_or(0, |treatment| seed * i128::from(treatment.ml_per_kg.0))
        }
        _ if field.stage == HandOver::SoakedSeed => 0,
        _ => depths(kind, what).into_iter().sum::<i128>() * MICROLITRES,
    }
}
