//! People: what each crew works each day, what of it must be bought, and the weeks.

use super::book::{Book, PartSeen, RunSeen};
use super::hired::{self, Hired};
use super::line;
use super::trays::planned_washing;
use super::whole::{Daily, MINUTE, fit, hours_ms, minutes_ms, near, say_hours, up};
use super::{Found, Ledger, Subject};
use crate::calendar::{Day, IsoWeek};
use crate::plan::types::{Bought, BoughtWhat, PeopleWeek};
use crate::scenario::{Bed, Crew, CrewSpan, Per, PieceTask, Scenario, TeamTask, Whose};
use crate::units::Money;
use std::collections::BTreeMap;

/// Work of each crew each day, ms, by the crew's id.
pub(super) struct Needed(BTreeMap<String, Daily>);

impl Needed {
    /// Everything but washing.
    pub(super) fn count(book: &Book) -> Needed {
        let horizon = book.scenario.horizon;
        let crews = book.scenario.crews.iter();
        let mut needed = Needed(
            crews
                .map(|crew| (crew.id.clone(), Daily::new(horizon)))
                .collect(),
        );
        for line in &book.scenario.lines {
            for day in horizon.iter() {
                let runs = line::runs_of(book, line, day);
                let (sowing, set_up) = line::day_ms(book, line, &runs);
                needed.team(&book.scenario.work.sow, day, sowing);
                needed.team(&book.scenario.work.set_up, day, set_up);
            }
        }
        for part in &book.parts {
            needed.part(book, &book.runs[part.run], part);
        }
        needed
    }

    fn team(&mut self, task: &Option<TeamTask>, day: Day, ms: i128) {
        if let Some(task) = task {
            self.add(&task.crew, day, ms * i128::from(task.team));
        }
    }

    fn add(&mut self, crew: &str, day: Day, ms: i128) {
        if let Some(days) = self.0.get_mut(crew) {
            days.add(day, ms);
        }
    }

    /// The work of one delivery, from soaking to collecting.
    fn part(&mut self, book: &Book, run: &RunSeen, part: &PartSeen) {
        let work = &book.scenario.work;
        if let (Some(soak), Some(drain)) = (run.run.soak, run.run.drain) {
            self.piece(&work.soak, soak, part, part.sown, None);
            self.piece(&work.drain, drain, part, part.sown, None);
        }
        if part.has_trays() {
            self.trays(book, run, part);
        }
    }

    /// The work of the trays of one delivery, from stacking to collecting. What leaves before it comes into a bed is neither greened,
    /// hardened nor cared for, and work by floor takes none of it.
    fn trays(&mut self, book: &Book, run: &RunSeen, part: &PartSeen) {
        let (work, delivery) = (&book.scenario.work, part.delivery);
        let green = part.beds.map(|(green, _)| green);
        let harden = part.beds.map(|(_, harden)| harden);
        let (sown, gone) = (part.sown, part.trays);
        if run.line.is_some() {
            self.piece(&work.stack, part.sow, part, sown, green);
        }
        self.piece(&work.unstack, delivery.open, part, sown, green);
        if part.in_beds() {
            self.piece(&work.green, delivery.open, part, sown, green);
            self.piece(&work.harden, delivery.harden, part, sown, harden);
        }
        if !part.field.collected {
            self.piece(&work.load, part.leaves, part, gone, harden);
        }
        let ours = book
            .planter(part.field)
            .is_some_and(|planter| planter.whose == Whose::Nursery);
        if ours && part.in_beds() {
            self.piece(&work.plant, delivery.day, part, gone, harden);
        }
        let back = delivery.day.plus(book.scenario.trays.return_days);
        let until_end = book.scenario.horizon.last.number() - back.number();
        let collect = book.scenario.calendars.beds.first_from(back, until_end);
        // Lifted mats left their trays at home.
        if let Some(day) = collect.filter(|_| !part.field.lifted) {
            self.piece(&work.collect, day, part, gone, harden);
        }
        let Some(care) = &work.care else { return };
        for day in book.scenario.horizon.iter() {
            let bed = if delivery.open <= day && day < delivery.harden {
                green
            } else if delivery.harden <= day && day < part.leaves {
                harden
            } else {
                continue;
            };
            if bed.is_some() {
                self.add(&care.crew, day, care_ms(care, part, bed));
            }
        }
    }

    fn piece(
        &mut self,
        task: &Option<PieceTask>,
        day: Day,
        part: &PartSeen,
        trays: i128,
        bed: Option<&Bed>,
    ) {
        if let Some(task) = task {
            self.add(&task.crew, day, piece_ms(task, part, trays, bed));
        }
    }

