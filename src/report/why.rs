//! Why a part is grown as it is: the answer first, then its story, its costs, what is full, and its days.

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, count, money, number, short_day, trays, wrap};
use crate::calendar::Day;
use crate::explain::words::age;
use crate::explain::{Explained, InTheWay, More, PlantingDay, Stands, Story, Term, Verdict, Way};
use crate::scenario::HandOver;
use crate::units::Money;
use std::collections::BTreeSet;

/// Parts named of those that stand in the way.
const MOST_NAMED: usize = 3;
/// Limits listed.
const MOST_LIMITS: usize = 8;
/// Limits told that a day goes beyond, in a list of days.
const MOST_IN_THE_WAY: usize = 2;
/// Parts of which it was tried whether they make room.
const TRIED: usize = 8;

/// All that is told of a part.
pub fn text(told: &Explained) -> String {
    let mut out = head(told);
    out.push_str(&beside(told));
    for remark in &told.remarks {
        out.push_str(&wrap("  note: ", "    ", remark));
    }
    if let Some(story) = &told.story {
        out.push_str("\nHow it is grown\n");
        out.push_str(&grown(told, story));
        out.push_str(&costs(story));
    }
    out.push_str(&limits(told));
    out.push_str(&days(told));
    out.push_str(&sow_days(told));
    out
}

/// What is told of one day alone.
pub fn day(told: &Explained, day: &PlantingDay) -> String {
    let words = match (day.verdict, &day.more, &told.story) {
        (Verdict::Fits, Some(more), Some(story)) => {
            let than = if more.money.0 == 0 { "as" } else { "than" };
            let planned = short_day(story.plant);
            format!("{} {than} {planned}, as planned", more_words(more))
        }
        (Verdict::Fits, Some(more), None) => more_words(more),
        (Verdict::Full, ..) => format!("does not fit: {}", in_the_way(day, usize::MAX)),
        _ => verdict(told, day),
    };
    let first = format!("{} on {}: {words}", told.name, short_day(day.day));
    let mut out = wrap("", "  ", &first);
    if let Some(way) = &day.way {
        let sown = match day.verdict {
            Verdict::Full => "nearest ",
            _ => "",
        };
        let words = format!("{sown}{}", way_words(told, way));
        out.push_str(&wrap("  ", "    ", &words));
    }
    if let Some(more) = day.more.as_ref().filter(|more| !more.terms.is_empty()) {
        out.push_str(&wrap("  ", "    ", &terms(&more.terms)));
    }
    if let (Verdict::Fits, Some(way)) = (day.verdict, &day.way) {
        let pin = serde_json::json!({
            "field": told.field, "part": told.part, "plant": way.plant,
        });
        let words = format!("to have it so, add {pin} to `pins` and plan again");
        out.push_str(&wrap("  ", "    ", &words));
    }
    for remark in &told.remarks {
        out.push_str(&wrap("  note: ", "    ", remark));
    }
    out
}

/// The days of a part in short, one a line, but for the day that is planned: what each costs more, what is in the way, or why it cannot be.
pub fn lines(told: &Explained) -> Vec<String> {
    let others = told
        .days
        .iter()
        .filter(|day| day.verdict != Verdict::Chosen);
    let others = others.map(|day| {
        let words = match day.verdict {
            Verdict::Full => format!("does not fit: {}", in_the_way(day, usize::MAX)),
            _ => verdict(told, day),
        };
        format!("{}: {words}", short_day(day.day))
    });
    others.chain(told.remarks.iter().cloned()).collect()
}

/// `planted`, or what else is done on the last day.
fn done(stage: HandOver) -> &'static str {
    match stage {
        HandOver::Seedlings => "planted",
        HandOver::Sprouted | HandOver::SoakedSeed => "handed over",
    }
}

