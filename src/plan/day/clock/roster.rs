//! One crew on one day: who is free when, and how much of the time bought is left.

use crate::calendar::Day;
use crate::plan::types::Plan;
use crate::scenario::Crew;
use crate::units::{Span, div_up};

/// Nobody is sent to a job for less than a quarter of an hour (common practice, no source).
const LEAST_SPELL: i64 = 15 * Span::MINUTE;

/// People taken from one time to another, in milliseconds after midnight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken {
    pub people: i64,
    pub from: i64,
    pub until: i64,
}

/// How a piece of work may be cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pieces {
    /// Not at all while it fits in one go.
    InOneGo,
    /// As people come free, when it ends sooner.
    AsFree,
}

/// One crew on one day; times in milliseconds after midnight.
#[derive(Clone, Debug)]
pub struct Roster {
    pub people: i64,
    pub start: i64,
    /// After this every minute must have been bought.
    pub shift_end: i64,
    pub last_end: i64,
    pub day_off: bool,
    pub bought_minutes: i64,
    /// Person-milliseconds bought and not yet used.
    left: i64,
    /// Free people from each time on, times ascending; everyone before the first.
    free: Vec<(i64, i64)>,
}

impl Roster {
    /// The crew on a working day with its overtime, or on a day off those who are called in.
    pub fn new(plan: &Plan, crew: &Crew, day: Day) -> Roster {
        let bought = plan
            .bought
            .iter()
            .filter(|bought| bought.day == day && bought.crew == crew.id);
        let bought_minutes: i64 = bought.map(|bought| bought.minutes).sum();
        let works = plan.scenario.calendars.get(crew.calendar).works(day);
        let start = crew.shift_start_on(day) * Span::MINUTE;
        let end = start + Span::hours(crew.shift_hours_on(day)).0;
        let overtime = if bought_minutes > 0 {
            Span::hours(crew.overtime_hours).0
        } else {
            0
        };
        let called = if bought_minutes > 0 {
            crew.rest_day_people
        } else {
            0
        };
        let mut weeks = plan.people.iter();
        let hired = weeks
            .find(|week| week.crew == crew.id && week.week == day.iso_week())
            .map_or(0, |week| week.casual);
        Roster {
            people: if works {
                crew.people_on(day) + hired
            } else {
                called
            },
            start,
            shift_end: if works { end } else { start },
            last_end: if works { end + overtime } else { end },
            day_off: !works,
            bought_minutes,
            left: bought_minutes * Span::MINUTE,
            free: Vec::new(),
        }
    }

    /// With the overtime that the scenario allows on a working day, whether or not it was bought.
    pub fn with_allowed(&self, plan: &Plan, crew: &Crew, day: Day) -> Roster {
        let hours = Span::hours(crew.overtime_hours).0;
        let all = self.people.saturating_mul(hours);
        let most = allowed_in_week(plan, crew, day).map_or(all, |week| all.min(week));
        if self.day_off || most <= self.left {
            return self.clone();
        }
        Roster {
            last_end: self.shift_end + hours,
            left: most,
            ..self.clone()
        }
    }

    /// As if everyone stayed until all is done.
    pub fn without_end(&self) -> Roster {
        Roster {
            last_end: self.last_end + 48 * Span::HOUR,
            left: i64::MAX / 4,
            ..self.clone()
        }
    }

    /// Person-milliseconds of the shift and of what was bought.
    pub fn hours(&self) -> i64 {
        let shift = self.people.saturating_mul(self.shift_end - self.start);
        shift.saturating_add(self.bought_ms())
    }

    /// Person-milliseconds bought.
    pub fn bought_ms(&self) -> i64 {
        self.bought_minutes * Span::MINUTE
    }

    /// Person-milliseconds of a spell that lie beyond the shift.
    pub fn beyond(&self, taken: &Taken) -> i64 {
        (taken.until - taken.from.max(self.shift_end)).max(0) * taken.people
    }

    /// Spells of so many people one after the other without a gap, as soon as all of them fit.
    pub fn profile(&self, after: i64, profile: &[(i64, i64)]) -> Option<Vec<Taken>> {
        let after = after.max(self.start);
        let mut starts = self.edges(after);
        let mut before = 0;
        for (_, ms) in profile {
            before += ms;
            let shifted: Vec<i64> = self.edges(after).iter().map(|edge| edge - before).collect();
            starts.extend(shifted.into_iter().filter(|from| *from >= after));
        }
        starts.sort_unstable();
        starts.dedup();
        starts.into_iter().find_map(|from| {
            let (mut roster, mut from, mut spells) = (self.clone(), from, Vec::new());
            for (people, ms) in profile.iter().filter(|(_, ms)| *ms > 0) {
                if roster.room(from, *people) < *ms {
                    return None;
                }
                let taken = Taken {
                    people: *people,
                    from,
                    until: from + ms,
                };
                roster.take(taken);
                spells.push(taken);
                from += ms;
            }
            Some(spells)
        })
    }

