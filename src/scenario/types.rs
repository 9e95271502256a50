//! The completed scenario: one type per section, every default filled in.
//!
//! What a person writes is smaller (see [`super::read`]): the reader checks it against the table of
//! keys in `scenario::keys`, fills in the defaults and only then decodes it into these types. So the
//! types carry no defaults themselves, and a plan that embeds one is complete. Field names are the
//! keys of the JSON; units stand in the name or in the type.

pub use super::growing::{AgeClock, AgeLimits, Growth, Kind, Method, StackClock, StackNeed};
pub use super::orders::{HandOver, Losses, OrderState, Sharing, TravelGroup};
pub use super::spans::{Casual, CrewSpan, DrySpan, LineSpan, WarmthSpan};
pub use super::staff::{Duty, NightWatch, Person};
pub use super::supplies::{
    AgeLimit, AgentStore, Block, Grower, LineRate, MatsForSale, SeedStore, SoilStore, Tank,
    Treatment, Vehicle, Water,
};
use crate::calendar::{Day, DayRange, WorkCalendar};
use crate::units::{
    Age, Celsius, Fixed, Grams, Hectares, Hours, Millimetres, Minutes, Money, Share, SquareMetres,
    div_up,
};
use serde::{Deserialize, Serialize};

/// The mark that opens every scenario file.
pub const FORMAT: &str = "sowrota-scenario/1";

/// A nursery, its orders and its year, complete.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// Always [`FORMAT`].
    pub format: String,
    /// What people call the nursery.
    pub name: String,
    /// Name of the currency, for printing only.
    pub currency: String,
    /// First and last day planned, both included: soaking starts and planting ends inside it.
    pub horizon: DayRange,
    /// Outdoor temperatures by day, sorted, without gaps; may be empty when no clock needs it.
    pub weather: Vec<WeatherDay>,
    /// Working days by kind of work.
    pub calendars: Calendars,
    /// Seasons, for windows and reports.
    pub seasons: Vec<Season>,
    /// What the line must be set up for.
    pub kinds: Vec<Kind>,
    /// Orders: fields to be planted; sorted by `id`.
    pub fields: Vec<Field>,
    /// Sowing lines.
    pub lines: Vec<Line>,
    /// Places for stacks.
    pub germination: Vec<Germination>,
    /// Floor for greening and hardening.
    pub beds: Vec<Bed>,
    /// The tray stock.
    pub trays: Trays,
    /// People.
    pub crews: Vec<Crew>,
    /// What each task takes.
    pub work: Work,
    /// Planting machines.
    pub planters: Vec<Planter>,
    /// Prices that belong to nothing else.
    pub prices: Prices,
    /// What stands, soaks and is away on the first day.
    pub opening: Opening,
    /// Dates that are not to be chosen.
    pub pins: Vec<Pin>,
    /// Planting days that were told or planned before.
    #[serde(default)]
    pub told: Vec<Told>,
    /// Growers whose trays come back in a way of their own.
    #[serde(default)]
    pub growers: Vec<Grower>,
    /// Irrigation blocks: their fields follow the water.
    #[serde(default)]
    pub blocks: Vec<Block>,
    /// Dry seed in store, by kind; a kind without a store is not limited.
    #[serde(default)]
    pub seed_stores: Vec<SeedStore>,
    /// Soil in store, by mix.
    #[serde(default)]
    pub soil_stores: Vec<SoilStore>,
    /// Water for the line and the beds; none: not limited.
    #[serde(default)]
    pub water: Option<Water>,
    /// The soaking tank; none: not limited.
    #[serde(default)]
    pub tank: Option<Tank>,
    /// Vehicles; none at all: loads are not limited.
    #[serde(default)]
    pub vehicles: Vec<Vehicle>,
    /// Agents for treating seed, in store; an agent without a store is not limited.
    #[serde(default)]
    pub agents: Vec<AgentStore>,
    /// Mats that others sell; no plan counts on them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mats_for_sale: Vec<MatsForSale>,
    /// Groups of fields that one round trip serves; none: vehicles are limited by their trips a day.
    #[serde(default)]
    pub travel_groups: Vec<TravelGroup>,
    /// How a shortage is shared among growers.
    #[serde(default)]
    pub sharing: Sharing,
    /// Warmth at the edge of a field, where trays wait to be planted.
    #[serde(default = "usual_edge")]
    pub edge: Temperature,
    /// Order lines that are not firm: nothing is grown for them.
    #[serde(default)]
    pub not_firm: Vec<Field>,
    /// The people by name, for the roster; a plan does not depend on them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub staff: Vec<Person>,
    /// What limits their duties.
    #[serde(default, skip_serializing_if = "Duty::is_usual")]
    pub duty: Duty,
}

