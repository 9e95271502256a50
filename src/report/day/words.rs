//! Words of the day sheet: verbs, counts as handled, clock times.

pub mod work;

use crate::plan::day::{Call, CallAbout, Job, Misfit, Party, SeedKg, Sowing, Stacked, Work};
use crate::plan::tasks::Verb;
use crate::report::text::{self, trays};
use crate::units::{Fixed, Hectares, div_near, div_up};

/// To the nearest five minutes.
pub fn clock(minute: i64) -> String {
    text::clock(div_near(minute, 5) * 5)
}

/// "07:00-08:30"; one time alone when both are the same.
pub fn from_to(from: i64, until: i64) -> String {
    let (from, until) = (clock(from), clock(until));
    if from == until {
        from
    } else {
        format!("{from}-{until}")
    }
}

/// The nearest whole number.
pub fn whole<const P: u32>(value: Fixed<P>) -> i64 {
    div_near(value.0, Fixed::<P>::ONE)
}

/// Whole kilograms; grams under one.
pub fn kg(weight: Fixed<3>) -> String {
    if weight.0 < 1_000 {
        format!("{} g", weight.0)
    } else {
        format!("{} kg", whole(weight))
    }
}

/// Hectares to the hundredth: the one decimal on the sheet, as growers say it.
pub fn ha(area: Hectares) -> String {
    Fixed::<2>(div_near(area.0, 100)).to_string()
}

/// "40 stacks".
pub fn stacks(count: i64) -> String {
    if count == 1 {
        "1 stack".into()
    } else {
        format!("{count} stacks")
    }
}

/// "612 trays = 40 stacks of 15 + 12".
fn as_stacks(count: i64, stacked: Stacked) -> String {
    let Stacked { full, height, rest } = stacked;
    let word = if full == 1 { "stack" } else { "stacks" };
    match (full, rest) {
        (0, rest) => format!("{} = 1 stack of {rest}", trays(count)),
        (full, 0) => format!("{} = {full} {word} of {height}", trays(count)),
        (full, rest) => format!("{} = {full} {word} of {height} + {rest}", trays(count)),
    }
}

/// The verb of a task, as on the sheet.
pub fn verb(verb: Verb) -> &'static str {
    match verb {
        Verb::Soak => "Soak",
        Verb::Drain => "Drain",
        Verb::Sprout => "Sprout",
        Verb::SetUp => "Set up",
        Verb::Trial => "Trial",
        Verb::Sow => "Sow",
        Verb::Stack => "Stack",
        Verb::Look => "Look at",
        Verb::Unstack => "Open",
        Verb::Green => "Lay out",
        Verb::Harden => "Uncover",
        Verb::Load => "Load",
        Verb::Plant => "Plant",
        Verb::Collect => "Fetch",
        Verb::Wash => "Wash",
    }
}

/// "about 2050 kg": rounded up to what a scale for vehicles shows, on the safe side of their limits.
pub fn kilograms(kg: i64) -> String {
    let step = if kg < 1_000 { 10 } else { 50 };
    format!("about {} kg", div_up(kg, step) * step)
}

/// Loads of one grower from one bed, without their fields.
pub fn loads(jobs: &[Job]) -> String {
    let Some(job) = jobs.first() else {
        return String::new();
    };
    let kind = job.kind.as_deref().unwrap_or("");
    let count = trays(jobs.iter().map(|job| job.trays).sum());
    let mut text = format!("{} {kind}, {count}", work_verb(job.work));
    if let Some(party) = &job.party {
        let (runs, bed) = (job.runs.join(", "), job.from_place.as_deref().unwrap_or(""));
        let (grower, days) = (&party.grower, party.age_days);
        text.push_str(&format!("\n{runs}: {bed} to {grower}, {days} days old"));
        if !party.told {
            text.push_str(NOT_TOLD);
        }
    }
    text
}

