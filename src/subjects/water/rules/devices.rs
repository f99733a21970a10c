//! What devices in the line lose.

use crate::model::Size;
use crate::rules::Rules;
use crate::rules::{page, rule};
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// Pressure that a device loses at a rated flow; flat: the share that does not depend on flow; of a regulator, its
    /// fall-off below the setting.
    DeviceLoss "device_losses" overridden by "Device losses" {
        /// At `q` gpm it loses `psi x (flat + (1 - flat) x (q / gpm)^2)`.
        key kind: Arc<str> = Device also ["device"];
        /// Connection size.
        key size: Size = Size;
        /// The rated flow.
        value gpm: Decimal = Positive to 10000 also ["rated gpm"];
        /// Loss at the rated flow; of a regulator, how far its outlet falls below the setting there.
        value psi: Decimal = Number to 400 also ["loss psi"];
        /// Share of the loss that does not depend on flow, 0 to 1.
        value flat: Decimal = Share;
        remark note: Arc<str> = Text;
    }
}

page! {
    DeviceCells of DeviceLoss {
        device: "Device" = |row| format!("{} {}", row.kind, row.size.key());
        gpm: "Rated at" Gpm;
        psi: "Loss there (a regulator: also its fall-off)" Psi;
        flat: "Share that stays" Percent;
    }
}

impl Rules {
    /// The row for a device: of its size, else of the next smaller size there is (which never loses less), else of
    /// the smallest. Compare `size` to know which. `None` for `other` and for kinds without a row: the user must say.
    pub fn device(&self, kind: &str, size: Size) -> Option<&DeviceLoss> {
        let of_kind = || self.device_losses().iter().filter(|d| *d.kind == *kind);
        of_kind().filter(|d| d.size <= size).max_by_key(|d| d.size).or_else(|| of_kind().min_by_key(|d| d.size))
    }
}
