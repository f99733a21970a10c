//! Everyday names of parts and of ends, and which of the program's they mean.

use super::Rules;
use super::declare::rule;
use super::item::matches_kind;
use std::sync::Arc;

rule! {
    /// An everyday name of a part: what Prices, On hand or Received may call it.
    PartName "part_names" overridden by "Part names" {
        key name: Arc<str> = Text also ["alias"];
        value part: Arc<str> = Text also ["kind"];
    }
}

rule! {
    /// An everyday name of an end, as Prices and your own rows of rules may have it.
    EndName "end_names" overridden by "End names" {
        key name: Arc<str> = Text also ["alias"];
        value end: Arc<str> = Text;
    }
}

impl Rules {
    /// Whether a part is called this: by its own name, or by an everyday one.
    pub fn is_called(&self, part: &str, written: &str) -> bool {
        matches_kind(part, written) || self.names().names_of_part(part).iter().any(|name| matches_kind(name, written))
    }
}
