//! The pages of water: what each run has, how that comes about, and how tees are made up.

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