/// Outdoor lowest and highest temperature of one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WeatherDay {
    /// The day.
    pub date: Day,
    /// Lowest, °C.
    pub min_c: Celsius,
    /// Highest, °C.
    pub max_c: Celsius,
}

/// Working days by kind of work.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calendars {
    /// Sowing.
    pub line: WorkCalendar,
    /// Soaking, draining, opening stacks, greening, covers, collecting and washing trays.
    pub beds: WorkCalendar,
    /// Loading and planting.
    pub planting: WorkCalendar,
}

/// Which of the three calendars.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum CalendarName {
    /// [`Calendars::line`].
    Line,
    /// [`Calendars::beds`].
    Beds,
    /// [`Calendars::planting`].
    Planting,
}

impl Calendars {
    /// The calendar of that name.
    pub fn get(&self, name: CalendarName) -> &WorkCalendar {
        match name {
            CalendarName::Line => &self.line,
            CalendarName::Beds => &self.beds,
            CalendarName::Planting => &self.planting,
        }
    }
}

/// A set of windows with its own kinds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Season {
    /// Short name.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// All its planting windows lie inside.
    pub span: DayRange,
}

/// An order: one field to be planted in one season.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Field {
    /// Short name, unique.
    pub id: String,
    /// Whose field.
    pub grower: String,
    /// Area, ha.
    pub area_ha: Hectares,
    /// Which kind.
    pub kind: String,
    /// Which season, if seasons are used.
    pub season: Option<String>,
    /// Days on which it may be planted.
    pub window: Vec<DayRange>,
    /// The day the grower would like best.
    pub preferred: Option<Day>,
    /// Trays a hectare.
    pub mats: MatsPerHectare,
    /// The grower's margin, as a share of the trays.
    pub reserve: Share,
    /// Grown and delivered in this many equal parts, each with dates of its own.
    pub parts: u32,
    /// Planting machine; none: the grower plants, without a limit of ours.
    pub planter: Option<String>,
    /// Days inside the window on which it cannot be planted.
    pub closed: Vec<DayRange>,
    /// Irrigation block whose water it waits for.
    #[serde(default)]
    pub block: Option<String>,
    /// Day on which the crop before it is off the field.
    #[serde(default)]
    pub harvest_before: Option<Day>,
    /// Planted at the earliest so many days after that.
    #[serde(default)]
    pub harvest_first_days: i32,
    /// Planted at the latest so many days after that; none: no latest day follows from it.
    #[serde(default)]
    pub harvest_last_days: Option<i32>,
    /// False while the field cannot be planted, whatever the calendar says.
    #[serde(default = "yes")]
    pub ready: bool,
    /// The grower fetches the trays: no vehicle of ours, no loading.
    #[serde(default)]
    pub collected: bool,
    /// Mats are lifted out and leave without their trays.
    #[serde(default)]
    pub lifted: bool,
    /// Trays ordered, when the order counts trays: no margin is added.
    #[serde(default)]
    pub trays: Option<i64>,
    /// Whether the order counts.
    #[serde(default)]
    pub state: OrderState,
    /// Day of the order.
    #[serde(default)]
    pub ordered: Option<Day>,
    /// What is handed over.
    #[serde(default)]
    pub stage: HandOver,
    /// Trays may wait at the field's edge for so many days before they are planted.
    #[serde(default)]
    pub edge_days: i32,
    /// Which round trip brings trays there.
    #[serde(default)]
    pub travel_group: Option<String>,
    /// True of trays that are grown for no field: the pooled spare of a kind.
    #[serde(default)]
    pub spare: bool,
}

/// Trays a hectare: given, or from spacing and picks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum MatsPerHectare {
    /// Trays per hectare.
    Given(Fixed<2>),
    /// From the planting machine's setting; mat 580 mm along the feed.
    Spacing {
        /// Between rows, cm.
        row_cm: Fixed<1>,
        /// Between hills in the row, cm.
        hill_cm: Fixed<1>,
        /// Picks across the mat.
        picks: u32,
        /// Lengthways feed, mm.
        feed_mm: Millimetres,
    },
}

