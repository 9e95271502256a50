//! The day sheet for the wall, in the order of the text sheet, with boxes to tick and the rows of the log.

use super::cautions::{self, Cautions};
use super::job::{duration, job_lines, verb};
use super::numbers::{bags_or_kg, in_rows};
use super::{blank, lines, part, sheet, tick};
use crate::plan::day::{
    Call, CallAbout, CannotWait, CrewDay, DayPlan, Job, Look, Misfit, SeedOut, Tomorrow, Work,
};
use crate::plan::tasks::{Verb, Why};
use crate::report::day::words::{clock, from_to, ha, kg, kg_weighed, whole};
use crate::report::sheets::gather::Sheets;
use crate::report::sheets::words::{Words, say};
use crate::units::{Celsius, div_up};
use maud::{Markup, html};

/// From this high on the heat line stands on the sheet (common practice, no source).
const HOT: Celsius = Celsius::whole(30);

/// Minutes by which a job may end after the shift before it is called overtime: half of what the sheet is read to.
const READ_TO: i64 = 2;

/// The day sheet.
pub fn day(w: &Words, sheets: &Sheets) -> Markup {
    let plan = &sheets.day;
    let body = html! {
        (weather(w, plan))
        (cannot_wait(w, plan))
        (looks(w, plan))
        (before_loading(w, plan))
        (overtime(w, plan))
        (does_not_fit(w, plan))
        @for crew in &plan.crews { (crew_day(w, crew)) }
        @if !plan.uncounted.is_empty() {
            (part(&w.get("day.uncounted"), &jobs(w, &plan.uncounted, None)))
        }
        (last_round(w, plan))
        (sums(w, plan))
        (tomorrow(w, &plan.tomorrow))
        (cautions::draw(w, &mind(plan)))
        (log(w, sheets))
    };
    sheet(w, plan, &w.get("sheet.day"), "wall", &body)
}

fn weather(w: &Words, plan: &DayPlan) -> Markup {
    let counted = match plan.weather {
        Some(row) => say!(
            w,
            "head.weather",
            low = whole(row.min_c),
            high = whole(row.max_c)
        ),
        None => w.get("head.no_weather"),
    };
    html! {
        p.weather { (counted) " " (w.get("head.seen")) " " (blank("long")) }
        @if plan.is_care_only() {
            p.loud { (w.get("day.only_care")) " "
                @match plan.next_work {
                    Some(next) => (say!(w, "day.next_work", day = w.day(next))),
                    None => (w.get("day.nothing_follows")),
                }
            }
        }
    }
}

fn cannot_wait(w: &Words, plan: &DayPlan) -> Markup {
    if plan.cannot_wait.is_empty() {
        return html! {};
    }
    let body = html! {
        ol.loud { @for line in &plan.cannot_wait { li { (wait_line(w, line)) } } }
        @if plan.more_cannot_wait > 0 { p { (say!(w, "day.more_below", n = plan.more_cannot_wait)) } }
    };
    part(&w.get("day.cannot_wait"), &body)
}

fn wait_line(w: &Words, line: &CannotWait) -> String {
    let what = match &line.field {
        Some(field) => say!(
            w,
            "day.wait_field",
            field = field,
            trays = w.trays(line.trays),
            kind = line.kind
        ),
        None if line.trays > 0 => {
            say!(
                w,
                "job.kind_count",
                kind = line.kind,
                count = w.trays(line.trays)
            )
        }
        None => line.kind.clone(),
    };
    let verb = match line.verb {
        Verb::Soak => "work.soak",
        Verb::Drain => "work.drain",
        Verb::Sprout => "work.sprout",
        Verb::SetUp => "work.set_up",
        Verb::Trial => "work.trial",
        Verb::Sow => "work.sow",
        Verb::Stack => "work.stack",
        Verb::Look => "work.look",
        Verb::Unstack => "work.unstack",
        Verb::Green => "work.green",
        Verb::Harden => "work.harden",
        Verb::Load => "work.load",
        Verb::HandOver => "work.hand_over",
        Verb::Plant => "work.plant",
        Verb::Collect => "work.collect",
        Verb::Wash => "work.wash",
    };
    let why = match line.why {
        Why::Horizon => "why.horizon",
        Why::Done => "why.done",
        Why::Pinned => "why.pinned",
        Why::Soaking => "why.soaking",
        Why::Sprouting => "why.sprouting",
        Why::SeedKeeps => "why.seed_keeps",
        Why::SameDay => "why.same_day",
        Why::FirstLook => "why.first_look",
        Why::StackReady => "why.stack_ready",
        Why::Greening => "why.greening",
        Why::AfterHardening => "why.after_hardening",
        Why::Edge => "why.edge",
        Why::Age => "why.age",
        Why::Window => "why.window",
        Why::TraysReturn => "why.trays_return",
        Why::TraysAtHome => "why.trays_at_home",
    };
    say!(
        w,
        "day.wait",
        verb = w.get(verb),
        what = what,
        why = w.get(why)
    )
}

