//! `sowrota balance` says what more even weeks cost: the same nursery planned at several prices on hiring and releasing people.

mod ran;

use sowrota::audit::audit;
use sowrota::scenario::{self, Scenario};
use sowrota::solve::levelling::{Level, levels};
use sowrota::solve::{Budget, Unwatched};
use sowrota::units::{Fixed, Money};
use std::path::Path;
use unicode_width::UnicodeWidthStr;

const NURSERY: &str = "tests/balance/nursery.json";

/// Exit code, standard output and standard error.
fn run(arguments: &[&str]) -> (i32, String, String) {
    ran::run(Path::new(env!("CARGO_MANIFEST_DIR")), arguments)
}

fn balance(more: &[&str]) -> (i32, String, String) {
    let first = ["balance", NURSERY, "--quiet", "--moves", "4000"];
    run(&[&first[..], more].concat())
}

fn nursery() -> Scenario {
    let text = include_str!("balance/nursery.json");
    let no_tables = |_: &str| Err("no tables here".to_string());
    let checked = scenario::read_bytes("nursery.json", text.as_bytes(), &no_tables);
    assert!(!checked.problems.any_error(), "{:#?}", checked.problems);
    checked.scenario.unwrap()
}

fn at(scenario: &Scenario, times: &[i64]) -> Vec<Level> {
    let budget = Budget {
        moves: 4_000,
        relaxations: 1,
        seed: 1,
    };
    let times: Vec<Fixed<2>> = times.iter().map(|hundredths| Fixed(*hundredths)).collect();
    levels(scenario, &times, &budget, &mut Unwatched)
}

/// All but the price of changes, trays short with it, thousandths.
fn paid(level: &Level) -> i64 {
    level.plan.cost.with_shortage().0 - level.plan.cost.changes.0
}

/// How often a person is hired or released, counted from the plan alone.
fn changes(level: &Level) -> i64 {
    let mut all = 0;
    for crew in &level.plan.scenario.crews {
        let weeks = level.plan.people.iter().filter(|week| week.crew == crew.id);
        let mut before = crew.casual.map_or(0, |casual| casual.before);
        for week in weeks {
            all += (week.casual - before).abs();
            before = week.casual;
        }
    }
    all
}

#[test]
fn what_is_paid_never_falls_and_changes_never_grow() {
    let scenario = nursery();
    let levels = at(&scenario, &[0, 50, 100, 300, 2_000]);
    let curve: Vec<(i64, i64)> = levels.iter().map(|one| (paid(one), changes(one))).collect();
    assert!(
        curve.is_sorted_by(|one, next| one.0 <= next.0 && one.1 >= next.1),
        "{curve:?}"
    );
    // Not one plan five times.
    let (first, last) = (curve[0], curve[curve.len() - 1]);
    assert!(first.0 < last.0 && first.1 > last.1, "{curve:?}");
    for level in &levels {
        let found = audit(&level.plan, &level.plan.scenario);
        assert_eq!(found.breaches, [], "{} times", level.times);
        assert_eq!(found.cost, level.plan.cost);
        // Hiring and releasing cost 20 each here.
        let price = 20_000 * level.times.0 / 100 * changes(level);
        assert_eq!(level.plan.cost.changes, Money { 0: price });
        // Of the scenario nothing but these two prices is another.
        let mut planned = level.plan.scenario.clone();
        let casual = planned.crews[1].casual.as_mut().unwrap();
        let own = scenario.crews[1].casual.unwrap();
        assert_eq!(casual.hire.0, own.hire.0 * level.times.0 / 100);
        (casual.hire, casual.release) = (own.hire, own.release);
        assert_eq!(planned, scenario);
    }
}

/// The order of the numbers is that of the answer, and changes nothing else.
#[test]
fn levels_come_in_the_order_asked_for() {
    let (up, down) = (at(&nursery(), &[0, 300]), at(&nursery(), &[300, 0]));
    assert_eq!((down[0].times, down[1].times), (Fixed(300), Fixed(0)));
    assert!(paid(&down[0]) >= paid(&down[1]) && changes(&down[0]) <= changes(&down[1]));
    assert!(paid(&up[1]) >= paid(&up[0]));
    assert!(at(&nursery(), &[]).is_empty());
}

#[test]
fn the_tables_say_what_is_won_at_which_cost() {
    let (code, out, err) = balance(&[]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.lines().all(|line| line.width() <= 80), "{out}");
    insta::assert_snapshot!("levels", out);
    assert_eq!(balance(&[]).1, out, "the same bytes again");
}

#[test]
fn levels_can_be_had_for_machines() {
    let (code, out, _) = balance(&["--json", "--times", "0,1.5"]);
    assert_eq!(code, 0);
    let levels: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(levels[0]["times"], serde_json::json!(0));
    assert_eq!(levels[1]["times"], serde_json::json!(1.5));
    insta::assert_snapshot!("levels_for_machines", out);
}

#[test]
fn one_level_is_compared_with_nothing() {
    let (code, out, _) = balance(&["--times", "1"]);
    assert_eq!(code, 0);
    assert!(
        out.contains("\n1 time ") && !out.contains("grows by"),
        "{out}"
    );
}

#[test]
fn without_a_price_on_hiring_there_is_nothing_to_balance() {
    let (code, out, err) = run(&["balance", "tests/smallest/nursery.json"]);
    assert_eq!((code, out.as_str()), (2, ""));
    insta::assert_snapshot!("no_price", err);
}

#[test]
fn numbers_that_are_none_are_named() {
    let mut told = String::new();
    for times in ["-1", "1000.01", "1.005", "much", "", "1,,2", "0;1"] {
        let (code, out, err) = balance(&[&format!("--times={times}")]);
        assert_eq!((code, out.as_str()), (2, ""), "{times}");
        told.push_str(&format!("# {times}\n{err}\n"));
    }
    insta::assert_snapshot!("bad_times", told);
}

#[test]
fn a_scenario_with_faults_is_told_them() {
    let (code, out, err) = run(&["balance", "tests/no_such_folder"]);
    assert_eq!((code, out.as_str()), (1, ""));
    assert!(err.contains("no_such_folder"), "{err}");
}
