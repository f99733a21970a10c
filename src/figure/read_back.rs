//! Rule figures that are read back when somebody has typed over them, and those that are not.

use super::{Book, ColumnId, Expr, Fig, Origin, SheetId, TableId, Term, Value};
use std::sync::Arc;

impl Book {
    /// The expression in the cell that a term points at; `None` for a plain value.
    pub fn expr_of(&self, term: &Term) -> Option<&Expr> {
        term.fig().and_then(|fig| self.expr(fig))
    }

    /// What is typed over this figure is read back from the bid.
    pub(crate) fn mark_read_back(&mut self, fig: Fig) {
        self.read_back.insert(fig);
    }

    /// Whether what is typed over this figure is read back from the bid.
    pub fn is_read_back(&self, fig: Fig) -> bool {
        self.read_back.contains(&fig)
    }

    /// Tables of a sheet whose columns hold rule figures that are not read back: the table's title, the column's heading
    /// and the column.
    pub fn fixed_columns(&self, sheet: SheetId) -> Vec<(Arc<str>, Arc<str>, ColumnId)> {
        let mut fixed = Vec::new();
        for (index, table) in self.tables.iter().enumerate().filter(|(_, table)| table.sheet == sheet) {
            for (at, spec) in table.columns.iter().enumerate() {
                let figures = table.cells.iter().filter_map(|cells| cells.get(at).copied().flatten());
                let is_fixed = |fig: Fig| {
                    let number = matches!(self.value(fig), Value::Exact(_));
                    matches!(self.origin(fig), Origin::Rule(_) | Origin::Stated(_)) && number && !self.is_read_back(fig)
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
