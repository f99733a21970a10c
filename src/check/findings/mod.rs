//! What the checks find.

pub mod network;
pub mod prices;
pub mod values;