fn head(told: &Explained) -> String {
    let what = format!(
        "{}, {} of `{}` for {}",
        told.name,
        trays(told.trays),
        told.kind,
        told.grower
    );
    let Some(story) = &told.story else {
        let mut out = wrap("", "  ", &format!("{what}: not grown"));
        let Some(short) = &told.short else {
            out.push_str("  the plan says nothing of it\n");
            return out;
        };
        out.push_str(&wrap("  ", "    ", &short.reason));
        if let Some(help) = &short.help {
            out.push_str(&wrap("  nearest: ", "    ", help));
        }
        out.push_str(&match short.decide_by {
            Some(day) => format!("  to be decided by {}\n", short_day(day)),
            None => "  no day is left on which it could still be decided\n".into(),
        });
        return out;
    };
    let old = match told.stage {
        HandOver::Seedlings => format!(", {} old", age(story.age.clock, story.age.age)),
        _ => String::new(),
    };
    let from = match (&story.line, told.stage) {
        (_, HandOver::SoakedSeed) => format!(", from {}", story.run),
        (None, _) => format!(", from {}, sown {}", story.run, short_day(story.sow)),
        (Some(line), _) => format!(
            ", from {} sown {} on `{line}`",
            story.run,
            short_day(story.sow)
        ),
    };
    let when = short_day(story.plant);
    wrap(
        "",
        "  ",
        &format!("{what}: {} {when}{old}{from}", done(told.stage)),
    )
}

/// The days next to the one planned; or the nearest way in.
fn beside(told: &Explained) -> String {
    let Some(story) = &told.story else {
        return nearest_in(told);
    };
    let mut out = String::new();
    for (step, what) in [(-1, "a day sooner"), (1, "a day later")] {
        let next = story.plant.plus(step);
        let beyond = |day: &&PlantingDay| (day.day.since(story.plant)) * step > 0;
        let Some(one) = told.days.iter().find(|day| day.day == next) else {
            let side = if step < 0 { "before" } else { "after" };
            let words = match told.window {
                Some(_) => format!("{side} its window"),
                None => "not one of its days".into(),
            };
            out.push_str(&format!("  {what}, {}: {words}\n", short_day(next)));
            continue;
        };
        let words = format!("{what}, {}: {}", short_day(next), verdict(told, one));
        out.push_str(&wrap("  ", "    ", &words));
        if one.verdict == Verdict::Fits {
            continue;
        }
        // The nearest that would do.
        let mut fitting: Vec<&PlantingDay> = told.days.iter().filter(beyond).collect();
        fitting.retain(|day| day.verdict == Verdict::Fits);
        fitting.sort_by_key(|day| day.day.since(story.plant).abs());
        if let Some(day) = fitting.first() {
            let words = format!("but {}: {}", short_day(day.day), verdict(told, day));
            out.push_str(&wrap("    ", "      ", &words));
        }
    }
    out
}

/// Of a part that is short: the day that fits after all, or the first that one other part taken out would give.
fn nearest_in(told: &Explained) -> String {
    let mut fitting: Vec<&PlantingDay> = told.days.iter().collect();
    fitting.retain(|day| day.verdict == Verdict::Fits);
    fitting.sort_by_key(|day| day.more.as_ref().map_or(0, |more| more.money.0));
    if let Some(day) = fitting.first() {
        let words = format!("it fits on {}: {}", short_day(day.day), verdict(told, day));
        return wrap("  ", "    ", &words);
    }
    let smallest = |day: &PlantingDay| day.frees.iter().map(|one| one.trays).min();
    let freed = told
        .days
        .iter()
        .filter_map(|day| Some((smallest(day)?, day)));
    match freed.min_by_key(|(trays, day)| (*trays, day.day)) {
        Some((_, day)) => {
            let words = format!(
                "without {} it would fit on {}",
                one_of(&day.frees),
                short_day(day.day)
            );
            wrap("  ", "    ", &words)
        }
        None => String::new(),
    }
}

/// How a day stands, in words.
fn verdict(told: &Explained, day: &PlantingDay) -> String {
    match day.verdict {
        Verdict::Chosen => match &day.why {
            Some(why) => format!("as planned, though {why}"),
            None => "as planned".into(),
        },
        Verdict::Fits => match (&day.more, &day.way) {
            (Some(more), Some(way)) => {
                let sown = match (&way.run, told.stage) {
                    (_, HandOver::SoakedSeed) => String::new(),
                    (Some(run), _) => format!(", sown {} in {run}", short_day(way.sow)),
                    (None, _) => format!(", sown {} in a run of its own", short_day(way.sow)),
                };
                let old = match (told.stage, &told.story) {
                    (HandOver::Seedlings, Some(story)) => {
                        format!(", {} old", age(story.age.clock, way.age))
                    }
                    _ => String::new(),
                };
                format!("{}{sown}{old}", more_words(more))
            }
            _ => "possible".into(),
        },
        Verdict::Full => format!("does not fit: {}", in_the_way(day, MOST_IN_THE_WAY)),
        Verdict::Excluded => format!("no: {}", day.why.as_deref().unwrap_or("not possible")),
    }
}

