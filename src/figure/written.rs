//! Rule figures that somebody may type over: what they were is written beside them, so that the bid, read again, takes what
//! differs for a row of the user's own.

use super::{Book, CellKind, ColumnId, Expr, Fig, RowId, TableId, Term, Value};
use crate::model::{AS_WRITTEN, AsWritten, WrittenFigure};
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

/// Columns of rule tables that are printed, as many as the widest has; in all of them those for the program come next.
const PRINTED: usize = 8;

/// Of which row of the user's sheets a row of rule figures would be.
pub struct UsersRow<'a> {
    pub sheet: &'a str,
    /// What names it: headings and words.
    pub keys: &'a [(&'a str, &'a str)],
}

impl Book {
    /// The expression in the cell that a term points at; `None` for a plain value.
    pub fn expr_of(&self, term: &Term) -> Option<&Expr> {
        term.fig().and_then(|fig| self.expr(fig))
    }

    /// The column that [`Book::write_down`] fills: for the program alone, so beyond the columns that are printed.
    pub fn as_written_column(&mut self, table: TableId) -> ColumnId {
        while self.tables[usize::from(table.0)].columns.len() < PRINTED {
            self.column_like(table, "", Unit::None, 0.0, CellKind::Plain);
        }
        let sheet = self.tables[usize::from(table.0)].sheet;
        self.not_printed(sheet, 1);
        self.column_like(table, AS_WRITTEN, Unit::None, 12.0, CellKind::Quiet)
    }

    /// Writes down what the figures of a row are: each by the heading it has in the user's sheet, and what it is
    /// multiplied by to stand there. Cells without a number are passed over.
    pub fn write_down(
        &mut self,
        row: RowId,
        column: ColumnId,
        users: &UsersRow,
        figures: &[(ColumnId, &str, Decimal)],
    ) {
        let mut written = AsWritten {
            sheet: users.sheet.to_owned(),
            keys: users.keys.iter().map(|(heading, words)| ((*heading).to_owned(), (*words).to_owned())).collect(),
            figures: Vec::new(),
        };
        for (of, heading, times) in figures {
            let Some(fig) = self.at(row, *of).and_then(|term| term.fig()) else { continue };
            if let (Value::Exact(was), None) = (self.value(fig), self.expr(fig)) {
                let (column, heading) = (of.index(), (*heading).to_owned());
                written.figures.push(WrittenFigure { column, heading, was: *was, times: *times });
                self.read_back.insert(fig);
            }
        }
        self.label(row, column, &written.to_text());
    }

    /// Whether what is typed over this figure is read back from the bid.
    pub fn is_read_back(&self, fig: Fig) -> bool {
        self.read_back.contains(&fig)
    }

    /// Tables of a sheet whose columns hold rule figures that are not read back: the table's title, the column's heading
    /// and the column.
    pub fn fixed_columns(&self, sheet: super::SheetId) -> Vec<(Arc<str>, Arc<str>, ColumnId)> {
        let mut fixed = Vec::new();
        for (index, table) in self.tables.iter().enumerate().filter(|(_, table)| table.sheet == sheet) {
            for (at, spec) in table.columns.iter().enumerate() {
                let figures = table.cells.iter().filter_map(|cells| cells.get(at).copied().flatten());
                let is_fixed = |fig: Fig| {
                    let number = matches!(self.value(fig), Value::Exact(_));
                    matches!(self.origin(fig), super::Origin::Rule(_) | super::Origin::Stated(_))
                        && number
                        && !self.is_read_back(fig)
                };
                if figures.into_iter().any(is_fixed) {
                    let column = ColumnId { table: TableId(index as u16), index: at as u16 };
                    fixed.push((table.title.clone(), spec.heading.clone(), column));
                }
            }
        }
        fixed
    }
}
