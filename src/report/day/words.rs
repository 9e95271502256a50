//! Words of the day sheet: verbs, counts as handled, clock times.

pub mod work;

use crate::calendar::Day;
use crate::plan::day::{
    Bags, Call, CallAbout, CannotWait, CrewDay, Dose, Job, Look, Misfit, Party, SeedKg, SeedLeft,
    Sowing, Stacked, TraysCome, Work,
};
use crate::plan::tasks::Verb;
use crate::report::text::{self, count, duration, people, trays};
use crate::scenario::HandOver;
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

/// Kilograms to the tenth, of seed that is weighed out; grams under one.
pub fn kg_weighed(weight: Fixed<3>) -> String {
    if weight.0 < 1_000 {
        format!("{} g", weight.0)
    } else {
        format!("{} kg", Fixed::<1>(div_near(weight.0, 100)))
    }
}

/// Hectares to the hundredth: the one decimal on the sheet, as growers say it.
pub fn ha(area: Hectares) -> String {
    Fixed::<2>(div_near(area.0, 100)).to_string()
}

/// "Plant North field, Ito: 120 trays, koma (window of the field)".
pub fn cannot_wait(line: &CannotWait) -> String {
    let what = match &line.field {
        Some(field) => format!("{field}: {}, {}", trays(line.trays), line.kind),
        None if line.trays > 0 => format!("{}, {}", line.kind, trays(line.trays)),
        None => line.kind.clone(),
    };
    format!("{} {what} ({})", verb(line.verb), line.why)
}

/// What to look at on the morning of `day`, and the blank beside it.
pub fn look(look: &Look, day: Day) -> (String, &'static str) {
    match look {
        Look::Stacks {
            place,
            run,
            kind,
            stacks,
            days_since_sown,
            open,
        } => {
            let opens = if *open == day {
                "open today".to_string()
            } else {
                format!("open {} {}", open.weekday(), open.spoken())
            };
            let text = format!(
                "{place}, {run} {kind}\n  {}, day {days_since_sown}: {opens}, sprouts about 5 mm",
                self::stacks(*stacks)
            );
            (text, "____ °C  ____ mm")
        }
        Look::House { place, rows } => (
            format!("{}: last night's low, high", in_rows(place, rows)),
            "____ °C  ____ °C",
        ),
        Look::Edge {
            field,
            grower,
            trays: count,
            until,
        } => {
            let until = if *until == day {
                "today".to_string()
            } else {
                format!("{} {}", until.weekday(), until.spoken())
            };
            let text = format!(
                "Edge of {field}, {grower}: {} wait until {until}\n  flat, shaded, watered?",
                text::trays(*count)
            );
            (text, "______________ok")
        }
        Look::TankLids { kinds } => (
            format!("Tank lids on, warmth of the water:\n  {}", kinds.join("; ")),
            "____ °C  ____ ok",
        ),
        Look::TestButton => (
            "Test button of the earth-leakage switch: no start if it fails".into(),
            "______________ok",
        ),
    }
}

/// Name, people and hours of a crew.
pub fn crew_title(crew: &CrewDay) -> String {
    let name = crew.name.to_uppercase();
    let ends = crew.jobs.iter().flat_map(|job| &job.spells);
    let ends = ends.map(|spell| spell.until_minute).max();
    let of = |until: i64| {
        let (from, until) = (clock(crew.from_minute), clock(until));
        format!("{name}: {}, {from} to {until}", people(crew.people))
    };
    match ends {
        _ if crew.day_off && crew.people == 0 => format!("{name}: day off, nobody called in"),
        Some(end) if crew.day_off => of(end) + ", CALLED IN ON A DAY OFF",
        Some(end) if end > crew.until_minute => {
            format!("{}, OVERTIME TO {}", of(crew.until_minute), clock(end))
        }
        _ => of(crew.until_minute),
    }
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
        Verb::HandOver => "Hand over",
        Verb::Plant => "Plant",
        Verb::Collect => "Fetch",
        Verb::Wash => "Wash",
    }
}

/// "about 2050 kg": rounded up to ten, on the safe side of a vehicle's limit.
pub fn kilograms(kg: i64) -> String {
    format!("about {} kg", div_up(kg, 10) * 10)
}

