//! What the water finds.

pub mod counted;
pub mod loads;
pub mod remedy;
pub mod runs;
pub mod sizes;
