//! Made-up nurseries: completed scenarios from a seed, for tests that need many of them.
//!
//! [`tiny`] has few lots and few dates a lot, so that all plans can be tried one by one;
//! [`medium`] mixes everything. Both are always valid, and often cannot be met in full: a plan with
//! trays short is then the right answer. Nothing here is a real nursery.

use super::dice::Dice;
use super::orders::{self, part_trays};
use super::places::{self, bed_paths};
use sowrota::calendar::{Day, DayRange, Weekday, WorkCalendar};
use sowrota::scenario::*;
use sowrota::units::Fixed;
use std::collections::BTreeSet;

/// Most combinations of dates and places over all lots of a [`tiny`] nursery, "not grown" among them.
pub const MOST_COMBINATIONS: i64 = 60_000;

/// Most pairs of sow day and planting day of one lot of a [`tiny`] nursery.
pub const MOST_PAIRS: i64 = 12;

/// What a nursery is short of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tight {
    Line,
    Stacks,
    Floor,
    Trays,
    Crew,
    Planter,
}

impl Tight {
    const ALL: [Tight; 6] = [
        Tight::Line,
        Tight::Stacks,
        Tight::Floor,
        Tight::Trays,
        Tight::Crew,
        Tight::Planter,
    ];
}

/// What is settled about a nursery before its parts are made.
pub struct Outline {
    /// First day of the horizon.
    pub first: Day,
    /// Days of the horizon.
    pub days: i32,
    /// Fields, parts counted one by one.
    pub lots: usize,
    /// Youngest seedlings, in days at 20 °C.
    pub youngest: i32,
    /// Windows of a season begin on this many days after the first of them, at most.
    pub spread: i32,
    /// The first field is early: its seed is in the tank before the first day.
    pub soaked: bool,
    /// The second field stands sown before the first day.
    pub sown: bool,
    /// At least one field comes in parts.
    pub parts: bool,
    /// Some dates are given.
    pub pins: bool,
    /// Sundays are free, and a holiday.
    pub rest: bool,
    /// Names of the planting machines.
    pub planters: Vec<String>,
    /// What there is little of.
    pub tight: BTreeSet<Tight>,
    /// Seasons, if there are any; windows lie inside.
    pub seasons: Vec<Season>,
    /// Days from the first day to the first ordinary window, by season.
    pub starts: Vec<i32>,
    /// How many lines.
    pub lines: usize,
    /// How many places for stacks.
    pub rooms: usize,
    /// Which arrangement of beds, 0 to 3: one; two that take both stages; one for greening and one
    /// for hardening; these two and one that takes both.
    pub beds: i64,
}

impl Outline {
    /// Which season the field at this place in the list belongs to.
    pub fn season_of(&self, at: usize) -> usize {
        let early = (self.soaked && at == 0) || (self.sown && at == 1);
        if early { 0 } else { at % self.starts.len() }
    }

    /// True when there is little of it.
    pub fn is_tight(&self, what: Tight) -> bool {
        self.tight.contains(&what)
    }

    /// Ways through lines, rooms and beds that a lot may take.
    fn ways(&self) -> i64 {
        self.lines as i64 * self.rooms as i64 * [1, 2, 1, 3][self.beds as usize]
    }

    fn day(&self, at: i32) -> Day {
        self.first.plus(at)
    }
}

/// A nursery of 1 to 4 lots and at most 40 days, tight in one or two ledgers, small enough to try all plans.
pub fn tiny(seed: u64) -> Scenario {
    let mut dice = Dice::new(seed);
    let mut tight = BTreeSet::from([Tight::ALL[(seed % 6) as usize]]);
    if dice.chance(40) {
        tight.insert(*dice.pick(&Tight::ALL));
    }
    let mut outline = outline(&mut dice, tight, 25);
    outline.days = 32 + 4 * i32::from(outline.is_tight(Tight::Trays));
    // Fewer lots where each of them may go many ways.
    let pairs_for = |lots: u32| {
        let each = (1..)
            .find(|each: &i64| (each + 1).pow(lots) > MOST_COMBINATIONS)
            .unwrap_or(1);
        (each - 1) / outline.ways()
    };
    let most_lots = (1..=4)
        .rev()
        .find(|lots| pairs_for(*lots) >= 6)
        .unwrap_or(1);
    let least_lots = most_lots.min(if dice.chance(85) { 2 } else { 1 });
    let lots = dice.between(least_lots.into(), most_lots.into()) as u32;
    let pairs = pairs_for(lots).min(MOST_PAIRS);
    let window = dice.between(2, 4);
    let width = (pairs / window).clamp(1, 4);
    outline.lots = lots as usize;
    outline.spread = 3;
    let count = dice.between(1, 2) as usize;
    build(&mut dice, &outline, count, width, window as i32)
}

