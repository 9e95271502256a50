//! One job in words: verb, kind and count as handled; then where; then what belongs to it. The same as the text sheet says.

use super::numbers::{bags_or_kg, in_rows};
use crate::plan::day::{Job, Party, SeedKg, SeedLeft, Sowing, Stacked, TraysCome, Work};
use crate::report::day::words::{clock, ha, kg, kg_weighed, whole};
use crate::report::sheets::words::{Words, say};
use crate::scenario::HandOver;
use crate::units::div_up;

/// The lines of a job, the first to be printed in bold.
pub fn job_lines(w: &Words, job: &Job) -> Vec<String> {
    let mut lines = vec![first(w, job)];
    if let Some(stacks) = job.stacks_first {
        lines.push(say!(
            w,
            "job.stacks_first",
            stacks = w.count("stacks", stacks)
        ));
    }
    let runs = job.runs.join(", ");
    match job.work {
        Work::Load | Work::HandOver | Work::Plant | Work::Collect | Work::TraysBack => {
            let party = job.party.as_ref();
            lines.extend(
                party
                    .map(|party| to_field(w, job, party))
                    .unwrap_or_default(),
            );
        }
        Work::Care => {
            let late = |spell: &crate::plan::day::Spell| spell.until_minute > 9 * 60 + 2;
            if job.spells.iter().any(late) && !job.laid_out_today {
                lines.push(w.get("job.after_nine"));
            }
        }
        Work::Green | Work::Harden => lines.extend(into_bed(w, job)),
        Work::Soak | Work::ChangeWater => {
            let water = job.water_l.unwrap_or(0);
            lines.push(say!(w, "job.tank", runs = runs, litres = water));
            if let Some(dose) = &job.dose {
                lines.push(say!(w, "job.dose", agent = dose.agent, ml = dose.ml));
            }
        }
        Work::Drain => lines.push(say!(w, "job.drain", runs = runs)),
        Work::Trial => lines.push(say!(w, "job.trial", runs = runs)),
        Work::Wash => lines.extend(
            job.washer_minutes
                .map(|minutes| say!(w, "job.washer", time = duration(w, minutes))),
        ),
        Work::Spare => {
            let place = job.from_place.as_deref().unwrap_or("");
            lines.push(run_at(w, &runs, &in_rows(w, place, &job.rows)));
            lines.push(w.get("job.spare_ends"));
        }
        _ => lines.push(run_at(w, &runs, &places(w, job))),
    }
    lines.extend(of_stacks(w, job));
    if job.work == Work::SetUp && job.trays > 0 {
        lines.push(say!(w, "job.throw_out", trays = w.trays(job.trays)));
    }
    lines.extend(
        job.sowing
            .as_ref()
            .map(|run| sowing(w, run))
            .unwrap_or_default(),
    );
    lines.extend(job.seed_left.as_ref().map(|left| seed_left(w, left)));
    lines.retain(|line| !line.is_empty());
    lines
}

/// The verb of a job, as the table of words has it.
pub fn verb(w: &Words, work: Work, moved: bool) -> String {
    let key = match work {
        Work::Harden if moved => "work.move",
        Work::Load => "work.load",
        Work::HandOver => "work.hand_over",
        Work::Plant => "work.plant",
        Work::Unstack => "work.unstack",
        Work::Green => "work.green",
        Work::SetUp => "work.set_up",
        Work::Trial => "work.trial",
        Work::Sow => "work.sow",
        Work::Stack => "work.stack",
        Work::Care => "work.care",
        Work::TraysBack => "work.trays_back",
        Work::Collect => "work.collect",
        Work::Wash => "work.wash",
        Work::Soak => "work.soak",
        Work::Drain => "work.drain",
        Work::ChangeWater => "work.change_water",
        Work::Harden => "work.harden",
        Work::Spare => "work.spare",
    };
    w.get(key)
}

/// "3 h 20 min", to five minutes up.
pub fn duration(w: &Words, minutes: i64) -> String {
    let minutes = div_up(minutes, 5) * 5;
    match (minutes / 60, minutes % 60) {
        (0, m) => say!(w, "time.minutes", m = m),
        (h, 0) => say!(w, "time.hours", h = h),
        (h, m) => say!(w, "time.both", h = h, m = m),
    }
}

/// "612 trays = 40 stacks of 15 + 12".
pub fn as_stacks(w: &Words, trays: i64, stacked: Stacked) -> String {
    let Stacked { full, height, rest } = stacked;
    let trays = w.trays(trays);
    let stacks = w.count("stacks", full.max(1));
    match (full, rest) {
        (0, rest) => say!(
            w,
            "stacks.of",
            trays = trays,
            stacks = stacks,
            height = rest
        ),
        (_, 0) => say!(
            w,
            "stacks.of",
            trays = trays,
            stacks = stacks,
            height = height
        ),
        _ => say!(
            w,
            "stacks.rest",
            trays = trays,
            stacks = stacks,
            height = height,
            rest = rest
        ),
    }
}

