//! Tests of the network: small ones by hand, random ones against a slow method, large ones for depth.

use super::*;

/// Four tasks worked by hand: B ≥ A+5, C ≥ B+2, D ≥ A+3, C ≥ D+1, C ≤ A+limit.
fn four(limit: i64) -> (Network<char>, [Node; 4]) {
    let mut network = Network::new();
    let nodes = ['A', 'B', 'C', 'D'].map(|id| network.add(id));
    let [a, b, c, d] = nodes;
    network.at_least(a, b, 5);
    network.at_least(b, c, 2);
    network.at_least(a, d, 3);
    network.at_least(d, c, 1);
    network.at_most(a, c, limit);
    (network, nodes)
}

#[test]
fn a_greatest_lag_back_to_the_source_bounds_the_latest_start() {
    let (network, [a, b, c, d]) = four(9);
    let latest = network.latest(a, 0).unwrap();
    assert_eq!(
        [b, c, d].map(|node| latest.of(node)),
        [Some(7), Some(9), Some(8)]
    );
}

#[test]
fn the_same_cycle_is_named_whichever_way_it_is_found() {
    let (network, [a, _, c, _]) = four(6);
    let found = [
        network.earliest(a).unwrap_err(),
        network.earliest(c).unwrap_err(),
        network.latest(a, 0).unwrap_err(),
        network.latest(c, 100).unwrap_err(),
        network.positive_cycle().unwrap(),
    ];
    for cycle in found {
        assert_eq!((cycle.tasks, cycle.sum), (vec!['A', 'B', 'C'], 1));
    }
}

#[test]
fn a_task_that_must_follow_itself_is_a_cycle_of_one() {
    let mut network = Network::new();
    let (a, b) = (network.add('A'), network.add('B'));
    network.at_least(a, b, 1);
    network.at_least(b, b, 0);
    assert!(network.earliest(a).is_ok());
    network.at_least(b, b, 4);
    let cycle = network.earliest(a).unwrap_err();
    assert_eq!((cycle.tasks, cycle.sum), (vec!['B'], 4));
    assert!(network.latest(a, 0).is_ok(), "no path leads from B to A");
}

#[test]
fn what_nothing_reaches_has_no_start() {
    let mut network = Network::new();
    let (a, b) = (network.add('A'), network.add('B'));
    network.at_least(b, a, 1);
    let earliest = network.earliest(a).unwrap();
    assert_eq!((earliest.of(a), earliest.of(b)), (Some(0), None));
    assert_eq!(network.total_slack(&earliest, &earliest, b), None);
    assert!(network.binding_chain(&earliest, b, a).is_empty());
}

#[test]
fn fifty_thousand_tasks_with_windows_and_waits() {
    let mut network = Network::new();
    let origin = network.add(0);
    let mut last = origin;
    for chain in 0..10_000 {
        let tasks: Vec<Node> = (0..5)
            .map(|task| network.add(chain * 5 + task + 1))
            .collect();
        network.at_least(origin, tasks[0], 0);
        for pair in tasks.windows(2) {
            network.at_least(pair[0], pair[1], 3);
            network.at_most(pair[0], pair[1], 4);
        }
        network.at_most(tasks[0], tasks[4], 14);
        network.at_most(origin, tasks[4], 40);
        // Each chain begins no sooner than the one before: a path of 10,000 tasks.
        network.at_least(last, tasks[0], 0);
        last = tasks[0];
    }
    let (earliest, latest) = (
        network.earliest(origin).unwrap(),
        network.latest(origin, 0).unwrap(),
    );
    assert_eq!(
        (earliest.of(Node(5)), latest.of(Node(5))),
        (Some(12), Some(40))
    );
    assert_eq!((earliest.of(last), latest.of(last)), (Some(0), Some(28)));
    assert!(network.positive_cycle().is_none());
    network.at_least(origin, last, 29);
    assert_eq!(network.earliest(origin).unwrap_err().sum, 1);
}

#[test]
fn one_component_of_many_tasks_is_settled_and_its_cycle_found() {
    let mut network = Network::new();
    let nodes: Vec<Node> = (0..20_000).map(|id| network.add(id)).collect();
    for pair in nodes.windows(2) {
        network.at_least(pair[0], pair[1], 1);
        network.at_most(pair[0], pair[1], 1);
    }
    let earliest = network.earliest(nodes[0]).unwrap();
    assert_eq!(earliest.of(nodes[19_999]), Some(19_999));
    network.at_most(nodes[9_000], nodes[9_001], 0);
    let cycle = network.positive_cycle().unwrap();
    assert_eq!((cycle.tasks, cycle.sum), (vec![9_000, 9_001], 1));
}

mod any_network {
    use super::*;
    use proptest::prelude::*;

    /// Starts by going over all arcs as often as there are tasks; none when they still change.
    fn slowly(count: usize, arcs: &[(usize, usize, i64)]) -> Option<Vec<Option<i64>>> {
        let mut start = vec![None; count];
        start[0] = Some(0i64);
        for _ in 0..=count {
            let mut changed = false;
            for (from, to, lag) in arcs {
                let Some(label) = start[*from] else { continue };
                if start[*to].is_none_or(|old| old < label + lag) {
                    start[*to] = Some(label + lag);
                    changed = true;
                }
            }
            if !changed {
                return Some(start);
            }
        }
        None
    }

    proptest! {
        #[test]
        fn agrees_with_the_slow_way(
            count in 1usize..9,
            arcs in prop::collection::vec((0usize..9, 0usize..9, -9i64..6), 0..24),
        ) {
            let arcs: Vec<_> = arcs.into_iter().map(|(a, b, lag)| (a % count, b % count, lag)).collect();
            let mut network = Network::new();
            let nodes: Vec<Node> = (0..count).map(|id| network.add(id)).collect();
            for (from, to, lag) in &arcs {
                network.at_least(nodes[*from], nodes[*to], *lag);
            }
            match (network.earliest(nodes[0]), slowly(count, &arcs)) {
                (Ok(starts), Some(slow)) => prop_assert_eq!(starts.0, slow),
                (Err(cycle), None) => {
                    let best = |from: usize, to: usize| {
                        let lags = arcs.iter().filter(|arc| (arc.0, arc.1) == (from, to));
                        lags.map(|arc| arc.2).max().expect("an arc of the network")
                    };
                    let tasks = &cycle.tasks;
                    let sum: i64 = (0..tasks.len())
                        .map(|at| best(tasks[at], tasks[(at + 1) % tasks.len()]))
                        .sum();
                    // Of two arcs side by side the cycle may run over the lesser.
                    prop_assert!(cycle.sum <= sum);
                    prop_assert!(cycle.sum > 0);
                }
                (fast, slow) => prop_assert!(false, "{:?} against {:?}", fast, slow),
            }
            // Turned round, the latest starts are the earliest with the sign changed.
            let mut turned = Network::new();
            let back: Vec<Node> = (0..count).map(|id| turned.add(id)).collect();
            for (from, to, lag) in &arcs {
                turned.at_least(back[*to], back[*from], *lag);
            }
            match (network.earliest(nodes[0]), turned.latest(back[0], 0)) {
                (Ok(forward), Ok(backward)) => {
                    let signs: Vec<_> = backward.0.iter().map(|start| start.map(|at| -at)).collect();
                    prop_assert_eq!(forward.0, signs);
                }
                (Err(_), Err(_)) => {}
                (one, other) => prop_assert!(false, "{:?} against {:?}", one, other),
            }
        }
    }
}
