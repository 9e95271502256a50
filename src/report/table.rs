//! A small table for plain text: columns aligned, cells wrapped or cut so that no line is too long.
//!
//! Widths are those of a terminal (wide characters count twice). A cell may hold several lines.

use super::text::{cut, fold};
use unicode_width::UnicodeWidthStr;

/// Between two columns.
const GAP: usize = 2;

/// A column that gives way keeps at least this.
const LEAST: usize = 8;

/// On which side of its column a cell stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Align {
    Left,
    Right,
}

/// What a column does when the table is too wide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Keeps its width while others can give way.
    Keep,
    /// Gives way; its cells go on in the next line.
    Wrap,
    /// Gives way; its cells are cut, with `…` at the end.
    Cut,
    /// Wraps, and takes what the others leave of the width.
    Fill,
}

/// One column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    title: String,
    align: Align,
    fit: Fit,
}

impl Column {
    /// A column with its title; the title may be empty.
    pub fn new(title: &str, align: Align, fit: Fit) -> Column {
        Column {
            title: title.to_string(),
            align,
            fit,
        }
    }
}

/// Rows under columns.
///
/// ```
/// use sowrota::report::table::{Align, Column, Fit, Table};
/// let mut table = Table::new(vec![
///     Column::new("run", Align::Left, Fit::Keep),
///     Column::new("trays", Align::Right, Fit::Keep),
/// ]);
/// table.row(["R001".to_string(), "612".to_string()]);
/// assert_eq!(table.render(80), "run   trays\nR001    612\n");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    columns: Vec<Column>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table without rows.
    pub fn new(columns: Vec<Column>) -> Table {
        Table {
            columns,
            rows: Vec::new(),
        }
    }

    /// Adds a row; cells beyond the columns are left out, missing ones are empty.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// True without rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The table as lines of at most `width`, each ended by a newline and without spaces before it.
    ///
    /// Columns that wrap or are cut give way first, the widest first; only if that is not enough do all columns.
    /// The titles are left out when all are empty.
    pub fn render(&self, width: usize) -> String {
        let widths = self.widths(width);
        let mut out = String::new();
        if self.columns.iter().any(|column| !column.title.is_empty()) {
            let titles: Vec<String> = self
                .columns
                .iter()
                .map(|column| column.title.clone())
                .collect();
            self.line(&titles, &widths, &mut out);
        }
        for row in &self.rows {
            self.line(row, &widths, &mut out);
        }
        out
    }

    fn widths(&self, width: usize) -> Vec<usize> {
        let mut widths: Vec<usize> = self.columns.iter().map(|c| c.title.width()).collect();
        for row in &self.rows {
            for (width, cell) in widths.iter_mut().zip(row) {
                *width = cell
                    .lines()
                    .map(UnicodeWidthStr::width)
                    .chain([*width])
                    .max()
                    .unwrap_or(0);
            }
        }
        let room = width.saturating_sub(GAP * self.columns.len().saturating_sub(1));
        for least in [LEAST, 1] {
            let gives = |at: usize| least < LEAST || self.columns[at].fit != Fit::Keep;
            while widths.iter().sum::<usize>() > room {
                let widest = (0..widths.len())
                    .filter(|at| gives(*at) && widths[*at] > least)
                    .max_by_key(|at| (widths[*at], std::cmp::Reverse(*at)));
                let Some(widest) = widest else { break };
                widths[widest] -= 1;
            }
        }
        if let Some(fill) = self
            .columns
            .iter()
            .position(|column| column.fit == Fit::Fill)
        {
            widths[fill] += room.saturating_sub(widths.iter().sum());
        }
        widths
    }

    fn line(&self, row: &[String], widths: &[usize], out: &mut String) {
        let cells: Vec<Vec<String>> = self
            .columns
            .iter()
            .enumerate()
            .map(|(at, column)| {
                let text = row.get(at).map_or("", String::as_str);
                match column.fit {
                    Fit::Cut => text.lines().map(|line| cut(line, widths[at])).collect(),
                    _ => fold(text, widths[at]),
                }
            })
            .collect();
        let height = cells.iter().map(Vec::len).max().unwrap_or(0).max(1);
        for at in 0..height {
            let mut line = String::new();
            for (column, (cell, width)) in self.columns.iter().zip(cells.iter().zip(widths)) {
                let text = cell.get(at).map_or("", String::as_str);
                let pad = " ".repeat(width.saturating_sub(text.width()));
                match column.align {
                    Align::Left => line.extend([text, &pad]),
                    Align::Right => line.extend([pad.as_str(), text]),
                }
                line.push_str(&" ".repeat(GAP));
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_that_may_give_way_before_those_that_keep() {
        let mut table = Table::new(vec![
            Column::new("time", Align::Left, Fit::Keep),
            Column::new("what", Align::Left, Fit::Wrap),
            Column::new("where", Align::Left, Fit::Cut),
        ]);
        table.row([
            "07:00-08:00".into(),
            "open forty stacks and lay them out".into(),
            "house by the river".into(),
        ]);
        let lines = [
            "time         what         where",
            "07:00-08:00  open forty   house by th…",
            "             stacks and",
            "             lay them",
            "             out",
        ];
        assert_eq!(table.render(38).lines().collect::<Vec<_>>(), lines);
    }

    #[test]
    fn a_column_that_fills_keeps_the_last_one_at_the_edge() {
        let mut table = Table::new(vec![
            Column::new("what", Align::Left, Fit::Fill),
            Column::new("done", Align::Left, Fit::Keep),
        ]);
        table.row(["sow".into(), "____".into()]);
        assert_eq!(table.render(14), "what      done\nsow       ____\n");
    }

    #[test]
    fn wide_characters_count_twice_and_nothing_is_too_long() {
        let mut table = Table::new(vec![
            Column::new("", Align::Left, Fit::Wrap),
            Column::new("", Align::Right, Fit::Keep),
        ]);
        table.row(["早生の白い稲の苗箱".into(), "612".into()]);
        table.row(["Supercalifragilistic".into(), "1".into()]);
        for width in 6..40 {
            for line in table.render(width).lines() {
                assert!(line.width() <= width, "{width}: {line}");
            }
        }
        assert_eq!(
            table.render(14),
            "早生の白   612\nい稲の苗\n箱\nSupercali    1\nfragilist\nic\n"
        );
    }
}
