//! Room to move: planned, earliest and latest day of the tasks of one day, and the critical path.

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, fold};
use crate::calendar::Day;
use crate::plan::tasks::{Room, TaskGraph};

/// The tasks of `day` with their earliest and latest day, and the critical path, as plain text.
pub fn text(graph: &TaskGraph<'_>, room: &Room, day: Day) -> String {
    let mut table = Table::new(vec![
        Column::new("task", Align::Left, Fit::Cut),
        Column::new("planned", Align::Right, Fit::Keep),
        Column::new("earliest", Align::Right, Fit::Keep),
        Column::new("latest", Align::Right, Fit::Keep),
        Column::new("days to spare", Align::Right, Fit::Keep),
    ]);
    for (at, task) in graph.on(day) {
        let latest = room.latest(at);
        table.row([
            task.id.clone(),
            task.day.spoken(),
            room.earliest(at).map_or_else(|| "-".into(), Day::spoken),
            latest.map_or_else(|| "any later".into(), Day::spoken),
            latest.map_or_else(String::new, |latest| latest.since(task.day).to_string()),
        ]);
    }
    let mut out = format!(
        "Room to move on {} {}, if people, floor and trays allow\n",
        day.weekday(),
        day.spoken()
    );
    if table.is_empty() {
        out.push_str("  no task is planned on this day\n");
    } else {
        out.push_str(&table.render(WIDTH));
    }
    if !room.critical_path.is_empty() {
        out.push_str("\nCritical path: why the last field cannot be planted sooner\n");
        for line in room.critical_path_in_words(graph) {
            for line in fold(&format!("  {line}"), WIDTH) {
                out.push_str(&line);
                out.push('\n');
            }
        }
    }
    out
}
