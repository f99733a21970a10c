//! The Checks sheet: is the job still the one that was priced?
//!
//! A formula follows a changed number, but not a changed word: who feeds a run, what a fixture is, whether a thing is
//! new. Those decided which rows there are. So every row of the job that decides so is written down as it was, beside
//! a join of the same cells as they are now.

use super::Context;
use super::unread::below_heading;
use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, CellKind, ColumnId, Expr, Look, RowId, TableId, Term, Value};
use crate::input::{InputCell, Reference, Role, Row};
use crate::model::setting::SettingRole;
use crate::model::{KeptSheet, Setting, SettingKind, fold};
use crate::sheets::Page;
use crate::subjects;
use crate::table::{List, columns};
use crate::unit::Unit;
use std::collections::{BTreeSet, HashMap};

/// What the sheets beside this one need of it.
pub(crate) struct Checks {
    /// How many deciding inputs are not what they were: `Price_again`.
    pub price_again: Term,
    /// What the first of them is about; an empty text while there is none.
    pub first: Term,
    /// The first cell that has come to hold words where a number belongs; an empty text while there is none.
    pub unread: Option<Term>,
    verdict: List,
    /// The table of sums that is filled in when all sheets are there.
    pub(super) sums: TableId,
}

/// Stands for a number that is there, whatever it is.
const GIVEN: &str = "given";

fn given(blank: &Term) -> Term {
    blank.pick(&Term::text(""), &Term::text(GIVEN))
}

/// So many cells to a formula that it can still be read; the others of the row stand in a second.
pub(super) const CELLS_TOGETHER: usize = 6;
pub(super) const FURTHER_ON: &str = ", further on";

/// `a number`, or `an error`.
fn is_a_number(total: &Term) -> Term {
    total.is_number().pick(&Term::text("a number"), &Term::text("an error"))
}

columns! {
    struct Columns on Checks("What the job was priced on") {
        what: "What", words 34;
        now: "Now", words 34;
        chosen: Choice::JobRow.heading(), words 34;
        check: "Check", check 14;
    }
}

impl Checks {
    /// The sheet's head, the table of deciding inputs, and an empty table of sums.
    pub(crate) fn put(book: &mut Book, context: &Context) -> Self {
        let sheet = context.page(Page::Checks);
        book.words(sheet, Look::Title, Page::Checks.name());
        book.words(
            sheet,
            Look::Words,
            "Figures follow a changed number by themselves. A changed word (what feeds a run, what a fixture is, new or \
             existing) changes which rows there are: then the bid has to be priced again.",
        );
        let verdict = List::put(book, sheet, "", [34.0; 2], Unit::Each);
        let sums = book.table(sheet, "What must add up");

        book.words(sheet, Look::Small, "What the job was priced on stands below, row by row; it is not printed.");
        book.end_of_print(sheet);
        let columns = Columns::on_page(book, context);
        let table = columns.table;
        let mut record = Record { book, context, table, columns, seen: BTreeSet::new() };
        record.settings();
        record.rows_of_job();
        record.rules();
        record.watch();
        record.totals();
        let unread = super::unread::put(record.book, context).map(|(cell, beyond)| {
            record.row(Term::text("A number kept as text, beyond its range"), 0, beyond);
            cell
        });
        let Record { columns, .. } = record;
        let (what, checks) = (book.whole(columns.what), book.whole(columns.check));
        let changed = Term::not_ok(&checks);
        let first = Term::at(&what, &Term::row_of(&Term::text(PRICE_AGAIN), &checks)).or_if_fault(&Term::text(""));
        let price_again = verdict.line_like(book, "Deciding inputs that say price again", changed, CellKind::Total);
        book.name(&price_again, "Price_again");
        Self { price_again, first, unread, verdict, sums }
    }

    /// A line beneath the first verdict.
    pub(super) fn line(&self, book: &mut Book, words: &str, found: Term) -> Term {
        self.verdict.line(book, words, found)
    }

    /// How many sums are off, beneath the first verdict.
    pub(super) fn put_sums_off(&self, book: &mut Book, off: Term) -> Term {
        self.verdict.line_like(book, "Sums that do not add up", off, CellKind::Total)
    }
}

pub(super) struct Record<'a, 'b> {
    pub book: &'a mut Book,
    pub context: &'a Context<'b>,
    table: TableId,
    columns: Columns,
    seen: BTreeSet<String>,
}