/// A sowing line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// Short name.
    pub id: String,
    /// Local name.
    pub name: String,
    /// Rate the line is set to, trays/h.
    pub set_trays_per_h: Fixed<1>,
    /// Share of the shift that it really runs.
    pub share_run: Share,
    /// Hours a day that the line may be worked, set-ups included.
    pub hours_per_day: Hours,
    /// Set-up of the day's first run, min.
    pub first_set_up_minutes: Minutes,
    /// Set-up between two runs, min.
    pub set_up_minutes: Minutes,
    /// Set-ups that differ from the above.
    pub set_up_pairs: Vec<SetUpPair>,
    /// Trays sown to weigh the seed at the start of each run; they count for no field.
    pub trial_trays: i64,
    /// Kinds that run at another rate.
    #[serde(default)]
    pub rates: Vec<LineRate>,
    /// Dry seed that stays in the hopper after each run, g.
    #[serde(default)]
    pub hopper_g_dry: Grams,
    /// Days with other hours.
    #[serde(default)]
    pub spans: Vec<LineSpan>,
}

/// A set-up that depends on what ran before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetUpPair {
    /// Kind before.
    pub from: String,
    /// Kind after.
    pub to: String,
    /// Minutes between.
    pub minutes: Minutes,
    /// First trays of the run after, thrown out: soil and seed of both kinds are in them.
    #[serde(default)]
    pub throw_out_trays: i64,
    /// The one never follows the other on one day.
    #[serde(default)]
    pub never: bool,
}

/// A place where stacks stand while the seed comes up.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Germination {
    /// Short name.
    pub id: String,
    /// Local name.
    pub name: String,
    /// How many stacks fit.
    pub stack_places: i64,
    /// Sown trays in a full stack.
    pub height: i64,
    /// Empty trays on top of each stack, from the tray stock.
    pub lid_trays: i64,
    /// Empty trays under each stack, from the tray stock.
    pub base_trays: i64,
    /// Warmth.
    pub temperature: Temperature,
    /// A ready stack may wait this many days, when nobody works on the day it is ready.
    pub longest_wait_days: i32,
    /// Days on which it is held at another warmth.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub spans: Vec<WarmthSpan>,
}

/// How warm a place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Temperature {
    /// Held day and night at this, °C.
    Own(Celsius),
    /// Outdoors plus this at night (on the lowest) and by day (on the highest), °C.
    Outdoors {
        /// Added to the day's lowest.
        night_plus_c: Celsius,
        /// Added to the day's highest.
        day_plus_c: Celsius,
    },
}

/// Stage of a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Under the first cover, from the stack.
    Green,
    /// Until planting.
    Harden,
}

/// Floor where trays stand after the stack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bed {
    /// Short name.
    pub id: String,
    /// Local name.
    pub name: String,
    /// Floor, m².
    pub area_m2: SquareMetres,
    /// Trays on a square metre, ditches and gaps counted.
    pub trays_per_m2: Fixed<2>,
    /// Stages that it takes. Trays in a bed that takes both stay where they are.
    pub stages: Vec<Stage>,
    /// Days to clear and level the floor after trays have left, before others take it.
    #[serde(default)]
    pub turn_round_days: i32,
    /// The bed is laid in rows with one open end, of so many trays each; none: trays are reached from all sides.
    #[serde(default)]
    pub row_trays: Option<i64>,
    /// Days on which no tray stands in it: rest, disinfecting, another crop.
    #[serde(default)]
    pub closed: Vec<DayRange>,
    /// Warmth.
    pub temperature: Temperature,
}

impl Bed {
    /// Tray places on that day.
    pub fn trays_on(&self, day: Day) -> i64 {
        if self.closed.iter().any(|closed| closed.contains(day)) {
            0
        } else {
            self.trays()
        }
    }

    /// Whole trays that the floor takes, rounded down; in whole rows where there are rows.
    pub fn trays(&self) -> i64 {
        let floor = self.area_m2.0 * self.trays_per_m2.0 / 10_000;
        self.row_trays
            .map_or(floor, |row| floor / row.max(1) * row.max(1))
    }

    /// Tray places that `trays` trays of one part take: whole rows where there are rows.
    pub fn places_for(&self, trays: i64) -> i64 {
        self.row_trays
            .map_or(trays, |row| div_up(trays, row.max(1)) * row.max(1))
    }
}

