//! The phases of the work, in the order they come.

use crate::folding::worded;

worded! {
    /// When a thing is bought, done and billed.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Phase {
        /// In the ground, before the slab.
        Underground = "underground",
        /// In walls and ceilings, before they are closed.
        RoughIn = "rough-in",
        /// Fixtures set and connected.
        Trim = "trim",
        /// Pressure test and inspection.
        Test = "test",
    }
}

impl Phase {
    /// For headings.
    pub fn title(self) -> &'static str {
        match self {
            Self::Underground => "Underground",
            Self::RoughIn => "Rough-in",
            Self::Trim => "Trim",
            Self::Test => "Test",
        }
    }
}
