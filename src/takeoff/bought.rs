//! What is bought already: rows of Prices with a Bought, each counted for one line.

use super::{Context, Item};
use crate::figure::{Book, Term};
use crate::rules::fits;

/// For each line the rows of Prices (indices) by which some of it is bought already. A row that fits several lines
/// counts for the first, lines that are needed before the others, so that nothing is counted twice.
pub(super) fn by_line(context: &Context, items: &[&Item]) -> Vec<Vec<usize>> {
    let mut rows = vec![Vec::new(); items.len()];
    for (index, price) in context.job.prices.iter().enumerate() {
        if price.bought.value.is_none_or(|units| units.is_zero()) {
            continue;
        }
        let line = items.iter().position(|item| fits(context.rules, item, price));
        if let Some(line) = line {
            rows[line].push(index);
        }
    }
    rows
}

/// Feet or pieces bought by these rows of Prices, live.
pub(super) fn quantity(book: &mut Book, context: &Context, rows: &[usize]) -> Option<Term> {
    let quantities: Vec<Term> = rows
        .iter()
        .map(|row| {
            let price = &context.job.prices[*row];
            let units = price.bought.figure(book);
            match price.pack.cell {
                Some(_) => units * price.pack.figure(book),
                None => units,
            }
        })
        .collect();
    let quantities: Vec<&Term> = quantities.iter().collect();
    (!rows.is_empty()).then(|| Term::total(&quantities))
}
