//! What old pipe costs beyond plain work, and what old things weigh.

use crate::rules::{page, rule, tables};
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// Hours to keep for one joint to old pipe of a material, from an age on: it breaks further back than it is cut.
    OldPipe "old_pipe" overridden by "Old pipe" sorted by |row| (row.material.clone(), row.from_years) {
        key material: Arc<str> = Material;
        /// Years that it has been in.
        key from_years: Decimal = Number to 200;
        /// Beyond those of the tie-in.
        value hours: Decimal = Number to 100;
        remark note: Arc<str> = Text;
    }
}

page! {
    OldPipeCells of OldPipe {
        material: "Material";
        from_years: "From years" Ratio;
        hours: "Hours for one joint" Hours;
    }
}

rule! {
    /// Pounds of one old fixture or device, or of a foot of old pipe (`galvanized pipe`).
    Weight "weights" overridden by "Weights" {
        key thing: Arc<str> = Text;
        value lb: Decimal = Number to 10000;
        remark note: Arc<str> = Text;
    }
}

page! {
    WeightCells of Weight {
        thing: "Thing";
        lb: "lb" Ratio;
    }
}

tables! {
    old_pipe: self::OldPipe;
    weights: self::Weight;
}
