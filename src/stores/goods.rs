//! The things that a nursery keeps in store, or would: what there is of each, and how it is bought.

use super::What;
use super::curve::Dated;
use crate::plan::view::PlanView;
use crate::scenario::{Kind, Scenario};
use crate::units::{Fixed, Share};

/// Grams in tenths of a gram.
const GRAM: i128 = 10;
/// Hundredths of a litre in µL.
const HUNDREDTH: i128 = 10_000;
/// A millilitre in hundred-thousandths.
const MILLILITRE: i128 = 100_000;

/// One thing, in the small parts of its unit.
pub(super) struct Good {
    pub(super) what: What,
    pub(super) name: String,
    pub(super) has_store: bool,
    pub(super) lead_days: i32,
    pub(super) lot: Option<i128>,
    /// On the first morning.
    pub(super) in_store: i128,
    pub(super) deliveries: Vec<Dated>,
    /// Seed kept of each season.
    pub(super) sample: i128,
    pub(super) reserve_share: Share,
}

impl Good {
    /// Of this there is nothing, and nothing comes.
    fn none(what: What, name: &str) -> Good {
        Good {
            what,
            name: name.to_string(),
            has_store: false,
            lead_days: 0,
            lot: None,
            in_store: 0,
            deliveries: Vec::new(),
            sample: 0,
            reserve_share: Fixed(0),
        }
    }
}

/// Seed of each kind, soil of each mix, soil without a name, agents with a store, agents without one.
pub(super) fn all(view: &PlanView<'_>) -> Vec<Good> {
    let scenario = &view.plan.scenario;
    let kinds = &scenario.kinds;
    let mut goods: Vec<Good> = kinds.iter().map(|kind| seed(scenario, kind)).collect();
    goods.extend(soil(scenario));
    goods.extend(agents(scenario));
    goods
}

/// Several entries of one kind, which only a plan edited by hand has, are one store.
fn seed(scenario: &Scenario, kind: &Kind) -> Good {
    let what = What::Seed {
        kind: kind.id.clone(),
    };
    let mut good = Good {
        lot: kind.bag_kg.map(|bag| i128::from(bag.0) * GRAM),
        ..Good::none(what, &kind.name)
    };
    let stores = scenario.seed_stores.iter();
    for store in stores.filter(|store| store.kind == kind.id) {
        good.has_store = true;
        good.lead_days = good.lead_days.max(store.lead_days);
        good.in_store += i128::from(store.kg_dry.0) * GRAM;
        good.sample = good.sample.max(i128::from(store.sample_kg.0) * GRAM);
        good.reserve_share = good.reserve_share.max(store.reserve_share);
        let came = store.deliveries.iter();
        good.deliveries
            .extend(came.map(|came| (came.day, i128::from(came.kg_dry.0) * GRAM)));
    }
    good
}

fn soil(scenario: &Scenario) -> Vec<Good> {
    let mut goods: Vec<Good> = Vec::new();
    for store in &scenario.soil_stores {
        let what = What::Soil {
            mix: store.id.clone(),
        };
        let good = entry(&mut goods, what, &store.name);
        good.has_store = true;
        good.lead_days = good.lead_days.max(store.lead_days);
        good.lot = store.lot_litres.map(|lot| i128::from(lot.0) * HUNDREDTH);
        good.in_store += i128::from(store.litres.0) * HUNDREDTH;
        let came = store.deliveries.iter();
        good.deliveries
            .extend(came.map(|came| (came.day, i128::from(came.litres.0) * HUNDREDTH)));
    }
    for kind in &scenario.kinds {
        for mix in [&kind.bed_soil, &kind.cover_soil].into_iter().flatten() {
            entry(&mut goods, What::Soil { mix: mix.clone() }, mix);
        }
    }
    entry(&mut goods, What::BedSoil, "bed soil");
    entry(&mut goods, What::CoverSoil, "cover soil");
    goods
}

fn agents(scenario: &Scenario) -> Vec<Good> {
    let mut goods: Vec<Good> = Vec::new();
    for store in &scenario.agents {
        let what = What::Agent {
            agent: store.id.clone(),
        };
        let good = entry(&mut goods, what, &store.name);
        good.has_store = true;
        good.lead_days = good.lead_days.max(store.lead_days);
        good.lot = store.lot_ml.map(|lot| i128::from(lot.0) * MILLILITRE);
        good.in_store += i128::from(store.ml.0) * MILLILITRE;
        let came = store.deliveries.iter();
        good.deliveries
            .extend(came.map(|came| (came.day, i128::from(came.ml.0) * MILLILITRE)));
    }
    let treatments = scenario
        .kinds
        .iter()
        .filter_map(|kind| kind.treatment.as_ref());
    for treatment in treatments {
        let agent = treatment.agent.clone();
        entry(&mut goods, What::Agent { agent }, &treatment.agent);
    }
    goods
}

/// The entry of that thing; a new one without a store if there is none yet.
fn entry<'g>(goods: &'g mut Vec<Good>, what: What, name: &str) -> &'g mut Good {
    let known = goods.iter().position(|good| good.what == what);
    let at = known.unwrap_or_else(|| {
        goods.push(Good::none(what, name));
        goods.len() - 1
    });
    &mut goods[at]
}
