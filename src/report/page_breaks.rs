//! What belongs together stays on one page, as far as can be told before a page is made.

use crate::figure::{Block, Book, Look, SheetId, TableId, Value};

/// Lines of body letters on a page of letter paper, upright, between the margins the writer sets.
const PAGE: f64 = 46.0;
/// Letters to a line across the page.
const ACROSS: usize = 105;

/// Begins a new page where `lines` more lines might run over the foot of the page begun last. How much a page holds
/// differs with the program and its letters, so the least is reckoned with: that costs some white paper at most.
pub(super) fn keep_together(book: &mut Book, sheet: SheetId, lines: f64) {
    let mut used = 0.0;
    for block in &book.sheets()[usize::from(sheet.0)].blocks {
        used = match block {
            Block::PageBreak => 0.0,
            Block::Chart(_) => used + f64::from(crate::figure::address::CHART_ROWS),
            Block::Gap => used + 1.0,
            Block::Line { figure, look } => used + line(&book.value(*figure).to_string(), *look),
            Block::Table(table) => used + height(book, *table),
        };
    }
    if used > 0.0 && used + lines > PAGE {
        book.page_break(sheet);
    }
}

fn line(words: &str, look: Look) -> f64 {
    match look {
        Look::Title => 2.4,
        Look::Heading => 1.7,
        Look::Words | Look::Caution | Look::Flag => wrapped(words, ACROSS),
        Look::Small => 1.0,
        Look::Signature => 2.0,
    }
}

fn wrapped(words: &str, letters: usize) -> f64 {
    words.chars().count().div_ceil(letters).max(1) as f64
}

/// Title, headings, rows as high as their words need, and the blank row that follows.
fn height(book: &Book, table: TableId) -> f64 {
    let spec = book.table_spec(table);
    let mut lines = 1.0 + if spec.title.is_empty() { 0.0 } else { 1.5 } + if spec.headed { 1.3 } else { 0.0 };
    for row in 0..spec.rows {
        let cells = spec.columns.iter().enumerate().filter_map(|(index, column)| {
            let fig = book.cell_at(table, row, index as u16)?;
            let Value::Text(text) = book.value(fig) else { return None };
            Some(wrapped(text, (column.width.max(10.0) * 1.1) as usize))
        });
        lines += cells.fold(1.0, f64::max);
    }
    lines
}
