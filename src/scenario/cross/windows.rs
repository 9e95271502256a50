//! When fields may be planted: windows, days after the water of a block, days after a harvest.

use crate::calendar::{Day, DayRange};
use crate::problems::Severity::{Error, Warning};
use crate::scenario::codes;
use crate::scenario::gather::Gather;
use crate::scenario::spare::is_firm;
use crate::scenario::types::{Block, Field, Scenario};

/// Days on which a field is planted after its block's water.
fn after_water(block: &Block) -> DayRange {
    DayRange {
        first: block.water.plus(block.first_days),
        last: block.water.plus(block.last_days),
    }
}

fn block_of<'a>(scenario: &'a Scenario, field: &Field) -> Option<&'a Block> {
    let id = field.block.as_ref()?;
    scenario.blocks.iter().find(|block| block.id == *id)
}

/// Days after the harvest before: the first, and the last if there is one.
fn after_harvest(field: &Field) -> Option<(Day, Option<Day>)> {
    let harvest = field.harvest_before?;
    let last = field.harvest_last_days.map(|days| harvest.plus(days));
    Some((harvest.plus(field.harvest_first_days), last))
}

/// What says when a field may be planted, in words.
pub fn words(field: &Field) -> String {
    let given = [
        ("the window", !field.window.is_empty()),
        ("the days after the water", field.block.is_some()),
        ("the days after the harvest", field.harvest_before.is_some()),
    ];
    let given: Vec<&str> = given
        .into_iter()
        .filter_map(|(words, is)| is.then_some(words))
        .collect();
    given.join(" and ")
}

/// Days of the horizon on which window, block and harvest before together let the field be
/// planted; its closed days are not looked at.
pub fn days(scenario: &Scenario, field: &Field) -> Vec<DayRange> {
    let mut first = scenario.horizon.first;
    let mut last = scenario.horizon.last;
    if let Some(span) = block_of(scenario, field).map(after_water) {
        (first, last) = (first.max(span.first), last.min(span.last));
    }
    if let Some((from, to)) = after_harvest(field) {
        first = first.max(from);
        last = to.map_or(last, |to| last.min(to));
    }
    let within = DayRange { first, last };
    let spans = if field.window.is_empty() {
        &[within]
    } else {
        field.window.as_slice()
    };
    let cut = |span: &DayRange| DayRange {
        first: span.first.max(first),
        last: span.last.min(last),
    };
    let sound = |span: &DayRange| span.first <= span.last;
    spans.iter().map(cut).filter(sound).collect()
}

fn meets(one: &DayRange, other: &DayRange) -> bool {
    one.first <= other.last && other.first <= one.last
}

fn within(span: &DayRange, around: &DayRange) -> bool {
    around.contains(span.first) && around.contains(span.last)
}

/// Blocks: days in order, and inside the horizon where a field follows them.
pub fn blocks(gather: &mut Gather, scenario: &Scenario) {
    let horizon = scenario.horizon;
    for (index, block) in scenario.blocks.iter().enumerate() {
        let path = |key: &str| format!("blocks[{index}].{key}");
        let (water, first, last) = (path("water"), path("first_days"), path("last_days"));
        if block.first_days > block.last_days {
            let message = format!(
                "the first day, {}, comes after the last, {}",
                block.first_days, block.last_days
            );
            gather
                .flag(Error, codes::ANCHOR, &[&first, &last], message)
                .expected("`first_days` no larger than `last_days`");
            gather.mark_bad(&first);
            continue;
        }
        let span = after_water(block);
        let of_block = |field: &Field| is_firm(field) && field.block.as_ref() == Some(&block.id);
        if meets(&span, &horizon) || !scenario.fields.iter().any(of_block) {
            continue;
        }
        let message = format!(
            "the days after the water of block `{}`, {span}, lie outside the horizon",
            block.id
        );
        gather
            .flag(
                Error,
                codes::WINDOW_OUTSIDE,
                &[&water, &first, &last, "horizon"],
                message,
            )
            .expected(format!("days inside {horizon}"));
        gather.mark_bad(&water);
    }
}

/// Tells when not one of several fields says when it may be planted.
pub fn nothing_given(gather: &mut Gather, scenario: &Scenario) {
    let mut firm = scenario.fields.iter().filter(|field| is_firm(field));
    if firm.clone().count() > 1 && firm.all(open) {
        gather
            .flag(
                Error,
                codes::MISSING_KEY,
                &["fields"],
                "no field says when it may be planted",
            )
            .expected(WAYS);
        gather.mark_bad("fields");
    }
}

const WAYS: &str = "`window`, `block` or `harvest_before`";

fn open(field: &Field) -> bool {
    field.window.is_empty() && field.block.is_none() && field.harvest_before.is_none()
}

/// Window, block, harvest, season and preferred day of one field.
pub fn field(
    gather: &mut Gather,
    scenario: &Scenario,
    field: &Field,
    path: &impl Fn(&str) -> String,
) {
    harvest(gather, scenario, field, path);
    if open(field) {
        let paths = [path("window"), path("block"), path("harvest_before")];
        gather
            .flag(
                Error,
                codes::MISSING_KEY,
                &paths.each_ref().map(String::as_str),
                "nothing says when it may be planted",
            )
            .expected(WAYS);
        return;
    }
    if window(gather, scenario, field, path) {
        season(gather, scenario, field, path);
        common(gather, scenario, field, path);
    }
}

