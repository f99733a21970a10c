//! Packs, cuts, suppliers: what is bought, ordered and quoted.

#![allow(unreachable_pub, reason = "nothing of a test is public")]
#[path = "../support/program.rs"]
mod program;
#[path = "../support/schema.rs"]
mod schema;

#[path = "../support/mod.rs"]
mod support;

mod bought;
mod cutting;
mod order;
mod purchase;
mod quotes;
