//! The plan, and the graph of tasks that it leads to.
//!
//! [`types`] is the plan as data. `network` is the general network of tasks with least and
//! greatest lags; `tasks` makes one from a plan; `day` turns one day of it into work by the clock.

pub mod day;
pub mod file;
pub mod network;
pub mod schema;
pub mod tasks;
pub mod types;
pub mod view;

pub use types::{
    Bought, BoughtWhat, Cost, Delivery, EndedBy, PeopleWeek, Plan, Run, RunStacks, Shortfall,
    Washing,
};
