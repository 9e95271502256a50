//! The options of a lot: every pair of sow day and planting day, by line and places, that is allowed.

use super::cost::{age_rate, cost_of, edge_rate, move_rate, preferred_rate, told_price};
use super::seed::{self, SeedChain};
use super::story::{Exclusion, LeftOut, LotStory, NoPlanting};
use super::timeline::{self, Broken, Route, Timeline, Timelines};
use super::{GrowOption, Lot, LotId, RunId, RunSource};
use crate::calendar::{Day, DayRange};
use crate::scenario::{Field, HandOver, Kind, Pin, Scenario};
use crate::units::Age;

/// A run by what makes it one, before it has an index. Trays that already grow, and seed that is handed over, sort first on their day.
pub(super) type RunKey = (Day, Option<usize>, usize, usize);

/// Stands for the entry of `opening.sown` in the key of seed that is handed over.
const HANDED: usize = usize::MAX;

/// An option before its run has an index.
pub(super) struct Draft {
    pub key: RunKey,
    pub source: RunSource,
    pub option: GrowOption,
}

pub(super) struct Enumerator<'a> {
    pub scenario: &'a Scenario,
    pub timelines: &'a mut Timelines,
}

/// What is looked at while a lot's options are made up.
struct Looking<'a> {
    id: LotId,
    lot: &'a Lot,
    field: &'a Field,
    kind: &'a Kind,
    pin: Option<&'a Pin>,
    /// Days on which the field can be planted, ascending.
    days: Vec<Day>,
    drafts: Vec<Draft>,
    story: LotStory,
    /// Each pair of days that is left out, when somebody asks for them one by one.
    left_out: Option<Vec<LeftOut>>,
}

impl Looking<'_> {
    /// Notes why a pair of days is left out; without a planting day, why a sow day is, whenever it would be planted.
    fn note(&mut self, why: Exclusion, (sow, plant): (Day, Option<Day>), age: Option<Age>) {
        self.story.note_age(why, age);
        if let Some(all) = &mut self.left_out {
            all.push(LeftOut {
                sow,
                plant,
                why,
                age,
            });
        }
    }
}

/// One way through places and days.
#[derive(Clone, Copy)]
struct Way {
    sow: Day,
    route: Route,
    open: Day,
    harden: Day,
    leave: Day,
    plant: Day,
    age: Age,
}

