//! What else an answer says, in words: trays that are short and who has others, days off, who can plant sooner, where trays wait.

use super::day::words::{in_rows, verb_of};
use super::otherwise::part_name;
use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, count, duration, money, number, short_day, trays, wrap};
use crate::calendar::Day;
use crate::disrupt::answers::Answers;
use crate::disrupt::answers::sooner::Sooner;
use crate::disrupt::answers::waits::Waiting;
use crate::disrupt::days_off::{DaysOff, Piece};
use crate::disrupt::trays_away::{Away, Empties, Short};
use crate::plan::Plan;
use crate::units::Money;

/// Most rows before the rest is counted.
const MOST_LISTED: usize = 12;

/// All that is said beside the plans.
pub(super) fn answers(all: &Answers, plan: &Plan) -> String {
    let mut out = String::new();
    if let Some(empties) = &all.trays {
        out.push_str(&tray_stock(empties));
    }
    for off in &all.days_off {
        out.push_str(&days_off(off, &plan.scenario.currency));
    }
    for tonight in &all.tonight {
        out.push_str(&super::tonight::tonight(tonight, &plan.scenario));
    }
    for thin in &all.thin {
        out.push_str(&super::choices::thin(thin, plan));
    }
    for asked in &all.asked {
        out.push_str(&super::choices::asked(asked, plan));
    }
    out.push_str(&sooner(&all.sooner));
    out.push_str(&waiting(&all.waiting));
    out
}

fn more(out: &mut String, all: usize) {
    if all > MOST_LISTED {
        out.push_str(&format!("and {} more\n", all - MOST_LISTED));
    }
}

pub(super) fn said(out: &mut String, line: &str) {
    out.push_str(&wrap("  ", "    ", line));
}

pub(super) fn columns(columns: &[(&str, Align, Fit)]) -> Table {
    let all = columns.iter();
    Table::new(
        all.map(|(title, align, fit)| Column::new(title, *align, *fit))
            .collect(),
    )
}

pub(super) fn day_or(day: Option<Day>, none: &str) -> String {
    day.map_or(none.to_string(), short_day)
}

fn tray_stock(empties: &Empties) -> String {
    let mut out = String::from("\nCLEAN TRAYS\n");
    match &empties.short_from {
        None => said(&mut out, "enough on every day for all that was decided"),
        Some(short) => run_out(&mut out, short),
    }
    if empties.away.is_empty() {
        return out;
    }
    out.push_str("\nWHO HAS TRAYS, CHASE IN THIS ORDER\n");
    let mut table = columns(&[
        ("grower", Align::Left, Fit::Cut),
        ("field", Align::Left, Fit::Cut),
        ("trays", Align::Right, Fit::Keep),
        ("late", Align::Right, Fit::Keep),
        ("since", Align::Left, Fit::Keep),
        ("first due", Align::Left, Fit::Keep),
        ("last back", Align::Left, Fit::Keep),
    ]);
    for Away {
        grower,
        field,
        trays,
        since,
        due,
        late,
        back,
    } in empties.away.iter().take(MOST_LISTED)
    {
        let grower = if grower.is_empty() {
            "(not noted)"
        } else {
            grower
        };
        table.row([
            grower.to_string(),
            field.clone(),
            number(*trays),
            number(*late),
            day_or(*since, ""),
            short_day(*due),
            short_day(*back),
        ]);
    }
    out.push_str(&table.render(WIDTH));
    more(&mut out, empties.away.len());
    out
}

fn run_out(out: &mut String, short: &Short) {
    let on = short_day(short.day);
    let worst = if short.worst_day == short.day {
        String::new()
    } else {
        format!(
            ", and {} on {}",
            trays(short.worst),
            short_day(short.worst_day)
        )
    };
    let line = format!(
        "short from {on} on: {} on that day{worst}",
        trays(short.trays)
    );
    said(out, &line);
    if let Some(by) = short.back_by {
        let line = format!(
            "{} of those away, back by {} to be washed, make it whole",
            trays(short.worst),
            short_day(by)
        );
        said(out, &line);
    }
    match short.buy {
        Some(buy) => said(
            out,
            &format!(
                "or buy {}, clean on the morning of {on}: then all that was decided can be done",
                trays(buy)
            ),
        ),
        None => said(out, "no number of new trays makes it whole"),
    }
}

