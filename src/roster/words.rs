//! Words for places that nobody fills: who could do the work and why they do not, and what would help.

use super::state::State;
use crate::plan::roster::{Missing, Unfilled};
use std::collections::BTreeMap;

/// So many names are written out for one cause.
const NAMES: usize = 3;

/// Everything that is missing, by day and slot.
pub(super) fn unfilled(state: &State) -> Vec<Unfilled> {
    let ground = state.ground;
    let mut all = Vec::new();
    for day in 0..ground.days {
        for slot in ground.slots[day].clone() {
            let (one, places) = (ground.slot(slot), state.open(slot));
            if places > 0 {
                let (reason, help) = why(state, day, slot, |_| true);
                all.push(Unfilled {
                    day: one.day,
                    crew: one.crew.clone(),
                    missing: Missing::Person,
                    places,
                    stays: one.stays,
                    reason,
                    help: Some(help),
                });
            }
        }
        for licence in &ground.licences[day] {
            if state.is_licensed(day, &licence.crew) {
                continue;
            }
            let mut slots = ground.slots[day].clone();
            let crew = Some(licence.crew.as_str());
            let slot = slots.find(|slot| ground.slot(*slot).crew.as_deref() == crew);
            let (reason, help) = match slot {
                Some(slot) => {
                    let licensed = |one: usize| ground.staff[one].licensed;
                    let can = |one: usize| ground.staff[one].can_do(&licence.crew);
                    let reason = if (0..ground.staff.len()).any(|one| licensed(one) && can(one)) {
                        why(state, day, slot, licensed).0
                    } else {
                        format!("nobody who can do the work of `{}` holds it", licence.crew)
                    };
                    let help = "move the soaking, or have somebody with the licence that your local rules ask for; \
                                without one nobody handles treated seed";
                    (reason, help.to_owned())
                }
                None => (
                    "no place of the crew is open to the staff on that day".to_owned(),
                    "see to it by hand: without the licence that your local rules ask for nobody handles treated seed"
                        .to_owned(),
                ),
            };
            all.push(Unfilled {
                day: licence.day,
                crew: Some(licence.crew.clone()),
                missing: Missing::Licence,
                places: 1,
                stays: false,
                reason,
                help: Some(help),
            });
        }
    }
    all
}

/// Why one person does not have a place.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Cause {
    Away,
    FixedOff,
    Elsewhere,
    InARow,
    Week,
    Rest,
    Open,
}

impl Cause {
    /// After one name and after several.
    fn words(&self, most_in_a_row: usize) -> (String, String) {
        let both = |one: &str, more: &str| (one.to_owned(), more.to_owned());
        match self {
            Cause::Away => both("is away", "are away"),
            Cause::FixedOff => both("has a fixed day off", "have a fixed day off"),
            Cause::Elsewhere => both("has another duty that day", "have another duty that day"),
            Cause::InARow => (
                format!("would work more than {most_in_a_row} days in a row"),
                format!("would work more than {most_in_a_row} days in a row"),
            ),
            Cause::Week => both(
                "needs the day free in that week",
                "need the day free in that week",
            ),
            Cause::Rest => both(
                "would not rest long enough between two duties",
                "would not rest long enough between two duties",
            ),
            Cause::Open => both("could be asked", "could be asked"),
        }
    }
}

fn cause(state: &State, person: usize, day: usize, slot: usize) -> Cause {
    let ground = state.ground;
    if ground.staff[person].is_away(ground.date(day)) {
        Cause::Away
    } else if state.pattern(person) & (1 << ground.weekday(day)) == 0 {
        Cause::FixedOff
    } else if state.on(person, day).is_some() {
        Cause::Elsewhere
    } else if state.row(person, day) > ground.in_a_row() {
        Cause::InARow
    } else if !ground.week_ok(person, state.worked(person, day)) {
        Cause::Week
    } else if state.too_near(person, day, slot).is_some() {
        Cause::Rest
    } else {
        Cause::Open
    }
}

fn why(state: &State, day: usize, slot: usize, of: impl Fn(usize) -> bool) -> (String, String) {
    let ground = state.ground;
    let one = ground.slot(slot);
    let mut causes: BTreeMap<Cause, Vec<&str>> = BTreeMap::new();
    for (person, who) in ground.staff.iter().enumerate() {
        let can = match &one.crew {
            Some(crew) => who.can_do(crew),
            None => who.watches,
        };
        // Who has the place already is no reason.
        if can && of(person) && state.on(person, day) != Some(slot) {
            let cause = cause(state, person, day, slot);
            causes.entry(cause).or_default().push(&who.name);
        }
    }
    let work = match &one.crew {
        Some(crew) => format!("the work of `{crew}`"),
        None => "night watches".to_owned(),
    };
    if causes.is_empty() {
        let reason = format!("nobody else on the staff can be asked for {work}");
        let help = match &one.crew {
            Some(crew) => format!(
                "show somebody the work and write `{crew}` in their `crews`, or find another person"
            ),
            None => {
                "ask who would watch and set their `watches`, or find another person".to_owned()
            }
        };
        return (reason, help);
    }
    let said = causes.iter().map(|(cause, names)| {
        let (one, more) = cause.words(ground.in_a_row());
        let words = if names.len() == 1 { one } else { more };
        format!("{} {words}", list(names))
    });
    let reason = said.collect::<Vec<_>>().join("; ");
    let help = if causes.contains_key(&Cause::Open) {
        "search longer with --moves"
    } else if causes.contains_key(&Cause::Away) {
        "ask whether somebody can be there after all, or find another person for that day"
    } else {
        "find another person for that day, or show more people the work"
    };
    (reason, help.to_owned())
}

fn list(names: &[&str]) -> String {
    let shown = names.len().min(NAMES);
    let (first, rest) = (names[..shown].join(", "), names.len() - shown);
    match (rest, names) {
        (0, [.., before, last]) if shown > 1 => {
            let head = &names[..shown - 2];
            let mut all: Vec<&str> = head.to_vec();
            all.push(before);
            format!("{} and {last}", all.join(", "))
        }
        (0, _) => first,
        (more, _) => format!("{first} and {more} more"),
    }
}

#[cfg(test)]
mod tests {
    use super::list;

    #[test]
    fn names_in_a_row_of_words() {
        assert_eq!(list(&["Ada"]), "Ada");
        assert_eq!(list(&["Ada", "Ber"]), "Ada and Ber");
        assert_eq!(list(&["Ada", "Ber", "Cor"]), "Ada, Ber and Cor");
        assert_eq!(list(&["A", "B", "C", "D", "E"]), "A, B, C and 2 more");
    }
}
