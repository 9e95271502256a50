//! The rules' postings once more, laid out for the search, and what neighbours in a lot share stands apart.
//!
//! The search posts and takes away some million times a second, in places far apart; so each decision's postings are cards in one row, read from left to
//! right. Options of a lot in the same run share most of theirs: these lie on a hand of their own, which stays on the table when only the rest changes.

use super::compiled::{Bundle, Flow};
use super::state::Ground;
use crate::nursery::{LotId, Nursery, OptionId};
use std::collections::BTreeMap;

/// An amount on neighbouring slots of one resource.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Card {
    /// First slot.
    pub from: u32,
    /// One past the last slot.
    pub until: u32,
    /// The resource.
    pub resource: u32,
    /// Amount on each slot.
    pub amount: i64,
}

/// The cards and flows of one decision.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hand {
    first: u32,
    end: u32,
    flows: u32,
    flows_end: u32,
}

impl Hand {
    /// True when the decision posts nothing on slots.
    pub fn is_empty(self) -> bool {
        self.first == self.end
    }
}

/// An option as far as a look at its price needs it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Brief {
    /// What it costs by itself, thousandths.
    pub cost: i64,
    /// The option.
    pub id: OptionId,
    /// Index of its run.
    pub run: u32,
    /// Its group among those of its lot.
    pub group: u32,
}

/// What else follows from a resource's days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Follows {
    /// The trays washed: its crew washes in the time left over.
    pub washing: bool,
    /// The people hired by the week, who price it.
    pub staffing: bool,
}

/// All hands.
#[derive(Clone, Debug, Default)]
pub struct Cards {
    cards: Vec<Card>,
    flows: Vec<Flow>,
    /// By option: what it does not share.
    options: Vec<Hand>,
    /// By option: its group.
    group: Vec<u32>,
    /// By group: what its options share.
    groups: Vec<Hand>,
    /// By lot the options in the order of what they cost by themselves, one lot after the other as the nursery has them.
    by_cost: Vec<Brief>,
    /// By lot: its first group.
    first_group: Vec<u32>,
    /// By run.
    pub runs: Vec<Hand>,
    /// By run × germination place.
    pub stacks: Vec<Hand>,
    /// By run × germination place.
    pub trials: Vec<Hand>,
    /// By run.
    pub bags: Vec<Hand>,
    /// By line × day.
    pub set_ups: Vec<Hand>,
    /// By resource.
    pub follows: Vec<Follows>,
}

impl Cards {
    /// Lays out what the rules post.
    pub fn new(ground: &Ground<'_>) -> Cards {
        let (nursery, compiled) = (ground.nursery, &ground.compiled);
        let washing = ground.trays().labour.map(|(crew, _)| crew);
        let follows: Vec<Follows> = (0..ground.books.resources.len())
            .map(|resource| Follows {
                washing: washing == Some(resource),
                staffing: ground.desks.staffs(resource),
            })
            .collect();
        let mut dealer = Dealer {
            days: nursery.days as u32,
            cards: Vec::new(),
            flows: Vec::new(),
        };
        let mut options = vec![Hand::default(); nursery.options.len()];
        let mut group = vec![0; nursery.options.len()];
        let mut groups: Vec<Hand> = Vec::new();
        let mut by_cost = Vec::with_capacity(nursery.options.len());
        let mut first_group = Vec::with_capacity(nursery.lots.len());
        for range in &nursery.of_lot {
            let first = groups.len();
            first_group.push(first as u32);
            for alike in alike(nursery, range.clone()).into_values() {
                let bundles: Vec<&Bundle> = alike.iter().map(|id| compiled.option(*id)).collect();
                let shared = shared(&bundles);
                for (id, bundle) in alike.iter().zip(&bundles) {
                    group[id.0] = groups.len() as u32;
                    options[id.0] = dealer.deal(&without(bundle, &shared));
                }
                groups.push(dealer.deal(&shared));
            }
            let begin = by_cost.len();
            by_cost.extend(range.clone().map(OptionId).map(|id| {
                let option = nursery.option(id);
                Brief {
                    cost: option.cost().0,
                    id,
                    run: option.run.0 as u32,
                    group: group[id.0] - first as u32,
                }
            }));
            by_cost[begin..].sort_unstable();
        }
        let mut all = |bundles: &[Bundle]| bundles.iter().map(|one| dealer.deal(one)).collect();
        Cards {
            runs: all(&compiled.runs),
            stacks: all(&compiled.stacks),
            trials: all(&compiled.trials),
            bags: all(&compiled.bags),
            set_ups: all(&compiled.set_ups),
            cards: dealer.cards,
            flows: dealer.flows,
            options,
            group,
            groups,
            by_cost,
            first_group,
            follows,
        }
    }

    /// What an option posts beside what it shares.
    pub fn own(&self, id: OptionId) -> Hand {
        self.options[id.0]
    }

