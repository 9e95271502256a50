//! Kinds and fields.

use super::orders::sown_of;
use super::windows;
use crate::problems::Severity::{Error, Warning};
use crate::scenario::gather::Gather;
use crate::scenario::types::{AgeClock, AgeLimit, Field, Kind, Method, Scenario};
use crate::scenario::{codes, spare, trays};
use crate::units::{Age, Fixed};

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
        limits(gather, kind, &path);
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

fn unit(clock: AgeClock) -> &'static str {
    match clock {
        AgeClock::Days => "days",
        AgeClock::Leaves => "leaves",
        AgeClock::Thermal => "°C·d",
    }
}

/// Further limits: each says something, and no two on one clock exclude each other.
fn limits(gather: &mut Gather, kind: &Kind, path: &impl Fn(&str) -> String) {
    let own = AgeLimit {
        clock: kind.age.clock,
        youngest: Some(kind.age.youngest),
        oldest: Some(kind.age.oldest),
    };
    let mut before = vec![(own, path("age"))];
    for (index, limit) in kind.limits.iter().enumerate() {
        let place = path(&format!("limits[{index}]"));
        match (limit.youngest, limit.oldest) {
            (None, None) => {
                gather
                    .flag(Error, codes::LIMIT, &[&place], "the limit holds no age")
                    .expected("`youngest`, `oldest` or both");
                continue;
            }
            (Some(youngest), Some(oldest)) if youngest > oldest => {
                let message = format!(
                    "youngest {youngest}, oldest {oldest} {} are not in order",
                    unit(limit.clock)
                );
                gather
                    .flag(Error, codes::AGE_ORDER, &[&place], message)
                    .expected("youngest, then oldest");
                continue;
            }
            _ => {}
        }
        let clash = before.iter().find_map(|(other, of)| {
            let fault = clash(limit, other)?;
            Some((fault, of.clone()))
        });
        match clash {
            Some(((oldest, youngest), of)) => {
                let message = format!(
                    "no age is at most {oldest} and at least {youngest} {}",
                    unit(limit.clock)
                );
                gather
                    .flag(Error, codes::LIMIT, &[&place, &of], message)
                    .expected(format!("ages that `{of}` allows too"));
            }
            None => before.push((*limit, place)),
        }
    }
}

/// Oldest of the one and youngest of the other, where no age lies between.
fn clash(one: &AgeLimit, other: &AgeLimit) -> Option<(Age, Age)> {
    let beyond = |oldest: Option<Age>, youngest: Option<Age>| -> Option<(Age, Age)> {
        let ends = (oldest?, youngest?);
        (ends.0 < ends.1).then_some(ends)
    };
    if one.clock != other.clock {
        return None;
    }
    beyond(one.oldest, other.youngest).or_else(|| beyond(other.oldest, one.youngest))
}

fn ages(gather: &mut Gather, kind: &Kind, path: &impl Fn(&str) -> String) {
    let age = &kind.age;
    if age.youngest <= age.target && age.target <= age.oldest {
        return;
    }
    let unit = unit(age.clock);
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
    // Lines that could not be read are told where they stand.
    if scenario.fields.is_empty() && !gather.any_error() {
        gather
            .flag(
                Warning,
                codes::NO_ORDERS,
                &["fields"],
                "there are no fields: nothing is to be planned",
            )
            .help("list the fields to be planted");
    }
    windows::blocks(gather, scenario);
    windows::nothing_given(gather, scenario);
    let mut all = 0i64;
    for (index, field) in scenario.fields.iter().enumerate() {
        if !spare::is_firm(field) {
            continue;
        }
        let path = |key: &str| format!("fields[{index}].{key}");
        let kind = scenario.kinds.iter().find(|kind| kind.id == field.kind);
        let sown = kind.map_or(0, |kind| sown_of(&kind.losses)(field));
        all = all.saturating_add(sown);
        if field.spare {
            continue;
        }
        windows::field(gather, scenario, field, &path);
        let count = trays::of_field(field).total;
        amount(gather, field, count, &path);
    }
    if all > MOST_TRAYS {
        gather
            .flag(
                Error,
                codes::TOO_MANY_TRAYS,
                &["fields", "kinds"],
                format!("{all} trays to sow in all"),
            )
            .expected(format!("at most {MOST_TRAYS} trays in one scenario"));
    }
}

fn amount(gather: &mut Gather, field: &Field, count: i64, path: &impl Fn(&str) -> String) {
    let sizes = [
        path("trays"),
        path("area_ha"),
        path("mats_per_ha"),
        path("row_cm"),
        path("reserve"),
        path("parts"),
    ];
    let mut sizes = sizes.each_ref().map(String::as_str);
    if field.trays.is_none() {
        sizes.swap(0, 1);
    }
    if count >= MANY_TRAYS {
        let message = format!("{count} trays for field `{}`", field.id);
        gather
            .flag(Warning, codes::MANY_TRAYS, &sizes, message)
            .help(if field.trays.is_some() {
                "look at the trays ordered once more"
            } else {
                "look at area, trays per hectare and reserve once more"
            });
    }
    if count < i64::from(field.parts) {
        let message = format!("{} parts of {count} trays", field.parts);
        let paths = [sizes[5], sizes[0], sizes[1], sizes[2], sizes[3], sizes[4]];
        gather
            .flag(Error, codes::PART, &paths, message)
            .expected("at least one tray in each part");
    }
}
