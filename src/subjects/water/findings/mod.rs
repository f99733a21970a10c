//! What the water finds.

pub mod counted;
pub(crate) mod loads;
pub mod remedy;
pub(crate) mod runs;
pub mod sizes;
