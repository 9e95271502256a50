//! Promise: what `why` says of a day is so. A priced day costs just that much more by the second count of the plan with the part
//! moved, a day that does not fit goes beyond a limit there, and an excluded day has no way at all, and a reason.

mod common;

use common::{generate, whole};
use sowrota::audit::audit;
use sowrota::calendar::Day;
use sowrota::explain::{self, Explained, PlantingDay, Verdict, Way};
use sowrota::nursery::{LotId, Nursery, OptionId};
use sowrota::plan::{Cost, EndedBy};
use sowrota::scenario::Scenario;
use sowrota::solve::polish::Choice;
use sowrota::solve::state::{Ground, State};
use sowrota::solve::{self, Budget, Start, Unwatched, assemble};
use std::collections::BTreeMap;

/// How often each kind of day was tried.
#[derive(Default, Debug)]
struct Tried {
    fits: usize,
    full: usize,
    excluded: usize,
    freed: usize,
    short: usize,
}

/// Cost of the audited plan with those decisions, when nothing is broken.
fn counted(ground: &Ground<'_>, choice: &Choice) -> Option<Cost> {
    let plan = assemble::assemble(&mut State::of(ground, choice), None, EndedBy::Moves);
    let found = audit(&plan, &ground.nursery.scenario);
    found.breaches.is_empty().then_some(found.cost)
}

/// The nursery planned, explained, and all of it compared with the second count.
fn compare(seed: u64, scenario: &Scenario, tried: &mut Tried) {
    let nursery = Nursery::new(scenario);
    let ground = Ground::new(&nursery);
    let budget = Budget {
        // Few moves, so that there is something to gain too.
        moves: 40,
        relaxations: 0,
        seed,
    };
    let outcome = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched);
    let explained = explain::all(&outcome.plan).unwrap();
    assert_eq!(explained.len(), nursery.lots.len());
    for one in &explained {
        let lot = nursery.lot_of(&one.field, one.part).unwrap();
        assert_eq!(one.remarks, [] as [&str; 0], "seed {seed}");
        assert_eq!(one.story.is_none(), one.short.is_some());
        assert_eq!(one.story.is_none(), outcome.choice[lot.0].is_none());
        tried.short += usize::from(one.short.is_some());
        let with = |option: Option<OptionId>| {
            let mut choice = outcome.choice.clone();
            choice[lot.0] = option;
            choice
        };
        if let Some(costs) = one.story.as_ref().and_then(|story| story.costs.as_ref()) {
            if let Some(without) = counted(&ground, &with(None)) {
                let less = outcome.plan.cost.total.0 - without.total.0;
                assert_eq!(costs.without.0, less, "seed {seed} {}", one.name);
            }
        }
        let mut by_day: BTreeMap<Day, Vec<(OptionId, Option<Cost>)>> = BTreeMap::new();
        for option in nursery.options_of(lot) {
            let cost = counted(&ground, &with(Some(option)));
            let day = nursery.option(option).plant;
            by_day.entry(day).or_default().push((option, cost));
        }
        let told: Vec<Day> = one.days.iter().map(|day| day.day).collect();
        assert!(by_day.keys().all(|day| told.contains(day)), "seed {seed}");
        let all = All {
            ground: &ground,
            cost: &outcome.plan.cost,
            choice: &outcome.choice,
            lot,
        };
        for day in &one.days {
            let ways = by_day.get(&day.day).map_or(&[][..], Vec::as_slice);
            let place = format!("seed {seed} {} {}", one.name, day.day);
            all.of_day(&place, day, ways, tried);
        }
    }
}

/// A plan and one of its lots.
struct All<'g> {
    ground: &'g Ground<'g>,
    cost: &'g Cost,
    choice: &'g Choice,
    lot: LotId,
}

