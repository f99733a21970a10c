//! The phases of the work, in the order they come.

use super::fold;

/// When a thing is bought, done and billed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Phase {
    /// In the ground, before the slab.
    Underground,
    /// In walls and ceilings, before they are closed.
    RoughIn,
    /// Fixtures set and connected.
    Trim,
    /// Pressure test and inspection.
    Test,
}

impl Phase {
    /// In the order the work is done.
    pub const ALL: [Self; 4] = [Self::Underground, Self::RoughIn, Self::Trim, Self::Test];

    /// The word used in the workbook, as in [`super::columns::PHASES`].
    pub fn word(self) -> &'static str {
        match self {
            Self::Underground => "underground",
            Self::RoughIn => "rough-in",
            Self::Trim => "trim",
            Self::Test => "test",
        }
    }

    /// For headings.
    pub fn title(self) -> &'static str {
        match self {
            Self::Underground => "Underground",
            Self::RoughIn => "Rough-in",
            Self::Trim => "Trim",
            Self::Test => "Test",
        }
    }

    /// The phase of this word, whatever its case; `None` for any other.
    pub fn parse(text: &str) -> Option<Self> {
        let wanted = fold(text);
        Self::ALL.into_iter().find(|phase| fold(phase.word()) == wanted)
    }
}
