//! Result tables, declared once: `columns!` gives a table's columns by name, with heading, unit and width of each; [`List`]
//! is a table of labels and values without headings.

use crate::figure::{Book, CellKind, ColumnId, ColumnLook, RowId, SheetId, TableId, Term};
use crate::unit::Unit;

/// Declares the columns of a result table, from left to right: `field: "Heading", look width;`. The look is a unit of
/// [`Unit`], or `words`, before it `quiet` or `total` where it has that [`CellKind`], or `check` alone, or `of` and the name of
/// a parameter that gives the unit. A width in characters follows, as a number or, in parentheses, by its name; it may be left out. `in_table` makes the columns in a table that has none yet.
///
/// A field of another type than one column says so, and its heading is what such columns are made from:
/// `phases as [ColumnId; 4]: PHASES, Money;`, `bought as Option<ColumnId>: any.then_some("Bought"), Each;`. What such
/// headings depend on comes in by parameters behind the name: `struct Columns(any: bool)`. With `on Page("Title")` behind
/// that, `on_page` makes the table too.
macro_rules! columns {
    ($(#[$about:meta])* $see:vis struct $name:ident $(($($given:ident: $type:ty),*))? on $page:ident($title:expr) {
        $($fields:tt)*
    }) => {
        $crate::table::columns! { $(#[$about])* $see struct $name $(($($given: $type),*))? { $($fields)* } }

        impl $name {
            $see fn on_page<R>(
                book: &mut $crate::figure::Book,
                view: &$crate::view::View<R>
                $($(, $given: $type)*)?
            ) -> Self {
                let table = book.table(view.page($crate::sheets::Page::$page), $title);
                Self::in_table(book, table $($(, $given)*)?)
            }
        }
    };
    ($(#[$about:meta])* $see:vis struct $name:ident $(($($given:ident: $type:ty),*))? {
        $($(#[$field_about:meta])* $field_see:vis $field:ident $(as $many:ty)?:
            $heading:expr, $($look:ident)+ $($width:literal)? $(($wide:expr))?;)*
    }) => {
        $(#[$about])*
        $see struct $name {
            #[allow(dead_code, reason = "every table of columns has it")]
            $see table: $crate::figure::TableId,
            $($(#[$field_about])* $field_see $field: $crate::table::columns!(@type $($many)?),)*
        }

        impl $name {
            $see fn in_table(
                book: &mut $crate::figure::Book,
                table: $crate::figure::TableId
                $($(, $given: $type)*)?
            ) -> Self {
                use $crate::table::Headed as _;
                Self {
                    table,
                    $($field: $heading.columns(
                        book,
                        table,
                        $crate::figure::ColumnLook {
                            width: 0.0 $(+ f64::from($width))? $(+ $wide)?,
                            ..$crate::table::columns!(@look $($look)+)
                        },
                    ),)*
                }
            }
        }
    };
    (@type) => { $crate::figure::ColumnId };
    (@type $many:ty) => { $many };
    (@look check) => { $crate::table::look($crate::unit::Unit::None, $crate::figure::CellKind::Check) };
    (@look of $unit:ident) => { $crate::table::look($unit, $crate::figure::CellKind::Plain) };
    (@look quiet $unit:ident) => { $crate::table::look($crate::table::columns!(@unit $unit), $crate::figure::CellKind::Quiet) };
    (@look total $unit:ident) => { $crate::table::look($crate::table::columns!(@unit $unit), $crate::figure::CellKind::Total) };
    (@look $unit:ident) => { $crate::table::look($crate::table::columns!(@unit $unit), $crate::figure::CellKind::Plain) };
    (@unit words) => { $crate::unit::Unit::None };
    (@unit $unit:ident) => { $crate::unit::Unit::$unit };
}
pub(crate) use columns;

/// As wide as its heading and figures need.
pub(crate) fn look(unit: Unit, kind: CellKind) -> ColumnLook {
    ColumnLook { unit, kind, width: 0.0 }
}

/// What columns are made from: a heading, or several.
pub(crate) trait Headed {
    type Columns;

    fn columns(self, book: &mut Book, table: TableId, look: ColumnLook) -> Self::Columns;
}

impl Headed for &str {
    type Columns = ColumnId;

    fn columns(self, book: &mut Book, table: TableId, look: ColumnLook) -> ColumnId {
        book.column_like(table, self, look)
    }
}

impl<H: Headed, const N: usize> Headed for [H; N] {
    type Columns = [H::Columns; N];

    fn columns(self, book: &mut Book, table: TableId, look: ColumnLook) -> Self::Columns {
        self.map(|heading| heading.columns(book, table, look))
    }
}

impl<H: Headed> Headed for Option<H> {
    type Columns = Option<H::Columns>;

    fn columns(self, book: &mut Book, table: TableId, look: ColumnLook) -> Self::Columns {
        self.map(|heading| heading.columns(book, table, look))
    }
}

impl<H: AsRef<str>> Headed for &[H] {
    type Columns = Vec<ColumnId>;

    fn columns(self, book: &mut Book, table: TableId, look: ColumnLook) -> Self::Columns {
        self.iter().map(|heading| heading.as_ref().columns(book, table, look)).collect()
    }
}

/// Labels and values, a line each.
#[derive(Debug, Clone, Copy)]
pub(crate) struct List {
    pub label: ColumnId,
    pub value: ColumnId,
}

impl List {
    /// Widths of both columns in characters; 0 leaves them to the writer.
    pub(crate) fn put(book: &mut Book, sheet: SheetId, title: &str, widths: [f64; 2], unit: Unit) -> Self {
        let list = book.list(sheet, title);
        Self::in_list(book, list, widths, unit)
    }

    /// The same in a list that has no columns yet.
    pub(crate) fn in_list(book: &mut Book, list: TableId, [label, value]: [f64; 2], unit: Unit) -> Self {
        let label = book.column_like(list, "", ColumnLook::plain(Unit::None, label));
        Self { label, value: book.column_like(list, "", ColumnLook::plain(unit, value)) }
    }

    /// Labels and verdicts.
    pub(crate) fn checks(book: &mut Book, sheet: SheetId, title: &str, [label, value]: [f64; 2]) -> Self {
        let list = book.list(sheet, title);
        let label = book.column_like(list, "", ColumnLook::plain(Unit::None, label));
        Self {
            label,
            value: book.column_like(list, "", ColumnLook { width: value, ..look(Unit::None, CellKind::Check) }),
        }
    }

    /// A column of words beside the values.
    pub(crate) fn notes(self, book: &mut Book, width: f64) -> ColumnId {
        book.column_like(self.label.table(), "", ColumnLook::plain(Unit::None, width))
    }

    /// A line with its label only.
    pub(crate) fn label(self, book: &mut Book, words: &str) -> RowId {
        let row = book.row(self.label.table());
        book.label(row, self.label, words);
        row
    }

    pub(crate) fn line(self, book: &mut Book, words: &str, term: Term) -> Term {
        let row = self.label(book, words);
        book.put(row, self.value, term)
    }

    /// A line of another unit.
    pub(crate) fn line_in(self, book: &mut Book, words: &str, term: Term, unit: Unit) -> Term {
        let term = self.line(book, words, term);
        book.unit(&term, unit);
        term
    }

    /// A line of another look.
    pub(crate) fn line_like(self, book: &mut Book, words: &str, term: Term, kind: CellKind) -> Term {
        let row = self.label(book, words);
        book.mark(row, kind);
        book.put(row, self.value, term)
    }
}
