//! A notice on paper: a letter of one page, large enough to be read on a telephone too.

use super::super::draw::{Cautions, blank, lines};
use super::super::words::{Words, say};
use super::{Item, Notice, NoticeKind, When};
use crate::calendar::Day;
use crate::plan::tasks::TaskGraph;
use crate::report::day::words::{clock, ha, kg_weighed};
use crate::scenario::HandOver;
use crate::units::div_up;
use maud::{Markup, html};

/// Noon, minutes after midnight.
const NOON: i64 = 12 * 60;

/// The notice.
pub fn notice(w: &Words, graph: &TaskGraph<'_>, day: Day, notice: &Notice) -> Markup {
    let plan = graph.view.plan;
    let key = notice.kind.as_str();
    html! {
        section class="sheet notice" {
            header {
                div.top { span { (plan.scenario.name) } span { (w.long_day(day)) } }
                h1 { (w.get(&format!("notice.{key}"))) }
                p.large { (say!(w, "notice.for", grower = notice.grower)) }
            }
            @if !notice.items.is_empty() { p { (w.get(&format!("notice.{key}_says"))) } }
            @for item in &notice.items { div.item { (lines(&item_lines(w, notice.kind, item))) @if notice.kind == NoticeKind::Delivery { (sign(w, item)) } } }
            @for short in &notice.short { div.item.loud { (say!(w, "notice.short", field = short.field, trays = w.trays(short.trays))) } }
            @if notice.items.len() > 1 { p.sum { (say!(w, "notice.in_all", trays = w.trays(notice.items.iter().map(|item| item.trays).sum()))) } }
            @if matches!(notice.kind, NoticeKind::Tomorrow | NoticeKind::Delivery) { (Cautions::GROWER.draw(w)) p { (w.get("mind.local")) } }
            footer { (w.get(if notice.kind == NoticeKind::Delivery { "notice.kept" } else { "notice.call" })) }
        }
    }
}

fn item_lines(w: &Words, kind: NoticeKind, item: &Item) -> Vec<String> {
    let what = match item.seed_dry_kg {
        Some(dry) => say!(
            w,
            "notice.seed",
            dry = kg_weighed(dry),
            trays = w.trays(item.trays)
        ),
        None => w.trays(item.trays),
    };
    let mut lines = vec![say!(
        w,
        "notice.item",
        field = item.field,
        kind = item.kind,
        what = what
    )];
    lines.push(coming(w, kind, item));
    match kind {
        NoticeKind::Confirmation => lines.push(say!(w, "notice.area", ha = ha(item.area_ha))),
        NoticeKind::Sown => lines.push(say!(w, "notice.run", run = item.run)),
        NoticeKind::Week => lines.push(w.get("notice.field_ready")),
        NoticeKind::Tomorrow | NoticeKind::Delivery => {
            if item.stage != HandOver::SoakedSeed {
                lines.push(say!(w, "notice.age", days = item.age_days));
            }
            lines.push(match &item.treatment {
                Some(agent) => say!(w, "notice.treated", agent = agent),
                None => w.get("card.untreated"),
            });
            lines.push(care(w, item));
            if item.bring_back > 0 {
                lines.push(say!(
                    w,
                    "notice.bring_back",
                    trays = w.trays(item.bring_back)
                ));
            } else if item.lifted {
                lines.push(w.get("notice.lifted"));
            }
        }
    }
    if kind == NoticeKind::Delivery {
        lines.push(say!(w, "notice.run", run = item.run));
    }
    lines
}

/// When it comes, no more certain than it is.
fn coming(w: &Words, kind: NoticeKind, item: &Item) -> String {
    let how = if item.collected { "fetched" } else { "brought" };
    let exact = matches!(kind, NoticeKind::Tomorrow | NoticeKind::Week);
    let text = match item.comes {
        // What is really handed over, and when, is written by hand.
        _ if kind == NoticeKind::Delivery => {
            return say!(w, "notice.planned_for", day = w.day(item.leaves));
        }
        When::Moved(told) => return say!(w, "notice.moved", day = w.day(told)),
        When::Told(day) => say!(w, &format!("notice.{how}_on"), day = w.day(day)),
        When::About(..) if kind == NoticeKind::Tomorrow => {
            say!(w, "notice.planned_for", day = w.day(item.leaves))
        }
        When::About(from, until) => say!(
            w,
            &format!("notice.{how}_about"),
            days = w.days(from, until)
        ),
    };
    let part_of_day = match (kind, item.minute) {
        (NoticeKind::Week, Some(minute)) if minute < NOON => w.get("notice.morning"),
        (NoticeKind::Week, Some(_)) => w.get("notice.afternoon"),
        (NoticeKind::Tomorrow, Some(minute)) => {
            say!(w, "notice.hour", time = clock(div_up(minute, 30) * 30))
        }
        _ if exact => w.get("notice.hour_by_call"),
        _ => String::new(),
    };
    let unsure = matches!(item.comes, When::About(..));
    let call = if unsure && exact {
        w.get("notice.not_settled")
    } else {
        String::new()
    };
    let mut said = text;
    for (before, more) in [(", ", part_of_day), (" ", call)] {
        if !more.is_empty() {
            said.push_str(before);
            said.push_str(&more);
        }
    }
    said
}

/// Shade, water, and until when to plant.
fn care(w: &Words, item: &Item) -> String {
    match item.stage {
        HandOver::SoakedSeed => w.get("notice.care_seed"),
        HandOver::Sprouted => w.get("notice.care_sprouted"),
        HandOver::Seedlings if item.planted_by_us => w.get("notice.care_ours"),
        HandOver::Seedlings => say!(w, "notice.care", day = w.day(item.plant_by)),
    }
}

/// Where both sign.
fn sign(w: &Words, item: &Item) -> Markup {
    html! {
        p.write {
            (w.get("card.lot")) " " (blank("long")) " "
            @if item.seed_dry_kg.is_none() { (w.get("notice.counted")) " " (blank("short")) " " }
            (w.get("notice.handed_at")) " " (blank("time")) " " (w.get("notice.given")) " " (blank("long")) " " (w.get("notice.received")) " " (blank("long"))
        }
    }
}
