//! Where the rough-in of a fixture goes.

use crate::rules::{page, rule, tables};
use std::sync::Arc;

rule! {
    /// Where the rough-in of a fixture goes, in inches; the maker's sheet of the fixture at hand goes before it.
    RoughIn "rough_in" overridden by "Rough-in" {
        key fixture: Arc<str> = Fixture(&[]);
        /// What is measured, and from where.
        key dimension: Arc<str> = Text;
        /// Inches, as a tape says it: `8-1/4`.
        value usual: Arc<str> = Text;
        /// The least that is seen.
        optional least: Arc<str> = Text;
        /// The most that is seen.
        optional most: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

page! {
    RoughInCells of RoughIn {
        fixture: "Fixture";
        dimension: "Rough-in";
        usual: "Inches";
        least: "Least";
        most: "Most";
    }
}

tables! {
    rough_ins: self::RoughIn;
}
