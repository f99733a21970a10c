//! How far apart pipe is held.

use crate::model::Size;
use crate::rules::Rules;
use crate::rules::cell::size_key;
use crate::rules::{page, rule};
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// Greatest distance between supports of pipe up to a size (blank: of every larger size), and how many guides a riser
    /// has between two of them.
    Support "supports" {
        key material: Arc<str> = Material;
        /// The largest size it holds for.
        key_or_blank up_to ("up_to_size"): Option<Size> = Size;
        /// Of pipe that runs level, ft.
        value horizontal_ft: Decimal = Positive to 100;
        /// Of a riser, ft.
        value vertical_ft: Decimal = Positive to 100;
        /// On a riser, between two supports.
        value guides: Decimal = Number to 100;
        remark note: Arc<str> = Text;
    }
}

page! {
    SupportCells of Support {
        pipe: "Pipe" = |row| format!("{} {}", row.material, size_key(row.up_to));
        level: "Supports apart, level" Feet = |row| row.horizontal_ft;
        upright: "Supports apart, upright" Feet = |row| row.vertical_ft;
        guides: "Guides between them" Each;
        // Formulas, put with the row.
        guided: "Held every, upright" Feet = |_| None::<Decimal>;
        hole: "Hole in framing" Inches = |_| None::<Decimal>;
    }
}

impl Rules {
    /// The row that holds for this size: of the smallest size that is not under it.
    pub fn support(&self, material: &str, size: Size) -> Option<&Support> {
        let material = &*self.material(material)?.material;
        let of = self.supports().iter().filter(|s| *s.material == *material && s.up_to.is_none_or(|up| up >= size));
        // A blank size holds for every size: it comes last.
        of.min_by_key(|s| s.up_to.map_or(u16::MAX, Size::sixteenths))
    }
}
