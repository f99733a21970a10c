//! Revisions: what a change does, against what was bid, bought and installed.

#![allow(unreachable_pub, reason = "nothing of a test is public")]
#[path = "../support/program.rs"]
mod program;
#[path = "../support/schema.rs"]
mod schema;
#[path = "../support/mod.rs"]
mod support;

mod against;
mod allowances;
mod command;
mod edited;
mod held;
mod inputs;
mod installed;
mod live;
mod what_if;
