//! What more even weeks cost: a table of levels, one for each price on hiring and releasing, and how uneven each crew's weeks are at each.

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, money, number, wrap};
use super::weeks::{self, CrewWeeks, Which};
use crate::plan::Plan;
use crate::solve::levelling::Level;
use crate::units::{Fixed, Money};
use serde::Serialize;

/// One level as plain data.
#[derive(Clone, Debug, Serialize)]
pub struct Leveled {
    /// What the prices of the scenario were multiplied by.
    pub times: Fixed<2>,
    /// Money of the plan without the price of changes.
    pub paid: Money,
    /// So much more than at the first level.
    pub extra: Money,
    /// Price of the changes at this level.
    pub changes_price: Money,
    /// Trays not grown.
    pub trays_short: i64,
    /// People hired, each week counted.
    pub hired_weeks: i64,
    /// How often the number of people changes, a person at a time; those who leave after the last week are not counted.
    pub changes: i64,
    /// The crews that can hire, by week.
    pub crews: Vec<CrewWeeks>,
}

impl Leveled {
    /// The weeks of a crew; none for one without work and people hired at this level.
    fn of(&self, crew: &str) -> Option<&CrewWeeks> {
        self.crews.iter().find(|weeks| weeks.crew == crew)
    }
}

/// The levels as plain data, in their order.
pub fn of(levels: &[Level]) -> Vec<Leveled> {
    let paid = |plan: &Plan| plan.cost.total.0 - plan.cost.changes.0;
    let first = levels.first().map_or(0, |level| paid(&level.plan));
    let leveled = levels.iter().map(|Level { times, plan }| Leveled {
        times: *times,
        paid: Fixed(paid(plan)),
        extra: Fixed(paid(plan) - first),
        changes_price: plan.cost.changes,
        trays_short: plan.cost.trays_short,
        hired_weeks: plan.people.iter().map(|week| week.casual).sum(),
        changes: changes(plan),
        crews: weeks::of(plan, Which::CanHire),
    });
    leveled.collect()
}

fn changes(plan: &Plan) -> i64 {
    let crews = plan.scenario.crews.iter();
    let of_crew = crews.map(|crew| {
        let weeks = plan.people.iter().filter(|week| week.crew == crew.id);
        let mut weeks: Vec<_> = weeks.map(|week| (week.week, week.casual)).collect();
        weeks.sort_unstable();
        let mut before = crew.casual.map_or(0, |casual| casual.before);
        let steps = weeks.into_iter().map(|(_, casual)| {
            let step = i64::abs(casual - before);
            before = casual;
            step
        });
        steps.sum::<i64>()
    });
    of_crew.sum()
}

/// The tables, and in words what is won at which extra cost.
pub fn text(levels: &[Level]) -> String {
    let Some(first) = levels.first() else {
        return String::new();
    };
    let scenario = &first.plan.scenario;
    let leveled = of(levels);
    let right = |title: &str| Column::new(title, Align::Right, Fit::Keep);
    let mut costs = Table::new(vec![
        Column::new("price on changes", Align::Left, Fit::Keep),
        right("paid without it"),
        right("extra"),
        right("weeks hired"),
        right("changes"),
        right("trays short"),
    ]);
    for level in &leveled {
        costs.row([
            times(level.times),
            money(level.paid),
            money(level.extra),
            number(level.hired_weeks),
            number(level.changes),
            number(level.trays_short),
        ]);
    }
    let mut out = wrap(
        "",
        "",
        &format!(
            "{}: what more even weeks cost, in {}",
            scenario.name, scenario.currency
        ),
    );
    out.push('\n');
    out.push_str(&costs.render(WIDTH));
    out.push_str(&wrap(
        "  ",
        "  ",
        "paid: all but the price of changes itself; weeks hired: people hired beside the regular staff, each week counted; \
         changes: a person more or fewer than in the week before",
    ));
    out.push_str("\nThe busiest week over the mean of weeks with work\n");
    out.push_str(&unevenness(&leveled).render(WIDTH));
    if let (Some(low), Some(high)) = (leveled.first(), leveled.last())
        && leveled.len() > 1
    {
        out.push('\n');
        out.push_str(&wrap("", "  ", &paid_more(low, high, &scenario.currency)));
        for before in &low.crews {
            if let Some(after) = high.of(&before.crew) {
                out.push_str(&won(before, after));
            }
        }
    }
    out
}

