//! What devices in the line lose.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::Size;
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

pub(super) const DEVICE_LOSSES: Spec = Spec {
    name: "device_losses",
    file: "device_losses.csv",
    about: "pressure that a device loses at a rated flow; flat: the share that does not depend on flow; of a regulator, its fall-off below the setting",
    sheet: Some("Device losses"),
    columns: &[
        Column::new("kind", Kind::Device, Role::Key).or(&["device"]),
        Column::new("size", Kind::Size, Role::Key),
        Column::new("gpm", Kind::Positive, Role::Value).to(dec!(10000)).or(&["rated gpm"]),
        Column::new("psi", Kind::Number, Role::Value).to(dec!(400)).or(&["loss psi"]),
        Column::new("flat", Kind::Share, Role::Value),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// Loss of one size of a device: at `q` gpm, `psi x (flat + (1 - flat) x (q / gpm)^2)`.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceLoss {
    /// One of [`crate::model::columns::DEVICE_KINDS`].
    pub kind: Arc<str>,
    pub size: Size,
    /// The rated flow.
    pub gpm: Decimal,
    /// Loss at the rated flow; of a regulator, how far its outlet falls below the setting there.
    pub psi: Decimal,
    /// Share of the loss that does not depend on flow, 0 to 1.
    pub flat: Decimal,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for DeviceLoss {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            kind: cells.text("kind"),
            size: cells.size("size")?,
            gpm: cells.number("gpm")?,
            psi: cells.number("psi")?,
            flat: cells.number("flat")?,
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn device_losses(&self) -> &[DeviceLoss] {
        &self.device_losses
    }

    /// The row for a device: of its size, else of the next smaller size there is (which never loses less), else of
    /// the smallest. Compare `size` to know which. `None` for `other` and for kinds without a row: the user must say.
    pub fn device(&self, kind: &str, size: Size) -> Option<&DeviceLoss> {
        let of_kind = || self.device_losses.iter().filter(|d| *d.kind == *kind);
        of_kind().filter(|d| d.size <= size).max_by_key(|d| d.size).or_else(|| of_kind().min_by_key(|d| d.size))
    }
}
