//! The bid: take-off, labor, money, and its formulas recalculated by another engine.

#![allow(unreachable_pub, reason = "nothing of a test is public")]
#[path = "../support/mod.rs"]
mod support;

mod alternates;
mod figures;
mod fixture_schedule;
mod labor;
mod large;
mod money;
mod old_work;
mod paper;
mod recalc;
mod report;
mod takeoff;
mod totals;
mod trips;
mod typed_beyond;
mod typed_over;
mod warned_live;
mod workbook;
