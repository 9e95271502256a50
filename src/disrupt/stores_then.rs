//! Seed, soil and agents in store on a morning in the season, as the plan's own days leave them.

use crate::calendar::Day;
use crate::plan::Plan;
use crate::plan::view::PlanError;
use crate::scenario::Scenario;
use crate::stores::{Item, Needs, Use, What, needs};
use crate::units::{Fixed, fit};

/// Writes into `scenario` what is left in store on the morning of `day`; deliveries before it are in it.
///
/// # Errors
/// When the plan names what its scenario does not have.
pub(super) fn carry(scenario: &mut Scenario, plan: &Plan, day: Day) -> Result<(), PlanError> {
    let needs = needs(plan)?;
    let set_aside = |one: &Use| one.set_aside.parts;
    // Seed is drawn in whole bags; in units of a tenth of a gram.
    for store in &mut scenario.seed_stores {
        let seed = What::Seed {
            kind: store.kind.clone(),
        };
        let drawn = drawn(&needs, &seed, day, set_aside);
        let come = store.deliveries.iter().map(|one| (one.day, one.kg_dry.0));
        store.kg_dry = left(store.kg_dry.0, come, day, (drawn, 10));
        store.deliveries.retain(|one| one.day >= day);
    }
    // What was really sown; a hundredth of a litre is 10 000 µL.
    for store in &mut scenario.soil_stores {
        let soil = What::Soil {
            mix: store.id.clone(),
        };
        let drawn = drawn(&needs, &soil, day, |one| one.used.parts);
        let come = store.deliveries.iter().map(|one| (one.day, one.litres.0));
        store.litres = left(store.litres.0, come, day, (drawn, 10_000));
        store.deliveries.retain(|one| one.day >= day);
    }
    for store in &mut scenario.agents {
        let agent = What::Agent {
            agent: store.id.clone(),
        };
        let drawn = drawn(&needs, &agent, day, set_aside);
        let come = store.deliveries.iter().map(|one| (one.day, one.ml.0));
        store.ml = left(store.ml.0, come, day, (drawn, 100_000));
        store.deliveries.retain(|one| one.day >= day);
    }
    Ok(())
}

/// What was drawn of a thing before `day`, in the parts of its unit.
fn drawn(needs: &Needs, what: &What, day: Day, of: impl Fn(&Use) -> i128) -> i128 {
    let items = needs.items.iter().filter(|item: &&Item| item.what == *what);
    let uses = items.flat_map(|item| &item.uses);
    uses.filter(|one| one.day < day).map(of).sum()
}

/// What is left of what there was and has come before `day`, in whole units, rounded up, so that nothing lacks that was there; so many
/// parts make a unit.
fn left<const P: u32>(
    there: i64,
    deliveries: impl Iterator<Item = (Day, i64)>,
    day: Day,
    (drawn, parts): (i128, i128),
) -> Fixed<P> {
    let come = deliveries.filter(|(on, _)| *on < day);
    let come: i64 = come.map(|(_, amount)| amount).sum();
    let left = i128::from(there + come) * parts - drawn;
    Fixed(fit((left.max(0) + parts - 1) / parts))
}
