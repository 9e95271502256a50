//! The text of the file: against a program written by hand, and read back.

use crate::{nurseries, rest};
use sowrota::nursery::Nursery;
use sowrota::solve::program::{ColumnTag, Program, RowTag, Sense};
use sowrota::solve::relax::Relaxation;
use sowrota::solve::relax::whole::{Links, Whole};
use sowrota::solve::state::Ground;
use sowrota::solve::{mps, names};
use std::collections::{BTreeMap, BTreeSet};

/// The program that the reference guide of lp_solve 5.5 explains the format by ("mps-format", TESTPROB): least x + 4y + 9z with x + y ≤ 5,
/// x + z ≥ 10, z − y = 7, x from 0 to 4, y from −1 to 1. Its z has no upper bound there; ours are finite. By hand: y = −1 gives
/// z = 6, then x = 4: 54.
#[test]
fn a_program_as_it_is_published() {
    let mut program = Program::default();
    let x = program.column(ColumnTag::Clean(0), 4.0, true, 1.0);
    let y = program.column(ColumnTag::Clean(1), 1.0, true, 4.0);
    let z = program.column(ColumnTag::Clean(2), 100.0, true, 9.0);
    program.columns[y].lower = -1.0;
    (program.columns[x].whole, program.columns[y].whole) = (false, false);
    let mut row = |at, terms, sense, rhs| program.row(RowTag::CarryClean(at), terms, sense, rhs);
    row(0, vec![(x, 1.0), (y, 1.0)], Sense::AtMost, 5.0);
    row(1, vec![(x, 1.0), (z, 1.0)], Sense::AtLeast, 10.0);
    row(2, vec![(y, -1.0), (z, 1.0)], Sense::Equal, 7.0);
    let bounds = program.columns.iter();
    let bounds = bounds.map(|column| (column.lower, column.upper)).collect();
    let rest::Found::Point(cost, point) = rest::least(&program, bounds) else {
        panic!("no point");
    };
    assert!((cost - 54.0).abs() < 1e-6, "{cost}");
    assert!((point[z] - 6.0).abs() < 1e-6, "{point:?}");
    let columns = ["xone", "ytwo", "zthree"].map(String::from);
    let rows = ["lim1", "lim2", "myeqn"].map(String::from);
    let text = |whole| {
        let named = mps::Named {
            name: "testprob",
            columns: &columns,
            rows: &rows,
            whole,
        };
        mps::text(&program, named)
    };
    let by_hand = "\
NAME testprob
ROWS
 N cost
 L lim1
 G lim2
 E myeqn
COLUMNS
 xone cost 1 lim1 1
 xone lim2 1
 ytwo cost 4 lim1 1
 ytwo myeqn -1
 zthree cost 9 lim2 1
 zthree myeqn 1
RHS
 rhs lim1 5
 rhs lim2 10
 rhs myeqn 7
BOUNDS
 UP bound xone 4
 LO bound ytwo -1
 UP bound ytwo 1
 UP bound zthree 100
ENDATA
";
    assert_eq!(text(false), by_hand);
    let marked = by_hand
        .replace(" zthree cost", " mark.0 'MARKER' 'INTORG'\n zthree cost")
        .replace("RHS\n rhs", " mark.1 'MARKER' 'INTEND'\nRHS\n rhs");
    assert_eq!(text(true), marked);
}

/// A column as read: lower and upper bound, whether it is whole, its cost and its terms by row.
#[derive(Clone, Debug, Default, PartialEq)]
struct ReadColumn {
    name: String,
    bounds: (Option<f64>, Option<f64>),
    whole: bool,
    cost: f64,
    terms: BTreeMap<usize, f64>,
}

/// Columns, and rows with their senses and right-hand sides.
type ReadBack = (Vec<ReadColumn>, Vec<(String, char, f64)>);

