//! Rows of rule tables on the Rules page of a bid: the one place that puts them there, each with its source, how far it can
//! be trusted, and what it was when it was written.

use super::declare::Row;
use super::origin::Origin;
use super::table::{Role, Spec};
use super::written::UsersRow;
use crate::figure::{Book, Column, ColumnId, RowId, SheetId, TableId, Term, Value};
use crate::model::fold;
use crate::sheets::Page;
use crate::table::columns;
use crate::unit::Unit;
use crate::view::View;
use rust_decimal::{Decimal, dec};
use std::collections::BTreeMap;

/// What a row on the Rules page is a row of.
pub trait Ruled {
    /// The rule table, as declared.
    fn spec() -> &'static Spec;

    /// Where the row comes from.
    fn origin(&self) -> &Origin;

    /// What names the row in the user's sheet: headings and words.
    fn keys(&self) -> Vec<(&'static str, String)>;
}

impl<R: Row> Ruled for R {
    fn spec() -> &'static Spec {
        R::SPEC
    }

    fn origin(&self) -> &Origin {
        Row::origin(self)
    }

    fn keys(&self) -> Vec<(&'static str, String)> {
        let cells = R::SPEC.columns.iter().zip(self.cells());
        cells.filter(|(column, _)| column.is_key()).map(|(column, text)| (column.name, text)).collect()
    }
}

/// A row that has columns on the Rules page; made by `page!`.
pub trait OnPage: Ruled + Sized {
    /// One thing for each column.
    type Cells<T: Clone>: Clone;

    /// The columns.
    fn shown() -> Self::Cells<Shown<Self>>;

    /// What `make` makes of each column, from left to right.
    fn map<T: Clone, U: Clone>(cells: Self::Cells<T>, make: impl FnMut(T) -> U) -> Self::Cells<U>;
}

/// A column on the Rules page.
#[derive(Debug)]
pub struct Shown<R> {
    heading: &'static str,
    unit: Unit,
    /// What a row has in it; `None` for a blank cell, or one that its caller fills.
    value: fn(&R) -> Option<Value>,
    /// Its heading in the user's sheet.
    name: &'static str,
    millionths: bool,
}

// A derived one would ask for rows that can be copied.
impl<R> Clone for Shown<R> {
    fn clone(&self) -> Self {
        Self { ..*self }
    }
}

impl<R: Ruled> Shown<R> {
    /// `heading` on the page, `name` in the user's sheet, `value` what a row shows there.
    pub fn new(heading: &'static str, unit: Unit, name: &'static str, value: fn(&R) -> Option<Value>) -> Self {
        Self { heading, unit, value, name, millionths: false }
    }

    /// The same in millionths, so that a reader sees digits.
    pub fn millionths(self) -> Self {
        Self { millionths: true, ..self }
    }

    fn value(&self, row: &R) -> Option<Value> {
        match (self.value)(row)? {
            Value::Exact(number) if self.millionths => {
                Some(Value::Exact(number.saturating_mul(Decimal::from(1_000_000)).normalize()))
            }
            value => Some(value),
        }
    }

    /// What the figure is multiplied by to be the user's.
    fn times(&self) -> Decimal {
        if self.millionths { dec!(0.000001) } else { Decimal::ONE }
    }

    /// Whether what is typed over it goes to the user's sheet: its values do, what names the row does not.
    fn is_edited(&self) -> bool {
        let column = R::spec().columns.iter().find(|column| fold(column.name) == fold(self.name));
        column.is_some_and(|column| matches!(column.role, Role::Value | Role::Optional))
    }
}

/// Rows of one rule table on the Rules page, each put once, when it is first asked for.
pub struct Listing<R: OnPage> {
    sheet: SheetId,
    title: String,
    table: Option<Table>,
    put: BTreeMap<String, (RowId, R::Cells<Term>)>,
}

columns! {
    struct Origins {
        source: "Source", words 50;
        basis: "Basis", words 18;
    }
}

columns! {
    struct Checks {
        check: "Check", check 16;
    }
}

#[derive(Clone)]
struct Table {
    id: TableId,
    columns: Vec<ColumnId>,
    source: ColumnId,
    basis: ColumnId,
    as_written: ColumnId,
}

impl<R: OnPage> Listing<R> {
    /// A table that is put with its first row, or by [`Listing::open`].
    pub fn new<V>(view: &View<'_, V>, title: &str) -> Self {
        Self { sheet: view.page(Page::Rules), title: title.to_owned(), table: None, put: BTreeMap::new() }
    }

    /// Puts the table, whether it gets rows or not.
    pub fn open(mut self, book: &mut Book) -> Self {
        self.table(book);
        self
    }

    fn table(&mut self, book: &mut Book) -> Table {
        let (sheet, title) = (self.sheet, &self.title);
        let table = self.table.get_or_insert_with(|| {
            let id = book.table(sheet, title);
            let mut columns = Vec::new();
            R::map(R::shown(), |shown| columns.push(book.column(id, shown.heading, shown.unit)));
            let Origins { source, basis, .. } = Origins::in_table(book, id);
            let as_written = book.as_written_column(id);
            Table { id, columns, source, basis, as_written }
        });
        table.clone()
    }

    /// The figures of a row; a blank cell's counts as nothing.
    pub fn row(&mut self, book: &mut Book, row: &R) -> R::Cells<Term> {
        self.line(book, row).1
    }

