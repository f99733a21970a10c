//! What the reading finds.

pub mod cells;
pub mod file;
pub mod kept;
pub mod sheets;
