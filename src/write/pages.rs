//! How a sheet lies on paper.

use rust_xlsxwriter::{Worksheet, XlsxError};

/// Letter paper, as rust_xlsxwriter numbers it.
const LETTER: u8 = 1;

/// Landscape on letter paper, one page wide and as long as it takes, the rows down to `heading_row` (from 0) repeated
/// on every page, the file, sheet and page number in the footer.
pub(crate) fn lay_out(worksheet: &mut Worksheet, heading_row: u32) -> Result<(), XlsxError> {
    worksheet
        .set_landscape()
        .set_paper_size(LETTER)
        .set_print_fit_to_pages(1, 0)
        .set_margins(0.5, 0.5, 0.5, 0.6, 0.3, 0.3)
        .set_footer("&L&F&C&A&RPage &P of &N");
    worksheet.set_repeat_rows(0, heading_row)?;
    Ok(())
}
