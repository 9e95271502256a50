//! What is not grown: why, what would help, until when it can be decided, and on whom it falls.

use crate::calendar::Day;
use crate::plan::{Plan, Shortfall};
use crate::report::table::{Align, Column, Fit, Table};
use crate::report::text::{WIDTH, count, number, trays, wrap};
use crate::scenario::Sharing;
use crate::units::div_near;
use std::collections::{BTreeMap, BTreeSet};

/// Shortfalls printed one by one, and growers.
const MOST: usize = 12;

/// Every shortfall with its reason, the rule by which a shortage is shared, and the growers it falls on.
pub(super) fn text(plan: &Plan) -> String {
    let mut out = String::from("Not grown\n");
    for shortfall in plan.shortfalls.iter().take(MOST) {
        out.push_str(&one(plan, shortfall));
    }
    let left = plan.shortfalls.len().saturating_sub(MOST);
    if left > 0 {
        out.push_str(&format!("  and {left} more, all in plan.json\n"));
    }
    out.push('\n');
    out.push_str(&wrap("", "  ", rule(plan.scenario.sharing)));
    out.push_str(&by_grower(plan));
    out
}

fn one(plan: &Plan, shortfall: &Shortfall) -> String {
    let mut fields = plan.scenario.fields.iter();
    let field = fields.find(|field| field.id == shortfall.field);
    let part = if field.is_some_and(|field| field.parts > 1) || shortfall.part > 1 {
        format!(" part {}", shortfall.part)
    } else {
        String::new()
    };
    let count = count(number(shortfall.trays), "tray", "trays");
    let first = format!("{}{part}, {count}: {}", shortfall.field, shortfall.reason);
    let mut out = wrap("  ", "    ", &first);
    if let Some(help) = &shortfall.help {
        out.push_str(&wrap("    nearest: ", "      ", help));
    }
    let decide = match shortfall.decide_by {
        Some(day) => format!("decide by {}: {}", said(day), must(plan, shortfall)),
        None => "no day is left on which it could still be decided".into(),
    };
    out.push_str(&wrap("    ", "      ", &decide));
    out
}

fn said(day: Day) -> String {
    format!("{} {}", day.weekday(), day.spoken())
}

/// What must happen on the last day on which it can be decided.
fn must(plan: &Plan, shortfall: &Shortfall) -> &'static str {
    let opening = &plan.scenario.opening;
    let mut fields = plan.scenario.fields.iter();
    let field = fields.find(|field| field.id == shortfall.field);
    let kind = field.map(|field| &field.kind);
    let grows = opening
        .sown
        .iter()
        .any(|sown| sown.field == shortfall.field && sown.part == shortfall.part);
    let soaks = opening
        .soaked
        .iter()
        .any(|soaked| Some(&soaked.kind) == kind);
    if grows {
        "its trays grow already and must be planted then"
    } else if soaks {
        "then its seed must go to soak, or onto the line if it soaks already"
    } else {
        "then its seed must go to soak"
    }
}

/// The rule that the scenario gives, in words.
fn rule(sharing: Sharing) -> &'static str {
    match sharing {
        Sharing::FewestTrays => "Shared so that the fewest trays are short, whosever they are:",
        Sharing::OrderDate => "Shared by the day of the order, who ordered first is served first:",
        Sharing::MembersFirst => "Shared so that members are served before others:",
        Sharing::InProportion => "Shared in proportion, everybody gives up about the same share:",
    }
}

/// Growers with trays short, the largest share first, and how many get all.
fn by_grower(plan: &Plan) -> String {
    let grower: BTreeMap<&str, &str> = plan
        .scenario
        .fields
        .iter()
        .map(|field| (field.id.as_str(), field.grower.as_str()))
        .collect();
    let mut all: BTreeMap<&str, (i64, i64)> = BTreeMap::new();
    for delivery in &plan.deliveries {
        let name = grower.get(delivery.field.as_str()).copied().unwrap_or("");
        all.entry(name).or_default().0 += delivery.trays;
    }
    for shortfall in &plan.shortfalls {
        let name = grower.get(shortfall.field.as_str()).copied().unwrap_or("");
        let sums = all.entry(name).or_default();
        sums.0 += shortfall.trays;
        sums.1 += shortfall.trays;
    }
    let mut short: Vec<_> = all.iter().filter(|(_, sums)| sums.1 > 0).collect();
    let share = |(ordered, short): (i64, i64)| div_near(short * 100, ordered.max(1));
    short.sort_by_key(|(name, sums)| (std::cmp::Reverse((share(**sums), sums.1)), **name));
    let mut table = Table::new(vec![
        Column::new("grower", Align::Left, Fit::Cut),
        Column::new("ordered", Align::Right, Fit::Keep),
        Column::new("short", Align::Right, Fit::Keep),
        Column::new("share", Align::Right, Fit::Keep),
    ]);
    for (name, sums) in short.iter().take(MOST) {
        table.row([
            name.to_string(),
            number(sums.0),
            number(sums.1),
            format!("{} %", share(**sums)),
        ]);
    }
    let mut out = table.render(WIDTH);
    let more = short.len().saturating_sub(MOST);
    // The spare is nobody's order.
    let spare: BTreeSet<&str> = plan
        .scenario
        .fields
        .iter()
        .filter(|field| field.spare)
        .map(|field| field.grower.as_str())
        .collect();
    let full = all
        .iter()
        .filter(|(name, sums)| sums.1 == 0 && !spare.contains(*name));
    let full = full.count();
    if more > 0 {
        let left: i64 = short.iter().skip(MOST).map(|(_, sums)| sums.1).sum();
        let more = count(more, "more grower", "more growers");
        out.push_str(&format!("and {more} with {} short\n", trays(left)));
    }
    if full > 0 {
        let names = count(full, "other grower gets", "other growers get");
        out.push_str(&format!("{names} all\n"));
    }
    out
}
