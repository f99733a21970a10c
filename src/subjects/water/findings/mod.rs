//! What the water finds.

pub mod counted;
pub(crate) mod ends;
pub(crate) mod loads;
pub mod remedy;
pub(crate) mod runs;
pub mod sizes;

use crate::finding::Declaration;

/// All of them.
pub const LISTS: &[&[Declaration]] = &[runs::LIST, ends::LIST, loads::LIST, sizes::LIST, remedy::LIST, counted::LIST];
