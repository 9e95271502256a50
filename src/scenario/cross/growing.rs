//! Kinds and fields.

use crate::calendar::DayRange;
use crate::problems::Severity::{Error, Warning};
use crate::scenario::gather::Gather;
use crate::scenario::types::{AgeClock, Field, Kind, Method, Scenario};
use crate::scenario::{codes, trays};
use crate::units::Fixed;

/// Most trays of all fields together: beyond it, sums of milliseconds and money could overflow.
const MOST_TRAYS: i64 = 100_000_000;
/// From so many trays on, one field is worth a second look.
const MANY_TRAYS: i64 = 100_000;
/// Thickest published class, g a tray: high-density sown rice seedlings, Aomori 2022.
const THICKEST_G: i64 = 300;
/// Coldest advised soaking water, °C: Iwate Pref., 17 Apr 2020.
const COLDEST_SOAK_C: i64 = 10;

/// Ages, thresholds, seed and soaking water of every kind.
pub fn kinds(gather: &mut Gather, scenario: &Scenario) {
    for (index, kind) in scenario.kinds.iter().enumerate() {
        let path = |key: &str| format!("kinds[{index}].{key}");
        ages(gather, kind, &path);
        thresholds(gather, kind, &path);
        if kind.seed_g_dry_per_tray > Fixed::whole(THICKEST_G) {
            let message = format!("{} g of dry seed a tray", kind.seed_g_dry_per_tray);
            gather
                .flag(
                    Warning,
                    codes::THICK_SEED,
                    &[&path("seed_g_dry_per_tray")],
                    message,
                )
                .expected(format!(
                    "at most {THICKEST_G} g, the thickest published class (Aomori, 2022)"
                ));
        }
        if kind.soak_degree_days.0 > 0 && kind.soak_water_c < Fixed::whole(COLDEST_SOAK_C) {
            let message = format!("soaking water of {} °C", kind.soak_water_c);
            gather
                .flag(Warning, codes::COLD_SOAK, &[&path("soak_water_c")], message)
                .expected(format!("{COLDEST_SOAK_C} °C or more (Iwate Pref., 2020)"));
        }
    }
}

fn ages(gather: &mut Gather, kind: &Kind, path: &impl Fn(&str) -> String) {
    let age = &kind.age;
    if age.youngest <= age.target && age.target <= age.oldest {
        return;
    }
    let unit = match age.clock {
        AgeClock::Days => "days",
        AgeClock::Leaves => "leaves",
        AgeClock::Thermal => "°C·d",
    };
    let message = format!(
        "youngest {}, target {}, oldest {} {unit} are not in order",
        age.youngest, age.target, age.oldest
    );
    let paths = [
        path("age"),
        path("age.youngest"),
        path("age.target"),
        path("age.oldest"),
    ];
    gather
        .flag(
            Error,
            codes::AGE_ORDER,
            &paths.each_ref().map(String::as_str),
            message,
        )
        .expected("youngest, then target, then oldest");
}

fn thresholds(gather: &mut Gather, kind: &Kind, path: &impl Fn(&str) -> String) {
    let growth = &kind.growth;
    let (base, upper, ceiling) = (growth.base_c, growth.upper_c, growth.ceiling_c);
    let paths = [
        path("growth"),
        path("growth.base_c"),
        path("growth.upper_c"),
        path("growth.ceiling_c"),
    ];
    let mut told = |message: String, expected: &str| {
        gather
            .flag(
                Error,
                codes::THRESHOLD_ORDER,
                &paths.each_ref().map(String::as_str),
                message,
            )
            .expected(expected);
    };
    match growth.method {
        Method::Days => {}
        Method::HourlySine if !(base < upper && upper < ceiling) => told(
            format!("base {base}, upper {upper}, ceiling {ceiling} °C are not in order"),
            "base below upper, upper below ceiling",
        ),
        _ if base >= upper => {
            told(
                format!("base {base}, upper {upper} °C are not in order"),
                "base below upper",
            );
        }
        _ => {}
    }
}

