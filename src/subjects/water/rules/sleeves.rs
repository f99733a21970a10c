//! Sleeves for pipe that passes through a foundation or a floor.

use crate::model::Size;
use crate::rules::Rules;
use crate::rules::{page, rule};
use std::sync::Arc;

rule! {
    /// The sleeve that pipe of a size passes through a foundation wall or a slab in.
    Sleeve "sleeves" {
        /// Nominal size of the pipe.
        key pipe ("pipe_size"): Size = Size;
        /// Nominal size of the sleeve it goes through.
        value sleeve ("sleeve_size"): Size = Size;
        remark note: Arc<str> = Text;
    }
}

page! {
    SleeveCells of Sleeve {
        pipe: "Pipe";
        sleeve: "Sleeve";
    }
}

impl Rules {
    /// Size of the sleeve; `None` where the table has none for this size.
    pub fn sleeve(&self, pipe: Size) -> Option<Size> {
        self.sleeves().iter().find(|s| s.pipe == pipe).map(|s| s.sleeve)
    }
}
