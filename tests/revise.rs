//! Revisions: what a change does, against what was bid, bought and installed.

mod support;

#[path = "support/program.rs"]
mod program;
#[path = "support/schema.rs"]
mod schema;

#[path = "revise/against.rs"]
mod against;
#[path = "revise/command.rs"]
mod command;
#[path = "revise/held.rs"]
mod held;
#[path = "revise/installed.rs"]
mod installed;
#[path = "revise/live.rs"]
mod live;
#[path = "revise/what_if.rs"]
mod what_if;
