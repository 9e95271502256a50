//! What the page shows, as plain data: names looked up, amounts in words, days as days.

use crate::calendar::{Day, DayRange};
use crate::disrupt::sweep::Cell;
use crate::report::weeks::CrewWeeks;

/// All that stands on the page.
#[derive(Clone, Debug)]
pub struct Data {
    /// What people call the nursery.
    pub nursery: String,
    /// Number of the plan.
    pub revision: u32,
    /// Days planned.
    pub horizon: DayRange,
    /// The day from which it is seen.
    pub today: Day,
    /// Sheets of the days with work, by day.
    pub sheets: Vec<Sheet>,
    /// The next day with work after tomorrow, when today and tomorrow have none.
    pub next_work: Option<Day>,
    /// Whose mats are too old, too young, too few, or off the best age.
    pub mats: Vec<Mat>,
    /// Parts off the best age beyond those listed.
    pub more_off_best: usize,
    /// Calls to make.
    pub calls: Vec<Call>,
    /// What gets full, in the order of the days.
    pub full: Vec<Full>,
    /// What changed since the plan before; none when that is not kept beside it.
    pub changed: Option<Differences>,
    /// Every lot, by season and sow day.
    pub lots: Vec<Lot>,
    /// Names of the seasons, in the order of `Lot::season`.
    pub seasons: Vec<String>,
    /// Loads against limits.
    pub loads: Vec<Series>,
    /// Stores: what is left.
    pub stocks: Vec<Series>,
    /// What is to be ordered, in words, by day.
    pub orders: Vec<(Day, String)>,
    /// Crews by week.
    pub crews: Vec<CrewWeeks>,
    /// Another plan beside this one.
    pub beside: Option<Differences>,
    /// Rain of every length.
    pub sweep: Vec<Cell>,
    /// Name of the currency.
    pub currency: String,
}

impl Data {
    /// The sheet of a day.
    pub fn sheet(&self, day: Day) -> Option<&Sheet> {
        self.sheets.iter().find(|sheet| sheet.day == day)
    }
}

/// One day's sheet.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The day.
    pub day: Day,
    /// Its parts, in the order of the printed sheet.
    pub parts: Vec<SheetPart>,
}

/// A part of a sheet under one heading.
#[derive(Clone, Debug)]
pub struct SheetPart {
    /// Heading.
    pub title: String,
    /// What cannot wait: it stands first on the first screen.
    pub urgent: bool,
    /// Work by the clock: it belongs on the first screen.
    pub work: bool,
    /// From and to, people, what to do; the first two are empty in lines that only say something.
    pub lines: Vec<[String; 3]>,
}

/// What is wrong with somebody's mats.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wrong {
    /// Fewer trays than ordered.
    TooFew,
    /// Over the oldest age that the kind allows.
    TooOld,
    /// Under its youngest.
    TooYoung,
    /// Within the limits, older than the best age.
    OverBest,
    /// Within the limits, younger than the best age.
    UnderBest,
}

/// Somebody's mats.
#[derive(Clone, Debug)]
pub struct Mat {
    /// What is wrong.
    pub wrong: Wrong,
    /// Whose.
    pub grower: String,
    /// Field and part.
    pub field: String,
    /// Trays.
    pub trays: i64,
    /// When: the planting day, or the last day to decide.
    pub day: Option<Day>,
    /// What else there is to say.
    pub words: String,
}

/// A call to make.
#[derive(Clone, Debug)]
pub struct Call {
    /// When and what about.
    pub about: String,
    /// Whom, and what to say.
    pub words: String,
}

/// Something that gets full.
#[derive(Clone, Debug)]
pub struct Full {
    /// First day on which it is.
    pub day: Day,
    /// In words.
    pub words: String,
}

/// How this plan differs from another one.
#[derive(Clone, Debug)]
pub struct Differences {
    /// From what, in words.
    pub from: String,
    /// Calls that follow, by the day to call by: day, grower, field, trays, what to say.
    pub calls: Vec<(Day, String, String, i64, String)>,
    /// In the nursery: day, work, kind, trays before and now.
    pub days: Vec<(Day, String, String, i64, i64)>,
}

/// One part of one field from seed to planting.
#[derive(Clone, Debug)]
pub struct Lot {
    /// Field and part.
    pub name: String,
    /// Whose.
    pub grower: String,
    /// Name of the kind.
    pub kind: String,
    /// Place in [`Data::seasons`].
    pub season: usize,
    /// Run, line and place in the day's order, in words.
    pub run: String,
    /// Trays that leave.
    pub trays: i64,
    /// Trays sown.
    pub sown: i64,
    /// Soaking begins.
    pub soak: Option<Day>,
    /// Seed is drained.
    pub drain: Option<Day>,
    /// Sown, or handed over as seed.
    pub sow: Day,
    /// Out of the stack; none of seed.
    pub open: Option<Day>,
    /// Hardening begins; none of what leaves before.
    pub harden: Option<Day>,
    /// Leaves the nursery.
    pub leaves: Day,
    /// Planted or handed over.
    pub day: Day,
    /// What happens on that day.
    pub ends: &'static str,
    /// Spans of days on which it may be planted.
    pub window: Vec<DayRange>,
    /// The day that the grower would like best.
    pub preferred: Option<Day>,
    /// The day told to the grower.
    pub promised: Option<Day>,
    /// Where it stands, in order.
    pub places: Vec<String>,
    /// Age in words.
    pub age: String,
    /// What it costs by itself: name and money.
    pub cost: Vec<(&'static str, String)>,
    /// Why it goes as it goes, when that was asked.
    pub why: Option<Why>,
}

/// Why a lot goes as it goes, in words that are ready to be read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Why {
    /// One thing a line: excluded days with their reasons, other ways with their prices.
    pub lines: Vec<String>,
}

/// One thing over days or weeks.
#[derive(Clone, Debug)]
pub struct Series {
    /// What it is.
    pub title: String,
    /// The first day.
    pub first: Day,
    /// Days from one value to the next.
    pub step: i32,
    /// Values, none below 0.
    pub used: Vec<i64>,
    /// Limits, value for value; empty: none.
    pub there: Vec<i64>,
    /// The highest value or limit, in words.
    pub top: String,
    /// What the picture says, in a sentence.
    pub says: String,
    /// The day that it points to.
    pub points_to: Option<Day>,
}
