//! tallybore reads a plumbing job workbook and writes a priced bid workbook whose every figure is a live formula.

pub mod check;
pub mod finding;
pub mod model;
pub mod place;
pub mod read;
pub mod unit;
