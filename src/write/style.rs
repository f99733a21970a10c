//! How a cell looks: by what it is (label, figure, choice, input, total, check) and by its unit. Meant for a screen and
//! for black-and-white paper alike: what matters is bold, boxed or ruled, and colour only repeats it.

use crate::figure::{CellKind, Look};
use crate::unit::Unit;
use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder};
use std::collections::HashMap;
use std::rc::Rc;

const INK: Color = Color::RGB(0x1F_2A_33);
const GREY: Color = Color::RGB(0x6A_73_7B);
const RULE: Color = Color::RGB(0x8A_95_9E);
const HAIR: Color = Color::RGB(0xC9_D0_D6);
const HEADING_FILL: Color = Color::RGB(0xDC_E3_E8);
const CHOICE_FILL: Color = Color::RGB(0xFB_F1_D9);
const INPUT_FILL: Color = Color::RGB(0xF3_F7_EC);
const CAUTION_FILL: Color = Color::RGB(0xFB_E9_E3);
const GOOD: Color = Color::RGB(0x2E_6B_3E);
const ALARM: Color = Color::RGB(0xB3_1B_1B);
const LINK: Color = Color::RGB(0x1B_4F_8A);

/// Under every sheet that holds choices.
pub(crate) const CHOICE_LEGEND: &str = "Boxed and bold on a tint: chosen by the engine. The check in its row says OK while the choice still holds, \
     or what is wrong with it now.";

/// What a cell is, as far as its look goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub(crate) enum Role {
    #[default]
    Figure,
    Choice,
    /// Left blank for the reader to fill in.
    ToFill,
}

/// Everything that decides a cell's look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Key {
    pub unit: Unit,
    /// The unit stands in the cell itself (`55.00 psi`), where no heading tells it.
    pub with_unit: bool,
    pub role: Role,
    pub bold: bool,
    /// A rule above.
    pub total: bool,
    pub check: bool,
    pub quiet: bool,
    /// `None` leaves it to the program: numbers right, words left.
    pub right: Option<bool>,
    /// A little away from the column on its left.
    pub indent: bool,
    pub wrap: bool,
    pub link: bool,
}

impl Key {
    pub(crate) fn new(unit: Unit) -> Self {
        Self {
            unit,
            with_unit: false,
            role: Role::Figure,
            bold: false,
            total: false,
            check: false,
            quiet: false,
            right: None,
            indent: false,
            wrap: false,
            link: false,
        }
    }

    /// Adds what a column says. A column of totals is bold; a rule above each of its cells would say nothing.
    pub(crate) fn column(self, kind: CellKind) -> Self {
        let key = self.row(kind);
        Self { total: self.total, ..key }
    }

    /// Adds what a row says.
    pub(crate) fn row(mut self, kind: CellKind) -> Self {
        match kind {
            CellKind::Plain => {}
            CellKind::Total => (self.bold, self.total) = (true, true),
            CellKind::Check => self.check = true,
            CellKind::Quiet | CellKind::Idle => self.quiet = true,
        }
        self
    }
}

/// A cell of the user's own sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum KeptLook {
    /// A heading that was recognised, or stands in the heading row.
    Heading,
    /// Under a recognised heading: what the bid is made from.
    Input,
    /// Anything else.
    Plain,
}

/// The formats of one sheet, each made once.
#[derive(Default)]
pub(crate) struct Styles {
    cells: HashMap<Key, Rc<Format>>,
    kept: HashMap<(KeptLook, String), Rc<Format>>,
}

impl Styles {
    pub(crate) fn cell(&mut self, key: Key) -> Rc<Format> {
        self.cells.entry(key).or_insert_with(|| Rc::new(cell_format(key))).clone()
    }

    pub(crate) fn kept(&mut self, look: KeptLook, number_format: &str) -> Rc<Format> {
        let format = || Rc::new(kept_format(look, number_format));
        self.kept.entry((look, number_format.to_owned())).or_insert_with(format).clone()
    }
}

/// The number format of a unit; with the unit's sign where no heading tells it.
pub(crate) fn number_format(unit: Unit, with_unit: bool) -> String {
    let plain = unit.number_format();
    match (with_unit, unit) {
        (false, _) | (_, Unit::None | Unit::Percent | Unit::Each) => plain.to_owned(),
        (true, Unit::Money | Unit::UnitPrice) => format!("$#,##0.{}", plain.rsplit('.').next().unwrap_or("00")),
        (true, _) if unit.symbol().is_empty() => plain.to_owned(),
        // One day is no days.
        (true, Unit::Days) => format!("[=1]{plain}\" day\";{plain}\" days\""),
        (true, _) => format!("{plain}\" {}\"", unit.symbol()),
    }
}

/// A heading with its unit, unless the words already end in it.
pub(crate) fn heading_words(heading: &str, unit: Unit) -> String {
    let symbol = unit.symbol();
    // Pieces need no unit, and a percentage carries its sign in every cell.
    let says_unit = matches!(unit, Unit::Each | Unit::Percent) || symbol.is_empty() || heading.is_empty();
    if says_unit || heading.split_whitespace().any(|word| word.eq_ignore_ascii_case(symbol)) {
        return heading.to_owned();
    }
    if heading.to_lowercase().ends_with(&symbol.to_lowercase()) {
        return heading.to_owned();
    }
    // A dollar sign does not stand on a line of its own.
    let space = if symbol == "$" { '\u{a0}' } else { ' ' };
    format!("{heading}{space}{symbol}")
}

