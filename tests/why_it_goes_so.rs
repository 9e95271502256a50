//! Promise: what `why` says of a day is so. A priced day costs just that much more by the second count of the plan with the part
//! moved, a day that does not fit goes beyond a limit there, and an excluded day has no way at all, and a reason.

mod common;
mod ran;

use common::{demos, generate, whole};
use sowrota::audit::audit;
use sowrota::calendar::Day;
use sowrota::disrupt::present::present;
use sowrota::disrupt::replan::{How, replan, usual_budget};
use sowrota::explain::{self, Explained, PlantingDay, Verdict, Way};
use sowrota::nursery::{LotId, Nursery, OptionId};
use sowrota::plan::{Cost, EndedBy, Plan};
use sowrota::report::why::{day as day_text, text};
use sowrota::scenario::Scenario;
use sowrota::solve::polish::Choice;
use sowrota::solve::state::{Ground, State};
use sowrota::solve::{self, Budget, Start, Unwatched, assemble};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::OnceLock;
use unicode_width::UnicodeWidthStr;

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
        let costs = one.story.as_ref().and_then(|story| story.costs.as_ref());
        if let (Some(costs), Some(without)) = (costs, counted(&ground, &with(None))) {
            let less = outcome.plan.cost.total.0 - without.total.0;
            assert_eq!(costs.without.0, less, "seed {seed} {}", one.name);
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
        assert_eq!(
            day.verdict == Verdict::Chosen,
            planned == Some(day.day),
            "{place}"
        );
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
                assert!(
                    !ways.is_empty() && best.is_none(),
                    "{place}: told not to fit"
                );
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
            let of_it = ways
                .iter()
                .filter(|(id, _)| nursery.run(nursery.option(*id).run).sow == sow.day);
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

/// Every sort of day was tried often.
fn enough(tried: &Tried) {
    println!("{tried:?}");
    let Tried {
        fits,
        full,
        excluded,
        freed,
        ..
    } = *tried;
    assert!(
        fits > 90 && full > 50 && excluded > 80 && freed > 10,
        "{tried:?}"
    );
}

#[test]
fn sixty_tiny_nurseries() {
    let mut tried = Tried::default();
    for seed in 0..60 {
        compare(seed, &generate::tiny(seed), &mut tried);
    }
    enough(&tried);
}

#[test]
fn sixty_tiny_nurseries_with_the_whole_schema() {
    let mut tried = Tried::default();
    for seed in 1_000..1_060 {
        compare(seed, &whole::tiny(seed), &mut tried);
    }
    enough(&tried);
}

/// A demo planned with little effort, once.
fn demo(name: &str) -> &'static Plan {
    static DEMOS: OnceLock<[Plan; 2]> = OnceLock::new();
    let [village, overfull] = DEMOS.get_or_init(|| {
        ["village", "overfull"].map(|name| {
            let nursery = Nursery::new(&demos::scenario(name));
            let budget = Budget {
                moves: 5_000,
                relaxations: 0,
                seed: 1,
            };
            solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan
        })
    });
    if name == "village" { village } else { overfull }
}

fn of<'e>(all: &'e [Explained], name: &str) -> &'e Explained {
    all.iter().find(|one| one.name == name).unwrap()
}

/// The words on some parts, each checked for its width.
fn words(plan: &Plan, names: &[&str]) -> String {
    let all = explain::all(plan).unwrap();
    for one in &all {
        let days = one.days.iter().map(|day| day_text(one, day));
        for line in days.chain([text(one)]).collect::<String>().lines() {
            assert!(line.width() <= 80, "{line}");
        }
    }
    let texts: Vec<String> = names.iter().map(|name| text(of(&all, name))).collect();
    texts.join("\n================\n\n")
}

#[test]
fn the_words_on_the_village() {
    insta::assert_snapshot!(words(demo("village"), &["V01", "V06 part 2"]));
}

#[test]
fn the_words_on_the_overfull_one() {
    insta::assert_snapshot!(words(demo("overfull"), &["Q06", "Q07", "Q10", "Q03"]));
}

#[test]
fn one_day_is_told_in_a_few_lines() {
    let all = explain::all(demo("village")).unwrap();
    let one = of(&all, "V04");
    let days = one.days.iter().map(|day| day_text(one, day));
    insta::assert_snapshot!(days.collect::<Vec<_>>().join("\n"));
}