/// "rows 3 to 5"; nothing without rows.
pub fn rows(rows: &[u32]) -> String {
    let mut sorted = rows.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let spans: Vec<String> = sorted
        .chunk_by(|one, next| one.checked_add(1) == Some(*next))
        .map(|span| match span {
            [one] => one.to_string(),
            [one, two] => format!("{one}, {two}"),
            _ => format!("{} to {}", span[0], span[span.len() - 1]),
        })
        .collect();
    match (sorted.len(), spans.is_empty()) {
        (_, true) => String::new(),
        (1, _) => format!("row {}", spans[0]),
        _ => format!("rows {}", spans.join(", ")),
    }
}

/// "Long house, rows 3 to 5".
pub fn in_rows(place: &str, of: &[u32]) -> String {
    match rows(of) {
        rows if rows.is_empty() => place.to_string(),
        rows => format!("{place}, {rows}"),
    }
}

/// "5 bags of 20 kg = 100 kg".
pub fn bags_or_kg(bags: Option<Bags>, dry: Fixed<3>) -> String {
    match bags {
        Some(Bags { count: 1, kg: each }) => format!("1 bag of {}", kg(each)),
        Some(bags) => format!("{} bags of {} = {}", bags.count, kg(bags.kg), kg(dry)),
        None => kg(dry),
    }
}

/// "Kernol, 480 mL for the batch".
pub fn dose(dose: &Dose) -> String {
    format!("{}, {} mL for the batch", dose.agent, dose.ml)
}

/// Loads of one grower from one bed, without their fields.
pub fn loads(jobs: &[Job]) -> String {
    let Some(job) = jobs.first() else {
        return String::new();
    };
    let kind = job.kind.as_deref().unwrap_or("");
    let count = trays(jobs.iter().map(|job| job.trays).sum());
    let mut lines = vec![format!("{} {kind}, {count}", work_verb(job))];
    if let Some(party) = &job.party {
        let (runs, bed) = (job.runs.join(", "), job.from_place.as_deref().unwrap_or(""));
        let (grower, days) = (&party.grower, party.age_days);
        lines.push(format!("{runs}: {bed} to {grower}, {days} days old"));
        lines.extend(on_the_way(party));
    }
    lines.join("\n")
}

/// What the driver and the loaders must know of a delivery besides its count.
fn on_the_way(party: &Party) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(group) = &party.travel_group {
        lines.push(format!("round trip: {group}"));
    }
    if party.lifted {
        lines.push("lift and roll the mats; the trays stay here".into());
    }
    if let Some(until) = party.waits_until {
        let (weekday, day) = (until.weekday(), until.spoken());
        lines.push(format!(
            "stand at the edge until {weekday} {day}: flat, shaded, watered"
        ));
    }
    lines
}

pub fn work_verb(job: &Job) -> &'static str {
    match job.work {
        Work::Harden if job.from_place != job.to_place => "MOVE",
        work => verb_of(work),
    }
}

