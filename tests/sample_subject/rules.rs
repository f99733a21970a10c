//! Its rule table.

use crate::rules::{page, rule, tables};
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// Gallons an hour that an emitter gives.
    EmitterFlow "emitters" in "emitters.csv" overridden by "Emitters" {
        key emitter: Arc<str> = Known;
        value gph: Decimal = Positive to 1000;
        remark note: Arc<str> = Text;
    }
}

page! {
    EmitterCells of EmitterFlow {
        emitter: "Emitter";
        gph: "Gallons an hour" Ratio;
    }
}

tables! {
    emitter_flows: self::EmitterFlow;
}
