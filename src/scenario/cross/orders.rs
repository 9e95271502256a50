//! Order lines: which count, what is handed over, when they were ordered, how a shortage is shared, and the spare.

use crate::problems::Severity::{Error, Warning};
use crate::scenario::gather::Gather;
use crate::scenario::spare::{GROWER, PREFIX, is_firm};
use crate::scenario::types::{Field, HandOver, Scenario, Sharing};
use crate::scenario::{Kept, codes, trays};
use crate::units::{Fixed, Hectares, Share};
use std::collections::BTreeSet;

/// Largest field, ha: that of the key `area_ha`.
const LARGEST: Hectares = Hectares::whole(10_000);
/// Trays out of ten that must leave, at least; beyond it figures are no longer those of a nursery.
const LEAST_KEPT: i64 = 100_000;
/// A loss in one stage that is worth a second look, from memory.
const HIGH_LOSS: i64 = 300_000;

/// All order lines together.
pub fn lines(gather: &mut Gather, scenario: &Scenario) {
    let written = || scenario.fields.iter().filter(|field| !field.spare);
    if written().count() > 0 && !written().any(is_firm) {
        let count = written().count();
        let message = match count {
            1 => "the only order line is not firm: nothing is to be planned".to_owned(),
            _ => format!("none of {count} order lines is firm: nothing is to be planned"),
        };
        gather
            .flag(Error, codes::NOT_FIRM, &["fields"], message)
            .expected("at least one line whose `state` is `firm`, or has no `state`")
            .help("write `firm` where the order is agreed");
    }
    for (index, field) in scenario.fields.iter().enumerate() {
        if field.spare {
            continue;
        }
        let path = |key: &str| format!("fields[{index}].{key}");
        names(gather, scenario, field, &path);
        if is_firm(field) {
            counted(gather, field, &path);
            handed_over(gather, field, &path);
            ordered(gather, scenario, field, &path);
        }
    }
    sharing(gather, scenario);
    spare(gather, scenario);
    least_runs(gather, scenario);
}

/// Names that the spare has, where one is grown.
fn names(gather: &mut Gather, scenario: &Scenario, field: &Field, path: &impl Fn(&str) -> String) {
    if !scenario.kinds.iter().any(|kind| kind.spare_share.0 > 0) {
        return;
    }
    if field.id.starts_with(PREFIX) {
        let message = format!("`{}` is named like a spare", field.id);
        gather
            .flag(Error, codes::SPARE_NAME, &[&path("id"), "kinds"], message)
            .expected(format!("an id that does not begin with `{PREFIX}`"))
            .help("these names are those of the trays grown by `spare_share`");
    }
    if field.grower == GROWER {
        let message = format!("a grower called `{GROWER}`");
        gather
            .flag(
                Error,
                codes::SPARE_NAME,
                &[&path("grower"), &path("id"), "kinds"],
                message,
            )
            .expected("another name")
            .help("this name is that of the trays grown by `spare_share`");
    }
}

/// An order by trays: its area, and a margin that is not added.
fn counted(gather: &mut Gather, field: &Field, path: &impl Fn(&str) -> String) {
    let Some(trays) = field.trays else { return };
    if field.area_ha > LARGEST {
        let place = path("trays");
        let message = format!("{trays} trays come to a field of {} ha", field.area_ha);
        let mats = [path("mats_per_ha"), path("row_cm")];
        gather
            .flag(
                Error,
                codes::OUT_OF_RANGE,
                &[&place, &mats[0], &mats[1], &path("area_ha")],
                message,
            )
            .expected(format!("at most {LARGEST} ha"))
            .help("look at trays and trays per hectare once more");
    }
    let margin = path("reserve");
    if field.reserve.0 > 0 && gather.written(&margin) {
        let message = format!(
            "`reserve` {} beside `trays`: it is not added to {trays} trays",
            field.reserve
        );
        gather
            .flag(
                Warning,
                codes::WITHOUT_EFFECT,
                &[&margin, &path("trays")],
                message,
            )
            .help("leave `reserve` out, or count the margin among the trays");
    }
}

