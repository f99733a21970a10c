//! The looks that all sheets share: colors, headings, input cells.

use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder};

/// Behind a heading that must be filled in.
const DEEP: Color = Color::RGB(0x3E4A3D);
/// Behind a heading that may stay blank.
const MILD: Color = Color::RGB(0xC9D3C2);
/// Behind a cell that is typed by the user.
const PAPER: Color = Color::RGB(0xFBF8EC);
/// Lines between cells.
const LINE: Color = Color::RGB(0xB9BDAF);
/// Words that help but are no content.
const QUIET: Color = Color::RGB(0x5F665A);
/// The tab of a sheet that the user fills in.
pub(crate) const INPUT_TAB: Color = Color::RGB(0xB08D3C);

/// The sheet's name in its first row.
pub(crate) fn title() -> Format {
    Format::new().set_bold().set_font_size(14).set_font_color(DEEP)
}

/// What the sheet is for, behind its name and in the row under it.
pub(crate) fn hint() -> Format {
    Format::new().set_font_size(10).set_font_color(QUIET)
}

/// A heading over a column. A needed one is dark, so that it is seen without reading.
pub(crate) fn heading(needed: bool) -> Format {
    let format = Format::new()
        .set_bold()
        .set_text_wrap()
        .set_align(FormatAlign::Center)
        .set_align(FormatAlign::VerticalCenter)
        .set_border(FormatBorder::Thin)
        .set_border_color(LINE);
    if needed {
        format.set_background_color(DEEP).set_font_color(Color::White)
    } else {
        format.set_background_color(MILD)
    }
}

/// Lays the look of a cell typed by the user over a column's number format and alignment.
pub(crate) fn input(format: Format) -> Format {
    format
        .set_background_color(PAPER)
        .set_border(FormatBorder::Thin)
        .set_border_color(LINE)
        .set_align(FormatAlign::Top)
        .set_unlocked()
}
