//! Cost, term by term.

use super::book::{Book, PartSeen};
use super::daily::PartCost;
use super::hired::{self, Hired};
use super::orders::Short;
use super::warmth::{Warmth, way};
use super::whole::{fit, near};
use super::{Found, Subject, short_price, shortage};
use crate::plan::types::{Bought, BoughtWhat, Cost, Plan};
use crate::scenario::Scenario;
use crate::units::Money;
use std::collections::{BTreeMap, BTreeSet};

/// Cost of age off the target of one delivery, thousandths; 0 when the age is not known, or none is aimed at.
fn age_cost(scenario: &Scenario, warmth: &Warmth, part: &PartSeen) -> i128 {
    // What is handed over sprouted, or as seed, has no age to be at.
    let way = way(scenario, part).filter(|_| part.in_beds());
    let Some(Ok(age)) = way.map(|way| warmth.age(part.kind, &way)) else {
        return 0;
    };
    let off = i128::from(age.0) - i128::from(part.kind.age.target.0);
    let price = if off < 0 {
        part.kind.cost_younger
    } else {
        part.kind.cost_older
    };
    // Hundredths of a unit × price per 100 trays and unit.
    near(i128::from(price.0) * off.abs() * part.trays, 100 * 100)
}

/// Cost of days off the preferred day of one delivery, thousandths.
fn preferred_cost(book: &Book, part: &PartSeen) -> i128 {
    let Some(preferred) = part.field.preferred else {
        return 0;
    };
    let days = i128::from(part.delivery.day.number()) - i128::from(preferred.number());
    near(
        i128::from(book.scenario.prices.off_preferred.0) * days.abs() * part.trays,
        100,
    )
}

/// Cost of waiting at the field's edge of one delivery, thousandths.
fn edge_cost(scenario: &Scenario, part: &PartSeen) -> i128 {
    let days = part.delivery.day.number() - part.leaves.number();
    let days = if part.in_beds() { days.max(0) } else { 0 };
    near(
        i128::from(scenario.prices.edge_wait.0) * i128::from(days) * part.trays,
        100,
    )
}

/// Cost of moving the trays of one delivery from bed to bed, thousandths.
fn move_cost(scenario: &Scenario, part: &PartSeen) -> i128 {
    let moved = part
        .beds
        .is_some_and(|(green, harden)| green.id != harden.id);
    let trays = if moved { part.sown } else { 0 };
    near(i128::from(scenario.prices.bed_move.0) * trays, 100)
}

/// Price of planting one delivery on another day than was told or planned before, thousandths.
fn moved_cost(scenario: &Scenario, part: &PartSeen) -> i128 {
    let one = part.delivery;
    let told = scenario.told.iter();
    let mut told = told.filter(|told| told.field == one.field && told.part == one.part);
    let Some(told) = told.next().filter(|told| told.day != one.day) else {
        return 0;
    };
    let prices = &scenario.prices;
    let price = if told.promised {
        prices.promise_moved
    } else {
        prices.plan_moved
    };
    price.0.into()
}

/// The terms that belong to one delivery, delivery by delivery.
pub(super) fn of_parts(book: &Book) -> Vec<PartCost> {
    let (scenario, warmth) = (book.scenario, Warmth::of(book.scenario));
    let money = |thousandths: i128| Money {
        0: fit(thousandths),
    };
    let of_part = |part: &PartSeen| PartCost {
        run: part.delivery.run.clone(),
        field: part.delivery.field.clone(),
        part: part.delivery.part,
        age: money(age_cost(scenario, &warmth, part)),
        off_preferred: money(preferred_cost(book, part)),
        edge: money(edge_cost(scenario, part)),
        moves: money(move_cost(scenario, part)),
        moved: money(moved_cost(scenario, part)),
    };
    book.parts.iter().map(of_part).collect()
}

/// Runs beyond the first that the parts of each field come from, all fields together; what stood already counts for nothing.
fn splits(book: &Book) -> i128 {
    let mut runs: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
    for part in book.parts.iter().filter(|part| !part.opening) {
        runs.entry(&part.field.id).or_default().insert(part.run);
    }
    runs.values().map(|runs| runs.len() as i128 - 1).sum()
}