    /// Adds the washing of a day.
    pub(super) fn wash(&mut self, scenario: &Scenario, day: Day, trays: i128) {
        if let Some(task) = &scenario.work.wash {
            self.add(&task.crew, day, wash_ms(task, trays));
        }
    }

    /// Work of a crew on a day, ms.
    pub(super) fn on(&self, crew: &Crew, day: Day) -> i128 {
        self.0.get(&crew.id).map_or(0, |days| days.on(day))
    }
}

/// Time of a task for `trays` of one delivery, ms, rounded up.
fn piece_ms(task: &PieceTask, part: &PartSeen, trays: i128, bed: Option<&Bed>) -> i128 {
    let unit = minutes_ms(task.person_minutes);
    match task.per {
        Per::HundredTrays => up(unit * trays, 100),
        // Trays ÷ (hundredths of trays a m² ÷ 100).
        Per::SquareMetre => bed.map_or(0, |bed| up(unit * trays * 100, bed.trays_per_m2.0.into())),
        // Trays × tenths of a gram ÷ 10 000.
        Per::Kilogram => up(
            unit * trays * i128::from(part.kind.seed_g_dry_per_tray.0),
            10_000,
        ),
        Per::Hectare => up(unit * part.area_m2, 10_000),
    }
}

/// Time of a day's care of one delivery, ms: as often as its kind needs it, rounded up once more.
fn care_ms(task: &PieceTask, part: &PartSeen, bed: Option<&Bed>) -> i128 {
    let once = piece_ms(task, part, part.sown, bed);
    up(once * i128::from(part.kind.care_times.0), 100)
}

/// Time of washing, ms, rounded up.
fn wash_ms(task: &PieceTask, trays: i128) -> i128 {
    up(minutes_ms(task.person_minutes) * trays, 100)
}

/// Most trays that `ms` of washing are enough for; none when washing takes nobody's time.
pub(super) fn washed_in(task: &PieceTask, ms: i128) -> Option<i128> {
    let unit = minutes_ms(task.person_minutes);
    (unit > 0).then(|| (ms * 100).div_euclid(unit).max(0))
}

/// The first span of a crew that holds the day.
fn span(crew: &Crew, day: Day) -> Option<&CrewSpan> {
    crew.spans.iter().find(|span| span.days.contains(day))
}

/// Regular staff of a crew on a day, if it is a working day.
pub(super) fn people(crew: &Crew, day: Day) -> i64 {
    let span = span(crew, day).and_then(|span| span.people);
    span.unwrap_or(crew.people)
}

/// Length of a shift on a day, ms.
pub(super) fn shift_of_one(crew: &Crew, day: Day) -> i128 {
    let span = span(crew, day).and_then(|span| span.shift_hours);
    hours_ms(span.unwrap_or(crew.shift_hours))
}

/// Time of a crew's shift on a day with so many hired, ms; 0 on its days off.
pub(super) fn shift_ms(scenario: &Scenario, crew: &Crew, day: Day, hired: i64) -> i128 {
    if scenario.calendars.get(crew.calendar).works(day) {
        i128::from(people(crew, day) + hired) * shift_of_one(crew, day)
    } else {
        0
    }
}

/// What must be bought for a crew on a day: what, how much of it is needed and how much can be had, ms.
fn beyond(
    scenario: &Scenario,
    crew: &Crew,
    day: Day,
    needed: i128,
    hired: i64,
) -> (BoughtWhat, i128, i128) {
    if scenario.calendars.get(crew.calendar).works(day) {
        let most = i128::from(people(crew, day) + hired) * hours_ms(crew.overtime_hours);
        let missing = needed - shift_ms(scenario, crew, day, hired);
        (BoughtWhat::Overtime, missing, most)
    } else {
        // Who is hired for the week works its working days only.
        let most = i128::from(crew.rest_day_people) * shift_of_one(crew, day);
        (BoughtWhat::RestDay, needed, most)
    }
}

/// The fewest and the most people of a crew on the days of a week, its working days if it has any there.
fn fewest_and_most(scenario: &Scenario, crew: &Crew, week: IsoWeek) -> (i64, i64) {
    let days = scenario.horizon.iter().filter(|day| day.iso_week() == week);
    let days: Vec<Day> = days.collect();
    let calendar = scenario.calendars.get(crew.calendar);
    let any = days.iter().any(|day| calendar.works(*day));
    let of_week = days.iter().filter(|day| !any || calendar.works(**day));
    let people: Vec<i64> = of_week.map(|day| people(crew, *day)).collect();
    let fewest = people.iter().copied().min().unwrap_or(crew.people);
    (fewest, people.into_iter().max().unwrap_or(crew.people))
}

