//! What is said of a program that was written to a file, and of an answer that cannot be a plan.

use super::text::{count, number, wrap};
use crate::solve::program::Program;
use std::path::Path;

/// Which program it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The relaxation, which bounds the cost of every plan.
    Relaxation,
    /// The program of whole lots, whose points are plans.
    Whole,
}

/// A program's size and where it stands.
pub fn text(program: &Program, which: Which, file: &Path) -> String {
    let sizes = [
        count(number(program.columns.len() as i64), "column", "columns"),
        count(number(program.rows.len() as i64), "row", "rows"),
        count(number(program.terms() as i64), "term", "terms"),
    ];
    let mut out = match which {
        Which::Relaxation => wrap(
            "",
            "  ",
            "the relaxation: no plan can cost less than its least cost",
        ),
        Which::Whole => wrap(
            "",
            "  ",
            "the whole-lot program: each of its points in whole numbers is a plan",
        ),
    };
    out.push_str(&wrap("", "  ", &sizes.join(", ")));
    if which == Which::Whole {
        let whole = program.columns.iter().filter(|column| column.whole).count();
        out.push_str(&format!(
            "{} of the columns hold whole numbers\n",
            number(whole as i64)
        ));
    }
    out.push_str(&format!("program: {}\n", file.display()));
    out
}

/// Why an answer is no plan.
pub fn refused(lacks: &[String]) -> String {
    let mut out = String::from("error: the answer is no plan; it needs\n");
    for lack in lacks {
        out.push_str(&wrap("  ", "    ", lack));
    }
    out
}