fn looks(w: &Words, plan: &DayPlan) -> Markup {
    if plan.looks.is_empty() {
        return html! {};
    }
    let stacks = plan
        .looks
        .iter()
        .any(|look| matches!(look, Look::Stacks { .. }));
    let body = html! {
        table.looks { tbody {
            @for look in &plan.looks {
                @let (text, units) = look_line(w, plan, look);
                tr { td.tick { (tick()) } td { (lines(&text)) } td.fill { @for unit in &units { (blank("short")) " " (unit) " " } } td.init { (blank("init")) } }
            }
        } }
        @if stacks { p.loud { (w.get("look.alarm")) } }
    };
    part(&w.get("day.look_first"), &body)
}

fn look_line(w: &Words, plan: &DayPlan, look: &Look) -> (Vec<String>, Vec<String>) {
    let celsius = || "°C".to_string();
    match look {
        Look::Stacks {
            place,
            run,
            kind,
            stacks,
            days_since_sown,
            open,
        } => {
            let when = if *open == plan.day {
                w.get("look.open_today")
            } else {
                say!(w, "look.open", day = w.day(*open))
            };
            let stacks = w.count("stacks", *stacks);
            let more = say!(
                w,
                "look.stacks",
                stacks = stacks,
                n = days_since_sown,
                when = when
            );
            let first = say!(w, "look.place_run", place = place, run = run, kind = kind);
            (vec![first, more], vec![celsius(), w.get("unit.mm_sprout")])
        }
        Look::House { place, rows } => (
            vec![in_rows(w, place, rows), w.get("look.house")],
            vec![w.get("unit.low"), w.get("unit.high")],
        ),
        Look::Edge {
            field,
            grower,
            trays,
            until,
        } => {
            let until = w.day(*until);
            let named = say!(w, "field.of", field = field, grower = grower);
            let more = say!(w, "look.edge_more", trays = w.trays(*trays), day = until);
            (vec![say!(w, "look.edge", field = named), more], vec![])
        }
        Look::TankLids { kinds } => (
            vec![w.get("look.tank_lids"), kinds.join("; ")],
            vec![celsius()],
        ),
        Look::TestButton => (vec![w.get("look.test_button")], vec![]),
    }
}

fn before_loading(w: &Words, plan: &DayPlan) -> Markup {
    let Some(decide) = &plan.before_loading else {
        return html! {};
    };
    let body = html! {
        @if decide.trays > 0 {
            p { (say!(w, "load.decide", trays = w.trays(decide.trays))) }
            @if decide.too_cold { p.loud { (w.get("load.too_cold")) } }
        }
        @if decide.nobody_told {
            p.loud { (w.get("load.nobody_told")) }
        } @else if !decide.not_told.is_empty() {
            p.loud { (say!(w, "load.not_told", growers = decide.not_told.join("; "))) }
        }
        p { (tick()) " " (w.get("load.go")) "  " (tick()) " " (w.get("load.wait")) "  " (tick()) " " (w.get("load.part")) " " (blank("long"))
            " " (w.get("load.by")) " " (blank("init")) " " (blank("time")) }
    };
    part(&w.get("day.before_loading"), &body)
}

