//! The second count of a roster: from the plan, the roster and the scenario alone, with nothing of the room that made it.
//!
//! First what the plan asks for is counted again, shift by shift and night by night (`places`), then each person is followed
//! from their first duty to their last (`limits`). What is not held is a [`Breach`] with a code of its own series ([`codes`]).

pub mod codes;
mod limits;
mod places;

use super::book::Book;
use super::{Breach, Found, Subject, usable};
use crate::plan::roster::{FORMAT, PersonDuty, Roster};
use crate::plan::types::Plan;
use crate::scenario::Scenario;
use std::collections::BTreeSet;

/// The rule that `code` stands for; empty for an unknown code.
pub fn title(code: &str) -> &'static str {
    let known = codes::CODES.iter().find(|(known, _)| *known == code);
    known.map_or("", |(_, title)| title)
}

/// What `roster` breaks of what `plan` asks for and of what the scenario in the plan allows; empty for a sound roster.
///
/// Never panics, however broken the roster or the plan.
pub fn audit(roster: &Roster, plan: &Plan) -> Vec<Breach> {
    let scenario = &plan.scenario;
    let mut found = Found::default();
    for flaw in usable::flaws(scenario) {
        found.add("A001", Subject::Scenario, None, 0, flaw);
    }
    if !found.breaches.is_empty() {
        return found.breaches;
    }
    belongs(roster, plan, &mut found);
    let known = known(roster, scenario, &mut found);
    // What of the plan itself cannot be walked is a matter of its own audit.
    let book = Book::open(plan, scenario, &mut Found::default());
    places::check(&book, roster, &known, &mut found);
    limits::check(scenario, roster, &known, &mut found);
    found.breaches
}

/// Mark, revision and hash.
fn belongs(roster: &Roster, plan: &Plan, found: &mut Found) {
    let mut bad = |what: String| found.add("N001", Subject::Plan, None, 0, what);
    if roster.format != FORMAT {
        bad(format!(
            "the roster's format is `{}`, not `{FORMAT}`",
            roster.format
        ));
    }
    if roster.plan_revision != plan.revision {
        bad(format!(
            "the roster is for revision {} of the plan, which is at revision {}",
            roster.plan_revision, plan.revision
        ));
    }
    if roster.scenario_sha256 != plan.scenario_sha256 {
        bad("the roster is for a plan of another scenario".to_owned());
    }
}

/// The duties whose person and crew the scenario has.
fn known<'a>(roster: &'a Roster, scenario: &Scenario, found: &mut Found) -> Vec<&'a PersonDuty> {
    let people: BTreeSet<&str> = scenario.staff.iter().map(|one| one.id.as_str()).collect();
    let crews: BTreeSet<&str> = scenario.crews.iter().map(|one| one.id.as_str()).collect();
    let mut known = Vec::new();
    for duty in &roster.duties {
        let crew = duty.crew.as_deref();
        let unknown = if !people.contains(duty.person.as_str()) {
            Some(("person", duty.person.as_str()))
        } else {
            crew.filter(|crew| !crews.contains(crew))
                .map(|crew| ("crew", crew))
        };
        match unknown {
            None => known.push(duty),
            Some((what, name)) => {
                let said = format!(
                    "a duty on {} names the {what} `{name}`, which the scenario does not have",
                    duty.day
                );
                found.add("N002", subject(duty), Some(duty.day), 0, said);
            }
        }
    }
    known
}

fn subject(duty: &PersonDuty) -> Subject {
    Subject::Person {
        id: duty.person.clone(),
    }
}

/// `the crew `line``, `the night watch`.
fn post(crew: Option<&str>) -> String {
    crew.map_or_else(
        || "the night watch".to_owned(),
        |crew| format!("the crew `{crew}`"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_unique_and_in_order() {
        assert!(codes::CODES.windows(2).all(|pair| pair[0].0 < pair[1].0));
        assert_eq!(title("N003"), "one duty a day and person");
    }
}
