//! The job's sheets with the quoted prices in them: a copy, in which the rows of Prices that were quoted bear the new price
//! and its date, and what a new supplier is chosen for has a row at the end. Every other cell stays as it is.

use super::money::dollars;
use super::order_lines::{Wanted, row_of};
use super::source_selection::Compared;
use super::suppliers::{Answered, Supplier};
use super::{Context, OfFile};
use crate::finding::{Finding, excerpt};
use crate::model::{KeptBook, KeptSheet, Price, Raw, Setting};
use crate::place::Place;
use crate::quote::findings::{FixtureQuoted, QuotePriceKept, QuoteTwice, QuoteUnlikely, QuotesUndated};
use crate::read::fed_by;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// A price so many times another one is for another Unit, or one of the two is wrong.
const UNLIKELY: i64 = 4;
const DATE: &str = "yyyy-mm-dd";

struct Copy<'a> {
    context: &'a Context<'a>,
    book: KeptBook,
    /// Which of its sheets is Prices.
    sheet: usize,
    findings: Vec<Finding>,
    /// Rows of Prices that have been given a price, and the line it was for.
    done: BTreeMap<usize, Decimal>,
    undated: bool,
}

/// The copy, and what is to be said of the job's own cells; of a filled file's cells it is said in `by_file`.
pub(super) fn priced(
    context: &Context,
    Compared { wanted, suppliers, choices }: Compared,
    by_file: &mut [OfFile],
) -> (KeptBook, Vec<Finding>) {
    let book = context.kept.clone();
    let is_prices = |sheet: &KeptSheet| sheet.declared.is_some_and(|declared| declared.name == "Prices");
    let Some(sheet) = book.sheets.iter().position(is_prices) else { return (book, Vec::new()) };
    let mut copy = Copy { context, book, sheet, findings: Vec::new(), done: BTreeMap::new(), undated: false };
    let mut nameless = BTreeSet::new();
    for (line, wanted) in wanted.iter().enumerate() {
        for (at, supplier) in suppliers.iter().enumerate() {
            let (Some(price), Some(answered)) = (choices.offered[line][at].price, supplier.answers.get(&wanted.key))
            else {
                continue;
            };
            let quote = Quote { wanted, supplier, price, answered };
            if wanted.line.is_none() {
                let tags = wanted.fixtures.iter().map(|tag| excerpt(tag)).collect();
                push(by_file, answered, FixtureQuoted { tags, price: dollars(price) });
                continue;
            }
            let row = |supplier: &str| row_of(context.job, context.rules, context.take_off, wanted, supplier);
            let chosen = choices.from[line] == Some(at);
            match row(&supplier.key) {
                Some(row) => {
                    unlikely(&context.job.prices[row], &quote, by_file);
                    copy.update(row, &quote, by_file);
                }
                None if chosen => match row("").filter(|row| nameless.insert(*row)) {
                    Some(row) => {
                        copy.update(row, &quote, by_file);
                        copy.name(row, supplier);
                    }
                    None => copy.add(&quote),
                },
                None => {}
            }
        }
    }
    if copy.undated {
        copy.findings.push(Finding::everywhere(QuotesUndated {}));
    }
    (copy.book, copy.findings)
}

/// What a supplier asks for a line, of one Unit.
struct Quote<'a> {
    wanted: &'a Wanted,
    supplier: &'a Supplier,
    price: Decimal,
    answered: &'a Answered,
}

fn push(by_file: &mut [OfFile], answered: &Answered, what: impl Into<Finding>) {
    if let Some(of) = by_file.get_mut(answered.at) {
        of.findings.push(Finding::at(&answered.place, what));
    }
}

fn unlikely(ours: &Price, quote: &Quote, by_file: &mut [OfFile]) {
    let Quote { price, wanted, answered, .. } = *quote;
    let Some(before) = ours.price.value.filter(|before| *before > Decimal::ZERO) else { return };
    let many = Decimal::from(UNLIKELY);
    let far = |a: Decimal, b: Decimal| b.checked_mul(many).is_some_and(|much| a > much);
    if far(price, before) || far(before, price) {
        let unit = format!("one {}, which holds {}", wanted.unit, wanted.holds);
        let (price, ours) = (dollars(price), dollars(before));
        push(by_file, answered, QuoteUnlikely { price, ours, unit });
    }
}

