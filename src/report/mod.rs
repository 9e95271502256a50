//! What people read. No solving, no counting: every figure comes from the rooms below.

pub mod audit;