/// A reader of the free format, as far as programs of ours go.
fn read(text: &str) -> ReadBack {
    let (mut columns, mut rows): ReadBack = (Vec::new(), Vec::new());
    let (mut section, mut whole, mut cost) = ("", false, "");
    let number = |word: &str| -> f64 { word.parse().unwrap() };
    for line in text.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        if !line.starts_with(' ') {
            section = words[0];
            continue;
        }
        let row_at = |rows: &[(String, char, f64)], name: &str| {
            rows.iter().position(|row| row.0 == name).unwrap()
        };
        match (section, &words[..]) {
            ("ROWS", ["N", name]) => cost = name,
            ("ROWS", [letter, name]) => {
                rows.push((name.to_string(), letter.chars().next().unwrap(), 0.0));
            }
            ("COLUMNS", [_, "'MARKER'", "'INTORG'"]) => whole = true,
            ("COLUMNS", [_, "'MARKER'", "'INTEND'"]) => whole = false,
            ("COLUMNS", [name, pairs @ ..]) => {
                if columns.last().is_none_or(|last| last.name != *name) {
                    columns.push(ReadColumn {
                        name: name.to_string(),
                        whole,
                        ..ReadColumn::default()
                    });
                }
                let column = columns.last_mut().unwrap();
                for pair in pairs.chunks(2) {
                    if pair[0] == cost {
                        column.cost = number(pair[1]);
                    } else {
                        column.terms.insert(row_at(&rows, pair[0]), number(pair[1]));
                    }
                }
            }
            ("RHS", [_, name, value]) => {
                let at = row_at(&rows, name);
                rows[at].2 = number(value);
            }
            ("BOUNDS", [letters, _, name, value]) => {
                let column = columns.iter_mut().find(|column| column.name == *name);
                let bounds = &mut column.unwrap().bounds;
                match *letters {
                    "UP" => bounds.1 = Some(number(value)),
                    "LO" => bounds.0 = Some(number(value)),
                    "FX" => *bounds = (Some(number(value)), Some(number(value))),
                    other => panic!("{other}"),
                }
            }
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(section, "ENDATA");
    (columns, rows)
}

/// Reading gives back every number as it is.
fn same_again(ground: &Ground<'_>, program: &Program, whole: bool) {
    let (columns, rows) = (
        names::columns(ground, program),
        names::rows(ground, program),
    );
    for names in [&columns, &rows] {
        let once: BTreeSet<&String> = names.iter().collect();
        assert_eq!(once.len(), names.len());
        let sound = |name: &String| name.is_ascii() && !name.contains(' ') && name.len() <= 255;
        assert!(names.iter().all(sound));
    }
    let named = mps::Named {
        name: "made-up",
        columns: &columns,
        rows: &rows,
        whole,
    };
    let (read_columns, read_rows) = read(&mps::text(program, named));
    assert_eq!(read_columns.len(), program.columns.len());
    assert_eq!(read_rows.len(), program.rows.len());
    let mut terms: Vec<BTreeMap<usize, f64>> = vec![BTreeMap::new(); columns.len()];
    for (at, row) in program.rows.iter().enumerate() {
        let letter = match row.sense {
            Sense::AtMost => 'L',
            Sense::AtLeast => 'G',
            Sense::Equal => 'E',
        };
        assert_eq!(read_rows[at], (rows[at].clone(), letter, row.rhs));
        for (column, amount) in &row.terms {
            assert!(
                terms[*column].insert(at, *amount).is_none(),
                "{:?}",
                row.tag
            );
        }
    }
    for (at, column) in program.columns.iter().enumerate() {
        assert!(
            column.upper.is_finite() && column.lower <= column.upper,
            "{column:?}"
        );
        let read = &read_columns[at];
        let bounds = (read.bounds.0.unwrap_or(0.0), read.bounds.1.unwrap());
        assert_eq!(read.name, columns[at]);
        assert_eq!(bounds, (column.lower, column.upper), "{}", read.name);
        assert_eq!(read.cost, column.cost, "{}", read.name);
        assert_eq!(read.whole, whole && column.whole, "{}", read.name);
        assert_eq!(read.terms, terms[at], "{}", read.name);
    }
}

#[test]
fn what_is_written_reads_back_the_same() {
    for seed in 0..12 {
        let mut scenario = nurseries::harder(seed);
        // Ids that look alike once they stand side by side, and signs beyond ASCII.
        scenario.name = "Müh len".into();
        scenario.fields[0].id = "é.1".into();
        let nursery = Nursery::new(&scenario);
        let ground = Ground::new(&nursery);
        let relaxation = Relaxation::new(&ground).program;
        same_again(&ground, &relaxation, false);
        let whole = Whole::new(&ground, Links::Both);
        same_again(&ground, whole.program(), true);
        let known: BTreeSet<String> = names::columns(&ground, whole.program())
            .into_iter()
            .collect();
        let of_relaxation = names::columns(&ground, &relaxation);
        // The relaxation adds up the trays of a run in a place, for shorter rows.
        let mut own = of_relaxation
            .iter()
            .filter(|name| !name.starts_with("sown."));
        assert!(own.all(|name| known.contains(name)));
    }
}
