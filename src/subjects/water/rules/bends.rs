//! What turns pipe at a bend: an elbow, a bend support, or nothing.

use crate::model::Size;
use crate::model::columns::FORM;
use crate::rules::cell::size_key;
use crate::rules::{ELBOW, Rules};
use crate::rules::{page, rule};
use std::sync::Arc;

/// What a bend may take, as the take-off names it.
pub const BEND_SUPPORT: &str = "bend support";
/// The pipe is laid in a sweep.
pub const NOTHING: &str = "none";

rule! {
    /// What a bend takes in pipe of this form up to a size (blank: of every larger size); other pipe takes elbows.
    Bend "bends" {
        key material: Arc<str> = Material;
        /// `auto`, `stick` or `coil`.
        key form: Arc<str> = Word(FORM);
        /// The largest size it holds for.
        key_or_blank up_to ("up_to_size"): Option<Size> = Size;
        /// What goes into each bend: elbow, bend support or none.
        value part: Arc<str> = Word(&[ELBOW, BEND_SUPPORT, NOTHING]);
        remark note: Arc<str> = Text;
    }
}

page! {
    BendCells of Bend {
        pipe: "Pipe and its form" = |row| format!("{} {} {}", row.material, row.form, size_key(row.up_to));
        part: "A bend takes";
    }
}

impl Rules {
    /// The row that holds for pipe of this form and size; `None` where no row does: such pipe takes elbows.
    pub fn bend(&self, material: &str, form: &str, size: Size) -> Option<&Bend> {
        let of = self.bends().iter().filter(|b| *b.material == *material && *b.form == *form);
        // A blank size holds for every size: it comes last.
        of.filter(|b| b.up_to.is_none_or(|up| up >= size)).min_by_key(|b| b.up_to.map_or(u16::MAX, Size::sixteenths))
    }

    /// What a bend takes: see [`Rules::bend`].
    pub fn bend_part(&self, material: &str, form: &str, size: Size) -> &str {
        self.bend(material, form, size).map_or(ELBOW, |bend| &bend.part)
    }

    /// What turns such pipe, and how many pipe ends are joined to it; `None` where the pipe is laid in a sweep.
    pub fn at_bend(&self, material: &str, form: &str, size: Size) -> Option<(&str, u8)> {
        match self.bend_part(material, form, size) {
            NOTHING => None,
            // An elbow is cut in and joins two ends; a bend support holds the pipe as it is.
            part => Some((part, if part == ELBOW { 2 } else { 0 })),
        }
    }
}
