//! The page as markup: head, first screen, rows over days, charts, fields, differences, rain, and the window for what is clicked.

use super::data::{Data, Differences, Series};
use super::{SCRIPT, STYLE, chart, first, rows, script_data};
use crate::disrupt::sweep::Cell;
use crate::report::text::{number, short_day};
use crate::report::weeks::CrewWeeks;
use crate::units::div_near;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::collections::BTreeSet;

/// Nothing may be fetched, by whatever stands in a name.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// The whole page.
pub(super) fn page(data: &Data) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (data.nursery) ", plan " (data.revision) ", " (short_day(data.today)) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a.skip href="#today" { "to today's work" }
                header {
                    h1 { (data.nursery) }
                    p {
                        "Plan " (data.revision) ", seen on " (data.today.weekday()) " " (data.today.spoken()) " " (data.today.ymd().0)
                        "; planned from " (short_day(data.horizon.first)) " to " (short_day(data.horizon.last)) " " (data.horizon.last.ymd().0)
                    }
                    (ways(data))
                }
                main {
                    (first::screen(data))
                    section id="lots" {
                        h2 { "From seed to field" }
                        p.quiet { "One row a lot, by sow day. Choose a name or a row for its story. Thin upright lines are Mondays." }
                        (rows::legend())
                        (rows::seasons(data))
                    }
                    (fields(data))
                    (charts("loads", "Load and limit", "The stepped line is the limit, a mark above says that a day is full. Choose a day in a picture for its sheet.", &data.loads))
                    (crews(data))
                    (stocks(data))
                    @if let Some(found) = &data.beside { (beside(found)) }
                    @if !data.sweep.is_empty() { (rain(&data.sweep)) }
                }
                dialog id="story" aria-labelledby="story-head" {
                    h2 id="story-head" tabindex="-1" { "Story" }
                    div id="story-body" {}
                    p { button.close type="button" { "close" } }
                }
                script type="application/json" id="data" { (PreEscaped(script_data::text(data))) }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    }
}

fn ways(data: &Data) -> Markup {
    html! {
        nav aria-label="Parts of the page" {
            a href="#today" { "Today" } " "
            a href="#lots" { "Seed to field" } " "
            a href="#fields" { "Fields" } " "
            a href="#loads" { "Loads" } " "
            a href="#crews" { "Crews" } " "
            a href="#stocks" { "Stocks" } " "
            @if data.beside.is_some() { a href="#beside" { "Two plans" } " " }
            @if !data.sweep.is_empty() { a href="#rain" { "Rain" } " " }
            span.pick {
                label for="pick" { "Sheet of " }
                input id="pick" type="date" min=(data.horizon.first) max=(data.horizon.last) value=(data.today);
                " " button id="open-day" type="button" { "open" }
            }
        }
    }
}

fn fields(data: &Data) -> Markup {
    let growers: BTreeSet<&str> = data.lots.iter().map(|lot| lot.grower.as_str()).collect();
    let kinds: BTreeSet<&str> = data.lots.iter().map(|lot| lot.kind.as_str()).collect();
    let columns = [
        ("name", "field"),
        ("grower", "grower"),
        ("kind", "kind"),
        ("trays", "trays"),
        ("sow", "sown"),
        ("day", "planted"),
        ("age", "days old"),
        ("last", "last day"),
        ("told", "told"),
    ];
    html! {
        section id="fields" {
            h2 { "Fields" }
            div.controls {
                label for="search" { "Search" } " "
                input id="search" type="search" autocomplete="off" spellcheck="false";
                " " (choice("grower", "Grower", &growers)) " " (choice("kind", "Kind", &kinds))
                " " output id="found" for="search grower kind" { (data.lots.len()) " lots" }
            }
            section.wide tabindex="0" aria-label="Table of fields" {
                table id="table" {
                    caption.unseen { "Fields with their dates; a heading sorts by its column" }
                    thead { tr {
                        @for (key, title) in columns {
                            th scope="col" { button.sort type="button" data-key=(key) { (title) } }
                        }
                    } }
                    tbody {}
                }
            }
            p { button id="more" type="button" hidden { "show more" } }
            noscript { p { "The table needs the page's own script; the rows above show the same lots." } }
        }
    }
}

fn choice(id: &str, title: &str, names: &BTreeSet<&str>) -> Markup {
    html! {
        label for=(id) { (title) } " "
        select id=(id) {
            option value="" { "all" }
            @for name in names.iter().filter(|name| !name.is_empty()) { option value=(name) { (name) } }
        }
    }
}

fn charts(id: &str, title: &str, says: &str, all: &[Series]) -> Markup {
    html! {
        section id=(id) {
            h2 { (title) }
            @if all.is_empty() { p { "Nothing is used." } } @else { p.quiet { (says) } }
            div.figures { @for series in all { (chart::figure(series)) } }
        }
    }
}

fn stocks(data: &Data) -> Markup {
    html! {
        section id="stocks" {
            h2 { "Stocks" }
            p.quiet { "What is left in store and of clean trays, day by day. A thing without a store of its own has no picture; what is to be ordered of it stands below." }
            div.figures { @for series in &data.stocks { (chart::figure(series)) } }
            @if !data.orders.is_empty() {
                h3 { "To order" }
                ul { @for (by, words) in &data.orders { li { b { "by " (short_day(*by)) } ": " (words) } } }
            }
        }
    }
}