fn run_at(w: &Words, runs: &str, place: &str) -> String {
    if place.is_empty() {
        runs.to_string()
    } else {
        say!(w, "job.run_at", runs = runs, place = place)
    }
}

fn first(w: &Words, job: &Job) -> String {
    let verb = verb(w, job.work, job.from_place != job.to_place);
    let kind = job.kind.as_deref().unwrap_or("");
    let place = job.to_place.as_deref().unwrap_or("");
    let what = match (job.work, job.stacked, job.seed) {
        (Work::SetUp, _, _) => say!(w, "job.for_kind", kind = kind),
        (Work::Care, _, _) => {
            let (at, trays) = (in_rows(w, place, &job.rows), w.trays(job.trays));
            let key = if job.laid_out_today {
                "job.care_new"
            } else {
                "job.care"
            };
            say!(w, key, place = at, trays = trays)
        }
        (Work::Collect, _, _) if job.trays == 0 => w.get("job.empties"),
        (Work::Collect | Work::TraysBack | Work::Wash, _, _) => w.trays(job.trays),
        (Work::Spare, _, _) => say!(w, "job.spare_free", kind = kind, trays = w.trays(job.trays)),
        (_, Some(stacked), _) => {
            say!(
                w,
                "job.kind_count",
                kind = kind,
                count = as_stacks(w, job.trays, stacked)
            )
        }
        (Work::HandOver, _, Some(SeedKg { dry, wet })) => {
            let weights = say!(
                w,
                "seed.dry_wet",
                dry = kg_weighed(dry),
                wet = kg_weighed(wet)
            );
            say!(w, "job.kind_count", kind = kind, count = weights)
        }
        (_, _, Some(SeedKg { dry, wet })) => {
            let dry = bags_or_kg(w, job.bags, dry);
            let weights = match job.work {
                Work::Drain => say!(w, "seed.dry_wet", dry = dry, wet = kg(wet)),
                _ => say!(w, "seed.dry", dry = dry),
            };
            say!(w, "job.kind_count", kind = kind, count = weights)
        }
        _ => {
            let key = if job.spare {
                "job.kind_spare"
            } else {
                "job.kind_count"
            };
            say!(w, key, kind = kind, count = w.trays(job.trays))
        }
    };
    format!("{verb} {what}")
}

fn of_stacks(w: &Words, job: &Job) -> Vec<String> {
    let mut lines = Vec::new();
    if job.trial_trays > 0 {
        lines.push(say!(w, "job.trial_out", n = job.trial_trays));
    }
    if job.leave_today > 0 {
        let bed = job.trays - job.trial_trays - job.leave_today - job.allowance;
        let key = if bed > 0 {
            "job.leave_and_bed"
        } else {
            "job.leave_today"
        };
        lines.push(w.fill(
            key,
            &[("n", job.leave_today.to_string()), ("bed", bed.to_string())],
        ));
        if job.allowance > 0 {
            lines.push(say!(w, "job.allowance", n = job.allowance));
        }
    }
    lines
}

/// "up to 4 may be left over: keep as spare".
pub fn left_over(w: &Words, count: i64) -> Option<String> {
    (count > 0).then(|| say!(w, "job.left_over", n = count))
}

/// Soaked seed for which there is no tray.
pub fn seed_left(w: &Words, left: &SeedLeft) -> String {
    let key = if left.treated {
        "seed.left_treated"
    } else {
        "seed.left"
    };
    let (dry, wet) = (kg_weighed(left.seed.dry), kg_weighed(left.seed.wet));
    say!(w, key, dry = dry, wet = wet)
}

fn into_bed(w: &Words, job: &Job) -> Vec<String> {
    let runs = job.runs.join(", ");
    let from = job.from_place.as_deref().unwrap_or("");
    let to = in_rows(w, job.to_place.as_deref().unwrap_or(""), &job.rows);
    let moved = say!(w, "job.from_to", from = from, to = to);
    let mut lines = match job.work {
        Work::Green => vec![run_at(w, &runs, &moved), w.get("job.cover_on")],
        _ if job.from_place == job.to_place => {
            vec![run_at(w, &runs, &to), w.get("job.cover_off")]
        }
        _ => vec![run_at(w, &runs, &moved), w.get("job.carry_over")],
    };
    if job.spare {
        lines.push(w.get("job.label_spare"));
    }
    lines
}

fn places(w: &Words, job: &Job) -> String {
    match (&job.from_place, &job.to_place) {
        (Some(from), Some(to)) => say!(w, "job.from_to", from = from, to = to),
        (Some(place), None) | (None, Some(place)) => place.clone(),
        (None, None) => String::new(),
    }
}

