//! What people read. Nothing here computes a plan; it only chooses words, places and blanks.

pub mod audit;
pub mod balance;
pub mod buy;
pub mod check;
pub mod day;
pub mod lifting;
pub mod otherwise;
pub mod page;
pub mod plan;
pub mod room;
pub mod roster;
pub mod table;
pub mod text;
pub mod weeks;