/// A day is not firm before it was told.
const NOT_TOLD: &str = "\nday not yet told to the grower: call first";

fn work_verb(work: Work) -> &'static str {
    match work {
        Work::Load => "LOAD",
        Work::Plant => "PLANT",
        Work::Unstack => "OPEN",
        Work::Green => "LAY OUT",
        Work::SetUp => "SET UP",
        Work::Trial => "TRIAL",
        Work::Sow => "SOW",
        Work::Stack => "STACK",
        Work::Care => "WATER, VENT, LOOK",
        Work::Collect => "FETCH",
        Work::Wash => "WASH",
        Work::Soak => "SOAK",
        Work::Drain => "DRAIN",
        Work::ChangeWater => "CHANGE WATER",
        Work::Harden => "UNCOVER",
    }
}

/// One job: verb, count and kind first, then where, then what belongs to it.
pub fn job_text(job: &Job) -> String {
    let mut lines = vec![first_line(job)];
    if let Some(first) = job.stacks_first {
        lines.push(format!("first {}, the rest later", stacks(first)));
    }
    let runs = job.runs.join(", ");
    match job.work {
        Work::Load | Work::Plant | Work::Collect => {
            lines.extend(job.party.as_ref().map(|party| to_field(job, party)))
        }
        Work::Care => {}
        Work::Green | Work::Harden => lines.push(format!("{runs}: {}", places(job))),
        Work::Soak | Work::ChangeWater => {
            lines.push(format!(
                "for {runs}; about {} L water",
                job.water_l.unwrap_or(0)
            ));
        }
        Work::Drain => lines.push(format!("for {runs}; dry the surface, keep cool")),
        Work::Trial => lines.push(format!("{runs}: weigh 5, set the seed again")),
        Work::Wash => {}
        _ => lines.push(format!("{runs}: {}", places(job))),
    }
    if job.trial_trays > 0 {
        lines.push(format!(
            "{} of them trial trays: empty, to the wash",
            job.trial_trays
        ));
    }
    if job
        .party
        .as_ref()
        .is_some_and(|party| job.work == Work::Load && !party.told)
    {
        lines.push(NOT_TOLD.trim_start().into());
    }
    lines.extend(job.sowing.as_ref().map(sowing).unwrap_or_default());
    lines.join("\n")
}

fn first_line(job: &Job) -> String {
    let verb = work_verb(job.work);
    let kind = job.kind.as_deref().unwrap_or("");
    let place = job.to_place.as_deref().unwrap_or("");
    match (job.work, job.stacked, job.seed) {
        (Work::SetUp, _, _) => format!("{verb} for {kind}"),
        (Work::Care, _, _) => {
            let laid = if job.laid_out_today {
                " laid out today"
            } else {
                ""
            };
            format!("{verb}\n{place}: {}{laid}", trays(job.trays))
        }
        (Work::Collect, _, _) => format!("{verb} {}", trays(job.trays)),
        (Work::Wash, _, _) => format!("{verb} {}", trays(job.trays)),
        (_, Some(stacked), _) => format!("{verb} {kind}\n{}", as_stacks(job.trays, stacked)),
        (_, _, Some(SeedKg { dry, wet })) if job.work == Work::Drain => {
            format!("{verb} {kind}, {} dry, {} wet", kg(dry), kg(wet))
        }
        (_, _, Some(SeedKg { dry, .. })) => format!("{verb} {kind}, {} dry", kg(dry)),
        _ => format!("{verb} {kind}, {}", trays(job.trays)),
    }
}

fn places(job: &Job) -> String {
    match (&job.from_place, &job.to_place) {
        (Some(from), Some(to)) if from == to => format!("{to}, stays where it is"),
        (Some(from), Some(to)) => format!("{from} to {to}"),
        (Some(place), None) | (None, Some(place)) => place.clone(),
        (None, None) => String::new(),
    }
}

