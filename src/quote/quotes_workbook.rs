//! The workbook of the quotes: who quoted and what it comes to, what each way of buying costs, what is missing, what is
//! offered in place of what was asked; then the prices side by side, and the findings.

use super::answer::Available;
use super::order_lines::Wanted;
use super::side_by_side::{self, SideBySide};
use super::source_selection::{Choices, Compared, State};
use super::suppliers::{Answered, Supplier};
use super::{Context, OfFile};
use crate::figure::{Book, CellKind, Column as Figures, ColumnId, Look, SheetId, TableId, Term, Value};
use crate::model::{Setting, order_form as form};
use crate::order::plain;
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

/// What each way of buying comes to, to the cent, as it stands in the workbook.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ways {
    /// Every line at its least price, charges left out.
    pub least: Decimal,
    /// The same with the charges of all those suppliers.
    pub least_with_charges: Decimal,
    /// As chosen, with charges.
    pub chosen: Decimal,
    /// Everything from one supplier: who, and what it comes to; `None` where nobody prices everything.
    pub single: Option<(String, Decimal)>,
}

const WORDS: &str = "What suppliers wrote into their orders, and whom to buy each line from so that lines and delivery or trip \
     charges together cost least. Lines without a price are left out of every sum. Nothing here is ordered yet.";

/// The book, and what it says of money.
pub(super) fn paper(context: &Context, compared: Compared, findings: &[OfFile]) -> (Book, Ways) {
    let Compared { wanted, suppliers, .. } = compared;
    let mut book = Book::new();
    let sheet = book.sheet("Quotes", true);
    let lines = book.sheet("Side by side", true);
    let job_name = plain(&context.job.text(Setting::JobName));
    let title = if job_name.is_empty() { "Quotes".to_owned() } else { format!("Quotes: {job_name}") };
    book.words(sheet, Look::Title, &title);
    book.words(sheet, Look::Words, WORDS);
    let ways_list = book.list(sheet, "What it comes to");
    let table = book.table(sheet, "Suppliers");
    let columns = Columns::in_table(&mut book, table);
    let rows: Vec<_> = suppliers.iter().map(|_| book.row(columns.table)).collect();
    for (row, supplier) in rows.iter().zip(suppliers) {
        book.label(*row, columns.name, &supplier.name);
    }
    let names = book.whole(columns.name);
    let side = side_by_side::put(&mut book, lines, compared, &names);
    let totals = columns.fill(&mut book, &rows, compared, &side);
    let ways = ways(&mut book, ways_list, &side, &totals, compared.choices);
    missing(&mut book, sheet, compared);
    substitutes(&mut book, sheet, wanted, suppliers);
    remarks(&mut book, sheet, wanted, suppliers);
    findings_sheet(&mut book, findings);
    (book, ways)
}

columns! {
    /// The table of suppliers.
    struct Columns {
        name: "Supplier", words 30;
        number: "No.", words 5;
        by: "Quoted by", words 16;
        dated: "Quote date", Date 11;
        until: "Valid until", Date 11;
        priced: "Lines priced", words 7;
        missing: "Lines missing", words 8;
        lines: "Its lines", Money 11;
        charge: "Delivery or trip", Money 10;
        minimum: "Minimum order", Money 10;
        together: "Together", Money 11;
        everything: "Where it has everything", Money 11;
        at_least: "Lines at their least", words 8;
        charge_at_least: "Its charge then", Money 9;
        bought: "Lines chosen", words 8;
        charge_bought: "Its charge so", Money 9;
    }
}

/// Columns that the ways of buying add up.
struct Totals {
    names: Figures,
    everything: Figures,
    charge_at_least: Figures,
    charge_bought: Figures,
}