impl Record<'_, '_> {
    /// The settings that are words: they choose tables and methods.
    fn settings(&mut self) {
        let words = |setting: Setting, kind: SettingKind| {
            matches!(kind, SettingKind::Choice(_)) && !setting.is_of_orders()
                || [Setting::MainMaterial, Setting::FittingsLoss].contains(&setting)
        };
        for spec in subjects::settings().filter(|spec| words(*spec, spec.kind) && !spec.is_idle()) {
            let cell = self.context.settings.get(spec);
            // How many percent is a number, and followed; that it is a percent is the method.
            let is_loss = spec == Setting::FittingsLoss;
            let now = if is_loss { cell.is_number().pick(&Term::text("a percent"), &cell) } else { cell };
            let what = Term::text(format!("Job {}", spec.name));
            self.row(what, 0, now);
        }
        for spec in subjects::settings().filter(|spec| spec.role == SettingRole::Decides) {
            let blank = self.context.settings.get(spec).is_blank();
            self.row(Term::text(format!("Job {}, filled in or not", spec.name)), 0, given(&blank));
        }
        for (what, now) in &self.context.entries.recorded {
            self.row(Term::text(*what), 0, now.clone());
        }
    }

    /// The rows of the job, each by the cells whose columns are declared to decide something.
    fn rows_of_job(&mut self) {
        let rows: Vec<_> = self.context.job.rows().into_iter().map(|row| (keys(row), row)).collect();
        let mut alike: HashMap<_, usize> = HashMap::new();
        rows.iter().for_each(|(keys, _)| *alike.entry(keys).or_default() += 1);
        for (keys, row) in &rows {
            let (sheet, row) = (row.sheet(), *row);
            let is_used = self.is_used(row);
            let has_like = alike.get(keys).is_some_and(|rows| *rows > 1);
            let mut parts: Vec<_> = sheet
                .columns
                .iter()
                .zip(row.cells())
                .filter(|(column, _)| !sheet.is_idle && column.is_recorded())
                .filter(|(column, _)| is_used || column.is_key || column.required || column.is_progress)
                .map(|(column, cell)| match column.role_in(row) {
                    Role::DecidesAmongAlike => cell.recorded(self.book).filter(|_| has_like),
                    Role::DecidesOrLeaves => self.doer(row, cell),
                    role => self.recorded(row, role, cell),
                })
                .collect();
            parts.extend(self.namesakes(row).map(Some));
            // Names and sizes take more room than numbers.
            let (what, together) = match sheet.reference {
                Reference::Name(_) => {
                    let name = row.name().and_then(|name| name.as_typed(self.book));
                    let name = name.unwrap_or_else(|| Term::text(""));
                    (Term::join(&[&Term::text(format!("{} ", sheet.name)), &name]), CELLS_TOGETHER - 1)
                }
                _ => (Term::text(format!("{} row {}", sheet.name, u64::from(row.row()) + 1)), CELLS_TOGETHER),
            };
            self.joined(&what, together, row.row(), &parts);
        }
    }

    /// Who does the task of a row, whether it says so or leaves it to Job.
    fn doer(&mut self, row: &dyn Row, by: &dyn InputCell) -> Option<Term> {
        let cell = by.as_typed(self.book)?;
        let unless_said = row.name().and_then(|task| self.context.labor.unless_said(task.text()));
        Some(unless_said.map_or(cell.clone(), |doer| cell.is_blank().pick(&Term::text(doer.clone()), &cell)))
    }

    /// Whether the bid goes by this row.
    fn is_used(&self, row: &dyn Row) -> bool {
        !row.sheet().is_by_use || row.name().is_none_or(|task| self.context.labor.unless_said(task.text()).is_some())
    }

    /// How many rows bear the name of this one, where that is not recorded itself: two of a name are refused.
    fn namesakes(&mut self, row: &dyn Row) -> Option<Term> {
        let (declared, name) = (row.sheet(), row.name()?);
        let column = declared.name_column().filter(|column| !declared.is_idle && !column.is_recorded())?;
        let sheet = self.context.kept.declared(declared.name)?;
        let names = below_heading(self.book, sheet, *sheet.column_of.get(column.name)?)?;
        Some(Term::count_where(&[(&names, &name.as_typed(self.book)?)]))
    }

    fn recorded(&mut self, row: &dyn Row, role: Role, cell: &dyn InputCell) -> Option<Term> {
        match role {
            Role::Decides => cell.recorded(self.book),
            Role::Present => cell.as_typed(self.book).map(|cell| given(&cell.is_blank())),
            Role::PresentWith(heading) => {
                let (one, other) = (cell.as_typed(self.book)?, row.cell(heading)?.as_typed(self.book)?);
                Some(given(&one.is_blank().or(&other.is_blank())))
            }
            Role::DecidesOrLeaves | Role::DecidesAmongAlike | Role::Given | Role::Counted | Role::Free => None,
        }
    }