fn overtime(w: &Words, plan: &DayPlan) -> Markup {
    let offered: Vec<&CrewDay> = plan
        .crews
        .iter()
        .filter(|crew| crew.offered_minutes > 0)
        .collect();
    if offered.is_empty() {
        return html! {};
    }
    let body = html! {
        @for crew in offered {
            @let end = div_up(last_end(crew).unwrap_or(crew.until_minute), 5) * 5;
            @let late: Vec<String> = crew.jobs.iter().filter(|job| ends(job) > Some(crew.until_minute)).map(|job| named(w, job)).collect();
            p { (say!(w, "overtime.crew", crew = crew.name, until = clock(end), time = duration(w, end - crew.until_minute), jobs = late.join("; "))) }
        }
        p { (w.get("overtime.agreed")) " " (blank("long")) }
    };
    part(&w.get("day.overtime"), &body)
}

fn named(w: &Words, job: &Job) -> String {
    let about = match &job.party {
        Some(party) => say!(w, "field.of", field = party.field, grower = party.grower),
        None => job.runs.join(", "),
    };
    format!(
        "{} {about}",
        verb(w, job.work, job.from_place != job.to_place)
    )
}

fn ends(job: &Job) -> Option<i64> {
    job.spells.iter().map(|spell| spell.until_minute).max()
}

fn last_end(crew: &CrewDay) -> Option<i64> {
    crew.jobs.iter().filter_map(ends).max()
}

fn does_not_fit(w: &Words, plan: &DayPlan) -> Markup {
    if plan.misfits.is_empty() && plan.breaches.is_empty() {
        return html! {};
    }
    let body = html! {
        ul.loud {
            @for found in &plan.misfits { li { (misfit(w, found)) } }
            @for breach in &plan.breaches { li { (breach) } }
        }
        p { (w.get("misfit.decide")) " " (blank("long")) }
    };
    part(&w.get("day.does_not_fit"), &body)
}

fn misfit(w: &Words, found: &Misfit) -> String {
    match found {
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
            let mut about = vec![verb(w, *work, false)];
            about.extend(field.clone());
            if field.is_none() {
                about.extend(runs.iter().cloned());
            }
            about.extend(place.clone());
            let about = about.join(" · ");
            let key = if *hours_suffice {
                "misfit.order"
            } else {
                "misfit.hours"
            };
            let time = duration(w, *person_minutes);
            let text = say!(w, key, about = about, time = time, crew = crew);
            match would_end {
                Some(end) => format!("{text} {}", say!(w, "misfit.end", time = clock(*end))),
                None => text,
            }
        }
        Misfit::Team {
            work,
            runs,
            crew,
            needed,
            people,
        } => {
            let about = format!("{} {}", verb(w, *work, false), runs.join(", "));
            say!(
                w,
                "misfit.team",
                about = about,
                needed = needed,
                crew = crew,
                n = people
            )
        }
        Misfit::Line {
            line,
            minutes,
            allowed,
        } => {
            let (needs, there) = (duration(w, *minutes), duration(w, *allowed));
            say!(w, "misfit.line", line = line, needs = needs, there = there)
        }
    }
}

fn crew_day(w: &Words, crew: &CrewDay) -> Markup {
    let end = last_end(crew);
    let of = |until: i64| {
        let people = w.count("people", crew.people);
        let (from, until) = (clock(crew.from_minute), clock(until));
        say!(
            w,
            "crew.head",
            crew = crew.name,
            people = people,
            from = from,
            until = until
        )
    };
    let title = match end {
        _ if crew.day_off && crew.people == 0 => say!(w, "crew.off", crew = crew.name),
        Some(end) if crew.day_off => say!(w, "crew.called_in", head = of(end)),
        Some(end) if end > crew.until_minute => {
            say!(
                w,
                "crew.late",
                head = of(crew.until_minute),
                time = clock(end)
            )
        }
        _ => of(crew.until_minute),
    };
    let minutes: i64 = crew.jobs.iter().map(|job| job.person_minutes).sum();
    let body = html! {
        (jobs(w, &crew.jobs, (!crew.day_off).then_some(crew.until_minute)))
        @if minutes > 0 { p.sum { (say!(w, "crew.hours", time = duration(w, minutes))) } }
    };
    part(&title, &body)
}