impl Columns {
    fn fill(
        &self,
        book: &mut Book,
        rows: &[crate::figure::RowId],
        Compared { wanted, suppliers, .. }: Compared,
        side: &SideBySide,
    ) -> Totals {
        let zero = Term::number(0);
        for (at, (row, supplier)) in rows.iter().zip(suppliers).enumerate() {
            let row = *row;
            let files = supplier.files.iter().map(|file| &**file).collect::<Vec<_>>().join(", ");
            let from: Arc<str> = files.into();
            let number = book.state(row, self.number, Value::Exact(Decimal::from(at + 1)), "of this table");
            if !supplier.quoted_by.is_empty() {
                book.label(row, self.by, &supplier.quoted_by);
            }
            for (column, date) in [(self.dated, supplier.dated), (self.until, supplier.valid_until)] {
                if let Some(date) = date {
                    book.carry(row, column, Value::Exact(date), &from);
                }
            }
            let priced = book.put(row, self.priced, Term::count_filled(&side.sums[at]));
            let missing = book.put(row, self.missing, Term::number(wanted.len() as u64) - priced);
            let lines = book.put(row, self.lines, Term::sum(&side.sums[at]).cents());
            let charge = book.carry(row, self.charge, Value::Exact(supplier.charge), &from);
            let of_job: Arc<str> = "the job's Suppliers".into();
            let minimum = book.carry(row, self.minimum, Value::Exact(supplier.minimum), &of_job);
            let together = book.put(row, self.together, lines.max(&minimum) + &charge);
            book.put(row, self.everything, missing.above(&zero).pick(&Term::text(""), &together));
            // The charge, and what the least order wants beyond the lines.
            let mut used = |count: ColumnId, column: ColumnId, of: &Figures, sums: &Figures| {
                let count = book.put(row, count, Term::count_where(&[(of, &number)]));
                let short = (&minimum - Term::sum_where(sums, &[(of, &number)])).max(&zero);
                book.put(row, column, count.above(&zero).pick(&(&charge + short), &zero));
            };
            used(self.at_least, self.charge_at_least, &side.least_from, &side.least);
            used(self.bought, self.charge_bought, &side.from, &side.chosen);
        }
        Totals {
            names: book.whole(self.name),
            everything: book.whole(self.everything),
            charge_at_least: book.whole(self.charge_at_least),
            charge_bought: book.whole(self.charge_bought),
        }
    }
}

fn ways(book: &mut Book, list: TableId, side: &SideBySide, totals: &Totals, choices: &Choices) -> Ways {
    let List { label: words, value } = List::in_list(book, list, [30.0, 12.0], Unit::Money);
    let by_file = List { label: words, value }.notes(book, 16.0);
    let mut put = |label: &str, term: Term| {
        let row = book.row(list);
        book.label(row, words, label);
        (book.put(row, value, term), row)
    };
    let (lines, _) = put("Lines as chosen", Term::sum(&side.chosen).cents());
    let (charges, _) = put("Delivery, trips and least orders, as chosen", Term::sum(&totals.charge_bought).cents());
    let (chosen, row) = put("As chosen, together", lines + charges);
    let (least, _) = put("Every line at its least, no charges", Term::sum(&side.least).cents());
    let charged = &least + Term::sum(&totals.charge_at_least).cents();
    let (with_charges, _) = put("The same with those suppliers' charges", charged);
    let single = Term::count_filled(&totals.everything).above(&Term::number(0));
    let least_single = single.pick(&Term::least(&totals.everything), &Term::text("none"));
    let (single, single_row) = put("Everything from one supplier", least_single);
    let without = Term::count_where(&[(&side.checks, &Term::text("no price"))]);
    let (without, _) = put("Lines without a price", without);
    book.unit(&without, Unit::None);
    book.mark(row, CellKind::Total);
    let proof = match choices.proved {
        true => "the least there is".to_owned(),
        false => format!("at most ${} too much", choices.gap.round_dp(2)),
    };
    // A formula can see that something has changed, not that the choice is no longer the cheapest.
    let as_it_was = Term::constant(chosen.value().clone());
    let proof = chosen.same(&as_it_was).pick(&Term::text(proof), &Term::text("changed since it was chosen"));
    book.put(row, by_file, proof);
    let at = Term::row_of(&single, &totals.everything);
    let name = single.is_number().pick(&Term::at(&totals.names, &at), &Term::text("each lacks some lines"));
    let name = book.put(single_row, by_file, name);
    let money = |term: &Term| term.value().as_decimal().unwrap_or_default().round_dp(2);
    Ways {
        least: money(&least),
        least_with_charges: money(&with_charges),
        chosen: money(&chosen),
        single: single.value().as_decimal().map(|sum| (name.value().to_string(), sum.round_dp(2))),
    }
}

columns! {
    /// A line, a supplier, and what is said of them.
    struct WordColumns(of: &[&str]) {
        item: "Item", words 30;
        both as [ColumnId; 2]: ["Supplier", "Size"], words 12;
        of as Vec<ColumnId>: of, words 12;
    }
}

/// A table of words; nothing where there are no rows.
fn words_table(book: &mut Book, sheet: SheetId, title: &str, of: &[&str], rows: &[Vec<String>]) {
    if rows.is_empty() {
        return;
    }
    let table = book.table(sheet, title);
    let WordColumns { item, both, of, .. } = WordColumns::in_table(book, table, of);
    for words in rows {
        let row = book.row(table);
        let columns = [item].into_iter().chain(both).chain(of.iter().copied());
        for (column, words) in columns.zip(words).filter(|(_, words)| !words.is_empty()) {
            book.label(row, column, words);
        }
    }
}

