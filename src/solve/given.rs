//! A solver's answer read back: the decisions that it names, and the plan that they make.

use super::assemble::assemble;
use super::names;
use super::polish::Choice;
use super::program::{ColumnTag, Program};
use super::shortfall;
use super::state::{Ground, State};
use crate::nursery::{LotId, MOST_RUNS_A_DAY};
use crate::plan::{EndedBy, Plan};
use crate::problems::{Place, Problem, Problems, Severity};
use std::collections::BTreeMap;

/// Most bad lines that are told one by one.
const MOST_TOLD: usize = 20;

/// The decisions that an answer names: one line for each column, its name and its value, with blanks between; a column that is not
/// named is 0. Empty lines and lines that begin with `#` are passed over. An option is taken when its value is at least a half; a lot
/// without one is not grown. `program` is the whole-lot program, which has the columns of the relaxation too.
///
/// # Errors
/// Every problem of the answer with its line: no name and value, a name that the program does not have, a value that is no number, a
/// name that stands twice, a second option of one lot.
pub fn read(
    ground: &Ground<'_>,
    program: &Program,
    answer: &[u8],
    file: &str,
) -> Result<Choice, Problems> {
    let names = names::columns(ground, program);
    let named = names.iter().enumerate();
    let mut reading = Reading {
        ground,
        program,
        file,
        columns: named.map(|(at, name)| (name.as_str(), at)).collect(),
        first: BTreeMap::new(),
        choice: vec![None; ground.nursery.lots.len()],
        chosen_in: BTreeMap::new(),
        problems: Problems::default(),
    };
    let text = String::from_utf8_lossy(answer);
    for (at, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        reading.line(at + 1, line);
        if reading.problems.0.len() >= MOST_TOLD {
            break;
        }
    }
    if reading.problems.0.is_empty() && reading.first.is_empty() {
        let help = "a line for each column, such as `run.early.line-1.2027-04-02 1`";
        reading.add("M001", None, "no value is given".into(), help.into());
    }
    if reading.problems.0.is_empty() {
        Ok(reading.choice)
    } else {
        Err(reading.problems)
    }
}

struct Reading<'a> {
    ground: &'a Ground<'a>,
    program: &'a Program,
    file: &'a str,
    columns: BTreeMap<&'a str, usize>,
    /// Line in which each column is named first.
    first: BTreeMap<usize, usize>,
    choice: Choice,
    chosen_in: BTreeMap<LotId, usize>,
    problems: Problems,
}

impl Reading<'_> {
    fn add(&mut self, code: &'static str, line: Option<usize>, message: String, help: String) {
        self.problems.push(Problem {
            severity: Severity::Error,
            code,
            place: Place {
                file: self.file.to_string(),
                line,
                ..Place::default()
            },
            message,
            expected: None,
            help: Some(help),
        });
    }

    fn line(&mut self, nth: usize, line: &str) {
        let fields: Vec<&str> = line.split_whitespace().collect();
        if fields.first().is_none_or(|first| first.starts_with('#')) {
            return;
        }
        let [name, value] = fields[..] else {
            let message = format!(
                "{} words stand where a name and a value are read",
                fields.len()
            );
            let help = "one column a line: its name, a blank, its value";
            return self.add("M001", Some(nth), message, help.into());
        };
        let Some(column) = self.columns.get(name).copied() else {
            let message = format!("the program has no column `{name}`");
            let help = match self.nearest(name) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "answer the program that `--mps` wrote of this scenario".into(),
            };
            return self.add("M002", Some(nth), message, help);
        };
        let number = value.parse().ok().filter(|value: &f64| value.is_finite());
        let Some(value) = number else {
            let message = format!("`{value}` is no number");
            let help = "a number such as 1, 0.25 or 1e-9";
            return self.add("M003", Some(nth), message, help.into());
        };
        if let Some(before) = self.first.insert(column, nth) {
            let message = format!("`{name}` stands in line {before} already");
            return self.add("M004", Some(nth), message, "keep one of the two".into());
        }
        if let ColumnTag::Grow(option) = self.program.columns[column].tag
            && value >= 0.5
        {
            let lot = self.ground.nursery.option(option).lot;
            if let Some(before) = self.chosen_in.insert(lot, nth) {
                let (field, part) = self.ground.nursery.part_of(lot);
                let message = format!(
                    "field `{field}`, part {part} is grown by the option of line {before} already"
                );
                let help = "one option of each part may be 1; ask the solver for whole numbers";
                return self.add("M005", Some(nth), message, help.into());
            }
            self.choice[lot.0] = Some(option);
        }
    }

    /// The name of a column that is written nearly so, if it is near enough to be meant.
    fn nearest(&self, name: &str) -> Option<&str> {
        let first = name.split('.').next()?;
        let same = self
            .columns
            .keys()
            .filter(|known| known.split('.').next() == Some(first));
        let near = same
            .map(|known| (strsim::levenshtein(known, name), *known))
            .min()?;
        (near.0 <= 2).then_some(near.1)
    }
}

/// The plan that given decisions make, whatever they cost.
///
/// # Errors
/// What they go beyond, each limit with what it lacks, in words.
pub fn plan(
    ground: &Ground<'_>,
    choice: &[Option<crate::nursery::OptionId>],
) -> Result<Plan, Vec<String>> {
    let mut state = State::of(ground, choice);
    if state.beyond() == 0 {
        return Ok(assemble(&mut state, None, EndedBy::Given));
    }
    let mut words = shortfall::beyond(&mut state);
    let nursery = ground.nursery;
    for (line, of_line) in nursery.scenario.lines.iter().enumerate() {
        for day in 0..nursery.days {
            let kinds = state.kinds_on(line, day).len();
            if kinds > MOST_RUNS_A_DAY {
                words.push(format!(
                    "line `{}` has {kinds} runs on {}, and at most {MOST_RUNS_A_DAY} may be",
                    of_line.id,
                    nursery.day(day)
                ));
            }
        }
    }
    Err(words)
}