    /// The same with the row of the page, for formulas that its caller puts there.
    pub fn line(&mut self, book: &mut Book, row: &R) -> (RowId, R::Cells<Term>) {
        let keys = row.keys();
        let keys: Vec<(&str, &str)> = keys.iter().map(|(heading, words)| (*heading, &**words)).collect();
        self.line_of(book, row, R::spec().sheet.map(|sheet| UsersRow { sheet, keys: &keys }), &keys)
    }

    /// The figures of a row that goes to another place of the user's than its table says.
    pub fn row_of(&mut self, book: &mut Book, row: &R, users: UsersRow<'_>) -> R::Cells<Term> {
        let keys = users.keys;
        self.line_of(book, row, Some(users), keys).1
    }

    fn line_of(
        &mut self,
        book: &mut Book,
        row: &R,
        users: Option<UsersRow<'_>>,
        keys: &[(&str, &str)],
    ) -> (RowId, R::Cells<Term>) {
        let name: String = keys.iter().map(|(_, words)| format!("{words}|")).collect();
        if let Some(known) = self.put.get(&name) {
            return known.clone();
        }
        let table = self.table(book);
        let line = book.row(table.id);
        let origin = row.origin();
        let source = origin.words();
        let mut columns = table.columns.iter();
        let mut edited = Vec::new();
        let terms = R::map(R::shown(), |shown| {
            let value = columns.next().copied().zip(shown.value(row));
            let term = value.map(|(column, value)| {
                if shown.is_edited() {
                    edited.push((column, shown.name, shown.times()));
                }
                book.rule(line, column, value, &source)
            });
            term.unwrap_or_else(|| Term::number(0))
        });
        book.label(line, table.source, &origin.source);
        let basis = match origin.is_users() {
            true => format!("your own row, {}", origin.read_from),
            false => origin.basis.word().to_owned(),
        };
        book.label(line, table.basis, &basis);
        if let Some(users) = users {
            book.write_down(line, table.as_written, &users, &edited);
        }
        self.put.insert(name, (line, terms.clone()));
        (line, terms)
    }

    /// One more column, for a check of each row; beyond those that are printed.
    pub fn check(&mut self, book: &mut Book) -> ColumnId {
        let table = self.table(book);
        book.not_printed(self.sheet, 2);
        Checks::in_table(book, table.id).check
    }

    /// The columns, for formulas that its caller puts into them.
    pub fn columns(&mut self, book: &mut Book) -> R::Cells<ColumnId> {
        let table = self.table(book);
        let mut columns = table.columns.iter().copied();
        // There is one for each that is shown; the source's is never taken.
        R::map(R::shown(), |_| columns.next().unwrap_or(table.source))
    }

    /// The columns over all their rows, for look-ups. No row comes after that.
    pub fn whole(&mut self, book: &mut Book) -> R::Cells<Column> {
        let columns = self.columns(book);
        R::map(columns, |column| book.whole(column))
    }
}

/// Declares the columns that rows of a rule table have on the Rules page.
///
/// ```text
/// page! {
///     SpareCells of Spare {
///         kind: "Kind";
///         share: "Bought beyond the need" Percent;
///     }
/// }
/// ```
///
/// makes `struct SpareCells<T> { kind: T, share: T }`: of figures for a row, of columns for the table. A column is `field:
/// "Heading" Unit`, and shows that field of the row; in parentheses after the field its heading in the user's sheet, where
/// that is another; `= |row| value` shows something else; `, millionths` shows millionths of it, so that a reader sees
/// digits.
macro_rules! page {
    (
        $(#[$meta:meta])*
        $cells:ident of $row:ty {
            $($cell:ident $(($name:literal))? : $heading:literal $($unit:ident)? $(, $scale:ident)? $(= |$of:pat_param| $value:expr)?;)+
        }
    ) => {
        #[doc = concat!("What the Rules page shows of a [`", stringify!($row), "`]: figures for a row, columns for the table.")]
        $(#[$meta])*
        #[derive(Debug, Clone)]
        #[allow(unreachable_pub, reason = "a subject keeps its rows to itself")]
        pub struct $cells<T> {
            $(
                #[doc = $heading]
                pub $cell: T,
            )+
        }

        impl $crate::rules::OnPage for $row {
            type Cells<T: Clone> = $cells<T>;

            fn shown() -> $cells<$crate::rules::Shown<Self>> {
                $cells {
                    $($cell: $crate::rules::Shown::<Self>::new(
                        $heading,
                        $crate::rules::page!(@unit $($unit)?),
                        $crate::rules::page!(@name $cell $($name)?),
                        $crate::rules::page!(@value $cell $(, |$of| $value)?),
                    )$(.$scale())?,)+
                }
            }

            fn map<T: Clone, U: Clone>(cells: $cells<T>, mut make: impl FnMut(T) -> U) -> $cells<U> {
                $cells { $($cell: make(cells.$cell)),+ }
            }
        }
    };
    (@unit) => { $crate::unit::Unit::None };
    (@unit $unit:ident) => { $crate::unit::Unit::$unit };
    (@name $cell:ident) => { stringify!($cell) };
    (@name $cell:ident $name:literal) => { $name };
    (@value $cell:ident) => { |row| $crate::rules::CellValue::shown(&row.$cell) };
    (@value $cell:ident, |$of:pat_param| $value:expr) => { |$of| $crate::rules::CellValue::shown(&$value) };
}

pub(crate) use page;
