//! The list of what to buy: what to order by when, what each store holds and gives, what is kept back and tested.

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, count, number, trays, wrap};
use crate::plan::Plan;
use crate::stores::{Amount, Item, KeptFor, Needs, Order, Unit, What};
use serde::Serialize;

const FORMAT: &str = "sowrota-buy/1";

/// The list for machines, with what each run takes.
///
/// # Errors
/// None that a plan can cause; those of the JSON writer.
pub fn json(plan: &Plan, needs: &Needs) -> Result<String, serde_json::Error> {
    #[derive(Serialize)]
    struct Page<'a> {
        format: &'static str,
        nursery: &'a str,
        revision: u32,
        #[serde(flatten)]
        needs: &'a Needs,
    }
    serde_json::to_string_pretty(&Page {
        format: FORMAT,
        nursery: &plan.scenario.name,
        revision: plan.revision,
        needs,
    })
}

/// The list for people.
pub fn text(plan: &Plan, needs: &Needs) -> String {
    let scenario = &plan.scenario;
    let title = format!(
        "{}: what to buy for plan {}, {} to {}",
        scenario.name, plan.revision, scenario.horizon.first, scenario.horizon.last
    );
    let mut out = wrap("", "  ", &title);
    out.push('\n');
    out.push_str(&orders(needs));
    for (unit, title) in [
        (Unit::Kilograms, "Seed, kg dry"),
        (Unit::Litres, "Soil, L"),
        (Unit::Millilitres, "Agents for treating seed, mL"),
    ] {
        let of_unit = needs.items.iter().filter(|item| item.unit == unit);
        let items: Vec<&Item> = of_unit.collect();
        if !items.is_empty() {
            out.push_str(&format!("\n{title}\n"));
            out.push_str(&stores(&items));
            out.push_str(&remarks(&items));
            if unit == Unit::Millilitres {
                let words = "what may be put on seed, and how much, is the label's word; treated seed is never food or feed";
                out.push_str(&wrap("- ", "  ", words));
            }
        }
    }
    if needs.items.iter().any(|item| !item.uses.is_empty()) {
        out.push('\n');
        let words = "set aside: as stores are counted, in whole bags, with trial trays, what stays in the hopper and trays thrown out at \
             most; used: what the day sheets put on the line";
        out.push_str(&wrap("", "  ", words));
    }
    out.push_str(&tests(needs));
    out
}

/// What to order, the earliest last day on top.
fn orders(needs: &Needs) -> String {
    let all = needs.items.iter();
    let mut orders: Vec<(&Order, &Item)> = all
        .flat_map(|item| item.orders.iter().map(move |order| (order, item)))
        .collect();
    if orders.is_empty() {
        return wrap(
            "",
            "  ",
            "nothing is to be ordered: what is in store and on order is enough",
        );
    }
    orders.sort_by_key(|(order, _)| (order.by, order.needed));
    let mut table = Table::new(vec![
        Column::new("order by", Align::Left, Fit::Keep),
        Column::new("needed on", Align::Left, Fit::Keep),
        Column::new("what", Align::Left, Fit::Fill),
        Column::new("how much", Align::Right, Fit::Keep),
    ]);
    for (order, item) in orders {
        table.row([
            order.by.to_string(),
            order.needed.to_string(),
            format!("{}\n  {}", called(item), lacking(order)),
            bought(order, item),
        ]);
    }
    table.render(WIDTH)
}

/// Seed is told from what else may have the name of a kind.
fn called(item: &Item) -> String {
    match item.what {
        What::Seed { .. } => format!("seed of {}", item.name),
        _ => item.name.clone(),
    }
}

/// `2 × 20 kg`, or `1,250 L` where it is sold in any amount.
fn bought(order: &Order, item: &Item) -> String {
    let unit = item.unit.sign();
    match (order.lots, item.lot) {
        (Some(lots), Some(lot)) => {
            let all = said(order.amount);
            format!("{all} {unit}\n{} × {} {unit}", number(lots), said(lot))
        }
        _ => format!("{} {unit}", said(order.amount.up())),
    }
}

