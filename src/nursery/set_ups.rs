//! Set-ups of a line: the order of a day's runs that takes the least minutes.

use crate::quantities::tray_ms;
use crate::scenario::{Line, Scenario};
use crate::units::Span;

/// Most runs of one line on one day.
pub const MOST_RUNS_A_DAY: usize = 12;

/// Set-up time that stands for an order of kinds that is never sown: no line has so many hours in a day.
pub const NEVER: Span = Span(1_000 * Span::HOUR);

/// Set-up times of one line, by index of kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetUps {
    first: Span,
    /// `between[before][after]`: with the trays that are thrown out, or [`NEVER`].
    between: Vec<Vec<Span>>,
    /// Trays thrown out, `thrown[before][after]`; none where the order is never sown.
    thrown: Vec<Vec<i64>>,
    /// True when the order makes no difference.
    uniform: bool,
}

impl SetUps {
    /// Resolves the names of the line's pairs.
    pub fn new(scenario: &Scenario, line: &Line) -> SetUps {
        let kinds = scenario.kinds.len();
        let usual = Span::minutes(line.set_up_minutes);
        let mut between = vec![vec![usual; kinds]; kinds];
        let mut thrown = vec![vec![0; kinds]; kinds];
        let index = |id: &str| scenario.kinds.iter().position(|kind| kind.id == id);
        for pair in &line.set_up_pairs {
            if let (Some(from), Some(to)) = (index(&pair.from), index(&pair.to)) {
                if pair.never {
                    between[from][to] = NEVER;
                    continue;
                }
                thrown[from][to] = pair.throw_out_trays;
                let throwing = pair.throw_out_trays * tray_ms(line, &pair.to);
                between[from][to] = Span(Span::minutes(pair.minutes).0 + throwing);
            }
        }
        for (before, kind) in scenario.kinds.iter().enumerate() {
            if kind.last_of_day {
                between[before].fill(NEVER);
                thrown[before].fill(0);
            }
        }
        let uniform = between.iter().flatten().all(|span| *span == usual);
        SetUps {
            first: Span::minutes(line.first_set_up_minutes),
            between,
            thrown,
            uniform,
        }
    }

    /// First trays of a run of `after` that are thrown out after `before`.
    pub fn thrown(&self, before: Option<usize>, after: usize) -> i64 {
        before.map_or(0, |before| self.thrown[before][after])
    }

    /// The greatest number of trays thrown out after any kind that may stand before `kind`.
    pub fn thrown_at_most(&self, kind: usize) -> i64 {
        let others = (0..self.thrown.len()).filter(|before| *before != kind);
        others
            .map(|before| self.thrown[before][kind])
            .max()
            .unwrap_or(0)
    }

    /// Least time that a run of `kind` can add to a day, whatever stands around it: what the relaxation may count on.
    pub fn least_into(&self, kind: usize) -> Span {
        let others = (0..self.between.len()).filter(|before| *before != kind);
        others
            .map(|before| self.between[before][kind])
            .chain([self.first])
            .min()
            .unwrap_or(self.first)
    }

    /// Time from `before` to `after`; the day's first set-up without a `before`.
    pub fn between(&self, before: Option<usize>, after: usize) -> Span {
        before.map_or(self.first, |before| self.between[before][after])
    }

    /// Least set-up time of a day on which `kinds` (distinct, ascending) are sown.
    pub fn least(&self, kinds: &[usize]) -> Span {
        match kinds.len() {
            0 => Span(0),
            1 => self.first,
            many if self.uniform => {
                Span(self.first.0 + (many as i64 - 1) * self.between[kinds[0]][kinds[1]].0)
            }
            _ => self.order(kinds).1,
        }
    }