    /// Index in `free` of the first change after `time`.
    fn next_change(&self, time: i64) -> usize {
        self.free.partition_point(|change| change.0 <= time)
    }

    fn free_at(&self, time: i64) -> i64 {
        let next = self.next_change(time);
        if next == 0 {
            self.people
        } else {
            self.free[next - 1].1
        }
    }

    /// Times at or after `after` at which the number of people who may work changes.
    fn edges(&self, after: i64) -> Vec<i64> {
        let changes = self.free[self.next_change(after)..]
            .iter()
            .map(|change| change.0);
        let mut edges: Vec<i64> = std::iter::once(after).chain(changes).collect();
        if self.shift_end > after && !edges.contains(&self.shift_end) {
            edges.push(self.shift_end);
            edges.sort_unstable();
        }
        edges
    }

    /// How long `people` are free from `from` on, within the shift and what is left of the time bought.
    fn room(&self, from: i64, people: i64) -> i64 {
        if from >= self.last_end || people > self.free_at(from) {
            return 0;
        }
        let changes = &self.free[self.next_change(from)..];
        let busy = changes
            .iter()
            .find(|change| change.1 < people)
            .map(|change| change.0);
        let mut until = busy.unwrap_or(self.last_end).min(self.last_end);
        if people > 0 {
            until = until.min(from.max(self.shift_end) + self.left / people);
        }
        (until - from).max(0)
    }

    pub fn take(&mut self, taken: Taken) {
        let beyond = (taken.until - taken.from.max(self.shift_end)).max(0);
        self.left -= beyond * taken.people;
        for time in [taken.from, taken.until] {
            let next = self.next_change(time);
            if next == 0 || self.free[next - 1].0 != time {
                self.free.insert(next, (time, self.free_at(time)));
            }
        }
        let within = |time: i64| taken.from <= time && time < taken.until;
        for change in self.free.iter_mut().filter(|change| within(change.0)) {
            change.1 -= taken.people;
        }
    }

    /// A team as one whole, as soon as it is free for the whole time; else the longest time that it is.
    pub fn team(&mut self, after: i64, people: i64, ms: i64) -> Option<Taken> {
        if ms == 0 {
            return (after <= self.last_end).then_some(Taken {
                people,
                from: after,
                until: after,
            });
        }
        let rooms: Vec<(i64, i64)> = self
            .edges(after.max(self.start))
            .into_iter()
            .map(|from| (from, self.room(from, people).min(ms)))
            .collect();
        let whole = rooms.iter().find(|(_, room)| *room == ms);
        // Of equal rooms the first.
        let best = rooms.iter().max_by_key(|(from, room)| (*room, -from));
        let (from, room) = *whole.or(best)?;
        if room <= 0 {
            return None;
        }
        let taken = Taken {
            people,
            from,
            until: from + room,
        };
        self.take(taken);
        Some(taken)
    }

    /// Person-milliseconds by up to `most` people, from `after` on and not ended before `not_before`: in
    /// one go where that ends within the shift, else (or when it ends sooner and may) in pieces. Returns
    /// what is left over too.
    pub fn piece(
        &mut self,
        (after, not_before): (i64, i64),
        ms: i64,
        most: i64,
        pieces: Pieces,
    ) -> (Vec<Taken>, i64) {
        let after = after.max(self.start);
        let most = most.min(self.people).min((ms / LEAST_SPELL).max(1));
        if ms == 0 {
            return (Vec::new(), 0);
        }
        let whole = self.in_one_go(after, not_before, ms, most);
        if pieces == Pieces::AsFree || whole.is_none() {
            let mut other = self.clone();
            let (taken, missing) = other.in_pieces(after.max(not_before - ms), ms, most);
            let until = taken.last().map(|taken| taken.until);
            if whole.is_none_or(|whole| missing == 0 && until < Some(whole.until)) {
                *self = other;
                return (taken, missing);
            }
        }
        if let Some(taken) = whole {
            self.take(taken);
        }
        (whole.into_iter().collect(), 0)
    }

    /// As many people as end it soonest; of equal ends the fewest.
    fn in_one_go(&self, after: i64, not_before: i64, ms: i64, most: i64) -> Option<Taken> {
        let mut best: Option<Taken> = None;
        for people in 1..=most {
            let long = div_up(ms, people);
            let from = after.max(not_before - long);
            let fits = |from: &i64| self.room(*from, people) >= long;
            let Some(from) = self.edges(from).into_iter().find(fits) else {
                continue;
            };
            let until = from + long;
            if best.is_none_or(|best| until < best.until) {
                best = Some(Taken {
                    people,
                    from,
                    until,
                });
            }
        }
        best
    }

