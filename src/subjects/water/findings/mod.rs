//! What the water finds.

pub mod counted;
pub mod loads;
pub mod runs;
pub mod sizes;
