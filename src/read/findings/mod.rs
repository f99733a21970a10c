//! What the reading finds.

pub(crate) mod file;
pub mod kept;
pub(crate) mod sheets;
