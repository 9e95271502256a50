//! What the table leaves out: lines, places and days, chosen row by row.

use super::super::line::least_order;
use super::super::places::{floor, stays};
use super::super::short_price::may_follow;
use super::super::warmth::{Warmth, Way, latest_soak, plausible_soak};
use super::super::whole::{Daily, fit, up};
use super::table::Row;
use crate::calendar::{Day, WorkCalendar};
use crate::plan::types::{Delivery, Run, RunStacks};
use crate::scenario::{Bed, Germination, Kind, Line, Scenario, Sown, Stage};
use crate::units::Age;
use std::collections::BTreeMap;

/// A row with everything chosen.
struct Placed<'a> {
    row: Row,
    kind: &'a Kind,
    /// None for trays sown before the first day.
    line: Option<&'a Line>,
    place: &'a Germination,
    green: &'a Bed,
    harden: &'a Bed,
    open: Day,
    cover: Day,
}

/// Runs and deliveries of the rows, in the order of a plan.
pub(super) fn runs_and_deliveries(
    scenario: &Scenario,
    mut rows: Vec<Row>,
) -> (Vec<Run>, Vec<Delivery>) {
    rows.sort_by(|a, b| {
        (a.sow, a.plant, &a.field, a.part).cmp(&(b.sow, b.plant, &b.field, b.part))
    });
    let warmth = Warmth::of(scenario);
    let mut chooser = Chooser {
        scenario,
        warmth: &warmth,
        floors: BTreeMap::new(),
        placed: Vec::new(),
    };
    for row in rows {
        chooser.place(row);
    }
    chooser.into_plan()
}

struct Chooser<'a> {
    scenario: &'a Scenario,
    warmth: &'a Warmth<'a>,
    /// Trays in each bed so far, with those whose floor is being cleared.
    floors: BTreeMap<&'a str, Daily>,
    placed: Vec<Placed<'a>>,
}

/// Day by day until someone works; the day itself when nobody does for a long time.
fn soonest(calendar: &WorkCalendar, day: Day) -> Day {
    calendar.first_from(day, 60).unwrap_or(day)
}

impl<'a> Chooser<'a> {
    fn place(&mut self, row: Row) {
        let scenario = self.scenario;
        let field = scenario.fields.iter().find(|field| field.id == row.field);
        let kind = field.and_then(|field| scenario.kinds.iter().find(|kind| kind.id == field.kind));
        // The reader of the table knows only fields of the scenario, and these have a kind.
        let Some(kind) = kind else { return };
        let mut standing = scenario.opening.sown.iter();
        let standing = standing
            .find(|sown| sown.field == row.field && sown.part == row.part && sown.sown == row.sow);
        let given = |id: &Option<String>| {
            id.as_ref()
                .and_then(|id| scenario.lines.iter().find(|line| line.id == *id))
        };
        let line = match standing {
            Some(_) => None,
            None => given(&row.line).or(scenario.lines.first()),
        };
        let Some(place) = self.germination(&row, kind, line, standing) else {
            return;
        };
        let open = self.open_day(kind, place, row.sow);
        let cover = self.cover_day(kind, open);
        let Some((green, harden)) = self.beds(&row, standing, open, cover) else {
            return;
        };
        for (bed, from, until) in stays((green, harden), [open, cover, row.plant]) {
            let floor = self
                .floors
                .entry(&bed.id)
                .or_insert_with(|| Daily::new(scenario.horizon));
            let until = until.plus(bed.turn_round_days);
            floor.add_span(from, until, row.trays.into());
        }
        self.placed.push(Placed {
            row,
            kind,
            line,
            place,
            green,
            harden,
            open,
            cover,
        });
    }

    fn open_day(&self, kind: &Kind, place: &Germination, sow: Day) -> Day {
        let beds = &self.scenario.calendars.beds;
        match self.warmth.ready(kind, place, sow) {
            Ok(ready) => soonest(beds, ready),
            Err(_) => soonest(beds, sow.plus(1)),
        }
    }

    fn cover_day(&self, kind: &Kind, open: Day) -> Day {
        soonest(&self.scenario.calendars.beds, open.plus(kind.greening_days))
    }

