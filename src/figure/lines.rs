//! Lines of words across the page, some of them put into room that was kept for them.

use super::book::{Cell, as_shown};
use super::{Block, Book, Expr, Fig, Home, Look, Origin, SheetId, Term, Value};

/// Where a line will be put.
#[derive(Debug)]
pub struct LineRoom {
    sheet: SheetId,
    block: usize,
}

impl Book {
    /// A line of words across the page.
    pub fn line(&mut self, sheet: SheetId, look: Look, words: Term) -> Term {
        let slot = self.room_for_line(sheet);
        self.line_at(slot, look, words)
    }

    /// Room for a line that is put once the cells are there that it speaks of; a gap until then.
    pub fn room_for_line(&mut self, sheet: SheetId) -> LineRoom {
        let blocks = &mut self.sheets[usize::from(sheet.0)].blocks;
        blocks.push(Block::Gap);
        LineRoom { sheet, block: blocks.len() - 1 }
    }

    /// A line in the room that was kept for it.
    pub fn line_at(&mut self, room: LineRoom, look: Look, words: Term) -> Term {
        let fitted = self.fitted(words.expr());
        let fig = Fig(self.cells.len() as u32);
        let LineRoom { sheet, block } = room;
        let home = Home::Line(sheet, block as u32);
        self.sheets[usize::from(sheet.0)].blocks[block] = Block::Line { figure: fig, look };
        // Plain words are written as words; anything else as a formula.
        let (expr, origin) = match words.expr() {
            Expr::Const(Value::Text(_)) => (None, Origin::Label),
            _ => (Some(fitted), Origin::Computed),
        };
        let value = as_shown(&words);
        self.cells.push(Cell { value: value.clone(), expr, origin, home, unit: None, link: None });
        Term::cell(fig, value)
    }

    /// A line of fixed words at the foot of a sheet.
    pub fn words(&mut self, sheet: SheetId, look: Look, words: &str) -> Term {
        self.line(sheet, look, Term::text(words))
    }

    /// A blank row at the foot of a sheet.
    pub fn gap(&mut self, sheet: SheetId) {
        self.sheets[usize::from(sheet.0)].blocks.push(Block::Gap);
    }
}
