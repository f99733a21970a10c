//! What the checks find.

pub mod job;
pub mod prices;
pub mod values;