/// Days after the harvest before.
fn harvest(
    gather: &mut Gather,
    scenario: &Scenario,
    field: &Field,
    path: &impl Fn(&str) -> String,
) {
    let (before, first, last) = (
        path("harvest_before"),
        path("harvest_first_days"),
        path("harvest_last_days"),
    );
    let Some((from, to)) = after_harvest(field) else {
        let key = match (field.harvest_first_days, field.harvest_last_days) {
            (0, None) => return,
            (0, _) => last,
            _ => first,
        };
        gather
            .flag(
                Error,
                codes::ANCHOR,
                &[&key, &before],
                "days after a harvest, and no harvest",
            )
            .expected("`harvest_before`, the day from which they count");
        return;
    };
    if let Some(days) = field
        .harvest_last_days
        .filter(|days| *days < field.harvest_first_days)
    {
        let message = format!(
            "the first day, {}, comes after the last, {days}",
            field.harvest_first_days
        );
        gather
            .flag(Error, codes::ANCHOR, &[&last, &first], message)
            .expected("`harvest_first_days` no larger than `harvest_last_days`");
        gather.mark_bad(&last);
        return;
    }
    let horizon = scenario.horizon;
    if from > horizon.last || to.is_some_and(|to| to < horizon.first) {
        let days = match to {
            Some(last) => DayRange { first: from, last }.to_string(),
            None => format!("from {from} on"),
        };
        let message = format!("the days after the harvest, {days}, lie outside the horizon");
        gather
            .flag(
                Error,
                codes::WINDOW_OUTSIDE,
                &[&before, &first, &last, "horizon"],
                message,
            )
            .expected(format!("days inside {horizon}"));
        gather.mark_bad(&before);
    }
}

/// The window against the horizon. False when it lies outside, which is told.
fn window(
    gather: &mut Gather,
    scenario: &Scenario,
    field: &Field,
    path: &impl Fn(&str) -> String,
) -> bool {
    let (window, horizon) = (path("window"), scenario.horizon);
    if field.window.is_empty() {
        return true;
    }
    if !field.window.iter().any(|span| meets(span, &horizon)) {
        let message = format!(
            "the window {} lies outside the horizon",
            list(&field.window)
        );
        gather
            .flag(Error, codes::WINDOW_OUTSIDE, &[&window, "horizon"], message)
            .expected(format!("days inside {horizon}"));
        return false;
    }
    if let Some(cut) = field.window.iter().find(|span| !within(span, &horizon)) {
        let message = format!("{cut} lies partly or wholly outside the horizon {horizon}");
        gather
            .flag(Warning, codes::WINDOW_CUT, &[&window, "horizon"], message)
            .help("only its days inside the horizon can be planned");
    }
    true
}

fn list(spans: &[DayRange]) -> String {
    let spans: Vec<String> = spans.iter().map(DayRange::to_string).collect();
    spans.join(" ")
}

/// A window lies inside its season; days that follow water or harvest, which move, touch it.
fn season(gather: &mut Gather, scenario: &Scenario, field: &Field, path: &impl Fn(&str) -> String) {
    let id = field.season.as_ref();
    let Some(season) = id.and_then(|id| scenario.seasons.iter().find(|one| one.id == *id)) else {
        return;
    };
    let key = path("season");
    let mut told = |place: &str, message: String| {
        let paths = [place, &key, "seasons", "blocks", "horizon"];
        gather
            .flag(Error, codes::SEASON, &paths, message)
            .expected(format!("days inside {}", season.span));
    };
    let out = field.window.iter().find(|span| !within(span, &season.span));
    if let Some(out) = out {
        let message = format!("{out} lies outside the season `{}`", season.id);
        told(&path("window"), message);
        return;
    }
    let days = days(scenario, field);
    if !days.is_empty() && !days.iter().any(|span| meets(span, &season.span)) {
        let place = match field.block {
            Some(_) => path("block"),
            None => path("harvest_before"),
        };
        let message = format!(
            "{}, {}, lie outside the season `{}`",
            words(field),
            list(&days),
            season.id
        );
        told(&place, message);
    }
}

/// What is left of window, water, harvest and closed days, and the preferred day in it.
fn common(gather: &mut Gather, scenario: &Scenario, field: &Field, path: &impl Fn(&str) -> String) {
    let spans = days(scenario, field);
    let keys = ["window", "block", "harvest_before", "harvest_first_days"];
    let keys = keys.map(path);
    let (last, closed) = (path("harvest_last_days"), path("closed"));
    let mut told = |code, place: &str, message: String, help: &str| {
        let mut paths = vec![place, &last, &closed, "horizon", "blocks"];
        paths.extend(keys.iter().map(String::as_str));
        gather.flag(Warning, code, &paths, message).help(help);
    };
    let open = |day: Day| {
        spans.iter().any(|span| span.contains(day))
            && !field.closed.iter().any(|span| span.contains(day))
    };
    if spans.is_empty() {
        let place = match field.block {
            Some(_) => &keys[1],
            None => &keys[2],
        };
        let message = format!("{} have no day in common", words(field));
        let help =
            "the field cannot be planted: widen the window, or move the water or the harvest";
        told(codes::NO_COMMON_DAY, place, message, help);
    } else if !spans.iter().flat_map(|span| span.iter()).any(open) {
        told(
            codes::WINDOW_CLOSED,
            &closed,
            "every day of the window is closed".to_owned(),
            "the field cannot be planted: widen the window or open a day",
        );
    } else if let Some(preferred) = field.preferred.filter(|day| !open(*day)) {
        let (of, days) = if field.block.is_none() && field.harvest_before.is_none() {
            ("the window".to_owned(), list(&field.window))
        } else {
            (words(field), list(&spans))
        };
        let place = path("preferred");
        let message = format!("the preferred day {preferred} is not a day of {of} {days}");
        let help = "days off it are priced all the same";
        told(codes::PREFERRED_OUTSIDE, &place, message, help);
    }
}
