//! The pages of water: what each run has, how that comes about, and how tees are made up; and what is chosen there.

use crate::choice::choices;
use crate::sheets::pages;

pages! {
    Results {
        Sizing "Sizing" landscape Choices "size, flow, loss and pressure of each run";
        CodeSizes "Code sizes" landscape Choices "the code's own size table beside the sizes of the bid";
    }
    Workings {
        Loads "Loads" landscape Nothing "what draws where, and the demand of each run";
        Friction "Friction" landscape Nothing "how the loss in each run comes about";
        Tees "Tees" landscape Choices "how each tee is made up of what is sold";
    }
}

choices! {
    /// The size of a run that leaves it open, by the run.
    RunSize Sizing "Chosen size";
    /// The size a run has, chosen or given, by the run; read beside the choice `RunSize`.
    SizeInBid Sizing "Size" secondary;
    /// `stick` or `coil` for a run that leaves it open, by the run.
    Form Sizing "Chosen form";
    /// Which way goes straight on where runs part and which leaves last before it, by where that is.
    StraightOn Sizing "When chosen";
    /// What the sizes were chosen on, by deciding input.
    SizesBasis Sizing "When chosen";
    /// The range of pressure that the code's size table is read in.
    CodeRange CodeSizes "As priced";
    /// The tee bought for a tee that is needed, by the latter.
    Tee Tees "Chosen tee";
    /// What the tees were chosen on, by deciding input.
    TeesBasis Tees "When chosen";
}