fn more_words(more: &More) -> String {
    let price = match more.money.0 {
        0 => "costs the same".to_string(),
        less if less < 0 => format!("{} less", money(Money { 0: -less })),
        _ => format!("{} more", money(more.money)),
    };
    if more.shortage_saved.0 > 0 {
        format!(
            "{price}, against {} that its trays short weigh",
            money(more.shortage_saved)
        )
    } else {
        price
    }
}

fn in_the_way(day: &PlantingDay, most: usize) -> String {
    let shown = &day.in_the_way[..day.in_the_way.len().min(most)];
    let mut words = String::new();
    for (at, one) in shown.iter().enumerate() {
        if at > 0 {
            words.push_str(", and ");
        }
        words.push_str(&limit(one, day.day));
        // Limits with the same parts in the way name them once.
        let next = shown.get(at + 1);
        if next.is_none_or(|next| next.stands != one.stands) {
            words.push_str(&format!(" ({})", who(one)));
        }
    }
    let left = day.in_the_way.len().saturating_sub(most);
    if left > 0 {
        words.push_str(&format!(
            ", and {} (--day has all)",
            count(left, "limit more", "limits more")
        ));
    }
    let others: BTreeSet<&str> = day
        .in_the_way
        .iter()
        .flat_map(|one| one.stands.iter().map(|stands| stands.name.as_str()))
        .collect();
    let always = day.in_the_way.iter().all(|one| !one.stands.is_empty());
    if !day.frees.is_empty() {
        words.push_str(&format!("; without {} it fits", one_of(&day.frees)));
    } else if always && others.len() > 1 && others.len() <= TRIED {
        words.push_str("; no one of them alone makes room");
    }
    words
}

fn limit(one: &InTheWay, planted: Day) -> String {
    let when = if one.first != one.last {
        format!("{} to {}", short_day(one.first), short_day(one.last))
    } else if one.day == planted {
        "that day".into()
    } else {
        format!("on {}", short_day(one.day))
    };
    format!("{} {when} {}", one.limit, one.words)
}

/// Who stands in the way of a limit.
fn who(one: &InTheWay) -> String {
    let names: Vec<&str> = one.stands.iter().map(|one| one.name.as_str()).collect();
    match names.len() {
        0 => "nothing else stands there".into(),
        1 => format!("{} stands there", names[0]),
        _ => format!("{} stand there", listed(&names)),
    }
}

fn one_of(all: &[Stands]) -> String {
    let names: Vec<&str> = all.iter().map(|one| one.name.as_str()).collect();
    match names.split_last() {
        // One more is named rather than counted.
        Some((last, others)) if !others.is_empty() && names.len() <= MOST_NAMED + 1 => {
            format!("{} or {last}", others.join(", "))
        }
        _ if names.len() > MOST_NAMED => format!(
            "{} or one of {} others",
            names[..MOST_NAMED].join(", "),
            names.len() - MOST_NAMED
        ),
        _ => names.concat(),
    }
}

fn listed(names: &[&str]) -> String {
    if names.len() > MOST_NAMED {
        let others = count(names.len() - MOST_NAMED, "other", "others");
        return format!("{} and {others}", names[..MOST_NAMED].join(", "));
    }
    match names.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{} and {last}", others.join(", ")),
        _ => names.concat(),
    }
}

fn terms(all: &[Term]) -> String {
    let signed = |term: &Term| {
        let sign = if term.cost.0 > 0 { "+" } else { "" };
        format!("{} {sign}{}", term.what, money(term.cost))
    };
    all.iter().map(signed).collect::<Vec<_>>().join(", ")
}

