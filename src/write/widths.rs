//! How wide the columns of a sheet are, and how far its lines of words reach.
//!
//! Several tables stacked on one sheet share its columns: the widest wish counts.

use super::{measure, style};
use crate::figure::{Block, Book, CellKind, SheetSpec, TableId, TableSpec, Value};
use crate::unit::Unit;

/// Words wider than this wrap, unless their column says otherwise. Where the columns of a sheet would make its print too
/// small to read, words wrap earlier: the first of these that fits the page counts, else the last.
const WIDEST_WORDS: [f64; 4] = [42.0, 36.0, 30.0, 25.0];
/// How much wider than the page a sheet may be: it is printed that much smaller.
const SHRINK: f64 = 1.6;
const NARROWEST: f64 = 6.0;
const WIDEST: f64 = 120.0;
/// Between the words of a column and those of the next.
const AIR: f64 = 2.0;
const HEADING_LINES: u32 = 3;
/// A column added only to carry lines of words across the page.
const SPARE: f64 = 10.0;
/// Lines of words reach at least this far, and no farther than this: longer ones are hard to follow.
const LINE_AT_LEAST: f64 = 92.0;
const LINE_AT_MOST: f64 = 136.0;
const SIGNATURE: f64 = 45.0;
/// Width of a landscape page in letters that are still easy to read.
const LANDSCAPE: f64 = 124.0;

/// The columns of one sheet.
#[derive(Debug)]
pub(crate) struct Widths {
    pub columns: Vec<f64>,
    /// Last column that lines of words are merged across.
    pub line_to: u16,
}

impl Widths {
    pub(crate) fn of(book: &Book, sheet: &SheetSpec) -> Self {
        let page = if sheet.landscape { LANDSCAPE } else { LINE_AT_LEAST };
        let wants = wants(book, sheet);
        let (mut columns, mut wishes) = (Vec::new(), Vec::new());
        for widest in WIDEST_WORDS {
            (columns, wishes) = shared_widths(&wants, sheet, widest);
            if columns.iter().sum::<f64>() <= page * SHRINK {
                break;
            }
        }
        // Words may have the room that is left on the page.
        let mut spare = page - columns.iter().sum::<f64>();
        for (width, wish) in columns.iter_mut().zip(&wishes) {
            let more = (wish - *width).clamp(0.0, spare.max(0.0));
            *width += more;
            spare -= more;
        }
        while columns.iter().sum::<f64>() < LINE_AT_LEAST {
            columns.push(SPARE);
        }
        let mut reach = 0.0;
        let mut line_to = 0;
        for (index, width) in columns.iter().enumerate() {
            if index > 0 && reach + width > LINE_AT_MOST {
                break;
            }
            reach += width;
            line_to = index as u16;
        }
        Self { columns, line_to }
    }

    /// The column that a rule to sign on reaches to.
    pub(crate) fn signature_to(&self) -> u16 {
        let mut reach = 0.0;
        for (index, width) in self.columns.iter().enumerate() {
            reach += width;
            if reach >= SIGNATURE {
                return (index as u16).min(self.line_to);
            }
        }
        self.line_to
    }

    /// Room from a column to the end of the lines of words.
    pub(crate) fn room_from(&self, column: u16) -> f64 {
        (usize::from(column)..=usize::from(self.line_to)).filter_map(|index| self.columns.get(index)).sum()
    }

    pub(crate) fn width(&self, column: u16) -> f64 {
        self.columns.get(usize::from(column)).copied().unwrap_or(SPARE)
    }
}

/// What a column of a table needs.
struct Wants {
    /// Which column of the sheet it is.
    index: usize,
    /// The width that was asked for, or 0.
    asked: f64,
    words: f64,
    numbers: f64,
    /// Empty where the table has no headings.
    heading: String,
}

