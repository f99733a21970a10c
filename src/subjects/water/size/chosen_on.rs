//! What the sizes were chosen on, beside what it is now: flows, heights, limits, and whatever makes one size dearer than another.
//! A formula cannot search for sizes; where any of this has moved, other sizes may be the ones to choose.

use super::Context;
use crate::choice::{Choice, record};
use crate::figure::input::raw_value;
use crate::figure::{Book, ColumnId, Term};
use crate::model::{Field, Setting};
use crate::place::Place;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Columns of the Sizing and Friction sheets.
pub(super) struct Columns {
    pub demand: ColumnId,
    pub height: ColumnId,
    pub need: ColumnId,
    pub devices: ColumnId,
    pub bore: ColumnId,
    pub length: ColumnId,
    pub limit: ColumnId,
}

/// Puts the record; gives `OK`, or `price again`.
pub(super) fn put(book: &mut Book, context: &Context, columns: &Columns) -> Term {
    let setting = |setting| context.settings.get(setting);
    let (one, numbers) = (Term::number(1), inputs(book, context));
    let hour = setting(Setting::LaborRate) * (one + setting(Setting::LaborBurden)) * setting(Setting::LaborFactor);
    let mut of = |column: ColumnId| book.whole(column);
    let mut now = vec![
        ("Supply pressure, psi", setting(Setting::SupplyPressure)),
        ("Pressure to spare, psi", setting(Setting::PressureToSpare)),
        ("Length x demand of all runs", Term::sum_product(&of(columns.length), &of(columns.demand))),
        ("Height x length of all runs", Term::sum_product(&of(columns.height), &of(columns.length))),
        ("Pressures needed, sum", Term::sum(&of(columns.need))),
        ("Losses in devices, sum", Term::sum(&of(columns.devices))),
        ("Velocity limits, sum", Term::sum(&of(columns.limit))),
        ("Length x inside diameter of all runs", Term::sum_product(&of(columns.length), &of(columns.bore))),
        ("An hour with its burden, $", hour),
        ("Sales tax", setting(Setting::TaxRate)),
        ("Waste", setting(Setting::Waste)),
    ];
    now.extend(numbers);
    let title = "What the sizes were chosen on";
    record(book, context, Choice::SizesBasis, title, "Are the sizes still the ones to choose?", &now)
}

/// What stands in the input sheets and says what a size costs, column by column.
fn inputs(book: &Book, context: &Context) -> Vec<(&'static str, Term)> {
    let job = context.job;
    let columns: [(&str, Vec<&Field<Decimal>>); 4] = [
        ("Bends of all runs", job.runs.iter().map(|run| &run.bends).collect()),
        ("Prices, sum of the column", job.prices.iter().map(|price| &price.price).collect()),
        ("Packs, sum of the column", job.prices.iter().map(|price| &price.pack).collect()),
        ("Hours of Labor, sum of the column", job.labor.iter().map(|task| &task.hours).collect()),
    ];
    columns.into_iter().filter_map(|(words, fields)| Some((words, sum(book, &fields)?))).collect()
}

/// The sum of a column of the user's; `None` where the job has none.
fn sum(book: &Book, fields: &[&Field<Decimal>]) -> Option<Term> {
    // Sheets of one kind may be several.
    type Cells<'a> = Vec<(&'a Place, &'a Field<Decimal>)>;
    let mut columns: BTreeMap<(Arc<str>, u16), Cells> = BTreeMap::new();
    for field in fields {
        if let Some(place) = &field.cell {
            columns.entry((place.sheet.clone(), place.column)).or_default().push((place, field));
        }
    }
    let sums: Vec<Term> = columns
        .into_values()
        .filter_map(|mut cells| {
            cells.sort_by_key(|(place, _)| place.row);
            let (first, last) = (cells.first()?.0.clone(), cells.last()?.0.row);
            let filled = cells.iter().filter(|(_, field)| !field.is_blank());
            let filled = filled.map(|(place, field)| (place.row, raw_value(&field.raw))).collect();
            Some(Term::sum(&book.input_column(first, last, filled)))
        })
        .collect();
    (!sums.is_empty()).then(|| Term::total(&sums.iter().collect::<Vec<_>>()))
}
