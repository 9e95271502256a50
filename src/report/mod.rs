//! What people read. Nothing here decides anything.

pub mod check;
pub mod text;
