//! Plans a rice-seedling nursery day by day: what to soak, sow, stack, move out, deliver and wash, with which crew.
//!
//! Growers order trays of seedlings for named fields, each to be planted inside a few days. A **scenario** holds the
//! orders and the nursery: kinds of seedlings, line, germination places, beds, trays, people, weather. A **plan** says for
//! every part of a field in which run its seed is soaked and sown, where its trays stand and on which day they leave. What
//! does not fit is a **shortfall**, a result like any other. The **audit** counts the plan a second time.
//!
//! # The way through the rooms
//!
//! Data goes one way, and every stage is plain data made by one function from the stage before:
//!
//! | from | by | to |
//! |---|---|---|
//! | files | [`scenario::read`] | the completed [`scenario::Scenario`], its problems with their places, the defaults used |
//! | scenario | [`nursery::Nursery::new`] | lots, places and calendars resolved; every way in which each lot can be grown |
//! | nursery | [`solve::plan`] | [`plan::Plan`]: runs, deliveries, washing, time bought, shortfalls, cost, bound |
//! | plan | [`audit::audit`] | what it breaks and costs, by the second count |
//! | plan | [`plan::tasks::TaskGraph::new`], [`plan::day::day_plan`] | tasks with their lags; one day by the clock |
//! | plan | [`stores::needs`] | what it takes of each store, what is missing from which day, what to order by when |
//! | plan | [`roster::make`] | named people on its shifts; [`audit::duties::audit`] counts them again |
//! | plan | [`explain::all`] | why each part is grown so, what its other days would cost, what is in the way |
//! | any of these | [`report`] | what people read |
//!
//! ```
//! use sowrota::{audit, nursery::Nursery, report, scenario, solve};
//! use std::path::Path;
//!
//! // A folder with `nursery.json` and its tables, or the file itself.
//! let checked = scenario::read(Path::new("scenarios/village"))?;
//! let scenario = checked.scenario.ok_or("problems, listed in `checked.problems`")?;
//!
//! let nursery = Nursery::new(&scenario);
//! let budget = solve::Budget { moves: 2_000, relaxations: 0, seed: 1 };
//! let outcome = solve::plan(&nursery, &solve::Start::default(), &budget, &mut solve::Unwatched);
//!
//! let audit = audit::audit(&outcome.plan, &scenario);
//! assert!(audit.breaches.is_empty());
//! assert_eq!(audit.cost, outcome.plan.cost);
//! println!("{}", report::audit::fullest_text(&audit));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The rooms
//!
//! From the top down; a room uses those below it and none above (`tests/house.rs` holds it to that):
//!
//! - [`cli`]: one file per command. The only room that prints, reads a clock or ends the program.
//! - [`report`]: what people read, from plain data, 80 columns wide.
//! - [`disrupt`]: when it goes otherwise: the rest of a plan planned again with the least upheaval.
//! - [`explain`]: why a plan is as it is, part by part, and what another day would cost.
//! - [`solve`]: a first plan, the relaxation, the search, the bound. The only room that knows a solver.
//! - [`rules`]: what limits a nursery, one file a rule; the search and its words work from that list alone.
//! - [`stores`]: what a plan takes of seed, soil and agents day by day, and what is to be bought by when.
//! - [`audit`]: the second count, walking day by day from the plan and the scenario; nothing of `nursery`, `rules` or `solve`.
//! - [`roster`]: named people on the shifts of a plan, fair in weekends and late shifts.
//! - [`plan`]: the plan as data, the network of its tasks, one day of it by the clock; the roster as data.
//! - [`nursery`]: lots, places and people resolved, and the options of each lot.
//! - [`growth`]: thermal time, leaf age and soaking, as pure functions of temperatures.
//! - [`trial`]: trays weighed at some settings of the line, and the setting to try next.
//! - [`quantities`]: what so many trays take: seed, soil, water, stacks, time on the line, time of people.
//! - [`lifting`]: recommended weight limit and lifting index, and those of trays.
//! - [`scenario`]: the files as written, checked and completed; one table of keys.
//! - [`problems`]: what is wrong with a file: place, found, expected, help.
//! - [`calendar`]: days, ISO weeks, working days.
//! - [`files`]: reading and writing whole files.
//! - [`units`]: exact decimals, money, time on ledgers.
//!
//! How a day is counted, to the tray, the millisecond and the thousandth of money, is written in `docs/COUNTING.md`; the planner
//! and the audit both keep to that page. Whole numbers everywhere but in `growth` and the relaxation; nothing that is
//! printed depends on a clock, a hash or the number of processors.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod audit;
pub mod calendar;
pub mod cli;
pub mod disrupt;
pub mod explain;
pub mod files;
pub mod growth;
pub mod lifting;
pub mod nursery;
pub mod plan;
pub mod problems;
pub mod quantities;
pub mod report;
pub mod roster;
pub mod rules;
pub mod scenario;
pub mod solve;
pub mod stores;
pub mod trial;
pub mod units;