fn days_off(off: &DaysOff, currency: &str) -> String {
    let but = if off.still.is_empty() {
        "nobody need come"
    } else {
        "but somebody must come for what is done all the same"
    };
    let head = wrap("", "  ", &format!("OFF: {}, {but}", days(off)));
    let mut out = format!("\n{head}");
    let way = if off.price.0 < 0 { "less" } else { "more" };
    let price = money(Money {
        0: off.price.0.abs(),
    });
    said(&mut out, &format!("it costs {price} {currency} {way}"));
    if off.given_up.is_empty() {
        said(
            &mut out,
            "nothing was to be done but what is done all the same",
        );
    }
    for piece in &off.given_up {
        said(&mut out, &format!("not done: {}", in_words(piece)));
    }
    for piece in &off.still {
        said(&mut out, &format!("done all the same: {}", in_words(piece)));
    }
    if off.hours.is_empty() {
        return out;
    }
    out.push_str("\nHOURS ON IT AND BESIDE IT\n");
    let mut table = columns(&[
        ("day", Align::Left, Fit::Keep),
        ("crew", Align::Left, Fit::Cut),
        ("work before", Align::Right, Fit::Keep),
        ("now", Align::Right, Fit::Keep),
        ("bought before", Align::Right, Fit::Keep),
        ("now", Align::Right, Fit::Keep),
    ]);
    for hours in &off.hours {
        table.row([
            short_day(hours.day),
            hours.crew.clone(),
            duration(hours.before),
            duration(hours.now),
            money(hours.bought_before),
            money(hours.bought),
        ]);
    }
    out.push_str(&table.render(WIDTH));
    out
}

fn days(off: &DaysOff) -> String {
    if off.days.first == off.days.last {
        return short_day(off.days.first);
    }
    format!(
        "{} to {}",
        short_day(off.days.first),
        short_day(off.days.last)
    )
}

/// `Sun 9 May, water, vent, look: 612 trays, Yard crew 40 min`.
fn in_words(piece: &Piece) -> String {
    let who = if piece.minutes > 0 {
        format!(", {} {}", piece.crew, duration(piece.minutes))
    } else {
        String::new()
    };
    let how_many = if piece.trays > 0 {
        format!(": {}", trays(piece.trays))
    } else {
        String::new()
    };
    let verb = verb_of(piece.work).to_lowercase();
    format!("{} {verb}{how_many}{who}", short_day(piece.day))
}

fn sooner(all: &[Sooner]) -> String {
    let mut out = String::new();
    if all.is_empty() {
        return out;
    }
    out.push_str("\nWHO CAN PLANT SOONER (too old, or within a day of it)\n");
    let mut table = columns(&[
        ("field", Align::Left, Fit::Cut),
        ("trays", Align::Right, Fit::Keep),
        ("decided", Align::Left, Fit::Keep),
        ("right until", Align::Left, Fit::Keep),
        ("first day", Align::Left, Fit::Keep),
        ("beside rest", Align::Left, Fit::Keep),
        ("mended", Align::Left, Fit::Keep),
    ]);
    for one in all.iter().take(MOST_LISTED) {
        table.row([
            part_name(&one.field, one.part),
            number(one.trays),
            short_day(one.decided),
            day_or(one.right_until, "too old"),
            day_or(one.first, "none"),
            day_or(one.first_beside, "none"),
            day_or(one.mended, "none"),
        ]);
    }
    out.push_str(&table.render(WIDTH));
    more(&mut out, all.len());
    for one in all.iter().take(MOST_LISTED) {
        let name = part_name(&one.field, one.part);
        if let Some(first) = one.first.filter(|_| !one.in_the_way.is_empty()) {
            let line = format!(
                "{name} on {}: in the way is {}",
                short_day(first),
                one.in_the_way.join(", ")
            );
            said(&mut out, &line);
        }
        if one.mended.is_none() && !one.takers.is_empty() {
            let takers = one.takers.iter();
            let takers: Vec<String> = takers
                .map(|(field, day)| format!("{field} from {}", short_day(*day)))
                .collect();
            let line = format!(
                "{name}: ask {} (`give from={} to=...` tries one)",
                takers.join(", "),
                one.field
            );
            said(&mut out, &line);
        }
    }
    out
}

fn waiting(all: &[Waiting]) -> String {
    let mut out = String::new();
    if all.is_empty() {
        return out;
    }
    out.push_str("\nWHERE THEY WAIT, AND UNTIL WHEN THEY MAY\n");
    let mut table = columns(&[
        ("field", Align::Left, Fit::Cut),
        ("trays", Align::Right, Fit::Keep),
        ("where", Align::Left, Fit::Wrap),
        ("from", Align::Left, Fit::Keep),
        ("to", Align::Left, Fit::Keep),
        ("right until", Align::Left, Fit::Keep),
        ("in window", Align::Left, Fit::Keep),
    ]);
    for one in all.iter().take(MOST_LISTED) {
        table.row([
            part_name(&one.field, one.part),
            number(one.trays),
            in_rows(&one.bed, &one.rows),
            short_day(one.from),
            day_or(one.to, "no day"),
            day_or(one.right_until, "none"),
            day_or(one.plant_until, "none"),
        ]);
    }
    out.push_str(&table.render(WIDTH));
    more(&mut out, all.len());
    let days = |one: &Waiting| {
        let to = one.to.or(one.right_until).unwrap_or(one.from);
        i64::from(to.since(one.from).max(0))
    };
    let longest = all.iter().map(days).max().unwrap_or(0);
    let line = format!(
        "the longest waits {}; whether a mat still lifts, a count and a lifting test say, not the clock",
        count(longest, "day", "days")
    );
    said(&mut out, &line);
    out
}