/// The cost of the plan as counted here; `short` is not delivered.
pub(super) fn count(book: &Book, bought: &[Bought], hired: &Hired, short: &[Short]) -> Cost {
    let (scenario, warmth) = (book.scenario, Warmth::of(book.scenario));
    let each = |cost: &dyn Fn(&PartSeen) -> i128| book.parts.iter().map(cost).sum::<i128>();
    let age = each(&|part| age_cost(scenario, &warmth, part));
    let preferred = each(&|part| preferred_cost(book, part));
    let edge = each(&|part| edge_cost(scenario, part));
    let moves = each(&|part| move_cost(scenario, part));
    let splits = splits(book) * i128::from(scenario.prices.split_run.0);
    let set_ups = book.runs.iter().filter(|run| run.line.is_some()).count() as i128;
    let set_ups = set_ups * i128::from(book.scenario.prices.set_up.0);
    let paid = |what: BoughtWhat| -> i128 {
        let entries = bought.iter().filter(|entry| entry.what == what);
        entries.map(|entry| i128::from(entry.cost.0)).sum()
    };
    let (overtime, rest_days) = (paid(BoughtWhat::Overtime), paid(BoughtWhat::RestDay));
    let (casuals, changes) = hired::prices(scenario, hired);
    let moved = each(&|part| moved_cost(scenario, part));
    let whole = [
        age, preferred, edge, moves, splits, set_ups, overtime, rest_days, casuals, changes, moved,
    ];
    let money = |thousandths: i128| Money {
        0: fit(thousandths),
    };
    let per_tray = short_price::per_tray(scenario, &warmth);
    Cost {
        age: money(age),
        off_preferred: money(preferred),
        edge: money(edge),
        moves: money(moves),
        splits: money(splits),
        set_ups: money(set_ups),
        overtime: money(overtime),
        rest_days: money(rest_days),
        casuals: money(casuals),
        changes: money(changes),
        moved: money(moved),
        total: money(whole.into_iter().sum()),
        trays_short: fit(short.iter().map(|short| short.trays).sum()),
        short_per_tray: money(per_tray),
        shortage: Some(money(shortage::price(scenario, short, per_tray))),
    }
}

/// Compares the cost that the plan states with the one counted; gives the latter. Where the plan states no shortage of its own, and
/// trays short × their price is right, none is counted either.
pub(super) fn check(plan: &Plan, mut counted: Cost, found: &mut Found) -> Cost {
    let stated = &plan.cost;
    let shortage = |cost: &Cost| {
        let plain = i128::from(cost.trays_short) * i128::from(cost.short_per_tray.0);
        cost.shortage.unwrap_or(Money { 0: fit(plain) })
    };
    let mut differ = |code, name: &str, stated: i64, counted: i64, said: [String; 2]| {
        if stated != counted {
            let what = format!("cost: {name} is stated as {}, counted {}", said[0], said[1]);
            let off = i128::from(stated) - i128::from(counted);
            found.add(code, Subject::Plan, None, off, what);
        }
    };
    for (code, name, stated, counted) in [
        ("A080", "age off the target", stated.age, counted.age),
        (
            "A081",
            "days off the preferred day",
            stated.off_preferred,
            counted.off_preferred,
        ),
        (
            "A108",
            "waiting at the edges of fields",
            stated.edge,
            counted.edge,
        ),
        ("A109", "moves between beds", stated.moves, counted.moves),
        (
            "A110",
            "further runs of one field",
            stated.splits,
            counted.splits,
        ),
        ("A082", "set-ups", stated.set_ups, counted.set_ups),
        ("A083", "overtime", stated.overtime, counted.overtime),
        (
            "A084",
            "days off worked",
            stated.rest_days,
            counted.rest_days,
        ),
        ("A117", "people hired", stated.casuals, counted.casuals),
        (
            "A118",
            "changes of the number hired",
            stated.changes,
            counted.changes,
        ),
        ("A140", "planting days moved", stated.moved, counted.moved),
        ("A085", "the total", stated.total, counted.total),
        (
            "A087",
            "the price of a tray short",
            stated.short_per_tray,
            counted.short_per_tray,
        ),
    ] {
        differ(
            code,
            name,
            stated.0,
            counted.0,
            [stated.to_string(), counted.to_string()],
        );
    }
    let said = [
        stated.trays_short.to_string(),
        counted.trays_short.to_string(),
    ];
    differ(
        "A086",
        "trays short",
        stated.trays_short,
        counted.trays_short,
        said,
    );
    // A price or a number that is named above already is not named twice.
    let same = (stated.trays_short, stated.short_per_tray)
        == (counted.trays_short, counted.short_per_tray);
    let (says, is) = (shortage(stated), shortage(&counted));
    if stated.shortage.is_some() || same {
        let said = [says.to_string(), is.to_string()];
        differ("A111", "the price of all trays short", says.0, is.0, said);
    }
    let plain = Cost {
        shortage: None,
        ..counted.clone()
    };
    if stated.shortage.is_none() && shortage(&plain) == is {
        counted.shortage = None;
    }
    let whole = i128::from(counted.total.0) + i128::from(is.0);
    if let Some(bound) = plan.bound.filter(|bound| i128::from(bound.0) > whole) {
        let whole = Money { 0: fit(whole) };
        let what =
            format!("cost: no plan is said to cost less than {bound}, this one costs {whole}");
        found.add(
            "A088",
            Subject::Plan,
            None,
            i128::from(bound.0) - i128::from(whole.0),
            what,
        );
    }
    counted
}