fn to_field(w: &Words, job: &Job, party: &Party) -> Vec<String> {
    let runs = job.runs.join(", ");
    let named = say!(w, "field.of", field = party.field, grower = party.grower);
    match job.work {
        Work::Collect | Work::TraysBack => {
            let due = job
                .due
                .map(|due| say!(w, "job.due", now = due.by_now, all = due.in_all));
            let from = say!(w, "job.from_field", field = named);
            std::iter::once(from).chain(due).collect()
        }
        Work::Plant => {
            let machine = job.to_place.as_deref().unwrap_or("");
            let area = ha(party.area_ha);
            let mut lines = vec![say!(
                w,
                "job.machine",
                field = named,
                ha = area,
                machine = machine
            )];
            lines.extend(job.machine_minutes.map(|minutes| {
                let key = if job.move_minutes > 0 {
                    "job.machine_move"
                } else {
                    "job.machine_time"
                };
                say!(w, key, time = duration(w, minutes))
            }));
            lines.extend(job.trays_come.map(|come| match come {
                TraysCome::About(minute) => say!(w, "job.trays_about", time = clock(minute)),
                TraysCome::Unknown => w.get("job.trays_unknown"),
            }));
            lines
        }
        Work::HandOver if job.seed.is_some() => {
            let trays = w.trays(job.trays);
            let how = if party.collected {
                "job.fetched"
            } else {
                "job.bring_seed"
            };
            vec![
                say!(w, "job.seed_for", field = named, runs = runs, trays = trays),
                w.get(how),
                w.get("job.seed_never"),
            ]
        }
        _ => {
            let bed = in_rows(w, job.from_place.as_deref().unwrap_or(""), &job.rows);
            let way = say!(w, "job.from_to", from = bed, to = named);
            let age = say!(
                w,
                "job.area_age",
                ha = ha(party.area_ha),
                days = party.age_days
            );
            let weight = job.load_kg.map(|kg| about_kg(w, kg));
            let about: Vec<String> = std::iter::once(age).chain(weight).collect();
            let mut lines = vec![run_at(w, &runs, &way), about.join(", ")];
            if party.stage == HandOver::Sprouted {
                lines.push(w.get("job.sprouted"));
            }
            lines.extend(on_the_way(w, party));
            lines.extend(left_over(w, job.allowance));
            if party.collected {
                lines.push(w.get("job.fetched"));
            }
            lines
        }
    }
}

/// "about 2050 kg": rounded up to ten, on the safe side of a vehicle's limit.
pub fn about_kg(w: &Words, kg: i64) -> String {
    say!(w, "kg.about", kg = div_up(kg, 10) * 10)
}

/// What the driver and the loaders must know of a delivery besides its count.
pub fn on_the_way(w: &Words, party: &Party) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(group) = &party.travel_group {
        lines.push(say!(w, "job.round", group = group));
    }
    if party.lifted {
        lines.push(w.get("job.lifted"));
    }
    if let Some(until) = party.waits_until {
        lines.push(say!(w, "job.edge", day = w.day(until)));
    }
    lines
}

fn sowing(w: &Words, run: &Sowing) -> Vec<String> {
    let time = run.line_minutes;
    let mut lines = vec![match &run.after {
        Some(kind) => say!(
            w,
            "sow.order_after",
            n = run.order,
            of = run.of,
            kind = kind,
            m = time
        ),
        None => say!(w, "sow.order", n = run.order, of = run.of, m = time),
    }];
    for place in &run.places {
        let stacks = w.count("stacks", place.stacks);
        lines.push(say!(w, "sow.to", stacks = stacks, place = place.place));
        let waiting = place.stacks - place.free;
        if waiting > 0 {
            lines.push(say!(w, "sow.waiting", free = place.free, waiting = waiting));
        }
    }
    let (g, soil) = (run.grams, run.soil);
    lines.push(say!(
        w,
        "sow.grams",
        g = g.target,
        low = g.low,
        high = g.high,
        dry = g.dry
    ));
    lines.push(say!(
        w,
        "sow.hopper",
        wet = kg(run.seed.wet),
        dry = kg(run.seed.dry)
    ));
    if run.hopper_left_g > 0 {
        lines.push(say!(w, "sow.stays", g = run.hopper_left_g));
    }
    let (bed, cover) = (whole(soil.bed_mm), whole(soil.cover_mm));
    lines.push(say!(
        w,
        "sow.soil",
        bed = bed,
        bed_l = soil.bed_l,
        cover = cover,
        cover_l = soil.cover_l
    ));
    lines.push(say!(w, "sow.water", l = soil.water_l));
    if run.last_of_day {
        lines.push(w.get("sow.last"));
    }
    lines
}