fn way_words(told: &Explained, way: &Way) -> String {
    let mut all = Vec::new();
    if told.stage != HandOver::SoakedSeed {
        all.push(format!("sown {}", short_day(way.sow)));
    }
    match &way.run {
        Some(run) => all.push(format!("in {run}")),
        None => all.push("in a run of its own".into()),
    }
    if let Some(line) = &way.line {
        all.push(format!("on `{line}`"));
    }
    let places = [&way.germination, &way.green_bed, &way.harden_bed];
    let mut places: Vec<String> = places
        .into_iter()
        .flatten()
        .map(|place| format!("`{place}`"))
        .collect();
    places.dedup();
    let mut words = all.join(" ");
    if !places.is_empty() {
        words.push_str(&format!(", through {}", places.join(", ")));
    }
    if way.leave != way.plant {
        words.push_str(&format!(", leaving {}", short_day(way.leave)));
    }
    words
}

fn grown(told: &Explained, story: &Story) -> String {
    let mut rows: Vec<(&str, String)> = Vec::new();
    if let (Some(soak), Some(drain)) = (story.soak, story.drain) {
        let days = format!("{}, drained {}", short_day(soak), short_day(drain));
        rows.push(("soak", days));
    }
    if told.stage != HandOver::SoakedSeed {
        let run = format!("{} of {}", story.run, trays(story.run_trays));
        let sown = match &story.line {
            Some(line) if story.runs_that_day > 1 => format!(
                "{} on `{line}`, {run}, {} of {} runs that day",
                short_day(story.sow),
                nth(story.place_in_day),
                story.runs_that_day
            ),
            Some(line) => format!("{} on `{line}`, {run}", short_day(story.sow)),
            None => format!("{}, before the plan begins", short_day(story.sow)),
        };
        rows.push(("sow", sown));
    }
    if let Some(place) = &story.germination {
        let until = short_day(story.open);
        rows.push(("stack", format!("in `{place}` until {until}")));
    }
    let in_rows = |rows: &[u32]| match rows {
        [] => String::new(),
        [one] => format!(", row {one}"),
        many => {
            let many: Vec<String> = many.iter().map(u32::to_string).collect();
            format!(", rows {}", many.join(", "))
        }
    };
    if let Some(bed) = &story.green_bed {
        let where_to = format!(
            "in `{bed}`{}, from {}",
            in_rows(&story.green_rows),
            short_day(story.open)
        );
        rows.push(("green", where_to));
    }
    if let Some(bed) = &story.harden_bed {
        let moved = story.green_bed != story.harden_bed;
        let place = if moved {
            format!("in `{bed}`{}, ", in_rows(&story.harden_rows))
        } else {
            "in the same place, ".into()
        };
        rows.push(("harden", format!("{place}from {}", short_day(story.harden))));
    }
    if story.leave != story.plant {
        let away = short_day(story.leave);
        rows.push(("leave", format!("{away}, then waiting at the field's edge")));
    }
    let last = match told.stage {
        HandOver::Seedlings => "plant",
        _ => "hand over",
    };
    rows.push((last, short_day(story.plant)));
    if told.stage == HandOver::Seedlings {
        let limits = &story.age;
        rows.push((
            "age",
            format!(
                "{}; best {}, from {} to {}",
                age(limits.clock, limits.age),
                limits.target,
                limits.youngest,
                limits.oldest
            ),
        ));
    }
    if let Some(window) = told.window {
        rows.push((
            "window",
            format!(
                "{} to {}; to spare: {} before, {} after",
                short_day(window.first),
                short_day(window.last),
                count(story.spare_before.unwrap_or(0), "day", "days"),
                count(story.spare_after.unwrap_or(0), "day", "days"),
            ),
        ));
    }
    if let Some(span) = story.as_sown.filter(|span| span.first != span.last) {
        let days = format!("{} to {}", short_day(span.first), short_day(span.last));
        rows.push((
            "as sown",
            format!(
                "it could be {} {days}, room and crews apart",
                done(told.stage)
            ),
        ));
    }
    rows.iter()
        .map(|(what, words)| wrap(&format!("  {what:<10}"), "            ", words))
        .collect()
}

