//! The plan, and the graph of tasks that it leads to.
//!
//! [`types`] is the plan as data. [`network`] is the general network of tasks with least and
//! greatest lags; [`view`] looks up the names in a plan; [`tasks`] makes a network from it; [`day`] turns one
//! day of it into work by the clock; [`mod@file`] reads and writes `plan.json`; [`roster`] is who does it, as data.

pub mod day;
pub mod file;
pub mod network;
pub mod roster;
pub mod schema;
pub mod tasks;
pub mod types;
pub mod view;

pub use types::{
    Bought, BoughtWhat, Cost, Delivery, EndedBy, PeopleWeek, Plan, Run, RunStacks, Shortfall,
    Washing,
};
