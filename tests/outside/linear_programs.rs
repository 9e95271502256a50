//! The relaxation's own linear program and its adapter against textbook programs. The solver stops within about
//! 1e-8, so costs are held to 1e-6 of their size and changes of cost to 1e-3.

use crate::near;
use sowrota::solve::lp;
use sowrota::solve::program::{ColumnTag, Program, RowTag, Sense};

use Sense::{AtLeast, AtMost, Equal};

/// To minimise: a column for each cost, none above `most`, which the rows imply.
fn columns(costs: &[f64], most: f64) -> Program {
    let mut program = Program::default();
    for (at, cost) in costs.iter().enumerate() {
        program.column(ColumnTag::Clean(at), most, false, *cost);
    }
    program
}

/// Adds a row with a coefficient for some columns.
fn row(program: &mut Program, terms: &[(usize, f64)], sense: Sense, rhs: f64) {
    let tag = RowTag::CarryClean(program.rows.len());
    program.row(tag, terms.to_vec(), sense, rhs);
}

/// A coefficient for every column.
fn full(coefficients: &[f64]) -> Vec<(usize, f64)> {
    coefficients.iter().copied().enumerate().collect()
}

/// The optimum, with its bound near and not above it.
#[track_caller]
fn optimum(program: &Program, wanted: f64) -> Vec<f64> {
    let solved = lp::solve(program, &[]).expect("solves");
    near("cost", solved.cost, wanted, 1e-6 * wanted.abs().max(1.0));
    let bound = solved.bound.expect("bounded");
    let slack = 1e-4 * wanted.abs().max(1.0);
    assert!(bound <= wanted + 1e-6 * wanted.abs().max(1.0) && bound > wanted - slack);
    solved.x
}

/// What one more (`by` 1) or one less (−1) of a row's right-hand side does to the cost.
fn change(program: &Program, row: usize, by: f64) -> Option<f64> {
    let mut changed = program.clone();
    changed.rows[row].rhs += by;
    Some(lp::solve(&changed, &[])?.cost - lp::solve(program, &[])?.cost)
}

/// Prices that are known to be best prove the optimum by themselves, and each is what one more unit costs and one less saves.
#[track_caller]
fn proved_by(program: &Program, prices: &[f64], wanted: f64) {
    let bound = program.safe_bound(prices).unwrap();
    near("bound by prices", bound, wanted, 1e-9 * wanted.abs());
    for (row, price) in prices.iter().enumerate() {
        for by in [1.0, -1.0] {
            let found = change(program, row, by).expect("solves");
            near(
                &format!("row {row} by {by}"),
                found,
                by * price,
                1e-3 * price.abs().max(1.0),
            );
        }
    }
}

// From memory: Hillier and Lieberman, Introduction to Operations Research, Wyndor Glass: most of 3x + 5y with x ≤ 4, 2y ≤ 12, 3x + 2y ≤ 18: 36 at (2, 6), prices
// 0, 1.5 and 1.
#[test]
fn wyndor_glass() {
    let mut program = columns(&[-3.0, -5.0], 10.0);
    row(&mut program, &[(0, 1.0)], AtMost, 4.0);
    row(&mut program, &[(1, 2.0)], AtMost, 12.0);
    row(&mut program, &[(0, 3.0), (1, 2.0)], AtMost, 18.0);
    let x = optimum(&program, -36.0);
    near("x", x[0], 2.0, 1e-4);
    near("y", x[1], 6.0, 1e-4);
    proved_by(&program, &[0.0, -1.5, -1.0], -36.0);
}

// From memory: Winston, Operations Research, Dakota furniture: 280 with 2 desks, no table and 8 chairs; prices 0, 10, 10 and 0; a table made all
// the same costs 5.
#[test]
fn dakota_furniture() {
    let mut program = columns(&[-60.0, -30.0, -20.0], 50.0);
    row(&mut program, &full(&[8.0, 6.0, 1.0]), AtMost, 48.0);
    row(&mut program, &full(&[4.0, 2.0, 1.5]), AtMost, 20.0);
    row(&mut program, &full(&[2.0, 1.5, 0.5]), AtMost, 8.0);
    row(&mut program, &[(1, 1.0)], AtMost, 5.0);
    let x = optimum(&program, -280.0);
    for (found, wanted) in x.into_iter().zip([2.0, 0.0, 8.0]) {
        near("made", found, wanted, 1e-4);
    }
    proved_by(&program, &[0.0, -10.0, -10.0, 0.0], -280.0);
    let with_a_table = lp::solve(&program, &[None, Some(1.0), None]).unwrap();
    near("a table", with_a_table.cost, -275.0, 1e-3);
}

