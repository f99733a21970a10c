//! The program as a whole: commands as typed, documentation, templates, golden bids, the order of the tree.

#![allow(unreachable_pub, reason = "nothing of a test is public")]
#[path = "../support/program.rs"]
mod program;
#[path = "../support/schema.rs"]
mod schema;

#[path = "../support/mod.rs"]
mod support;

mod architecture;
mod circles;
mod cli;
mod docs;
mod files;
mod golden;
mod list_missing;
mod subjects;
mod templates;
