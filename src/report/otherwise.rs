//! When it goes otherwise, in words: what breaks, whom to call in which order, what changes in the nursery, and what it costs.

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, count, money, number, short_day, trays, wrap};
use crate::calendar::Day;
use crate::disrupt::answers::Answers;
use crate::disrupt::difference::{Change, Changed, DayChange, Difference};
use crate::disrupt::replan::Replanned;
use crate::disrupt::spare::Spare;
use crate::disrupt::sweep::{Cell, hurts_from};
use crate::disrupt::what_if::{BrokenPart, Unchanged, WhatIf, Wrong};
use crate::plan::{Plan, Shortfall};
use crate::scenario::Scenario;
use crate::units::Money;

/// Most parts, limits or days listed before the rest is counted.
const MOST_LISTED: usize = 12;

/// True of the pooled spare, which is nobody's field.
fn is_spare(scenario: &Scenario, id: &str) -> bool {
    let mut fields = scenario.fields.iter();
    fields.any(|field| field.id == id && field.spare)
}

/// What comes of events, from the present on.
pub fn what_if(found: &WhatIf, answers: &Answers, events: &[String]) -> String {
    let scenario = &found.before.scenario;
    let mut out = head(scenario, events);
    out.push_str(&unchanged(&found.unchanged, scenario));
    out.push_str("\nMENDED, WITH THE LEAST UPHEAVAL\n");
    out.push_str(&outcome(
        &found.before,
        &found.repaired.plan,
        &found.difference,
    ));
    out.push_str(&released(&found.repaired));
    out.push_str(&shortfalls(&found.repaired.plan));
    if !found.repaired.plan.shortfalls.is_empty() {
        out.push_str(&spares(&found.spare, &found.repaired.plan));
    }
    out.push_str(&super::answers::answers(answers, &found.repaired.plan));
    out.push_str(&difference(&found.difference, &found.repaired.plan));
    if let Some((plan, difference)) = &found.anew {
        out.push_str("\nMADE ANEW, WHATEVER WAS TOLD\n");
        out.push_str(&outcome(&found.before, plan, difference));
    }
    out
}

/// What is planned again from a day on.
pub fn replanned(
    before: &Plan,
    now: &Replanned,
    changes: &Difference,
    events: &[String],
) -> String {
    let mut out = head(&now.plan.scenario, events);
    if now.unchanged {
        out.push_str("what was decided holds: nothing is changed\n");
        return out;
    }
    out.push_str(&outcome(before, &now.plan, changes));
    out.push_str(&released(now));
    out.push_str(&shortfalls(&now.plan));
    out.push_str(&difference(changes, &now.plan));
    out
}

fn head(scenario: &Scenario, events: &[String]) -> String {
    let first = scenario.horizon.first;
    let mut out = wrap(
        "",
        "  ",
        &format!("{}, from {} {first} on", scenario.name, first.weekday()),
    );
    for event in events {
        out.push_str(&wrap("if: ", "    ", event));
    }
    out
}

fn unchanged(found: &Unchanged, scenario: &Scenario) -> String {
    let mut out = String::from("\nLEFT AS IT IS\n");
    if found.broken.is_empty() && found.over.is_empty() {
        out.push_str("  all that was decided can be done\n");
    }
    for (wrong, sum) in &found.trays {
        let words = match wrong {
            Wrong::TooOld => "too old on their day",
            Wrong::TooYoung => "too young on their day",
            Wrong::NoDay => "whose field cannot be planted on their day",
            Wrong::NotReady => "whose seed, line, stack or covers are not there in time",
        };
        out.push_str(&wrap("  ", "    ", &format!("{} {words}", trays(*sum))));
    }
    let broken = found.broken.iter();
    let of_growers = broken.filter(|part| !is_spare(scenario, &part.field));
    let of_growers: Vec<_> = of_growers.collect();
    for part in of_growers.iter().take(MOST_LISTED) {
        let mut fields = scenario.fields.iter();
        let grower = fields
            .find(|field| field.id == part.field)
            .map_or("", |field| field.grower.as_str());
        out.push_str(&wrap(
            "    ",
            "      ",
            &format!(
                "{} {} {}, {}: {}",
                short_day(part.day),
                grower,
                part_name(&part.field, part.part),
                trays(part.trays),
                plainly(part)
            ),
        ));
    }
    more(&mut out, of_growers.len());
    for over in found.over.iter().take(MOST_LISTED) {
        let line = format!(
            "{}: {} too much on {}",
            over.what,
            over.by,
            short_day(over.day)
        );
        out.push_str(&wrap("  ", "    ", &line));
    }
    if found.undecided > 0 {
        let line = format!(
            "{} are wanted and nothing is decided of them",
            trays(found.undecided)
        );
        out.push_str(&wrap("  ", "    ", &line));
    }
    out
}