fn to_field(job: &Job, party: &Party) -> String {
    let Party {
        field,
        grower,
        area_ha,
        age_days,
        ..
    } = party;
    let runs = job.runs.join(", ");
    match job.work {
        Work::Collect => format!("from {field}, {grower}"),
        Work::Plant => {
            let machine = job.to_place.as_deref().unwrap_or("");
            format!("{field}, {grower}: {} ha with {machine}", ha(*area_ha))
        }
        _ => {
            let bed = job.from_place.as_deref().unwrap_or("");
            let weight = job
                .load_kg
                .map_or(String::new(), |kg| format!(", {}", kilograms(kg)));
            let area = ha(*area_ha);
            format!("{runs}: {bed} to {field}, {grower}\n{area} ha, {age_days} days old{weight}")
        }
    }
}

fn sowing(run: &Sowing) -> Vec<String> {
    let Sowing {
        order,
        of,
        line_minutes,
        trial_trays,
        places,
        seed,
        grams,
        soil,
    } = run;
    let trial = if *trial_trays > 0 {
        " with its trial"
    } else {
        ""
    };
    let mut lines = vec![format!(
        "run {order} of {of}: {line_minutes} minutes{trial}"
    )];
    for place in places {
        lines.push(format!("{} to {}", stacks(place.stacks), place.place));
        let (free, waiting) = (place.free, place.stacks - place.free);
        if waiting > 0 {
            lines.push(format!(
                "{free} free this morning, {waiting} as stacks are opened"
            ));
        }
    }
    lines.push(format!(
        "{} g wet a tray ({} to {}); {} g dry",
        grams.target, grams.low, grams.high, grams.dry
    ));
    lines.push(format!(
        "hopper: {} wet, {} dry",
        kg(seed.wet),
        kg(seed.dry)
    ));
    lines.push(format!(
        "bed {} mm, {} L; cover {} mm, {} L",
        whole(soil.bed_mm),
        soil.bed_l,
        whole(soil.cover_mm),
        soil.cover_l,
    ));
    lines.push(format!("water {} L", soil.water_l));
    lines
}

/// What does not fit, in one sentence.
pub fn misfit(misfit: &Misfit) -> String {
    match misfit {
        Misfit::Time {
            work,
            runs,
            place,
            crew,
            person_minutes,
        } => {
            let place = place
                .as_ref()
                .map_or(String::new(), |place| format!(", {place}"));
            let runs = if runs.is_empty() {
                String::new()
            } else {
                format!(" {}", runs.join(", "))
            };
            format!(
                "{}{runs}{place}: {person_minutes} person-minutes more than {crew} has",
                work_verb(*work)
            )
        }
        Misfit::Team {
            work,
            runs,
            crew,
            needed,
            people,
        } => {
            let runs = runs.join(", ");
            format!(
                "{} {runs}: needs a team of {needed}; {crew} has {people} on duty",
                work_verb(*work)
            )
        }
        Misfit::Line {
            line,
            minutes,
            allowed,
        } => {
            format!("{line}: {minutes} minutes of work, {allowed} allowed")
        }
    }
}

/// What calls of one sort are about.
pub fn call_heading(about: CallAbout) -> &'static str {
    match about {
        CallAbout::Comes => {
            "Call tonight, trays come tomorrow: the hour; shade, water, field ready?"
        }
        CallAbout::FieldReady => "Call tonight, three days ahead: will the field be ready?",
    }
}

/// Whom to call, with field, trays and day.
pub fn call(call: &Call) -> String {
    let Call {
        grower, field, day, ..
    } = call;
    let count = trays(call.trays);
    match call.about {
        CallAbout::Comes => format!(
            "{grower}, {field}: {count}, {} days old, at __:__",
            call.age_days
        ),
        CallAbout::FieldReady => format!(
            "{grower}, {field}: {count} on {} {}",
            day.weekday(),
            day.spoken()
        ),
    }
}
