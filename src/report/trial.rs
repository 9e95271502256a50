//! Words of the trial at the line, for someone with wet hands: what to set comes first.

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, trays, wrap};
use crate::trial::advice::{Advice, Note, Refusal, SURE};
use crate::trial::log::Earlier;
use crate::trial::{Pair, Reading, Setting, Wanted, What};
use crate::units::Fixed;

/// A reading with its unit.
fn with_unit(what: What, reading: Reading) -> String {
    let places = if what == What::Water { 100 } else { 10 };
    let rounded = Fixed(crate::units::div_near(reading.0, 100 / places) * (100 / places));
    let rounded: Reading = if reading.0 >= 10_000 {
        Fixed(crate::units::div_near(reading.0, 100) * 100)
    } else {
        rounded
    };
    format!("{rounded} {}", what.unit())
}

/// A tray as typed.
fn said(what: What, pair: &Pair) -> String {
    format!("{} at {}", with_unit(what, pair.reading), pair.setting)
}

/// What is set, as people call it.
pub fn name(what: What) -> &'static str {
    match what {
        What::Bed => "bed soil",
        What::Water => "water",
        What::Seed => "seed",
        What::Cover => "cover soil",
    }
}

/// Seed is weighed; the others are measured.
fn weigh(what: What) -> &'static str {
    if what == What::Seed {
        "weigh"
    } else {
        "measure"
    }
}

/// Before the first tray: order of starting, cautions, and what is wanted.
pub fn before_start(wanted: &Wanted, from: &str) -> String {
    let mut out = target_line(wanted, from);
    if let Some(words) = unusual(wanted) {
        out.push_str(&wrap("note: ", "  ", &words));
    }
    out.push_str(&wrap(
        "before   ",
        "         ",
        "guards on; dry hands, dry way to the stop; press the earth-leakage test button: no start if it fails, and call a licensed electrician",
    ));
    out.push_str(&wrap(
        "start    ",
        "         ",
        "bed soil, water, seed, then cover once trays run; no gap between trays",
    ));
    if wanted.what == What::Seed {
        out.push_str(&wrap(
            "ballast  ",
            "         ",
            "about 1.5 kg in the tray so that it doesn't slip; take it off the weight",
        ));
    }
    out.push_str(CLEARING);
    out
}

/// So many trays are shown, and all outliers: the setting at the top must stay in sight.
const LAST: usize = 8;

const CLEARING: &str = "jam      isolate the line before clearing a jam or a brush\n";

/// `225 g wet a tray (214 to 236); 180 g dry x 1.25`.
fn target_line(wanted: &Wanted, from: &str) -> String {
    let (least, most) = wanted.band();
    let what = wanted.what;
    let number = |reading: Reading| match what {
        What::Seed => with_unit(what, reading).replace(" g", ""),
        _ => reading.to_string(),
    };
    let wet = if what == What::Seed { " wet" } else { "" };
    let from = if from.is_empty() {
        String::new()
    } else {
        format!("; {from}")
    };
    let words = format!(
        "{}{wet} a tray ({} to {}){from}",
        with_unit(what, wanted.target),
        number(least),
        number(most)
    );
    wrap("wanted   ", "         ", &words)
}

/// A target that nobody has heard of.
fn unusual(wanted: &Wanted) -> Option<String> {
    let (least, most) = wanted.what.heard_of();
    let outside = wanted.target < least || wanted.target > most;
    outside.then(|| {
        format!(
            "{} is outside the usual {} to {} a tray: is that meant?",
            with_unit(wanted.what, wanted.target),
            least,
            with_unit(wanted.what, most)
        )
    })
}

/// The start from an earlier season.
pub fn start(what: What, set: Setting, earlier: &Earlier, same_rate: bool) -> String {
    let mut out = format!("SET {set}, {} a tray\n", weigh(what));
    let rate = match earlier.rate {
        Some(rate) if !same_rate => format!(", at {rate} trays/h then: weigh more"),
        _ => String::new(),
    };
    let words = format!(
        "from {} up to {}{rate}",
        trays(earlier.pairs.len() as i64),
        earlier.date
    );
    out.push_str(&wrap("", "  ", &words));
    out
}

/// Without any tray and without an earlier season.
pub fn no_start(what: What) -> String {
    format!(
        "SET what you think is right, {} a tray, type setting=reading\n",
        weigh(what)
    )
}

/// The answer after each tray.
pub fn answer(advice: &Advice, wanted: &Wanted, from: &str) -> String {
    let mut out = head(advice, wanted);
    out.push_str(&target_line(wanted, from));
    let what = wanted.what;
    let expected = format!("{} at {}", with_unit(what, advice.expected), advice.set);
    let sure = match (advice.trays, advice.sure) {
        _ if advice.met() => String::new(),
        (0, _) => "; nothing weighed there yet".to_string(),
        (number, None) => format!("; {} there, too few to say how sure", trays(number)),
        (number, Some(sure)) => {
            format!("; {} there: {sure} % sure ({SURE} asked)", trays(number))
        }
    };
    out.push_str(&wrap("expected ", "         ", &(expected + &sure)));
    for note in &advice.notes {
        out.push_str(&wrap("note: ", "  ", &note_words(note, what)));
    }
    if let Some(words) = unusual(wanted) {
        out.push_str(&wrap("note: ", "  ", &words));
    }
    out.push('\n');
    out.push_str(&table(advice, what));
    if advice.met() {
        out.push('\n');
        out.push_str(&wrap(
            "next     ",
            "         ",
            "after any change of rate all four again: bed soil, water, seed, cover",
        ));
        out.push_str(&wrap(
            "stop     ",
            "         ",
            "when feeding has stopped: bed soil, water, seed, cover; carriage and power last",
        ));
        out.push_str(CLEARING);
    }
    out
}

