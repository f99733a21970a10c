//! What is bought beyond the need, because some of it gets lost or spoilt.

use super::Rules;
use super::declare::rule;
use super::listing::page;
use crate::model::fold;
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// Share of a kind of part that is bought beyond the need; of kinds not listed none.
    Spare "spares" overridden by "Spares" {
        key kind: Arc<str> = Text;
        /// 0.05 is one in twenty.
        value share: Decimal = Share;
        remark note: Arc<str> = Text;
    }
}

page! {
    SpareCells of Spare {
        kind: "Kind";
        share: "Bought beyond the need" Percent;
    }
}

impl Rules {
    /// The spares of this kind of part, if any are wanted.
    pub fn spare(&self, kind: &str) -> Option<&Spare> {
        self.spares().iter().find(|spare| fold(&spare.kind) == fold(kind))
    }
}
