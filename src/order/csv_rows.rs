//! The lines of an order as rows of text, with the order's number and supplier in each: for programs, and for suppliers who
//! take nothing else.

use super::order_sheet::{needed_for, pack_words};
use super::{Order, OrderLine};
use crate::model::order_form as form;

/// The columns that only the CSV has; the sheet says them once, at its head.
const OF_THE_ORDER: [&str; 2] = [form::ORDER_NUMBER, form::SUPPLIER];

/// A row of headings, then a row a line. The sheet's sums are left out: CSV has no formulas.
pub fn csv_rows(order: &Order) -> Vec<Vec<String>> {
    let headings = || form::COLUMNS.iter().map(|column| column.heading).filter(|heading| *heading != form::SUM);
    let head = OF_THE_ORDER.into_iter().chain(headings()).map(str::to_owned).collect();
    let row = |(at, line): (usize, &OrderLine)| {
        let of_order = [order.number.clone(), order.supplier_name().to_owned()];
        of_order.into_iter().chain(headings().map(|heading| cell(order, line, at + 1, heading))).collect()
    };
    [head].into_iter().chain(order.lines.iter().enumerate().map(row)).collect()
}

fn cell(order: &Order, line: &OrderLine, number: usize, heading: &str) -> String {
    match heading {
        form::ROW => number.to_string(),
        form::ITEM => line.item.clone(),
        form::SIZE => line.size.clone(),
        form::PART => line.part.clone(),
        form::QUANTITY => line.quantity.normalize().to_string(),
        form::UNIT => line.unit.clone(),
        form::PACK => pack_words(line),
        form::NEEDED_FOR => needed_for(&line.needed_for),
        form::STATE => if line.quote { form::QUOTE } else { form::ORDERED }.to_owned(),
        form::QUOTED_PRICE => match line.quoted {
            Some(price) => price.normalize().to_string(),
            None if order.asks_only() => String::new(),
            None => form::NO_PRICE.to_owned(),
        },
        form::EXTENSION => line.extension().map(|sum| sum.to_string()).unwrap_or_default(),
        form::LINE => line.key.to_string(),
        _ => String::new(),
    }
}
