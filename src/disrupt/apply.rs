//! An event applied to the present: each changes the scenario or what was decided, and nothing later.

use super::Present;
use super::event::{Event, EventError};
use super::grown::ahead_by;
use super::shares::{cancel, field, field_mut, firm, give, order, stand};
use super::take::take;
use super::trays_away::{bought, late};
use crate::calendar::{Day, DayRange, WorkCalendar};
use crate::scenario::{CrewSpan, LineSpan, Scenario, Temperature, WarmthSpan};
use crate::units::{Age, Celsius, Fixed, Hours, Share};

type Done = Result<(), EventError>;

/// Changes the present by an event.
///
/// # Errors
/// [`EventError`]: it names what is not there, or a number that cannot be. The present is then as it was.
pub fn apply(present: &mut Present, event: &Event) -> Done {
    let day = present.day;
    let unknown = |what: &'static str, name: &str| EventError::Unknown {
        what,
        name: name.to_string(),
        day,
    };
    let now = &mut Now {
        day,
        scenario: &mut present.scenario,
    };
    match event {
        Event::Rain {
            days,
            fields,
            block,
        } => now.rain(*days, fields, block.as_deref())?,
        Event::Warmer { days, by_c } => now.warmer(*days, *by_c)?,
        Event::Water { block, on } => now.water(block, *on)?,
        Event::Harvest { field, on } => now.field(field)?.harvest_before = Some(*on),
        Event::Ready { field, ready } => now.field(field)?.ready = *ready,
        Event::Line { line, days, hours } => now.line(line.as_ref(), *days, *hours)?,
        Event::People { crew, days, fewer } => now.people(crew, *days, *fewer)?,
        Event::SeedLate { kind, by_days } => now.seed_late(kind, *by_days)?,
        Event::SeedWeak { kind, share } => now.seed_weak(kind, *share)?,
        Event::Stand { run, share } => stand(now.scenario, run, *share, &unknown)?,
        Event::Ahead {
            run,
            bed,
            by,
            leaves,
            days,
        } => now.ahead((run.as_deref(), bed.as_deref()), (*by, *leaves, *days))?,
        // What is past was taken into the plan before its present was made.
        Event::NotSown { .. }
        | Event::Opened { .. }
        | Event::Stays { .. }
        | Event::Left { .. }
        | Event::Washed { .. } => {}
        Event::Dirty { trays } => now.dirty(*trays)?,
        Event::Weather { date, min_c, max_c } => now.weather(*date, *min_c, *max_c)?,
        Event::TraysLost { trays } => now.trays_lost(*trays)?,
        Event::TraysLate {
            trays,
            until,
            growers,
            fields,
            home,
        } => late(
            now.scenario,
            &present.came,
            (*trays, *until, *home),
            (growers, fields),
            &unknown,
        )?,
        Event::TraysBought { trays, on } => bought(now.scenario, *trays, *on)?,
        Event::DaysOff { days } => now.days_off(*days)?,
        Event::Take { .. } => take(now.scenario, event, &unknown)?,
        Event::Frost { on, min_c } => now.frost(*on, *min_c)?,
        Event::Power { on, hours } => now.power(*on, *hours)?,
        Event::Give {
            from,
            part,
            to,
            trays,
        } => give(now.scenario, (from, *part), to, *trays, &unknown)?,
        Event::Cancel { field } => {
            cancel(now.scenario, field).ok_or_else(|| unknown("field", field))?;
        }
        Event::Firm { field } => {
            firm(now.scenario, field).ok_or_else(|| unknown("order that is not firm", field))?;
        }
        Event::Order { field, trays } => order(now.scenario, field, *trays, &unknown)?,
    }
    if matches!(
        event,
        Event::Cancel { .. } | Event::Firm { .. } | Event::Order { .. } | Event::Take { .. }
    ) {
        // What it leaves free may go to those who wait.
        present.left_short.clear();
    }
    forget_what_is_gone(present);
    Ok(())
}

/// Nothing is decided any more of what nobody wants.
fn forget_what_is_gone(present: &mut Present) {
    let scenario = &present.scenario;
    present.decided.retain(|one| {
        let (id, part) = (&one.delivery.field, one.delivery.part);
        let mut parts = scenario.opening.parts.iter();
        let wanted = parts.all(|known| (&known.field, known.part) != (id, part) || known.trays > 0);
        wanted && scenario.fields.iter().any(|field| field.id == *id)
    });
}

/// The scenario of a morning, to be changed.
struct Now<'a> {
    day: Day,
    scenario: &'a mut Scenario,
}

