//! What several tests share.
#![allow(dead_code, reason = "each test program uses its own part of this")]

pub mod edges;
pub mod job;
pub mod plan;
pub mod published;
pub mod recalc;
pub mod recipes;
pub mod sample;
pub mod trees;