/// A nursery of 5 to 25 lots in one or two seasons, all features mixed.
pub fn medium(seed: u64) -> Scenario {
    let mut dice = Dice::new(seed ^ 0x6d65_6469_756d);
    let tight = Tight::ALL.into_iter().filter(|_| dice.chance(35)).collect();
    let mut outline = outline(&mut dice, tight, 40);
    outline.lots = dice.between(5, 25) as usize;
    outline.spread = dice.days(3, 12);
    let two = dice.chance(50);
    outline.days = if two { 95 } else { 50 };
    outline.starts = if two { vec![15, 58] } else { vec![15] };
    for (at, start) in outline.starts.iter().enumerate() {
        // What stands sown or soaks on the first day is planted before the ordinary start.
        let first = outline.day(if at == 0 { 0 } else { *start });
        outline.seasons.push(Season {
            id: format!("season-{at}"),
            name: format!("Season {at}"),
            span: DayRange {
                first,
                last: outline.day(start + 34),
            },
        });
    }
    let (count, width, window) = (dice.between(1, 4), dice.between(3, 8), dice.days(3, 8));
    build(&mut dice, &outline, count as usize, width, window)
}

/// The same scenario with its fields in another order: not sorted, as a person writes them.
pub fn shuffle_fields(scenario: &Scenario, seed: u64) -> Scenario {
    let mut other = scenario.clone();
    Dice::new(seed).shuffle(&mut other.fields);
    other
}

/// Features by chance, each in `percent` of a hundred nurseries.
fn outline(dice: &mut Dice, tight: BTreeSet<Tight>, percent: i64) -> Outline {
    let first = Day::from_ymd(2027, 3, 1)
        .expect("a day")
        .plus(dice.days(0, 40));
    let machines = dice.between(i64::from(tight.contains(&Tight::Planter)), 2);
    Outline {
        first,
        days: 0,
        lots: 0,
        youngest: dice.days(6, 7),
        spread: 0,
        soaked: dice.chance(percent),
        sown: dice.chance(percent),
        parts: dice.chance(percent),
        pins: dice.chance(percent),
        rest: dice.chance(40),
        planters: (0..machines).map(|at| format!("planter-{at}")).collect(),
        tight,
        seasons: Vec::new(),
        starts: vec![15],
        lines: if dice.chance(percent) { 2 } else { 1 },
        rooms: if dice.chance(percent) { 2 } else { 1 },
        beds: if dice.chance(percent) {
            dice.between(1, 3)
        } else {
            0
        },
    }
}

/// Orders first, then a nursery that is just large enough, or not quite, for them.
fn build(dice: &mut Dice, outline: &Outline, kinds: usize, width: i64, window: i32) -> Scenario {
    let kinds = orders::kinds(dice, outline, kinds, width);
    let fields = orders::fields(dice, outline, &kinds, window);
    let germination = places::rooms(dice, outline, &fields);
    let beds = places::beds(dice, outline, &fields);
    let opening = opening(dice, outline, &fields, &kinds, &germination, &beds);
    let lines = places::lines(dice, outline, &fields, &kinds);
    let trays = places::trays(
        dice,
        outline,
        &fields,
        &opening,
        &germination,
        lines[0].trial_trays,
    );
    let crews = places::crews(dice, outline, &fields, &lines);
    let pins = pins(dice, outline, &fields, &opening);
    Scenario {
        told: vec![],
        agents: vec![],
        mats_for_sale: Vec::new(),
        travel_groups: vec![],
        sharing: Default::default(),
        edge: Temperature::Outdoors {
            night_plus_c: Fixed(0),
            day_plus_c: Fixed(0),
        },
        not_firm: vec![],
        staff: vec![],
        duty: Duty::default(),
        growers: vec![],
        blocks: vec![],
        seed_stores: vec![],
        soil_stores: vec![],
        water: None,
        tank: None,
        vehicles: vec![],
        format: FORMAT.into(),
        name: "a made-up nursery".into(),
        currency: "talers".into(),
        horizon: DayRange {
            first: outline.first,
            last: outline.day(outline.days - 1),
        },
        weather: weather(dice, outline),
        calendars: calendars(dice, outline),
        seasons: outline.seasons.clone(),
        planters: places::planters(dice, outline, &fields),
        kinds,
        fields,
        lines,
        germination,
        beds,
        trays,
        crews,
        work: places::work(dice),
        prices: Prices {
            plan_moved: Default::default(),
            promise_moved: Default::default(),
            bed_move: Default::default(),
            edge_wait: Default::default(),
            split_run: Default::default(),
            set_up: Fixed::whole(dice.between(0, 30)),
            off_preferred: Fixed(dice.between(0, 5_000)),
            short_per_tray: dice.chance(40).then(|| Fixed::whole(200)),
        },
        opening,
        pins,
    }
}

