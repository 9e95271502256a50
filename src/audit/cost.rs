//! Cost, term by term.

use super::book::{Book, PartSeen};
use super::short_price;
use super::warmth::{Warmth, way};
use super::whole::{fit, near};
use super::{Found, Subject};
use crate::plan::types::{Bought, BoughtWhat, Cost, Plan};
use crate::units::Money;

/// Cost of age off the target of one delivery, thousandths; 0 when the age is not known.
fn age_cost(warmth: &Warmth, part: &PartSeen) -> i128 {
    let Ok(age) = warmth.age(part.kind, &way(part)) else {
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

/// The cost of the plan as counted here; `short` trays are not delivered.
pub(super) fn count(book: &Book, bought: &[Bought], short: i128) -> Cost {
    let warmth = Warmth::of(book.scenario);
    let age: i128 = book.parts.iter().map(|part| age_cost(&warmth, part)).sum();
    let preferred: i128 = book
        .parts
        .iter()
        .map(|part| preferred_cost(book, part))
        .sum();
    let set_ups = book.runs.iter().filter(|run| run.line.is_some()).count() as i128;
    let set_ups = set_ups * i128::from(book.scenario.prices.set_up.0);
    let paid = |what: BoughtWhat| -> i128 {
        let entries = bought.iter().filter(|entry| entry.what == what);
        entries.map(|entry| i128::from(entry.cost.0)).sum()
    };
    let (overtime, rest_days) = (paid(BoughtWhat::Overtime), paid(BoughtWhat::RestDay));
    let money = |thousandths: i128| Money {
        0: fit(thousandths),
    };
    Cost {
        age: money(age),
        off_preferred: money(preferred),
        edge: money(0),
        moves: money(0),
        splits: money(0),
        set_ups: money(set_ups),
        overtime: money(overtime),
        rest_days: money(rest_days),
        casuals: money(0),
        changes: money(0),
        total: money(age + preferred + set_ups + overtime + rest_days),
        trays_short: fit(short),
        short_per_tray: money(short_price::per_tray(book.scenario, &warmth)),
        shortage: None,
    }
}

/// Compares the cost that the plan states with the one counted.
pub(super) fn check(plan: &Plan, counted: &Cost, found: &mut Found) {
    let stated = &plan.cost;
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
        ("A082", "set-ups", stated.set_ups, counted.set_ups),
        ("A083", "overtime", stated.overtime, counted.overtime),
        (
            "A084",
            "days off worked",
            stated.rest_days,
            counted.rest_days,
        ),
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
    let whole = i128::from(counted.total.0)
        + i128::from(counted.trays_short) * i128::from(counted.short_per_tray.0);
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
}
