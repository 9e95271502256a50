//! What stands on the sheets of one day, as plain data: gathered from the plan before anything is drawn.

mod card;
mod labels;
mod loading;
mod log;
mod map;

pub use card::Card;
pub use labels::{Label, Point};
pub use loading::{Empties, Stop, Trip};
pub use log::{BLANK, LogLine};
pub use map::{BedPlace, Map, Stack, StackPlace, Standing};

use crate::calendar::Day;
use crate::plan::Plan;
use crate::plan::day::{DayPlan, Job, Work, day_plan};
use crate::plan::tasks::TaskGraph;
use std::collections::BTreeMap;

/// Everything that is printed for one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheets {
    /// The day by the clock.
    pub day: DayPlan,
    /// What may be written in the log of this day, with blanks.
    pub log: Vec<LogLine>,
    /// One a run on a line, in their order.
    pub cards: Vec<Card>,
    /// What stands where.
    pub map: Map,
    /// Trips of the vehicles.
    pub trips: Vec<Trip>,
    /// Labels of the five hand-overs.
    pub labels: Vec<Label>,
}

impl Sheets {
    /// Jobs of some sorts of work, in the order of the day.
    pub fn jobs<'a>(&'a self, of: &'a [Work]) -> impl Iterator<Item = &'a Job> {
        self.day.jobs().filter(|job| of.contains(&job.work))
    }
}

/// Gathers the sheets of `day`.
///
/// # Arguments
/// * `graph`: the task graph of the plan; of [`without_names`] of it where growers are not to be named.
/// * `day`: any day of the plan.
pub fn sheets(graph: &TaskGraph<'_>, day: Day) -> Sheets {
    let plan = day_plan(graph, day);
    let cards = card::cards(graph, &plan);
    let trips = loading::trips(graph, &plan);
    Sheets {
        log: log::lines(graph, day),
        labels: labels::labels(graph, &plan, &cards, &trips),
        map: map::map(graph, day),
        day: plan,
        cards,
        trips,
    }
}

/// The plan with numbers in place of growers' names, the same number for the same grower on all days.
///
/// # Arguments
/// * `named`: gives the text that stands for the n-th grower, from 1.
pub fn without_names(plan: &Plan, named: impl Fn(usize) -> String) -> Plan {
    let mut plan = plan.clone();
    let scenario = &mut plan.scenario;
    let mut known: BTreeMap<String, String> = BTreeMap::new();
    let fields = scenario.fields.iter_mut().chain(&mut scenario.not_firm);
    let growers = fields.map(|field| &mut field.grower);
    for name in growers.chain(scenario.growers.iter_mut().map(|grower| &mut grower.id)) {
        let next = known.len() + 1;
        *name = known
            .entry(name.clone())
            .or_insert_with(|| named(next))
            .clone();
    }
    for kind in &mut scenario.kinds {
        for (name, number) in &known {
            kind.name = without_word(&kind.name, name, number);
        }
    }
    plan
}

/// `text` with `other` wherever `word` stands by itself.
fn without_word(text: &str, word: &str, other: &str) -> String {
    let letter = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(word).filter(|_| !word.is_empty()) {
        out.push_str(before);
        let inside = letter(out.chars().next_back()) || letter(after.chars().next());
        out.push_str(if inside { word } else { other });
        rest = after;
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::without_word;

    #[test]
    fn a_name_is_taken_out_of_other_names_where_it_stands_by_itself() {
        let text = without_word("Dervisk's own seed, Derviska", "Dervisk", "grower 4");
        assert_eq!(text, "grower 4's own seed, Derviska");
        assert_eq!(without_word("Early", "", "x"), "Early");
    }
}