impl Enumerator<'_> {
    /// All options of `lot`, by sow day, line, route and planting day; and why the others are none.
    pub fn of_lot(&mut self, id: LotId, lot: &Lot) -> (Vec<Draft>, LotStory) {
        let looking = self.look(id, lot, None);
        (looking.drafts, looking.story)
    }

    /// Every pair of days that is left out, one by one: by places and lines, so that a pair may stand there and be an option elsewhere.
    pub fn left_out(&mut self, id: LotId, lot: &Lot) -> Vec<LeftOut> {
        let looking = self.look(id, lot, Some(Vec::new()));
        looking.left_out.unwrap_or_default()
    }

    fn look<'l>(&mut self, id: LotId, lot: &'l Lot, left_out: Option<Vec<LeftOut>>) -> Looking<'l>
    where
        Self: 'l,
    {
        let scenario = self.scenario;
        let field = &scenario.fields[lot.field];
        let days = planting_days(scenario, field);
        let mut looking = Looking {
            id,
            lot,
            field,
            kind: &scenario.kinds[lot.kind],
            pin: scenario
                .pins
                .iter()
                .find(|pin| pin.field == field.id && pin.part == lot.part),
            story: LotStory {
                planting_days: days.len(),
                ..LotStory::default()
            },
            days,
            drafts: Vec::new(),
            left_out,
        };
        if !looking.days.is_empty() {
            match field.stage {
                HandOver::SoakedSeed => self.soaked_seed(&mut looking),
                HandOver::Sprouted => self.sprouted(&mut looking),
                HandOver::Seedlings => self.seedlings(&mut looking),
            }
        }
        let key = |draft: &Draft| {
            let option = &draft.option;
            (draft.key, option.route, option.plant, option.leave)
        };
        looking.drafts.sort_by_key(key);
        looking
    }

    /// Seed on every day on which it is ready and the grower can have it.
    fn soaked_seed(&self, looking: &mut Looking<'_>) {
        for day in looking.days.clone() {
            if let Err(why) = pinned(looking.pin, day, day) {
                looking.note(why, (day, Some(day)), None);
                continue;
            }
            match seed::chain(self.scenario, looking.kind, day) {
                None => looking.note(Exclusion::SeedNotReady, (day, Some(day)), None),
                Some(chain) => {
                    let key = (day, None, looking.lot.kind, HANDED);
                    let way = Way {
                        sow: day,
                        route: Route::NONE,
                        open: day,
                        harden: day,
                        leave: day,
                        plant: day,
                        age: Age::ZERO,
                    };
                    self.draft(looking, RunSource::Handed(chain), key, way);
                }
            }
        }
    }

    /// Trays that leave on the day on which their stack is opened.
    fn sprouted(&self, looking: &mut Looking<'_>) {
        for sow in self.starts(looking) {
            let chain = seed::chain(self.scenario, looking.kind, sow);
            for place in self.places(looking.lot) {
                let batch = looking.lot.standing;
                let batch = batch.map(|entry| &self.scenario.opening.sown[entry]);
                let start = (sow, batch);
                let sprouted = timeline::sprouted(self.scenario, looking.kind, start, place);
                let (open, age) = match sprouted {
                    Ok(opened) => opened,
                    Err(Broken::NeverReady) => continue,
                    Err(_) => {
                        looking.note(Exclusion::NobodyThere, (sow, None), None);
                        continue;
                    }
                };
                if !looking.days.contains(&open) {
                    continue;
                }
                let way = Way {
                    sow,
                    route: Route::to_the_stack(place),
                    open,
                    harden: open,
                    leave: open,
                    plant: open,
                    age,
                };
                self.draft_all(looking, chain, way);
            }
        }
    }

    /// Trays with seedlings of the right age.
    fn seedlings(&mut self, looking: &mut Looking<'_>) {
        let scenario = self.scenario;
        for sow in self.starts(looking) {
            let chain = seed::chain(scenario, looking.kind, sow);
            for route in self.routes(looking.lot) {
                let what = (looking.lot.kind, looking.lot.standing);
                let timeline = match self.timelines.get(scenario, what, sow, route) {
                    Ok(timeline) => timeline,
                    Err(Broken::NeverReady) => continue,
                    Err(_) => {
                        looking.note(Exclusion::NobodyThere, (sow, None), None);
                        continue;
                    }
                };
                let after = looking.days.partition_point(|day| *day <= sow);
                for at in after..looking.days.len() {
                    let plant = looking.days[at];
                    self.planted_on(looking, chain, route, &timeline, sow, plant);
                }
            }
        }
    }

    /// Every day on which trays can leave to be planted on `plant`.
    fn planted_on(
        &self,
        looking: &mut Looking<'_>,
        chain: Option<SeedChain>,
        route: Route,
        timeline: &Timeline,
        sow: Day,
        plant: Day,
    ) {
        let scenario = self.scenario;
        for waits in 0..=looking.field.edge_days.max(0) {
            let leave = plant.plus(-waits);
            if leave < timeline.harden {
                if waits == 0 {
                    looking.note(Exclusion::TooYoung, (sow, Some(plant)), None);
                }
                break;
            }
            if !scenario.calendars.planting.works(leave) || leave < scenario.horizon.first {
                continue;
            }
            match timeline.right_age(scenario, looking.kind, leave, plant) {
                Ok(age) => {
                    let way = Way {
                        sow,
                        route,
                        open: timeline.open,
                        harden: timeline.harden,
                        leave,
                        plant,
                        age,
                    };
                    self.draft_all(looking, chain, way);
                }
                Err((why, age)) => looking.note(why, (sow, Some(plant)), age),
            }
        }
    }

    /// An option for each run that could carry the way, or a note why there is none.
    fn draft_all(&self, looking: &mut Looking<'_>, chain: Option<SeedChain>, way: Way) {
        match self.sources(looking, chain, way) {
            Ok(sources) => {
                for (source, key) in sources {
                    self.draft(looking, source, key, way);
                }
            }
            Err(why) => looking.note(why, (way.sow, Some(way.plant)), Some(way.age)),
        }
    }

    fn draft(&self, looking: &mut Looking<'_>, source: RunSource, key: RunKey, way: Way) {
        let (scenario, leaving) = (self.scenario, looking.lot.leaving);
        let age = age_rate(looking.kind, looking.field.stage, way.age);
        let preferred = preferred_rate(scenario, looking.field, way.plant);
        let option = GrowOption {
            lot: looking.id,
            run: RunId(usize::MAX),
            route: way.route,
            open: way.open,
            harden: way.harden,
            leave: way.leave,
            plant: way.plant,
            collect: self.collect_day(way.plant),
            age: way.age,
            age_cost: cost_of(age, leaving),
            preferred_cost: cost_of(preferred, leaving),
            edge_cost: cost_of(edge_rate(scenario, way.leave, way.plant), leaving),
            move_cost: cost_of(move_rate(scenario, way.route), looking.lot.trays),
            told_cost: told_price(scenario, looking.field, looking.lot.part, way.plant),
        };
        looking.drafts.push(Draft {
            key,
            source,
            option,
        });
    }

    /// Days on which the lot could be sown.
    fn starts(&self, looking: &Looking<'_>) -> Vec<Day> {
        let scenario = self.scenario;
        if let Some(entry) = looking.lot.standing {
            return vec![scenario.opening.sown[entry].sown];
        }
        let first = scenario.horizon.first;
        let last = looking.days.last().copied().unwrap_or(first);
        let ahead = 0..last.since(first).max(0);
        ahead.map(|ahead| first.plus(ahead)).collect()
    }

    /// Germination places that the lot can go through.
    fn places(&self, lot: &Lot) -> Vec<usize> {
        let all = 0..self.scenario.germination.len();
        let stands_in = lot
            .standing
            .map(|entry| &self.scenario.opening.sown[entry].germination);
        all.filter(|place| stands_in.is_none_or(|id| self.scenario.germination[*place].id == *id))
            .collect()
    }

    fn routes(&self, lot: &Lot) -> Vec<Route> {
        let Some(entry) = lot.standing else {
            return self.timelines.routes.clone();
        };
        let sown = &self.scenario.opening.sown[entry];
        let bed = |id: &str| self.scenario.beds.iter().position(|bed| bed.id == id);
        let place = self.places(lot).first().copied();
        match (place, bed(&sown.green_bed), bed(&sown.harden_bed)) {
            (Some(place), Some(green), Some(harden)) => vec![Route::through(place, green, harden)],
            _ => Vec::new(),
        }
    }

    /// The runs that could carry the way, or why there is none.
    fn sources(
        &self,
        looking: &Looking<'_>,
        chain: Option<SeedChain>,
        way: Way,
    ) -> Result<Vec<(RunSource, RunKey)>, Exclusion> {
        pinned(looking.pin, way.sow, way.plant)?;
        let kind = looking.lot.kind;
        if let Some(entry) = looking.lot.standing {
            let run = self.scenario.opening.run_of(entry);
            return Ok(vec![(RunSource::Standing(run), (way.sow, None, kind, run))]);
        }
        if !self.scenario.calendars.line.works(way.sow) {
            return Err(Exclusion::LineRests);
        }
        let seed = chain.ok_or(Exclusion::SeedNotReady)?;
        Ok((0..self.scenario.lines.len())
            .map(|line| {
                (
                    RunSource::Line { line, seed },
                    (way.sow, Some(line), kind, 0),
                )
            })
            .collect())
    }

    fn collect_day(&self, plant: Day) -> Day {
        let back = plant.plus(self.scenario.trays.return_days);
        self.scenario
            .calendars
            .beds
            .first_from(back, 1_000)
            .unwrap_or(back)
    }
}