fn missing(book: &mut Book, sheet: SheetId, Compared { wanted, suppliers, choices }: Compared) {
    let mut rows = Vec::new();
    for (at, supplier) in suppliers.iter().enumerate() {
        for (wanted, offered) in wanted.iter().zip(&choices.offered) {
            let state = offered[at].state;
            if !matches!(state, State::Priced | State::NotAsked) {
                let elsewhere = offered.iter().any(|offered| offered.price.is_some());
                let elsewhere = if elsewhere { "another supplier prices it" } else { "nobody prices it" };
                rows.push(vec![
                    wanted.item.clone(),
                    supplier.name.clone(),
                    wanted.size.clone(),
                    state.word().to_owned(),
                    elsewhere.to_owned(),
                ]);
            }
        }
    }
    // What no order asked anybody for: told once.
    for (wanted, offered) in wanted.iter().zip(&choices.offered) {
        if offered.iter().all(|offered| offered.state == State::NotAsked) {
            let (nobody, why) = ("no file has it".to_owned(), State::NotAsked.word().to_owned());
            rows.push(vec![wanted.item.clone(), nobody, wanted.size.clone(), why, "nobody prices it".to_owned()]);
        }
    }
    words_table(book, sheet, "Missing", &["Why", "Elsewhere"], &rows);
}

fn answers<'a>(
    wanted: &'a [Wanted],
    suppliers: &'a [Supplier],
) -> impl Iterator<Item = (&'a Wanted, &'a Supplier, &'a Answered)> {
    let of = move |supplier: &'a Supplier| {
        wanted.iter().filter_map(move |wanted| Some((wanted, supplier, supplier.answers.get(&wanted.key)?)))
    };
    suppliers.iter().flat_map(of)
}

fn substitutes(book: &mut Book, sheet: SheetId, wanted: &[Wanted], suppliers: &[Supplier]) {
    let of = answers(wanted, suppliers).filter(|(_, _, answered)| !answered.answer.substitute.is_empty());
    let rows: Vec<_> = of
        .map(|(wanted, supplier, answered)| {
            let answer = &answered.answer;
            let price = answer.price.map(super::money::dollars).unwrap_or_default();
            let part = answer.substitute.clone();
            vec![wanted.item.clone(), supplier.name.clone(), wanted.size.clone(), part, price, answer.remark.clone()]
        })
        .collect();
    let of = [form::SUBSTITUTE, "Price", form::REMARK];
    words_table(book, sheet, "Offered in place of what was asked", &of, &rows);
}

fn remarks(book: &mut Book, sheet: SheetId, wanted: &[Wanted], suppliers: &[Supplier]) {
    let rows: Vec<_> = answers(wanted, suppliers)
        .filter_map(|(wanted, supplier, answered)| {
            let answer = &answered.answer;
            let when = match &answer.available {
                Available::Words(words) => words.clone(),
                Available::Only(count) => format!("only {}", count.normalize()),
                Available::No => "no".to_owned(),
                Available::Yes => String::new(),
            };
            let by_file = !when.is_empty() || (!answer.remark.is_empty() && answer.substitute.is_empty());
            by_file.then(|| {
                vec![wanted.item.clone(), supplier.name.clone(), wanted.size.clone(), when, answer.remark.clone()]
            })
        })
        .collect();
    words_table(book, sheet, "What else they wrote", &[form::AVAILABLE, form::REMARK], &rows);
}

columns! {
    struct FindingColumns {
        file: "File", words 22;
        severity: "Severity", words 8;
        code: "Code", words 19;
        on: "Sheet", words 9;
        cell: "Cell", words 6;
        found: "Found", words 38;
        remedy: "What to do", words 32;
    }
}

fn findings_sheet(book: &mut Book, findings: &[OfFile]) {
    if findings.iter().all(|of| of.findings.is_empty()) {
        return;
    }
    let sheet = book.sheet(Page::Findings.name(), true);
    book.words(sheet, Look::Title, Page::Findings.name());
    let table = book.table(sheet, "");
    let FindingColumns { file, severity, code, on, cell, found, remedy, .. } = FindingColumns::in_table(book, table);
    let columns = [file, severity, code, on, cell, found, remedy];
    for of in findings {
        for finding in &of.findings {
            let row = book.row(table);
            let (on, cell) = match &finding.place {
                Some(place) => (place.sheet.to_string(), place.cell()),
                None => (String::new(), String::new()),
            };
            let (severity, slug) = (finding.severity.word(), finding.slug);
            let cells = [&*of.file, severity, slug, &on, &cell, &finding.found, &finding.remedy];
            for (column, words) in columns.iter().zip(cells).filter(|(_, words)| !words.is_empty()) {
                book.label(row, *column, words);
            }
        }
    }
}
