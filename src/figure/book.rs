//! The book of figures: sheets made of blocks, tables of cells, inputs at the addresses they had.

use super::layout::{
    Block, CellKind, ChartSpec, ColumnId, ColumnLook, ColumnSpec, Home, Origin, RowId, SheetId, SheetSpec, TableId,
    TableSpec,
};
use super::value::Value;
use super::{Column, Expr, Fig, Range, Term};
use crate::place::Place;
use crate::unit::Unit;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

#[derive(Debug)]
pub(crate) struct Cell {
    pub value: Value,
    pub expr: Option<Expr>,
    pub origin: Origin,
    pub home: Home,
    /// Overrides the column's unit where one cell differs (a list of totals has several).
    pub unit: Option<Unit>,
    /// A place in the book that the cell's words lead to when clicked.
    pub link: Option<Place>,
}

/// All figures of one bid.
#[derive(Debug, Default)]
pub struct Book {
    pub(crate) cells: Vec<Cell>,
    pub(crate) sheets: Vec<SheetSpec>,
    pub(crate) tables: Vec<TableSpec>,
    pub(crate) names: Vec<(Arc<str>, Fig)>,
    /// `None` until it is drawn: an empty place takes no room.
    pub(crate) charts: Vec<Option<ChartSpec>>,
    name_of: HashMap<Fig, usize>,
    pub(crate) inputs: HashMap<Place, Fig>,
    /// Rule figures that are read back from the bid.
    pub(super) read_back: BTreeSet<Fig>,
    /// Where the book may put tables of its own.
    pub(super) own_sheet: Option<SheetId>,
    pub(super) pieces: Option<super::layout::Pieces>,
    pub(super) readings: super::readings::Readings,
    /// Breaches of the book's own rules: faults of the program, reported as such.
    defects: Vec<String>,
}

impl Book {
    /// An empty book.
    pub fn new() -> Self {
        Self::default()
    }

    /// A sheet of ours; sheets stand in the order they are made.
    pub fn sheet(&mut self, name: &str, landscape: bool) -> SheetId {
        self.sheets.push(SheetSpec { name: name.into(), landscape, ..SheetSpec::default() });
        SheetId((self.sheets.len() - 1) as u16)
    }

    /// A table at the foot of a sheet.
    pub fn table(&mut self, sheet: SheetId, title: &str) -> TableId {
        let id = TableId(self.tables.len() as u16);
        self.tables.push(TableSpec {
            title: title.into(),
            sheet,
            headed: true,
            columns: Vec::new(),
            rows: 0,
            cells: Vec::new(),
            closed: false,
            frozen: Vec::new(),
            row_kinds: Vec::new(),
        });
        self.sheets[usize::from(sheet.0)].blocks.push(Block::Table(id));
        id
    }

    /// A table without a heading row: a list of labels and values.
    pub fn list(&mut self, sheet: SheetId, title: &str) -> TableId {
        let id = self.table(sheet, title);
        self.tables[usize::from(id.0)].headed = false;
        id
    }

    /// The next column of a table, of plain cells, as wide as its heading and figures need.
    pub fn column(&mut self, table: TableId, heading: &str, unit: Unit) -> ColumnId {
        self.column_like(table, heading, ColumnLook::plain(unit, 0.0))
    }

    /// The next column of a table.
    pub fn column_like(&mut self, table: TableId, heading: &str, look: ColumnLook) -> ColumnId {
        let spec = &mut self.tables[usize::from(table.0)];
        let ColumnLook { unit, kind, width } = look;
        spec.columns.push(ColumnSpec { heading: heading.into(), unit, width, kind });
        spec.frozen.push(0);
        ColumnId { table, index: (spec.columns.len() - 1) as u16 }
    }

    /// The next row of a table.
    pub fn row(&mut self, table: TableId) -> RowId {
        let spec = &mut self.tables[usize::from(table.0)];
        if spec.closed {
            self.defects.push(format!("a row was added to \"{}\" after a total had been taken over it", spec.title));
        }
        spec.rows += 1;
        spec.cells.push(Vec::new());
        spec.row_kinds.push(CellKind::Plain);
        RowId { table, index: spec.rows - 1 }
    }

    /// Puts a term into a cell; the term that comes back points at that cell.
    pub fn put(&mut self, row: RowId, column: ColumnId, term: Term) -> Term {
        let expr = self.fitted(term.expr());
        self.place((row, column), as_shown(&term), Some(expr), Origin::Computed)
    }

    /// A word of ours.
    pub fn label(&mut self, row: RowId, column: ColumnId, text: &str) -> Term {
        self.place((row, column), Value::text(text), None, Origin::Label)
    }

    /// A figure of a rule table, with its source.
    pub fn rule(&mut self, row: RowId, column: ColumnId, value: Value, source: &Arc<str>) -> Term {
        self.place((row, column), value, None, Origin::Rule(source.clone()))
    }

    /// A figure of another bid, as it stood there.
    pub fn carry(&mut self, row: RowId, column: ColumnId, value: Value, from: &Arc<str>) -> Term {
        self.place((row, column), value, None, Origin::Carried(from.clone()))
    }

