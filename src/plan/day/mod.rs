//! One day of a plan by the clock: who does what, when, where and with how much.
//!
//! [`day_plan`] takes the tasks of the day from the task graph, works out the quantities as people
//! handle them, and gives each its people and its time inside the shift of its crew. What does not
//! fit in the shift is said, not hidden. The result is plain data; [`crate::report::day`] prints it.

mod around;
mod clock;
mod jobs;
mod quantities;

use super::tasks::{TaskGraph, Verb, Why};
use crate::calendar::{Day, Weekday};
use crate::scenario::{HandOver, WeatherDay};
use crate::units::{Fixed, Hectares};
pub use around::FROST;
use serde::Serialize;

pub use crate::quantities::Stacked;
pub use quantities::{Soil, WetGrams};

/// One day of work.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayPlan {
    /// What people call the nursery.
    pub nursery: String,
    /// The day.
    pub day: Day,
    /// Its day of the week.
    pub weekday: Weekday,
    /// Number of the plan.
    pub revision: u32,
    /// Number of the plan that it replaces.
    pub replaces: Option<u32>,
    /// Outdoor temperatures that the plan counts on, when it has any.
    pub weather: Option<WeatherDay>,
    /// What cannot be put off, at most five.
    pub cannot_wait: Vec<CannotWait>,
    /// How many more there are.
    pub more_cannot_wait: usize,
    /// What to look at before anything else.
    pub looks: Vec<Look>,
    /// What to decide before the first tray is loaded; none on a day without loading.
    pub before_loading: Option<BeforeLoading>,
    /// Crews with work today, in the scenario's order.
    pub crews: Vec<CrewDay>,
    /// Work that takes nobody's counted time.
    pub uncounted: Vec<Job>,
    /// Work that does not fit.
    pub misfits: Vec<Misfit>,
    /// Tasks of today whose planned day breaks a lag or a calendar, in words.
    pub breaches: Vec<String>,
    /// What the night needs; none without stacks and seedlings.
    pub night: Option<Night>,
    /// The next day, inside the horizon, on which the plan has a task.
    pub next_work: Option<Day>,
    /// What tomorrow needs.
    pub tomorrow: Tomorrow,
    /// Sums over the day.
    pub totals: Totals,
}

impl DayPlan {
    /// Every job, crew by crew, then the uncounted ones.
    pub fn jobs(&self) -> impl Iterator<Item = &Job> {
        self.crews
            .iter()
            .flat_map(|crew| &crew.jobs)
            .chain(&self.uncounted)
    }

    /// True when all there is to do is to look after what stands: daily care, changes of water, looks.
    pub fn is_care_only(&self) -> bool {
        let care = |job: &Job| matches!(job.work, Work::Care | Work::ChangeWater);
        !self.is_idle() && self.jobs().all(care)
    }

    /// True when nobody has anything to do, care and looks included.
    pub fn is_idle(&self) -> bool {
        self.jobs().next().is_none()
            && self
                .looks
                .iter()
                .all(|look| matches!(look, Look::TestButton))
    }
}

/// A task that would break a limit on its next working day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CannotWait {
    /// Task.
    pub task: String,
    /// What is done.
    pub verb: Verb,
    /// Name of the kind.
    pub kind: String,
    /// Grower and field, when it is about one.
    pub field: Option<String>,
    /// Trays.
    pub trays: i64,
    /// Which limit.
    pub why: Why,
}

/// What to look at first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "what", rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Look {
    /// Warmth and sprouts of the stacks of one run.
    Stacks {
        place: String,
        run: String,
        kind: String,
        stacks: i64,
        days_since_sown: i32,
        open: Day,
    },
    /// Last night's low and the high of yesterday in a house or yard with trays, and the rows that they stand in.
    House { place: String, rows: Vec<u32> },
    /// Trays that wait at the edge of a field until they are planted.
    Edge {
        field: String,
        grower: String,
        trays: i64,
        until: Day,
    },
    /// Lids of the tanks in which seed soaks.
    TankLids { kinds: Vec<String> },
    /// Test button of the earth-leakage switch, before a line or washer starts.
    TestButton,
}

