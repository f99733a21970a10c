//! The size of a run, and whose word it is.

use crate::model::Size;

/// Whose word a size is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Word {
    /// Typed in Runs.
    Run,
    /// Main size in Job.
    Main,
    /// The engine's choice; of pipe that is in, what the bid has for it.
    Choice,
}

/// The size of one run.
#[derive(Debug, Clone, Copy)]
pub struct Picked {
    /// `None` where no size can be chosen.
    pub size: Option<Size>,
    /// Who decided it.
    pub word: Word,
}
