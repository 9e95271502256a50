//! A network of tasks with least and greatest lags: earliest and latest starts, slack, critical
//! path, and the cycle of tasks that makes a network impossible.
//!
//! An arc says *start(to) ≥ start(from) + lag*. A greatest lag is an arc the other way with a
//! negative lag: *start(to) ≤ start(from) + 9* is *start(from) ≥ start(to) − 9*. Such a network has
//! cycles as a matter of course, so it cannot be sorted topologically; it is impossible exactly when
//! the lags around some cycle add up to more than zero.
//!
//! Starts are longest paths, found one strong component after the other: in a component of one task by
//! one look at its arcs, in a larger one by correcting labels until nothing changes. Arcs back to
//! the task whose start is given are set aside and looked at last, so that windows written as lags
//! to a common origin do not tie the whole plan into one component.
//!
//! Source: B. Roy, "Contribution de la théorie des graphes à l'étude de certains problèmes linéaires", 1959 (the
//! metra potential method, from memory).

mod walk;

use petgraph::Direction;
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, EdgeIndex, NodeIndex};
use petgraph::visit::EdgeRef;
use std::collections::VecDeque;
use std::fmt;
use walk::Walk;

/// A task of a [`Network`], as [`Network::add`] returned it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Node(usize);

/// Starts of the tasks of one network; `None` where nothing bounds a start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Starts(Vec<Option<i64>>);

impl Starts {
    /// The start of `node`.
    pub fn of(&self, node: Node) -> Option<i64> {
        self.0.get(node.0).copied().flatten()
    }
}

/// Tasks around a cycle whose lags add up to more than zero: they cannot all be kept.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct PositiveCycle<Id> {
    /// The tasks in the order of the arcs; the last one has an arc to the first.
    pub tasks: Vec<Id>,
    /// The sum of the lags: by how much the start of each task would have to be later than itself.
    pub sum: i64,
}

impl<Id: fmt::Display> fmt::Display for PositiveCycle<Id> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for task in &self.tasks {
            write!(f, "`{task}` → ")?;
        }
        match self.tasks.first() {
            Some(first) => write!(f, "`{first}` is too long by {}", self.sum),
            None => write!(f, "too long by {}", self.sum),
        }
    }
}

/// Tasks and the lags between their starts, in any one unit of time.
#[derive(Clone, Debug)]
pub struct Network<Id> {
    graph: DiGraph<Id, i64>,
}

impl<Id> Default for Network<Id> {
    fn default() -> Self {
        Network {
            graph: DiGraph::new(),
        }
    }
}

impl<Id: Clone> Network<Id> {
    /// A network without tasks.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a task.
    ///
    /// # Arguments
    /// * `id`: what the caller calls it; ids may repeat.
    ///
    /// # Returns
    /// The node that stands for it.
    ///
    /// # Complexity
    /// Constant.
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let sow = network.add("sow");
    /// assert_eq!(*network.id(sow), "sow");
    /// ```
    pub fn add(&mut self, id: Id) -> Node {
        Node(self.graph.add_node(id).index())
    }

    /// The caller's id of `node`.
    pub fn id(&self, node: Node) -> &Id {
        &self.graph[NodeIndex::new(node.0)]
    }

    /// How many tasks.
    pub fn len(&self) -> usize {
        self.graph.node_count()
    }

    /// True without tasks.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// A least lag: *start(to) ≥ start(from) + lag*.
    ///
    /// # Arguments
    /// * `from`, `to`: tasks of this network.
    /// * `lag`: may be negative or zero.
    ///
    /// # Complexity
    /// Constant.
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let (sow, open) = (network.add("sow"), network.add("open"));
    /// network.at_least(sow, open, 3);
    /// assert_eq!(network.earliest(sow).unwrap().of(open), Some(3));
    /// ```
    pub fn at_least(&mut self, from: Node, to: Node, lag: i64) {
        self.graph
            .add_edge(NodeIndex::new(from.0), NodeIndex::new(to.0), lag);
    }

    /// A greatest lag: *start(to) ≤ start(from) + lag*, kept as an arc backwards.
    ///
    /// # Arguments
    /// As in [`Network::at_least`].
    ///
    /// # Complexity
    /// Constant.
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let (sow, open) = (network.add("sow"), network.add("open"));
    /// network.at_least(sow, open, 3);
    /// network.at_most(sow, open, 4);
    /// assert_eq!(network.latest(sow, 0).unwrap().of(open), Some(4));
    /// ```
    pub fn at_most(&mut self, from: Node, to: Node, lag: i64) {
        self.at_least(to, from, lag.saturating_neg());
    }