fn crews(data: &Data) -> Markup {
    html! {
        section id="crews" {
            h2 { "Crews by week" }
            p.quiet { "Hours of work against hours of the shifts, people hired counted in." }
            div.figures {
                @for crew in &data.crews {
                    @if let Some(series) = weeks(crew) { (chart::figure(&series)) }
                }
            }
            @for crew in &data.crews {
                details {
                    summary { (crew.name) ", week by week" }
                    section.wide tabindex="0" aria-label=(format!("{}, week by week", crew.name)) { table {
                        thead { tr {
                            th scope="col" { "week from" } th scope="col" { "people" } th scope="col" { "hired" }
                            th scope="col" { "hours of work" } th scope="col" { "hours of shifts" } th scope="col" { "hours bought" }
                        } }
                        tbody { @for week in &crew.weeks { tr {
                            th scope="row" { (week.week.monday().map_or(String::new(), short_day)) }
                            td { (week.people) } td { (week.hired) }
                            td { (hours(week.needed_minutes)) } td { (hours(week.present_minutes)) } td { (hours(week.bought_minutes)) }
                        } } }
                    } }
                }
            }
        }
    }
}

fn hours(minutes: i64) -> String {
    number(div_near(minutes, 60))
}

/// A crew's weeks from the first to the last; weeks without work are empty.
fn weeks(crew: &CrewWeeks) -> Option<Series> {
    let first = crew.weeks.first()?.week.monday()?;
    let last = crew.weeks.last()?.week.monday()?;
    let busiest = crew.weeks.iter().max_by_key(|week| week.needed_minutes)?;
    let all = (0..=last.since(first) / 7).map(|at| {
        let monday = first.plus(at * 7);
        let week = crew
            .weeks
            .iter()
            .find(|week| week.week.monday() == Some(monday));
        week.map_or((0, 0), |week| (week.needed_minutes, week.present_minutes))
    });
    let (used, there): (Vec<i64>, Vec<i64>) = all.unzip();
    let top = used.iter().chain(&there).max().copied().unwrap_or(0);
    Some(Series {
        title: crew.name.clone(),
        first,
        step: 7,
        used,
        there,
        top: format!("{} h", hours(top)),
        says: format!(
            "Busiest in the week from {}: {} h of work, {} h of shifts",
            busiest.week.monday().map_or(String::new(), short_day),
            hours(busiest.needed_minutes),
            hours(busiest.present_minutes)
        ),
        points_to: None,
    })
}

fn beside(found: &Differences) -> Markup {
    html! {
        section id="beside" {
            h2 { "Beside " (found.from) }
            @if found.calls.is_empty() && found.days.is_empty() { p { "Nothing is otherwise." } } @else {
                (first::told(found, usize::MAX))
                @if !found.days.is_empty() {
                    h3 { "In the nursery" }
                    section.wide tabindex="0" aria-label="Work that differs" { table {
                        thead { tr {
                            th scope="col" { "day" } th scope="col" { "work" } th scope="col" { "kind" }
                            th scope="col" { "trays there" } th scope="col" { "trays here" }
                        } }
                        tbody { @for (day, work, kind, from, to) in &found.days { tr {
                            th scope="row" { (short_day(*day)) } td { (work) } td { (kind) } td { (number(*from)) } td { (number(*to)) }
                        } } }
                    } }
                }
            }
        }
    }
}

/// Rain of every length as a table of numbers on a shade; each number has its sign.
fn rain(cells: &[Cell]) -> Markup {
    let longest = cells.iter().map(|cell| cell.days).max().unwrap_or(0);
    let worst = cells
        .iter()
        .map(|cell| cell.short)
        .max()
        .unwrap_or(0)
        .max(1);
    html! {
        section id="rain" {
            h2 { "Rain from each day on" }
            p.quiet { "A number with ! says how many trays more are short in the mended plan; other numbers say how many planting days move; a dot: nothing is touched." }
            section.wide tabindex="0" aria-label="Rain from each day on" { table.heat {
                thead { tr {
                    th scope="col" { "first day of rain" }
                    @for days in 1..=longest { th scope="col" { (days) " d" } }
                } }
                tbody {
                    @for row in cells.chunk_by(|one, other| one.first == other.first) {
                        tr {
                            th scope="row" { (short_day(row[0].first)) }
                            @for days in 1..=longest {
                                @match row.iter().find(|cell| cell.days == days) {
                                    None => td {},
                                    Some(cell) => td class=(shade(cell, worst)) {
                                        @if cell.short > 0 { (number(cell.short)) "!" }
                                        @else if cell.at_risk == 0 { "." }
                                        @else { (cell.moved) }
                                    },
                                }
                            }
                        }
                    }
                }
            } }
        }
    }
}

fn shade(cell: &Cell, worst: i64) -> &'static str {
    let share = i128::from(cell.short) * 3 / i128::from(worst);
    match (cell.short, share) {
        (..=0, _) if cell.moved == 0 => "calm",
        (..=0, _) => "moves",
        (_, ..=0) => "short",
        (_, 1) => "shorter",
        _ => "shortest",
    }
}
