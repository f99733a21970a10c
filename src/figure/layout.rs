//! What a book is laid out in: the ids of sheets, tables, rows and columns, what stands on a sheet, and where a figure lives
//! and comes from.

use super::Fig;
use crate::place::Place;
use crate::unit::Unit;
use std::sync::Arc;

/// A sheet of the book, handed out by [`super::Book::sheet`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SheetId(pub(crate) u16);

/// A table of the book, handed out by [`super::Book::table`] or [`super::Book::list`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct TableId(pub(crate) u16);

/// A row of a table, handed out by [`super::Book::row`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct RowId {
    pub(crate) table: TableId,
    pub(crate) index: u32,
}

/// A column of a table, handed out by [`super::Book::column`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ColumnId {
    pub(crate) table: TableId,
    pub(crate) index: u16,
}

impl ColumnId {
    /// The table it is a column of.
    pub fn table(self) -> TableId {
        self.table
    }

    pub(crate) fn index(self) -> u16 {
        self.index
    }
}

/// Where a figure lives.
#[derive(Debug, Clone, PartialEq)]
pub enum Home {
    /// A cell of the user's own sheet.
    Input(Place),
    /// A row of a table of ours, and the column in it, from 0.
    Table(RowId, u16),
    /// A line of words (block index) of a sheet.
    Line(SheetId, u32),
}

/// Where a figure's value comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Origin {
    /// Typed by the user.
    Input,
    /// A word of ours that heads or names something.
    Label,
    /// A row of a rule table; its source.
    Rule(Arc<str>),
    /// A number that no rule stands behind: counted, carried by nobody, or nothing by its nature. Says which.
    Stated(Arc<str>),
    /// Worked out by the formula in its cell.
    Computed,
    /// A figure of another bid, carried over as it stood there; which one.
    Carried(Arc<str>),
    /// A decision of the engine; the figure beside it that says whether it still holds.
    Choice {
        /// True while the decision still holds.
        check: Fig,
    },
}

/// How a cell is to look, beyond its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum CellKind {
    /// By its unit alone.
    #[default]
    Plain,
    /// A total: bold, ruled above.
    Total,
    /// A live check: green when OK, red otherwise.
    Check,
    /// Supporting figure: grey.
    Quiet,
    /// A row that stands at nothing for now: grey, and folded away until it is wanted.
    Idle,
}

/// A sheet of ours.
#[derive(Debug, Clone, Default)]
pub struct SheetSpec {
    /// As its tab is named.
    pub name: Arc<str>,
    /// Printed across the long side of the paper.
    pub landscape: bool,
    /// From the top down.
    pub blocks: Vec<Block>,
    /// Column widths (characters) where blocks other than tables set them; tables widen them as needed.
    pub widths: Vec<f64>,
    /// So many columns at the right end are for the screen alone.
    pub not_printed: u16,
    /// How many of its blocks are printed; the rest is there for formulas and for whoever looks at the screen.
    pub printed: Option<usize>,
}

/// What stands on a sheet, from the top down.
#[derive(Debug, Clone)]
pub enum Block {
    /// Words across the page.
    Line {
        /// The words, or the formula that makes them.
        figure: Fig,
        /// Its size, weight and color.
        look: Look,
    },
    /// A table with its title and headings.
    Table(TableId),
    /// A blank row.
    Gap,
    /// What follows starts a new page of paper.
    PageBreak,
    /// A chart; it takes [`CHART_ROWS`](super::address::CHART_ROWS) rows.
    Chart(ChartId),
}

/// How a line of words looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Look {
    /// The name of the page.
    Title,
    /// The name of a part of the page.
    Heading,
    /// Plain text.
    Words,
    /// Fine print.
    Small,
    /// A warning: what can hurt someone.
    Caution,
    /// Words that are there only while something is wrong.
    Flag,
    /// A rule to sign on.
    Signature,
}

/// What a table is called and made of.
#[derive(Debug, Clone)]
pub struct TableSpec {
    /// Printed over it; empty where it has none.
    pub title: Arc<str>,
    /// The sheet it stands on.
    pub sheet: SheetId,
    /// False for label-and-value lists, which need no heading row.
    pub headed: bool,
    /// From left to right.
    pub columns: Vec<ColumnSpec>,
    /// How many data rows it has so far.
    pub rows: u32,
    /// Which figure stands in each cell: `cells[row * columns + column]` is grown on demand.
    pub(crate) cells: Vec<Vec<Option<Fig>>>,
    pub(crate) closed: bool,
    /// Per column, up to which row a range has been read: nothing may be put there any more.
    pub(crate) frozen: Vec<u32>,
    pub(crate) row_kinds: Vec<CellKind>,
}

/// How the cells of a column look.
#[derive(Debug, Clone, Copy)]
pub struct ColumnLook {
    /// What they are in.
    pub unit: Unit,
    /// What they are.
    pub kind: CellKind,
    /// Characters; 0 is as wide as its heading and figures need.
    pub width: f64,
}

impl ColumnLook {
    /// Plain cells.
    pub fn plain(unit: Unit, width: f64) -> Self {
        Self { unit, kind: CellKind::Plain, width }
    }
}

#[derive(Debug, Clone)]
pub struct ColumnSpec {
    pub heading: Arc<str>,
    pub unit: Unit,
    /// Characters; 0 lets the writer choose from the heading and the unit.
    pub width: f64,
    pub kind: CellKind,
}

/// A place for a chart, handed out by [`super::Book::chart`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChartId(pub(crate) u16);

/// A chart over rows of one table.
#[derive(Debug, Clone)]
pub struct ChartSpec {
    /// Printed over it.
    pub title: Arc<str>,
    /// First and last of the columns side by side that name a row.
    pub categories: (ColumnId, ColumnId),
    /// Drawn as columns.
    pub columns: ColumnId,
    /// Drawn as a line, to a scale of its own at the right.
    pub line: Option<ColumnId>,
    /// First and last row, both included.
    pub rows: (u32, u32),
}

/// Where a book puts cells that no stage asked for: pieces of long formulas.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pieces {
    pub column: ColumnId,
    pub what: ColumnId,
}
