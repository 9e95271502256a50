//! The file as written, and the completed scenario that everything else starts from.

pub mod trays;
pub mod types;

pub use types::*;
