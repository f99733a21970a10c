//! What the reading finds.

pub mod file;
pub mod kept;
pub mod sheets;
