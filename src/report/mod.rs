//! What people read. Nothing here computes a plan; it only chooses words, places and blanks.

mod answers;
pub mod audit;
pub mod balance;
pub mod buy;
pub mod check;
mod choices;
pub mod day;
pub mod lifting;
pub mod otherwise;
pub mod plan;
pub mod room;
pub mod roster;
pub mod table;
pub mod text;
mod tonight;
pub mod weeks;
