//! From options to a plan: relaxation, list heuristic, dive, polish, bound.
//!
//! `plan` is the one planner. It never answers "no": a lot that does not fit is short, at a price.

pub mod compiled;
pub mod dive;
pub mod list;
pub mod lp;
pub mod polish;
pub mod program;
pub mod queue;
pub mod relax;
pub mod state;
pub mod watch;
