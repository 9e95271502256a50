//! The people by name against the work that they may be asked for.

use crate::problems::Severity::{Error, Warning};
use crate::scenario::codes;
use crate::scenario::gather::Gather;
use crate::scenario::staff::MOST_STAFF;
use crate::scenario::types::Scenario;

/// Checks of `staff` and `duty`.
pub fn check(gather: &mut Gather, scenario: &Scenario) {
    watch(gather, scenario);
    let staff = &scenario.staff;
    if staff.is_empty() {
        return;
    }
    if staff.len() > MOST_STAFF {
        let message = format!("a staff of {}", staff.len());
        gather
            .flag(Error, codes::LIST_LENGTH, &["staff"], message)
            .expected(format!("at most {MOST_STAFF} people"));
    }
    for (index, person) in staff.iter().enumerate() {
        let watches = person.watches && scenario.duty.night_watch.is_some();
        if person.crews.is_empty() && !watches {
            let path = format!("staff[{index}]");
            let (crews, flag) = (format!("{path}.crews"), format!("{path}.watches"));
            let message = format!("`{}` can be asked for nothing", person.id);
            gather
                .flag(
                    Warning,
                    codes::WITHOUT_EFFECT,
                    &[&path, &crews, &flag],
                    message,
                )
                .help("name a crew in `crews`, or let them watch, with a `night_watch` in `duty`");
        }
    }
    for crew in &scenario.crews {
        let most = crew.spans.iter().filter_map(|span| span.people);
        let asked = most.fold(crew.people.max(crew.rest_day_people), i64::max);
        let can = staff.iter().filter(|person| person.can_do(&crew.id));
        let can = can.count() as i64;
        if can < asked {
            let who = match can {
                0 => "nobody".to_owned(),
                _ => format!("only {can}"),
            };
            let message = format!(
                "{who} on the staff can do the work of the crew `{}` of {asked}",
                crew.id
            );
            gather
                .flag(Warning, codes::STAFF, &["staff", "crews"], message)
                .expected(format!("`{}` among the `crews` of {asked} people", crew.id));
        }
    }
    let treated = scenario
        .kinds
        .iter()
        .find(|kind| kind.treatment.is_some() && scenario.fields.iter().any(|f| f.kind == kind.id));
    if let (Some(kind), Some(soak)) = (treated, &scenario.work.soak) {
        let mut can = staff.iter().filter(|person| person.can_do(&soak.crew));
        if !can.any(|person| person.licensed) {
            let message = format!(
                "seed of `{}` is treated, and nobody who can do the work of the crew `{}` is `licensed`",
                kind.id, soak.crew
            );
            gather.flag(Warning, codes::STAFF, &["staff", "kinds", "work"], message)
                .expected("somebody with the licence that your local rules ask for: without one nobody may handle the agent");
        }
    }
}

fn watch(gather: &mut Gather, scenario: &Scenario) {
    let Some(watch) = scenario.duty.night_watch else {
        return;
    };
    let path = "duty.night_watch";
    let mut nothing = |why: &str, help: &str| {
        gather
            .flag(
                Warning,
                codes::WITHOUT_EFFECT,
                &[path, "staff"],
                why.to_owned(),
            )
            .help(help);
    };
    if scenario.staff.is_empty() {
        nothing(
            "a night watch without a `staff` to keep it",
            "list the people in `staff`",
        );
        return;
    }
    if !watch.stacks && watch.below_c.is_none() {
        nothing(
            "a night watch for no night",
            "set `stacks`, or say below which temperature somebody watches in `below_c`",
        );
    }
    if watch.below_c.is_some() && scenario.weather.is_empty() {
        nothing(
            "`below_c` of a night watch without weather",
            "give the temperatures in `weather`",
        );
    }
    let can = scenario.staff.iter().filter(|person| person.watches);
    let can = can.count() as i64;
    if can < watch.people {
        let message = format!(
            "{} on the staff may be asked for a night watch of {}",
            if can == 0 {
                "nobody".to_owned()
            } else {
                format!("only {can}")
            },
            watch.people
        );
        gather
            .flag(Warning, codes::STAFF, &["staff", path], message)
            .expected(format!("`watches` of at least {} people", watch.people));
    }
}
