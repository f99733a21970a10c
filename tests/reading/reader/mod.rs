//! What the reader promises, each promise on a workbook written for it.

mod cells;
mod checks;
mod headings;
mod kept;
mod ods;
mod ranges;
mod settings;
mod sheets;
mod support;
