//! How much a water meter may carry.

use crate::model::{Device, Size};
use crate::rules::{Rules, page, rule};
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// The most that a meter of a size may carry, at peak and for a short time.
    MeterFlow "meter_flows" overridden by "Meter flows" {
        key size: Size = Size;
        /// Safe maximum operating capacity.
        value gpm: Decimal = Positive to 10000 also ["safe gpm", "maximum gpm"];
        /// The pipe that its couplings take: a 5/8 meter has those of 3/4.
        optional couplings: Option<Size> = Size;
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

    /// The size of pipe that a device is joined by: its own, and of a meter that of its couplings.
    pub fn connection_size(&self, device: &Device) -> Option<Size> {
        let size = device.size.get()?;
        let row = self.meter_flow(size).filter(|_| &*device.kind.value == "meter");
        row.and_then(|row| row.couplings).or(Some(size))
    }
}
