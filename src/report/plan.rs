//! The summary of a plan on the terminal.

mod beside;
mod short;

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, count, duration, money, number, wrap};
use super::weeks::Which;
use crate::audit::Audit;
use crate::calendar::{Day, IsoWeek};
use crate::plan::{BoughtWhat, Cost, Delivery, EndedBy, Plan, Run};
use crate::units::Money;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The summary: what is short, the weeks, the money, what is proved, and where to go on.
pub fn text(plan: &Plan, audit: &Audit, list_cost: Money, folder: &Path) -> String {
    let mut out = head(plan);
    if !audit.breaches.is_empty() {
        out.push_str(&super::audit::breaches_text(audit));
    }
    if !plan.shortfalls.is_empty() {
        out.push('\n');
        out.push_str(&short::text(plan));
    }
    out.push('\n');
    out.push_str(&weeks(plan));
    let people = super::weeks::text(plan, Which::CanHire);
    if !people.is_empty() {
        out.push('\n');
        out.push_str(&people);
    }
    out.push_str(&super::audit::fullest_text(audit));
    out.push('\n');
    out.push_str(&cost(&plan.cost, &plan.scenario.currency));
    out.push('\n');
    out.push_str(&proof(plan, list_cost));
    out.push('\n');
    out.push_str(&next(plan, folder));
    out
}

fn head(plan: &Plan) -> String {
    let scenario = &plan.scenario;
    let spare = spare_fields(plan);
    let grown: i64 = ordered(plan, &spare).map(|delivery| delivery.trays).sum();
    let short = plan.shortfalls.iter();
    let short = short.filter(|shortfall| !spare.contains_key(shortfall.field.as_str()));
    let short: i64 = short.map(|shortfall| shortfall.trays).sum();
    let title = format!(
        "{}: plan {} for {} to {}",
        scenario.name, plan.revision, scenario.horizon.first, scenario.horizon.last
    );
    let fate = if short == 0 {
        format!(
            "all {} trays for {} can be grown",
            number(grown),
            fields(plan, &spare)
        )
    } else {
        format!(
            "{} of {} trays are short",
            number(short),
            number(grown + short)
        )
    };
    let sown = plan.runs.iter().filter(|run| run.line.is_some());
    let runs = sown.clone().count();
    let counts = format!(
        "{} on {}, {}",
        count(runs, "run", "runs"),
        count(
            distinct(sown.map(|run| run.sow)),
            "sowing day",
            "sowing days"
        ),
        count(ordered(plan, &spare).count(), "delivery", "deliveries"),
    );
    let mut out = wrap("", "  ", &title) + &wrap("", "  ", &fate) + &wrap("", "  ", &counts);
    for line in beside::lines(plan, &spare) {
        out.push_str(&wrap("", "  ", &line));
    }
    out
}

/// Fields that stand for the pooled spare of a kind, with its name.
fn spare_fields(plan: &Plan) -> BTreeMap<&str, &str> {
    let scenario = &plan.scenario;
    let name = |id: &str| {
        let mut kinds = scenario.kinds.iter();
        kinds
            .find(|kind| kind.id == id)
            .map(|kind| kind.name.as_str())
    };
    let spare = scenario.fields.iter().filter(|field| field.spare);
    spare
        .map(|field| (field.id.as_str(), name(&field.kind).unwrap_or(&field.kind)))
        .collect()
}

/// Deliveries that somebody ordered.
fn ordered<'a>(plan: &'a Plan, spare: &BTreeMap<&str, &str>) -> impl Iterator<Item = &'a Delivery> {
    let deliveries = plan.deliveries.iter();
    deliveries.filter(|delivery| !spare.contains_key(delivery.field.as_str()))
}

/// Every delivery as a row of the table that `audit` reads: field, part, days, trays, places; then the day on which it
/// leaves when that is before its planting, and its rows where beds have rows.
pub fn csv(plan: &Plan) -> String {
    let runs: BTreeMap<&str, &Run> = plan.runs.iter().map(|run| (run.id.as_str(), run)).collect();
    let rows = |rows: &[u32]| -> String {
        let rows: Vec<String> = rows.iter().map(u32::to_string).collect();
        rows.join(" ")
    };
    let mut out = String::from(
        "field,part,sow,plant,trays,line,germination,green_bed,harden_bed,leaves,green_rows,harden_rows\n",
    );
    for delivery in &plan.deliveries {
        let run = runs.get(delivery.run.as_str());
        // Ids are letters, digits, `-`, `_` and `.`: nothing to quote.
        let cells = [
            delivery.field.clone(),
            delivery.part.to_string(),
            run.map_or_else(String::new, |run| run.sow.to_string()),
            delivery.day.to_string(),
            delivery.trays.to_string(),
            run.and_then(|run| run.line.clone()).unwrap_or_default(),
            delivery.germination.clone().unwrap_or_default(),
            delivery.green_bed.clone().unwrap_or_default(),
            delivery.harden_bed.clone().unwrap_or_default(),
            delivery
                .leaves
                .map_or_else(String::new, |day| day.to_string()),
            rows(&delivery.green_rows),
            rows(&delivery.harden_rows),
        ];
        out.push_str(&cells.join(","));
        out.push('\n');
    }
    out
}