fn head(advice: &Advice, wanted: &Wanted) -> String {
    let set = advice.set;
    if advice.met() {
        let sure = advice.sure.unwrap_or(SURE);
        return format!(
            "LEAVE {set}: {} is right, {sure} % sure from {}\n",
            name(wanted.what),
            trays(advice.trays)
        );
    }
    let weigh = weigh(wanted.what);
    match (advice.stay, advice.more) {
        (false, _) => format!("SET {set}, {weigh} a tray\n"),
        (true, Some(more)) => format!("KEEP {set}, {weigh} {more} more\n"),
        (true, None) => format!("KEEP {set}, {weigh} another\n"),
    }
}

fn note_words(note: &Note, what: What) -> String {
    match note {
        Note::BeyondDial => {
            "the target lies beyond the end of the dial: change the rate of the line, then all four again".to_string()
        }
        Note::Coarse(percent) => format!("one step of the dial is {percent} % of the target; if it can be set finer, give --step"),
        Note::Odd(higher, lower) => format!(
            "{}, but {}: weigh both again if it goes on",
            said(what, higher),
            said(what, lower)
        ),
        Note::Drift(tenths) => {
            let size = Fixed::<1>(tenths.abs());
            let way = if *tenths > 0 { "up" } else { "down" };
            format!("readings creep {way} by about {size} % a tray: hopper level, damp seed, a worn brush?")
        }
    }
}

fn table(advice: &Advice, what: What) -> String {
    let unit = match what {
        What::Seed => "g wet",
        What::Water => "L a tray",
        What::Bed | What::Cover => "mm",
    };
    let mut table = Table::new(vec![
        Column::new("tray", Align::Right, Fit::Keep),
        Column::new("setting", Align::Right, Fit::Keep),
        Column::new(unit, Align::Right, Fit::Keep),
        Column::new("off", Align::Right, Fit::Keep),
        Column::new("", Align::Left, Fit::Wrap),
    ]);
    let hidden = advice.shown.len().saturating_sub(LAST);
    let mut left_out = 0;
    for (at, shown) in advice.shown.iter().enumerate() {
        if at < hidden && shown.outlier.is_none() {
            left_out += 1;
            continue;
        }
        let outlier = match shown.outlier {
            Some(others) => format!(
                "OUTLIER, left out: the others say {}",
                with_unit(what, others)
            ),
            None => String::new(),
        };
        table.row([
            (at + 1).to_string(),
            shown.pair.setting.to_string(),
            shown.pair.reading.to_string(),
            match shown.off_target {
                0 => "0 %".to_string(),
                off => format!("{off:+} %"),
            },
            outlier,
        ]);
    }
    let mut out = table.render(WIDTH);
    if left_out > 0 {
        out.push_str(&format!("{} before these count too\n", trays(left_out)));
    }
    out
}

/// Why there is no setting, and what to do.
pub fn refusal(refusal: &Refusal, wanted: &Wanted) -> String {
    let what = wanted.what;
    let (why, help) = match refusal {
        Refusal::OffTheDial(setting) => (
            format!("the dial has no setting {setting}"),
            "read the dial again, or give its ends with --range".to_string(),
        ),
        Refusal::Nothing(pair) => (
            format!("nothing came out at {}", pair.setting),
            "look at hopper, gate and drive, or set it higher, and weigh again".to_string(),
        ),
        Refusal::Unit(pair) => (
            format!("{} {} is far from the {} wanted", pair.reading, what.unit(), with_unit(what, wanted.target)),
            format!("weigh or measure in {}, the empty tray taken off; if it is that, set the dial nearer first", what.unit()),
        ),
        Refusal::Flat => (
            "what comes out does not follow the setting".to_string(),
            "isolate the line, then look: is the dial coupled, the gate free, the hopper full?".to_string(),
        ),
        Refusal::Backwards => (
            "the higher the setting, the less comes out".to_string(),
            "read the dial again; if it counts backwards, type its highest number less the setting".to_string(),
        ),
        Refusal::Contradict(one, other) => (
            format!("{} and {} contradict each other", said(what, one), said(what, other)),
            "weigh a third tray at that setting: it says which one is wrong".to_string(),
        ),
        Refusal::Scattered => (
            "the trays differ too much for any setting to be read from them".to_string(),
            "let the line run trays without a gap, hopper half full, and weigh three at one setting".to_string(),
        ),
    };
    let mut out = wrap("", "  ", &why);
    out.push_str(&wrap("  help: ", "    ", &help));
    out.trim_end().to_string()
}