pub fn verb_of(work: Work) -> &'static str {
    match work {
        Work::Load => "LOAD",
        Work::HandOver => "HAND OVER",
        Work::Plant => "PLANT",
        Work::Unstack => "OPEN",
        Work::Green => "LAY OUT",
        Work::SetUp => "SET UP",
        Work::Trial => "TRIAL",
        Work::Sow => "SOW",
        Work::Stack => "STACK",
        Work::Care => "WATER, VENT, LOOK",
        Work::TraysBack => "TRAYS BACK",
        Work::Collect => "FETCH",
        Work::Wash => "WASH",
        Work::Soak => "SOAK",
        Work::Drain => "DRAIN",
        Work::ChangeWater => "CHANGE WATER",
        Work::Harden => "UNCOVER",
        Work::Spare => "SPARE OF",
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
        Work::Load | Work::HandOver | Work::Plant | Work::Collect | Work::TraysBack => lines
            .extend(
                job.party
                    .as_ref()
                    .map(|party| to_field(job, party))
                    .unwrap_or_default(),
            ),
        Work::Care => lines.extend(after_nine(job)),
        Work::Green | Work::Harden => lines.extend(into_bed(job)),
        Work::Soak | Work::ChangeWater => {
            lines.push(format!(
                "for {runs}; about {} L water",
                job.water_l.unwrap_or(0)
            ));
            if let Some(given) = &job.dose {
                lines.push(format!("treat: {}", dose(given)));
                lines.push("by its label; gloves and mask; never food or feed".into());
            }
        }
        Work::Drain => lines.push(format!("for {runs}; dry the surface, keep cool")),
        Work::Trial => lines.push(format!("{runs}: weigh 5, set the seed again")),
        Work::Wash => lines
            .extend(job.washer_minutes.map(|minutes| {
                format!("about {} at the washer", duration(div_up(minutes, 5) * 5))
            })),
        Work::Spare => {
            let place = job.from_place.as_deref().unwrap_or("");
            lines.push(format!("{runs}: {}", in_rows(place, &job.rows)));
            lines.push("the last day for planting them: lift the mats, trays to the wash".into());
        }
        _ => lines.push(format!("{runs}: {}", places(job))),
    }
    lines.extend(of_stacks(job));
    if job.work == Work::SetUp && job.trays > 0 {
        let count = count(job.trays, "tray", "trays");
        lines.push(format!(
            "throw out the first {count}: the kind before is in them"
        ));
    }
    lines.extend(job.sowing.as_ref().map(sowing).unwrap_or_default());
    lines.extend(job.seed_left.as_ref().map(seed_left));
    lines.join("\n")
}

/// What is said of stacks that are opened or built.
fn of_stacks(job: &Job) -> Vec<String> {
    let mut lines = Vec::new();
    if job.trial_trays > 0 {
        lines.push(format!(
            "{} of them trial trays: empty, to the wash",
            job.trial_trays
        ));
    }
    if job.leave_today > 0 {
        let to_bed = job.trays - job.trial_trays - job.leave_today - job.allowance;
        let bed = if to_bed > 0 {
            format!(", {to_bed} to bed")
        } else {
            String::new()
        };
        lines.push(format!("{} of them leave today{bed}", job.leave_today));
        if job.allowance > 0 {
            let are = if job.allowance == 1 { "is" } else { "are" };
            lines.push(format!(
                "{} of them {are} the allowance for loss: lay out what is good, the rest to the wash",
                job.allowance
            ));
        }
    }
    lines
}

/// Said once above the first stacking that has to wait for the line.
pub fn nobody_stacks(job: &Job) -> String {
    match &job.who_could_stack {
        Some(crew) => format!(
            "ALL ARE ON THE LINE, nobody stacks while it runs:\n{crew} has someone free, ask there"
        ),
        None => "NOBODY IS FREE TO STACK WHILE THE LINE RUNS\ntrays wait at its end: find a pair of hands".into(),
    }
}

/// "up to 4 may be left over: keep as spare": what was sown for loss and was not lost.
pub fn left_over(count: i64) -> Option<String> {
    (count > 0).then(|| format!("up to {count} may be left over: keep as spare"))
}

/// Soaked seed for which there is no tray.
fn seed_left(left: &SeedLeft) -> String {
    let (dry, wet) = (kg_weighed(left.seed.dry), kg_weighed(left.seed.wet));
    // Birds and stock eat what is spread: treated seed is not.
    let away = match left.treated {
        true => "away as the label of its treatment says: never spread, food or feed",
        false => "spread and not fed",
    };
    format!("{dry} dry ({wet} wet) are left over: next run of the kind, or {away}")
}

/// Beds that stood there in the morning are done by nine where people allow.
fn after_nine(job: &Job) -> Option<String> {
    let late = job
        .spells
        .iter()
        .any(|spell| spell.until_minute > 9 * 60 + 2);
    (late && !job.laid_out_today).then(|| "LATER THAN NINE: who can water sooner?".into())
}