    /// The place given, or the first with room, or the first.
    fn germination(
        &self,
        row: &Row,
        kind: &'a Kind,
        line: Option<&'a Line>,
        standing: Option<&Sown>,
    ) -> Option<&'a Germination> {
        let wanted = row
            .germination
            .as_ref()
            .or(standing.map(|sown| &sown.germination));
        let mut places = self.scenario.germination.iter();
        if let Some(wanted) = wanted {
            return places.find(|place| place.id == *wanted);
        }
        let room = places.find(|place| {
            let open = self.open_day(kind, place, row.sow);
            self.stacks_fit(place, (kind, line, row.sow), row.trays.into(), open)
        });
        room.or(self.scenario.germination.first())
    }

    /// True when the place still has stack places with these trays on each day of [sow, open).
    fn stacks_fit(
        &self,
        place: &Germination,
        (kind, line, sow): (&Kind, Option<&Line>, Day),
        trays: i128,
        open: Day,
    ) -> bool {
        let mut standing = Daily::new(self.scenario.horizon);
        // Trays here by run: trial trays are counted in every place of a run, so that there is room for them.
        let mut runs: BTreeMap<_, (i128, Day)> = BTreeMap::new();
        let here = self
            .placed
            .iter()
            .filter(|placed| placed.place.id == place.id);
        let here = here.map(|p| (p.line, &p.kind.id, p.row.sow, p.row.trays.into(), p.open));
        for (line, kind, sow, trays, open) in here.chain([(line, &kind.id, sow, trays, open)]) {
            let trial = line.map_or(0, |line| i128::from(line.trial_trays));
            let key = (line.map(|line| &line.id), kind, sow);
            let entry = runs.entry(key).or_insert((trial, open));
            *entry = (entry.0 + trays, entry.1.max(open));
        }
        for ((_, _, sow), (trays, open)) in runs {
            standing.add_span(sow, open, up(trays, place.height.into()));
        }
        let mut days = standing
            .days()
            .filter(|(day, _)| sow <= *day && *day < open);
        days.all(|(_, stacks)| stacks <= place.stack_places.into())
    }

    /// The beds given, or the first pair with room in the scenario's order, or the first that may follow each other, or the first bed twice.
    fn beds(
        &self,
        row: &Row,
        standing: Option<&Sown>,
        open: Day,
        cover: Day,
    ) -> Option<(&'a Bed, &'a Bed)> {
        let green = row
            .green_bed
            .as_ref()
            .or(standing.map(|sown| &sown.green_bed));
        let harden = row
            .harden_bed
            .as_ref()
            .or(standing.map(|sown| &sown.harden_bed));
        let all = || self.scenario.beds.iter();
        let named = |bed: &Bed, id: Option<&String>| id.is_none_or(|id| bed.id == *id);
        if let (Some(green), Some(harden)) = (green, harden) {
            let bed = |id: &String| all().find(|bed| bed.id == *id);
            return Some((bed(green)?, bed(harden)?));
        }
        let mut pairs = Vec::new();
        for first in all().filter(|bed| named(bed, green)) {
            for second in all().filter(|bed| named(bed, harden)) {
                if may_follow(first, second) {
                    pairs.push((first, second));
                }
            }
        }
        let trays = i128::from(row.trays);
        let room = pairs.iter().find(|pair| {
            let mut stays = stays(**pair, [open, cover, row.plant]).into_iter();
            stays.all(|(bed, from, until)| {
                self.floor_fits(bed, trays, from, until.plus(bed.turn_round_days))
            })
        });
        let fallback = || {
            let first = all().find(|bed| named(bed, green))?;
            let second =
                all().find(|bed| named(bed, harden) && bed.stages.contains(&Stage::Harden));
            Some((first, harden.and(second).unwrap_or(first)))
        };
        room.or(pairs.first()).copied().or_else(fallback)
    }

    fn floor_fits(&self, bed: &Bed, trays: i128, from: Day, until: Day) -> bool {
        let there = floor(bed);
        let Some(standing) = self.floors.get(bed.id.as_str()) else {
            return trays <= there;
        };
        let mut days = standing
            .days()
            .filter(|(day, _)| from <= *day && *day < until);
        days.all(|(_, standing)| standing + trays <= there)
    }

    fn into_plan(self) -> (Vec<Run>, Vec<Delivery>) {
        let groups = self.groups();
        let (mut runs, mut deliveries) = (Vec::new(), Vec::new());
        for (place_in_day, group) in groups {
            let id = format!("R{:03}", runs.len() + 1);
            for placed in &group {
                deliveries.push(self.delivery(placed, &id));
            }
            runs.extend(self.run(id, place_in_day, &group));
        }
        deliveries
            .sort_by(|a: &Delivery, b| (a.day, &a.field, a.part).cmp(&(b.day, &b.field, b.part)));
        (runs, deliveries)
    }

    /// Rows by run, in the order of the plan, each with its place in the day's order.
    fn groups(&self) -> Vec<(u32, Vec<&Placed<'a>>)> {
        let position = |line: Option<&Line>| {
            line.and_then(|line| {
                self.scenario
                    .lines
                    .iter()
                    .position(|other| other.id == line.id)
            })
        };
        // By sow day and line (none first), then by kind in the scenario's order.
        let mut days: BTreeMap<_, BTreeMap<usize, Vec<&Placed>>> = BTreeMap::new();
        for placed in &self.placed {
            let kinds = days
                .entry((placed.row.sow, position(placed.line)))
                .or_default();
            let kind = self
                .scenario
                .kinds
                .iter()
                .position(|kind| kind.id == placed.kind.id);
            kinds.entry(kind.unwrap_or(0)).or_default().push(placed);
        }
        let mut all = Vec::new();
        for ((_, line), kinds) in days {
            let mut groups: Vec<Option<Vec<&Placed>>> = kinds.into_values().map(Some).collect();
            let names: Vec<&str> = groups
                .iter()
                .flatten()
                .filter_map(|group| group.first())
                .map(|p| p.kind.id.as_str())
                .collect();
            let line = line.and_then(|line| self.scenario.lines.get(line));
            let order = line.and_then(|line| least_order(line, &names));
            let order = order.unwrap_or_else(|| (0..groups.len()).collect());
            for (place, at) in order.into_iter().enumerate() {
                let place = if line.is_some() { place as u32 + 1 } else { 0 };
                all.extend(groups[at].take().map(|group| (place, group)));
            }
        }
        all
    }

    fn run(&self, id: String, place_in_day: u32, group: &[&Placed]) -> Option<Run> {
        let one = group.first()?;
        let (line, kind, sow) = (one.line, one.kind, one.row.sow);
        let soak_drain = line.map(|_| {
            latest_soak(self.scenario, kind, sow)
                .unwrap_or_else(|| plausible_soak(self.scenario, kind, sow))
        });
        let mut trial = line.map_or(0, |line| i128::from(line.trial_trays));
        let trial_trays = fit(trial);
        let mut stacks = Vec::new();
        for place in &self.scenario.germination {
            let here: Vec<_> = group
                .iter()
                .filter(|placed| placed.place.id == place.id)
                .collect();
            let Some(open) = here.iter().map(|placed| placed.open).max() else {
                continue;
            };
            let trays = here
                .iter()
                .map(|placed| i128::from(placed.row.trays))
                .sum::<i128>()
                + trial;
            let height = place.height.into();
            let whole = match line {
                Some(_) => up(trays, height),
                None => here
                    .iter()
                    .map(|placed| up(placed.row.trays.into(), height))
                    .sum(),
            };
            let (trays, whole) = (fit(trays), fit(whole));
            stacks.push(RunStacks {
                germination: place.id.clone(),
                trays,
                stacks: whole,
                open,
            });
            trial = 0;
        }
        Some(Run {
            id,
            line: line.map(|line| line.id.clone()),
            kind: kind.id.clone(),
            soak: soak_drain.map(|(soak, _)| soak),
            drain: soak_drain.map(|(_, drain)| drain),
            sow,
            place_in_day,
            trays: group.iter().map(|placed| placed.row.trays).sum(),
            trial_trays,
            thrown_trays: 0,
            stacks,
        })
    }

    fn delivery(&self, placed: &Placed, run: &str) -> Delivery {
        let way = Way {
            sow: placed.row.sow,
            open: placed.open,
            harden: placed.cover,
            plant: placed.row.plant,
            germination: (&placed.place.id, placed.place.temperature),
            green: (&placed.green.id, placed.green.temperature),
            hardening: (&placed.harden.id, placed.harden.temperature),
        };
        Delivery {
            run: run.to_string(),
            field: placed.row.field.clone(),
            part: placed.row.part,
            trays: placed.row.trays,
            sown: None,
            germination: Some(placed.place.id.clone()),
            green_bed: Some(placed.green.id.clone()),
            harden_bed: Some(placed.harden.id.clone()),
            green_rows: Vec::new(),
            harden_rows: Vec::new(),
            leaves: None,
            open: placed.open,
            harden: placed.cover,
            day: placed.row.plant,
            // Where no temperature is known the audit says so.
            age: self.warmth.age(placed.kind, &way).unwrap_or(Age::ZERO),
            promised: None,
        }
    }
}
