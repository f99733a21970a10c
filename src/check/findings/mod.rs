//! What the checks find.

pub(crate) mod job;
pub(crate) mod prices;
pub(crate) mod values;
