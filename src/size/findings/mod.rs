//! What the sizing finds.

pub mod loads;
pub mod sizes;