/// What follows from a plan by hand that no rule allows is said, and nothing is priced against it.
#[test]
fn decisions_that_are_no_options_are_said() {
    let mut plan = demo("village").clone();
    let last = plan.scenario.horizon.last;
    let moved = plan.deliveries.iter_mut().find(|one| one.field == "V04");
    moved.unwrap().day = last;
    plan.ended_by = EndedBy::ByHand;
    let all = explain::all(&plan).unwrap();
    let one = of(&all, "V04");
    assert!(
        one.remarks[0].starts_with("no way that the rules allow"),
        "{:?}",
        one.remarks
    );
    let planned = one.days.iter().find(|day| day.day == last).unwrap();
    assert_eq!(planned.verdict, Verdict::Chosen);
    assert_eq!(
        planned.why.as_deref(),
        Some("outside the window of the order")
    );
    assert!(one.story.as_ref().unwrap().costs.is_none());
    assert!(one.days.iter().all(|day| day.more.is_none()));
    assert!(one.days.iter().any(|day| day.verdict == Verdict::Fits));
    let other = of(&all, "V01");
    assert!(
        other.remarks[0].starts_with("1 other part is grown in a way"),
        "{:?}",
        other.remarks
    );
    assert!(other.days.iter().any(|day| day.more.is_some()));
    // The days that trays are said to be opened on are the rules' own.
    let mut plan = demo("village").clone();
    let opened = plan
        .deliveries
        .iter_mut()
        .find(|one| one.field == "V04")
        .unwrap();
    opened.open = opened.open.plus(-1);
    let all = explain::all(&plan).unwrap();
    let remarks = &of(&all, "V04").remarks;
    assert!(
        remarks[0].starts_with("the plan has it out of the stack on 2027-"),
        "{remarks:?}"
    );
}

/// From a morning in the season on, with what stands from before it.
#[test]
fn plans_of_the_rest_are_explained_too() {
    let plan = demo("village");
    let morning = plan.runs.iter().map(|run| run.sow).max().unwrap();
    let rest = present(plan, morning).unwrap();
    let budget = usual_budget(12);
    let again = replan(&rest, How::default(), &budget, &mut Unwatched);
    assert!(again.unchanged);
    let all = explain::all(&again.plan).unwrap();
    let mut standing = 0;
    for one in &all {
        assert_eq!(one.remarks, [] as [&str; 0], "{}", one.name);
        let story = one.story.as_ref().unwrap();
        let planned = one.days.iter().find(|day| day.verdict == Verdict::Chosen);
        assert_eq!(planned.unwrap().more.as_ref().unwrap().money.0, 0);
        standing += usize::from(story.sow < morning);
        if story.sow < morning {
            let sown = one.days.iter().flat_map(|day| &day.sow_days);
            assert!(sown.clone().count() > 0 && sown.clone().all(|sow| sow.day == story.sow));
            assert_eq!(story.costs.as_ref().unwrap().set_up.0, 0);
        }
    }
    assert!(standing > 3, "{standing} parts stand");
}

/// Exit code, standard output and standard error.
fn why(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    ran::run(folder, &[&["why"], arguments].concat())
}

#[test]
fn the_command_answers_or_says_what_is_meant() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("plan.json");
    sowrota::plan::file::save(demo("village"), &file).unwrap();
    let all = explain::all(demo("village")).unwrap();
    let ask = |arguments: &[&str]| why(folder.path(), &[&["."], arguments].concat());
    let one = of(&all, "V04");
    assert_eq!(ask(&["V04"]), (0, text(one), String::new()));
    let second = of(&all, "V06 part 2");
    assert_eq!(
        ask(&["V06", "--part", "2"]),
        (0, text(second), String::new())
    );
    let day = &one.days[0];
    let asked = ask(&["V04", "--day", &day.day.to_string()]);
    assert_eq!(asked, (0, day_text(one, day), String::new()));
    // A day outside its window is told too.
    let (code, out, _) = ask(&["V04", "--day", "2027-06-01"]);
    assert_eq!(
        (code, out.as_str()),
        (0, "V04 on Tue 1 Jun: no: outside the window of the order\n")
    );
    let (code, out, _) = ask(&["V04", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((code, &json["field"]), (0, &"V04".into()));
    assert_eq!(json, serde_json::to_value(one).unwrap());
    let wrong = [
        (
            &["V9"][..],
            "error: the plan has no field `V9`\n  help: did you mean `V09`?\n",
        ),
        (
            &["V06"],
            "error: `V06` has the parts 1 and 2\n  help: say which with --part\n",
        ),
        (
            &["V06", "--part", "3"],
            "error: `V06` has no part 3 to be grown\n  help: its parts are 1 and 2\n",
        ),
        (
            &["V04", "--part", "2"],
            "error: `V04` has no part 2 to be grown\n  help: its part is 1\n",
        ),
        (
            &["V04", "--day", "2029-01-01"],
            "error: 2029-01-01 lies outside the days planned, 2027-03-20 to 2027-06-15\n",
        ),
    ];
    for (arguments, told) in wrong {
        assert_eq!(
            ask(arguments),
            (2, String::new(), told.into()),
            "{arguments:?}"
        );
    }
    let (code, _, err) = ask(&["V04", "--day", "19.5.2027"]);
    assert!(code == 2 && err.contains("write 2027-05-19"), "{err}");
}
