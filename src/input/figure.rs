//! Each input cell as a term: the one way to it.

use super::{Amount, ColumnType, Input};
use crate::figure::input::raw_value;
use crate::figure::{Book, Term, Value};
use crate::model::At;
use crate::place::Place;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::sync::Arc;

impl At<Arc<str>> {
    /// The name, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        book.input_cell(&self.place, Value::Text(self.value.clone()))
    }

    /// The cell as it stands, where it says a kind by another name.
    pub fn as_written(&self, book: &mut Book) -> Term {
        book.input_cell(&self.place, Value::Text(self.written.clone()))
    }
}

impl Input<Amount> {
    /// Dollars or a share, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        let number = book.number_input(&(**self).clone().map(Amount::number), Decimal::ZERO);
        match self.value {
            // 30 is read as 30 percent: nobody asks for thirty times the total.
            Some(Amount::Share(_)) => {
                number.above(&Term::number(1)).pick(&(&number / Term::number(Decimal::ONE_HUNDRED)), &number)
            }
            _ => number,
        }
    }
}

/// The sum of a column of the user's numbers, live; `None` where the job has none.
pub fn sum_of<'a, K: ColumnType>(book: &Book, cells: impl Iterator<Item = &'a Input<K>>) -> Option<Term> {
    // Sheets of one kind may be several.
    let mut columns: BTreeMap<(Arc<str>, u16), Vec<(&Place, &Input<K>)>> = BTreeMap::new();
    for cell in cells {
        if let Some(place) = &cell.cell {
            columns.entry((place.sheet.clone(), place.column)).or_default().push((place, cell));
        }
    }
    let sums: Vec<Term> = columns
        .into_values()
        .filter_map(|mut cells| {
            cells.sort_by_key(|(place, _)| place.row);
            let (first, last) = (cells.first()?.0.clone(), cells.last()?.0.row);
            let filled = cells.iter().filter(|(_, cell)| !cell.is_blank());
            let filled = filled.map(|(place, cell)| (place.row, raw_value(&cell.raw))).collect();
            Some(Term::sum(&book.input_column(first, last, filled)))
        })
        .collect();
    (!sums.is_empty()).then(|| Term::total(&sums.iter().collect::<Vec<_>>()))
}