    /// What an option shares with the others of its group.
    pub fn shared(&self, id: OptionId) -> Hand {
        self.groups[self.group[id.0] as usize]
    }

    /// True when two options of a lot come from the same run and germination place, so that only their own cards differ.
    pub fn alike(&self, one: OptionId, other: OptionId) -> bool {
        self.group[one.0] == self.group[other.0]
    }

    /// Options of a lot in the order of what they cost by themselves. `options` is the lot's range in the nursery.
    pub fn by_cost(&self, options: std::ops::Range<usize>) -> &[Brief] {
        &self.by_cost[options]
    }

    /// Groups of a lot: options that come from the same run and germination place.
    pub fn groups_of(&self, lot: LotId) -> usize {
        let next = self.first_group.get(lot.0 + 1);
        next.map_or(self.groups.len(), |next| *next as usize) - self.first_group[lot.0] as usize
    }

    /// The cards of a hand.
    pub fn cards(&self, hand: Hand) -> &[Card] {
        &self.cards[hand.first as usize..hand.end as usize]
    }

    /// The trays of a hand that leave the stock or come back.
    pub fn flows(&self, hand: Hand) -> &[Flow] {
        &self.flows[hand.flows as usize..hand.flows_end as usize]
    }
}

/// Options of a lot by run and germination place.
fn alike(
    nursery: &Nursery,
    options: std::ops::Range<usize>,
) -> BTreeMap<(usize, Option<usize>), Vec<OptionId>> {
    let mut alike: BTreeMap<_, Vec<OptionId>> = BTreeMap::new();
    for id in options.map(OptionId) {
        let option = nursery.option(id);
        let key = (option.run.0, option.route.germination);
        alike.entry(key).or_default().push(id);
    }
    alike
}

/// What all of some bundles post. Their stretches are in order, and no two of a bundle lie on the same slots.
fn shared(bundles: &[&Bundle]) -> Bundle {
    let Some((first, others)) = bundles.split_first() else {
        return Bundle::default();
    };
    let mut shared = (*first).clone();
    if others.is_empty() {
        // Alone it shares nothing: its cards are its own.
        return Bundle::default();
    }
    for other in others {
        shared
            .stretches
            .retain(|stretch| other.stretches.contains(stretch));
        shared.flows.retain(|flow| other.flows.contains(flow));
    }
    shared
}

fn without(bundle: &Bundle, shared: &Bundle) -> Bundle {
    let mut own = bundle.clone();
    own.stretches
        .retain(|stretch| !shared.stretches.contains(stretch));
    own.flows.retain(|flow| !shared.flows.contains(flow));
    own
}

struct Dealer {
    days: u32,
    cards: Vec<Card>,
    flows: Vec<Flow>,
}

impl Dealer {
    fn deal(&mut self, bundle: &Bundle) -> Hand {
        let (first, flows) = (self.cards.len() as u32, self.flows.len() as u32);
        self.cards
            .extend(bundle.stretches.iter().map(|stretch| Card {
                from: stretch.from,
                until: stretch.until,
                resource: stretch.from / self.days,
                amount: stretch.amount,
            }));
        self.flows.extend(&bundle.flows);
        Hand {
            first,
            end: self.cards.len() as u32,
            flows,
            flows_end: self.flows.len() as u32,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::compiled::{FlowKind, Stretch};

    fn bundle(stretches: &[(u32, u32, i64)], flows: &[(u32, i64)]) -> Bundle {
        Bundle {
            stretches: stretches
                .iter()
                .map(|(from, until, amount)| Stretch {
                    from: *from,
                    until: *until,
                    amount: *amount,
                })
                .collect(),
            flows: flows
                .iter()
                .map(|(day, trays)| Flow {
                    kind: FlowKind::Out,
                    day: *day,
                    trays: *trays,
                })
                .collect(),
        }
    }

    #[test]
    fn what_is_shared_and_what_is_not_make_the_whole() {
        let one = bundle(&[(0, 3, 5), (12, 13, 7)], &[(2, 40)]);
        let other = bundle(&[(0, 3, 5), (12, 14, 7)], &[(2, 40)]);
        let both = shared(&[&one, &other]);
        assert_eq!(both, bundle(&[(0, 3, 5)], &[(2, 40)]));
        assert_eq!(without(&other, &both), bundle(&[(12, 14, 7)], &[]));
        assert_eq!(shared(&[&one]), Bundle::default());
    }

    #[test]
    fn a_card_knows_its_resource() {
        let mut dealer = Dealer {
            days: 10,
            cards: Vec::new(),
            flows: Vec::new(),
        };
        let hand = dealer.deal(&bundle(&[(1, 3, 5), (11, 17, 7)], &[]));
        let cards = &dealer.cards[hand.first as usize..hand.end as usize];
        let ends: Vec<(u32, u32, u32)> = cards
            .iter()
            .map(|card| (card.resource, card.from, card.until))
            .collect();
        assert_eq!(ends, [(0, 1, 3), (1, 11, 17)]);
    }
}
