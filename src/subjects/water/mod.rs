//! Water: pipe from the supply to every tap. Its sizes and pressures, what it takes, and the work that is.

pub mod counted;
pub mod size;
pub mod tasks;