fn weather(dice: &mut Dice, outline: &Outline) -> Vec<WeatherDay> {
    (-20..outline.days)
        .map(|at| {
            let (mean, half) = (dice.between(1_700, 2_300), dice.between(200, 600));
            WeatherDay {
                date: outline.day(at),
                min_c: Fixed(mean - half),
                max_c: Fixed(mean + half),
            }
        })
        .collect()
}

fn calendars(dice: &mut Dice, outline: &Outline) -> Calendars {
    if !outline.rest {
        return Calendars::default();
    }
    let mut one = |chance| {
        let mut calendar = WorkCalendar::default();
        if dice.chance(chance) {
            calendar.rest_days.insert(Weekday::Sunday);
        }
        if dice.chance(40) {
            let day = outline.day(dice.days(5, outline.days - 1));
            calendar.closed.push(DayRange {
                first: day,
                last: day,
            });
        }
        if dice.chance(25) {
            let day = outline.day(dice.days(0, outline.days - 1));
            calendar.open.push(DayRange {
                first: day,
                last: day,
            });
        }
        calendar
    };
    Calendars {
        line: one(90),
        beds: one(60),
        planting: one(50),
    }
}

fn opening(
    dice: &mut Dice,
    outline: &Outline,
    fields: &[Field],
    kinds: &[Kind],
    rooms: &[Germination],
    beds: &[Bed],
) -> Opening {
    let mut opening = Opening::default();
    if outline.sown && fields.len() > 1 {
        let field = &fields[1];
        let ordered = part_trays(field, 1);
        let (green, harden) = *dice.pick(&bed_paths(beds));
        opening.sown.push(Sown {
            opened: None,
            run: None,
            ahead: Default::default(),
            hardened: None,
            leaving: None,
            field: field.id.clone(),
            part: 1,
            sown: outline.day(-dice.days(1, 3)),
            trays: (ordered + dice.between(-3, 3)).max(1),
            germination: dice.pick(rooms).id.clone(),
            green_bed: beds[green].id.clone(),
            harden_bed: beds[harden].id.clone(),
        });
    }
    if outline.soaked {
        let kind = kinds
            .iter()
            .find(|kind| kind.id == fields[0].kind)
            .expect("a kind");
        let seed = (part_trays(&fields[0], 1) + 5) * kind.seed_g_dry_per_tray.0 * 100;
        opening.soaked.push(Soaked {
            kind: kind.id.clone(),
            kg_dry: Fixed(seed * dice.between(80, 200) / 100 / 1_000),
            soaked: outline.day(-dice.days(1, 2)),
        });
    }
    if outline.is_tight(Tight::Trays) && dice.chance(50) {
        opening.dirty_trays = dice.between(1, 60);
        opening.trays_out.push(TraysOut {
            trays: dice.between(1, 60),
            back: outline.day(dice.days(1, outline.days - 5)),
            grower: None,
            field: None,
            since: None,
            due: None,
        });
    }
    opening
}

/// Dates that are given: inside window and horizon, though other limits may forbid them.
fn pins(dice: &mut Dice, outline: &Outline, fields: &[Field], opening: &Opening) -> Vec<Pin> {
    let mut pins = Vec::new();
    if !outline.pins {
        return pins;
    }
    for field in fields {
        if !dice.chance(35) {
            continue;
        }
        // The last day may be closed; the first never is.
        let planting = field.window[0].first;
        let sown = opening.sown.iter().any(|sown| sown.field == field.id);
        let what = if sown { 1 } else { dice.between(0, 2) };
        let sowing = planting.plus(-outline.youngest - dice.days(1, 2));
        pins.push(Pin {
            field: field.id.clone(),
            part: 1,
            sow: (what != 1).then_some(sowing),
            plant: (what != 0).then_some(planting),
        });
    }
    pins
}
