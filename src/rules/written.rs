//! Rule figures that somebody may type over: what they were is written beside them, so that the bid, read again, takes what
//! differs for a row of the user's own.

use crate::figure::{Book, ColumnId, RowId, TableId, Value};
use crate::model::{AS_WRITTEN, AsWritten, WrittenFigure};
use crate::table::columns;
use rust_decimal::Decimal;

/// Columns of rule tables that are printed, as many as the widest has; in all of them those for the program come next.
const PRINTED: usize = 8;

/// Of which row of the user's sheets a row of rule figures would be.
pub struct UsersRow<'a> {
    pub sheet: &'a str,
    /// What names it: headings and words.
    pub keys: &'a [(&'a str, &'a str)],
}

columns! {
    struct Blank {
        _blank: "", words;
    }
}

columns! {
    struct Written {
        as_written: AS_WRITTEN, quiet words 12;
    }
}

impl Book {
    /// The column that [`Book::write_down`] fills: for the program alone, so beyond the columns that are printed.
    pub fn as_written_column(&mut self, table: TableId) -> ColumnId {
        while self.table_spec(table).columns.len() < PRINTED {
            Blank::in_table(self, table);
        }
        let sheet = self.table_spec(table).sheet;
        self.not_printed(sheet, 1);
        Written::in_table(self, table).as_written
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
                self.mark_read_back(fig);
            }
        }
        self.label(row, column, &written.to_text());
    }
}