fn base() -> Format {
    Format::new().set_font_color(INK).set_align(FormatAlign::Top)
}

fn cell_format(key: Key) -> Format {
    let mut format = base().set_num_format(number_format(key.unit, key.with_unit));
    format = format.set_border_bottom(FormatBorder::Hair).set_border_bottom_color(HAIR);
    match key.right {
        Some(true) => format = format.set_align(FormatAlign::Right),
        Some(false) => format = format.set_align(FormatAlign::Left),
        None => {}
    }
    if key.indent && key.right != Some(true) {
        format = format.set_indent(1);
    }
    if key.wrap {
        format = format.set_text_wrap();
    }
    if key.quiet {
        format = format.set_font_color(GREY);
    }
    if key.check {
        format = format.set_font_color(GOOD);
    }
    if key.bold {
        format = format.set_bold();
    }
    if key.total {
        format = format.set_border_top(FormatBorder::Thin).set_border_top_color(INK);
    }
    if key.role == Role::Choice {
        format = format
            .set_bold()
            .set_background_color(CHOICE_FILL)
            .set_border(FormatBorder::Thin)
            .set_border_color(RULE)
            .set_font_color(INK);
    }
    if key.role == Role::ToFill {
        format = format
            .set_unlocked()
            .set_background_color(INPUT_FILL)
            .set_border(FormatBorder::Thin)
            .set_border_color(RULE)
            .set_text_wrap();
    }
    if key.link {
        format = format.set_font_color(LINK).set_underline(rust_xlsxwriter::FormatUnderline::Single);
    }
    format
}

fn kept_format(look: KeptLook, number_format: &str) -> Format {
    let format = Format::new().set_num_format(number_format);
    match look {
        KeptLook::Heading => heading(false, false).set_num_format(number_format),
        KeptLook::Input => format
            .set_background_color(INPUT_FILL)
            .set_border_bottom(FormatBorder::Hair)
            .set_border_bottom_color(RULE)
            .set_align(FormatAlign::Top),
        KeptLook::Plain => format,
    }
}

/// The heading of a column.
pub(crate) fn heading(right: bool, indent: bool) -> Format {
    let format = base()
        .set_bold()
        .set_text_wrap()
        .set_background_color(HEADING_FILL)
        .set_border_bottom(FormatBorder::Thin)
        .set_border_bottom_color(INK)
        .set_align(FormatAlign::Bottom)
        .set_align(if right { FormatAlign::Right } else { FormatAlign::Left });
    if indent && !right { format.set_indent(1) } else { format }
}

/// The title above a table.
pub(crate) fn table_title() -> Format {
    Format::new().set_font_color(INK).set_bold().set_font_size(12).set_align(FormatAlign::Bottom)
}

/// A line of words across the page.
pub(crate) fn line(look: Look) -> Format {
    let words = base().set_text_wrap().set_font_size(points(look)).set_align(FormatAlign::Left);
    match look {
        Look::Title => words.set_bold().set_border_bottom(FormatBorder::Medium).set_border_bottom_color(INK),
        Look::Heading => words
            .set_bold()
            .set_align(FormatAlign::Bottom)
            .set_border_bottom(FormatBorder::Thin)
            .set_border_bottom_color(RULE),
        Look::Words => words,
        Look::Small => words.set_font_color(GREY),
        Look::Caution => words
            .set_bold()
            .set_background_color(CAUTION_FILL)
            .set_border(FormatBorder::Thin)
            .set_border_color(INK)
            .set_align(FormatAlign::VerticalCenter),
        // Nothing shows of an empty one.
        Look::Flag => words.set_bold().set_font_color(ALARM),
        Look::Signature => words.set_font_color(GREY).set_border_top(FormatBorder::Thin).set_border_top_color(INK),
    }
}

/// Size of the letters of a line of words.
pub(crate) fn points(look: Look) -> f64 {
    match look {
        Look::Title => 18.0,
        Look::Heading => 13.0,
        Look::Words | Look::Caution | Look::Flag => 11.0,
        Look::Small | Look::Signature => 9.0,
    }
}

/// A check that does not say OK.
pub(crate) fn alarm() -> Format {
    Format::new().set_bold().set_font_color(Color::White).set_background_color(ALARM)
}

/// The hairline under the empty cells of a table, so that a row can be followed across the page.
pub(crate) fn empty_cell() -> Format {
    Format::new().set_border_bottom(FormatBorder::Hair).set_border_bottom_color(HAIR)
}

/// An input that nobody has filled in.
pub(crate) fn empty_input() -> Format {
    empty_cell().set_background_color(INPUT_FILL)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heading_tells_its_unit_once() {
        assert_eq!(heading_words("Length", Unit::Feet), "Length ft");
        assert_eq!(heading_words("Length ft", Unit::Feet), "Length ft");
        assert_eq!(heading_words("Loss psi/100 ft", Unit::PsiPer100Ft), "Loss psi/100 ft");
        assert_eq!(heading_words("Share", Unit::Percent), "Share");
    }

    #[test]
    fn a_list_shows_the_unit_in_the_cell() {
        assert_eq!(number_format(Unit::Psi, true), "#,##0.00\" psi\"");
        assert_eq!(number_format(Unit::Money, true), "$#,##0.00");
        assert_eq!(number_format(Unit::UnitPrice, true), "$#,##0.0000");
        assert_eq!(number_format(Unit::Psi, false), "#,##0.00");
    }
}