/// Windows, preferred days, parts and numbers of trays.
pub fn fields(gather: &mut Gather, scenario: &Scenario) {
    if scenario.fields.is_empty() {
        gather
            .flag(
                Warning,
                codes::NO_ORDERS,
                &["fields"],
                "there are no fields: nothing is to be planned",
            )
            .help("list the fields to be planted");
    }
    let mut all = 0i64;
    for (index, field) in scenario.fields.iter().enumerate() {
        let path = |key: &str| format!("fields[{index}].{key}");
        window(gather, scenario, field, &path);
        let count = trays::of_field(field).total;
        all = all.saturating_add(count);
        amount(gather, field, count, &path);
    }
    if all > MOST_TRAYS {
        gather
            .flag(
                Error,
                codes::TOO_MANY_TRAYS,
                &["fields"],
                format!("{all} trays in all"),
            )
            .expected(format!("at most {MOST_TRAYS} trays in one scenario"));
    }
}

fn amount(gather: &mut Gather, field: &Field, count: i64, path: &impl Fn(&str) -> String) {
    let sizes = [
        path("area_ha"),
        path("mats_per_ha"),
        path("row_cm"),
        path("reserve"),
        path("parts"),
    ];
    let sizes = sizes.each_ref().map(String::as_str);
    if count >= MANY_TRAYS {
        let message = format!("{count} trays for field `{}`", field.id);
        gather
            .flag(Warning, codes::MANY_TRAYS, &sizes, message)
            .help("look at area, trays per hectare and reserve once more");
    }
    if count < i64::from(field.parts) {
        let message = format!("{} parts of {count} trays", field.parts);
        let paths = [sizes[4], sizes[0], sizes[1], sizes[2], sizes[3]];
        gather
            .flag(Error, codes::PART, &paths, message)
            .expected("at least one tray in each part");
    }
}

fn window(gather: &mut Gather, scenario: &Scenario, field: &Field, path: &impl Fn(&str) -> String) {
    let (window, season, horizon) = (path("window"), path("season"), scenario.horizon);
    let meets = |span: &DayRange| span.first <= horizon.last && horizon.first <= span.last;
    let within = |span: &DayRange, around: &DayRange| {
        around.contains(span.first) && around.contains(span.last)
    };
    let spans: Vec<String> = field.window.iter().map(DayRange::to_string).collect();
    let spans = spans.join(" ");
    if !field.window.iter().any(meets) {
        let message = format!("the window {spans} lies outside the horizon");
        gather
            .flag(Error, codes::WINDOW_OUTSIDE, &[&window, "horizon"], message)
            .expected(format!("days inside {horizon}"));
        return;
    }
    if let Some(cut) = field.window.iter().find(|span| !within(span, &horizon)) {
        let message = format!("{cut} lies partly or wholly outside the horizon {horizon}");
        gather
            .flag(Warning, codes::WINDOW_CUT, &[&window, "horizon"], message)
            .help("only its days inside the horizon can be planned");
    }
    let of_season = field
        .season
        .as_ref()
        .and_then(|id| scenario.seasons.iter().find(|one| one.id == *id));
    if let Some(of_season) = of_season
        && let Some(out) = field
            .window
            .iter()
            .find(|span| !within(span, &of_season.span))
    {
        let message = format!("{out} lies outside the season `{}`", of_season.id);
        gather
            .flag(
                Error,
                codes::SEASON,
                &[&window, &season, "seasons"],
                message,
            )
            .expected(format!("days inside {}", of_season.span));
    }
    let open = |day| {
        field.window.iter().any(|span| span.contains(day))
            && !field.closed.iter().any(|span| span.contains(day))
    };
    let any_open = field
        .window
        .iter()
        .filter(|span| meets(span))
        .flat_map(|span| {
            DayRange {
                first: span.first.max(horizon.first),
                last: span.last.min(horizon.last),
            }
            .iter()
        });
    if !any_open.into_iter().any(open) {
        gather
            .flag(
                Warning,
                codes::WINDOW_CLOSED,
                &[&path("closed"), &window, "horizon"],
                "every day of the window is closed",
            )
            .help("the field cannot be planted: widen the window or open a day");
    } else if let Some(preferred) = field
        .preferred
        .filter(|day| !open(*day) || !horizon.contains(*day))
    {
        let message = format!("the preferred day {preferred} is not a day of the window {spans}");
        gather
            .flag(
                Warning,
                codes::PREFERRED_OUTSIDE,
                &[&path("preferred"), &window, &path("closed")],
                message,
            )
            .help("days off it are priced all the same");
    }
}
