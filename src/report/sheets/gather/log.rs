//! What may be otherwise than on the sheet, as the log reads it: typed in as it stands, with the blanks filled.

use crate::calendar::Day;
use crate::plan::tasks::{Task, TaskGraph, Verb};

/// What is written into a blank.
pub const BLANK: &str = "____";

/// The events of a day, with [`BLANK`] where something is to be written; `close` is the last.
///
/// [`crate::disrupt::log::read`] reads them: one a row, beside the date.
pub fn lines(graph: &TaskGraph<'_>, day: Day) -> Vec<String> {
    let tasks = || {
        graph
            .on(day)
            .map(|(_, task)| task)
            .filter(|task| !task.past)
    };
    let of = |verb: Verb| tasks().filter(move |task| task.verb == verb);
    let run = |task: &Task| task.run.clone().unwrap_or_default();
    let mut lines = vec![format!("weather date={day} min_c={BLANK} max_c={BLANK}")];
    let leaves = of(Verb::Load).chain(of(Verb::HandOver)).filter(|task| {
        let part = task.at_run.zip(task.at_part);
        let part = part.and_then(|(run, part)| graph.view.runs.get(run)?.parts.get(part));
        part.is_some_and(|part| !part.field.spare && !part.is_seed())
    });
    lines.extend(leaves.map(|task| {
        let field = task.field.clone().unwrap_or_default();
        let part = task.part.filter(|part| *part > 1);
        let part = part.map_or(String::new(), |part| format!(" part={part}"));
        format!("stays field={field}{part}")
    }));
    let mut opened: Vec<String> = of(Verb::Unstack).map(run).collect();
    opened.dedup();
    lines.extend(opened.iter().map(|run| format!("opened run={run}")));
    lines.extend(
        opened
            .iter()
            .map(|run| format!("stand run={run} share=0.{BLANK}")),
    );
    for run in &graph.view.runs {
        let early = |open: Day| day < open && open.since(day) <= SOON && run.run.sow < day;
        if run.stacks.iter().any(|stack| early(stack.stacks.open)) {
            lines.push(format!("opened run={} on={day}", run.run.id));
        }
    }
    lines.extend(of(Verb::Sow).map(|task| format!("not_sown run={}", run(task))));
    // Trays may be washed on a day without washing too; then there is something to wash, and it stands on the sheet.
    lines.extend(of(Verb::Wash).map(|_| format!("washed on={day} trays={BLANK}")));
    lines.push("close".into());
    lines.dedup();
    lines
}

/// Stacks that are opened within so many days may be ready today.
const SOON: i32 = 2;
