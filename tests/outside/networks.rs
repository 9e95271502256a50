//! Task networks whose answers are known: a textbook project, Patterson's and PSPLIB's projects,
//! and networks with least and greatest lags. Sources stand in `data/networks/README.md` and here.

use serde::Deserialize;
use sowrota::plan::network::{Network, Node, Starts};

/// A project of activities in order, with a start before and an end after all of them.
struct Project {
    network: Network<usize>,
    nodes: Vec<Node>,
    start: Node,
    end: Node,
}

impl Project {
    /// Activities count from 0; `before_after` are pairs of them.
    fn new(durations: &[i64], before_after: &[(usize, usize)]) -> Project {
        let mut network = Network::new();
        let start = network.add(usize::MAX);
        let nodes: Vec<Node> = (0..durations.len()).map(|at| network.add(at)).collect();
        let end = network.add(usize::MAX);
        for (node, duration) in nodes.iter().zip(durations) {
            network.at_least(start, *node, 0);
            network.at_least(*node, end, *duration);
        }
        for (before, after) in before_after {
            network.at_least(nodes[*before], nodes[*after], durations[*before]);
        }
        Project {
            network,
            nodes,
            start,
            end,
        }
    }

    fn passes(&self) -> (i64, Starts, Starts) {
        let earliest = self.network.earliest(self.start).unwrap();
        let length = earliest.of(self.end).unwrap();
        let latest = self.network.latest(self.end, length).unwrap();
        (length, earliest, latest)
    }

    fn critical(&self, earliest: &Starts, latest: &Starts) -> Vec<usize> {
        let critical = self.network.critical(earliest, latest);
        critical
            .iter()
            .filter(|node| self.nodes.contains(node))
            .map(|node| *self.network.id(*node))
            .collect()
    }
}

/// F. S. Hillier, G. J. Lieberman, Introduction to Operations Research: the Reliable Construction project (from memory;
/// the answers were recomputed with an independent program).
#[test]
fn reliable_construction_takes_44_weeks() {
    let durations = [2, 4, 10, 6, 4, 5, 7, 9, 7, 8, 4, 5, 2, 6];
    let order = "AB BC CD CE EF DG EH GH CI FJ IJ JK JL HM KN LN";
    let letter = |byte: u8| usize::from(byte - b'A');
    let order: Vec<_> = order
        .split(' ')
        .map(|pair| (letter(pair.as_bytes()[0]), letter(pair.as_bytes()[1])))
        .collect();
    let project = Project::new(&durations, &order);
    let (length, earliest, latest) = project.passes();
    assert_eq!(length, 44);

    let starts: Vec<i64> = project
        .nodes
        .iter()
        .map(|node| earliest.of(*node).unwrap())
        .collect();
    assert_eq!(
        starts,
        [0, 2, 6, 16, 16, 20, 22, 29, 16, 25, 33, 33, 38, 38]
    );
    let named = |slack: &dyn Fn(Node) -> Option<i64>| -> Vec<(char, i64)> {
        let all = project
            .nodes
            .iter()
            .enumerate()
            .map(|(at, node)| (at, slack(*node).unwrap()));
        all.filter(|(_, slack)| *slack > 0)
            .map(|(at, slack)| ((b'A' + at as u8) as char, slack))
            .collect()
    };
    let total = named(&|node| project.network.total_slack(&earliest, &latest, node));
    assert_eq!(
        total,
        [('D', 4), ('G', 4), ('H', 4), ('I', 2), ('K', 1), ('M', 4)]
    );
    let free = named(&|node| project.network.free_slack(&earliest, node));
    assert_eq!(free, [('I', 2), ('K', 1), ('M', 4)]);

    let critical: String = project
        .critical(&earliest, &latest)
        .iter()
        .map(|at| (b'A' + *at as u8) as char)
        .collect();
    assert_eq!(critical, "ABCEFJLN");
    let chain = project
        .network
        .binding_chain(&earliest, project.start, project.end);
    let chain: String = chain[1..chain.len() - 1]
        .iter()
        .map(|node| (b'A' + *project.network.id(*node) as u8) as char)
        .collect();
    assert_eq!(chain, "ABCEFJLN");
}

#[derive(Deserialize)]
struct Published {
    name: String,
    duration: Vec<i64>,
    before_after: Vec<(usize, usize)>,
    length: i64,
    critical: Vec<usize>,
}

#[derive(Deserialize)]
struct Projects {
    projects: Vec<Published>,
}