/// What to decide before the first tray is loaded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BeforeLoading {
    /// Highest temperature that the plan counts on.
    pub high_c: Option<crate::units::Celsius>,
    /// At or under 15 °C: not a day to plant.
    pub too_cold: bool,
    /// Trays that would be planted today; 0 when what leaves is planted later or by others.
    pub trays: i64,
    /// Growers to whom the day was not told, with their fields.
    pub not_told: Vec<String>,
    /// True when it was told to none of today's growers.
    pub nobody_told: bool,
}

/// The night that follows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Night {
    /// Houses, yards and germination places with trays in them.
    pub places: Vec<String>,
    /// Lowest outdoor temperature that the plan counts on, that of the next day.
    pub low_c: Option<crate::units::Celsius>,
    /// At or under 5 °C: close and cover.
    pub cold: bool,
}

/// What is done, in the order of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Work {
    Care,
    Load,
    HandOver,
    Plant,
    Unstack,
    Green,
    SetUp,
    Trial,
    Sow,
    Stack,
    TraysBack,
    Collect,
    Wash,
    Soak,
    Drain,
    ChangeWater,
    Harden,
    Spare,
}

/// Agent for a batch of seed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Dose {
    /// Local name of the agent.
    pub agent: String,
    /// For the whole batch, mL.
    pub ml: i64,
}

/// Whole bags of seed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Bags {
    /// How many.
    pub count: i64,
    /// Dry weight of each, kg.
    pub kg: Fixed<3>,
}

/// Empty trays of a delivery that come back by and by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Due {
    /// Back by the end of the day.
    pub by_now: i64,
    /// Back in the end.
    pub in_all: i64,
}

/// Seed of one kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SeedKg {
    /// Dry, kg.
    pub dry: Fixed<3>,
    /// Sprouted and surface-dry, kg.
    pub wet: Fixed<3>,
}

/// Soaked seed for which there is no tray.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SeedLeft {
    /// How much.
    pub seed: SeedKg,
    /// It is treated: only its label says what may become of it.
    pub treated: bool,
}

/// When trays come to the field in which they are planted today.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TraysCome {
    /// Half the round trip after they are loaded, minutes after midnight.
    About(i64),
    /// Nothing is known of the way.
    Unknown,
}

/// The field that trays go to or come from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Party {
    /// Field, and its part when it has several.
    pub field: String,
    /// Whose.
    pub grower: String,
    /// Area of the part.
    pub area_ha: Hectares,
    /// Days since sowing.
    pub age_days: i32,
    /// The day was told to the grower.
    pub told: bool,
    /// What the grower is given.
    pub stage: HandOver,
    /// The grower fetches it.
    pub collected: bool,
    /// Mats leave without their trays.
    pub lifted: bool,
    /// They wait at the edge of the field and are planted on this day.
    pub waits_until: Option<Day>,
    /// Round trip that brings it, on a day with several.
    pub travel_group: Option<String>,
}

/// A run on the line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Sowing {
    /// Which run of the day on its line, from 1.
    pub order: usize,
    /// How many there are.
    pub of: usize,
    /// Minutes on the line, set-up and trial included, rounded up.
    pub line_minutes: i64,
    /// Trial trays before it.
    pub trial_trays: i64,
    /// First trays of it that are thrown out.
    pub thrown_trays: i64,
    /// Name of the kind that ran before it on the line on that day.
    pub after: Option<String>,
    /// Nothing may follow it on the line on that day.
    pub last_of_day: bool,
    /// Dry seed that stays in the hopper, g.
    pub hopper_left_g: i64,
    /// Where its stacks go.
    pub places: Vec<SownPlace>,
    /// Seed for the hopper: of all trays, trial trays and those thrown out too, and what stays in it.
    pub seed: SeedKg,
    /// Grams on a tray.
    pub grams: WetGrams,
    /// Soil and water, trial trays and those thrown out included.
    pub soil: Soil,
}

/// Stacks of a run in one germination place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SownPlace {
    /// Local name.
    pub place: String,
    /// Stacks, trial trays included.
    pub stacks: i64,
    /// So many of them find a place that is free since the morning; the others wait for stacks to be opened.
    pub free: i64,
}

/// People and time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Spell {
    /// People.
    pub people: i64,
    /// Start, minutes after midnight, to the nearest minute.
    pub from_minute: i64,
    /// End, likewise.
    pub until_minute: i64,
}