fn jobs(w: &Words, jobs: &[Job], shift_end: Option<i64>) -> Markup {
    let mut waits_are_said = false;
    html! {
        table.jobs {
            thead { tr {
                th {} th { (w.get("column.time")) } th { (w.get("column.people")) } th { (w.get("column.what")) }
                th { (w.get("column.count")) } th { (w.get("column.done_at")) } th { (w.get("column.initials")) }
            } }
            tbody {
                @for job in jobs {
                    @if job.stacked_late && !std::mem::replace(&mut waits_are_said, true) {
                        tr { td {} td {} td {} td.loud colspan="4" { (match &job.who_could_stack {
                            Some(crew) => say!(w, "job.all_on_line", crew = crew),
                            None => w.get("job.nobody_stacks"),
                        }) } }
                    }
                    @let late = shift_end.is_some_and(|end| ends(job) > Some(end + READ_TO));
                    tr {
                        td.tick { (tick()) }
                        td.time { @for spell in &job.spells { div { (from_to(spell.from_minute, spell.until_minute)) } } }
                        td.who { @for spell in &job.spells { div { (spell.people) } } }
                        td.what { (lines(&job_lines(w, job))) @if late { div.loud { (w.get("job.overtime")) } } }
                        td.fill {} td.fill {} td.fill {}
                    }
                }
            }
        }
    }
}

fn last_round(w: &Words, plan: &DayPlan) -> Markup {
    let Some(night) = &plan.night else {
        return html! {};
    };
    let body = html! {
        @if let Some(low) = night.low_c {
            @let key = if night.cold { "night.cold" } else { "night.low" };
            p { (say!(w, key, low = whole(low))) }
        }
        table.looks { tbody {
            @for place in &night.places {
                tr { td.tick { (tick()) } td { (lines(&[place.clone(), w.get("night.closed")])) } td.fill { (blank("short")) " °C " (blank("time")) } td.init { (blank("init")) } }
            }
        } }
    };
    part(&w.get("day.last_round"), &body)
}

fn sums(w: &Words, plan: &DayPlan) -> Markup {
    let t = plan.totals;
    let mut sums = Vec::new();
    if t.sown > 0 {
        sums.push(say!(w, "sum.sown", n = t.sown, trial = t.trial));
    }
    for (key, n) in [
        ("sum.opened", t.opened),
        ("sum.handed", t.handed_over),
        ("sum.washed", t.washed),
    ] {
        if n > 0 {
            sums.push(say!(w, key, n = n));
        }
    }
    if t.loaded > 0 {
        sums.push(say!(w, "sum.loaded", n = t.loaded, ha = ha(t.area_ha)));
    }
    html! { @if !sums.is_empty() { p.sum { (say!(w, "sum.today", sums = sums.join(", "))) } } }
}

/// What tomorrow needs, and whom to call tonight.
fn tomorrow(w: &Words, tomorrow: &Tomorrow) -> Markup {
    let texts = seed_lines(w, tomorrow);
    let body = html! {
        @if texts.is_empty() && tomorrow.calls.is_empty() { p { (w.get("tomorrow.nothing")) } }
        @if !texts.is_empty() {
            ul.ticks {
                @for text in &texts { li { (tick()) " " (text) } }
                li { (tick()) " " (w.get("seed.two_read")) " " (blank("init")) " " (blank("init")) }
            }
        }
        @for about in [CallAbout::Comes, CallAbout::FieldReady] {
            @let calls: Vec<&Call> = tomorrow.calls.iter().filter(|call| call.about == about).collect();
            @if !calls.is_empty() {
                h3 { (w.get(match about { CallAbout::Comes => "call.comes", CallAbout::FieldReady => "call.ready" })) }
                ul.ticks { @for one in calls { li { (tick()) " " (call(w, one)) } } }
            }
        }
    };
    part(&say!(w, "day.tomorrow", day = w.day(tomorrow.day)), &body)
}

