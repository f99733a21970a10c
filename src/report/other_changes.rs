//! What else a formula can see of a job that has changed: rows, headings, items and sheets that were not there, and figures
//! of the program's own tables that are not for editing.

use super::input_snapshot::{CELLS_TOGETHER, FURTHER_ON, Record, is_rules, join};
use crate::figure::{Column, Expr, Term, Value};
use crate::input::{JOB, Role, raw_value};
use crate::model::{KeptSheet, SettingKind, fold};
use crate::place::{LAST_COLUMN, LAST_ROW};
use crate::sheets::Page;
use crate::subjects;

/// Rows below the last one of a sheet in which a new one is noticed.
const ROWS_WATCHED: u32 = 1_000;
/// Cells to the right of the last heading in which a new one is noticed.
const HEADINGS_WATCHED: u16 = 8;

impl<'b> Record<'_, 'b> {
    pub(super) fn watch(&mut self) {
        self.items();
        self.headings();
        self.rows();
        self.sheets();
        self.fixed_figures();
        self.choices();
        self.ranges();
    }

    /// Choices that were typed over with what cannot be taken, or that are of offers which have moved.
    fn choices(&mut self) {
        let gone = [
            ("Offers chosen that are not there", Some(&self.context.bid.offers_gone)),
            ("Packs and cuts of other offers than planned", self.context.packs_gone),
            ("Tees chosen that cannot be taken", self.context.take_off.parts.choices_gone.as_ref()),
            ("Waste and spares typed over on the Take-off", self.context.take_off.waste_off.as_ref()),
        ];
        for (words, count) in gone {
            if let Some(count) = count.filter(|count| !matches!(count.expr(), Expr::Const(_))) {
                self.row(Term::text(words), 0, count.clone());
            }
        }
        let over = self.context.entries.watched.iter().filter(|(_, count)| !matches!(count.expr(), Expr::Const(_)));
        for (words, count) in over.cloned() {
            self.row(Term::text(words), 0, count);
        }
        let read = Term::text("read");
        for setting in subjects::settings().filter(|setting| !self.context.settings.left_out().contains(setting)) {
            let value = self.context.settings.get(setting);
            if !matches!(setting.kind, SettingKind::Choice(_) | SettingKind::Text) && value.fig().is_some() {
                // Whatever it is: an error comes through the question alone.
                let now = value.is_blank().pick(&read, &read).or_if_fault(&Term::text("cannot be read"));
                self.row(Term::text(format!("{} in Job", setting.name)), 0, now);
            }
        }
        let values = Term::sum(&self.book.whole(self.context.settings.values()));
        let now = values.is_number().pick(&read, &Term::text("an error"));
        self.row(Term::text("Settings written below Job"), 0, now);
        // Blank ones that Job has no row for: they decide what there is, wherever they are filled in.
        let settings = self.context.settings;
        let blank = settings.left_out().iter().filter(|setting| !setting.is_idle() && settings.is_blank(**setting));
        let blank: Vec<Option<Term>> = blank.map(|setting| Some(settings.get(*setting))).collect();
        self.joined(&Term::text("Settings filled in that were blank"), CELLS_TOGETHER, 0, &blank);
    }

    /// The items of the Job sheet: one that is misspelled later on is no setting any more, whatever its value.
    fn items(&mut self) {
        let Some(sheet) = self.context.kept.declared("Job") else { return };
        let (Some(headings), Some(column)) = (sheet.heading_row, sheet.column_of.get("Item").copied()) else { return };
        let items: Vec<_> = sheet.cells.iter().filter(|cell| cell.column == column && cell.row > headings).collect();
        for items in items.chunks(CELLS_TOGETHER) {
            let (Some(first), Some(last)) = (items.first(), items.last()) else { continue };
            let parts = items.iter().map(|cell| Some(sheet.as_typed(self.book, cell.row, column))).collect::<Vec<_>>();
            let [first, last] = [first.row, last.row].map(|row| u64::from(row) + 1);
            self.row(Term::text(format!("{} items, rows {first} to {last}", sheet.name)), headings, join(&parts));
        }
    }

    /// Every sheet that decides something.
    pub(super) fn watched(&self) -> Vec<&'b KeptSheet> {
        let idle = |sheet: &KeptSheet| sheet.declared.is_some_and(|declared| declared.is_idle);
        self.context
            .kept
            .sheets
            .iter()
            .filter(|sheet| (sheet.declared.is_some() || is_rules(sheet)) && !idle(sheet))
            .collect()
    }

    /// The headings that were read, and the blank cells where another could be written.
    fn headings(&mut self) {
        for sheet in self.watched() {
            let Some(row) = sheet.heading_row else { continue };
            let known = columns(sheet);
            let parts: Vec<_> = known.iter().map(|column| Some(sheet.as_typed(self.book, row, *column))).collect();
            self.joined(&Term::text(format!("Headings of {}", sheet.name)), CELLS_TOGETHER, row, &parts);
            let filled = sheet.cells.iter().filter(|cell| cell.row == row).map(|cell| cell.column);
            let Some(last) = filled.max().filter(|last| *last < LAST_COLUMN) else { continue };
            let beyond = last.saturating_add(HEADINGS_WATCHED).min(LAST_COLUMN);
            let first = sheet.place(row, last + 1);
            let filled = Term::count_filled(&self.book.input_block(first, (row, beyond), Vec::new()));
            self.row(Term::text(format!("More headings in {}", sheet.name)), row, filled);
        }
    }

    /// How many rows each sheet has: a new one has no figures until the job is priced again.
    fn rows(&mut self) {
        for sheet in self.watched() {
            let named_by = match sheet.declared {
                Some(declared) => {
                    let required = declared.columns.iter().find(|column| column.required);
                    required.and_then(|column| sheet.column_of.get(column.name).copied())
                }
                None if is_rules(sheet) => {
                    sheet.cells.iter().find(|c| Some(c.row) == sheet.heading_row).map(|c| c.column)
                }
                None => None,
            };
            let (Some(column), Some(headings)) = (named_by, sheet.heading_row) else { continue };
            self.count(sheet, format!("Rows in {}", sheet.name), column, headings);
            self.unnamed(sheet, column, headings);
            let columns = sheet.declared.map_or(&[][..], |declared| declared.columns);
            for counted in columns.iter().filter(|column| column.role == Role::Counted) {
                if let Some(column) = sheet.column_of.get(counted.name) {
                    self.count(sheet, format!("{} in {}", counted.name, sheet.name), *column, headings);
                }
            }
        }
    }

    /// How many cells of a column hold something, below its heading.
    fn count(&mut self, sheet: &KeptSheet, words: String, column: u16, headings: u32) {
        let filled: Vec<(u32, Value)> = sheet
            .cells
            .iter()
            .filter(|cell| cell.column == column && cell.row > headings)
            .map(|cell| (cell.row, raw_value(&cell.raw)))
            .filter(|(_, value)| *value != Value::Blank)
            .collect();
        let last = filled.last().map_or(headings, |(row, _)| *row);
        let last = last.saturating_add(ROWS_WATCHED).min(LAST_ROW);
        let mut count = Term::count_filled(&self.book.input_column(sheet.place(headings + 1, column), last, filled));
        if is_job(sheet) {
            count = count - self.context.settings.added();
        }
        self.row(Term::text(words), headings, count);
    }

    /// What stands in rows that nothing names: a row that is begun there is no row of the bid yet.
    fn unnamed(&mut self, sheet: &KeptSheet, key: u16, headings: u32) {
        let known = columns(sheet);
        let (Some(first), Some(last)) = (known.iter().min().copied(), known.iter().max().copied()) else { return };
        let named_rows: Vec<u32> = sheet
            .cells
            .iter()
            .filter(|cell| cell.column == key && cell.row > headings)
            .filter(|cell| raw_value(&cell.raw) != Value::Blank)
            .map(|cell| cell.row)
            .collect();
        let mut from = headings + 1;
        let mut gaps: Vec<Column> = Vec::new();
        let below = named_rows.last().map_or(headings, |row| *row).saturating_add(ROWS_WATCHED).min(LAST_ROW);
        for row in named_rows.into_iter().chain([below + 1]) {
            if row > from {
                let place = sheet.place(from, first);
                let within = |cell: &&crate::model::KeptCell| {
                    (from..row).contains(&cell.row) && (first..=last).contains(&cell.column)
                };
                let filled = sheet.cells.iter().filter(within).map(|cell| (cell.row, raw_value(&cell.raw)));
                let filled = filled.filter(|(_, value)| *value != Value::Blank).collect();
                gaps.push(self.book.input_block(place, (row - 1, last), filled));
            }
            from = row + 1;
        }
        let last_part = gaps.len().saturating_sub(1) / CELLS_TOGETHER;
        for (part, gaps) in gaps.chunks(CELLS_TOGETHER).enumerate() {
            let counts: Vec<Term> = gaps.iter().map(Term::count_filled).collect();
            let mut count = Term::total(&counts.iter().collect::<Vec<_>>());
            if part == last_part && is_job(sheet) {
                // Each that is followed there has an item and a value.
                count = count - self.context.settings.added() * &Term::number(2);
            }
            let more = if part > 0 { FURTHER_ON } else { "" };
            self.row(Term::text(format!("Cells of rows without a name in {}{more}", sheet.name)), headings, count);
        }
    }

    /// Sheets that a job may have: one that is added later, or renamed, is seen by its name.
    fn sheets(&mut self) {
        let kept = &self.context.kept.sheets;
        let there = |name: &str| kept.iter().any(|sheet| sheet.shown.eq_ignore_ascii_case(name));
        for declared in subjects::sheets().filter(|declared| !declared.is_idle) {
            let read = kept.iter().find(|sheet| sheet.declared.is_some_and(|found| found.name == declared.name));
            let own = read.map(|sheet| &*sheet.shown).filter(|own| !own.eq_ignore_ascii_case(declared.name));
            let ours = declared.spellings().map(|name| name as &str);
            for name in own.into_iter().chain(ours) {
                self.row(Term::text(format!("Sheet {name}")), 0, Term::text(name).sheet_of_that_name(there(name)));
            }
        }
        for name in subjects::rule_sheets() {
            let own = kept.iter().find(|sheet| is_rules(sheet) && fold(&sheet.name) == fold(name));
            let name = own.map_or(name, |sheet| &*sheet.shown);
            self.row(Term::text(format!("Sheet {name}")), 0, Term::text(name).sheet_of_that_name(there(name)));
        }
    }

    /// Figures on the Rules sheet that no sheet of the user's can go before, by their sums.
    fn fixed_figures(&mut self) {
        for (title, heading, column) in self.book.fixed_columns(self.context.page(Page::Rules)) {
            let sum = Term::sum(&self.book.whole(column)).round(6);
            self.row(Term::text(format!("Rules, not for editing: {title}, {heading}, sum")), 0, sum);
        }
    }
}

/// The columns of a sheet that are read: those of known headings; of a sheet of rules all that have one.
fn columns(sheet: &KeptSheet) -> Vec<u16> {
    let mut columns: Vec<u16> = match sheet.declared {
        Some(_) => sheet.column_of.values().copied().collect(),
        None => {
            let headings = sheet.cells.iter().filter(|cell| Some(cell.row) == sheet.heading_row);
            headings.map(|cell| cell.column).collect()
        }
    };
    columns.sort_unstable();
    columns.dedup();
    columns
}

fn is_job(sheet: &KeptSheet) -> bool {
    sheet.declared.is_some_and(|declared| declared.name == JOB.name)
}