/// One line of the sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Job {
    /// What.
    pub work: Work,
    /// Ids of the tasks in it; none for daily care and changes of water.
    pub tasks: Vec<String>,
    /// Runs in it.
    pub runs: Vec<String>,
    /// Name of the kind.
    pub kind: Option<String>,
    /// Trays handled (with `collect` those that should come back).
    pub trays: i64,
    /// Trial trays among them, to be emptied: only when a stack is opened.
    pub trial_trays: i64,
    /// So many of them leave today, from the stack: only when a stack is opened.
    pub leave_today: i64,
    /// So many were sown beyond those that leave, as the allowance for loss: of sprouted trays when a stack is opened, and
    /// of what is loaded or fetched.
    pub allowance: i64,
    /// They are the pooled spare of their kind.
    pub spare: bool,
    /// Rows of the bed that they stand in, or come to stand in.
    pub rows: Vec<u32>,
    /// They were laid out today: only with daily care.
    pub laid_out_today: bool,
    /// What they weigh, kg: only of seedlings that are loaded or fetched; nobody has weighed the others.
    pub load_kg: Option<i64>,
    /// The trays as stacks.
    pub stacked: Option<Stacked>,
    /// Stacks to open before other work, when the rest is opened later: only when a stack is opened.
    pub stacks_first: Option<i64>,
    /// Nobody of the crew is free to stack while the line runs: trays wait at its end.
    pub stacked_late: bool,
    /// Name of another crew that has people free while the line runs, then.
    pub who_could_stack: Option<String>,
    /// Seed handled.
    pub seed: Option<SeedKg>,
    /// What is left over of the seed that was soaked, when the last of it goes to the line or to a grower.
    pub seed_left: Option<SeedLeft>,
    /// The seed as whole bags.
    pub bags: Option<Bags>,
    /// What it is treated with.
    pub dose: Option<Dose>,
    /// Minutes that the washer takes, when nobody's time is counted for it.
    pub washer_minutes: Option<i64>,
    /// Minutes of the planting machine, its move included.
    pub machine_minutes: Option<i64>,
    /// Those of them that it moves.
    pub move_minutes: i64,
    /// When the trays that are planted come to the field; none when they stand there already.
    pub trays_come: Option<TraysCome>,
    /// Empty trays that come back by and by: how far they should be.
    pub due: Option<Due>,
    /// Litres of water: of the tank when soaking or changing.
    pub water_l: Option<i64>,
    /// Where from, by local name.
    pub from_place: Option<String>,
    /// Where to, by local name.
    pub to_place: Option<String>,
    /// Whose field.
    pub party: Option<Party>,
    /// Details of a run on the line.
    pub sowing: Option<Sowing>,
    /// Person-minutes that it takes, rounded up.
    pub person_minutes: i64,
    /// When and by how many; none when nobody's time is counted or nothing of it fits.
    pub spells: Vec<Spell>,
}

/// One crew on the day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CrewDay {
    /// Short name.
    pub crew: String,
    /// Local name.
    pub name: String,
    /// People on duty.
    pub people: i64,
    /// Start of the shift, minutes after midnight.
    pub from_minute: i64,
    /// End of the shift without overtime.
    pub until_minute: i64,
    /// Latest end with the overtime bought.
    pub latest_minute: i64,
    /// True on a day off worked.
    pub day_off: bool,
    /// Person-minutes bought.
    pub bought_minutes: i64,
    /// Person-minutes of overtime that the scenario allows, that the plan has not bought, and without which the clock does not come out.
    pub offered_minutes: i64,
    /// Jobs by the clock.
    pub jobs: Vec<Job>,
}

/// Work that does not fit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "what", rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Misfit {
    /// No room in the shift and the overtime bought.
    Time {
        work: Work,
        runs: Vec<String>,
        place: Option<String>,
        /// Field and grower, when it is about one.
        field: Option<String>,
        crew: String,
        person_minutes: i64,
        /// The crew has time enough, but not in the order in which work must follow.
        hours_suffice: bool,
        /// When it would end if the crew stayed, minutes after midnight.
        would_end: Option<i64>,
    },
    /// The team is larger than the crew.
    Team {
        work: Work,
        runs: Vec<String>,
        crew: String,
        needed: i64,
        people: i64,
    },
    /// The line would run longer than its hours.
    Line {
        line: String,
        minutes: i64,
        allowed: i64,
    },
}

