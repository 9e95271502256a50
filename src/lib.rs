//! Plans a rice-seedling nursery day by day.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod audit;
pub mod calendar;
pub mod cli;
pub mod files;
pub mod growth;
pub mod nursery;
pub mod plan;
pub mod problems;
pub mod quantities;
pub mod report;
pub mod rules;
pub mod scenario;
pub mod solve;
pub mod units;
