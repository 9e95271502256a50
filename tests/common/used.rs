//! Which keys a nursery uses in earnest: so that tests over made-up ones can say that each was tried, and how often.

use sowrota::scenario::*;
use std::collections::BTreeMap;

/// A key, and whether a nursery uses it so that it can matter.
pub type Use = (&'static str, fn(&Scenario) -> bool);

fn any_field(scenario: &Scenario, test: impl Fn(&Field) -> bool) -> bool {
    scenario.fields.iter().any(test)
}

fn any_kind(scenario: &Scenario, test: impl Fn(&Kind) -> bool) -> bool {
    let asked = |kind: &&Kind| any_field(scenario, |field| field.kind == kind.id);
    scenario.kinds.iter().filter(asked).any(test)
}

fn any_pair(scenario: &Scenario, test: impl Fn(&SetUpPair) -> bool) -> bool {
    let asked = |id: &str| any_field(scenario, |field| field.kind == id);
    let mut pairs = scenario.lines.iter().flat_map(|line| &line.set_up_pairs);
    pairs.any(|pair| asked(&pair.from) && asked(&pair.to) && test(pair))
}

fn any_offer(scenario: &Scenario, test: impl Fn(&Crew, Casual) -> bool) -> bool {
    let mut crews = scenario.crews.iter();
    crews.any(|crew| crew.casual.is_some_and(|casual| test(crew, casual)))
}

fn any_batch(scenario: &Scenario, test: impl Fn(&Sown) -> bool) -> bool {
    scenario.opening.sown.iter().any(test)
}

/// Price of a day's shift if all of it were overtime.
fn a_day(crew: &Crew) -> sowrota::units::Money {
    sowrota::units::Fixed(crew.shift_hours.0 * crew.overtime_price_per_h.0 / 100)
}

/// Everything about orders, hand-over and the further limits of places and people.
pub const USES: &[Use] = &[
    ("fields.trays", |s| {
        any_field(s, |field| field.trays.is_some() && !field.spare)
    }),
    ("fields.ordered", |s| {
        any_field(s, |field| field.ordered.is_some())
    }),
    ("fields.stage: sprouted", |s| {
        any_field(s, |field| field.stage == HandOver::Sprouted)
    }),
    ("fields.stage: soaked_seed", |s| {
        any_field(s, |field| field.stage == HandOver::SoakedSeed)
    }),
    ("fields.edge_days", |s| {
        any_field(s, |field| field.edge_days > 0)
    }),
    ("fields.travel_group", |s| {
        any_field(s, |field| field.travel_group.is_some() && !field.collected)
    }),
    ("fields.spare", |s| any_field(s, |field| field.spare)),
    ("growers.member", |s| {
        s.sharing == Sharing::MembersFirst && s.growers.iter().any(|grower| grower.member)
    }),
    ("kinds.losses", |s| {
        any_kind(s, |kind| kind.losses != Losses::default())
    }),
    ("kinds.spare_share", |s| {
        any_kind(s, |kind| kind.spare_share.0 > 0)
    }),
    ("kinds.least_run_trays", |s| {
        any_kind(s, |kind| kind.least_run_trays > 1)
    }),
    ("kinds.last_of_day", |s| {
        s.kinds.len() > 1 && any_kind(s, |kind| kind.last_of_day)
    }),
    ("kinds.treatment", |s| {
        any_kind(s, |kind| kind.treatment.is_some())
    }),
    ("kinds.care_times", |s| {
        s.work.care.is_some() && any_kind(s, |kind| kind.care_times.0 != 100)
    }),
    ("lines.hopper_g_dry", |s| {
        let counted = !s.seed_stores.is_empty() || s.tank.is_some();
        counted && s.lines.iter().any(|line| line.hopper_g_dry.0 > 0)
    }),
    ("lines.spans", |s| {
        s.lines.iter().any(|line| !line.spans.is_empty())
    }),
    ("lines.set_up_pairs.throw_out_trays", |s| {
        any_pair(s, |pair| pair.throw_out_trays > 0 && !pair.never)
    }),
    ("lines.set_up_pairs.never", |s| {
        any_pair(s, |pair| pair.never)
    }),
    ("beds.row_trays", |s| {
        s.beds.iter().any(|bed| bed.row_trays.is_some())
    }),
    ("trays.dry_spans", |s| !s.trays.dry_spans.is_empty()),
    ("crews.spans", |s| {
        s.crews.iter().any(|crew| !crew.spans.is_empty())
    }),
    ("crews.casual", |s| {
        let weeks = s.horizon.first.iso_week() != s.horizon.last.iso_week();
        weeks
            && s.crews
                .iter()
                .any(|crew| crew.casual.is_some_and(|casual| casual.most > 0))
    }),
    ("crews.casual: cheaper than overtime", |s| {
        any_offer(s, |crew, casual| casual.price_per_day < a_day(crew))
    }),
    ("crews.casual: dearer than overtime", |s| {
        any_offer(s, |crew, casual| casual.price_per_day > a_day(crew))
    }),
    ("crews.casual.hire", |s| {
        any_offer(s, |_, casual| casual.hire.0 > 0)
    }),
    ("crews.casual.release", |s| {
        any_offer(s, |_, casual| casual.release.0 > 0)
    }),
    ("crews.week_hours_most", |s| {
        let mut crews = s.crews.iter();
        crews.any(|crew| {
            let all = (crew.shift_hours.0 + crew.overtime_hours.0) * 7;
            crew.week_hours_most.is_some_and(|most| most.0 < all)
        })
    }),
    ("beds.closed", |s| {
        s.beds.iter().any(|bed| !bed.closed.is_empty())
    }),
    ("prices.bed_move", |s| {
        s.prices.bed_move.0 > 0 && s.beds.iter().any(|bed| bed.stages == [Stage::Green])
    }),
    ("prices.edge_wait", |s| {
        s.prices.edge_wait.0 > 0 && any_field(s, |field| field.edge_days > 0)
    }),
    ("prices.split_run", |s| {
        s.prices.split_run.0 > 0 && any_field(s, |field| field.parts > 1)
    }),
    ("vehicles.hours_per_day", |s| {
        any_field(s, |field| field.travel_group.is_some() && !field.collected)
            && s.vehicles
                .iter()
                .any(|vehicle| vehicle.hours_per_day.0 != 1_000)
    }),
    ("opening.sown.run", |s| {
        any_batch(s, |sown| sown.run.is_some())
    }),
    ("opening.sown.run: of several batches", |s| {
        let names = || s.opening.sown.iter().filter_map(|sown| sown.run.as_ref());
        names().any(|name| names().filter(|other| *other == name).count() > 1)
    }),
    ("opening.drying", |s| !s.opening.drying.is_empty()),
    ("opening.sown.opened", |s| {
        any_batch(s, |sown| sown.opened.is_some())
    }),
    ("opening.sown.hardened", |s| {
        any_batch(s, |sown| sown.hardened.is_some())
    }),
    ("opening.sown.leaving", |s| {
        any_batch(s, |sown| sown.leaving.is_some())
    }),
    ("opening.sown.ahead: before", |s| {
        any_batch(s, |sown| sown.ahead.0 > 0)
    }),
    ("opening.sown.ahead: behind", |s| {
        any_batch(s, |sown| sown.ahead.0 < 0)
    }),
    ("opening.parts: served", |s| {
        s.opening.parts.iter().any(|part| part.trays == 0)
    }),
    ("opening.parts: other trays", |s| {
        s.opening.parts.iter().any(|part| part.trays > 0)
    }),
    ("told: promised", |s| {
        s.prices.promise_moved.0 > 0 && s.told.iter().any(|told| told.promised)
    }),
    ("told: planned", |s| {
        s.prices.plan_moved.0 > 0 && s.told.iter().any(|told| !told.promised)
    }),
    ("crews.casual.before", |s| {
        any_offer(s, |_, casual| casual.before > 0)
    }),
    ("crews.casual.before: more than can be hired", |s| {
        any_offer(s, |_, casual| casual.before > casual.most)
    }),
    ("agents", |s| {
        !s.agents.is_empty() && any_kind(s, |kind| kind.treatment.is_some())
    }),
    ("germination.spans", |s| {
        s.germination.iter().any(|place| !place.spans.is_empty())
    }),
    ("travel_groups", |s| !s.travel_groups.is_empty()),
    ("sharing: fewest_trays", |s| {
        s.sharing == Sharing::FewestTrays
    }),
    ("sharing: order_date", |s| s.sharing == Sharing::OrderDate),
    ("sharing: members_first", |s| {
        s.sharing == Sharing::MembersFirst
    }),
    ("sharing: in_proportion", |s| {
        s.sharing == Sharing::InProportion
    }),
    ("edge", |s| {
        let outdoors = Temperature::Outdoors {
            night_plus_c: sowrota::units::Fixed(0),
            day_plus_c: sowrota::units::Fixed(0),
        };
        s.edge != outdoors && any_field(s, |field| field.edge_days > 0)
    }),
];

/// How many of the nurseries use each key.
pub fn count<'a>(scenarios: impl Iterator<Item = &'a Scenario>) -> BTreeMap<&'static str, usize> {
    let mut counts: BTreeMap<_, _> = USES.iter().map(|(name, _)| (*name, 0)).collect();
    for scenario in scenarios {
        for (name, used) in USES {
            *counts.entry(*name).or_default() += usize::from(used(scenario));
        }
    }
    counts
}