impl All<'_> {
    fn of_day(
        &self,
        place: &str,
        day: &PlantingDay,
        ways: &[(OptionId, Option<Cost>)],
        tried: &mut Tried,
    ) {
        let nursery = self.ground.nursery;
        let cheapest = |ways: &mut dyn Iterator<Item = &(OptionId, Option<Cost>)>| {
            let costs = ways.filter_map(|(_, cost)| cost.as_ref());
            costs.min_by_key(|cost| cost.with_shortage()).cloned()
        };
        let best = cheapest(&mut ways.iter());
        let chosen = self.choice[self.lot.0];
        let planned = chosen.map(|id| nursery.option(id).plant);
        assert_eq!(day.verdict == Verdict::Chosen, planned == Some(day.day), "{place}");
        match day.verdict {
            Verdict::Chosen => {
                let more = day.more.as_ref().unwrap();
                assert_eq!((more.money.0, more.terms.len()), (0, 0), "{place}");
                assert_eq!(self.option(day.way.as_ref().unwrap()), chosen, "{place}");
            }
            Verdict::Fits => {
                tried.fits += 1;
                let best = best.unwrap_or_else(|| panic!("{place}: told to fit"));
                let more = day.more.as_ref().unwrap();
                let saved = more.shortage_saved.0;
                assert_eq!(
                    more.money.0 - saved,
                    best.with_shortage().0 - self.cost.with_shortage().0,
                    "{place}"
                );
                let sum: i64 = more.terms.iter().map(|term| term.cost.0).sum();
                assert_eq!(sum, more.money.0, "{place}");
                assert!(day.in_the_way.is_empty() && day.why.is_none(), "{place}");
            }
            Verdict::Full => {
                tried.full += 1;
                assert!(!ways.is_empty() && best.is_none(), "{place}: told not to fit");
                assert!(!day.in_the_way.is_empty(), "{place}: nothing in the way");
                let nearest = self.option(day.way.as_ref().unwrap());
                for other in &day.frees {
                    tried.freed += 1;
                    let mut choice = self.choice.clone();
                    choice[self.lot.0] = nearest;
                    choice[nursery.lot_of(&other.field, other.part).unwrap().0] = None;
                    let counted = counted(self.ground, &choice);
                    assert!(counted.is_some(), "{place}: {} makes no room", other.name);
                }
            }
            Verdict::Excluded => {
                tried.excluded += 1;
                assert!(ways.is_empty(), "{place}: told to be excluded");
                assert!(day.why.as_ref().is_some_and(|why| why.len() > 8), "{place}");
            }
        }
        for sow in &day.sow_days {
            let of_it = ways.iter().filter(|(id, _)| {
                nursery.run(nursery.option(*id).run).sow == sow.day
            });
            let place = format!("{place} sown {}", sow.day);
            match sow.verdict {
                Verdict::Excluded => {
                    assert_eq!(of_it.count(), 0, "{place}");
                    assert!(sow.why.is_some(), "{place}");
                }
                Verdict::Full => assert_eq!(cheapest(&mut of_it.clone()), None, "{place}"),
                Verdict::Fits => {
                    let best = cheapest(&mut of_it.clone()).unwrap();
                    let more = best.total.0 - self.cost.total.0;
                    assert_eq!(sow.more.unwrap().0, more, "{place}");
                }
                Verdict::Chosen => assert_eq!(sow.more.unwrap().0, 0, "{place}"),
            }
        }
    }

    fn option(&self, way: &Way) -> Option<OptionId> {
        let nursery = self.ground.nursery;
        let scenario = &nursery.scenario;
        nursery.options_of(self.lot).find(|id| {
            let option = nursery.option(*id);
            let run = nursery.run(option.run);
            let bed = |bed: Option<usize>| bed.map(|bed| scenario.beds[bed].id.clone());
            let germination = option.route.germination;
            run.sow == way.sow
                && run.line().map(|line| scenario.lines[line].id.clone()) == way.line
                && germination.map(|at| scenario.germination[at].id.clone()) == way.germination
                && bed(option.route.green_bed) == way.green_bed
                && bed(option.route.harden_bed) == way.harden_bed
                && (option.leave, option.plant, option.age) == (way.leave, way.plant, way.age)
        })
    }
}

#[test]
fn sixty_tiny_nurseries() {
    let mut tried = Tried::default();
    for seed in 0..60 {
        compare(seed, &generate::tiny(seed), &mut tried);
    }
    println!("{tried:?}");
    let Tried { fits, full, excluded, freed, .. } = tried;
    assert!(fits > 100 && full > 20 && excluded > 100 && freed > 10, "{tried:?}");
}

#[test]
fn sixty_tiny_nurseries_with_the_whole_schema() {
    let mut tried = Tried::default();
    for seed in 1_000..1_060 {
        compare(seed, &whole::tiny(seed), &mut tried);
    }
    println!("{tried:?}");
    let Tried { fits, full, excluded, freed, .. } = tried;
    assert!(fits > 100 && full > 20 && excluded > 100 && freed > 10, "{tried:?}");
}

#[allow(dead_code)]
fn of<'e>(all: &'e [Explained], name: &str) -> &'e Explained {
    all.iter().find(|one| one.name == name).unwrap()
}
