//! Every legal way of a part from soaking to planting, tried one by one: what the price of a tray short and the day to decide by follow from.

use super::leaving::field_takes;
use super::warmth::{Warmth, latest_soak};
use crate::calendar::Day;
use crate::scenario::{
    Bed, Field, Germination, HandOver, Kind, Pin, Scenario, Sown, Stage, Temperature,
};
use crate::units::Age;

/// A legal way of one part.
pub(super) struct Way {
    /// Last day on which it can be decided.
    decided: Day,
    /// Cost of one tray that leaves, in thousandths of money ÷ 10 000.
    pub(super) tray_cost: i128,
}

/// The last day on which it can still be decided to grow the part: the latest soaking, or the last planting of what stands already.
pub(super) fn decide_by(
    scenario: &Scenario,
    warmth: &Warmth,
    field: &Field,
    part: u32,
) -> Option<Day> {
    let kind = scenario.kinds.iter().find(|kind| kind.id == field.kind)?;
    let mut latest = None;
    each(scenario, warmth, kind, &[(field, part)], &mut |way| {
        latest = latest.max(Some(way.decided));
    });
    latest
}

/// Tries every legal way of every one of the parts, all of fields of that kind.
pub(super) fn each(
    scenario: &Scenario,
    warmth: &Warmth,
    kind: &Kind,
    parts: &[(&Field, u32)],
    visit: &mut impl FnMut(Way),
) {
    let at = |stage: HandOver| -> Vec<(&Field, u32)> {
        let of_stage = parts.iter().filter(|(field, _)| field.stage == stage);
        of_stage.copied().collect()
    };
    let parts = at(HandOver::SoakedSeed);
    if !parts.is_empty() {
        each_seed(scenario, kind, &parts, visit);
    }
    let parts = at(HandOver::Sprouted);
    if !parts.is_empty() {
        each_sprouted(scenario, warmth, kind, &parts, visit);
    }
    let parts = at(HandOver::Seedlings);
    if !parts.is_empty() {
        each_seedlings(scenario, warmth, kind, &parts, visit);
    }
}

/// Seed handed over on any planting day that a soaking reaches.
fn each_seed(
    scenario: &Scenario,
    kind: &Kind,
    parts: &[(&Field, u32)],
    visit: &mut impl FnMut(Way),
) {
    let planting = &scenario.calendars.planting;
    for day in scenario.horizon.iter().filter(|day| planting.works(*day)) {
        let Some((soak, _)) = latest_soak(scenario, kind, day) else {
            continue;
        };
        let start = Start::fresh(day, soak);
        for (field, part) in parts {
            if may_go(scenario, field, *part, &start, day) {
                let tray_cost = preferred_cost(scenario, field, day);
                visit(start.way(scenario.horizon.first, day, tray_cost));
            }
        }
    }
}

/// Trays handed over on the day their stack is opened.
fn each_sprouted(
    scenario: &Scenario,
    warmth: &Warmth,
    kind: &Kind,
    parts: &[(&Field, u32)],
    visit: &mut impl FnMut(Way),
) {
    for start in starts(scenario, kind) {
        let here = scenario.germination.iter();
        let standing = start.standing;
        let here = here.filter(|place| standing.is_none_or(|sown| sown.germination == place.id));
        for place in here {
            let Some(open) = start.open_day(scenario, warmth, kind, place) else {
                continue;
            };
            let planting = &scenario.calendars.planting;
            if !scenario.horizon.contains(open) || !planting.works(open) {
                continue;
            }
            for (field, part) in parts {
                if may_go(scenario, field, *part, &start, open) {
                    let tray_cost = preferred_cost(scenario, field, open);
                    visit(start.way(scenario.horizon.first, open, tray_cost));
                }
            }
        }
    }
}

/// Seedlings by every pair of beds.
fn each_seedlings(
    scenario: &Scenario,
    warmth: &Warmth,
    kind: &Kind,
    parts: &[(&Field, u32)],
    visit: &mut impl FnMut(Way),
) {
    for start in starts(scenario, kind) {
        for stand in stands(scenario, start.standing) {
            let open = start.open_day(scenario, warmth, kind, stand.place);
            let beds = &scenario.calendars.beds;
            let hardened = start.standing.and_then(|sown| sown.hardened);
            let dates = open.and_then(|open| {
                let due =
                    || beds.first_from(open.plus(kind.greening_days), kind.greening_wait_days);
                Some((open, hardened.or_else(due)?))
            });
            let Some(dates) = dates else { continue };
            let walk = Walk {
                scenario,
                warmth,
                kind,
                parts,
                start: &start,
                stand: &stand,
                dates,
            };
            walk.plantings(visit);
        }
    }
}