/// Seed, soil and trays to bring out.
pub fn seed_lines(w: &Words, tomorrow: &Tomorrow) -> Vec<String> {
    let mut texts = Vec::new();
    let of = |out: &SeedOut| format!("{} {}", out.runs.join(", "), out.kind);
    for out in &tomorrow.seed_out {
        texts.push(say!(
            w,
            "tomorrow.line",
            of = of(out),
            wet = kg(out.seed.wet),
            dry = kg(out.seed.dry)
        ));
        if let Some(soil) = out.soil {
            texts.push(say!(
                w,
                "tomorrow.soil",
                bed = soil.bed_l,
                cover = soil.cover_l
            ));
        }
    }
    if tomorrow.clean_trays > 0 {
        texts.push(say!(w, "tomorrow.trays", n = tomorrow.clean_trays));
    }
    for out in &tomorrow.to_soak {
        let dry = bags_or_kg(w, out.bags, out.seed.dry);
        texts.push(say!(w, "tomorrow.soak", of = of(out), dry = dry));
        if let Some(dose) = &out.dose {
            texts.push(say!(w, "job.dose", agent = dose.agent, ml = dose.ml));
        }
    }
    for out in &tomorrow.hand_over {
        let (dry, wet) = (kg_weighed(out.seed.dry), kg_weighed(out.seed.wet));
        texts.push(say!(
            w,
            "tomorrow.hand_over",
            of = of(out),
            dry = dry,
            wet = wet
        ));
    }
    texts
}

fn call(w: &Words, call: &Call) -> String {
    let what = match call.seed {
        Some(seed) => say!(w, "call.seed", dry = kg_weighed(seed.dry)),
        None => w.trays(call.trays),
    };
    let whom = say!(w, "call.whom", grower = call.grower, field = call.field);
    if call.about == CallAbout::FieldReady {
        return say!(
            w,
            "call.on",
            whom = whom,
            what = what,
            day = w.day(call.day)
        );
    }
    let key = if call.collected {
        "call.fetches"
    } else {
        "call.brought"
    };
    let mut text = say!(w, key, whom = whom, what = what);
    if call.seed.is_none() {
        text.push_str(&say!(w, "call.age", days = call.age_days));
    }
    if call.comes.is_some() {
        text.push_str(&say!(w, "call.edge", day = w.day(call.day)));
    }
    text
}

/// The cautions of the work of the day, each once.
fn mind(plan: &DayPlan) -> Vec<&'static str> {
    let hot = plan.weather.is_some_and(|row| row.max_c >= HOT);
    let any = |of: &[Work]| plan.jobs().any(|job| of.contains(&job.work));
    // Seed has other dangers than trays in stacks.
    let given = |seed: bool| {
        plan.jobs()
            .any(|job| job.work == Work::HandOver && job.seed.is_some() == seed)
    };
    let sets = [
        (hot && !plan.is_idle(), Cautions::HEAT),
        (any(&[Work::Load]), Cautions::LOADING),
        (
            any(&[Work::Unstack, Work::Green, Work::Stack]) || given(false),
            Cautions::STACKS,
        ),
        (any(&[Work::SetUp, Work::Trial, Work::Sow]), Cautions::LINE),
        (
            any(&[Work::Soak, Work::Drain, Work::ChangeWater]) || given(true),
            Cautions::SEED,
        ),
        (any(&[Work::Wash]), Cautions::WASH),
        (plan.night.is_some(), Cautions::NIGHT),
    ];
    let mut keys: Vec<&'static str> = Vec::new();
    for key in sets
        .iter()
        .filter(|(here, _)| *here)
        .flat_map(|(_, set)| set.0)
    {
        if !keys.contains(key) {
            keys.push(key);
        }
    }
    keys
}

/// What was otherwise, as it is typed into the log.
fn log(w: &Words, sheets: &Sheets) -> Markup {
    let day = sheets.day.day;
    let body = html! {
        p { (w.get("log.how")) }
        table.log {
            thead { tr { th {} th { (w.get("column.what")) } th { code { "date" } } th { code { "event" } } } }
            tbody {
                @for line in &sheets.log {
                    tr { td.tick { (tick()) } td.what { (say!(w, line.key, about = line.about)) } td.date { code { (day) } } td { code { (line.event) } } }
                }
                @for _ in 0..2 { tr { td.tick { (tick()) } td.what { (w.get("log.other")) } td.date { code { (day) } } td {} } }
                tr.loud { td.tick { (tick()) } td.what { (w.get("log.close")) } td.date { code { (day) } } td { code { "close" } } }
            }
        }
    };
    part(&w.get("day.log"), &body)
}