fn nth(place: u32) -> String {
    let ending = match (place % 10, place % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{place}{ending}")
}

fn costs(story: &Story) -> String {
    let Some(costs) = &story.costs else {
        return String::new();
    };
    let mut table = Table::new(vec![
        Column::new("", Align::Left, Fit::Cut),
        Column::new("", Align::Right, Fit::Keep),
    ]);
    for term in &costs.own {
        table.row([term.what.into(), money(term.cost)]);
    }
    if costs.own.is_empty() {
        table.row(["by itself".into(), money(Money::ZERO)]);
    }
    if costs.set_up.0 > 0 {
        let share = format!("its share, by trays, of the set-up of {}", story.run);
        table.row([share, money(costs.set_up_share)]);
    }
    let mut out = String::from("\nWhat it costs\n");
    for line in table.render(WIDTH - 2).lines().skip(1) {
        out.push_str(&format!("  {line}\n"));
    }
    let without = match costs.without.0 {
        more if more < 0 => format!("{} more", money(Money { 0: -more })),
        _ => format!("{} less", money(costs.without)),
    };
    let words = format!(
        "without it the rest of the plan would cost {without}, people's time and set-ups counted"
    );
    out.push_str(&wrap("  ", "  ", &words));
    out
}

fn limits(told: &Explained) -> String {
    if told.binds.is_empty() {
        return String::new();
    }
    let mut table = Table::new(vec![
        Column::new("limit", Align::Left, Fit::Cut),
        Column::new("fullest", Align::Left, Fit::Keep),
        Column::new("used", Align::Right, Fit::Keep),
        Column::new("", Align::Right, Fit::Keep),
    ]);
    for bind in told.binds.iter().take(MOST_LIMITS) {
        table.row([
            bind.limit.clone(),
            short_day(bind.day),
            bind.words.clone(),
            format!("{} %", bind.full / 10),
        ]);
    }
    let mut out = String::from("\nWhat it takes from, on the fullest of its days\n");
    out.push_str(&table.render(WIDTH));
    let left = told.binds.len().saturating_sub(MOST_LIMITS);
    if left > 0 {
        out.push_str(&format!("and {} less full\n", number(left as i64)));
    }
    out
}

fn days(told: &Explained) -> String {
    if told.days.is_empty() {
        return "\nNo day of its window lies in the days planned\n".into();
    }
    let mut out = String::from("\nIts days, all the rest of the plan as it stands\n");
    let words: Vec<String> = told.days.iter().map(|day| verdict(told, day)).collect();
    let mut at = 0;
    while at < words.len() {
        // Days on end that are excluded for the same reason are told together.
        let alike = |next: &usize| {
            told.days[*next].verdict == Verdict::Excluded
                && told.days[at].verdict == Verdict::Excluded
                && words[*next] == words[at]
                && told.days[*next].day.since(told.days[at].day) == (*next - at) as i32
        };
        let last = (at + 1..words.len()).take_while(alike).last().unwrap_or(at);
        let first = short_day(told.days[at].day);
        if last == at {
            out.push_str(&wrap(
                &format!("  {first:<11}"),
                "             ",
                &words[at],
            ));
        } else {
            let until = short_day(told.days[last].day);
            out.push_str(&wrap(
                &format!("  {first} to {until} "),
                "             ",
                &words[at],
            ));
        }
        at = last + 1;
    }
    out
}

/// The sow days for the day planned.
fn sow_days(told: &Explained) -> String {
    let planned = |day: &&PlantingDay| day.verdict == Verdict::Chosen;
    let Some((story, day)) = told.story.as_ref().zip(told.days.iter().find(planned)) else {
        return String::new();
    };
    if day.sow_days.is_empty() || told.stage == HandOver::SoakedSeed {
        return String::new();
    }
    let mut out = format!("\nSow days for {}\n", short_day(day.day));
    for sow in &day.sow_days {
        let words = match (sow.verdict, sow.more) {
            (Verdict::Chosen, _) => "as planned".into(),
            (Verdict::Fits, Some(more)) => more_words(&More {
                money: more,
                terms: Vec::new(),
                shortage_saved: Money::ZERO,
            }),
            (Verdict::Fits, None) => "possible".into(),
            (Verdict::Full, _) => format!(
                "does not fit: {}",
                sow.why.as_deref().unwrap_or("beside the rest")
            ),
            (Verdict::Excluded, _) => format!("no: {}", sow.why.as_deref().unwrap_or("")),
        };
        let old = match (sow.verdict, sow.age) {
            (Verdict::Excluded, _) | (_, None) => String::new(),
            (_, Some(then)) => format!("{} old, ", age(story.age.clock, then)),
        };
        let first = format!("  {:<11}", short_day(sow.day));
        out.push_str(&wrap(&first, "             ", &format!("{old}{words}")));
    }
    out
}