impl Now<'_> {
    fn unknown(&self, what: &'static str, name: &str) -> EventError {
        EventError::Unknown {
            what,
            name: name.to_string(),
            day: self.day,
        }
    }

    /// Some of the days are still to come.
    fn to_come(&self, days: DayRange) -> Done {
        let rest = self.scenario.horizon;
        let some = days.first <= rest.last && days.last >= rest.first;
        some.then_some(()).ok_or(EventError::Past { days, rest })
    }

    fn field(&mut self, id: &str) -> Result<&mut crate::scenario::Field, EventError> {
        let unknown = self.unknown("field", id);
        field_mut(self.scenario, id).ok_or(unknown)
    }

    /// Nothing is planted on those days: in all fields, in those named, in those of a block.
    fn rain(&mut self, days: DayRange, fields: &[String], block: Option<&str>) -> Done {
        self.to_come(days)?;
        for id in fields {
            field(self.scenario, id).ok_or_else(|| self.unknown("field", id))?;
        }
        if let Some(id) = block {
            let known = self.scenario.blocks.iter().any(|block| block.id == *id);
            known
                .then_some(())
                .ok_or_else(|| self.unknown("block", id))?;
        }
        let all = fields.is_empty() && block.is_none();
        for field in &mut self.scenario.fields {
            let in_block = block.is_some() && field.block.as_deref() == block;
            if all || in_block || fields.contains(&field.id) {
                field.closed.push(days);
            }
        }
        Ok(())
    }

    fn warmer(&mut self, days: DayRange, by_c: Celsius) -> Done {
        self.to_come(days)?;
        let rows = self.scenario.weather.iter_mut();
        for row in rows.filter(|row| days.contains(row.date)) {
            row.min_c.0 += by_c.0;
            row.max_c.0 += by_c.0;
        }
        Ok(())
    }

    fn water(&mut self, block: &str, on: Day) -> Done {
        let unknown = self.unknown("block", block);
        let mut blocks = self.scenario.blocks.iter_mut();
        let known = blocks.find(|known| known.id == *block);
        known.ok_or(unknown)?.water = on;
        Ok(())
    }

    fn line(&mut self, line: Option<&String>, days: DayRange, hours: Hours) -> Done {
        self.to_come(days)?;
        if hours.0 < 0 {
            return Err(EventError::Number("a line runs 0 hours or more".into()));
        }
        let known = |id: &String| self.scenario.lines.iter().any(|line| line.id == *id);
        if let Some(id) = line.filter(|id| !known(id)) {
            return Err(self.unknown("line", id));
        }
        for one in &mut self.scenario.lines {
            if line.is_none_or(|id| *id == one.id) {
                let span = LineSpan {
                    days,
                    hours_per_day: hours,
                };
                one.spans.insert(0, span);
            }
        }
        Ok(())
    }

    fn people(&mut self, crew: &str, days: DayRange, fewer: i64) -> Done {
        self.to_come(days)?;
        let unknown = self.unknown("crew", crew);
        let horizon = self.scenario.horizon;
        let mut crews = self.scenario.crews.iter_mut();
        let one = crews.find(|one| one.id == *crew).ok_or(unknown)?;
        if fewer < 0 {
            return Err(EventError::Number("people are fewer by 0 or more".into()));
        }
        // Each day keeps the shift that it has.
        let spans: Vec<CrewSpan> = days
            .iter()
            .filter(|day| horizon.contains(*day))
            .map(|day| CrewSpan {
                days: DayRange {
                    first: day,
                    last: day,
                },
                people: Some((one.people_on(day) - fewer).max(0)),
                shift_start_minute: Some(one.shift_start_on(day)),
                shift_hours: Some(one.shift_hours_on(day)),
            })
            .collect();
        one.spans.splice(0..0, spans);
        Ok(())
    }

    fn seed_late(&mut self, kind: &str, by_days: i32) -> Done {
        let (day, unknown) = (self.day, self.unknown("seed store of kind", kind));
        let mut stores = self.scenario.seed_stores.iter_mut();
        let store = stores.find(|store| store.kind == *kind).ok_or(unknown)?;
        for delivery in &mut store.deliveries {
            delivery.day = delivery.day.plus(by_days).max(day);
        }
        Ok(())
    }

    fn seed_weak(&mut self, kind: &str, share: Share) -> Done {
        let unknown = self.unknown("kind", kind);
        let mut kinds = self.scenario.kinds.iter_mut();
        let one = kinds.find(|one| one.id == *kind).ok_or(unknown)?;
        let (grams, part) = (one.seed_g_dry_per_tray.0, share.0);
        if !(Share::ONE / 10..=Share::ONE).contains(&part) {
            return Err(EventError::Number(
                "the share of the usual stand lies between 0.1 and 1".into(),
            ));
        }
        one.seed_g_dry_per_tray = Fixed((grams * Share::ONE + part - 1) / part);
        Ok(())
    }

    /// All that stands of a run, or in a bed, is ahead by so much.
    fn ahead(
        &mut self,
        (run, bed): (Option<&str>, Option<&str>),
        by: (Option<Age>, Option<Fixed<2>>, Option<Fixed<1>>),
    ) -> Done {
        let stands_in = |sown: &crate::scenario::Sown, bed: &str| match (sown.opened, sown.hardened)
        {
            (None, _) => false,
            (Some(_), None) => sown.green_bed == *bed,
            (Some(_), Some(_)) => sown.harden_bed == *bed,
        };
        let mut more: Vec<(usize, Age)> = Vec::new();
        for (at, sown) in self.scenario.opening.sown.iter().enumerate() {
            let is_run = run.is_none_or(|id| sown.run.as_deref() == Some(id));
            if is_run && bed.is_none_or(|bed| stands_in(sown, bed)) {
                more.push((at, ahead_by(self.scenario, sown, self.day, by)?));
            }
        }
        if more.is_empty() {
            let name = run.or(bed).unwrap_or_default();
            return Err(self.unknown("run or bed with trays in it", name));
        }
        for (at, by) in more {
            self.scenario.opening.sown[at].ahead.0 += by.0;
        }
        Ok(())
    }

    fn dirty(&mut self, trays: i64) -> Done {
        let stock = self.scenario.trays.stock;
        if trays < 0 || trays > stock {
            return Err(EventError::Number(format!(
                "{trays} trays cannot be dirty of {stock}"
            )));
        }
        self.scenario.opening.dirty_trays = trays;
        Ok(())
    }

    fn weather(&mut self, date: Day, min_c: Celsius, max_c: Celsius) -> Done {
        if max_c < min_c {
            return Err(EventError::Number(format!(
                "on {date} the highest, {max_c} °C, is below the lowest, {min_c} °C"
            )));
        }
        let unknown = self.unknown("weather of", &date.to_string());
        let mut rows = self.scenario.weather.iter_mut();
        let row = rows.find(|row| row.date == date).ok_or(unknown)?;
        (row.min_c, row.max_c) = (min_c, max_c);
        Ok(())
    }

    /// The lowest of that day is another; the highest is not below it.
    fn frost(&mut self, on: Day, min_c: Celsius) -> Done {
        if on <= self.day {
            return Err(EventError::Number(format!(
                "the night to {on} is over on the morning of {}: tonight is the night to {}",
                self.day,
                self.day.plus(1)
            )));
        }
        let unknown = self.unknown("weather of", &on.to_string());
        let mut rows = self.scenario.weather.iter_mut();
        let row = rows.find(|row| row.date == on).ok_or(unknown)?;
        row.min_c = min_c;
        row.max_c = row.max_c.max(min_c);
        Ok(())
    }

    /// While the power is off a place is at once as cold as the day's lowest outdoors: no warmer than it can be, since nothing says how long
    /// walls and stacks keep their warmth.
    fn power(&mut self, on: Day, hours: Hours) -> Done {
        if hours.0 <= 0 || hours > Hours::whole(24) {
            return Err(EventError::Number(
                "the power is off for more than 0 and up to 24 hours of a day".into(),
            ));
        }
        let unknown = self.unknown("weather of", &on.to_string());
        let mut rows = self.scenario.weather.iter();
        let low = rows.find(|row| row.date == on).ok_or(unknown)?.min_c;
        for place in &mut self.scenario.germination {
            let Temperature::Own(held) = place.warmth_on(on) else {
                continue;
            };
            let lost = (held.0 - low.0).max(0) * hours.0;
            let day = Hours::whole(24).0;
            place.spans.insert(
                0,
                WarmthSpan {
                    days: DayRange {
                        first: on,
                        last: on,
                    },
                    own_c: Fixed(held.0 - (lost + day - 1) / day),
                },
            );
        }
        Ok(())
    }

    fn trays_lost(&mut self, trays: i64) -> Done {
        let stock = self.scenario.trays.stock;
        if trays < 0 || trays > stock {
            return Err(EventError::Number(format!(
                "{trays} trays cannot be lost of {stock}"
            )));
        }
        self.scenario.trays.stock -= trays;
        Ok(())
    }

    /// No crew, no line and no planting on those days; what must be done all the same follows the calendars: care, and what may not wait.
    fn days_off(&mut self, days: DayRange) -> Done {
        self.to_come(days)?;
        let calendars = &mut self.scenario.calendars;
        for calendar in [
            &mut calendars.line,
            &mut calendars.beds,
            &mut calendars.planting,
        ] {
            close(calendar, days);
        }
        Ok(())
    }
}

/// Nothing is worked on those days, whatever was opened before.
fn close(calendar: &mut WorkCalendar, days: DayRange) {
    let open = std::mem::take(&mut calendar.open);
    for span in open {
        if span.last < days.first || span.first > days.last {
            calendar.open.push(span);
            continue;
        }
        if span.first < days.first {
            calendar.open.push(DayRange {
                first: span.first,
                last: days.first.plus(-1),
            });
        }
        if span.last > days.last {
            calendar.open.push(DayRange {
                first: days.last.plus(1),
                last: span.last,
            });
        }
    }
    calendar.closed.push(days);
}