    /// The order with the least set-up time, and that time; among equals the one that is first by index of kind.
    ///
    /// # Complexity
    /// 2ⁿ·n² for n kinds; n is at most [`MOST_RUNS_A_DAY`] in plans of the search. Longer lists come back as given.
    pub fn order(&self, kinds: &[usize]) -> (Vec<usize>, Span) {
        let count = kinds.len();
        if count <= 1 || self.uniform || count > MOST_RUNS_A_DAY {
            return (kinds.to_vec(), self.total(kinds));
        }
        // rest[set][at]: least time to sow the kinds outside `set`, with `at` sown last.
        let full = (1usize << count) - 1;
        let mut rest = vec![vec![0i64; count]; full + 1];
        for set in (1..full).rev() {
            for at in (0..count).filter(|at| set & (1 << at) != 0) {
                rest[set][at] = (0..count)
                    .filter(|next| set & (1 << next) == 0)
                    .map(|next| {
                        self.between[kinds[at]][kinds[next]].0 + rest[set | (1 << next)][next]
                    })
                    .min()
                    .unwrap_or(0);
            }
        }
        let mut order = Vec::with_capacity(count);
        let mut set = 0usize;
        while set != full {
            let from = order.last().map(|at: &usize| kinds[*at]);
            let next = (0..count)
                .filter(|next| set & (1 << next) == 0)
                .min_by_key(|next| {
                    self.between(from, kinds[*next]).0 + rest[set | (1 << next)][*next]
                });
            let Some(next) = next else { break };
            order.push(next);
            set |= 1 << next;
        }
        let order: Vec<usize> = order.into_iter().map(|at| kinds[at]).collect();
        let total = self.total(&order);
        (order, total)
    }

    fn total(&self, order: &[usize]) -> Span {
        let mut before = None;
        let mut sum = 0;
        for kind in order {
            sum += self.between(before, *kind).0;
            before = Some(*kind);
        }
        Span(sum)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Fixed;

    fn set_ups(first: i64, between: &[&[i64]]) -> SetUps {
        let between: Vec<Vec<Span>> = between
            .iter()
            .map(|row| row.iter().map(|ms| Span(*ms)).collect())
            .collect();
        SetUps {
            first: Span(first),
            thrown: vec![vec![0; between.len()]; between.len()],
            between,
            uniform: false,
        }
    }

    #[test]
    fn the_order_is_the_cheapest_of_all_orders() {
        // 0 → 2 → 1 costs 5 + 1 + 1; every other order costs more.
        let line = set_ups(5, &[&[0, 9, 1], &[9, 0, 9], &[9, 1, 0]]);
        assert_eq!(line.order(&[0, 1, 2]), (vec![0, 2, 1], Span(7)));
        assert_eq!(line.least(&[0, 1]), Span(14));
        assert_eq!(line.least_into(1), Span(1));
    }

    #[test]
    fn trays_are_thrown_out_only_where_one_kind_may_follow_the_other() {
        let smallest = include_str!("../../tests/smallest/nursery.json");
        let none = |name: &str| Err(format!("no table `{name}` here"));
        let checked = crate::scenario::read_bytes("nursery.json", smallest.as_bytes(), &none);
        let mut scenario = checked.scenario.unwrap();
        scenario.kinds.push(crate::scenario::Kind {
            id: "other".into(),
            ..scenario.kinds[0].clone()
        });
        // Ten thousand trays at a tray an hour are more than NEVER: still an order that may be.
        let mut line = scenario.lines[0].clone();
        (line.set_trays_per_h, line.share_run) = (Fixed::whole(1), Fixed::whole(1));
        line.set_up_pairs = vec![crate::scenario::SetUpPair {
            from: scenario.kinds[0].id.clone(),
            to: "other".into(),
            minutes: Fixed::ZERO,
            never: false,
            throw_out_trays: 10_000,
        }];
        let other = scenario.kinds.len() - 1;
        let at_most =
            |scenario: &Scenario, line: &Line| SetUps::new(scenario, line).thrown_at_most(other);
        assert_eq!(at_most(&scenario, &line), 10_000);
        line.set_up_pairs[0].never = true;
        assert_eq!(at_most(&scenario, &line), 0);
        line.set_up_pairs[0].never = false;
        scenario.kinds[0].last_of_day = true;
        assert_eq!(at_most(&scenario, &line), 0);
    }

    #[test]
    fn equal_orders_keep_the_order_of_kinds() {
        let line = set_ups(5, &[&[0, 2], &[2, 0]]);
        assert_eq!(line.order(&[0, 1]), (vec![0, 1], Span(7)));
    }
}
