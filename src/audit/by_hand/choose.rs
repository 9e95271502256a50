//! What the table leaves out: lines, places and days, chosen row by row.

use super::super::line::{least_order, thrown_in_order};
use super::super::orders::sown_for;
use super::super::places::{floor, floor_for, stays};
use super::super::warmth::{Warmth, Way, latest_soak, plausible_soak};
use super::super::ways::may_follow;
use super::super::whole::{Daily, fit, up};
use super::table::Row;
use crate::calendar::{Day, WorkCalendar};
use crate::plan::types::{Delivery, Run, RunStacks};
use crate::scenario::{Bed, Germination, HandOver, Kind, Line, Scenario, Sown, Stage};
use crate::units::Age;
use std::collections::BTreeMap;

/// A row with everything chosen.
struct Placed<'a> {
    row: Row,
    kind: &'a Kind,
    stage: HandOver,
    /// Trays sown for it.
    sown: i64,
    /// None for trays sown before the first day, and for seed.
    line: Option<&'a Line>,
    /// None for seed.
    place: Option<&'a Germination>,
    /// None for what leaves before it comes into a bed.
    beds: Option<(&'a Bed, &'a Bed)>,
    open: Day,
    cover: Day,
    /// Day on which its stack was opened before the first day, when that is stated.
    opened: Option<Day>,
    /// How far a count found it ahead.
    ahead: Age,
}

impl Placed<'_> {
    fn is_seed(&self) -> bool {
        self.stage == HandOver::SoakedSeed
    }
}

