//! The sheet of prices side by side: a row a line, a price and a sum for each supplier, the least of them, and whom the line
//! is bought from.

use super::source_selection::Compared;
use super::suppliers::Supplier;
use crate::figure::{Book, Column, ColumnLook, Look, RowId, SheetId, TableId, Term, Value};
use crate::table::{Headed, columns};
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

/// What the overview adds up.
pub(super) struct SideBySide {
    /// By supplier: what its lines cost, a number where it prices the line.
    pub sums: Vec<Column>,
    /// What each line costs at its least price.
    pub least: Column,
    /// By line: the number of the supplier at the least price, from 1; 0 for nobody.
    pub least_from: Column,
    /// By line: the number of the supplier it is bought from.
    pub from: Column,
    pub chosen: Column,
    pub checks: Column,
}

columns! {
    struct Columns(suppliers: &[Supplier]) {
        item: "Item", words 30;
        size: "Size", words 14;
        quantity: "Quantity", words 8;
        unit: "Unit", words 6;
        holds: "One holds", quiet words 7;
        prices as Vec<OfSupplier>: suppliers, words;
        least: "Least", Money 10;
        least_from: "Least at no.", quiet words 7;
        from: "From no.", words 7;
        name: "Buy from", words 16;
        price: "Price", Money 10;
        sum: "Sum", Money 10;
        over: "Over the least", Money 10;
        check: "Check", check 10;
        key: "Line", quiet words 30;
    }
}

columns! {
    /// A price and a sum.
    pub(crate) struct OfSupplier(name: &str) {
        price: &*format!("{name}: price"), words 11;
        sum: &*format!("{name}: sum"), quiet words 11;
    }
}

impl Headed for &[Supplier] {
    type Columns = Vec<OfSupplier>;

    fn columns(self, book: &mut Book, table: TableId, _: ColumnLook) -> Self::Columns {
        self.iter().map(|supplier| OfSupplier::in_table(book, table, &supplier.name)).collect()
    }
}

const HOW_TO: &str = "Prices as they came back, each for one Unit. A price may be written over, and From no. changed: everything \
     follows. 0 is nobody.";

/// `names` are the suppliers' names, by number.
pub(super) fn put(book: &mut Book, sheet: SheetId, compared: Compared, names: &Column) -> SideBySide {
    book.words(sheet, Look::Title, "Prices side by side");
    book.words(sheet, Look::Words, HOW_TO);
    let table = book.table(sheet, "");
    let table = Table { columns: Columns::in_table(book, table, compared.suppliers), compared, names };
    for line in 0..compared.wanted.len() {
        table.put_line(book, line);
    }
    let columns = table.columns;
    let sums = columns.prices.iter().map(|of| book.whole(of.sum)).collect();
    // The keys of the lines are for programs.
    book.not_printed(sheet, 1);
    SideBySide {
        sums,
        least: book.whole(columns.least),
        least_from: book.whole(columns.least_from),
        from: book.whole(columns.from),
        chosen: book.whole(columns.sum),
        checks: book.whole(columns.check),
    }
}

struct Table<'a> {
    columns: Columns,
    compared: Compared<'a>,
    names: &'a Column,
}

impl Table<'_> {
    fn put_line(&self, book: &mut Book, line: usize) {
        let (columns, choices, wanted) = (&self.columns, self.compared.choices, &self.compared.wanted[line]);
        let row = book.row(columns.table);
        let key = wanted.key.to_string();
        book.label(row, columns.key, &key);
        let Columns { item, size, unit, holds, .. } = *columns;
        let labels = [(item, &wanted.item), (size, &wanted.size), (unit, &wanted.unit), (holds, &wanted.holds)];
        for (column, words) in labels.into_iter().filter(|(_, words)| !words.is_empty()) {
            book.label(row, column, words);
        }
        let quantity = book.state(row, columns.quantity, Value::Exact(wanted.quantity), "of the orders");
        let mut prices = Vec::new();
        let mut sums = Vec::new();
        for of in 0..self.compared.suppliers.len() {
            let (price, sum) = self.put_price(book, (row, line), of, &quantity);
            prices.push(price);
            sums.push(sum);
        }
        let (zero, nothing) = (Term::number(0), Term::text(""));
        let sums_of: Vec<&Term> = sums.iter().collect();
        // No price is 0: where the least is, there is none.
        let least = Term::least_of(&sums_of);
        let least = book.put(row, columns.least, least.above(&zero).pick(&least, &nothing));
        // The first of equals; the last supplier is looked at first.
        let least_from = sums
            .iter()
            .enumerate()
            .rev()
            .fold(zero.clone(), |other, (of, sum)| least.same(sum).pick(&Term::number(of as u64 + 1), &other));
        let least_from = least.is_number().pick(&least_from, &zero);
        book.put(row, columns.least_from, least_from);
        let number = choices.from[line].map_or(Decimal::ZERO, |of| Decimal::from(of + 1));
        let from = book.choose_now(row, columns.from, Value::Exact(number));
        let none = Term::text("none");
        let name = from.above(&zero).pick(&Term::at(self.names, &from), &none).or_if_fault(&none);
        book.put(row, columns.name, name);
        let of_chosen = |cells: &[Term]| {
            cells.iter().enumerate().rev().fold(Term::text("no price"), |other, (of, cell)| {
                from.same(&Term::number(of as u64 + 1)).pick(cell, &other)
            })
        };
        let price = book.put(row, columns.price, of_chosen(&prices));
        let sum = price.is_number().pick(&(&quantity * &price).cents(), &nothing);
        let sum = book.put(row, columns.sum, sum);
        book.put(row, columns.over, sum.is_number().pick(&(&sum - &least), &nothing));
        let verdict = sum.is_number().ok_or("no price");
        let verdict = book.put(row, columns.check, verdict);
        book.check_choice(&from, &verdict);
    }

    /// The price of one supplier, or why there is none, and what the line costs with it.
    fn put_price(&self, book: &mut Book, (row, line): (RowId, usize), of: usize, quantity: &Term) -> (Term, Term) {
        let Compared { wanted, suppliers, choices } = self.compared;
        let cells = &self.columns.prices[of];
        let offered = choices.offered[line][of];
        let price = match (offered.price, suppliers[of].answers.get(&wanted[line].key)) {
            (Some(price), Some(answered)) => {
                let from: Arc<str> = format!("{} {}", answered.file, answered.place).into();
                let cell = book.carry(row, cells.price, Value::Exact(price), &from);
                book.unit(&cell, if price.scale() > 2 { Unit::UnitPrice } else { Unit::Money });
                cell
            }
            _ => book.label(row, cells.price, offered.state.word()),
        };
        let sum = price.is_number().pick(&(quantity * &price).cents(), &Term::text(""));
        let sum = book.put(row, cells.sum, sum);
        book.unit(&sum, Unit::Money);
        (price, sum)
    }
}
