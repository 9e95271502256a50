//! A frost or a cut of power, in words: which places, what to do there, who comes, and the usual cautions.

use super::answers::{columns, said};
use super::day::words::in_rows;
use super::table::{Align, Fit};
use super::text::{WIDTH, clock, count, number, people, short_day};
use crate::disrupt::answers::tonight::{Hazard, OnCall, Reached, Tonight};
use crate::plan::day::FROST;
use crate::scenario::Scenario;

/// Most names of people listed.
const MOST_NAMES: usize = 4;

/// Places, what to do, who comes.
pub(super) fn tonight(tonight: &Tonight, scenario: &Scenario) -> String {
    let on = short_day(tonight.on);
    let mut out = match tonight.what {
        Hazard::Frost => format!("\nFROST IN THE NIGHT TO {}\n", on.to_uppercase()),
        Hazard::Power => format!("\nPOWER OFF ON {}\n", on.to_uppercase()),
    };
    if tonight.places.is_empty() {
        said(
            &mut out,
            &match tonight.what {
                Hazard::Frost => format!("no place with trays in it falls to {FROST} °C or below"),
                Hazard::Power => "no stack stands in a place that is warmed".into(),
            },
        );
    } else {
        places(&mut out, tonight, scenario);
    }
    who(&mut out, &tonight.who);
    cautions(&mut out, tonight);
    out
}

fn places(out: &mut String, tonight: &Tonight, scenario: &Scenario) {
    let inside = match tonight.what {
        Hazard::Frost => "lowest °C",
        Hazard::Power => "mean °C",
    };
    let mut table = columns(&[
        ("place", Align::Left, Fit::Fill),
        ("trays", Align::Right, Fit::Keep),
        (inside, Align::Right, Fit::Keep),
        ("what to do", Align::Left, Fit::Fill),
    ]);
    for one in &tonight.places {
        let names = one.kinds.iter().map(|id| {
            let mut kinds = scenario.kinds.iter();
            let kind = kinds.find(|kind| kind.id == *id);
            kind.map_or(id.clone(), |kind| kind.name.clone())
        });
        let names: Vec<String> = names.collect();
        let place = match one.stacks {
            0 => in_rows(&one.place, &one.rows),
            stacks => format!("{}, {}", one.place, count(stacks, "stack", "stacks")),
        };
        table.row([
            format!("{place}: {}", names.join("; ")),
            number(one.trays),
            one.inside_c.to_string(),
            what_to_do(tonight.what, one),
        ]);
    }
    out.push_str(&table.render(WIDTH));
}

fn what_to_do(what: Hazard, one: &Reached) -> String {
    match (what, one.stacks) {
        (Hazard::Frost, 0) => {
            "close and cover before evening; look at the low in the morning, open by sun".into()
        }
        (Hazard::Frost, _) => "wrap the stacks, close doors; look in the night".into(),
        (Hazard::Power, _) => {
            let usual = one
                .usual_c
                .map_or(String::new(), |usual| format!(" (else {usual})"));
            let later = match one.opens_later {
                0 => "the stacks still open on their day".to_string(),
                days => format!("they open {} later", count(days, "day", "days")),
            };
            format!("keep shut and wrapped{usual}; watch the warmth in the stack; {later}")
        }
    }
}

fn who(out: &mut String, who: &OnCall) {
    match &who.crew {
        Some((crew, start, end)) => {
            let when = if who.day_off {
                "a day off, called in".to_string()
            } else {
                format!("{} to {}", clock(*start), clock(*end))
            };
            said(
                out,
                &format!("by day: {crew}, {}, {when}", people(who.people)),
            );
        }
        None => said(out, "nothing says who looks after the beds by day"),
    }
    let Some((watch, start, hours)) = who.watch else {
        said(out, "nothing says who watches at night: `duty.night_watch`");
        return;
    };
    let names: Vec<&str> = who.may_watch.iter().map(String::as_str).collect();
    let more = match names.len() {
        0 => "; nobody by name may be asked".to_string(),
        all if all > MOST_NAMES => format!(
            "; may be asked: {} and {} more",
            names[..MOST_NAMES].join(", "),
            all - MOST_NAMES
        ),
        _ => format!("; may be asked: {}", names.join(", ")),
    };
    let line = format!(
        "by night: {} from {} for {hours} h{more}; the roster says whose turn it is",
        people(watch),
        clock(start)
    );
    said(out, &line);
}

fn cautions(out: &mut String, tonight: &Tonight) {
    match tonight.what {
        Hazard::Frost => {
            said(
                out,
                "lowest as the offsets of each place have it, before covers; a thermometer inside says more",
            );
            said(
                out,
                "no open fire or burner in a closed house without air and a carbon-monoxide alarm; nobody alone at night",
            );
        }
        Hazard::Power => {
            said(
                out,
                "counted as if it were at once as cold as outdoors: how slowly a stack cools is not known, look by thermometer",
            );
            said(
                out,
                "electricity is for licensed people: no repair, no generator on the house wiring; nobody alone at night",
            );
        }
    }
}
