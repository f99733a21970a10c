//! tallybore reads a plumbing job workbook and writes a priced bid workbook whose every figure is a live formula.
//!
//! Data flows one way: read -> check -> size -> take off -> buy -> labor -> price -> report -> write.
//!
//! - [`read`]: a workbook becomes typed rows, every value with its cell, and findings; it never stops at the first.
//! - [`check`]: names, networks, ranges, what is missing.
//! - [`subjects`]: what every run serves and carries, its size, the pressure that is left, and what it takes.
//! - [`takeoff`]: every foot and piece, where it is needed, and what is on hand.
//! - [`buy`]: whole packs, sticks and coils at the least cost, and how to cut them.
//! - [`labor`]: hours by task and phase.
//! - [`price`]: lines to the cent, then from cost to price.
//! - [`order`]: what is bought, as one order for each supplier.
//! - [`quote`]: orders that suppliers have filled in, side by side.
//! - [`report`]: the pages people read: bid, overview, findings, live checks.
//! - [`revise`]: what a change does, against what was bid, bought or installed.
//! - [`write`](mod@write): the book of figures becomes a workbook.
//!
//! What all stages stand on: [`place`], [`unit`](mod@unit), [`model`], [`finding`], [`rules`], and [`figure`], where a
//! value and its formula are made by one operation. [`pipeline`] alone knows the order; [`commands`] are what a user
//! asks for. The crate never reaches for a network, never reads the clock, and never writes over a file unasked.

pub mod buy;
pub mod check;
pub mod choice;
pub mod commands;
pub mod entries;
pub mod figure;
pub mod finding;
pub mod input;
pub mod labor;
pub mod model;
pub mod order;
pub mod parallel;
pub mod parts;
pub mod pipeline;
pub mod place;
pub mod price;
pub mod priced;
pub mod quote;
pub mod read;
pub mod report;
pub mod revise;
pub mod rules;
pub mod sheets;
pub mod subjects;
pub mod table;
pub mod takeoff;
pub mod unit;
pub mod view;
pub mod write;