    /// Earliest starts when `source` starts at 0.
    ///
    /// # Arguments
    /// * `source`: the task whose start is given.
    ///
    /// # Returns
    /// The longest path from `source` to each task; none for a task that no path reaches. A positive cycle that a path from `source` reaches is an error.
    ///
    /// # Complexity
    /// O(V + A) plus O(v · a) for each strong component of v tasks and a arcs.
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let (a, b, c) = (network.add('A'), network.add('B'), network.add('C'));
    /// network.at_least(a, b, 5);
    /// network.at_least(b, c, 2);
    /// network.at_most(a, c, 6);
    /// let cycle = network.earliest(a).unwrap_err();
    /// assert_eq!((cycle.tasks, cycle.sum), (vec!['A', 'B', 'C'], 1));
    /// ```
    pub fn earliest(&self, source: Node) -> Result<Starts, PositiveCycle<Id>> {
        let mut walk = Walk::new(&self.graph, Direction::Outgoing);
        walk.settle_from(NodeIndex::new(source.0))
            .map_err(|arcs| self.cycle(arcs))?;
        Ok(Starts(walk.label))
    }

    /// Latest starts when `end` starts at `at`.
    ///
    /// # Arguments
    /// * `end`: the task whose start is given.
    /// * `at`: its start.
    ///
    /// # Returns
    /// For each task `at` less the longest path from it to `end`; none for a task from which no path
    /// leads to `end`: nothing bounds it. A positive cycle from which a path leads to `end` is an error.
    ///
    /// # Complexity
    /// As [`Network::earliest`].
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let (soak, sow, wash) = (network.add("soak"), network.add("sow"), network.add("wash"));
    /// network.at_least(soak, sow, 9);
    /// network.at_least(sow, wash, 30);
    /// let latest = network.latest(sow, 40).unwrap();
    /// assert_eq!((latest.of(soak), latest.of(wash)), (Some(31), None));
    /// ```
    pub fn latest(&self, end: Node, at: i64) -> Result<Starts, PositiveCycle<Id>> {
        let mut walk = Walk::new(&self.graph, Direction::Incoming);
        walk.settle_from(NodeIndex::new(end.0))
            .map_err(|arcs| self.cycle(arcs))?;
        let start = |label: Option<i64>| label.map(|label| at.saturating_sub(label));
        Ok(Starts(walk.label.into_iter().map(start).collect()))
    }

    /// A cycle whose lags add up to more than zero, wherever it is; none when all lags can be kept.
    ///
    /// # Returns
    /// One such cycle, its sum checked arc by arc.
    ///
    /// # Complexity
    /// As [`Network::earliest`].
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let (a, b) = (network.add('A'), network.add('B'));
    /// network.at_least(a, b, 5);
    /// network.at_most(a, b, 5);
    /// assert!(network.positive_cycle().is_none());
    /// network.at_most(a, b, 3);
    /// assert_eq!(network.positive_cycle().unwrap().sum, 2);
    /// ```
    pub fn positive_cycle(&self) -> Option<PositiveCycle<Id>> {
        let mut walk = Walk::new(&self.graph, Direction::Outgoing);
        walk.settle_all().err().map(|arcs| self.cycle(arcs))
    }

    /// Total slack: how much later than its earliest start `node` may start without moving the end.
    ///
    /// # Arguments
    /// * `earliest`, `latest`: of this network.
    ///
    /// # Returns
    /// Latest less earliest start; none where either is unbounded.
    ///
    /// # Complexity
    /// Constant.
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let (a, b) = (network.add('A'), network.add('B'));
    /// network.at_least(a, b, 5);
    /// let (earliest, latest) = (network.earliest(a).unwrap(), network.latest(b, 7).unwrap());
    /// assert_eq!(network.total_slack(&earliest, &latest, b), Some(2));
    /// ```
    pub fn total_slack(&self, earliest: &Starts, latest: &Starts, node: Node) -> Option<i64> {
        Some(latest.of(node)?.saturating_sub(earliest.of(node)?))
    }

    /// Free slack: how much later than its earliest start `node` may start while every other task keeps
    /// its own earliest start.
    ///
    /// # Arguments
    /// * `earliest`: of this network.
    ///
    /// # Returns
    /// The least gap over the arcs that leave `node`; none without such arcs.
    ///
    /// # Complexity
    /// O(arcs of the node).
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let (start, short, end) = (network.add(0), network.add(1), network.add(2));
    /// network.at_least(start, short, 0);
    /// network.at_least(short, end, 2);
    /// network.at_least(start, end, 5);
    /// let earliest = network.earliest(start).unwrap();
    /// assert_eq!(network.free_slack(&earliest, short), Some(3));
    /// ```
    pub fn free_slack(&self, earliest: &Starts, node: Node) -> Option<i64> {
        let own = earliest.of(node)?;
        let arcs = self.graph.edges(NodeIndex::new(node.0));
        arcs.filter_map(|arc| {
            let next = earliest.of(Node(arc.target().index()))?;
            Some(next.saturating_sub(own).saturating_sub(*arc.weight()))
        })
        .min()
    }

