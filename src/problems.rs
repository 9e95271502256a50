//! What is wrong, or odd, in a file as written: gathered, never first-only, each with its place.

use serde::Serialize;
use std::fmt;

/// How bad a [`Problem`] is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The file cannot be used until this is mended.
    Error,
    /// Legal, but unlikely to be meant.
    Warning,
    /// Accepted, and worth knowing (a byte-order mark, `;` as separator).
    Note,
}

/// Where in a file: a JSON text has line and column, a table has a row and a column's name.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Default, Serialize)]
pub struct Place {
    /// File as the user would name it.
    pub file: String,
    /// Line, from 1; in a table the line of the row.
    pub line: Option<usize>,
    /// Column in characters, from 1 (JSON only).
    pub column: Option<usize>,
    /// Path of the field: `kinds[2].age.youngest`; in a table the column's name.
    pub field: Option<String>,
}

/// One thing wrong or odd.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// How bad.
    pub severity: Severity,
    /// Stable code: `S` and three digits. Never reused.
    pub code: &'static str,
    /// Where.
    pub place: Place,
    /// What is wrong, in plain words, with what was found; lower case, no full stop.
    pub message: String,
    /// What was expected.
    pub expected: Option<String>,
    /// What to do about it, with the nearest right name where there is one.
    pub help: Option<String>,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(f, ":{column}")?;
            }
        }
        if let Some(field) = &self.field {
            write!(f, " {field}")?;
        }
        Ok(())
    }
}

impl fmt::Display for Problem {
    /// First line stands alone: severity, code, place, message. Then `expected` and `help`, indented.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let severity = match self.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        };
        write!(
            f,
            "{severity}[{}] {}: {}",
            self.code, self.place, self.message
        )?;
        if let Some(expected) = &self.expected {
            write!(f, "\n    expected: {expected}")?;
        }
        if let Some(help) = &self.help {
            write!(f, "\n    help: {help}")?;
        }
        Ok(())
    }
}

/// All problems found in one reading, in the order of the files.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Problems(pub Vec<Problem>);

impl Problems {
    /// True when at least one is an error.
    pub fn any_error(&self) -> bool {
        self.0
            .iter()
            .any(|problem| problem.severity == Severity::Error)
    }

    /// Adds one.
    pub fn push(&mut self, problem: Problem) {
        self.0.push(problem);
    }
}
