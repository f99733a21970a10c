//! Paper: letter size, one page wide, headings repeated, the sheet and the page named at the foot. No print date: the
//! same bid prints the same.

use rust_xlsxwriter::{Worksheet, XlsxError};

/// What stands on every page: the job at the foot, the bid and its revision at the head.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Foot<'a> {
    pub job: &'a str,
    pub bid: &'a str,
}

/// What a sheet needs to be printed and scrolled.
#[derive(Debug, Default)]
pub(crate) struct Page<'a> {
    pub foot: Foot<'a>,
    pub sheet: &'a str,
    pub landscape: bool,
    /// Row of headings to repeat on every page and to hold still on the screen.
    pub headings: Option<u32>,
    /// Rows that begin a new page.
    pub breaks: &'a [u32],
    pub last_row: u32,
    pub last_column: u16,
}

/// Headings below this row are not held still: too little would be left of the screen.
const FREEZE_TO: u32 = 8;
const LETTER: u8 = 1;

pub(crate) fn set_up(worksheet: &mut Worksheet, page: &Page) -> Result<(), XlsxError> {
    // One page wide and as many long as it takes: page breaks keep their force.
    worksheet.set_paper_size(LETTER).set_print_fit_to_pages(1, 0);
    if page.landscape {
        worksheet.set_landscape();
    } else {
        worksheet.set_portrait();
    }
    worksheet.set_margins(0.5, 0.5, 0.6, 0.7, 0.3, 0.35);
    worksheet.set_footer(format!(
        "&L&8{}&C&8{}&R&8Page &P of &N",
        footer_words(page.foot.job, 70),
        footer_words(page.sheet, 40)
    ));
    if !page.foot.bid.is_empty() {
        worksheet.set_header(format!("&R&8{}", footer_words(page.foot.bid, 100)));
    }
    if let Some(row) = page.headings {
        worksheet.set_repeat_rows(row, row)?;
        if row < FREEZE_TO {
            worksheet.set_freeze_panes(row + 1, 0)?;
        }
    }
    if !page.breaks.is_empty() {
        worksheet.set_page_breaks(page.breaks)?;
    }
    worksheet.set_print_area(0, 0, page.last_row, page.last_column)?;
    Ok(())
}

/// Words in a footer: `&` begins a code there, and the whole may hold 255 characters.
fn footer_words(words: &str, longest: usize) -> String {
    let plain: String = words.chars().filter(|c| !c.is_control()).take(longest).collect();
    let plain = plain.replace('&', "&&");
    // A digit right after a letter size would be read as part of it.
    if plain.starts_with(|c: char| c.is_ascii_digit()) { format!(" {plain}") } else { plain }
}

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