/// `ABR1`, or `ABR1 part 2`.
pub(super) fn part_name(field: &str, part: u32) -> String {
    if part > 1 {
        format!("{field} part {part}")
    } else {
        field.to_string()
    }
}

/// What is wrong with a part on its day, without what stands before it on the line.
fn plainly(part: &BrokenPart) -> String {
    let (field, day) = (&part.field, part.day);
    let why = &part.why;
    let whose = format!("field `{field}`, part {} ", part.part);
    let Some(rest) = why.strip_prefix(&whose) else {
        return why.clone();
    };
    if let Some(rest) = rest.strip_prefix(&format!("is planted on {day}; ")) {
        return rest.to_string();
    }
    if let Some(rest) = rest.strip_prefix(&format!("is planted on {day}, on which ")) {
        return format!("on that day {rest}");
    }
    rest.replace(&format!(" on {day},"), " on that day,")
}

fn more(out: &mut String, all: usize) {
    if all > MOST_LISTED {
        out.push_str(&format!("    and {} more\n", all - MOST_LISTED));
    }
}

/// Trays short, days moved and money, in one line or two.
fn outcome(before: &Plan, now: &Plan, difference: &Difference) -> String {
    let (promised, planned) = difference.moved();
    let cost = |plan: &Plan| plan.cost.total.0 - plan.cost.moved.0;
    let extra = Money {
        0: cost(now) - cost(before),
    };
    let of_spare = |short: &&Shortfall| is_spare(&now.scenario, &short.field);
    let spare: i64 = now
        .shortfalls
        .iter()
        .filter(of_spare)
        .map(|short| short.trays)
        .sum();
    let growers = now.cost.trays_short - spare;
    // What was short of the growers' trays already.
    let already: i64 = before
        .shortfalls
        .iter()
        .filter(|short| !of_spare(short))
        .map(|short| short.trays)
        .sum();
    let already = match already.min(growers) {
        0 => String::new(),
        all if all == growers => " as before".to_string(),
        some => format!(" ({} of them before)", number(some)),
    };
    let of_growers = format!(
        "{} {} short{already}",
        number(growers),
        if growers == 1 { "tray" } else { "trays" }
    );
    let short = match (growers, spare) {
        (0, 0) => "none short".to_string(),
        (0, spare) => format!("{} of the spare short", trays(spare)),
        (_, 0) => of_growers,
        (_, spare) => format!("{of_growers}, and {spare} of the spare"),
    };
    let more = if extra.0 < 0 {
        format!("{} less", money(Money { 0: -extra.0 }))
    } else {
        format!("{} more", money(extra))
    };
    let line = format!(
        "{short}; {} moved, {} moved that nobody was told; it costs {more} {}{}",
        count(promised, "promised day", "promised days"),
        count(planned, "planned day", "planned days"),
        now.scenario.currency,
        of_people(before, now)
    );
    wrap("  ", "    ", &line)
}

/// Where people cost more or less: ` (people hired 520.00 more)`.
fn of_people(before: &Plan, now: &Plan) -> String {
    let (was, is) = (&before.cost, &now.cost);
    let terms = [
        (
            "people hired",
            is.casuals.0 + is.changes.0 - was.casuals.0 - was.changes.0,
        ),
        ("overtime", is.overtime.0 - was.overtime.0),
        ("days off worked", is.rest_days.0 - was.rest_days.0),
    ];
    let words: Vec<String> = terms
        .into_iter()
        .filter(|(_, by)| *by != 0)
        .map(|(what, by)| {
            let way = if by < 0 { "less" } else { "more" };
            format!("{what} {} {way}", money(Money { 0: by.abs() }))
        })
        .collect();
    if words.is_empty() {
        return String::new();
    }
    format!(" ({})", words.join(", "))
}

fn released(now: &Replanned) -> String {
    let mut out = String::new();
    let scenario = &now.plan.scenario;
    let released = now.released.iter();
    let of_growers = released.filter(|(field, ..)| !is_spare(scenario, field));
    for (field, part, day) in of_growers {
        let line = format!(
            "{} for {} was to be held as it is, and cannot",
            part_name(field, *part),
            short_day(*day)
        );
        out.push_str(&wrap("  ", "    ", &line));
    }
    out
}

