//! What people read. Nothing here computes a plan; it only chooses words, places and blanks.

mod answers;
pub mod audit;
pub mod balance;
pub mod books;
pub mod buy;
pub mod calendar_file;
pub mod check;
mod choices;
pub mod day;
pub mod lifting;
pub mod model;
pub mod names;
pub mod otherwise;
pub mod page;
pub mod plan;
pub mod room;
pub mod roster;
pub mod safe;
pub mod sheets;
pub mod table;
pub mod tables;
pub mod text;
mod tonight;
pub mod trial;
pub mod weeks;
pub mod why;