/// What makes no sense for seed or for trays that have only just come up, or for trays that are fetched.
fn handed_over(gather: &mut Gather, field: &Field, path: &impl Fn(&str) -> String) {
    let stage = path("stage");
    let group = path("travel_group");
    let seed = field.stage == HandOver::SoakedSeed;
    if field.travel_group.is_some() && seed {
        without_effect(
            gather,
            &[&group, &stage],
            "`travel_group` for the stage `soaked_seed`: seed takes no place on a vehicle"
                .to_owned(),
            "leave `travel_group` out",
        );
    } else if field.travel_group.is_some() && field.collected {
        without_effect(
            gather,
            &[&group, &path("collected")],
            "`travel_group` of a field whose grower fetches the trays".to_owned(),
            "leave `travel_group` out, or `collected` if your vehicle brings them",
        );
    }
    let word = match field.stage {
        HandOver::Seedlings => return,
        HandOver::SoakedSeed => "soaked_seed",
        HandOver::Sprouted => "sprouted",
    };
    let keys = [
        (
            "planter",
            field.planter.is_some(),
            "a machine plants only seedlings",
        ),
        (
            "lifted",
            field.lifted,
            "only seedlings have mats to lift out",
        ),
        (
            "edge_days",
            field.edge_days > 0,
            "only seedlings wait at the edge of a field",
        ),
    ];
    for (key, given, only) in keys {
        if given {
            let message = format!("`{key}` for the stage `{word}`: {only}");
            gather
                .flag(Error, codes::HAND_OVER, &[&path(key), &stage], message)
                .help(format!(
                    "leave `{key}` out, or write `seedlings` for `stage`"
                ));
        }
    }
}

/// Says that something written changes nothing.
fn without_effect(gather: &mut Gather, paths: &[&str], message: String, help: &str) {
    gather
        .flag(Warning, codes::WITHOUT_EFFECT, paths, message)
        .help(help);
}

/// A field ordered after its last day.
fn ordered(
    gather: &mut Gather,
    scenario: &Scenario,
    field: &Field,
    path: &impl Fn(&str) -> String,
) {
    let Some(day) = field.ordered else { return };
    let (last, of) = match field.window.iter().map(|span| span.last).max() {
        Some(last) => (last, "its window"),
        None => (scenario.horizon.last, "the horizon"),
    };
    if day > last {
        let message = format!("ordered on {day}, after the last day of {of}, {last}");
        let paths = [&path("ordered"), &path("window"), "horizon"];
        gather
            .flag(Warning, codes::ORDERED, &paths, message)
            .help("is the year right?");
    }
}

/// A way to share that nothing in the file feeds.
fn sharing(gather: &mut Gather, scenario: &Scenario) {
    let firm = || {
        scenario
            .fields
            .iter()
            .filter(|field| is_firm(field) && !field.spare)
    };
    if firm().count() == 0 {
        return;
    }
    let members: BTreeSet<&str> = scenario
        .growers
        .iter()
        .filter(|grower| grower.member)
        .map(|grower| grower.id.as_str())
        .collect();
    let (message, help) = match scenario.sharing {
        Sharing::OrderDate if !firm().any(|field| field.ordered.is_some()) => (
            "shared by order date, and no firm order line has a day",
            "write `ordered` for the fields, or leave `sharing` out",
        ),
        Sharing::MembersFirst if !firm().any(|field| members.contains(field.grower.as_str())) => (
            "members first, and no firm order line is of a member",
            "write `\"member\": true` for entries of `growers`, or leave `sharing` out",
        ),
        _ => return,
    };
    gather
        .flag(
            Warning,
            codes::SHARING,
            &["sharing", "fields", "growers"],
            message,
        )
        .help(help);
}

