//! What may be otherwise than on the sheet, as the log reads it: typed in as it stands, with the blanks filled.

use crate::calendar::Day;
use crate::plan::tasks::{Task, TaskGraph, Verb};

/// What is written into a blank.
pub const BLANK: &str = "____";

/// One row that may be typed into the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogLine {
    /// What happened, by its key in the table of words.
    pub key: &'static str,
    /// Run or field that it is about.
    pub about: String,
    /// As the log reads it, with [`BLANK`] where something is to be written.
    pub event: String,
}

fn line(key: &'static str, about: impl Into<String>, event: String) -> LogLine {
    LogLine {
        key,
        about: about.into(),
        event,
    }
}

/// What may be otherwise on a day; [`crate::disrupt::log::read`] reads each beside the date. `close` comes after them.
pub fn lines(graph: &TaskGraph<'_>, day: Day) -> Vec<LogLine> {
    let tasks = || {
        graph
            .on(day)
            .map(|(_, task)| task)
            .filter(|task| !task.past)
    };
    let of = |verb: Verb| tasks().filter(move |task| task.verb == verb);
    let run = |task: &Task| task.run.clone().unwrap_or_default();
    let mut lines = vec![line(
        "log.weather",
        "",
        format!("weather date={day} min_c={BLANK} max_c={BLANK}"),
    )];
    for task in of(Verb::Load).chain(of(Verb::HandOver)) {
        let part = task.at_run.zip(task.at_part);
        let part = part.and_then(|(run, part)| graph.view.runs.get(run)?.parts.get(part));
        let Some(part) = part.filter(|part| !part.field.spare && !part.is_seed()) else {
            continue;
        };
        let (field, n) = (&part.field.id, part.delivery.part);
        let of_field = if n > 1 {
            format!(" part={n}")
        } else {
            String::new()
        };
        let event = format!("stays field={field}{of_field}");
        lines.push(line("log.stays", part.name(), event));
    }
    let mut opened: Vec<String> = of(Verb::Unstack).map(run).collect();
    opened.dedup();
    for run in &opened {
        lines.push(line("log.closed", run, format!("opened run={run}")));
    }
    for run in &opened {
        lines.push(line(
            "log.stand",
            run,
            format!("stand run={run} share=0.{BLANK}"),
        ));
    }
    for run in &graph.view.runs {
        let early = |open: Day| day < open && open.since(day) <= SOON && run.run.sow < day;
        if run.stacks.iter().any(|stack| early(stack.stacks.open)) {
            let run = &run.run.id;
            lines.push(line("log.early", run, format!("opened run={run} on={day}")));
        }
    }
    for run in of(Verb::Sow).map(run) {
        let event = format!("not_sown run={run}");
        lines.push(line("log.not_sown", run, event));
    }
    if of(Verb::Wash).next().is_some() {
        lines.push(line(
            "log.washed",
            "",
            format!("washed on={day} trays={BLANK}"),
        ));
    }
    lines
}

/// Stacks that are opened within so many days may be ready today.
const SOON: i32 = 2;