/// A row for each crew and level.
fn unevenness(leveled: &[Leveled]) -> Table {
    let right = |title: &str| Column::new(title, Align::Right, Fit::Keep);
    let mut table = Table::new(vec![
        Column::new("crew", Align::Left, Fit::Cut),
        Column::new("price on changes", Align::Left, Fit::Keep),
        right("of work"),
        right("of hours present"),
        right("most hired"),
    ]);
    let crews = leveled.first().map_or(&[][..], |level| &level.crews[..]);
    for crew in crews {
        for (at, level) in leveled.iter().enumerate() {
            let Some(weeks) = level.of(&crew.crew) else {
                continue;
            };
            let ratio = |ratio: Option<Fixed<2>>| match ratio {
                Some(ratio) => two_places(ratio),
                None => "none".to_string(),
            };
            table.row([
                if at == 0 {
                    weeks.name.clone()
                } else {
                    String::new()
                },
                times(level.times),
                ratio(weeks.needed_peak_to_mean),
                ratio(weeks.present_peak_to_mean),
                number(weeks.weeks.iter().map(|week| week.hired).max().unwrap_or(0)),
            ]);
        }
    }
    table
}

/// What is paid more at the last price than at the first, by all crews together.
fn paid_more(low: &Leveled, high: &Leveled, currency: &str) -> String {
    let paid = match high.extra.0 {
        0 => "no more is paid beside it".to_string(),
        1.. => format!("{} {currency} more are paid beside it", money(high.extra)),
        _ => {
            let less = Fixed(-high.extra.0);
            format!("{} {currency} less are paid beside it", money(less))
        }
    };
    let (from, to) = (times(low.times), times(high.times));
    format!("At {to} the price on changes {paid} than at {from}, all crews together:")
}

/// What the last price wins over the first, for one crew.
fn won(before: &CrewWeeks, after: &CrewWeeks) -> String {
    let step = |what: &str, from: Option<Fixed<2>>, to: Option<Fixed<2>>| -> Option<String> {
        let (from, to) = (from?, to?);
        let way = match to.cmp(&from) {
            std::cmp::Ordering::Less => "falls",
            std::cmp::Ordering::Equal => return None,
            std::cmp::Ordering::Greater => "rises",
        };
        Some(format!(
            "{way} from {} to {} of {what}",
            two_places(from),
            two_places(to)
        ))
    };
    let steps = [
        step(
            "work",
            before.needed_peak_to_mean,
            after.needed_peak_to_mean,
        ),
        step(
            "hours present",
            before.present_peak_to_mean,
            after.present_peak_to_mean,
        ),
    ];
    let steps: Vec<String> = steps.into_iter().flatten().collect();
    let said = match steps.is_empty() {
        true => "stays as it is".to_string(),
        false => steps.join(" and "),
    };
    wrap(
        "  ",
        "    ",
        &format!("{}: the busiest week over the mean {said}", before.name),
    )
}

/// How many times the scenario's prices.
fn times(times: Fixed<2>) -> String {
    let word = if times == Fixed(100) { "time" } else { "times" };
    format!("{times} {word}")
}

fn two_places(ratio: Fixed<2>) -> String {
    format!("{}.{:02}", ratio.0 / 100, ratio.0 % 100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratios_have_two_places() {
        assert_eq!(two_places(Fixed(200)), "2.00");
        assert_eq!(two_places(Fixed(107)), "1.07");
    }
}