fn shortfalls(plan: &Plan) -> String {
    let mut out = String::new();
    let line = |short: &Shortfall| {
        let decide = short.decide_by.map_or(String::new(), |day| {
            format!("; decide by {}", short_day(day))
        });
        let help = short
            .help
            .as_ref()
            .map_or(String::new(), |help| format!("; {help}"));
        format!(
            "SHORT {}, {}: {}{help}{decide}",
            part_name(&short.field, short.part),
            trays(short.trays),
            short.reason
        )
    };
    let shortfalls = plan.shortfalls.iter();
    let of_growers = shortfalls.filter(|short| !is_spare(&plan.scenario, &short.field));
    let of_growers: Vec<&Shortfall> = of_growers.collect();
    for short in of_growers.iter().take(MOST_LISTED) {
        out.push_str(&wrap("  ", "    ", &line(short)));
    }
    more(&mut out, of_growers.len());
    out
}

/// Spare trays that stand and could be given to those that are short; nothing when there are none.
fn spares(all: &[Spare], plan: &Plan) -> String {
    let mut out = String::new();
    let scenario = &plan.scenario;
    let wanted = |kind: &str| {
        plan.shortfalls.iter().any(|short| {
            let mut fields = scenario.fields.iter();
            fields.any(|field| field.id == short.field && field.kind == kind && !field.spare)
        })
    };
    let of_kind = all.iter().filter(|one| wanted(&one.kind));
    let usable = of_kind.filter_map(|one| Some((one, one.days?)));
    let usable: Vec<_> = usable.collect();
    if usable.is_empty() {
        return out;
    }
    out.push_str("\nSPARE TRAYS THAT STAND (`give from=... to=...` tries one)\n");
    let mut table = Table::new(vec![
        Column::new("kind", Align::Left, Fit::Cut),
        Column::new("trays", Align::Right, Fit::Keep),
        Column::new("right age", Align::Left, Fit::Keep),
        Column::new("run", Align::Left, Fit::Keep),
        Column::new("stands for", Align::Left, Fit::Keep),
    ]);
    for (one, (first, last)) in usable {
        let mut kinds = scenario.kinds.iter();
        let kind = kinds.find(|kind| kind.id == one.kind);
        table.row([
            kind.map_or(one.kind.clone(), |kind| kind.name.clone()),
            number(one.trays),
            format!("{} to {}", short_day(first), short_day(last)),
            one.run.clone().unwrap_or_default(),
            one.field.clone(),
        ]);
    }
    out.push_str(&table.render(WIDTH));
    out
}

/// Whom to call, in the order of urgency, and what changes in the nursery, day by day.
pub fn difference(changes: &Difference, plan: &Plan) -> String {
    let mut out = String::new();
    let calls: Vec<&Change> = changes
        .changes
        .iter()
        .filter(|change| !change.grower.is_empty())
        .collect();
    if calls.is_empty() && changes.days.is_empty() {
        out.push_str("nothing is otherwise\n");
        return out;
    }
    if !calls.is_empty() {
        out.push_str("\nCALL, IN THIS ORDER\n");
    }
    let mut table = Table::new(vec![
        Column::new("by", Align::Left, Fit::Keep),
        Column::new("grower", Align::Left, Fit::Cut),
        Column::new("field", Align::Left, Fit::Cut),
        Column::new("trays", Align::Right, Fit::Keep),
        Column::new("what to say", Align::Left, Fit::Fill),
    ]);
    for change in &calls {
        let field = if change.in_parts {
            format!("{} part {}", change.field, change.part)
        } else {
            change.field.clone()
        };
        table.row([
            short_day(change.call_by),
            change.grower.clone(),
            field,
            number(change.trays),
            say(change, &plan.scenario),
        ]);
    }
    out.push_str(&table.render(WIDTH));
    if !changes.days.is_empty() {
        out.push_str("\nIN THE NURSERY\n");
        out.push_str(&by_day(&changes.days, plan));
    }
    if let Some(first) = changes.first {
        let line = if first == plan.scenario.horizon.first {
            format!(
                "it is otherwise from {} on: decide at once",
                short_day(first)
            )
        } else {
            format!(
                "nothing is otherwise before {}: decide by then",
                short_day(first)
            )
        };
        out.push_str(&wrap("", "  ", &line));
    }
    out
}

