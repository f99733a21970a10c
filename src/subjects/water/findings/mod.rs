//! What the water finds.

pub mod counted;
pub(crate) mod loads;
pub mod remedy;
pub(crate) mod runs;
pub mod sizes;

use crate::finding::Declaration;

/// All of them.
pub const LISTS: &[&[Declaration]] = &[runs::LIST, loads::LIST, sizes::LIST, remedy::LIST, counted::LIST];
