//! Promise: the rest of a plan from any morning on is the plan itself. What stands, soaks, is away or in store on that morning is carried
//! over so that every decision of what is still to leave can be kept, nothing is overfull, and planning again changes nothing.
//!
//! Where a crew's hours of the week are limited this holds from Mondays on: what was worked in a week before its morning is not carried over.

mod common;

use common::{demos, generate, whole};
use sowrota::audit::audit;
use sowrota::calendar::Day;
use sowrota::disrupt::present;
use sowrota::disrupt::replan::{How, decisions, replan, usual_budget};
use sowrota::nursery::Nursery;
use sowrota::plan::{Delivery, Plan, Run};
use sowrota::scenario::Scenario;
use sowrota::solve::state::{Ground, State};
use sowrota::solve::{self, Budget, Start, Unwatched};

/// What is asked of the rest of a delivery: whose, when, where. Its run goes by its days and kind.
fn as_asked(one: &Delivery, plan: &Plan) -> String {
    let run = plan.runs.iter().find(|run| run.id == one.run).unwrap();
    format!(
        "{} {}: {} of {} trays, sown {} as {}, {:?} {:?} {:?}, open {} harden {} leaves {} planted {} at {:?}",
        one.field,
        one.part,
        one.trays,
        one.sown(),
        run.sow,
        run.kind,
        one.germination,
        one.green_bed,
        one.harden_bed,
        one.open,
        one.harden,
        one.leaves(),
        one.day,
        one.age
    )
}

/// Deliveries that are still to leave, and runs that are still to be sown, in words that can be compared.
fn rest(plan: &Plan, from: Day) -> (Vec<String>, Vec<String>) {
    let coming = plan.deliveries.iter().filter(|one| one.leaves() >= from);
    let mut deliveries: Vec<String> = coming.map(|one| as_asked(one, plan)).collect();
    deliveries.sort();
    let fresh = plan.runs.iter().filter(|run| run.sow >= from);
    let runs = fresh.map(|run| {
        let run = Run {
            id: String::new(),
            ..run.clone()
        };
        format!("{run:?}")
    });
    (deliveries, runs.collect())
}

/// What is not as it was in the rest of `plan` from `day` on, planned again with nothing changed; and that plan.
fn planned_again(plan: &Plan, day: Day) -> (Plan, Vec<String>) {
    let mut faults = Vec::new();
    let now = present(plan, day).unwrap();
    let nursery = Nursery::new(&now.scenario);
    let decided = decisions(&nursery, &now);
    for (lot, option) in nursery.lots.iter().zip(&decided) {
        let field = &nursery.scenario.fields[lot.field].id;
        let short = now.left_short.contains(&(field.clone(), lot.part));
        if option.is_none() && !short {
            faults.push(format!("{field} {} cannot be kept", lot.part));
        }
    }
    let ground = Ground::new(&nursery);
    for (resource, day, by) in State::of(&ground, &decided).overfull() {
        let label = &ground.books.resources[resource].label;
        faults.push(format!("{label} on {}: {by} too much", nursery.day(day)));
    }
    let again = replan(&now, How::default(), &usual_budget(1), &mut Unwatched);
    if !again.unchanged {
        faults.push("it is planned anew".into());
    }
    let found = audit(&again.plan, &now.scenario);
    for breach in &found.breaches {
        faults.push(format!("{} {}", breach.code, breach.what));
    }
    if found.cost != again.plan.cost {
        faults.push("the count comes to another cost".into());
    }
    let ((left, runs), (now_left, now_runs)) = (rest(plan, day), rest(&again.plan, day));
    for (was, is) in [(&left, &now_left), (&runs, &now_runs)] {
        let gone = was.iter().filter(|one| !is.contains(one));
        faults.extend(gone.map(|one| format!("was: {one}")));
        let new = is.iter().filter(|one| !was.contains(one));
        faults.extend(new.map(|one| format!("now: {one}")));
    }
    let short = |plan: &Plan| -> Vec<(String, u32, i64)> {
        let all = plan.shortfalls.iter();
        all.map(|one| (one.field.clone(), one.part, one.trays))
            .collect()
    };
    if short(plan) != short(&again.plan) {
        faults.push(format!(
            "short {:?}, were {:?}",
            short(&again.plan),
            short(plan)
        ));
    }
    if faults.len() > 6 {
        let more = faults.len() - 6;
        faults.truncate(6);
        faults.push(format!("and {more} more"));
    }
    (again.plan, faults)
}