/// Two spares of one name, and a share from which none follows.
fn spare(gather: &mut Gather, scenario: &Scenario) {
    let mut seen = BTreeSet::new();
    for field in scenario.fields.iter().filter(|field| field.spare) {
        if !seen.insert(field.id.as_str()) {
            let message = format!("two spares would be called `{}`", field.id);
            gather
                .flag(Error, codes::SPARE_NAME, &["kinds", "seasons"], message)
                .help("give the kind or the season another id: both stand in the name");
        }
    }
    for (index, kind) in scenario.kinds.iter().enumerate() {
        let grown = |field: &Field| field.spare && field.kind == kind.id;
        if kind.spare_share.0 == 0 || scenario.fields.iter().any(grown) {
            continue;
        }
        let message = format!(
            "no spare is grown of `{}`: no firm order line of it has a window",
            kind.id
        );
        let path = format!("kinds[{index}].spare_share");
        without_effect(
            gather,
            &[&path, "fields"],
            message,
            "a spare stands by for the week in which a window ends: give one, or leave `spare_share` out",
        );
    }
}

/// Runs that can never be large enough.
fn least_runs(gather: &mut Gather, scenario: &Scenario) {
    for (index, kind) in scenario.kinds.iter().enumerate() {
        let grown = |field: &&Field| {
            field.kind == kind.id && is_firm(field) && field.stage != HandOver::SoakedSeed
        };
        let fields = scenario.fields.iter().filter(grown);
        let all: i64 = fields
            .map(sown_of(&kind.losses))
            .fold(0, i64::saturating_add);
        if all == 0 || kind.least_run_trays <= all {
            continue;
        }
        let path = format!("kinds[{index}].least_run_trays");
        let message = format!(
            "a run of `{}` has at least {} trays, and all its firm orders come to {all}",
            kind.id, kind.least_run_trays
        );
        gather
            .flag(Warning, codes::LEAST_RUN, &[&path, "fields"], message)
            .expected(format!("at most {all} trays"))
            .help("as it stands none of it can be sown");
    }
}

/// Trays that are sown for a field, part by part.
pub fn sown_of(losses: &crate::scenario::Losses) -> impl Fn(&Field) -> i64 {
    move |field| {
        let kept = Kept::of(losses, field.stage);
        let parts = trays::of_field(field).trays;
        parts
            .into_iter()
            .fold(0, |all: i64, part| all.saturating_add(kept.sown(part)))
    }
}

/// Losses that leave hardly anything, or are larger than is common.
pub fn losses(gather: &mut Gather, scenario: &Scenario) {
    for (index, kind) in scenario.kinds.iter().enumerate() {
        let path = |key: &str| format!("kinds[{index}].losses{key}");
        let losses = &kind.losses;
        let kept = Kept::of(losses, HandOver::Seedlings).share();
        if kept.0 < LEAST_KEPT {
            let all = [losses.line, losses.stack, losses.bed].contains(&Fixed(Share::ONE));
            let rest = if all {
                "nothing".to_owned()
            } else {
                kept.to_string()
            };
            let message = format!(
                "losses of {} on the line, {} in the stack and {} in the beds leave {rest} of what is sown",
                losses.line, losses.stack, losses.bed
            );
            gather
                .flag(Error, codes::LOST, &[&path("")], message)
                .expected(format!(
                    "at least {}: ten trays sown for one that leaves",
                    Fixed::<6>(LEAST_KEPT)
                ))
                .help("write shares of one: 0.02 for 2 %");
            gather.mark_bad(&path(""));
            continue;
        }
        for (key, where_, lost) in [
            ("line", "on the line", losses.line),
            ("stack", "in the stack", losses.stack),
            ("bed", "in the beds", losses.bed),
        ] {
            if lost.0 > HIGH_LOSS {
                let place = path(&format!(".{key}"));
                let message = format!("{lost} of the trays of `{}` lost {where_}", kind.id);
                gather
                    .flag(Warning, codes::HIGH_LOSS, &[&place], message)
                    .expected(format!("at most {} (from memory)", Fixed::<6>(HIGH_LOSS)))
                    .help("a share of one is meant: 0.02 for 2 %");
            }
        }
    }
}
