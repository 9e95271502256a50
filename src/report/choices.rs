//! Choices side by side, in words: what can be done about a thin run, and on which days an order that is asked for could be planted.

use super::answers::{columns, day_or, said};
use super::table::{Align, Fit};
use super::text::{WIDTH, count, money, number, short_day, trays};
use crate::calendar::Day;
use crate::disrupt::answers::asked::Asked;
use crate::disrupt::answers::thin::{Choice, Thin, ThinWay};
use crate::plan::Plan;
use crate::scenario::Scenario;

/// The name of a kind.
fn kind_name<'a>(scenario: &'a Scenario, id: &'a str) -> &'a str {
    let mut kinds = scenario.kinds.iter();
    kinds
        .find(|kind| kind.id == id)
        .map_or(id, |kind| kind.name.as_str())
}

fn span(days: Option<(Day, Day)>) -> String {
    match days {
        None => "none".into(),
        Some((first, last)) if first == last => short_day(first),
        Some((first, last)) => format!("{} to {}", short_day(first), short_day(last)),
    }
}

/// What can be done about a run that came up thin.
pub(super) fn thin(thin: &Thin, plan: &Plan) -> String {
    let scenario = &plan.scenario;
    let mut out = format!("\nRUN {} CAME UP THIN\n", thin.run);
    let line = format!(
        "{}: {} can leave, {} are missing",
        kind_name(scenario, &thin.kind),
        trays(thin.left),
        number(thin.missing)
    );
    said(&mut out, &line);
    let mut table = columns(&[
        ("choice", Align::Left, Fit::Fill),
        ("trays", Align::Right, Fit::Keep),
        (&scenario.currency, Align::Right, Fit::Keep),
        ("decide by", Align::Left, Fit::Keep),
        ("planted", Align::Left, Fit::Keep),
    ]);
    for choice in &thin.choices {
        table.row([
            in_words(choice),
            number(choice.trays),
            choice.cost.map_or("?".into(), money),
            day_or(choice.decide_by, "too late"),
            span(choice.days),
        ]);
    }
    out.push_str(&table.render(WIDTH));
    let ways = |way: ThinWay| thin.choices.iter().any(|choice| choice.what == way);
    said(
        &mut out,
        "the price of sharing is that of trays short; a part of the trays can go each way",
    );
    if ways(ThinWay::Younger) {
        said(
            &mut out,
            "whoever gives younger trays is sown for again: `give from=... to=...` beside this event says what that comes to",
        );
    }
    if ways(ThinWay::OtherKind) {
        said(&mut out, "another kind only when the grower agrees");
    }
    if ways(ThinWay::Buy) {
        said(
            &mut out,
            "bought mats stand outside the plan, which neither counts nor pays them",
        );
    }
    out
}

fn in_words(choice: &Choice) -> String {
    let from = &choice.from;
    match choice.what {
        ThinWay::SowAgain if choice.trays == 0 => "sow again: it does not fit".into(),
        ThinWay::SowAgain => "sow again".into(),
        ThinWay::Share => "share what came up".into(),
        ThinWay::Spare => format!("give spare `{from}`"),
        ThinWay::Younger => format!("give what stands for {from}"),
        ThinWay::OtherKind => format!("another kind, `{from}`"),
        ThinWay::Buy => format!("buy: {from}"),
    }
}

/// On which days an order that is asked for could be planted.
pub(super) fn asked(asked: &Asked, plan: &Plan) -> String {
    let scenario = &plan.scenario;
    let mut out = format!(
        "\n{} ha MORE OF {}, {} IN {}\n",
        asked.ha,
        kind_name(scenario, &asked.kind),
        trays(asked.trays),
        count(asked.parts, "PART", "PARTS")
    );
    if asked.days.is_empty() {
        said(
            &mut out,
            "no day would do: it is too late to soak, or no day is open",
        );
    }
    if !asked.days.is_empty() {
        said(
            &mut out,
            "with all that is decided left as it is, so much goes on each day:",
        );
    }
    let mut table = columns(&[
        ("planted", Align::Left, Fit::Keep),
        ("ha", Align::Right, Fit::Keep),
        ("trays", Align::Right, Fit::Keep),
        (&scenario.currency, Align::Right, Fit::Keep),
        ("soak by", Align::Left, Fit::Keep),
        ("in the way of more", Align::Left, Fit::Fill),
    ]);
    for day in &asked.days {
        table.row([
            short_day(day.day),
            if day.parts == 0 {
                "-".into()
            } else {
                day.ha.to_string()
            },
            number(day.trays),
            money(day.cost),
            day_or(day.soak_by, ""),
            if day.parts == asked.parts {
                "all of it goes".into()
            } else {
                day.in_the_way.join(", ")
            },
        ]);
    }
    out.push_str(&table.render(WIDTH));
    let days: Vec<String> = asked
        .mended_days
        .iter()
        .map(|day| short_day(*day))
        .collect();
    let line = if asked.mended == 0 {
        "the mended plan finds no room for it".to_string()
    } else {
        format!(
            "the mended plan grows {} of {} for it, planted {}",
            number(asked.mended),
            trays(asked.trays),
            days.join(", ")
        )
    };
    said(&mut out, &line);
    out
}