    /// A decision of the engine, written as a plain value, with its live check: both in columns of this row.
    pub fn choose(
        &mut self,
        row: RowId,
        [column, check_column]: [ColumnId; 2],
        pick: Value,
        check: impl FnOnce(&Term) -> Term,
    ) -> Term {
        let choice = self.place((row, column), pick, None, Origin::Label);
        let verdict = self.put(row, check_column, check(&choice));
        if let (Some(choice), Some(check)) = (choice.fig(), verdict.fig()) {
            self.cells[choice.0 as usize].origin = Origin::Choice { check };
        }
        choice
    }

    /// A decision whose check is put later, once what it depends on is known: the caller must call
    /// [`Book::check_choice`] before the book is written.
    pub fn choose_now(&mut self, row: RowId, column: ColumnId, pick: Value) -> Term {
        self.place((row, column), pick, None, Origin::Choice { check: Fig(u32::MAX) })
    }

    /// Ties a choice to the check that watches it.
    pub fn check_choice(&mut self, choice: &Term, check: &Term) {
        if let (Some(choice), Some(check)) = (choice.fig(), check.fig()) {
            self.cells[choice.0 as usize].origin = Origin::Choice { check };
        }
    }

    pub(super) fn place(
        &mut self,
        (row, column): (RowId, ColumnId),
        value: Value,
        expr: Option<Expr>,
        origin: Origin,
    ) -> Term {
        let fig = Fig(self.cells.len() as u32);
        let spec = &mut self.tables[usize::from(row.table.0)];
        let index = usize::from(column.index);
        if row.table != column.table {
            self.defects.push(format!("a cell of \"{}\" was put under another table's column", spec.title));
        } else if row.index < spec.frozen[index] {
            self.defects.push(format!(
                "\"{}\" row {} was filled in after a formula had read \"{}\"",
                spec.title,
                row.index + 1,
                spec.columns[index].heading
            ));
        }
        let cells = &mut spec.cells[row.index as usize];
        if cells.len() <= index {
            cells.resize(index + 1, None);
        }
        if cells[index].is_some() {
            self.defects.push(format!("\"{}\" row {} column {} was put twice", spec.title, row.index + 1, index + 1));
        }
        cells[index] = Some(fig);
        let home = Home::Table(row, column.index);
        self.cells.push(Cell { value: value.clone(), expr, origin, home, unit: None, link: None });
        Term::cell(fig, value)
    }

    /// What is put on the sheet from now on is not printed.
    pub fn end_of_print(&mut self, sheet: SheetId) {
        let sheet = &mut self.sheets[usize::from(sheet.0)];
        sheet.printed = Some(sheet.blocks.len());
    }

    /// What is put on the sheet from now on starts a new page of paper.
    pub fn page_break(&mut self, sheet: SheetId) {
        self.sheets[usize::from(sheet.0)].blocks.push(Block::PageBreak);
    }

    /// The figure of a cell of the user's own sheets. The same cell always gives the same figure.
    pub fn input_cell(&mut self, place: &Place, value: Value) -> Term {
        if let Some(fig) = self.inputs.get(place) {
            return Term::cell(*fig, self.cells[fig.0 as usize].value.clone());
        }
        let fig = Fig(self.cells.len() as u32);
        self.inputs.insert(place.clone(), fig);
        let home = Home::Input(place.clone());
        self.cells.push(Cell { value: value.clone(), expr: None, origin: Origin::Input, home, unit: None, link: None });
        Term::cell(fig, value)
    }

    /// Every cell of a column; from now on the table takes no further row.
    pub fn whole(&mut self, column: ColumnId) -> Column {
        let spec = &mut self.tables[usize::from(column.table.0)];
        spec.closed = true;
        let rows = spec.rows;
        match rows {
            0 => Column { values: Arc::new([]), range: None },
            _ => self.stretch(column, 0, rows - 1),
        }
    }

    /// Rows `first` to `last` (both included) of a column; what is in them by now is all that may ever be.
    pub fn stretch(&mut self, column: ColumnId, first: u32, last: u32) -> Column {
        let spec = &mut self.tables[usize::from(column.table.0)];
        let index = usize::from(column.index);
        spec.frozen[index] = spec.frozen[index].max(last + 1);
        let values = (first..=last)
            .map(|row| match spec.cells.get(row as usize).and_then(|cells| cells.get(index)).copied().flatten() {
                Some(fig) => self.cells[fig.0 as usize].value.clone(),
                None => Value::Blank,
            })
            .collect();
        let range = Range { table: column.table, column: column.index, first, last };
        Column { values, range: Some(Expr::Range(range)) }
    }

    /// Gives a figure a name that formulas use in place of its address.
    pub fn name(&mut self, term: &Term, name: &str) {
        if let Some(fig) = term.fig()
            && !self.name_of.contains_key(&fig)
        {
            if self.names.iter().any(|(taken, _)| taken.eq_ignore_ascii_case(name)) {
                self.defects.push(format!("two figures are named {name}"));
                return;
            }
            self.name_of.insert(fig, self.names.len());
            self.names.push((name.into(), fig));
        }
    }