/// What the columns of all tables of a sheet need: measured once, whatever width words are then allowed.
fn wants(book: &Book, sheet: &SheetSpec) -> Vec<Wants> {
    let tables = sheet.blocks.iter().filter_map(|block| match block {
        Block::Table(id) => Some(*id),
        _ => None,
    });
    tables
        .flat_map(|id| {
            let spec = book.table_spec(id);
            (0..spec.columns.len()).map(move |index| column_wants(book, id, spec, index))
        })
        .collect()
}

fn column_wants(book: &Book, table: TableId, spec: &TableSpec, index: usize) -> Wants {
    let column = &spec.columns[index];
    let (mut words, mut numbers) = (0.0_f64, 0.0_f64);
    for row in 0..spec.rows {
        let Some(fig) = book.cell_at(table, row, index as u16) else { continue };
        let value = book.value(fig);
        let unit = book.unit_of(fig);
        let bold = spec.row_kinds.get(row as usize) == Some(&CellKind::Total) || book.is_choice(fig);
        let bold = if bold { measure::BOLD } else { 1.0 };
        match value {
            Value::Text(_) if spills(book, table, spec, row, index as u16) => {}
            Value::Text(text) => words = words.max(measure::width(text) * bold),
            _ => {
                let shown = measure::shown(value, unit, with_unit(spec, column.unit, unit));
                numbers = numbers.max(measure::width(&shown) * bold);
            }
        }
    }
    let heading = if spec.headed { style::heading_words(&column.heading, column.unit) } else { String::new() };
    Wants { index, asked: column.width, words, numbers, heading }
}

/// Width of every column with its words no wider than `widest`, and the width at which nothing would wrap.
fn shared_widths(wants: &[Wants], sheet: &SheetSpec, widest: f64) -> (Vec<f64>, Vec<f64>) {
    let mut columns = sheet.widths.clone();
    let mut wishes = columns.clone();
    for column in wants {
        let (width, wish) = column_width(column, widest);
        widen(&mut columns, column.index, width);
        widen(&mut wishes, column.index, wish);
    }
    (columns, wishes)
}

fn widen(widths: &mut Vec<f64>, index: usize, width: f64) {
    match widths.get_mut(index) {
        Some(wide) => *wide = wide.max(width),
        None => widths.push(width),
    }
}

/// The width of a column, and the width at which none of its words would wrap.
fn column_width(wants: &Wants, widest: f64) -> (f64, f64) {
    // A width that was asked for gives way too once the sheet is too wide.
    let asked = if widest < WIDEST_WORDS[0] { wants.asked.min(widest * 1.2) } else { wants.asked };
    let mut width = if wants.asked > 0.0 { asked } else { wants.words.min(widest) }.max(wants.numbers);
    if !wants.heading.is_empty() {
        // A heading may wrap, but not in the middle of a word and not to more lines than these.
        let longest = wants.heading.split(' ').map(measure::width).fold(0.0, f64::max);
        width = width.max(longest * measure::BOLD);
        // A heading that just fits on a line would touch the next one.
        let whole = measure::width(&wants.heading) * measure::BOLD;
        if width < whole && whole <= width + AIR {
            width = whole;
        }
        while measure::lines(&wants.heading, width + AIR, 11.0, true) > HEADING_LINES {
            width += 1.0;
        }
    }
    let width = (width + AIR).clamp(NARROWEST, WIDEST);
    let wish = if wants.asked > 0.0 { width } else { (wants.words + AIR).clamp(width, WIDEST) };
    (width, wish)
}

/// Whether a cell shows its unit itself: in lists, which have no headings, and where it differs from its column's.
pub(crate) fn with_unit(spec: &TableSpec, column: Unit, unit: Unit) -> bool {
    !spec.headed || column != unit
}

/// True for words at the end of a row of a list, or in a list of nothing but words: they may run on across the page instead
/// of widening their column.
pub(crate) fn spills(book: &Book, table: TableId, spec: &TableSpec, row: u32, column: u16) -> bool {
    !spec.headed
        && (column > 0 || spec.columns.len() == 1)
        && (column + 1..spec.columns.len() as u16).all(|next| book.cell_at(table, row, next).is_none())
}