fn plan(scenario: &Scenario, moves: u64) -> Plan {
    let nursery = Nursery::new(scenario);
    let budget = Budget {
        moves,
        relaxations: 0,
        seed: 1,
    };
    solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan
}

/// Every third morning of a demo nursery, from the plan and from the plan of the morning before.
fn demo(name: &str, moves: u64) {
    let scenario = demos::scenario(name);
    let whole = plan(&scenario, moves);
    assert!(whole.deliveries.len() > 3, "{name}");
    let mut faults = Vec::new();
    let mut chained = whole.clone();
    for ahead in (0..scenario.horizon.days() as i32).step_by(3) {
        let day = scenario.horizon.first.plus(ahead);
        let (_, found) = planned_again(&whole, day);
        faults.extend(found.into_iter().map(|fault| format!("{day}: {fault}")));
        let (next, found) = planned_again(&chained, day);
        let found = found.into_iter();
        faults.extend(found.map(|fault| format!("{day}, day after day: {fault}")));
        if rest(&whole, day) != rest(&next, day) {
            faults.push(format!("{day}, day after day: another plan than the first"));
        }
        chained = next;
    }
    assert!(faults.is_empty(), "{name}: {faults:#?}");
}

#[test]
fn the_village() {
    demo("village", 20_000);
}

#[test]
fn the_two_seasons() {
    demo("two-season", 20_000);
}

#[test]
fn the_cooperative() {
    demo("cooperative", 20_000);
}

#[test]
fn the_overfull_nursery() {
    demo("overfull", 20_000);
}

/// Up to three mornings on which something is still to leave: early, in the middle and late in what the plan does.
fn mornings(plan: &Plan) -> Vec<Day> {
    let first = plan.scenario.horizon.first;
    let Some(last) = plan.deliveries.iter().map(Delivery::leaves).max() else {
        return Vec::new();
    };
    let days = last.since(first);
    let mut all = vec![days / 4 + 1, days * 3 / 5, days - 1];
    all.retain(|ahead| (1..=days).contains(ahead));
    all.dedup();
    // Hours of a person's week are known for whole weeks only.
    let whole_weeks = plan
        .scenario
        .crews
        .iter()
        .any(|crew| crew.week_hours_most.is_some());
    let begins = |mut day: Day| {
        while whole_weeks && day.plus(-1).iso_week() == day.iso_week() {
            day = day.plus(-1);
        }
        day
    };
    let days = all.into_iter().map(|ahead| begins(first.plus(ahead)));
    let mut days: Vec<Day> = days.filter(|day| *day > first).collect();
    days.dedup();
    days
}

/// Nurseries that are made up, each on its mornings, from the plan and from the plan of the morning before; how many trays were left to leave.
fn made_up(nurseries: impl Iterator<Item = (u64, Scenario)>) -> usize {
    let (mut left, mut faults) = (0, Vec::new());
    for (seed, scenario) in nurseries {
        let whole = plan(&scenario, 3_000);
        let mut chained = whole.clone();
        for day in mornings(&whole) {
            let (next, mut found) = planned_again(&chained, day);
            if found.is_empty() {
                found = planned_again(&whole, day).1;
            }
            left += next.deliveries.len();
            chained = next;
            faults.extend(
                found
                    .into_iter()
                    .map(|fault| format!("seed {seed}, {day}: {fault}")),
            );
        }
    }
    let count = faults.len();
    assert!(
        faults.is_empty(),
        "{count}: {:#?}",
        &faults[..count.min(60)]
    );
    left
}

#[test]
fn tiny_made_up_nurseries() {
    let left = made_up((0..40).map(|seed| (seed, generate::tiny(seed))));
    assert!(left > 40, "{left} deliveries left");
}

#[test]
fn tiny_made_up_nurseries_with_the_whole_schema() {
    let left = made_up((2_000..2_040).map(|seed| (seed, whole::tiny(seed))));
    assert!(left > 40, "{left} deliveries left");
}

#[test]
fn made_up_nurseries() {
    let left = made_up((300..330).map(|seed| (seed, generate::medium(seed))));
    assert!(left > 300, "{left} deliveries left");
}

#[test]
fn made_up_nurseries_with_the_whole_schema() {
    let left = made_up((6_000..6_050).map(|seed| (seed, whole::medium(seed))));
    assert!(left > 300, "{left} deliveries left");
}