fn pinned(pin: Option<&Pin>, sow: Day, plant: Day) -> Result<(), Exclusion> {
    let kept = |pinned: Option<Day>, day: Day| pinned.is_none_or(|pinned| pinned == day);
    if pin.is_some_and(|pin| !kept(pin.plant, plant) || !kept(pin.sow, sow)) {
        return Err(Exclusion::Pinned);
    }
    Ok(())
}

/// Days on which the field can be planted, inside the horizon, ascending: all that its window, its block and the crop before it say.
pub fn planting_days(scenario: &Scenario, field: &Field) -> Vec<Day> {
    let days = scenario.horizon.iter();
    days.filter(|day| no_planting(scenario, field, *day).is_none())
        .collect()
}

/// Why a field cannot be planted on a day, whatever grows; none when it can.
pub fn no_planting(scenario: &Scenario, field: &Field, day: Day) -> Option<NoPlanting> {
    let within = |spans: &[DayRange]| spans.iter().any(|span| span.contains(day));
    let block = field
        .block
        .as_ref()
        .and_then(|id| scenario.blocks.iter().find(|block| block.id == *id));
    let after_water = block.is_none_or(|block| {
        let days = day.since(block.water);
        block.first_days <= days && days <= block.last_days
    });
    let after_harvest = field.harvest_before.is_none_or(|harvest| {
        let days = day.since(harvest);
        days >= field.harvest_first_days && field.harvest_last_days.is_none_or(|last| days <= last)
    });
    let reasons = [
        (!scenario.horizon.contains(day), NoPlanting::OutsideHorizon),
        (
            !field.window.is_empty() && !within(&field.window),
            NoPlanting::OutsideWindow,
        ),
        (!after_water, NoPlanting::Water),
        (!after_harvest, NoPlanting::Harvest),
        (!field.ready, NoPlanting::NotReady),
        (within(&field.closed), NoPlanting::FieldClosed),
        (
            !scenario.calendars.planting.works(day),
            NoPlanting::NobodyPlants,
        ),
    ];
    let mut holds = reasons.into_iter().filter(|(holds, _)| *holds);
    holds.next().map(|(_, why)| why)
}
