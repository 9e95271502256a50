//! Made-up kinds and orders: the demand side of a generated nursery.

use super::dice::Dice;
use super::generate::{Outline, Tight};
use sowrota::calendar::{Day, DayRange};
use sowrota::scenario::{
    AgeClock, AgeLimits, Field, Growth, Kind, MatsPerHectare, Method, StackClock, StackNeed,
};
use sowrota::units::{Fixed, div_up};

/// Slowest day on each clock at the generator's temperatures (means of 17 to 23 °C outdoors), in
/// hundredths: a day, a leaf at 100 °C·d, °C·d above 10 °C.
pub const SLOWEST: [i64; 3] = [100, 17, 700];

/// Trays ordered for a whole field, parts together, by `docs/COUNTING.md`.
pub fn ordered_trays(field: &Field) -> i64 {
    if let Some(trays) = field.trays {
        return trays;
    }
    let (above, below) = match field.mats {
        MatsPerHectare::Given(mats) => (i128::from(mats.0), 100),
        MatsPerHectare::Spacing {
            row_cm,
            hill_cm,
            picks,
            feed_mm,
        } => (
            10i128.pow(10) * i128::from(feed_mm.0),
            i128::from(row_cm.0 * hill_cm.0) * 100 * 580 * i128::from(picks),
        ),
    };
    let above = i128::from(field.area_ha.0) * above * (1_000_000 + i128::from(field.reserve.0));
    let below = below * 10_000 * 1_000_000;
    i64::try_from((above + below - 1) / below).expect("generated fields are small")
}

/// Trays of part `part` (from 1) of a field.
pub fn part_trays(field: &Field, part: u32) -> i64 {
    let (all, parts, part) = (
        ordered_trays(field),
        i64::from(field.parts),
        i64::from(part),
    );
    all * part / parts - all * (part - 1) / parts
}

/// The kinds of a nursery; `widths[i]` ages in days are allowed of kind `i`.
pub fn kinds(dice: &mut Dice, outline: &Outline, count: usize, width: i64) -> Vec<Kind> {
    (0..count)
        .map(|at| kind(dice, outline, at, width))
        .collect()
}

fn kind(dice: &mut Dice, outline: &Outline, at: usize, width: i64) -> Kind {
    let clocks = [
        AgeClock::Days,
        AgeClock::Days,
        AgeClock::Leaves,
        AgeClock::Thermal,
    ];
    let clock = *dice.pick(&clocks);
    let step = SLOWEST[clock as usize];
    // About `outline.youngest` days at an ordinary 20 °C; the warm room adds a little.
    let ordinary = [100, 20, 1_000][clock as usize];
    let youngest = ordinary * i64::from(outline.youngest + dice.days(0, 1));
    let oldest = youngest + step * (width - 1);
    let target = dice.between(youngest, oldest);
    let thermal_stack = clock != AgeClock::Days && dice.chance(40);
    let mut methods = vec![
        Method::HourlySine,
        Method::DailyMean1,
        Method::DailyMean2,
        Method::DailyMean3,
        Method::SingleSine,
    ];
    if clock == AgeClock::Days {
        methods.push(Method::Days);
    }
    Kind {
        losses: Default::default(),
        spare_share: Fixed(0),
        least_run_trays: 0,
        last_of_day: false,
        treatment: None,
        care_times: Fixed(100),
        in_its_place: Vec::new(),
        limits: vec![],
        bag_kg: None,
        bed_soil: None,
        cover_soil: None,
        id: format!("kind-{at}"),
        name: format!("Kind {at}"),
        seed_g_dry_per_tray: Fixed(dice.between(900, 1_800)),
        wet_ratio: Fixed(1_250),
        bed_soil_mm: Fixed(2_000),
        cover_soil_mm: Fixed(700),
        water_l_per_tray: Fixed(120),
        soak_degree_days: Fixed(dice.between(300, 600)),
        soak_water_c: Fixed(*dice.pick(&[1_500, 2_000, 2_500])),
        sprout_days: 1,
        hold_days: dice.days(0, 2),
        drain_wait_days: 1,
        stack: match thermal_stack {
            true => StackNeed {
                clock: StackClock::Thermal,
                need: Fixed(dice.between(180, 300)),
            },
            false => StackNeed {
                clock: StackClock::Days,
                need: Fixed(dice.between(1, 3) * 10),
            },
        },
        greening_days: dice.days(0, 2),
        greening_wait_days: 1,
        age: AgeLimits {
            clock,
            youngest: Fixed(youngest),
            target: Fixed(target),
            oldest: Fixed(oldest),
        },
        growth: Growth {
            method: *dice.pick(&methods),
            base_c: Fixed(1_000),
            upper_c: Fixed(3_200),
            ceiling_c: Fixed(4_300),
            phyllochron_cd: Fixed(1_000),
        },
        // So that a day off the target costs about as much on any clock.
        cost_younger: Fixed(dice.between(2, 20) * 1_000 * 100 / ordinary),
        cost_older: Fixed(dice.between(2, 30) * 1_000 * 100 / ordinary),
    }
}

