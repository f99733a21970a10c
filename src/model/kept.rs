//! The user's own sheets as they stood, cell for cell: what the bid workbook carries along.
//!
//! In: nothing. Made by the reader, written by the writer at the same addresses. Never: a judgement on what stands there.

use super::{Raw, columns};

/// Every sheet of a job workbook that is the user's, in the workbook's order.
#[derive(Debug, Clone, Default)]
pub struct KeptBook {
    pub sheets: Vec<KeptSheet>,
}

/// One sheet. Rows and columns count from 0.
#[derive(Debug, Clone, Default)]
pub struct KeptSheet {
    pub name: String,
    pub hidden: bool,
    /// Which sheet of the job workbook it was recognised as; `None` for a sheet that is only carried along.
    pub declared: Option<&'static columns::Sheet>,
    /// The row its headings were found in.
    pub heading_row: Option<u32>,
    /// The columns that were recognised, by the declared heading.
    pub column_of: Vec<(&'static str, u16)>,
    pub cells: Vec<KeptCell>,
    /// Merged cells: first row, first column, last row, last column.
    pub merges: Vec<(u32, u16, u32, u16)>,
}

/// One cell that holds something.
#[derive(Debug, Clone, Default)]
pub struct KeptCell {
    pub row: u32,
    pub column: u16,
    /// Its value; for a formula the value that was stored with it.
    pub raw: Raw,
    /// Its formula, without the leading `=`.
    pub formula: Option<String>,
    pub number_format: Option<String>,
}
