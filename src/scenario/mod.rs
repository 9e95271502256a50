//! The file as written, and the completed scenario that everything else starts from.
//!
//! The way through: [`read`] takes the bytes (`tree`, `table`), walks them against the one table
//! of keys (`keys`), gathers every problem with its place (`gather`, [`codes`]), fills in defaults
//! with their sources, and decodes the rest into [`types`]; then values are checked against one
//! another (`cross`). [`schema`] and [`page`] print the same table for machines and for people.

pub mod codes;
mod complete;
mod cross;
pub mod exact;
mod gather;
pub mod growing;
mod ids;
mod kept;
mod keys;
pub mod orders;
pub mod page;
mod reading;
pub mod schema;
pub mod spans;
mod spare;
pub mod staff;
pub mod starter;
pub mod supplies;
mod table;
pub mod trays;
mod tree;
pub mod types;
mod walk;

pub use gather::nearest;
pub use ids::is_id;
pub use kept::Kept;
pub use reading::{Checked, DefaultUsed, FILE, Tables, read, read_bytes, sha256};
pub use supplies::{AgentDelivery, Returned, SeedDelivery, SoilDelivery};
pub use types::*;