fn fields(plan: &Plan, spare: &BTreeMap<&str, &str>) -> String {
    let fields = distinct(ordered(plan, spare).map(|delivery| &delivery.field));
    let parts = ordered(plan, spare).count();
    if fields == parts {
        return count(fields, "field", "fields");
    }
    format!("{} in {parts} parts", count(fields, "field", "fields"))
}

fn distinct<T: Ord>(items: impl Iterator<Item = T>) -> usize {
    items.collect::<std::collections::BTreeSet<T>>().len()
}

#[derive(Default)]
struct Week {
    runs: usize,
    sown: i64,
    out: i64,
    washed: i64,
    needed: i64,
    shift: i64,
    bought: i64,
}

fn weeks(plan: &Plan) -> String {
    let mut weeks: BTreeMap<IsoWeek, Week> = BTreeMap::new();
    let first = plan.scenario.horizon.first;
    let of = |day: Day| day.max(first).iso_week();
    for run in plan.runs.iter().filter(|run| run.line.is_some()) {
        let week = weeks.entry(of(run.sow)).or_default();
        week.runs += 1;
        week.sown += run.trays + run.trial_trays;
    }
    for delivery in ordered(plan, &spare_fields(plan)) {
        weeks.entry(of(delivery.leaves())).or_default().out += delivery.trays;
    }
    for washing in &plan.washing {
        weeks.entry(of(washing.day)).or_default().washed += washing.trays;
    }
    for people in plan
        .people
        .iter()
        .filter(|people| people.needed_minutes > 0)
    {
        let week = weeks.entry(people.week).or_default();
        week.needed += people.needed_minutes;
        week.shift += people.shift_minutes;
        week.bought += people.bought_minutes;
    }
    let right = |title| Column::new(title, Align::Right, Fit::Keep);
    let mut table = Table::new(vec![
        Column::new("week", Align::Left, Fit::Keep),
        Column::new("from", Align::Right, Fit::Keep),
        right("runs"),
        right("sown"),
        right("delivered"),
        right("washed"),
        right("work h"),
        right("shifts h"),
        right("bought h"),
    ]);
    for (week, sums) in &weeks {
        let blank = |amount: i64| {
            if amount == 0 {
                String::new()
            } else {
                number(amount)
            }
        };
        table.row([
            week.to_string(),
            week.monday()
                .map_or_else(String::new, |monday| monday.max(first).spoken()),
            blank(sums.runs as i64),
            blank(sums.sown),
            blank(sums.out),
            blank(sums.washed),
            blank((sums.needed + 59) / 60),
            blank(sums.shift / 60),
            blank((sums.bought + 59) / 60),
        ]);
    }
    format!(
        "Weeks (trays; hours of all crews with work in the week)\n{}",
        table.render(WIDTH)
    )
}

fn cost(cost: &Cost, currency: &str) -> String {
    let mut table = Table::new(vec![
        Column::new("", Align::Left, Fit::Keep),
        Column::new(currency, Align::Right, Fit::Keep),
    ]);
    let mut row = |name: &str, amount: Money| table.row([name.to_string(), money(amount)]);
    row("age off the target", cost.age);
    row("days off the preferred day", cost.off_preferred);
    for (name, amount) in [
        ("waiting at the edges of fields", cost.edge),
        ("moves from bed to bed", cost.moves),
        ("fields from more than one run", cost.splits),
    ] {
        if amount.0 != 0 {
            row(name, amount);
        }
    }
    row("set-ups of the line", cost.set_ups);
    row("overtime", cost.overtime);
    row("days off worked", cost.rest_days);
    for (name, amount) in [
        ("people hired by the week", cost.casuals),
        ("hiring and releasing them", cost.changes),
        ("planting days moved", cost.moved),
    ] {
        if amount.0 != 0 {
            row(name, amount);
        }
    }
    row("in all", cost.total);
    let mut out = format!("Cost\n{}", table.render(WIDTH));
    if cost.trays_short > 0 {
        let (each, all) = (money(cost.short_per_tray), money(cost.with_shortage()));
        let plain = Cost {
            shortage: None,
            ..cost.clone()
        };
        let weighed = match cost.shortage {
            Some(shortage) if plain.with_shortage() != cost.with_shortage() => format!(
                "{} in all ({each} each, weighed by whose they are)",
                money(shortage)
            ),
            _ => format!("{each} each"),
        };
        let short = number(cost.trays_short);
        let words = format!("{short} trays are not grown, counted with {weighed}: {all} with them");
        out.push_str(&wrap("", "  ", &words));
    }
    out
}