/// The fields of a nursery, sorted by name, with windows of about `window` days in its seasons.
pub fn fields(dice: &mut Dice, outline: &Outline, kinds: &[Kind], window: i32) -> Vec<Field> {
    let mut fields = Vec::new();
    let mut left = outline.lots;
    while left > 0 {
        let at = fields.len();
        let parts = if left > 1 && outline.parts && (at == 0 || dice.chance(20)) {
            2
        } else {
            1
        };
        left -= parts;
        fields.push(field(dice, outline, kinds, at, parts, window));
    }
    fields
}

fn field(
    dice: &mut Dice,
    outline: &Outline,
    kinds: &[Kind],
    at: usize,
    parts: usize,
    window: i32,
) -> Field {
    let season = outline.season_of(at);
    // With few trays the later fields wait for those of the earlier ones.
    let late = if outline.is_tight(Tight::Trays) && at % 2 == 1 {
        13
    } else {
        0
    };
    let begin = match at {
        // Seed from the tank can be sown on day 1 or 2; what stands sown is 1 to 3 days old.
        0 if outline.soaked => outline.youngest + dice.days(2, 4),
        1 if outline.sown => outline.youngest - dice.days(0, 2),
        _ => outline.starts[season] + late + dice.days(0, outline.spread),
    };
    let start = outline.first.plus(begin);
    let last = start.plus(window - 1);
    let days = split_window(dice, start, last);
    let preferred = dice.chance(60).then(|| days[0].first);
    let closed = match dice.chance(15) && window > 2 {
        true => vec![DayRange { first: last, last }],
        false => Vec::new(),
    };
    let planter = (!outline.planters.is_empty()
        && (outline.is_tight(Tight::Planter) || dice.chance(60)))
    .then(|| dice.pick(&outline.planters).clone());
    Field {
        trays: None,
        state: Default::default(),
        ordered: None,
        stage: Default::default(),
        edge_days: 0,
        travel_group: None,
        spare: false,
        block: None,
        harvest_before: None,
        harvest_first_days: 0,
        harvest_last_days: None,
        ready: true,
        collected: false,
        lifted: false,
        id: format!("field-{at:02}"),
        grower: dice.pick(&["Orsa", "Tembel", "Garlo", "Wenna"]).to_string(),
        area_ha: Fixed(dice.between(30, 120) * 50 * parts as i64),
        kind: dice.pick(kinds).id.clone(),
        season: (!outline.seasons.is_empty()).then(|| format!("season-{season}")),
        window: days,
        preferred,
        mats: match dice.chance(75) {
            true => MatsPerHectare::Given(Fixed(dice.between(15_000, 25_000))),
            false => MatsPerHectare::Spacing {
                row_cm: Fixed(300),
                hill_cm: Fixed(dice.between(140, 220)),
                picks: dice.between(18, 26) as u32,
                feed_mm: Fixed(dice.between(800, 1_300)),
            },
        },
        reserve: Fixed(dice.between(0, 10) * 10_000),
        parts: parts as u32,
        planter,
        closed,
    }
}

/// The window, or now and then two with a gap between.
fn split_window(dice: &mut Dice, first: Day, last: Day) -> Vec<DayRange> {
    let days = last.since(first) + 1;
    if days < 4 || !dice.chance(20) {
        return vec![DayRange { first, last }];
    }
    let gap = first.plus(dice.days(1, days - 2));
    vec![
        DayRange {
            first,
            last: gap.plus(-1),
        },
        DayRange {
            first: gap.plus(1),
            last,
        },
    ]
}

/// Ages, in days, that a kind allows at most at the generator's temperatures.
pub fn most_ages(kind: &Kind) -> i64 {
    let width = kind.age.oldest.0 - kind.age.youngest.0;
    div_up(width + 1, SLOWEST[kind.age.clock as usize])
}
