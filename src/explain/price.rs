//! What another way costs: the books of the plan with one part decided anew, read against the plan as it stands.

use super::types::{More, Term};
use crate::nursery::{LotId, OptionId};
use crate::solve::state::State;
use crate::units::Money;

/// Money of decisions, term by term.
#[derive(Clone, Copy)]
pub(super) struct Reading {
    terms: [(&'static str, i64); 8],
    shortage: i64,
}

impl Reading {
    /// Reads settled books.
    pub fn of(state: &State<'_>) -> Reading {
        let terms = state.terms();
        let people = state.money() - terms.decided() - terms.shortage;
        Reading {
            terms: [
                ("age off its target", terms.age),
                ("days off the preferred day", terms.preferred),
                ("waiting at the field's edge", terms.edge),
                ("moves from bed to bed", terms.moves),
                ("another day than was told", terms.told),
                ("parts from several runs", terms.splits),
                ("set-ups", terms.set_ups),
                ("people's time", people),
            ],
            shortage: terms.shortage,
        }
    }

    /// Money without the price of trays short.
    pub fn money(&self) -> i64 {
        self.terms.iter().map(|(_, money)| money).sum()
    }

    /// Money and the price of trays short.
    pub fn all(&self) -> i64 {
        self.money() + self.shortage
    }

    /// What this costs more than `before`.
    pub fn more_than(&self, before: &Reading) -> More {
        let terms = self.terms.iter().zip(&before.terms);
        let changed = terms.filter(|(now, was)| now.1 != was.1);
        More {
            money: Money {
                0: self.money() - before.money(),
            },
            terms: changed
                .map(|(now, was)| Term {
                    what: now.0,
                    cost: Money { 0: now.1 - was.1 },
                })
                .collect(),
            shortage_saved: Money {
                0: before.shortage - self.shortage,
            },
        }
    }
}

/// An option tried beside the rest of the plan.
#[derive(Clone, Copy)]
pub(super) struct Tried {
    pub option: OptionId,
    /// Price of what goes beyond limits.
    pub beyond: i64,
    pub reading: Reading,
}

impl Tried {
    /// True when it adds nothing to what the plan goes beyond already.
    pub fn fits(&self, allowed: i64) -> bool {
        self.beyond <= allowed
    }

    /// By what the best of several is chosen.
    pub fn key(&self) -> (i64, OptionId) {
        (self.reading.all(), self.option)
    }
}

/// Tries every option of a lot; the lot is left out in the end.
pub(super) fn try_all(state: &mut State<'_>, lot: LotId) -> Vec<Tried> {
    let options: Vec<OptionId> = state.ground().nursery.options_of(lot).collect();
    let mut tried = Vec::with_capacity(options.len());
    for option in options {
        state.set(lot, Some(option));
        let beyond = state.beyond();
        tried.push(Tried {
            option,
            beyond,
            reading: Reading::of(state),
        });
    }
    state.set(lot, None);
    tried
}