/// What is proved about the plan, and how it stands against doing one order after the other.
fn proof(plan: &Plan, list_cost: Money) -> String {
    let mine = plan.cost.with_shortage();
    let short = if plan.cost.trays_short > 0 {
        " with its trays short"
    } else {
        ""
    };
    let none = "with these fields, places, people and prices no plan can cost less";
    let mut words = match plan.bound {
        None => "how much cheaper a plan could be was not reckoned".to_string(),
        Some(bound) if bound >= mine => none.to_string(),
        Some(bound) => format!(
            "{none} than {}; this one costs {}{short}: at most {} could be saved, perhaps nothing",
            money(bound),
            money(mine),
            money(Money {
                0: mine.0 - bound.0
            }),
        ),
    };
    words.push_str(match plan.ended_by {
        EndedBy::Moves => "; to search longer: --effort thorough or more --moves",
        EndedBy::Stopped => "; the search was stopped early, a longer one may find a cheaper plan",
        EndedBy::NothingToDecide => "; there was nothing to decide",
        EndedBy::Kept => "; what was decided before holds",
        EndedBy::Given => "; its decisions were given",
        EndedBy::Bound | EndedBy::ByHand => "",
    });
    let mut out = wrap("", "  ", &words);
    if list_cost > mine {
        out.push_str(&wrap(
            "",
            "  ",
            &format!(
                "one order after the other, as by hand, would cost {}, trays short counted in",
                money(list_cost)
            ),
        ));
    }
    out
}

/// What an earlier plan in the same folder has that this one has not: promises, or a lower cost of the same nursery. Nothing when there is nothing of
/// both. `kept` is the earlier plan's file.
pub fn against_earlier(plan: &Plan, earlier: &Plan, kept: &Path) -> String {
    let number = earlier.revision;
    let promised = |plan: &Plan| -> BTreeSet<String> {
        let told = plan.scenario.told.iter().filter(|told| told.promised);
        told.map(|told| told.field.clone()).collect()
    };
    let lost: Vec<String> = (&promised(earlier) - &promised(plan)).into_iter().collect();
    let mut out = String::new();
    if !lost.is_empty() {
        let words = format!(
            "plan {number} had told days that this plan knows nothing of: {}; `replan` keeps them, and plan {number} is in {}",
            lost.join(", "),
            kept.display()
        );
        out.push_str(&wrap("", "  ", &words));
    }
    let (mine, before) = (plan.cost.with_shortage(), earlier.cost.with_shortage());
    if plan.scenario == earlier.scenario && before < mine {
        let words = format!(
            "plan {number} of the same nursery was cheaper, {} against {}: it is in {}",
            money(before),
            money(mine),
            kept.display()
        );
        out.push_str(&wrap("", "  ", &words));
    }
    out
}

fn next(plan: &Plan, folder: &Path) -> String {
    let mut by_day: BTreeMap<Day, i64> = BTreeMap::new();
    for run in plan.runs.iter().filter(|run| run.line.is_some()) {
        *by_day.entry(run.sow).or_default() += run.trays;
    }
    for delivery in &plan.deliveries {
        *by_day.entry(delivery.leaves()).or_default() += delivery.trays;
    }
    let busiest = by_day
        .iter()
        .max_by_key(|(day, trays)| (**trays, std::cmp::Reverse(**day)));
    let mut out = format!("plan: {}\n", folder.join("plan.json").display());
    let table = folder.join("plan.csv");
    out.push_str(&format!(
        "each field's days, for a spreadsheet: {}\n",
        table.display()
    ));
    if let Some((day, _)) = busiest {
        out.push_str(&format!(
            "sheet of the busiest day: sowrota day {} {day}\n",
            folder.display()
        ));
    }
    let overtime = plan
        .bought
        .iter()
        .filter(|item| item.what == BoughtWhat::Overtime);
    let dearest = overtime.max_by_key(|item| (item.minutes, std::cmp::Reverse(item.day)));
    if let Some(item) = dearest {
        out.push_str(&format!(
            "longest day: {} on {}, {} of overtime\n",
            item.crew,
            item.day,
            duration(item.minutes)
        ));
    }
    out
}
