//! Reading what people write, what is said of it, and the rule tables behind every bid.

#![allow(unreachable_pub, reason = "nothing of a test is public")]
#[path = "../support/mod.rs"]
mod support;

mod bad_files;
mod findings;
mod part_names;
mod reader;
mod rules;
mod rules_overrides;
