//! The Checks sheet: is the job still the one that was priced?
//!
//! A formula follows a changed number, but not a changed word: who feeds a run, what a fixture is, whether a thing is
//! new. Those decided which rows there are. So every row of the job that decides so is written down as it was, beside
//! a join of the same cells as they are now.

use super::Context;
use super::unread::below_heading;
use crate::choice::Choice;
use crate::figure::{Book, CellKind, Column, ColumnId, Look, RowId, TableId, Term, Value};
use crate::input::{Input, PipeSize};
use crate::model::columns::STATUS;
use crate::model::vocabulary::REGULATOR;
use crate::model::{At, Field, KeptSheet, Price, SETTINGS, Setting, SettingKind, Status, fold};
use crate::rules;
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::unit::Unit;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// What the sheets beside this one need of it.
pub struct Checks {
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

/// The words of a check.
const OK: &str = "OK";
const PRICE_AGAIN: &str = "price again";
/// Words that name a share.
const SHARES: [&str; 6] = ["%", "percent", "half", "third", "quarter", "fifth"];
/// Stands for a number that is there, whatever it is.
const GIVEN: &str = "given";

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
    pub fn put(book: &mut Book, context: &Context) -> Self {
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
        record.network();
        record.money();
        record.rules();
        record.watch();
        record.totals();
        let unread = super::unread::put(&mut record);
        let Record { columns, .. } = record;
        let (what, checks) = (book.whole(columns.what), book.whole(columns.check));
        let first = Term::at(&what, &Term::row_of(&Term::text(PRICE_AGAIN), &checks));
        // Whatever is not OK has changed: an error too.
        let rows = Term::number(checks.values().len() as u64);
        let changed = rows - Term::count_where(&[(&checks, &Term::text(OK))]);
        let price_again = verdict.line_like(book, "Deciding inputs that say price again", changed, CellKind::Total);
        book.name(&price_again, "Price_again");
        let first = first.or_if_fault(&Term::text(""));
        Self { price_again, first, unread, verdict, sums }
    }

    /// A line beneath the first verdict.
    pub(super) fn say(&self, book: &mut Book, words: &str, found: Term) -> Term {
        self.verdict.line(book, words, found)
    }