/// Sailco by quarters: columns regular, overtime, held; rows balance, then regular at most 40.
fn sailco(demands: [f64; 4], closing: f64) -> Program {
    let costs = [[400.0; 4], [450.0; 4], [20.0; 4]].concat();
    let mut program = columns(&costs, 1_000.0);
    for (at, demand) in demands.into_iter().enumerate() {
        let mut terms = vec![(at, 1.0), (4 + at, 1.0), (8 + at, -1.0)];
        let on_hand = if at == 0 { 10.0 } else { 0.0 };
        if at > 0 {
            terms.push((8 + at - 1, 1.0));
        }
        row(&mut program, &terms, Equal, demand - on_hand);
    }
    for at in 0..4 {
        row(&mut program, &[(at, 1.0)], AtMost, 40.0);
    }
    if closing > 0.0 {
        row(&mut program, &[(11, 1.0)], AtLeast, closing);
    }
    program
}

// From memory: Winston, the Sailco example: 78,450; a boat more costs 430, 450, 450 and 400 by quarter. With 70 in quarter 3 worked out: 76,200.
#[test]
fn sailco_boats() {
    let program = sailco([40.0, 60.0, 75.0, 25.0], 0.0);
    let x = optimum(&program, 78_450.0);
    for (found, wanted) in x
        .into_iter()
        .zip([40.0, 40.0, 40.0, 25.0, 0.0, 10.0, 35.0, 0.0])
    {
        near("boats", found, wanted, 1e-2);
    }
    let prices = [430.0, 450.0, 450.0, 400.0, -30.0, -50.0, -50.0, 0.0];
    proved_by(&program, &prices, 78_450.0);
    optimum(&sailco([40.0, 60.0, 70.0, 25.0], 0.0), 76_200.0);
}

// Source: the same with a rate of 50 before, 400 a unit of increase and 500 of decrease, and 10 at the end, worked out: 94,500 at 55 in each quarter.
#[test]
fn sailco_smoothed() {
    let mut program = sailco([40.0, 60.0, 75.0, 25.0], 10.0);
    for at in 0..4 {
        let up = program.column(ColumnTag::Dirty(at), 1_000.0, false, 400.0);
        let down = program.column(ColumnTag::Washed(at), 1_000.0, false, 500.0);
        let mut terms = vec![(at, 1.0), (4 + at, 1.0), (up, -1.0), (down, 1.0)];
        let before = if at == 0 { 50.0 } else { 0.0 };
        if at > 0 {
            terms.extend([(at - 1, -1.0), (4 + at - 1, -1.0)]);
        }
        row(&mut program, &terms, Equal, before);
    }
    let x = optimum(&program, 94_500.0);
    for at in 0..4 {
        near("made", x[at] + x[4 + at], 55.0, 1e-2);
    }
}

/// A transport program: rows of supply, then of demand.
fn transport(costs: &[&[f64]], supply: &[f64], demand: &[f64]) -> Program {
    let most = supply.iter().fold(0.0_f64, |a, b| a.max(*b));
    let mut program = columns(&costs.concat(), most);
    let towns = demand.len();
    for (plant, most) in supply.iter().enumerate() {
        let terms: Vec<_> = (0..towns).map(|town| (plant * towns + town, 1.0)).collect();
        row(&mut program, &terms, AtMost, *most);
    }
    for (town, least) in demand.iter().enumerate() {
        let terms: Vec<_> = (0..supply.len())
            .map(|plant| (plant * towns + town, 1.0))
            .collect();
        row(&mut program, &terms, AtLeast, *least);
    }
    program
}

// Source: Dantzig, Linear Programming and Extensions, 1963, chapter 3: two plants, three towns, 90 a unit and thousand miles: 153.675 thousand; towns' prices
// 0.225, 0.153, 0.126, plants' 0.
#[test]
fn two_plants_and_three_towns() {
    let far = |miles: [f64; 3]| miles.map(|miles| miles * 0.09);
    let program = transport(
        &[&far([2.5, 1.7, 1.8]), &far([2.5, 1.8, 1.4])],
        &[350.0, 600.0],
        &[325.0, 300.0, 275.0],
    );
    optimum(&program, 153.675);
    proved_by(&program, &[0.0, 0.0, 0.225, 0.153, 0.126], 153.675);
}

// From memory: Winston, Powerco: 1,020. Prices are not unique, supply equals demand: one more of plant 1 saves 3, of the others nothing; one less of a city saves 9, 9, 13, 5; one
// less supply leaves no plan.
#[test]
fn powerco_where_prices_depend_on_the_side() {
    let program = transport(
        &[
            &[8.0, 6.0, 10.0, 9.0],
            &[9.0, 12.0, 13.0, 7.0],
            &[14.0, 9.0, 16.0, 5.0],
        ],
        &[35.0, 50.0, 40.0],
        &[45.0, 20.0, 30.0, 30.0],
    );
    optimum(&program, 1_020.0);
    for (row, saved) in [3.0, 0.0, 0.0].into_iter().enumerate() {
        near(
            "one more supply",
            change(&program, row, 1.0).unwrap(),
            -saved,
            0.01,
        );
        assert!(change(&program, row, -1.0).is_none());
    }
    for (city, saved) in [9.0, 9.0, 13.0, 5.0].into_iter().enumerate() {
        near(
            "one less demand",
            change(&program, 3 + city, -1.0).unwrap(),
            -saved,
            0.01,
        );
    }
}