/// How a part begins: sown on a day, or standing already.
struct Start<'a> {
    /// Sow day; of seed that is handed over, the day of handing over.
    sow: Day,
    soak: Option<Day>,
    standing: Option<&'a Sown>,
}

impl Start<'_> {
    fn fresh(sow: Day, soak: Day) -> Self {
        Start {
            sow,
            soak: Some(soak),
            standing: None,
        }
    }

    /// The day on which its stacks are opened in that place, when there is a legal one; stated for some that stand already.
    fn open_day(
        &self,
        scenario: &Scenario,
        warmth: &Warmth,
        kind: &Kind,
        place: &Germination,
    ) -> Option<Day> {
        let opened = self.standing.and_then(|sown| sown.opened);
        opened.or_else(|| open_day(scenario, warmth, kind, place, self.sow))
    }

    fn way(&self, first: Day, plant: Day, tray_cost: i128) -> Way {
        let decided = match self.soak {
            // What soaks already can still be left unsown.
            Some(soak) if soak < first => self.sow,
            Some(soak) => soak,
            None => plant,
        };
        Way { decided, tray_cost }
    }
}

/// Every legal sow day, and the trays that stand already.
fn starts<'a>(scenario: &'a Scenario, kind: &Kind) -> Vec<Start<'a>> {
    let standing = scenario.opening.sown.iter().map(|sown| Start {
        sow: sown.sown,
        soak: None,
        standing: Some(sown),
    });
    let mut all: Vec<Start> = standing.collect();
    if scenario.lines.is_empty() {
        return all;
    }
    let line = &scenario.calendars.line;
    for sow in scenario.horizon.iter().filter(|day| line.works(*day)) {
        let soak = latest_soak(scenario, kind, sow);
        all.extend(soak.map(|(soak, _)| Start::fresh(sow, soak)));
    }
    all
}

/// Places of seedlings.
struct Stand<'a> {
    place: &'a Germination,
    green: &'a Bed,
    harden: &'a Bed,
}

/// Every legal choice of places, or the places of trays that stand already.
fn stands<'a>(scenario: &'a Scenario, standing: Option<&Sown>) -> Vec<Stand<'a>> {
    let mut all = Vec::new();
    for place in &scenario.germination {
        for green in &scenario.beds {
            for harden in &scenario.beds {
                let legal = match standing {
                    Some(sown) => {
                        sown.germination == place.id
                            && sown.green_bed == green.id
                            && sown.harden_bed == harden.id
                    }
                    None => may_follow(green, harden),
                };
                if legal {
                    all.push(Stand {
                        place,
                        green,
                        harden,
                    });
                }
            }
        }
    }
    all
}

/// True when trays may green in the one bed and harden in the other.
pub(super) fn may_follow(green: &Bed, harden: &Bed) -> bool {
    let greens = green.stages.contains(&Stage::Green);
    let stays = green.stages.contains(&Stage::Harden);
    greens && harden.stages.contains(&Stage::Harden) && stays == (green.id == harden.id)
}

/// The day on which stacks sown on `sow` are opened, when there is a legal one.
fn open_day(
    scenario: &Scenario,
    warmth: &Warmth,
    kind: &Kind,
    place: &Germination,
    sow: Day,
) -> Option<Day> {
    let ready = warmth.ready(kind, place, sow).ok()?;
    let beds = &scenario.calendars.beds;
    beds.first_from(ready, place.longest_wait_days)
}

/// Ages on all clocks of a kind, summed day by day.
#[derive(Clone)]
struct Sums {
    own: f64,
    further: Vec<f64>,
}

impl Sums {
    /// One more day in that place; none when its temperature is not known.
    fn add(&mut self, warmth: &Warmth, kind: &Kind, place: &Temperature, day: Day) -> Option<()> {
        self.own += warmth.ages(kind, kind.age.clock, place, day)?;
        for (limit, sum) in kind.limits.iter().zip(&mut self.further) {
            *sum += warmth.ages(kind, limit.clock, place, day)?;
        }
        Some(())
    }

    /// The age on the kind's own clock, and whether it is old enough by all limits; none when too old by one of them.
    fn age(&self, kind: &Kind) -> Option<(Age, bool)> {
        let age = Age::nearest(self.own).filter(|age| *age <= kind.age.oldest)?;
        let mut old_enough = age >= kind.age.youngest;
        for (limit, sum) in kind.limits.iter().zip(&self.further) {
            let age = Age::nearest(*sum)?;
            if limit.oldest.is_some_and(|oldest| age > oldest) {
                return None;
            }
            old_enough &= limit.youngest.is_none_or(|youngest| age >= youngest);
        }
        Some((age, old_enough))
    }
}

