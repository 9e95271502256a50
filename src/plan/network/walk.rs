//! Longest paths through a network, one strong component after the other.

use petgraph::Direction;
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, EdgeIndex, NodeIndex};
use petgraph::visit::{EdgeFiltered, EdgeRef};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Longest paths along the arcs (`Outgoing`) or against them (`Incoming`).
pub(super) struct Walk<'a, Id> {
    graph: &'a DiGraph<Id, i64>,
    way: Direction,
    pub(super) label: Vec<Option<i64>>,
    /// The arc that gave a task its label.
    by: Vec<Option<EdgeIndex>>,
}

/// Arcs of a positive cycle, in their order.
pub(super) type CycleArcs = Vec<EdgeIndex>;

impl<'a, Id> Walk<'a, Id> {
    pub(super) fn new(graph: &'a DiGraph<Id, i64>, way: Direction) -> Self {
        let count = graph.node_count();
        Walk {
            graph,
            way,
            label: vec![None; count],
            by: vec![None; count],
        }
    }

    pub(super) fn settle_from(&mut self, anchor: NodeIndex) -> Result<(), CycleArcs> {
        self.label[anchor.index()] = Some(0);
        self.settle(Some(anchor))?;
        // Of several arcs that close a cycle the one that is worst, so that the report does not depend
        // on the order in which arcs are kept.
        let closing = self
            .graph
            .edges_directed(anchor, self.way.opposite())
            .filter_map(|arc| {
                let (tail, _) = self.ends(arc.source(), arc.target());
                let sum = self.label[tail.index()]?.saturating_add(*arc.weight());
                (sum > 0).then_some((std::cmp::Reverse(sum), tail, arc.id()))
            });
        match closing.min() {
            Some((_, tail, arc)) => Err(self.in_order(self.back_to(tail, anchor, arc))),
            None => Ok(()),
        }
    }

    pub(super) fn settle_all(&mut self) -> Result<(), CycleArcs> {
        self.label.fill(Some(0));
        self.settle(None)
    }

    /// Tail and head in the direction of the walk.
    fn ends(&self, source: NodeIndex, target: NodeIndex) -> (NodeIndex, NodeIndex) {
        match self.way {
            Direction::Outgoing => (source, target),
            Direction::Incoming => (target, source),
        }
    }

    /// Settles one strong component after the other; arcs back to `anchor` are left out.
    fn settle(&mut self, anchor: Option<NodeIndex>) -> Result<(), CycleArcs> {
        let components = {
            let (graph, way) = (self.graph, self.way);
            let kept = EdgeFiltered::from_fn(graph, move |arc| {
                let head = if way == Direction::Outgoing {
                    arc.target()
                } else {
                    arc.source()
                };
                Some(head) != anchor
            });
            kosaraju_scc(&kept)
        };
        let mut number = vec![0; self.graph.node_count()];
        for (at, component) in components.iter().enumerate() {
            for node in component {
                number[node.index()] = at;
            }
        }
        let count = components.len();
        for step in 0..count {
            let at = if self.way == Direction::Outgoing {
                count - 1 - step
            } else {
                step
            };
            self.settle_one(&components[at], &number, anchor)?;
        }
        Ok(())
    }

    /// Corrects labels inside one component until nothing changes, then passes them on.
    fn settle_one(
        &mut self,
        component: &[NodeIndex],
        number: &[usize],
        anchor: Option<NodeIndex>,
    ) -> Result<(), CycleArcs> {
        let graph = self.graph;
        let mut members: Vec<NodeIndex> = component.to_vec();
        members.sort_unstable();
        let mut queue: VecDeque<NodeIndex> = members
            .iter()
            .copied()
            .filter(|node| self.label[node.index()].is_some())
            .collect();
        let mut queued: BTreeSet<NodeIndex> = queue.iter().copied().collect();
        let mut changes = 0;
        while let Some(tail) = queue.pop_front() {
            queued.remove(&tail);
            for arc in graph.edges_directed(tail, self.way) {
                let (_, head) = self.ends(arc.source(), arc.target());
                if Some(head) == anchor || !self.raise(tail, head, *arc.weight(), arc.id()) {
                    continue;
                }
                if number[head.index()] != number[tail.index()] {
                    continue;
                }
                changes += 1;
                if changes % members.len() == 0
                    && let Some(cycle) = self.cycle_among(&members, number)
                {
                    return Err(self.in_order(cycle));
                }
                if queued.insert(head) {
                    queue.push_back(head);
                }
            }
        }
        Ok(())
    }

    fn raise(&mut self, tail: NodeIndex, head: NodeIndex, lag: i64, arc: EdgeIndex) -> bool {
        let Some(label) = self.label[tail.index()] else {
            return false;
        };
        let reached = label.saturating_add(lag);
        let higher = self.label[head.index()].is_none_or(|label| reached > label);
        if higher {
            self.label[head.index()] = Some(reached);
            self.by[head.index()] = Some(arc);
        }
        higher
    }

    fn tail_of(&self, arc: EdgeIndex) -> NodeIndex {
        let (source, target) = self.graph.edge_endpoints(arc).expect("arc of this graph");
        self.ends(source, target).0
    }

    /// A cycle of the arcs that gave the labels inside one component, last arc first. Labels only ever
    /// rise, so such a cycle has a positive sum.
    fn cycle_among(&self, members: &[NodeIndex], number: &[usize]) -> Option<CycleArcs> {
        let mut seen_from = BTreeMap::new();
        for start in members {
            let mut at = *start;
            loop {
                match seen_from.get(&at) {
                    Some(seen) if seen == start => return Some(self.back_around(at)),
                    Some(_) => break,
                    None => {}
                }
                seen_from.insert(at, *start);
                let Some(arc) = self.by[at.index()] else {
                    break;
                };
                let tail = self.tail_of(arc);
                if number[tail.index()] != number[start.index()] {
                    break;
                }
                at = tail;
            }
        }
        None
    }

    fn back_around(&self, on_cycle: NodeIndex) -> CycleArcs {
        let mut arcs = Vec::new();
        let mut at = on_cycle;
        while let Some(arc) = self.by[at.index()] {
            arcs.push(arc);
            at = self.tail_of(arc);
            if at == on_cycle {
                break;
            }
        }
        arcs
    }

    /// The arcs from `tail` back to `anchor`, closed by `last`.
    fn back_to(&self, tail: NodeIndex, anchor: NodeIndex, last: EdgeIndex) -> CycleArcs {
        let mut arcs = vec![last];
        let mut at = tail;
        while at != anchor
            && let Some(arc) = self.by[at.index()]
        {
            arcs.push(arc);
            at = self.tail_of(arc);
        }
        arcs
    }

    /// Turns a cycle found backwards into the order of its arcs.
    fn in_order(&self, mut found: CycleArcs) -> CycleArcs {
        if self.way == Direction::Outgoing {
            found.reverse();
        }
        found
    }
}
