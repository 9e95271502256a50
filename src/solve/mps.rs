//! A program as a file in the free MPS format, which most solvers read.
//!
//! Source of the format: the sections NAME, ROWS, COLUMNS, RHS, BOUNDS and ENDATA, the letters of rows (N, L, G, E) and of bounds
//! (LO, UP, FX) and the markers INTORG and INTEND as "MPS file format" in the guide of lp_solve 5.5 describes them (fields are parted by
//! blanks in the free form, so that names have none).

use super::program::{Program, Sense};

/// Name of the row that holds the cost.
pub const COST: &str = "cost";

/// What goes into the file besides the program.
#[derive(Clone, Copy, Debug)]
pub struct Named<'a> {
    /// Name of the whole.
    pub name: &'a str,
    /// A name for each column: unique, without blanks.
    pub columns: &'a [String],
    /// A name for each row, likewise.
    pub rows: &'a [String],
    /// Whether columns are marked that every plan has a whole number in. Without the marks the program is one of shares.
    pub whole: bool,
}

/// The text of the file: minimise the cost. Numbers are written so that reading gives back the same ones; every column has its bounds.
pub fn text(program: &Program, named: Named<'_>) -> String {
    let mut out = format!("NAME {}\nROWS\n N {COST}\n", named.name);
    for (row, name) in program.rows.iter().zip(named.rows) {
        let letter = match row.sense {
            Sense::AtMost => 'L',
            Sense::AtLeast => 'G',
            Sense::Equal => 'E',
        };
        out.push_str(&format!(" {letter} {name}\n"));
    }
    out.push_str("COLUMNS\n");
    columns(&mut out, program, named);
    out.push_str("RHS\n");
    for (row, name) in program.rows.iter().zip(named.rows) {
        if row.rhs != 0.0 {
            out.push_str(&format!(" rhs {name} {}\n", row.rhs));
        }
    }
    out.push_str("BOUNDS\n");
    for (column, name) in program.columns.iter().zip(named.columns) {
        if column.lower == column.upper {
            out.push_str(&format!(" FX bound {name} {}\n", column.upper));
            continue;
        }
        if column.lower != 0.0 {
            out.push_str(&format!(" LO bound {name} {}\n", column.lower));
        }
        out.push_str(&format!(" UP bound {name} {}\n", column.upper));
    }
    out.push_str("ENDATA\n");
    out
}

fn columns(out: &mut String, program: &Program, named: Named<'_>) {
    let mut terms: Vec<Vec<(usize, f64)>> = vec![Vec::new(); program.columns.len()];
    for (at, row) in program.rows.iter().enumerate() {
        for (column, coefficient) in &row.terms {
            terms[*column].push((at, *coefficient));
        }
    }
    let (mut marked, mut markers) = (false, 0);
    let mut mark = |out: &mut String, whole: bool| {
        if whole != marked {
            marked = whole;
            let sign = if whole { "INTORG" } else { "INTEND" };
            out.push_str(&format!(" mark.{markers} 'MARKER' '{sign}'\n"));
            markers += 1;
        }
    };
    for (at, (column, name)) in program.columns.iter().zip(named.columns).enumerate() {
        mark(out, named.whole && column.whole);
        // A column that stands nowhere would not be there at all.
        let of_cost = (column.cost != 0.0 || terms[at].is_empty()).then_some((COST, column.cost));
        let of_rows = terms[at]
            .iter()
            .map(|(row, amount)| (named.rows[*row].as_str(), *amount));
        let all: Vec<(&str, f64)> = of_cost.into_iter().chain(of_rows).collect();
        for pair in all.chunks(2) {
            out.push_str(&format!(" {name}"));
            for (row, amount) in pair {
                out.push_str(&format!(" {row} {amount}"));
            }
            out.push('\n');
        }
    }
    mark(out, false);
}