    /// How many sums are off, beneath the first verdict.
    pub(super) fn say_off(&self, book: &mut Book, off: Term) -> Term {
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
                || matches!(setting, Setting::MainMaterial | Setting::FittingsLoss)
        };
        for spec in SETTINGS.iter().filter(|spec| words(spec.setting, spec.kind)) {
            let cell = self.context.settings.get(spec.setting);
            let now = match spec.setting {
                // How many percent is a number, and followed; that it is a percent is the method.
                Setting::FittingsLoss => cell.is_number().pick(&Term::text("a percent"), &cell),
                _ => cell,
            };
            let what = Term::text(format!("Job {}", spec.name));
            self.row(what, 0, now);
        }
        if self.context.sizes.main_idle {
            let size = self.context.settings.get(Setting::MainSize);
            let now = size.is_blank().pick(&Term::text(""), &size);
            self.row(Term::text("Job Main size, which no run goes by"), 0, now);
        }
    }

    fn network(&mut self) {
        for run in &self.context.job.runs {
            let parts = [
                Part::Word(run.name.figure(self.book)),
                Part::Word(run.from.figure(self.book)),
                // Without it there is no bid.
                self.filled(&run.length_ft),
                self.word(&run.material),
                self.word(&run.level),
                self.word(&run.place),
                self.word(&run.form),
                self.status(&run.status),
                self.word(&run.phase),
            ];
            self.joined("Runs", &run.name, run.row, &parts);
        }
        // How many bear its name: two of a name are refused.
        let tags = self.names("Fixtures");
        for fixture in &self.context.job.fixtures {
            let parts = [
                Part::Word(fixture.fixture.figure(self.book)),
                self.word(&fixture.group),
                self.word(&fixture.cold_run),
                self.word(&fixture.hot_run),
                self.filled(&fixture.gpm),
                self.status(&fixture.status),
                Part::Word(Term::count_where(&[(&tags, &fixture.tag.figure(self.book))])),
            ];
            self.joined("Fixtures", &fixture.tag, fixture.row, &parts);
        }
        let names = self.names("Devices");
        for device in &self.context.job.devices {
            let parts = [
                Part::Word(device.on_run.figure(self.book)),
                Part::Word(device.kind.as_written(self.book)),
                self.size(&device.size),
                // The maker's loss counts where both of its numbers are there.
                self.both_filled(&device.rated_gpm, &device.loss_psi),
                // Of anything else it says nothing.
                if *device.kind.value == *REGULATOR { self.filled(&device.set_psi) } else { Part::None },
                self.status(&device.status),
                Part::Word(Term::count_where(&[(&names, &device.name.figure(self.book))])),
            ];
            self.joined("Devices", &device.name, device.row, &parts);
        }
    }

    /// The names of a sheet's rows.
    fn names(&self, sheet: &str) -> Column {
        let sheet = self.context.kept.declared(sheet);
        let column = |sheet: &KeptSheet| sheet.column_of.get(sheet.declared?.name_column()?.name).copied();
        let names = sheet.and_then(|sheet| below_heading(self.book, sheet, column(sheet)?));
        names.unwrap_or_else(|| self.book.none())
    }

    fn money(&mut self) {
        // Rows of one thing at one supplier are told apart by their numbers; the number of any other row is for the reader.
        let thing = |price: &Price| {
            let words = [price.material.text(), price.supplier.text()].map(fold);
            (fold(&price.kind.value), words, price.sizes.value.clone())
        };
        let mut alike: HashMap<_, usize> = HashMap::new();
        self.context.job.prices.iter().for_each(|price| *alike.entry(thing(price)).or_default() += 1);
        for price in &self.context.job.prices {
            let is_told_by_number = alike.get(&thing(price)).is_some_and(|rows| *rows > 1);
            let parts = [
                Part::Word(price.kind.figure(self.book)),
                self.word(&price.material),
                self.word(&price.sizes),
                self.word(&price.unit),
                self.filled(&price.price),
                // What is bought decides what is still to buy.
                self.filled(&price.bought),
                // Of what is no pipe it says nothing.
                if fold(&price.kind.value) == "pipe" { self.word(&price.water) } else { Part::None },
                // What it is bought as: a row that has moved is another offer.
                self.word(&price.supplier),
                if is_told_by_number { self.word(&price.part) } else { Part::None },
            ];
            self.numbered("Prices", price.row, &parts);
        }
        for task in &self.context.job.labor {
            let parts = [
                Part::Word(task.task.figure(self.book)),
                self.word(&task.phase),
                self.word(&task.by),
                self.filled(&task.hours),
            ];
            self.numbered("Labor", task.row, &parts);
        }
        for cost in &self.context.job.other_costs {
            let parts = [
                Part::Word(cost.item.figure(self.book)),
                self.word(&cost.phase),
                self.both_filled(&cost.quantity, &cost.price),
            ];
            self.numbered("Other costs", cost.row, &parts);
        }
        for stock in &self.context.job.on_hand {
            let parts = [
                Part::Word(stock.kind.figure(self.book)),
                self.word(&stock.material),
                self.word(&stock.sizes),
                self.filled(&stock.quantity),
            ];
            self.numbered("On hand", stock.row, &parts);
        }
        for term in &self.context.job.terms {
            let amount = match names_a_share(term) {
                true => self.word(&term.amount),
                false => self.filled(&term.amount),
            };
            let parts = [Part::Word(term.kind.figure(self.book)), amount, self.word(&term.change)];
            self.numbered("Terms", term.row, &parts);
        }
    }

    /// The user's own rows of rule tables: they were taken over when the job was priced.
    fn rules(&mut self) {
        for sheet in self.context.kept.sheets.iter().filter(|sheet| is_rules(sheet)) {
            for (row, cells) in sheet.rows().filter(|(row, _)| Some(*row) > sheet.heading_row) {
                for (part, cells) in cells.chunks(CELLS_TOGETHER).enumerate() {
                    let parts: Vec<Part> =
                        cells.iter().map(|cell| sheet.as_typed(self.book, row, cell.column)).map(Part::Word).collect();
                    let more = if part > 0 { FURTHER_ON } else { "" };
                    let what = format!("{} row {}{more}", sheet.name, u64::from(row) + 1);
                    self.row(Term::text(what), row, join(&parts));
                }
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

    fn word<T>(&mut self, field: &Field<T>) -> Part {
        field.as_typed(self.book).map_or(Part::None, Part::Word)
    }

    /// What is new may say so.
    fn status(&mut self, field: &Field<Status>) -> Part {
        let (new, blank) = (Term::text(STATUS[0]), Term::text(""));
        // A blank cell by itself would count as 0.
        let words = |cell: Term| cell.same(&new).pick(&blank, &Term::join(&[&cell, &blank]));
        field.as_typed(self.book).map_or(Part::None, |cell| Part::Word(words(cell)))
    }

    /// A size, however it is spelled.
    fn size(&mut self, field: &Input<PipeSize>) -> Part {
        if field.cell.is_some() { Part::Word(field.figure(self.book)) } else { Part::None }
    }

    /// A number decides only by being there.
    fn filled<T>(&mut self, field: &Field<T>) -> Part {
        let blank = field.as_typed(self.book).map(|cell| cell.is_blank());
        blank.map_or(Part::None, |blank| Part::Word(blank.pick(&Term::text(""), &Term::text(GIVEN))))
    }

    fn both_filled<T>(&mut self, one: &Field<T>, other: &Field<T>) -> Part {
        match (one.as_typed(self.book), other.as_typed(self.book)) {
            (Some(one), Some(other)) => {
                let lacking = one.is_blank().or(&other.is_blank());
                Part::Word(lacking.pick(&Term::text(""), &Term::text(GIVEN)))
            }
            _ => Part::None,
        }
    }

    fn joined(&mut self, sheet: &str, name: &At<Arc<str>>, row: u32, parts: &[Part]) {
        let what = Term::join(&[&Term::text(format!("{sheet} ")), &name.figure(self.book)]);
        // Names and sizes take more room than numbers.
        for (part, parts) in parts.chunks(CELLS_TOGETHER - 1).enumerate() {
            let what = if part > 0 { Term::join(&[&what, &Term::text(FURTHER_ON)]) } else { what.clone() };
            self.row(what, row, join(parts));
        }
    }

    fn numbered(&mut self, sheet: &str, row: u32, parts: &[Part]) {
        for (part, parts) in parts.chunks(CELLS_TOGETHER).enumerate() {
            let more = if part > 0 { FURTHER_ON } else { "" };
            self.row(Term::text(format!("{sheet} row {}{more}", u64::from(row) + 1)), row, join(parts));
        }
    }

    pub fn row(&mut self, what: Term, sheet_row: u32, now: Term) {
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
        let as_priced = now.value().clone();
        self.book.choose(row, self.columns.chosen, as_priced, self.columns.check, |chosen| {
            now.same(chosen).pick(&Term::text(OK), &Term::text(PRICE_AGAIN))
        });
    }
}

/// Whether the words of a payment say how much it is: a share that is changed beside them has to be changed in them.
fn names_a_share(term: &crate::model::Term) -> bool {
    let words = term.text.value.to_lowercase();
    &*term.kind.value == "payment" && SHARES.iter().any(|share| words.contains(share))
}

/// Whether a sheet of the user's own puts rows over a rule table.
pub(super) fn is_rules(sheet: &KeptSheet) -> bool {
    sheet.declared.is_none() && rules::sheet_named(&sheet.name).is_some()
}

/// What a cell gives to a join.
pub(super) enum Part {
    /// The sheet has no such column.
    None,
    Word(Term),
}

/// The cells with bars between them.
pub(super) fn join(parts: &[Part]) -> Term {
    let mut terms: Vec<Term> = Vec::new();
    let mut bars = String::new();
    for (index, part) in parts.iter().enumerate() {
        if index > 0 {
            bars.push('|');
        }
        let term = match part {
            Part::None => continue,
            Part::Word(cell) => cell.clone(),
        };
        if !bars.is_empty() {
            terms.push(Term::text(std::mem::take(&mut bars)));
        }
        terms.push(term);
    }
    if !bars.is_empty() {
        terms.push(Term::text(bars));
    }
    Term::join(&terms.iter().collect::<Vec<_>>())
}

/// Words that rest on no cell are written as words.
fn put_words(book: &mut Book, row: RowId, column: ColumnId, words: &Term) {
    match (words.expr(), words.value()) {
        (crate::figure::Expr::Const(_), Value::Text(text)) => book.label(row, column, text),
        _ => book.put(row, column, words.clone()),
    };
}