/// Seedlings of one start in one choice of places.
struct Walk<'a> {
    scenario: &'a Scenario,
    warmth: &'a Warmth<'a>,
    kind: &'a Kind,
    parts: &'a [(&'a Field, u32)],
    start: &'a Start<'a>,
    stand: &'a Stand<'a>,
    /// Open and harden day.
    dates: (Day, Day),
}

impl Walk<'_> {
    /// Every day of leaving, and from each of them every planting day that the fields' edges allow.
    fn plantings(&self, visit: &mut impl FnMut(Way)) {
        let (horizon, (open, harden)) = (self.scenario.horizon, self.dates);
        let ahead = self.start.standing.map_or(0.0, |sown| sown.ahead.as_f64());
        let own = self.kind.age.clock;
        let limits = self.kind.limits.iter();
        let mut sums = Sums {
            own: ahead,
            further: limits
                .map(|limit| if limit.clock == own { ahead } else { 0.0 })
                .collect(),
        };
        let mut day = self.start.sow;
        while day <= horizon.last && sums.age(self.kind).is_some() {
            let may_leave = self.scenario.calendars.planting.works(day);
            if may_leave && day >= harden.max(horizon.first) {
                self.from(day, sums.clone(), visit);
            }
            let place = if day < open {
                self.stand.place.warmth_on(day)
            } else if day < harden {
                self.stand.green.temperature
            } else {
                self.stand.harden.temperature
            };
            if sums.add(self.warmth, self.kind, &place, day).is_none() {
                return;
            }
            day = day.plus(1);
        }
    }

    /// Every planting day of trays that leave on `leaves`.
    fn from(&self, leaves: Day, mut sums: Sums, visit: &mut impl FnMut(Way)) {
        let scenario = self.scenario;
        let edges = self.parts.iter().map(|(field, _)| field.edge_days);
        let longest = edges.max().unwrap_or(0);
        for waits in 0..=longest {
            let day = leaves.plus(waits);
            let Some((age, old_enough)) =
                sums.age(self.kind).filter(|_| day <= scenario.horizon.last)
            else {
                return;
            };
            if old_enough && scenario.calendars.planting.works(day) {
                for (field, part) in self.parts {
                    if waits <= field.edge_days && may_go(scenario, field, *part, self.start, day) {
                        visit(self.start.way(
                            scenario.horizon.first,
                            day,
                            self.cost(field, day, age, waits),
                        ));
                    }
                }
            }
            let edge = &scenario.edge;
            if sums.add(self.warmth, self.kind, edge, day).is_none() {
                return;
            }
        }
    }

    /// Cost of one tray, in thousandths of money ÷ 10 000.
    fn cost(&self, field: &Field, plant: Day, age: Age, waits: i32) -> i128 {
        let (kind, prices) = (self.kind, &self.scenario.prices);
        let off = i128::from(age.0) - i128::from(kind.age.target.0);
        let price = if off < 0 {
            kind.cost_younger
        } else {
            kind.cost_older
        };
        let moved = self.stand.green.id != self.stand.harden.id;
        i128::from(price.0) * off.abs()
            + preferred_cost(self.scenario, field, plant)
            + i128::from(prices.edge_wait.0) * i128::from(waits) * 100
            + i128::from(prices.bed_move.0) * i128::from(moved) * 100
    }
}

/// Cost of days off the preferred day of one tray, in thousandths of money ÷ 10 000.
fn preferred_cost(scenario: &Scenario, field: &Field, plant: Day) -> i128 {
    let days = field
        .preferred
        .map_or(0, |day| i128::from(plant.since(day).abs()));
    i128::from(scenario.prices.off_preferred.0) * days * 100
}

/// True when the part may begin so and be planted then.
fn may_go(scenario: &Scenario, field: &Field, part: u32, start: &Start, plant: Day) -> bool {
    let is_its = |sown: &Sown| sown.field == field.id && sown.part == part;
    let its_own = match start.standing {
        Some(sown) => is_its(sown),
        None => !scenario.opening.sown.iter().any(is_its),
    };
    let kept = |pin: &Pin| {
        pin.sow.is_none_or(|sow| sow == start.sow) && pin.plant.is_none_or(|day| day == plant)
    };
    let mut pins = scenario
        .pins
        .iter()
        .filter(|pin| pin.field == field.id && pin.part == part);
    its_own && field_takes(scenario, field, plant) && pins.all(kept)
}