/// What tomorrow needs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Tomorrow {
    /// The day.
    pub day: Day,
    /// Seed for the line, in the order of the runs.
    pub seed_out: Vec<SeedOut>,
    /// Dry seed to be soaked, by kind.
    pub to_soak: Vec<SeedOut>,
    /// Seed to be handed over to growers, by run.
    pub hand_over: Vec<SeedOut>,
    /// Clean trays for the line: sown, trial, lids and bases.
    pub clean_trays: i64,
    /// Calls to make tonight.
    pub calls: Vec<Call>,
}

/// Seed to bring out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SeedOut {
    /// Runs that it is for.
    pub runs: Vec<String>,
    /// Name of the kind.
    pub kind: String,
    /// Seed.
    pub seed: SeedKg,
    /// Soil for the line; none for soaking.
    pub soil: Option<Soil>,
    /// As whole bags, when it is to be soaked.
    pub bags: Option<Bags>,
    /// What it is treated with, when it is to be soaked.
    pub dose: Option<Dose>,
}

/// A call to a grower.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Call {
    /// Whom.
    pub grower: String,
    /// About which field, and part when there are several.
    pub field: String,
    /// Planting day, or day of handing over.
    pub day: Day,
    /// Trays.
    pub trays: i64,
    /// Seed in place of trays.
    pub seed: Option<SeedKg>,
    /// Age on that day, days.
    pub age_days: i32,
    /// The grower fetches it.
    pub collected: bool,
    /// Trays come on this day, before that of planting, and wait at the edge of the field.
    pub comes: Option<Day>,
    /// What about: the field is asked for three days before, the hour is told the day before.
    pub about: CallAbout,
}

/// What a call is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CallAbout {
    /// Trays come tomorrow: tell the hour.
    Comes,
    /// Three days before: is the field ready?
    FieldReady,
}

/// Sums over the day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Totals {
    /// Trays sown for fields.
    pub sown: i64,
    /// Trial trays.
    pub trial: i64,
    /// Trays taken out of stacks.
    pub opened: i64,
    /// Trays loaded.
    pub loaded: i64,
    /// Trays that growers fetch.
    pub handed_over: i64,
    /// Area that they plant.
    pub area_ha: Hectares,
    /// Trays washed.
    pub washed: i64,
    /// Dry seed put to soak, kg.
    pub soaked_dry_kg: Fixed<3>,
}

/// The work of `day` by the clock.
///
/// # Arguments
/// * `graph`: the task graph of the plan.
/// * `day`: any day; outside the horizon nothing is found.
///
/// # Returns
/// The day as plain data. Times lie inside the shift of each crew and the overtime bought for it; what
/// does not fit is in [`DayPlan::misfits`].
pub fn day_plan(graph: &TaskGraph<'_>, day: Day) -> DayPlan {
    let plan = graph.view.plan;
    let scenario = &plan.scenario;
    let todos = jobs::collect(graph, day);
    let totals = jobs::totals(&todos);
    let laid = clock::lay_out(graph, day, todos);
    let (cannot_wait, more_cannot_wait) = around::cannot_wait(graph, day);
    let weather = scenario.weather.iter().find(|row| row.date == day).copied();
    let today: Vec<&str> = graph.on(day).map(|(_, task)| task.id.as_str()).collect();
    let breaches = graph.check().into_iter().filter(|breach| {
        breach
            .tasks
            .last()
            .is_some_and(|last| today.contains(&last.as_str()))
    });
    DayPlan {
        nursery: scenario.name.clone(),
        day,
        weekday: day.weekday(),
        revision: plan.revision,
        replaces: (plan.revision > 1).then(|| plan.revision - 1),
        weather,
        cannot_wait,
        more_cannot_wait,
        looks: around::looks(graph, day),
        before_loading: around::before_loading(graph, weather, day),
        breaches: breaches.map(|breach| breach.text).collect(),
        night: around::night(graph, day),
        next_work: next_day_with_work(graph, day),
        tomorrow: around::tomorrow(graph, day.plus(1)),
        crews: laid.crews,
        uncounted: laid.uncounted,
        misfits: laid.misfits,
        totals,
    }
}

/// The next day after `day`, inside the horizon, on which the plan has a task.
pub fn next_day_with_work(graph: &TaskGraph<'_>, day: Day) -> Option<Day> {
    let last = graph.view.plan.scenario.horizon.last;
    graph
        .tasks
        .iter()
        .map(|task| task.day)
        .filter(|next| *next > day && *next <= last)
        .min()
}