/// What is missing, and for what.
fn lacking(order: &Order) -> String {
    let unit = order.amount.unit.sign();
    let say = |amount: Amount, what: &str| {
        let some = amount.parts > 0;
        some.then(|| format!("{} {unit} {what}", said(amount.up())))
    };
    let parts = [
        say(order.for_plan, "for the plan"),
        say(order.for_besides, "for sample and reserve"),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    format!("lacks {}", parts.join(", "))
}

/// One row for each store.
fn stores(items: &[&Item]) -> String {
    let keeps = items.iter().any(|item| !item.kept.is_empty());
    let titles = [
        "in store",
        "on order",
        "set aside",
        "used",
        "kept",
        "to buy",
        "left",
    ];
    let shown = |title: &&str| keeps || *title != "kept";
    let mut columns = vec![Column::new("", Align::Left, Fit::Fill)];
    let titles = titles.iter().copied().filter(shown);
    columns.extend(titles.map(|title| Column::new(title, Align::Right, Fit::Keep)));
    let mut table = Table::new(columns);
    for item in items {
        let sum = |all: &mut dyn Iterator<Item = Amount>| Amount {
            unit: item.unit,
            parts: all.map(|amount| amount.parts).sum(),
        };
        let kept = sum(&mut item.kept.iter().map(|kept| kept.amount));
        let buy = sum(&mut item.orders.iter().map(|order| order.amount));
        let mut row = vec![item.name.clone()];
        row.extend([item.in_store, item.on_order, item.set_aside, item.used].map(near));
        row.extend(keeps.then(|| near(kept)));
        row.extend([near(buy), near(item.left)]);
        table.row(row);
    }
    table.render(WIDTH)
}

/// What the rows do not say: which store runs dry and when, what is kept, what trays not grown would take.
fn remarks(items: &[&Item]) -> String {
    let mut out = String::new();
    let mut line = |words: String| out.push_str(&wrap("- ", "  ", &words));
    for item in items {
        let (name, unit) = (called(item), item.unit.sign());
        if !item.has_store && item.set_aside.parts > 0 {
            line(format!(
                "{name}: the scenario has no store of it, so all is to be bought"
            ));
        } else if let Some(dry) = &item.runs_dry {
            line(format!(
                "{name} runs dry on {}; up to {} {unit} are missing for the plan",
                dry.from,
                said(dry.missing.up())
            ));
        }
        for kept in &item.kept {
            let season = kept.season.as_ref();
            let season = season.map_or(String::new(), |season| format!(", {season}"));
            let what = match kept.kept_for {
                KeptFor::Sample => "as a sample until harvest",
                KeptFor::Reserve => "to sow again",
            };
            line(format!(
                "{name}{season}: {} {unit} from {} on are kept {what}",
                said(kept.amount.up()),
                kept.day
            ));
        }
        if let Some(short) = &item.not_grown {
            let lacks = match short.missing.parts {
                0 => "as much is left".to_string(),
                _ => format!("{} {unit} beyond what is left", said(short.missing.up())),
            };
            line(format!(
                "{name}: {} that the plan does not grow would take {} {unit} more, {lacks}",
                trays(short.trays),
                said(short.amount.up()),
            ));
        }
    }
    out
}

/// Germination tests, the earliest on top.
fn tests(needs: &Needs) -> String {
    if needs.germination_tests.is_empty() {
        return String::new();
    }
    let mut tests: Vec<_> = needs.germination_tests.iter().collect();
    tests.sort_by_key(|test| test.begin);
    let mut table = Table::new(vec![
        Column::new("begin by", Align::Left, Fit::Keep),
        Column::new("read by", Align::Left, Fit::Keep),
        Column::new("first soak", Align::Left, Fit::Keep),
        Column::new("seed of", Align::Left, Fit::Fill),
    ]);
    for test in tests {
        table.row([
            test.begin.to_string(),
            test.read.to_string(),
            test.first_soaking.to_string(),
            test.name.clone(),
        ]);
    }
    let days = count(crate::stores::TEST_DAYS, "day", "days");
    let title = format!(
        "Germination tests, 4 × 100 seeds of each lot of seed, up to {days}, so that there is time to change seed or rate"
    );
    format!("\n{}{}", wrap("", "  ", &title), table.render(WIDTH))
}

fn near(amount: Amount) -> String {
    said(amount.near())
}

/// With thousands apart.
fn said(amount: Amount) -> String {
    let text = amount.to_string();
    let (whole, decimals) = text.split_once('.').unwrap_or((&text, ""));
    let sign = if whole.starts_with('-') { "-" } else { "" };
    let whole = whole
        .trim_start_matches('-')
        .parse()
        .map_or(whole.to_string(), number);
    match decimals {
        "" => format!("{sign}{whole}"),
        _ => format!("{sign}{whole}.{decimals}"),
    }
}
