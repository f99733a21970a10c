//! How much a water meter may carry.

use crate::model::Size;
use crate::rules::{Rules, page, rule};
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// The most that a meter of a size may carry, at peak and for a short time.
    MeterFlow "meter_flows" overridden by "Meter flows" {
        key size: Size = Size;
        /// Safe maximum operating capacity.
        value gpm: Decimal = Positive to 10000 also ["safe gpm", "maximum gpm"];
        remark note: Arc<str> = Text;
    }
}

page! {
    MeterFlowCells of MeterFlow {
        size: "Meter";
        gpm: "Safe maximum flow" Gpm;
    }
}

impl Rules {
    /// The row of a meter's size; `None` of a size that the table does not have.
    pub fn meter_flow(&self, size: Size) -> Option<&MeterFlow> {
        self.meter_flows().iter().find(|row| row.size == size)
    }
}