    /// The user's own rows of rule tables: they were taken over when the job was priced.
    fn rules(&mut self) {
        for sheet in self.context.kept.sheets.iter().filter(|sheet| is_rules(sheet)) {
            for (row, cells) in sheet.rows().filter(|(row, _)| Some(*row) > sheet.heading_row) {
                let parts: Vec<_> =
                    cells.iter().map(|cell| Some(sheet.as_typed(self.book, row, cell.column))).collect();
                let what = Term::text(format!("{} row {}", sheet.name, u64::from(row) + 1));
                self.joined(&what, CELLS_TOGETHER, row, &parts);
            }
        }
    }

    /// What the bid comes to is a number as long as every cell on the way can be read.
    fn totals(&mut self) {
        let build_up = &self.context.bid.build_up;
        let totals = [
            ("Total of the bid", &build_up.total),
            ("Cash out of pocket", &build_up.totals.cash_total),
            ("All hours", &self.context.labor.total),
        ];
        for (words, total) in totals {
            self.row(Term::text(words), 0, is_a_number(total));
        }
    }

    /// A row of the record for the cells of one row of a sheet, or several.
    pub(super) fn joined(&mut self, what: &Term, together: usize, row: u32, parts: &[Option<Term>]) {
        for (part, parts) in parts.chunks(together).enumerate() {
            let what = match (part, what.expr(), what.value()) {
                (0, ..) => what.clone(),
                (_, Expr::Const(_), Value::Text(words)) => Term::text(format!("{words}{FURTHER_ON}")),
                _ => Term::join(&[what, &Term::text(FURTHER_ON)]),
            };
            self.row(what, row, join(parts));
        }
    }

    pub(crate) fn row(&mut self, what: Term, sheet_row: u32, now: Term) {
        // The words are the key by which a bid that is read again finds what it was priced on: each only once.
        let words = what.value().to_string();
        let what = match self.seen.insert(words.to_lowercase()) {
            true => what,
            false => Term::join(&[&what, &Term::text(format!(" (row {})", u64::from(sheet_row) + 1))]),
        };
        let key = what.value().to_string();
        self.seen.insert(key.to_lowercase());
        let row = self.book.row(self.table);
        put_words(self.book, row, self.columns.what, &what);
        let now = match now.value().fault() {
            Some(_) => now.or_if_fault(&Term::text("an error")),
            None => now,
        };
        let now = self.book.put(row, self.columns.now, now);
        // Also where choices are held: the job itself is priced as it now stands.
        let recorded = now.value().clone();
        self.book.choose(row, [self.columns.chosen, self.columns.check], recorded, |chosen| {
            now.same(chosen).ok_or(PRICE_AGAIN)
        });
    }
}

/// What names a row, whatever else it says: its sheet, and the words in its keys.
fn keys(row: &dyn Row) -> (&'static str, Vec<String>) {
    let cells = row.sheet().columns.iter().zip(row.cells()).filter(|(column, _)| column.is_key);
    (row.sheet().name, cells.map(|(_, cell)| fold(cell.text())).collect())
}

/// Whether a sheet of the user's own puts rows over a rule table.
pub(super) fn is_rules(sheet: &KeptSheet) -> bool {
    sheet.declared.is_none() && subjects::rule_sheet_named(&sheet.name).is_some()
}

/// The cells with bars between them; `None` where the sheet has no such column.
pub(super) fn join(parts: &[Option<Term>]) -> Term {
    let mut terms: Vec<Term> = Vec::new();
    let mut bars = String::new();
    for (index, part) in parts.iter().enumerate() {
        if index > 0 {
            bars.push('|');
        }
        let Some(part) = part else { continue };
        if !bars.is_empty() {
            terms.push(Term::text(std::mem::take(&mut bars)));
        }
        terms.push(part.clone());
    }
    if !bars.is_empty() {
        terms.push(Term::text(bars));
    }
    Term::join(&terms.iter().collect::<Vec<_>>())
}

/// Words that rest on no cell are written as words.
fn put_words(book: &mut Book, row: RowId, column: ColumnId, words: &Term) {
    match (words.expr(), words.value()) {
        (Expr::Const(_), Value::Text(text)) => book.label(row, column, text),
        _ => book.put(row, column, words.clone()),
    };
}