/// J. H. Patterson, Management Science 30 (1984); R. Kolisch, A. Sprecher, PSPLIB, EJOR 96 (1997) 205–216.
#[test]
fn published_projects_have_their_length_and_critical_activities() {
    let all: Projects = serde_json::from_str(include_str!("data/networks/projects.json")).unwrap();
    assert_eq!(all.projects.len(), 4);
    for published in all.projects {
        let order: Vec<_> = published
            .before_after
            .iter()
            .map(|(a, b)| (a - 1, b - 1))
            .collect();
        let project = Project::new(&published.duration, &order);
        let (length, earliest, latest) = project.passes();
        assert_eq!(length, published.length, "{}", published.name);
        let mut critical: Vec<usize> = project
            .critical(&earliest, &latest)
            .iter()
            .map(|at| at + 1)
            .collect();
        critical.sort_unstable();
        assert_eq!(critical, published.critical, "{}", published.name);
    }
}

#[derive(Deserialize)]
struct WithLags {
    name: String,
    arcs_from_to_least_lag: Vec<(usize, usize, i64)>,
    earliest_start: Vec<Option<i64>>,
    latest_start_with_end_at_its_earliest: Vec<Option<i64>>,
}

#[derive(Deserialize)]
struct AllWithLags {
    networks: Vec<WithLags>,
}

/// The network called `name`, the lag of one arc changed when asked.
fn with_lags(
    name: &str,
    changed: Option<(usize, usize, i64)>,
) -> (WithLags, Network<usize>, Vec<Node>) {
    let all: AllWithLags = serde_json::from_str(include_str!("data/networks/lags.json")).unwrap();
    let case = all
        .networks
        .into_iter()
        .find(|case| case.name == name)
        .unwrap();
    let mut network = Network::new();
    let nodes: Vec<Node> = (0..case.earliest_start.len())
        .map(|id| network.add(id))
        .collect();
    let mut found = changed.is_none();
    for (from, to, lag) in &case.arcs_from_to_least_lag {
        let lag = match changed {
            Some((a, b, other)) if (a, b) == (*from, *to) => {
                found = true;
                other
            }
            _ => *lag,
        };
        network.at_least(nodes[*from], nodes[*to], lag);
    }
    // No task starts before the project does.
    for node in &nodes[1..] {
        network.at_least(nodes[0], *node, 0);
    }
    assert!(found, "the changed arc is one of the network");
    (case, network, nodes)
}

/// ProGen/max set sm_j10 (C. Schwindt, 1998), distributed by PSPLIB.
#[test]
fn networks_with_greatest_lags_have_their_starts() {
    for name in ["PSP1", "PSP3", "PSP97"] {
        let (case, network, nodes) = with_lags(name, None);
        assert!(network.positive_cycle().is_none(), "{name}");
        let earliest = network.earliest(nodes[0]).unwrap();
        let starts: Vec<_> = nodes.iter().map(|node| earliest.of(*node)).collect();
        assert_eq!(starts, case.earliest_start, "{name}");
        let end = *nodes.last().unwrap();
        let latest = network.latest(end, earliest.of(end).unwrap()).unwrap();
        let starts: Vec<_> = nodes.iter().map(|node| latest.of(*node)).collect();
        assert_eq!(starts, case.latest_start_with_end_at_its_earliest, "{name}");
    }
}

/// The same set: the cycle 6 → 5 → 8 → 6 of PSP97 has length 0, and arc 7 → 6 of PSP3 may rise by one.
#[test]
fn a_cycle_of_length_nought_is_kept_and_one_more_is_named() {
    let (_, network, nodes) = with_lags("PSP97", Some((8, 6, -24)));
    for cycle in [
        network.positive_cycle().unwrap(),
        network.earliest(nodes[0]).unwrap_err(),
    ] {
        assert_eq!((cycle.tasks, cycle.sum), (vec![5, 8, 6], 1));
    }
    let (_, network, nodes) = with_lags("PSP3", Some((7, 6, -1)));
    let earliest = network.earliest(nodes[0]).unwrap();
    assert_eq!(earliest.of(nodes[11]), Some(28));
    let (_, network, nodes) = with_lags("PSP3", Some((7, 6, 0)));
    let cycle = network.earliest(nodes[0]).unwrap_err();
    assert_eq!((cycle.tasks, cycle.sum), (vec![6, 7], 1));
}

/// Worked by hand: B ≥ A+5, C ≥ B+2, D ≥ A+3, C ≥ D+1, C ≤ A+M.
#[test]
fn four_tasks_by_hand() {
    for limit in [6, 7, 8, 100] {
        let mut network = Network::new();
        let [a, b, c, d] = ['A', 'B', 'C', 'D'].map(|id| network.add(id));
        network.at_least(a, b, 5);
        network.at_least(b, c, 2);
        network.at_least(a, d, 3);
        network.at_least(d, c, 1);
        network.at_most(a, c, limit);
        match network.earliest(a) {
            Ok(starts) => {
                assert!(limit >= 7);
                let starts = [a, b, c, d].map(|node| starts.of(node));
                assert_eq!(starts, [Some(0), Some(5), Some(7), Some(3)]);
            }
            Err(cycle) => {
                assert_eq!(limit, 6);
                assert_eq!(cycle.to_string(), "`A` → `B` → `C` → `A` is too long by 1");
            }
        }
    }
}