    /// The name that a figure was given, if any.
    pub fn name_of(&self, fig: Fig) -> Option<&str> {
        self.name_of.get(&fig).map(|i| &*self.names[*i].0)
    }

    /// What a figure comes to.
    pub fn value(&self, fig: Fig) -> &Value {
        &self.cells[fig.0 as usize].value
    }

    /// Where a figure's value comes from.
    pub fn origin(&self, fig: Fig) -> &Origin {
        &self.cells[fig.0 as usize].origin
    }

    /// True for a decision of the engine.
    pub fn is_choice(&self, fig: Fig) -> bool {
        matches!(self.origin(fig), Origin::Choice { .. })
    }

    /// The expression behind a computed figure; `None` for inputs, rules, choices and words.
    pub fn expr(&self, fig: Fig) -> Option<&Expr> {
        self.cells[fig.0 as usize].expr.as_ref()
    }

    /// Where a figure lives.
    pub fn home(&self, fig: Fig) -> &Home {
        &self.cells[fig.0 as usize].home
    }

    /// The sheets of ours, in the order they were made.
    pub fn sheets(&self) -> &[SheetSpec] {
        &self.sheets
    }

    /// What a table is called and made of.
    pub fn table_spec(&self, table: TableId) -> &TableSpec {
        &self.tables[usize::from(table.0)]
    }

    /// The figure in a cell of a table, if one was put.
    pub fn at(&self, row: RowId, column: ColumnId) -> Option<Term> {
        let fig = self.cell_at(row.table, row.index, column.index)?;
        Some(Term::cell(fig, self.value(fig).clone()))
    }

    /// The column of the table that a figure stands in.
    pub fn column_of(&self, term: &Term) -> Option<ColumnId> {
        match self.home(term.fig()?) {
            Home::Table(row, column) => Some(ColumnId { table: row.table, index: *column }),
            Home::Input(_) | Home::Line(..) => None,
        }
    }

    /// The figure in this row (from 0) of a column that was read as a whole.
    pub fn cell_of(&self, column: &Column, row: usize) -> Option<Term> {
        let Some(Expr::Range(range)) = &column.range else { return None };
        let fig = self.cell_at(range.table, range.first + row as u32, range.column)?;
        Some(Term::cell(fig, self.value(fig).clone()))
    }

    /// The figure in a cell of a table, by row and column from 0, if one was put.
    pub fn cell_at(&self, table: TableId, row: u32, column: u16) -> Option<Fig> {
        self.tables[usize::from(table.0)].cells.get(row as usize)?.get(usize::from(column)).copied().flatten()
    }

    /// The figures in a sheet's tables that nobody is meant to type over, from the top down: the table, the row (from 0) and
    /// whether the cell is still as it was written. `numbers`: those without a formula too; those of `but` are left out.
    pub fn as_written_on(&self, sheet: SheetId, numbers: bool, but: ColumnId) -> Vec<(TableId, u32, Term)> {
        let mut found = Vec::new();
        for (index, table) in self.tables.iter().enumerate().filter(|(_, table)| table.sheet == sheet) {
            let is_left_out = |at: usize| usize::from(but.table.0) == index && usize::from(but.index) == at;
            for (row, cells) in (0..).zip(&table.cells) {
                let cells = cells.iter().enumerate().filter(|(at, _)| !is_left_out(*at)).filter_map(|(_, fig)| *fig);
                let written = cells.filter_map(|fig| self.as_written(fig, numbers));
                found.extend(written.map(|written| (TableId(index as u16), row, written)));
            }
        }
        found
    }

    fn as_written(&self, fig: Fig, numbers: bool) -> Option<Term> {
        let cell = Term::cell(fig, self.value(fig).clone());
        let is_number = numbers && cell.value().is_number();
        match self.expr(fig) {
            // What rests on no cell is written as what it is.
            Some(expr) if !matches!(expr, Expr::Const(_)) => Some(cell.is_formula()),
            _ if is_number && !self.is_choice(fig) && !self.is_read_back(fig) => {
                Some(cell.same(&Term::constant(cell.value().clone())))
            }
            _ => None,
        }
    }

    /// Breaches of the book's own rules. Empty, or the program has a fault.
    pub fn defects(&self) -> Vec<String> {
        let mut defects = self.defects.clone();
        for cell in &self.cells {
            if let (Origin::Choice { check: Fig(u32::MAX) }, Home::Table(row, _)) = (&cell.origin, &cell.home) {
                defects.push(format!(
                    "a choice in \"{}\" row {} has no check",
                    self.table_spec(row.table).title,
                    row.index + 1
                ));
            }
        }
        defects
    }
}

/// What a formula's own cell holds: one that comes to a blank cell shows 0.
pub(super) fn as_shown(term: &Term) -> Value {
    match term.value() {
        Value::Blank => Value::Exact(rust_decimal::Decimal::ZERO),
        value => value.clone(),
    }
}