/// Rows of one run, in the order of the plan.
struct Group<'b, 'a> {
    place_in_day: u32,
    thrown: i128,
    rows: Vec<&'b Placed<'a>>,
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
        let stage = field.map(|field| field.stage).unwrap_or_default();
        let sown = match standing {
            Some(standing) => standing.trays,
            None => fit(sown_for(kind, stage, row.trays.into())),
        };
        let mut placed = Placed {
            kind,
            stage,
            sown,
            line: None,
            place: None,
            beds: None,
            open: row.plant,
            cover: row.plant,
            opened: None,
            ahead: Age::ZERO,
            row,
        };
        if !placed.is_seed() {
            if standing.is_none() {
                placed.line = given(&placed.row.line).or(scenario.lines.first());
            }
            if self.stand(&mut placed, standing).is_none() {
                return;
            }
        }
        self.placed.push(placed);
    }

    /// Chooses the places of trays, and the days that follow from them.
    fn stand(&mut self, placed: &mut Placed<'a>, standing: Option<&Sown>) -> Option<()> {
        let place = self.germination(placed, standing)?;
        placed.place = Some(place);
        placed.opened = standing.and_then(|sown| sown.opened);
        placed.open = placed
            .opened
            .unwrap_or_else(|| self.open_day(placed.kind, place, placed.row.sow));
        placed.ahead = standing.map_or(Age::ZERO, |sown| sown.ahead);
        placed.cover = placed.open;
        if placed.stage != HandOver::Seedlings {
            return Some(());
        }
        let hardened = standing.and_then(|sown| sown.hardened);
        placed.cover = hardened.unwrap_or_else(|| self.cover_day(placed.kind, placed.open));
        let beds = self.beds(placed, standing)?;
        placed.beds = Some(beds);
        let leaves = placed.row.leaves.unwrap_or(placed.row.plant);
        for (bed, from, until) in stays(beds, [placed.open, placed.cover, leaves]) {
            let floor = self
                .floors
                .entry(&bed.id)
                .or_insert_with(|| Daily::new(self.scenario.horizon));
            let until = until.plus(bed.turn_round_days);
            floor.add_span(from, until, floor_for(bed, placed.sown.into()));
        }
        Some(())
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
    fn germination(&self, placed: &Placed<'a>, standing: Option<&Sown>) -> Option<&'a Germination> {
        let (kind, sow) = (placed.kind, placed.row.sow);
        let wanted = placed
            .row
            .germination
            .as_ref()
            .or(standing.map(|sown| &sown.germination));
        let mut places = self.scenario.germination.iter();
        if let Some(wanted) = wanted {
            return places.find(|place| place.id == *wanted);
        }
        let room = places.find(|place| {
            let open = self.open_day(kind, place, sow);
            self.stacks_fit(place, (kind, placed.line, sow), placed.sown.into(), open)
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
        let is_here = |placed: &&Placed| placed.place.is_some_and(|other| other.id == place.id);
        let here = self.placed.iter().filter(is_here);
        let here = here.map(|p| (p.line, &p.kind.id, p.row.sow, p.sown.into(), p.open));
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
    fn beds(&self, placed: &Placed<'a>, standing: Option<&Sown>) -> Option<(&'a Bed, &'a Bed)> {
        let row = &placed.row;
        let days = [placed.open, placed.cover, row.leaves.unwrap_or(row.plant)];
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
        let trays = i128::from(placed.sown);
        let room = pairs.iter().find(|pair| {
            let mut stays = stays(**pair, days).into_iter();
            stays.all(|(bed, from, until)| {
                let until = until.plus(bed.turn_round_days);
                self.floor_fits(bed, floor_for(bed, trays), from, until)
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
        for group in groups {
            let id = format!("R{:03}", runs.len() + 1);
            for placed in &group.rows {
                deliveries.push(self.delivery(placed, &id));
            }
            runs.extend(self.run(id, &group));
        }
        deliveries
            .sort_by(|a: &Delivery, b| (a.day, &a.field, a.part).cmp(&(b.day, &b.field, b.part)));
        (runs, deliveries)
    }

    /// Rows by run, in the order of the plan, each with its place in the day's order.
    fn groups(&self) -> Vec<Group<'_, 'a>> {
        let position = |line: Option<&Line>| {
            let id = line.map(|line| &line.id)?;
            let mut lines = self.scenario.lines.iter();
            lines.position(|other| other.id == *id)
        };
        // By sow day and line (none first, and seed after trays that stand already), then by kind in the scenario's order. What stands
        // already is one run only as far as it was opened on one day.
        let mut days: BTreeMap<_, BTreeMap<usize, Vec<&Placed>>> = BTreeMap::new();
        for placed in &self.placed {
            let opened = placed.opened;
            let key = (
                placed.row.sow,
                position(placed.line),
                placed.is_seed(),
                opened,
            );
            let mut kinds = self.scenario.kinds.iter();
            let kind = kinds.position(|kind| kind.id == placed.kind.id);
            let runs = days.entry(key).or_default();
            runs.entry(kind.unwrap_or(0)).or_default().push(placed);
        }
        let mut all = Vec::new();
        for ((_, line, _, _), kinds) in days {
            let groups: Vec<Vec<&Placed>> = kinds.into_values().collect();
            let line = line.and_then(|line| self.scenario.lines.get(line));
            let Some(line) = line else {
                all.extend(groups.into_iter().map(|rows| Group {
                    place_in_day: 0,
                    thrown: 0,
                    rows,
                }));
                continue;
            };
            let kind = |at: &usize| groups[*at].first().map(|placed| placed.kind);
            let given: Vec<usize> = (0..groups.len()).collect();
            let names: Vec<&Kind> = given.iter().filter_map(kind).collect();
            let order = least_order(line, &names).unwrap_or(given);
            let names: Vec<&Kind> = order.iter().filter_map(kind).collect();
            let thrown = thrown_in_order(line, &names);
            for (place, (at, thrown)) in order.into_iter().zip(thrown).enumerate() {
                all.push(Group {
                    place_in_day: place as u32 + 1,
                    thrown,
                    rows: groups[at].clone(),
                });
            }
        }
        all
    }

    fn run(&self, id: String, group: &Group) -> Option<Run> {
        let one = group.rows.first()?;
        let (line, kind, sow) = (one.line, one.kind, one.row.sow);
        let soaks = line.is_some() || one.is_seed();
        let soak_drain = soaks.then(|| {
            latest_soak(self.scenario, kind, sow)
                .unwrap_or_else(|| plausible_soak(self.scenario, kind, sow))
        });
        let trial = line.map_or(0, |line| i128::from(line.trial_trays));
        let trays = group.rows.iter().map(|placed| i128::from(placed.sown));
        Some(Run {
            id,
            line: line.map(|line| line.id.clone()),
            kind: kind.id.clone(),
            soak: soak_drain.map(|(soak, _)| soak),
            drain: soak_drain.map(|(_, drain)| drain),
            sow,
            place_in_day: group.place_in_day,
            trays: fit(trays.sum()),
            trial_trays: fit(trial),
            thrown_trays: fit(group.thrown),
            stacks: self.stacks(line, group, trial),
        })
    }

    fn stacks(&self, line: Option<&Line>, group: &Group, mut trial: i128) -> Vec<RunStacks> {
        let mut stacks = Vec::new();
        for place in &self.scenario.germination {
            let is_here =
                |placed: &&&Placed| placed.place.is_some_and(|other| other.id == place.id);
            let here: Vec<&&Placed> = group.rows.iter().filter(is_here).collect();
            let Some(open) = here.iter().map(|placed| placed.open).max() else {
                continue;
            };
            let sown = || here.iter().map(|placed| i128::from(placed.sown));
            let trays = sown().sum::<i128>() + trial;
            let height = place.height.into();
            let whole = match line {
                Some(_) => up(trays, height),
                None => sown().map(|trays| up(trays, height)).sum(),
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
        stacks
    }

    /// The day promised for a part, if one was.
    fn promised(&self, row: &Row) -> Option<Day> {
        let mut told = self.scenario.told.iter().filter(|told| told.promised);
        let told = told.find(|told| told.field == row.field && told.part == row.part);
        told.map(|told| told.day)
    }

    fn delivery(&self, placed: &Placed, run: &str) -> Delivery {
        let row = &placed.row;
        let leaves = row.leaves.unwrap_or(row.plant);
        let days = [row.sow, placed.open, placed.cover, leaves, row.plant];
        let way = placed
            .place
            .map(|place| Way::new(self.scenario, place, placed.beds, days))
            .map(|way| Way {
                ahead: placed.ahead,
                ..way
            });
        // Where no temperature is known the audit says so; seed has no age.
        let age = way.and_then(|way| self.warmth.age(placed.kind, &way).ok());
        Delivery {
            run: run.to_string(),
            field: row.field.clone(),
            part: row.part,
            trays: row.trays,
            sown: (placed.sown != row.trays).then_some(placed.sown),
            germination: placed.place.map(|place| place.id.clone()),
            green_bed: placed.beds.map(|(green, _)| green.id.clone()),
            harden_bed: placed.beds.map(|(_, harden)| harden.id.clone()),
            green_rows: row.green_rows.clone(),
            harden_rows: row.harden_rows.clone(),
            leaves: row.leaves,
            open: placed.open,
            harden: placed.cover,
            day: row.plant,
            age: age.unwrap_or(Age::ZERO),
            promised: self.promised(row),
        }
    }
}
