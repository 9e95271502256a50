//! What several tests share: seeded dice and the nurseries that they make up.
//!
//! Each test file is a program of its own and uses only a part of this.
#![allow(dead_code)]

pub mod carried;
pub mod demos;
pub mod dice;
pub mod generate;
pub mod grounds;
pub mod hand_over;
pub mod orders;
pub mod places;
pub mod used;
pub mod whole;