    /// The critical tasks: those without total slack, in order.
    ///
    /// # Arguments
    /// * `earliest`, `latest`: of this network.
    ///
    /// # Returns
    /// Tasks by earliest start, then along the arcs, then in the order in which they were added.
    ///
    /// # Complexity
    /// O(V log V + A).
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let (a, b, c) = (network.add('A'), network.add('B'), network.add('C'));
    /// network.at_least(a, b, 4);
    /// network.at_least(a, c, 1);
    /// let (earliest, latest) = (network.earliest(a).unwrap(), network.latest(b, 4).unwrap());
    /// assert_eq!(network.critical(&earliest, &latest), [a, b]);
    /// ```
    pub fn critical(&self, earliest: &Starts, latest: &Starts) -> Vec<Node> {
        let mut place = vec![0; self.len()];
        for (order, component) in kosaraju_scc(&self.graph).iter().rev().enumerate() {
            for node in component {
                place[node.index()] = order;
            }
        }
        let mut critical: Vec<Node> = (0..self.len())
            .map(Node)
            .filter(|node| self.total_slack(earliest, latest, *node) == Some(0))
            .collect();
        critical.sort_by_key(|node| (earliest.of(*node), place[node.0], node.0));
        critical
    }

    /// One chain of tasks, each as early as the one before it allows, from `source` to `end`: why `end` cannot start sooner.
    ///
    /// # Arguments
    /// * `earliest`: from `source`.
    ///
    /// # Returns
    /// The chain with the fewest tasks, both ends included; empty when no path leads from `source` to `end`.
    ///
    /// # Complexity
    /// O(V + A).
    ///
    /// # Example
    /// ```
    /// let mut network = sowrota::plan::network::Network::new();
    /// let (a, b, c) = (network.add('A'), network.add('B'), network.add('C'));
    /// network.at_least(a, b, 4);
    /// network.at_least(b, c, 4);
    /// network.at_least(a, c, 7);
    /// let earliest = network.earliest(a).unwrap();
    /// assert_eq!(network.binding_chain(&earliest, a, c), [a, b, c]);
    /// ```
    pub fn binding_chain(&self, earliest: &Starts, source: Node, end: Node) -> Vec<Node> {
        let mut next = vec![None; self.len()];
        let mut seen = vec![false; self.len()];
        let mut queue = VecDeque::from([end.0]);
        seen[end.0] = true;
        while let Some(at) = queue.pop_front() {
            if at == source.0 {
                return chain_along(&next, at);
            }
            let Some(start) = earliest.of(Node(at)) else {
                continue;
            };
            let arcs = self
                .graph
                .edges_directed(NodeIndex::new(at), Direction::Incoming);
            let mut tight: Vec<usize> = arcs
                .filter(|arc| {
                    let before = earliest.of(Node(arc.source().index()));
                    before.is_some_and(|before| before.saturating_add(*arc.weight()) == start)
                })
                .map(|arc| arc.source().index())
                .collect();
            tight.sort_unstable();
            for before in tight {
                if !seen[before] {
                    seen[before] = true;
                    next[before] = Some(at);
                    queue.push_back(before);
                }
            }
        }
        Vec::new()
    }

    /// Names the cycle along `arcs`, and asserts that it is one and that its sum is positive.
    fn cycle(&self, arcs: Vec<EdgeIndex>) -> PositiveCycle<Id> {
        let ends = |arc: EdgeIndex| self.graph.edge_endpoints(arc).expect("arc of this graph");
        for (at, arc) in arcs.iter().enumerate() {
            let next = arcs[(at + 1) % arcs.len()];
            assert_eq!(
                ends(*arc).1,
                ends(next).0,
                "the arcs of a cycle follow one another"
            );
        }
        let sum = arcs
            .iter()
            .fold(0i64, |sum, arc| sum.saturating_add(self.graph[*arc]));
        assert!(sum > 0, "a cycle that is reported has a positive sum");
        // Begin at the task that was added first, so that the same network is always reported alike.
        let first = (0..arcs.len())
            .min_by_key(|at| ends(arcs[*at]).0)
            .unwrap_or(0);
        let around = arcs[first..].iter().chain(&arcs[..first]);
        let tasks = around.map(|arc| self.graph[ends(*arc).0].clone()).collect();
        PositiveCycle { tasks, sum }
    }
}

fn chain_along(next: &[Option<usize>], from: usize) -> Vec<Node> {
    let mut chain = vec![Node(from)];
    let mut at = from;
    while let Some(after) = next[at] {
        chain.push(Node(after));
        at = after;
    }
    chain
}

#[cfg(test)]
mod tests;