/// The tray stock.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trays {
    /// Trays owned.
    pub stock: i64,
    /// Days from planting to the empty trays being back.
    pub return_days: i32,
    /// Share of the trays sent out that never comes back whole; whole trays, rounded up by delivery.
    pub loss: Share,
    /// Washing rate, trays/h.
    pub wash_trays_per_h: i64,
    /// Hours a day that the washer may run, on days on which beds are worked.
    pub wash_hours_per_day: Hours,
    /// Washed trays can be sown this many days later.
    pub dry_days: i32,
    /// Days of washing after which trays rest for longer or shorter: disinfecting.
    #[serde(default)]
    pub dry_spans: Vec<DrySpan>,
    /// A tray with seedlings as it is loaded, kg.
    #[serde(default = "usual_load")]
    pub loaded_kg: Fixed<2>,
}

impl Trays {
    /// Most trays washed in a day, rounded down.
    pub fn washed_per_day(&self) -> i64 {
        self.wash_trays_per_h * self.wash_hours_per_day.0 / 100
    }
}

/// People who work together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Crew {
    /// Short name.
    pub id: String,
    /// Local name.
    pub name: String,
    /// People on a working day.
    pub people: i64,
    /// Whose working days they keep.
    pub calendar: CalendarName,
    /// Start of the shift, minutes after midnight.
    pub shift_start_minute: i64,
    /// Hours of the shift, breaks not counted.
    pub shift_hours: Hours,
    /// Most overtime a person and working day, h.
    pub overtime_hours: Hours,
    /// Price of an hour of overtime.
    pub overtime_price_per_h: Money,
    /// People who can be called in on a day off.
    pub rest_day_people: i64,
    /// Price of an hour on a day off.
    pub rest_day_price_per_h: Money,
    /// Days with other people or another shift.
    #[serde(default)]
    pub spans: Vec<CrewSpan>,
    /// People who can be hired by the week beside them; none: nobody.
    #[serde(default)]
    pub casual: Option<Casual>,
    /// Most hours a person and ISO week, overtime included; none: no limit but the day's.
    #[serde(default)]
    pub week_hours_most: Option<Hours>,
}

/// What a task is counted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Per {
    /// 100 trays.
    #[serde(rename = "100_trays")]
    HundredTrays,
    /// Square metre of bed floor.
    #[serde(rename = "m2")]
    SquareMetre,
    /// Kilogram of dry seed.
    #[serde(rename = "kg")]
    Kilogram,
    /// Hectare of field.
    #[serde(rename = "ha")]
    Hectare,
}

/// A task done by a fixed team for as long as the line needs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TeamTask {
    /// Crew that does it.
    pub crew: String,
    /// People needed at once.
    pub team: i64,
}

/// A task counted in person-minutes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PieceTask {
    /// Crew that does it.
    pub crew: String,
    /// Person-minutes for each unit of `per`.
    pub person_minutes: Minutes,
    /// What is counted.
    pub per: Per,
}

/// What each task takes, by the task's name; a task left out takes nobody's time.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)]
pub struct Work {
    /// Team while the line is set up (trial sowing counts as sowing).
    pub set_up: Option<TeamTask>,
    /// Team while the line runs.
    pub sow: Option<TeamTask>,
    pub soak: Option<PieceTask>,
    pub drain: Option<PieceTask>,
    pub stack: Option<PieceTask>,
    pub unstack: Option<PieceTask>,
    pub green: Option<PieceTask>,
    pub harden: Option<PieceTask>,
    pub load: Option<PieceTask>,
    pub plant: Option<PieceTask>,
    pub collect: Option<PieceTask>,
    pub wash: Option<PieceTask>,
    /// Daily care of occupied beds, rest days too.
    pub care: Option<PieceTask>,
}

/// Whose planting machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Whose {
    /// Ours: planting is our crew's work.
    Nursery,
    /// A grower's or a shared one: it limits hectares, not our people.
    Grower,
}

/// A planting machine.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Planter {
    /// Short name.
    pub id: String,
    /// Local name.
    pub name: String,
    /// Most hectares a day.
    pub ha_per_day: Hectares,
    /// Hours in which it plants them.
    #[serde(default = "usual_hours")]
    pub hours_per_day: Hours,
    /// Time to bring it to each field part, min.
    #[serde(default)]
    pub move_minutes: Minutes,
    /// Whose.
    pub whose: Whose,
}

/// Prices that belong to nothing else.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// Each set-up of a line: seed and soil left over, wear.
    pub set_up: Money,
    /// Money per 100 trays and day off the preferred day.
    pub off_preferred: Money,
    /// Money per 100 trays moved from one bed to another.
    #[serde(default)]
    pub bed_move: Money,
    /// Money per 100 trays and day of waiting at a field's edge.
    #[serde(default)]
    pub edge_wait: Money,
    /// Each run beyond the first that the parts of one field come from.
    #[serde(default)]
    pub split_run: Money,
    /// A tray not grown; none: ten times the dearest option of any lot.
    pub short_per_tray: Option<Money>,
    /// Each part planted on another day than was promised.
    #[serde(default)]
    pub promise_moved: Money,
    /// Each part planted on another day than was planned and not yet promised.
    #[serde(default)]
    pub plan_moved: Money,
}