/// What to say to the grower.
pub(super) fn say(change: &Change, scenario: &Scenario) -> String {
    let promised = |from: Day| match change.promised {
        Some(day) if day == from => " as promised".to_string(),
        Some(day) => format!(" (promised for {})", short_day(day)),
        None => String::new(),
    };
    match change.what {
        Changed::Moved { from, to } if change.promised == Some(to) => {
            format!("{} as promised, not {}", short_day(to), short_day(from))
        }
        Changed::Moved { from, to } => {
            format!(
                "{}, not {}{}",
                short_day(to),
                short_day(from),
                promised(from)
            )
        }
        Changed::Dropped { from } => {
            let mut put_aside = scenario.not_firm.iter();
            if put_aside.any(|field| field.id == change.field) {
                return format!("order withdrawn: nothing on {}", short_day(from));
            }
            format!(
                "not on {}{}, and no other day is found",
                short_day(from),
                promised(from)
            )
        }
        Changed::Added { to } => format!("on {}", short_day(to)),
        Changed::Trays { on, from, to } => {
            format!(
                "{} trays, not {}, on {}{}",
                number(to),
                number(from),
                short_day(on),
                promised(on)
            )
        }
    }
}

fn by_day(days: &[DayChange], plan: &Plan) -> String {
    let mut table = Table::new(vec![
        Column::new("day", Align::Left, Fit::Keep),
        Column::new("work", Align::Left, Fit::Keep),
        Column::new("kind", Align::Left, Fit::Cut),
        Column::new("trays before", Align::Right, Fit::Keep),
        Column::new("now", Align::Right, Fit::Keep),
    ]);
    let mut last = None;
    for change in days.iter().take(3 * MOST_LISTED) {
        let mut kinds = plan.scenario.kinds.iter();
        let kind = kinds.find(|kind| kind.id == change.kind);
        table.row([
            if last == Some(change.day) {
                String::new()
            } else {
                short_day(change.day)
            },
            change.work.to_string(),
            kind.map_or(change.kind.clone(), |kind| kind.name.clone()),
            number(change.from),
            number(change.to),
        ]);
        last = Some(change.day);
    }
    let mut out = table.render(WIDTH);
    if days.len() > 3 * MOST_LISTED {
        out.push_str(&format!("and {} more\n", days.len() - 3 * MOST_LISTED));
    }
    out
}

/// Most lengths of rain side by side.
const MOST_LENGTHS: u32 = 8;

/// Rain of every length on every day: trays short in the mended plan, or the days moved where none is.
pub fn sweep(cells: &[Cell], scenario: &Scenario) -> String {
    let longest = cells.iter().map(|cell| cell.days).max().unwrap_or(0);
    let mut out = wrap(
        "",
        "  ",
        &format!(
            "{}: rain from each day on, by days of rain. A number with `!`: so many trays more are short in the mended plan; other \
             numbers: planting days moved; `.`: nothing is touched",
            scenario.name
        ),
    );
    let mut from = 1;
    while from <= longest {
        let to = longest.min(from + MOST_LENGTHS - 1);
        if from > 1 {
            out.push('\n');
        }
        out.push_str(&lengths(cells, from, to));
        from = to + 1;
    }
    let hurting = hurts_from(cells);
    let worst = hurting
        .iter()
        .filter_map(|(day, days)| Some((days.as_ref()?, *day)));
    match worst.min() {
        Some((days, day)) => out.push_str(&wrap(
            "",
            "  ",
            &format!(
                "it hurts soonest from {}: {} of rain {} trays short",
                short_day(day),
                count(days, "day", "days"),
                if *days == 1 { "leaves" } else { "leave" }
            ),
        )),
        None => out.push_str("no rain of these lengths leaves more trays short\n"),
    }
    out
}

/// The cells of rain that is `from` to `to` days long.
fn lengths(cells: &[Cell], from: u32, to: u32) -> String {
    let mut columns = vec![Column::new("from", Align::Left, Fit::Keep)];
    for days in from..=to {
        columns.push(Column::new(&format!("{days} d"), Align::Right, Fit::Keep));
    }
    let mut table = Table::new(columns);
    let mut firsts: Vec<Day> = cells.iter().map(|cell| cell.first).collect();
    firsts.dedup();
    for first in firsts {
        let mut row = vec![short_day(first)];
        let of_day = cells.iter().filter(|cell| cell.first == first);
        for cell in of_day.filter(|cell| (from..=to).contains(&cell.days)) {
            row.push(match (cell.short, cell.at_risk) {
                (0, 0) => ".".to_string(),
                (0, _) => number(cell.moved as i64),
                (short, _) => format!("{}!", number(short)),
            });
        }
        table.row(row);
    }
    table.render(WIDTH)
}