    fn in_pieces(&mut self, after: i64, ms: i64, most: i64) -> (Vec<Taken>, i64) {
        let (mut left, mut all) = (ms, Vec::<Taken>::new());
        let edges = self.edges(after);
        for (at, from) in edges.iter().enumerate() {
            let next = edges.get(at + 1).copied().unwrap_or(self.last_end);
            let mut from = *from;
            // The time bought may last for fewer people only.
            for people in (1..=most.min(self.free_at(from))).rev() {
                let long = self
                    .room(from, people)
                    .min(next - from)
                    .min(div_up(left, people));
                if long <= 0 {
                    continue;
                }
                let taken = Taken {
                    people,
                    from,
                    until: from + long,
                };
                self.take(taken);
                left -= long * people;
                from += long;
                match all.last_mut() {
                    Some(last) if last.people == people && last.until == taken.from => {
                        last.until = taken.until;
                    }
                    _ => all.push(taken),
                }
                if left <= 0 {
                    return (all, 0);
                }
            }
        }
        (all, left)
    }
}

/// Person-milliseconds that may be worked beyond the shift on `day`, bought ones of that day counted: what the crew's hours of the week
/// leave after what was bought on its other days. None: no limit but the day's.
fn allowed_in_week(plan: &Plan, crew: &Crew, day: Day) -> Option<i64> {
    let most = Span::hours(crew.week_hours_most?).0;
    let week = day.iso_week();
    let calendar = plan.scenario.calendars.get(crew.calendar);
    let days = plan.scenario.horizon.iter();
    let working: Vec<Day> = days
        .filter(|day| day.iso_week() == week && calendar.works(*day))
        .collect();
    let regular = working.iter().map(|day| crew.people_on(*day)).max();
    let shift = |day: &Day| crew.people_on(*day) * Span::hours(crew.shift_hours_on(*day)).0;
    let shifts: i64 = working.iter().map(shift).sum();
    let bought = plan.bought.iter().filter(|bought| {
        bought.crew == crew.id && bought.day != day && bought.day.iso_week() == week
    });
    let bought: i64 = bought.map(|bought| bought.minutes * Span::MINUTE).sum();
    Some((regular.unwrap_or(0).saturating_mul(most) - shifts - bought).max(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four people from 7 to 15, with so many person-minutes of overtime in two hours.
    fn four(overtime_minutes: i64) -> Roster {
        let hour = Span::HOUR;
        Roster {
            people: 4,
            start: 7 * hour,
            shift_end: 15 * hour,
            last_end: if overtime_minutes > 0 {
                17 * hour
            } else {
                15 * hour
            },
            day_off: false,
            bought_minutes: overtime_minutes,
            left: overtime_minutes * Span::MINUTE,
            free: Vec::new(),
        }
    }

    #[test]
    fn a_team_waits_until_all_of_it_is_free() {
        let mut crew = four(0);
        let (first, missing) = crew.piece((0, 0), 2 * Span::HOUR, 2, Pieces::InOneGo);
        assert_eq!(
            (first[0].people, first[0].until, missing),
            (2, 8 * Span::HOUR, 0)
        );
        let team = crew.team(0, 3, 2 * Span::HOUR).unwrap();
        assert_eq!((team.from, team.until), (8 * Span::HOUR, 10 * Span::HOUR));
        // Two are left beside the loaders, one beside the team.
        let (beside, _) = crew.piece((0, 0), Span::HOUR, 1, Pieces::InOneGo);
        assert_eq!((beside[0].people, beside[0].from), (1, 7 * Span::HOUR));
    }

    #[test]
    fn overtime_lasts_as_long_as_it_was_bought() {
        let mut crew = four(60);
        let team = crew.team(0, 4, 9 * Span::HOUR).unwrap();
        // 60 person-minutes are a quarter of an hour for four.
        assert_eq!(team.until, 15 * Span::HOUR + 15 * Span::MINUTE);
        assert_eq!(
            crew.piece((0, 0), Span::HOUR, 4, Pieces::InOneGo),
            (vec![], Span::HOUR)
        );
    }

    #[test]
    fn what_fits_nowhere_in_one_go_is_done_in_pieces() {
        let mut crew = four(0);
        // Three people from 9 to 14, by force; one is always free.
        let middle = Taken {
            people: 3,
            from: 9 * Span::HOUR,
            until: 14 * Span::HOUR,
        };
        crew.take(middle);
        let (pieces, missing) = crew.piece((0, 0), 16 * Span::HOUR, 4, Pieces::InOneGo);
        let people: Vec<i64> = pieces.iter().map(|piece| piece.people).collect();
        assert_eq!((people, missing), (vec![4, 1, 4], 0));
        let done: i64 = pieces
            .iter()
            .map(|piece| piece.people * (piece.until - piece.from))
            .sum();
        assert_eq!(done, 16 * Span::HOUR);
    }
}