// By hand: least of 2a + 3b with a + b ≥ 4, a ≤ 3: 9 at (3, 1); one more to be met costs 3, one more of the scarce one saves 1.
#[test]
fn signs_of_prices_when_minimising() {
    let mut program = columns(&[2.0, 3.0], 10.0);
    row(&mut program, &[(0, 1.0), (1, 1.0)], AtLeast, 4.0);
    row(&mut program, &[(0, 1.0)], AtMost, 3.0);
    optimum(&program, 9.0);
    proved_by(&program, &[3.0, -1.0], 9.0);
    // With the signs turned the prices still prove something, and less.
    assert!(program.safe_bound(&[-3.0, 1.0]).unwrap() < 9.0);
}

// Source: Wagner and Whitin, Management Science 5, 1958, pages 89–96 (from memory): 864, and the best of the first 1 to 12 periods. Each demand is linked with each lot, so that the relaxation
// has no gap: Krarup and Bilde, 1977.
#[test]
fn wagner_and_whitin_as_a_linear_program() {
    let demands = [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56].map(f64::from);
    let set_ups = [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114].map(f64::from);
    let best = [85, 114, 186, 277, 348, 400, 469, 555, 600, 710, 789, 864].map(f64::from);
    for periods in 1..=12 {
        let mut program = columns(&set_ups[..periods], 1.0);
        for (need, demand) in demands.iter().enumerate().take(periods) {
            let mut met = Vec::new();
            for made in 0..=need {
                let held = demand * (need - made) as f64;
                let share = program.column(ColumnTag::Held(made, need), 1.0, false, held);
                met.push((share, 1.0));
                row(&mut program, &[(share, 1.0), (made, -1.0)], AtMost, 0.0);
            }
            row(&mut program, &met, Equal, 1.0);
        }
        optimum(&program, best[periods - 1]);
    }
}

/// People who begin on each day and work five; rows by day.
fn post_office(need: [f64; 7]) -> Program {
    let mut program = columns(&[1.0; 7], 100.0);
    for (day, least) in need.into_iter().enumerate() {
        let terms: Vec<_> = (0..5).map(|ago| ((day + 7 - ago) % 7, 1.0)).collect();
        row(&mut program, &terms, AtLeast, least);
    }
    program
}

const NEED: [f64; 7] = [17.0, 13.0, 15.0, 19.0, 14.0, 16.0, 11.0];

// From memory: Winston, the post office: need 17, 13, 15, 19, 14, 16, 11, five days on, two off: 22 1/3 people in parts, so 23, on whatever day the
// week begins.
#[test]
fn the_post_office() {
    for first in 0..7 {
        let mut need = NEED;
        need.rotate_left(first);
        optimum(&post_office(need), 67.0 / 3.0);
    }
}

// Source: inputs of an exercise in Winston: 50 a day for five days, a sixth day for 62; worked out: 5,370.
#[test]
fn the_post_office_with_a_sixth_day() {
    let mut program = post_office(NEED);
    for begins in 0..7 {
        program.columns[begins].cost = 250.0;
        let sixth = program.column(ColumnTag::Dirty(begins), 100.0, false, 62.0);
        program.rows[(begins + 5) % 7].terms.push((sixth, 1.0));
        row(&mut program, &[(sixth, 1.0), (begins, -1.0)], AtMost, 0.0);
    }
    optimum(&program, 5_370.0);
}

// From memory: Hillier and Lieberman, Union Airways: five shifts over ten spans: 30,610 with 48, 31, 39, 43 and 15 people; prices 10, 160, 0, 0, 0, 0, 175, 5, 0, 195.
#[test]
fn union_airways() {
    let mut program = columns(&[170.0, 160.0, 175.0, 180.0, 195.0], 200.0);
    let shifts = [0..4, 1..5, 3..7, 5..9, 8..10];
    let need = [
        48.0, 79.0, 65.0, 87.0, 64.0, 73.0, 82.0, 43.0, 52.0, 15.0_f64,
    ];
    for (span, least) in need.into_iter().enumerate() {
        let at_work = shifts
            .iter()
            .enumerate()
            .filter(|(_, shift)| shift.contains(&span));
        let terms: Vec<_> = at_work.map(|(shift, _)| (shift, 1.0)).collect();
        row(&mut program, &terms, AtLeast, least);
    }
    let x = optimum(&program, 30_610.0);
    for (found, wanted) in x.into_iter().zip([48.0, 31.0, 39.0, 43.0, 15.0]) {
        near("people", found, wanted, 1e-3);
    }
    let prices = [10.0, 160.0, 0.0, 0.0, 0.0, 0.0, 175.0, 5.0, 0.0, 195.0];
    proved_by(&program, &prices, 30_610.0);
}
