//! Loads, pressures and sizes, against published figures, other programs and exhaustive search.

#![allow(unreachable_pub, reason = "nothing of a test is public")]
#[path = "../support/mod.rs"]
mod support;

mod cheapest;
mod code_sizes;
mod exact_sizing;
mod given_sizes;
mod meters;
mod networks;
mod properties;
mod published;
mod remedy;
mod rows_in_any_order;
mod same_pieces;
mod sizing_said;
mod taken;
mod well;
