//! How much a manifold may carry.

use crate::model::Size;
use crate::rules::Rules;
use crate::rules::rule;
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// The most flow that a manifold of a size may carry, by what its body is made of.
    ManifoldFlow "manifold_flows" {
        key body: Arc<str> = Word(&["plastic", "metal"]);
        key size: Size = Size;
        /// The most it should carry, gpm.
        value gpm: Decimal = Positive to 10000;
        remark note: Arc<str> = Text;
    }
}

impl Rules {
    /// The row of a manifold of this body (`plastic` or `metal`) and size.
    pub fn manifold_flow(&self, body: &str, size: Size) -> Option<&ManifoldFlow> {
        self.manifold_flows().iter().find(|m| *m.body == *body && m.size == size)
    }
}
