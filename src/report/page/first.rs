//! The first screen: today and tomorrow, whose mats are not as they should be, calls, what gets full, what changed.

use super::data::{Data, Differences, Mat, Sheet, Wrong};
use crate::calendar::Day;
use crate::report::text::{short_day, trays};
use maud::{Markup, html};

/// Changes that are listed on the first screen.
const LISTED: usize = 6;

/// The whole of it.
pub(super) fn screen(data: &Data) -> Markup {
    html! {
        div.first {
            (day(data, "Today", data.today))
            (day(data, "Tomorrow", data.today.plus(1)))
            div.asides {
                (mats(data))
                (calls(data))
                (full(data))
                (changed(data))
            }
        }
    }
}

fn day(data: &Data, name: &str, day: Day) -> Markup {
    let id = name.to_lowercase();
    html! {
        section.card.work id=(id) aria-labelledby=(format!("{id}-head")) {
            h2 id=(format!("{id}-head")) { (name) ", " (short_day(day)) }
            @match data.sheet(day) {
                Some(sheet) => (work(sheet)),
                None => p {
                    "No work is planned."
                    @if let Some(next) = data.next_work.filter(|_| name == "Tomorrow") {
                        " The next work is on " (short_day(next)) "."
                    }
                },
            }
        }
    }
}

/// What cannot wait, then what to do by the clock, in few words.
fn work(sheet: &Sheet) -> Markup {
    html! {
        @for part in sheet.parts.iter().filter(|part| part.urgent) {
            div.urgent {
                h3 { (part.title) }
                ul { @for [_, _, text] in &part.lines { li { (text) } } }
            }
        }
        @for part in sheet.parts.iter().filter(|part| part.work) {
            h3 { (part.title) }
            table.clock {
                thead.unseen { tr { th scope="col" { "time" } th scope="col" { "people" } th scope="col" { "work" } } }
                tbody {
                    @for [times, people, text] in &part.lines {
                        tr {
                            td { (lines(times)) }
                            td { (lines(people)) }
                            td { (few_words(text)) }
                        }
                    }
                }
            }
        }
        p.more { button.day type="button" data-day=(sheet.day) { "whole sheet of " (short_day(sheet.day)) } }
    }
}

fn lines(text: &str) -> Markup {
    html! {
        @for (at, line) in text.lines().enumerate() { @if at > 0 { br; } (line) }
    }
}

/// The first two lines of a job: what, how much, where.
fn few_words(text: &str) -> Markup {
    let mut all = text.lines();
    let (first, second) = (all.next().unwrap_or(""), all.next());
    html! {
        b { (first) }
        @if let Some(second) = second { br; (second) }
    }
}

fn card(id: &str, title: &str, inside: Markup) -> Markup {
    html! {
        section.card id=(id) aria-labelledby=(format!("{id}-head")) {
            h2 id=(format!("{id}-head")) { (title) }
            (inside)
        }
    }
}

fn mats(data: &Data) -> Markup {
    let within = |mat: &Mat| matches!(mat.wrong, Wrong::OverBest | Wrong::UnderBest);
    let all_well = data.mats.iter().all(within);
    card(
        "mats",
        "Too few, too old, too young",
        html! {
            @if all_well { p { b { "Nobody" } " gets too few, too old or too young mats." } }
            @if all_well && !data.mats.is_empty() { p.quiet { "Furthest from the best age:" } }
            ul.notes { @for mat in &data.mats { (mat_line(mat)) } }
            @if data.more_off_best > 0 {
                p.quiet { "and " (data.more_off_best) " more within the limits, off the best age: their rows tell" }
            }
        },
    )
}

fn mat_line(mat: &Mat) -> Markup {
    let (class, sign, word) = match mat.wrong {
        Wrong::TooFew => ("bad", "▼", "too few"),
        Wrong::TooOld => ("bad", "●", "too old"),
        Wrong::TooYoung => ("bad", "○", "too young"),
        Wrong::OverBest => ("mild", "◐", "on the old side"),
        Wrong::UnderBest => ("mild", "◑", "on the young side"),
    };
    let when = match (mat.day, mat.wrong) {
        (Some(day), Wrong::TooFew) => format!("decide by {}", short_day(day)),
        (Some(day), _) => short_day(day),
        (None, _) => "no day would do".into(),
    };
    html! {
        li class=(class) {
            span.sign aria-hidden="true" { (sign) } " "
            b { (word) } ": " (mat.grower) ", " (mat.field) ", " (trays(mat.trays)) "; " (when)
            span.quiet { " – " (mat.words) }
        }
    }
}

fn calls(data: &Data) -> Markup {
    let calls = data.calls.chunk_by(|one, other| one.about == other.about);
    card(
        "calls",
        "Calls",
        html! {
            @if data.calls.is_empty() { p { "Nobody to call today." } }
            @for group in calls {
                h3 { (group[0].about) }
                ul { @for call in group { li { (call.words) } } }
            }
        },
    )
}

fn full(data: &Data) -> Markup {
    card(
        "full",
        "Next to be full",
        html! {
            @if data.full.is_empty() { p { "Nothing gets full." } }
            ul { @for full in &data.full { li { (full.words) } } }
        },
    )
}

fn changed(data: &Data) -> Markup {
    card(
        "changed",
        "What changed",
        match &data.changed {
            None => html! { p { "No earlier plan is kept beside this one." } },
            Some(found) if found.calls.is_empty() && found.days.is_empty() => {
                html! { p { "From today on nothing is otherwise than in " (found.from) "." } }
            }
            Some(found) => html! {
                p { "Otherwise than in " (found.from) ", from today on:" }
                (told(found, LISTED))
                @if let Some((day, ..)) = found.days.first() {
                    p { "In the nursery work changes from " (short_day(*day)) " on." }
                }
            },
        },
    )
}

/// Whom to call about changes, at most `most` of them.
pub(super) fn told(found: &Differences, most: usize) -> Markup {
    html! {
        @if found.calls.is_empty() { p { "No grower has to be called about it." } }
        ul {
            @for (by, grower, field, count, say) in found.calls.iter().take(most) {
                li { b { "call by " (short_day(*by)) } ": " (grower) ", " (field) ", " (trays(*count)) ": " (say) }
            }
        }
        @if found.calls.len() > most { p.quiet { "and " (found.calls.len() - most) " more" } }
    }
}