fn first_line(job: &Job) -> String {
    let verb = work_verb(job);
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
            format!(
                "{verb}\n{}: {}{laid}",
                in_rows(place, &job.rows),
                trays(job.trays)
            )
        }
        (Work::Collect, _, _) if job.trays == 0 => format!("{verb} empty trays"),
        (Work::Collect | Work::TraysBack | Work::Wash, _, _) => {
            format!("{verb} {}", trays(job.trays))
        }
        (Work::Spare, _, _) => {
            format!("{verb} {kind}: {} free for whoever asks", trays(job.trays))
        }
        (_, Some(stacked), _) => format!("{verb} {kind}\n{}", as_stacks(job.trays, stacked)),
        (Work::HandOver, _, Some(SeedKg { dry, wet })) => {
            let (dry, wet) = (kg_weighed(dry), kg_weighed(wet));
            format!("{verb} {kind}, {dry} dry, {wet} wet")
        }
        (_, _, Some(SeedKg { dry, wet })) => {
            let dry = bags_or_kg(job.bags, dry);
            match job.work {
                Work::Drain => {
                    format!("{verb} {kind}, {dry} dry, {} wet", kg(wet))
                }
                _ => format!("{verb} {kind}, {dry} dry"),
            }
        }
        _ => {
            let spare = if job.spare { " of the spare" } else { "" };
            format!("{verb} {kind}, {}{spare}", trays(job.trays))
        }
    }
}

/// Where trays are laid out or harden, and what happens to covers.
fn into_bed(job: &Job) -> Vec<String> {
    let runs = job.runs.join(", ");
    let (from, to) = (job.from_place.as_deref(), job.to_place.as_deref());
    let to = in_rows(to.unwrap_or(""), &job.rows);
    let from = from.unwrap_or("");
    let mut lines = match job.work {
        Work::Green => vec![
            format!("{runs}: {from} to {to}"),
            "side by side, then put the cover on".into(),
        ],
        _ if job.from_place == job.to_place => vec![
            format!("{runs}: {to}"),
            "take the cover off, trays stay where they are".into(),
        ],
        _ => vec![
            format!("{runs}: {from} to {to}"),
            "carry them over, the first cover stays".into(),
        ],
    };
    if job.spare {
        lines.push("kept as spare: label them".into());
    }
    lines
}

fn places(job: &Job) -> String {
    match (&job.from_place, &job.to_place) {
        (Some(from), Some(to)) => format!("{from} to {to}"),
        (Some(place), None) | (None, Some(place)) => place.clone(),
        (None, None) => String::new(),
    }
}