/// Time bought, by day and crew in the scenario's order.
pub(super) fn bought(scenario: &Scenario, needed: &Needed, hired: &Hired) -> Vec<Bought> {
    let mut all = Vec::new();
    for day in scenario.horizon.iter() {
        for crew in &scenario.crews {
            let casual = hired.on(crew, day);
            let (what, missing, most) = beyond(scenario, crew, day, needed.on(crew, day), casual);
            let minutes = up(missing.min(most), MINUTE);
            if minutes < 1 {
                continue;
            }
            let price = match what {
                BoughtWhat::Overtime => crew.overtime_price_per_h,
                BoughtWhat::RestDay => crew.rest_day_price_per_h,
            };
            let cost = Money {
                0: fit(near(minutes * i128::from(price.0), 60)),
            };
            let minutes = fit(minutes);
            all.push(Bought {
                day,
                crew: crew.id.clone(),
                what,
                minutes,
                cost,
            });
        }
    }
    all
}

/// Every week of every crew, with the most people of a day; the shift rounded down to whole minutes.
pub(super) fn weeks(
    scenario: &Scenario,
    needed: &Needed,
    hired: &Hired,
    bought: &[Bought],
) -> Vec<PeopleWeek> {
    let mut all = Vec::new();
    for crew in &scenario.crews {
        let mut by_week: BTreeMap<IsoWeek, (i128, i128, i128)> = BTreeMap::new();
        for day in scenario.horizon.iter() {
            let week = by_week.entry(day.iso_week()).or_default();
            week.0 += needed.on(crew, day);
            week.1 += shift_ms(scenario, crew, day, hired.on(crew, day));
        }
        for entry in bought.iter().filter(|entry| entry.crew == crew.id) {
            by_week.entry(entry.day.iso_week()).or_default().2 += i128::from(entry.minutes);
        }
        for (week, (work, shift, minutes)) in by_week {
            all.push(PeopleWeek {
                crew: crew.id.clone(),
                week,
                people: fewest_and_most(scenario, crew, week).1,
                casual: hired.of(crew, week),
                needed_minutes: fit(up(work, MINUTE)),
                shift_minutes: fit(shift / MINUTE),
                bought_minutes: fit(minutes),
            });
        }
    }
    all
}

/// Checks crew hours, time bought and weeks with the people hired; gives what must be bought.
pub(super) fn check(book: &Book, hired: &Hired, found: &mut Found) -> Vec<Bought> {
    let scenario = book.scenario;
    let mut needed = Needed::count(book);
    for (day, trays) in planned_washing(book).days() {
        needed.wash(scenario, day, trays);
    }
    for crew in &scenario.crews {
        check_crew(scenario, crew, &needed, hired, found);
    }
    let bought = bought(scenario, &needed, hired);
    check_bought(book, &bought, found);
    hired::check(book, hired, &bought, found);
    check_weeks(book, &weeks(scenario, &needed, hired, &bought), found);
    bought
}

fn check_crew(scenario: &Scenario, crew: &Crew, needed: &Needed, hired: &Hired, found: &mut Found) {
    let mut days = Vec::new();
    for day in scenario.horizon.iter() {
        let work = needed.on(crew, day);
        let casual = hired.on(crew, day);
        let (what, missing, most) = beyond(scenario, crew, day, work, casual);
        let shift = shift_ms(scenario, crew, day, casual);
        let there = if what == BoughtWhat::Overtime {
            shift
        } else {
            most
        };
        days.push((day, work, there));
        if missing <= most {
            continue;
        }
        let subject = Subject::Crew {
            id: crew.id.clone(),
        };
        let (code, has) = match what {
            BoughtWhat::Overtime => {
                let with = match casual {
                    0 => String::new(),
                    people => format!(", {people} hired counted in"),
                };
                let has = format!(
                    "{} of shift and {} of overtime{with}",
                    say_hours(shift),
                    say_hours(most)
                );
                ("A070", has)
            }
            BoughtWhat::RestDay => (
                "A071",
                format!("{} from people called in on a day off", say_hours(most)),
            ),
        };
        let what = format!(
            "people: `{}` needs {} on {} {day}, there are {has}",
            crew.id,
            say_hours(work),
            day.weekday()
        );
        found.add(code, subject, Some(day), missing - most, what);
    }
    found.fullest(Ledger::CrewHours, &crew.id, days);
}

