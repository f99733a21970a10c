//! tallybore reads a plumbing job workbook and writes a priced bid workbook whose every figure is a live formula.
//!
//! Data flows one way: read -> check -> subject by subject -> take off -> buy -> labor -> price -> report -> write. What a
//! program around it needs: [`read::open`], [`pipeline::price`], [`write::bid_bytes`]; what a user asks for at the
//! terminal: [`commands::run`]. What all stages stand on is [`figure`], where a value and its formula are made by one
//! operation. The crate never reaches for a network, never reads the clock, and never writes over a file unasked.
//!
//! ```
//! use tallybore::pipeline::{self, Options};
//! use tallybore::{read, write};
//!
//! # fn main() -> anyhow::Result<()> {
//! let job = read::open("demo-books/prairie-house.xlsx".as_ref());
//! match pipeline::price(&job.job, &job.book, &job.findings, &Options::default()) {
//!     Ok(priced) => {
//!         let workbook = write::bid_bytes(&priced.book, &job.book, &write::About::default())?;
//!         println!("{} bytes, {} things to fix or note", workbook.len(), priced.findings.len());
//!     }
//!     Err(findings) => findings.iter().for_each(|finding| println!("{}", finding.found)),
//! }
//! # Ok(())
//! # }
//! ```
//!
//! # Errors
//! What is wrong with a job is never an error of Rust's but a [`finding::Finding`] with file, sheet, cell and remedy, all at
//! once: [`pipeline::price`] gives them back as `Err` where one of them stops the bid. [`anyhow::Error`] is for what cannot
//! be written, and names the file or the sheet.

// How long a function may be stands in .clippy.toml, and how many parameters it may have.
#![warn(clippy::too_many_lines)]

pub mod commands;
pub mod figure;
pub mod finding;
pub mod model;
pub mod pipeline;
pub mod place;
pub mod read;
pub mod rules;
pub mod unit;
pub mod write;

mod basis;
mod buy;
mod check;
mod choice;
mod entries;
mod folding;
mod input;
mod labor;
mod order;
mod parallel;
mod parts;
mod price;
mod priced;
mod quote;
mod report;
mod revise;
mod sheets;
mod subjects;
mod table;
mod takeoff;
mod trips;
mod view;

pub use buy::{PackBought, cutting, purchase};
pub use check::check as check_rows;
pub use choice::Choice;
pub use input::{Amount, ColumnType, Input, Role, Run, Settings, Text, entered, raw_value};
pub use order::{Order, Orders, csv_rows};
pub use price::findings::BoughtLeftOver;
pub use revise::{
    Comparison, Revising, Summary,
    inputs::{InputChange, differences},
};
pub use sheets::{Page, Pages};
pub use subjects::{choices, pages, parts as part_kinds, settings, sheets as input_sheets, tables, water};
pub use takeoff::Line;
pub use view::View;