fn to_field(job: &Job, party: &Party) -> Vec<String> {
    let Party {
        field,
        grower,
        area_ha,
        age_days,
        ..
    } = party;
    let runs = job.runs.join(", ");
    let fetched = || "the grower fetches it, at __:__".to_string();
    match job.work {
        Work::Collect | Work::TraysBack => {
            let due = job
                .due
                .map(|due| format!("{} of {} should be back by tonight", due.by_now, due.in_all));
            let from = format!("from {field}, {grower}");
            std::iter::once(from).chain(due).collect()
        }
        Work::Plant => {
            let machine = job.to_place.as_deref().unwrap_or("");
            let mut lines = vec![format!(
                "{field}, {grower}: {} ha with {machine}",
                ha(*area_ha)
            )];
            lines.extend(job.machine_minutes.map(|minutes| {
                let long = duration(div_up(minutes, 5) * 5);
                let moves = if job.move_minutes > 0 {
                    ", with its move"
                } else {
                    ""
                };
                format!("machine: {long}{moves}")
            }));
            lines.extend(job.trays_come.map(|come| match come {
                TraysCome::About(minute) => format!("trays there about {}", clock(minute)),
                TraysCome::Unknown => "begins when the trays are there".into(),
            }));
            lines
        }
        Work::HandOver if job.seed.is_some() => {
            let to = format!("for {field}, {grower} ({runs}), for {}", trays(job.trays));
            let how = if party.collected {
                fetched()
            } else {
                "bring it cool and in the shade, at __:__".into()
            };
            vec![to, how, "never food or feed; label goes with it".into()]
        }
        _ => {
            let bed = in_rows(job.from_place.as_deref().unwrap_or(""), &job.rows);
            let weight = job
                .load_kg
                .map_or(String::new(), |kg| format!(", {}", kilograms(kg)));
            let area = ha(*area_ha);
            let mut lines = vec![
                format!("{runs}: {bed} to {field}, {grower}"),
                format!("{area} ha, {age_days} days old{weight}"),
            ];
            if party.stage == HandOver::Sprouted {
                lines.push("sprouted, from the stack: cover, keep from sun and wind".into());
            }
            lines.extend(on_the_way(party));
            lines.extend(left_over(job.allowance));
            if party.collected {
                lines.push(fetched());
            }
            lines
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
        ..
    } = run;
    let trial = if *trial_trays > 0 { " and trial" } else { "" };
    let after = run
        .after
        .as_ref()
        .map_or(String::new(), |kind| format!(", after {kind}"));
    let mut lines = vec![format!(
        "run {order} of {of}{after}: {line_minutes} min with set-up{trial}"
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
    if run.hopper_left_g > 0 {
        let left = run.hopper_left_g;
        lines.push(format!("{left} g dry stays in it: weigh, bag, label"));
    }
    lines.push(format!(
        "bed {} mm, {} L; cover {} mm, {} L",
        whole(soil.bed_mm),
        soil.bed_l,
        whole(soil.cover_mm),
        soil.cover_l,
    ));
    lines.push(format!("water {} L", soil.water_l));
    if run.last_of_day {
        lines.push("LAST OF THE DAY on this line: then clean it all".into());
    }
    lines
}

/// "PLANT RAS3S, Rasken": a job by its field, else by its runs.
pub fn named(job: &Job) -> String {
    let about = match &job.party {
        Some(party) => format!("{}, {}", party.field, party.grower),
        None => job.runs.join(", "),
    };
    format!("{} {about}", work_verb(job)).trim_end().to_string()
}

/// Why a job has no time: the hours are short, or only their order.
fn no_time(crew: &str, minutes: i64, hours_suffice: bool, would_end: Option<i64>) -> String {
    if !hours_suffice {
        return format!("{minutes} person-minutes more than {crew} has");
    }
    let end = would_end.map_or(String::new(), |end| {
        format!(" Whoever stays is done by {}.", clock(end))
    });
    format!(
        "{minutes} person-minutes find no time. The hours of {crew} suffice, the order of the clock does not.{end}"
    )
}

/// What does not fit, in one sentence.
pub fn misfit(misfit: &Misfit) -> String {
    match misfit {
        Misfit::Time {
            work,
            runs,
            place,
            field,
            crew,
            person_minutes,
            hours_suffice,
            would_end,
        } => {
            if let Some(field) = field {
                let verb = verb_of(*work);
                let place = place.as_ref().filter(|_| *work == Work::Plant);
                let with = place.map_or(String::new(), |place| format!(" with {place}"));
                return format!(
                    "{verb} {field}{with}: {}",
                    no_time(crew, *person_minutes, *hours_suffice, *would_end)
                );
            }
            let place = place
                .as_ref()
                .map_or(String::new(), |place| format!(", {place}"));
            let runs = if runs.is_empty() {
                String::new()
            } else {
                format!(" {}", runs.join(", "))
            };
            format!(
                "{}{runs}{place}: {}",
                verb_of(*work),
                no_time(crew, *person_minutes, *hours_suffice, *would_end)
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
                verb_of(*work)
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
    let what = match call.seed {
        Some(seed) => format!("soaked seed, {} dry", kg_weighed(seed.dry)),
        None => trays(call.trays),
    };
    let spoken = |day: &Day| format!("{} {}", day.weekday(), day.spoken());
    match call.about {
        CallAbout::Comes => {
            let age = match call.seed {
                Some(_) => String::new(),
                None => format!(", {} days old", call.age_days),
            };
            let how = if call.collected { "fetches" } else { "at" };
            let edge = match call.comes {
                Some(_) => format!("; planted {}, till then flat, shaded, watered", spoken(day)),
                None => String::new(),
            };
            format!("{grower}, {field}: {what}{age}, {how} __:__{edge}")
        }
        CallAbout::FieldReady => format!("{grower}, {field}: {what} on {}", spoken(day)),
    }
}