impl Copy<'_> {
    fn sheet(&mut self) -> &mut KeptSheet {
        &mut self.book.sheets[self.sheet]
    }

    /// The day a supplier's prices are of: the quote's, else the job's own Date.
    fn date(&mut self, supplier: &Supplier) -> Option<Decimal> {
        let date = supplier.dated.or_else(|| self.context.job.number(Setting::Date));
        self.undated |= date.is_none();
        date
    }

    fn update(&mut self, row: usize, quote: &Quote, by_file: &mut [OfFile]) {
        let Quote { wanted, supplier, price, answered } = *quote;
        let of = &self.context.job.prices[row];
        let Some(place) = of.price.cell.clone() else { return };
        if let Some(before) = self.done.get(&row).copied() {
            // One row of Prices in two lines, a color of pipe each.
            if before != price {
                let (line, first) = (wanted.key.to_string(), dollars(before));
                push(by_file, answered, QuoteTwice { line, first, other: dollars(price) });
            }
            if price <= before {
                return;
            }
        }
        let stands = self.done.insert(row, price).or(of.price.value);
        if stands != Some(price) {
            if let Some(reason) = self.kept_as_is(&place) {
                let quoted = format!("{} for one {} from {}", dollars(price), wanted.unit, supplier.name);
                self.findings.push(Finding::at(&place, QuotePriceKept { quoted, reason }));
                return;
            }
            self.put(&place, Raw::Number(price), None);
        }
        let date = self.date(supplier);
        let quoted = match &of.quoted.cell {
            Some(place) => place.clone(),
            None if date.is_some() => self.place_under("Quoted", of.row),
            None => return,
        };
        // Without a date the old one would lie about the new price.
        if self.kept_as_is(&quoted).is_none() {
            self.put(&quoted, date.map_or(Raw::Blank, Raw::Date), Some(DATE));
        }
    }

    /// Why a cell is not to be written over.
    fn kept_as_is(&self, place: &Place) -> Option<String> {
        let sheet = &self.context.kept.sheets[self.sheet];
        let formula = sheet.cell(place.row, place.column).is_some_and(|cell| cell.formula.is_some());
        if formula {
            return Some("the cell holds a formula of yours".to_owned());
        }
        let by = fed_by(self.context.kept, place)?;
        Some(format!("a formula of yours in {by} looks at it, and only a spreadsheet program can work that out anew"))
    }

    /// Puts a value, in the cell's own format where it has one.
    fn put(&mut self, place: &Place, raw: Raw, format: Option<&str>) {
        let sheet = self.sheet();
        let own = sheet.cell(place.row, place.column).and_then(|cell| cell.format.clone());
        sheet.put(place.row, place.column, raw, own.as_deref().or(format));
    }

    /// A cell under a heading of Prices, which is added at the right where there is none.
    fn place_under(&mut self, heading: &'static str, row: u32) -> Place {
        let sheet = self.sheet();
        let column = sheet.column_under(heading);
        sheet.place(row, column)
    }

    /// A row that named nobody is that of whom it is bought from.
    fn name(&mut self, row: usize, supplier: &Supplier) {
        let place = self.place_under("Supplier", self.context.job.prices[row].row);
        if self.kept_as_is(&place).is_none() {
            self.put(&place, Raw::Text(supplier.name.as_str().into()), None);
        }
    }

    /// A row at the end.
    fn add(&mut self, quote: &Quote) {
        let Quote { wanted, supplier, price, answered } = *quote;
        let date = self.date(supplier);
        let sheet = self.sheet();
        let row = sheet.next_row();
        let key = &wanted.key;
        let sizes = key.sizes.iter().map(ToString::to_string).collect::<Vec<_>>().join(" x ");
        let text = |text: &str| Some(text).filter(|text| !text.is_empty()).map(|text| Raw::Text(text.into()));
        let note = match answered.answer.substitute.is_empty() {
            true => "",
            false => "offered in place of what was asked",
        };
        let cells: [(&'static str, Option<Raw>, Option<&str>); 11] = [
            ("Kind", text(&key.kind), None),
            ("Material", text(&key.material), None),
            ("Size", text(&sizes), Some("@")),
            ("Ends", text(&key.ends), None),
            ("Unit", text(&key.unit), None),
            ("Pack", (key.pack != Decimal::ONE).then_some(Raw::Number(key.pack)), None),
            ("Price", Some(Raw::Number(price)), Some("#,##0.00##")),
            ("Supplier", text(&supplier.name), None),
            ("Part no.", text(&answered.answer.substitute), Some("@")),
            ("Quoted", date.map(Raw::Date), Some(DATE)),
            ("Note", text(note), None),
        ];
        for (heading, raw, format) in cells {
            if let Some(raw) = raw {
                let place = self.place_under(heading, row);
                self.sheet().put(place.row, place.column, raw, format);
            }
        }
    }
}
