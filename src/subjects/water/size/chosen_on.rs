//! What the sizes were chosen on, beside what it is now: flows, heights, limits, and whatever makes one size dearer than another.
//! A formula cannot search for sizes; where any of this has moved, other sizes may be the ones to choose.

use super::Context;
use crate::basis::{Record, record};
use crate::choice::Choice;
use crate::figure::{Book, ColumnId, Term};
use crate::input::sum_of;
use crate::model::Setting;

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
    let of = Record {
        kind: Choice::SizesBasis,
        title: "What the sizes were chosen on",
        question: "Are the sizes still the ones to choose?",
    };
    record(book, context, &of, &now)
}

/// What stands in the input sheets and says what a size costs, column by column.
fn inputs(book: &Book, context: &Context) -> Vec<(&'static str, Term)> {
    let job = context.job;
    let columns = [
        ("Bends of all runs", sum_of(book, job.runs.iter().map(|run| &run.bends))),
        ("Prices, sum of the column", sum_of(book, job.prices.iter().map(|price| &price.price))),
        ("Packs, sum of the column", sum_of(book, job.prices.iter().map(|price| &price.pack))),
        ("Hours of Labor, sum of the column", sum_of(book, job.labor.iter().map(|task| &task.hours))),
    ];
    columns.into_iter().filter_map(|(words, sum)| Some((words, sum?))).collect()
}