/// What stands, soaks and is away when the first day begins.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// Trays sown before the first day, each batch for one part of one field.
    pub sown: Vec<Sown>,
    /// Seed put to soak before the first day.
    pub soaked: Vec<Soaked>,
    /// Trays at home, not yet washed.
    pub dirty_trays: i64,
    /// Trays away that come back on a known day.
    pub trays_out: Vec<TraysOut>,
    /// Parts of fields of which more is known than the order says.
    #[serde(default)]
    pub parts: Vec<PartKnown>,
    /// Trays that were washed and are not dry yet.
    #[serde(default)]
    pub drying: Vec<Drying>,
}

/// Washed trays that dry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drying {
    /// How many.
    pub trays: i64,
    /// Day on whose morning they are clean.
    pub clean: Day,
}

impl Opening {
    /// Index of the first batch that was sown in the same run: with the same label on the same day, and still closed or opened on the same
    /// day. A batch without a label is a run of its own.
    pub fn run_of(&self, batch: usize) -> usize {
        let own = &self.sown[batch];
        let days = |one: &Sown| (one.sown, one.opened);
        let same = |one: &Sown| one.run.is_some() && one.run == own.run && days(one) == days(own);
        self.sown.iter().position(same).unwrap_or(batch)
    }
}

/// What is known of a part on the first day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartKnown {
    /// Which field.
    pub field: String,
    /// Which part, from 1.
    pub part: u32,
    /// Trays that are still to leave for it; 0: it has been served.
    pub trays: i64,
}

/// A day that was told or planned for a part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Told {
    /// Which field.
    pub field: String,
    /// Which part, from 1.
    pub part: u32,
    /// The day.
    pub day: Day,
    /// True when the grower was told.
    pub promised: bool,
}

/// Trays that already grow.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sown {
    /// For which field.
    pub field: String,
    /// For which of its parts, from 1.
    pub part: u32,
    /// Sow day, before the horizon.
    pub sown: Day,
    /// Sown trays.
    pub trays: i64,
    /// Where they were stacked.
    pub germination: String,
    /// Where they green.
    pub green_bed: String,
    /// Where they harden (the same bed when it takes both stages).
    pub harden_bed: String,
    /// The run that they were sown in, as it is written on the stacks.
    #[serde(default)]
    pub run: Option<String>,
    /// Day on which their stack was opened, before the horizon; none: it is still closed, or was opened when it was due.
    #[serde(default)]
    pub opened: Option<Day>,
    /// Day from which they harden, before the horizon; none: they are under the first cover, or hardened when it was due.
    #[serde(default)]
    pub hardened: Option<Day>,
    /// Trays of them that can still leave, when they were counted; none: by the losses of the kind.
    #[serde(default)]
    pub leaving: Option<i64>,
    /// How far they are ahead of the age that follows from the temperatures, on the clock of the kind; less than nothing: behind.
    #[serde(default)]
    pub ahead: Age,
}

/// Seed in the tank.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Soaked {
    /// Kind.
    pub kind: String,
    /// Dry weight, kg.
    pub kg_dry: Fixed<3>,
    /// Day on which soaking began.
    pub soaked: Day,
}

/// Trays that are away.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TraysOut {
    /// How many.
    pub trays: i64,
    /// Day on which they are back, to be washed.
    pub back: Day,
    /// Who has them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grower: Option<String>,
    /// The field that they went to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
    /// Day on which they left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub since: Option<Day>,
    /// Day on which they were due, when they come later than that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due: Option<Day>,
}

/// A date that is not to be chosen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pin {
    /// Which field.
    pub field: String,
    /// Which part, from 1.
    pub part: u32,
    /// Sow on this day.
    pub sow: Option<Day>,
    /// Plant on this day.
    pub plant: Option<Day>,
}

fn yes() -> bool {
    true
}

fn usual_load() -> Fixed<2> {
    Fixed(750)
}

fn usual_hours() -> Hours {
    Hours::whole(10)
}

fn usual_edge() -> Temperature {
    Temperature::Outdoors {
        night_plus_c: Fixed::whole(0),
        day_plus_c: Fixed::whole(0),
    }
}