fn check_bought(book: &Book, right: &[Bought], found: &mut Found) {
    let key = |entry: &Bought| (entry.day, entry.crew.clone(), entry.what);
    let mut stated: BTreeMap<_, Vec<&Bought>> = BTreeMap::new();
    for entry in &book.plan.bought {
        stated.entry(key(entry)).or_default().push(entry);
    }
    let mut bad = |code, entry: &Bought, amount: i64, what| {
        let subject = Subject::Crew {
            id: entry.crew.clone(),
        };
        found.add(code, subject, Some(entry.day), amount.into(), what);
    };
    for entry in right {
        let said = format!("people: `{}` on {}", entry.crew, entry.day);
        match stated.remove(&key(entry)).as_deref() {
            None => {
                let what = format!(
                    "{said} needs {} min {}, none bought",
                    entry.minutes,
                    say(entry.what)
                );
                bad("A072", entry, entry.minutes, what);
            }
            Some([one]) if *one == entry => {}
            Some(several) => {
                let minutes: i64 = several
                    .iter()
                    .map(|e| e.minutes)
                    .fold(0, i64::saturating_add);
                let cost: i64 = several
                    .iter()
                    .map(|e| e.cost.0)
                    .fold(0, i64::saturating_add);
                let what = format!(
                    "{said} needs {} min {} for {}; the plan states {minutes} min for {}",
                    entry.minutes,
                    say(entry.what),
                    entry.cost,
                    Money { 0: cost }
                );
                bad("A073", entry, minutes.saturating_sub(entry.minutes), what);
            }
        }
    }
    for entry in stated.into_values().flatten() {
        let what = format!(
            "people: `{}` on {} is stated with {} min {}, which are not needed",
            entry.crew,
            entry.day,
            entry.minutes,
            say(entry.what)
        );
        bad("A073", entry, entry.minutes, what);
    }
}

fn say(what: BoughtWhat) -> &'static str {
    match what {
        BoughtWhat::Overtime => "of overtime",
        BoughtWhat::RestDay => "on a day off",
    }
}

/// Weeks without work may be left out. People hired are taken as stated: they are a decision, and judged elsewhere. A shift that is no whole minute may be rounded either way.
fn check_weeks(book: &Book, right: &[PeopleWeek], found: &mut Found) {
    let mut bad = |crew: &str, amount: i64, what| {
        found.add(
            "A074",
            Subject::Crew {
                id: crew.to_string(),
            },
            None,
            amount.into(),
            what,
        );
    };
    let mut stated: BTreeMap<_, &PeopleWeek> = BTreeMap::new();
    for week in &book.plan.people {
        if stated.insert((&week.crew, week.week), week).is_some() {
            bad(
                &week.crew,
                0,
                format!("people: `{}` in {} is stated twice", week.crew, week.week),
            );
        }
    }
    for week in right {
        let said = format!("people: `{}` in {}", week.crew, week.week);
        let Some(one) = stated.remove(&(&week.crew, week.week)) else {
            if week.needed_minutes > 0 {
                let what = format!(
                    "{said} works {} min, but is not stated",
                    week.needed_minutes
                );
                bad(&week.crew, -week.needed_minutes, what);
            }
            continue;
        };
        let shift = one.shift_minutes.saturating_sub(week.shift_minutes);
        let whole_shift = shift == 0 || (shift == 1 && rounds_up(book.scenario, week));
        let mut crews = book.scenario.crews.iter();
        let crew = crews.find(|crew| crew.id == week.crew);
        // Where their number changes within the week, any of the numbers is right.
        let people = crew.is_some_and(|crew| {
            let (fewest, most) = fewest_and_most(book.scenario, crew, week.week);
            (fewest..=most).contains(&one.people)
        });
        for (name, stated, counted, sound) in [
            ("people", one.people, week.people, people),
            (
                "minutes of work",
                one.needed_minutes,
                week.needed_minutes,
                one.needed_minutes == week.needed_minutes,
            ),
            (
                "minutes of shift",
                one.shift_minutes,
                week.shift_minutes,
                whole_shift,
            ),
            (
                "minutes bought",
                one.bought_minutes,
                week.bought_minutes,
                one.bought_minutes == week.bought_minutes,
            ),
        ] {
            if !sound {
                let what = format!("{said} is stated with {stated} {name}, counted {counted}");
                bad(&week.crew, stated.saturating_sub(counted), what);
            }
        }
    }
    for ((crew, week), _) in stated {
        bad(
            crew,
            0,
            format!("people: `{crew}` in {week} is stated, but is no crew or week of the plan"),
        );
    }
}

/// True when the shifts of that week are no whole number of minutes.
fn rounds_up(scenario: &Scenario, week: &PeopleWeek) -> bool {
    let crew = scenario.crews.iter().find(|crew| crew.id == week.crew);
    let days = scenario
        .horizon
        .iter()
        .filter(|day| day.iso_week() == week.week);
    let shift = |crew| {
        days.map(|day| shift_ms(scenario, crew, day, week.casual))
            .sum::<i128>()
    };
    crew.is_some_and(|crew| shift(crew) % MINUTE != 0)
}
